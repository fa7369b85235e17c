package frame

import (
	"errors"
	"math"
	"math/rand/v2"
	"sync"
	"testing"
)

// sameAsReference is the difference, over the largest value, at which the two paths count as one. Both solve with
// condition numbers of about 1e6, so 1e-10 remains; 1e-8 leaves room.
const sameAsReference = 1e-8

func close6(t tester, what string, got, want [6]float64, tol float64) {
	t.Helper()
	for _, part := range [][2]int{{0, 3}, {3, 6}} {
		scale := maxAbs(want[part[0]:part[1]])
		for k := part[0]; k < part[1]; k++ {
			if !(math.Abs(got[k]-want[k]) <= tol*scale) {
				t.Errorf("%s %s = %.12g, reference %.12g", what, freedomNames[k], got[k], want[k])
			}
		}
	}
}

func TestPoseAgreesWithReference(t *testing.T) {
	model := gantry()
	base, err := NewBase(model)
	if err != nil {
		t.Fatal(err)
	}
	var prepared []*Prepared
	for _, c := range gantryCases() {
		p, err := base.Prepare(c)
		if err != nil {
			t.Fatal(err)
		}
		prepared = append(prepared, p)
	}
	points := []Point{
		{Node: "mast0", Offset: [3]float64{0, 0, -0.1}}, {Node: "top11"}, {Member: "bridge", Position: 0.37},
		{Member: "runway1", Position: 0.5, Offset: [3]float64{0, 0, 0.07}},
	}
	pose := base.NewPose()
	for _, at := range [][3]float64{{0.2, 0.2, 1.05}, {1.0, 0.6, 1.4}, {1.83, 1.01, 1.7}} {
		ties := gantryTies(at[0], at[1], at[2])
		if err := pose.Set(ties, payload(12)); err != nil {
			t.Fatal(err)
		}
		whole := *model
		whole.Ties, whole.Cases = ties, gantryCases()
		whole.Masses = append(append([]Mass(nil), model.Masses...), payload(12)...)
		s, err := Assemble(&whole)
		if err != nil {
			t.Fatal(err)
		}
		states, err := s.Statics()
		if err != nil {
			t.Fatal(err)
		}
		for i, want := range states {
			got, err := pose.Static(prepared[i], nil)
			if err != nil {
				t.Fatal(err)
			}
			for _, p := range points {
				a, _ := got.At(p)
				b, _ := want.At(p)
				close6(t, want.Case, a, b, sameAsReference)
			}
			largest := 0.0
			for _, tie := range ties {
				f, _ := want.JointForces(tie.ID)
				largest = math.Max(largest, maxAbs(f[:]))
			}
			for _, tie := range ties {
				a, _ := got.JointForces(tie.ID)
				b, _ := want.JointForces(tie.ID)
				for k := range a {
					if !(math.Abs(a[k]-b[k]) <= sameAsReference*largest) {
						t.Errorf("%s: tie %s[%d] %.10g, reference %.10g", want.Case, tie.ID, k, a[k], b[k])
					}
				}
			}
			full, err := got.State()
			if err != nil {
				t.Fatal(err)
			}
			d, _ := full.Displacement("top01")
			b, _ := want.Displacement("top01")
			close6(t, "whole state", d, b, sameAsReference)
		}
		modes, err := s.Modes(5)
		if err != nil {
			t.Fatal(err)
		}
		fast, err := pose.Modes(5, nil)
		if err != nil {
			t.Fatal(err)
		}
		for i, hz := range fast.Hz {
			if !(math.Abs(hz-modes.Hz[i]) <= sameAsReference*hz) {
				t.Errorf("mode %d: %.12g Hz, reference %.12g Hz", i, hz, modes.Hz[i])
			}
		}
	}
}

func TestPoseRefusesMechanisms(t *testing.T) {
	base, err := NewBase(gantry())
	if err != nil {
		t.Fatal(err)
	}
	full := gantryTies(1, 0.6, 1.4)
	without := func(ids ...string) (ties []Tie) {
		for _, tie := range full {
			drop := false
			for _, id := range ids {
				drop = drop || tie.ID == id
			}
			if !drop {
				ties = append(ties, tie)
			}
		}
		return ties
	}
	tests := map[string]struct {
		ties []Tie
		free string // node or nothing
	}{
		"no ties at all":      {nil, "any"},
		"bridge without belt": {without("belt0", "belt1"), "any"},
		"carriage loose":      {without("screw"), "any"},
		"mast without lift":   {without("lift"), "any"},
		"all there":           {full, ""},
		"one belt only":       {without("belt1"), ""},
	}
	pose := base.NewPose()
	for name, tt := range tests {
		err := pose.Set(tt.ties, nil)
		var free *MechanismError
		if errors.As(err, &free) != (tt.free != "") || tt.free == "" && err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if free != nil && free.Node == "" {
			t.Errorf("%s: names no node: %v", name, err)
		}
		if _, err := pose.Modes(1, nil); errors.Is(err, ErrNotSet) != (tt.free != "") {
			t.Errorf("%s: modes of a refused pose: %v", name, err)
		}
	}
}

func TestPoseRefusesWrongTies(t *testing.T) {
	base, err := NewBase(gantry())
	if err != nil {
		t.Fatal(err)
	}
	good := gantryTies(1, 0.6, 1.4)
	wrong := map[string]func(*Tie){
		"unknown node":        func(t *Tie) { t.From = Point{Node: "carrage"} },
		"unknown member":      func(t *Tie) { t.To = Point{Member: "runway7"} },
		"beyond the end":      func(t *Tie) { t.To.Position = 1.2 },
		"from the ground":     func(t *Tie) { t.From = Point{} },
		"negative":            func(t *Tie) { t.K[1] = -1 },
		"NaN":                 func(t *Tie) { t.K[1] = math.NaN() },
		"axes out of square":  func(t *Tie) { t.Axes = Axes{{1, 0, 0}, {0, 1, 0}, {0, 0.1, 1}} },
		"node and member":     func(t *Tie) { t.From.Node = "top00" },
		"one-sided in a pose": func(t *Tie) { t.To = Point{}; t.Contact = &Contact{Normal: [3]float64{0, 0, 1}} },
	}
	for name, change := range wrong {
		ties := append([]Tie(nil), good...)
		change(&ties[0])
		var problems Problems
		if err := base.NewPose().Set(ties, nil); !errors.As(err, &problems) || len(problems) == 0 {
			t.Errorf("%s: %v", name, err)
		}
	}
	var problems Problems
	if err := base.NewPose().Set(good, []Mass{{At: Point{Node: "mast0"}, M: -1}}); !errors.As(err, &problems) {
		t.Errorf("negative mass: %v", err)
	}
	if _, err := base.Prepare(Case{ID: "c", Forces: []Force{{At: Point{Node: "x"}}}}); !errors.As(err, &problems) {
		t.Errorf("force at an unknown node: %v", err)
	}
	if _, err := base.Prepare(Case{ID: "c", Settlements: []Settlement{{Node: "top00"}}}); !errors.As(err, &problems) {
		t.Errorf("settlement: %v", err)
	}
}

// TestPoseWithMisfit compares the forces of a pair of runways that stand too far apart on both paths.
func TestPoseWithMisfit(t *testing.T) {
	model := gantry()
	ties := gantryTies(0.7, 0.4, 1.2)
	c := Case{ID: "too wide", Mismatches: []Mismatch{{Tie: ties[0].ID, Gap: [6]float64{0, 1e-3, 2e-3, 0, 0, 0}}, {Tie: "foot00", Gap: [6]float64{0, 0, 1e-3, 0, 0, 0}}}}
	base, err := NewBase(model)
	if err != nil {
		t.Fatal(err)
	}
	// The misfit of a foot belongs to the base, that of a tie to the pose; Prepare knows the foot only.
	foot := Case{ID: c.ID, Mismatches: c.Mismatches[1:]}
	if _, err := base.Prepare(c); err == nil {
		t.Error("a misfit of a tie that the base does not have was taken")
	}
	load, err := base.Prepare(foot)
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
	model.Ties, model.Cases = ties, []Case{foot}
	_, want := system(t, model)
	a, _ := got.At(Point{Node: "mast0"})
	b, _ := want.At(Point{Node: "mast0"})
	close6(t, "misfit of a foot", a, b, sameAsReference)
}

// TestPosesDoNotAllocate holds the loop over poses to its promise.
func TestPosesDoNotAllocate(t *testing.T) {
	base, err := NewBase(gantry())
	if err != nil {
		t.Fatal(err)
	}
	load, err := base.Prepare(gantryCases()[1])
	if err != nil {
		t.Fatal(err)
	}
	all := [][]Tie{gantryTies(0.3, 0.3, 1.1), gantryTies(1.6, 0.9, 1.6)}
	pose, state, modes := base.NewPose(), &PoseState{}, &PoseModes{}
	masses := payload(10)
	i := 0
	round := func() {
		i++
		if err := pose.Set(all[i%2], masses); err != nil {
			t.Fatal(err)
		}
		if _, err := pose.Static(load, state); err != nil {
			t.Fatal(err)
		}
		if _, err := state.At(Point{Node: "mast0"}); err != nil {
			t.Fatal(err)
		}
	}
	round()
	round()
	if n := testing.AllocsPerRun(20, round); n > 0 {
		t.Errorf("%g allocations a static pose, want 0", n)
	}
	both := func() {
		round()
		if _, err := pose.Modes(3, modes); err != nil {
			t.Fatal(err)
		}
	}
	both()
	both()
	// The closures that hand the operator to the iteration are made anew each time; nothing grows with the model.
	if n := testing.AllocsPerRun(20, both); n > 8 {
		t.Errorf("%g allocations a pose with modes", n)
	}
}

// TestPosesInParallel: every goroutine with its own workspace gets the same numbers, to the last digit.
func TestPosesInParallel(t *testing.T) {
	base, err := NewBase(gantry())
	if err != nil {
		t.Fatal(err)
	}
	load, err := base.Prepare(gantryCases()[0])
	if err != nil {
		t.Fatal(err)
	}
	places := poses()
	run := func(workers int) [][6]float64 {
		out := make([][6]float64, len(places))
		var group sync.WaitGroup
		for w := range workers {
			group.Go(func() {
				pose := base.NewPose()
				for i := w; i < len(places); i += workers {
					if err := pose.Set(gantryTies(places[i][0], places[i][1], places[i][2]), payload(8)); err != nil {
						t.Error(err)
						return
					}
					st, err := pose.Static(load, nil)
					if err != nil {
						t.Error(err)
						return
					}
					out[i], _ = st.At(Point{Node: "mast0"})
				}
			})
		}
		group.Wait()
		return out
	}
	one, four := run(1), run(4)
	for i := range one {
		if one[i] != four[i] {
			t.Errorf("pose %d: %v with one worker, %v with four", i, one[i], four[i])
		}
	}
}

// TestPoseModesAgreeWithReference compares frequencies at scattered poses, with and without payload, for few and many
// modes. 1e-7 is what the refinement promises with room for the estimate it makes of its own error.
func TestPoseModesAgreeWithReference(t *testing.T) {
	model := gantry()
	base, err := NewBase(model)
	if err != nil {
		t.Fatal(err)
	}
	random := rand.New(rand.NewPCG(1, 2))
	pose := base.NewPose()
	for _, n := range []int{1, 3, 6, 12} {
		for range 4 {
			ties := gantryTies(0.15+1.7*random.Float64(), 0.1+random.Float64(), 1.02+0.76*random.Float64())
			masses := payload(20 * float64(random.IntN(3)))
			if err := pose.Set(ties, masses); err != nil {
				t.Fatal(err)
			}
			got, err := pose.Modes(n, nil)
			if err != nil {
				t.Fatal(err)
			}
			whole := *model
			whole.Ties = ties
			whole.Masses = append(append([]Mass(nil), model.Masses...), masses...)
			want, err := assembled(t, &whole).Modes(n)
			if err != nil {
				t.Fatal(err)
			}
			for i, hz := range got.Hz {
				if !(math.Abs(hz-want.Hz[i]) <= 1e-7*want.Hz[i]) {
					t.Errorf("%d modes, number %d: %.12g Hz, reference %.12g Hz", n, i, hz, want.Hz[i])
				}
			}
			tool := Point{Node: "mast0", Offset: [3]float64{0, 0, -0.1}}
			a, err := got.Shape(0, tool)
			if err != nil {
				t.Fatal(err)
			}
			b, err := want.Shape(0, tool)
			if err != nil {
				t.Fatal(err)
			}
			if dotProduct(a[:], b[:]) < 0 { // a mode has no sign
				for k := range a {
					a[k] = -a[k]
				}
			}
			close6(t, "shape", a, b, 1e-4)
		}
	}
}

// TestPoseModesWithoutBasis: small models and bases that are not free in the plain way are solved directly.
func TestPoseModesWithoutBasis(t *testing.T) {
	b := newBuilder()
	b.node("a", 0, 0, 0)
	b.node("b", 1, 0, 0)
	b.node("c", 0.5, 0, 0.1)
	b.member("beam", "a", "b", "80x80", 4)
	b.Supports = []Support{{"a", all}, {"b", all}}
	b.Masses = []Mass{{At: Point{Node: "c"}, M: 10, Inertia: diagonal(1, 1, 1)}}
	ties := []Tie{{ID: "t", From: Point{Node: "c"}, To: Point{Member: "beam", Position: 0.3, Offset: [3]float64{0.2, 0, 0.1}}, K: [6]float64{1e6, 1e6, 1e6, 1e5, 1e5, 1e5}}}
	base, err := NewBase(&b.Model)
	if err != nil {
		t.Fatal(err)
	}
	pose, err := base.Pose(ties, nil)
	if err != nil {
		t.Fatal(err)
	}
	got, err := pose.Modes(4, nil)
	if err != nil {
		t.Fatal(err)
	}
	b.Ties = ties
	want, err := assembled(t, &b.Model).Modes(4)
	if err != nil {
		t.Fatal(err)
	}
	for i, hz := range got.Hz {
		near(t, "mode", hz, want.Hz[i], 1e-9)
	}
}
