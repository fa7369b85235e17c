package frame

import (
	"errors"
	"fmt"
	"math"
	"testing"
)

// TestPoseOfOddBodies: bodies that are half held, that have a mechanism inside which ties cure, and that are joined by
// a spring across a distance, so that turning them costs force.
func TestPoseOfOddBodies(t *testing.T) {
	b := newBuilder()
	for i := range 2 {
		b.node(fmt.Sprint("a", i), 2*float64(i), 0, 0)
		b.node(fmt.Sprint("b", i), 2*float64(i), 1, 0)
		b.node(fmt.Sprint("c", i), 2*float64(i), 2, 0)
	}
	b.member("a", "a0", "a1", "80x80", 30)
	b.member("b", "b0", "b1", "80x80", 30)
	b.member("c1", "c0", "c1", "80x80", 30)
	b.node("c2", 4, 2, 0)
	b.member("c2", "c1", "c2", "80x80", 30).FromEnd = End{{}, Free(), {}} // a hinge about y in the middle of body c
	b.Springs = []Spring{
		{ID: "half", From: "a0", K: [6]float64{1e5, 0, 1e6, 0, 0, 0}},            // holds body a in two directions only
		{ID: "distant", From: "b0", To: "b1", K: [6]float64{0, 1e4, 0, 0, 0, 0}}, // resists turning body b about Z
	}
	stiff := [6]float64{1e6, 2e6, 3e6, 1e4, 1e4, 1e4}
	ties := []Tie{
		{ID: "ground", From: Point{Node: "a1"}, K: stiff},
		{ID: "ab", From: Point{Member: "b", Position: 0.3}, To: Point{Member: "a", Position: 0.6, Offset: [3]float64{0, 0.5, 0}}, K: stiff},
		{ID: "bc", From: Point{Node: "c0"}, To: Point{Member: "b", Position: 0.8}, K: stiff},
		{ID: "prop", From: Point{Node: "c2"}, K: [6]float64{0, 0, 1e5, 0, 0, 0}},
	}
	c := Case{ID: "all", Fields: []Field{{Acceleration: [3]float64{1, 2, -9}}}, Forces: []Force{{At: Point{Node: "c2"}, Force: [3]float64{5, -3, 8}}}}
	base, err := NewBase(&b.Model)
	if err != nil {
		t.Fatal(err)
	}
	load, err := base.Prepare(c)
	if err != nil {
		t.Fatal(err)
	}
	pose, err := base.Pose(ties, nil)
	if err != nil {
		t.Fatal(err)
	}
	got, err := pose.Static(load, nil)
	if err != nil {
		t.Fatal(err)
	}
	modes, err := pose.Modes(4, nil)
	if err != nil {
		t.Fatal(err)
	}
	b.Ties, b.Cases = ties, []Case{c}
	s, want := system(t, &b.Model)
	for _, node := range []string{"a0", "b1", "c1", "c2"} {
		d, err := got.At(Point{Node: node})
		if err != nil {
			t.Fatal(err)
		}
		w, _ := want.Displacement(node)
		close6(t, node, d, w, sameAsReference)
	}
	reference, err := s.Modes(4)
	if err != nil {
		t.Fatal(err)
	}
	for i, hz := range modes.Hz {
		near(t, "mode", hz, reference.Hz[i], 1e-7)
	}
	var free *MechanismError
	if err := pose.Set(ties[:3], nil); !errors.As(err, &free) {
		t.Errorf("without the prop: %v", err)
	}
}

// TestSplitAtAPose names the ties among those who let the tool sag; Split itself refuses parts that do not add up.
func TestSplitAtAPose(t *testing.T) {
	base, err := NewBase(gantry())
	if err != nil {
		t.Fatal(err)
	}
	load, err := base.Prepare(gantryCases()[1])
	if err != nil {
		t.Fatal(err)
	}
	pose, err := base.Pose(gantryTies(1.2, 0.4, 1.3), payload(10))
	if err != nil {
		t.Fatal(err)
	}
	st, err := pose.Static(load, nil)
	if err != nil {
		t.Fatal(err)
	}
	tool := Point{Node: "mast0", Offset: [3]float64{0, 0, -0.1}}
	split, err := st.Split(Direction(tool, UZ))
	if err != nil {
		t.Fatal(err)
	}
	d, err := st.At(tool)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "total", split.Total, d[UZ], 1e-8)
	largest := 0.0
	for _, tie := range split.Ties {
		largest = math.Max(largest, math.Abs(tie.Sum()))
	}
	if len(split.Ties) != len(pose.ties) || !(largest > 1e-3*math.Abs(d[UZ])) {
		t.Errorf("ties contribute up to %g of %g", largest, d[UZ])
	}
	other := assembled(t, standModel())
	if _, err := other.Split(&State{grid: base.grid}, Direction(Point{Node: "t00"}, UX)); !errors.Is(err, ErrForeign) {
		t.Errorf("split of a foreign state: %v", err)
	}
}
