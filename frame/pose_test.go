package frame

import (
	"math"
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
