package frame

import (
	"math"
	"testing"
)

// portal is a plane gate of two legs and a rail on fixed feet, with a diagonal
// and a stiff rail between the legs where asked for; both are without mass.
func portal(diagonal, rail bool) *Model {
	m := &Model{
		Nodes:     []Node{{ID: "a"}, {ID: "b", At: [3]float64{0, 0, 1.5}}, {ID: "c", At: [3]float64{2, 0.2, 1.5}}, {ID: "d", At: [3]float64{2, 0.2, 0}}},
		Sections:  []Section{{ID: "s", A: 1e-3, Iy: 1e-6, Iz: 2e-6, J: 5e-7, Asy: 4e-4, Asz: 3e-4}, {ID: "t", A: 5e-4, Iy: 2e-7, Iz: 1e-7, J: 1e-7}},
		Materials: []Material{{ID: "m", E: 70e9, G: 27e9, Rho: 2700}, {ID: "light", E: 70e9, G: 27e9}},
		Members: []Member{
			{ID: "left", From: "a", To: "b", Section: "s", Material: "m", Divide: 3},
			{ID: "top", From: "b", To: "c", Section: "s", Material: "m", Divide: 3, FromEnd: End{{}, SemiRigid(3e4), SemiRigid(2e4)}},
			{ID: "right", From: "d", To: "c", Section: "s", Material: "m", Divide: 3},
		},
		Supports: []Support{{Node: "a", Fix: [6]bool{true, true, true, true, true, true}}, {Node: "d", Fix: [6]bool{true, true, true, true, true, true}}},
		Masses:   []Mass{{ID: "load", At: Point{Node: "c"}, M: 40}},
		Cases:    []Case{{ID: "push", Forces: []Force{{At: Point{Node: "b"}, Force: [3]float64{100, 40, -30}}}}},
	}
	if diagonal {
		end := End{SemiRigid(8e3), SemiRigid(4e3), SemiRigid(6e3)}
		m.Members = append(m.Members, Member{ID: "diagonal", From: "a", To: "c", Section: "t", Material: "light", Roll: 0.3, FromEnd: end, ToEnd: end})
	}
	if rail {
		m.Members = append(m.Members, Member{ID: "rail", From: "b", To: "d", Section: "s", Material: "light"})
	}
	return m
}

// TestChangeIsExact: bars without mass that are gained and lost, and turns that change, move the corner
// as in the model that is built with or without them; the parts of the work add
// up; the frequencies are those of the changed model from above: the lowest, which
// hardly changes, to 1e-4, the second, which falls by a third, to 3 % (1.6 % is
// seen): one inverse iteration of three shapes.
func TestChangeIsExact(t *testing.T) {
	measure := Measure{{At: Point{Node: "c"}, Along: [6]float64{0.6, 0.3, -1}}}
	beam := func(m *Model, id, a, b string, roll float64, s int, ends [3]float64) Tie {
		at := func(id string) [3]float64 {
			for _, n := range m.Nodes {
				if n.ID == id {
					return n.At
				}
			}
			t.Fatalf("no node %s", id)
			return [3]float64{}
		}
		return Beam(id, Point{Node: a}, Point{Node: b}, at(a), at(b), roll, m.Sections[s], m.Materials[1], ends)
	}
	before, after := portal(true, false), portal(false, true)
	inf := math.Inf(1)
	gained := []Tie{beam(before, "rail", "b", "d", 0, 0, [3]float64{inf, inf, inf})}
	lost := []Tie{beam(before, "diagonal", "a", "c", 0.3, 1, [3]float64{8e3, 4e3, 6e3})}

	_, old := system(t, before)
	after.Members[1].FromEnd = End{{}, SemiRigid(9e4), SemiRigid(4e3)}
	_, want := system(t, after)
	s, err := Assemble(before)
	if err != nil {
		t.Fatal(err)
	}
	st, err := s.Static(before.Cases[0])
	if err != nil {
		t.Fatal(err)
	}
	work, unit, err := s.Work(st, measure)
	if err != nil {
		t.Fatal(err)
	}
	total, _ := measure.Of(old)
	sum := 0.0
	for i := range work.Members {
		sum += work.Members[i].Sum()
	}
	if !(math.Abs(sum-total) <= 1e-9*math.Abs(total)) { // rounding
		t.Errorf("the parts add up to %g, the corner moves by %g", sum, total)
	}
	change, err := s.NewChange(gained, lost, []Scaled{{MemberEnd, 1, RZ - 3, 0.2}, {MemberEnd, 1, RY - 3, 3}})
	if err != nil {
		t.Fatal(err)
	}
	by, err := change.Of(st, unit)
	if err != nil {
		t.Fatal(err)
	}
	exact, _ := measure.Of(want)
	if got := total + by; !(math.Abs(got-exact) <= 1e-6*math.Abs(exact)) { // rounding; the two are 40 % apart
		t.Errorf("moves by %g after the change, %g when built so; %g before", got, exact, total)
	}

	modes, err := s.Modes(3)
	if err != nil {
		t.Fatal(err)
	}
	for i := range modes.Hz {
		w := modes.WorkOn(i, i)
		sum := 0.0
		for k := range w.Members {
			sum += w.Members[k].Sum()
		}
		if !(math.Abs(sum-w.Total) <= 1e-9*w.Total) {
			t.Errorf("mode %d: the parts add up to %g, (2 pi f)2 is %g", i+1, sum, w.Total)
		}
	}
	heavier := Mass{ID: "more", At: Point{Node: "b"}, M: 5}
	after.Masses = append(after.Masses, heavier)
	n, err := Assemble(after)
	if err != nil {
		t.Fatal(err)
	}
	exactly, err := n.Modes(3)
	if err != nil {
		t.Fatal(err)
	}
	lambda, err := change.Modes(modes, nil, []Mass{heavier})
	if err != nil {
		t.Fatal(err)
	}
	for i, most := range []float64{1e-4, 0.03} {
		if hz := math.Sqrt(lambda[i]) / (2 * math.Pi); !(hz/exactly.Hz[i] > 1-1e-9 && hz/exactly.Hz[i] < 1+most) {
			t.Errorf("frequency %d: %.5g Hz, exactly %.5g Hz, %.5g Hz before", i+1, hz, exactly.Hz[i], modes.Hz[i])
		}
	}
}
