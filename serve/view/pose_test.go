package view

import (
	"math"
	"testing"

	"spanwright/structure"
)

// near holds two numbers together to a relative difference.
func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance*math.Abs(want)) {
		t.Errorf("%s is %.12g, want %.12g", what, got, want)
	}
}

// solved is the difference of two ways through one factored model: condition
// numbers of 1e6 leave 1e-10, and the tests of frame hold 1e-8.
const solved = 1e-8

func TestPoseSagsAsTheLedgerSays(t *testing.T) {
	each(t, func(t *testing.T, name string) {
		a := judged(t, name)
		most, least := a.SagPoses()
		p, err := OfPose(a, most, true)
		if err != nil {
			t.Fatal(err)
		}
		low, err := OfPose(a, least, true)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "the sag", float64(p.Sag), float64(a.Results.Tool.SagMax), solved)
		near(t, "the variation", float64(p.Sag-low.Sag), float64(a.Results.Tool.SagVariation), 100*solved) // a difference of near numbers
		near(t, "the sag of the shape", -float64(p.Shape.Tool.U[2]), float64(p.Sag), solved)
		for d := range 3 {
			near(t, "dead and payload", float64(p.Tool.Dead[d]+p.Tool.Payload[d]), float64(p.Tool.Total[d]), 1e-9) // a sum of two
			if got, want := float64(p.Shape.Tool.U[d]), float64(p.Tool.Total[d]); math.Abs(got-want) > solved*float64(p.Shape.Largest) {
				t.Errorf("the shape moves the tool %g m along %d, the tool moves %g m", got, d, want)
			}
		}
	})
}

func TestPoseShapeHangsTogether(t *testing.T) {
	each(t, func(t *testing.T, name string) {
		a := judged(t, name)
		m := a.Machine
		p, err := a.Study().Posed(middle(a), true, 0)
		if err != nil {
			t.Fatal(err)
		}
		largest := p.Shape.Largest()
		nodes := map[int]structure.Moved{}
		for _, b := range p.Shape.Members {
			mem := m.Members[b.Member]
			if len(b.Line) < 9 {
				t.Errorf("%s has %d places", mem.ID, len(b.Line))
			}
			for node, end := range map[int]structure.Moved{mem.From: b.Line[0], mem.To: b.Line[len(b.Line)-1]} {
				if old, known := nodes[node]; known && !close3(old, end, 1e-9*largest) { // the same freedoms, turned to other axes
					t.Errorf("%s leaves node %s: %v, %v", mem.ID, m.Nodes[node].ID, old, end)
				}
				nodes[node] = end
			}
		}
		for _, r := range p.Shape.Rigid {
			if end, known := nodes[r.Node]; known && !close3(end, r.Moved, 1e-9*largest) {
				t.Errorf("node %s moves %v, its members %v", m.Nodes[r.Node].ID, r.Moved, end)
			}
		}
	})
}

func close3(a, b structure.Moved, tolerance float64) bool {
	for _, d := range [...]float64{a.By.X - b.By.X, a.By.Y - b.By.Y, a.By.Z - b.By.Z} {
		if !(math.Abs(d) <= tolerance) {
			return false
		}
	}
	const same = 1e-9 // m, of places of metres
	return math.Abs(a.At.X-b.At.X)+math.Abs(a.At.Y-b.At.Y)+math.Abs(a.At.Z-b.At.Z) < same
}

func TestPoseWithoutPayload(t *testing.T) {
	a := judged(t, large)
	full, err := OfPose(a, middle(a), true)
	if err != nil {
		t.Fatal(err)
	}
	empty, err := OfPose(a, middle(a), false)
	if err != nil {
		t.Fatal(err)
	}
	if empty.Tool.Payload != (Vec{}) || empty.Tool.Total != empty.Tool.Dead {
		t.Errorf("without a payload the tool moves %v by it", empty.Tool.Payload)
	}
	near(t, "the dead part", float64(empty.Tool.Dead[2]), float64(full.Tool.Dead[2]), solved)
	if !(empty.Hz[0] > full.Hz[0]) {
		t.Errorf("%g Hz without payload, %g Hz with it", empty.Hz[0], full.Hz[0])
	}
	near(t, "the stiffness", float64(empty.Stiffness[0]), float64(full.Stiffness[0]), solved)
}

func TestModesAreThoseOfTheLedger(t *testing.T) {
	each(t, func(t *testing.T, name string) {
		a := judged(t, name)
		modes, err := OfModes(a, a.SoftPose(), true, 6)
		if err != nil {
			t.Fatal(err)
		}
		// Modes of a pose are held to the reference within 1e-7 by the tests of frame.
		near(t, "the lowest frequency", float64(modes.Modes[0].Hz), float64(a.Results.Tool.FirstFreq), 1e-7)
		var mass [3]Number
		for i, m := range modes.Modes {
			near(t, "the largest movement", float64(m.Shape.Largest), 1, 1e-12)
			if i > 0 && m.Hz < modes.Modes[i-1].Hz {
				t.Errorf("%g Hz comes after %g Hz", m.Hz, modes.Modes[i-1].Hz)
			}
			sum := 0.0
			for k, g := range m.Energy {
				sum += float64(g.Share)
				if g.Share < -1e-12 || k > 0 && g.Share > m.Energy[k-1].Share { // rounding of a sum of 1
					t.Errorf("mode %d: %s has the share %g", i, g.Group, g.Share)
				}
			}
			near(t, "the strain energy", sum, 1, 1e-9) // a sum of some hundred
			mass[0], mass[1], mass[2] = mass[0]+m.Participation.X, mass[1]+m.Participation.Y, mass[2]+m.Participation.Z
			if m.Words == "" || m.Text == "" {
				t.Errorf("mode %d has no words", i)
			}
		}
		for d, sum := range mass {
			if !(sum > 0 && sum <= 1) {
				t.Errorf("the modes together swing %g of the mass along %d", sum, d)
			}
		}
	})
}

func TestMapIsTheLedgers(t *testing.T) {
	each(t, func(t *testing.T, name string) {
		a := judged(t, name)
		m := OfMap(a)
		places := 1
		for _, n := range m.Counts {
			places *= n
		}
		if places != len(m.Values) {
			t.Fatalf("%v places along the axes, %d values", m.Counts, len(m.Values))
		}
		if m.Greatest["sag"] != a.Results.Tool.SagMax || m.Greatest["sag"]-m.Least["sag"] != a.Results.Tool.SagVariation || m.Least["hz"] != a.Results.Tool.FirstFreq {
			t.Errorf("sag %g to %g m, at least %g Hz; the ledger has %+v", m.Least["sag"], m.Greatest["sag"], m.Least["hz"], a.Results.Tool)
		}
		most, _ := a.SagPoses()
		for i, q := range m.Values[m.GreatestAt["sag"]].Q {
			if float64(q) != most[i] {
				t.Errorf("sags most at %v, the ledger says %v", m.Values[m.GreatestAt["sag"]].Q, most)
			}
		}
		last := m.Values[1] // the last axis runs fastest
		if last.Q[0] != m.Values[0].Q[0] || last.Q[len(last.Q)-1] == m.Values[0].Q[len(last.Q)-1] {
			t.Errorf("the second place is %v", last.Q)
		}
	})
}

func TestFineMapMeetsThePoses(t *testing.T) {
	a := judged(t, large)
	f, err := OfFine(a, FineQuery{AxisA: "x", AxisB: "z", Rest: middle(a), Counts: [2]int{4, 3}})
	if err != nil {
		t.Fatal(err)
	}
	for _, i := range []int{0, 5, 11} {
		q := middle(a)
		q[0], q[2] = float64(f.A[i/3]), float64(f.B[i%3])
		p, err := OfPose(a, q, true)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "the sag", float64(f.Sag[i]), float64(p.Sag), solved)
	}
}

// TestLinesAreDrawnOnAGrid: what is drawn lies within half a grid of what was
// solved, far below a pixel of any screen.
func TestLinesAreDrawnOnAGrid(t *testing.T) {
	a := judged(t, large)
	q := middle(a)
	p, err := OfPose(a, q, true)
	if err != nil {
		t.Fatal(err)
	}
	full, err := a.Study().Posed(q, true, 0)
	if err != nil {
		t.Fatal(err)
	}
	move := full.Shape.Largest() / (1 << 16)
	for i, b := range full.Shape.Members {
		for k, want := range b.Line {
			got := p.Shape.Members[i]
			for d, pair := range [...][2]float64{
				{want.By.X, float64(got.Moved[3*k])}, {want.By.Y, float64(got.Moved[3*k+1])}, {want.By.Z, float64(got.Moved[3*k+2])},
				{want.At.X, float64(got.Points[3*k])}, {want.At.Y, float64(got.Points[3*k+1])}, {want.At.Z, float64(got.Points[3*k+2])},
			} {
				slack := move
				if d >= 3 {
					slack = lineGrain
				}
				if !(math.Abs(pair[0]-pair[1]) <= slack/2*(1+1e-6)) { // of a value that is half way
					t.Errorf("%s, place %d: drawn %.9g, solved %.9g", got.ID, k, pair[1], pair[0])
				}
			}
		}
	}
	if grainOf(0) != 0 || grainOf(math.NaN()) != 0 || grainOf(math.Inf(1)) != 0 {
		t.Error("a machine that does not move has a grid")
	}
}
