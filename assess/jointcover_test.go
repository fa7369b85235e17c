package assess

import (
	"math"
	"testing"

	"spanwright/structure"
)

// TestCoveredForcesDoNotDecide: leaving out the forces that others cover changes no utilisation at any place.
func TestCoveredForcesDoNotDecide(t *testing.T) {
	for _, name := range []string{"crate-portal", "sample-gantry", "seedling-gantry"} {
		for _, file := range []string{"gantry.yaml", "faulty.yaml"} {
			m := built(t, name, file)
			r := solved(t, m)
			all, left := 0, 0
			for _, g := range append(r.standJoints(), r.axisJoints()...) {
				g.line = false // else the slip of some combinations is left out on purpose
				for i, p := range g.places {
					got, err := g.look(i, r.study.forces, newJointDesk())
					if err != nil {
						t.Fatal(err)
					}
					var want []jointFinding
					forces := p.forces(r.study.forces)
					for k, force := range forces {
						all++
						if covered(forces, k, func(int) bool { return true }) {
							left++
						}
						list, err := p.judge(&force.Bounds6, newJointDesk())
						if err != nil {
							t.Fatal(err)
						}
						for i := range list {
							want = keepWorst(want, &list[i])
						}
					}
					for _, f := range want {
						// Equal demands that differ by rounding may take each other's place.
						if u := utilisationOf(got, f.check.Mechanism); !(math.Abs(u-f.check.Utilisation) <= 1e-8*f.check.Utilisation) && f.check.Missing == "" {
							t.Errorf("%s/%s, %s, %s: %v, over all forces %v", name, file, p.name, f.check.Mechanism, u, f.check.Utilisation)
						}
					}
				}
			}
			if left == 0 || left == all {
				t.Errorf("%s/%s: %d of %d forces are covered", name, file, left, all)
			}
		}
	}
}

// TestEqualForcesAreNotBothCovered: of equal ones the first stays, also where they differ by rounding.
func TestEqualForcesAreNotBothCovered(t *testing.T) {
	a := structure.Force{Bounds6: structure.Bounds6{Min: structure.Six{-100, -3, -5, -1, -2, -3}, Max: structure.Six{50, 3, 5, 1, 2, 3}}}
	b := a
	for i := range b.Min {
		b.Min[i] *= 1 + 1e-13
		b.Max[i] *= 1 + 1e-13
	}
	wide := a
	for i := range wide.Min {
		wide.Min[i] *= 1.5
		wide.Max[i] *= 1.5
	}
	any := func(int) bool { return true }
	for what, c := range map[string]struct {
		forces []structure.Force
		want   []bool
	}{
		"twice the same":             {[]structure.Force{a, a}, []bool{false, true}},
		"later wider by rounding":    {[]structure.Force{a, b}, []bool{false, false}},
		"earlier wider by rounding":  {[]structure.Force{b, a}, []bool{false, true}},
		"later wider":                {[]structure.Force{a, wide}, []bool{true, false}},
		"wider but may not stand in": {[]structure.Force{a, wide}, []bool{false, false}},
	} {
		may := any
		if what == "wider but may not stand in" {
			may = func(int) bool { return false }
		}
		for i, want := range c.want {
			if got := covered(c.forces, i, may); got != want {
				t.Errorf("%s: force %d covered: %v", what, i, got)
			}
		}
	}
}
