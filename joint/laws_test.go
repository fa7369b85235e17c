package joint

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"spanwright/given"
	"spanwright/ledger"
)

func anyPoints(t *rapid.T) []Point {
	n := rapid.IntRange(1, 12).Draw(t, "n")
	out := make([]Point, n)
	for i := range out {
		out[i] = Point{rapid.Float64Range(-0.2, 0.2).Draw(t, "u"), rapid.Float64Range(-0.2, 0.2).Draw(t, "v")}
	}
	return out
}

func anyDemand(t *rapid.T) Demand {
	force := rapid.Float64Range(-5000, 5000)
	moment := rapid.Float64Range(-300, 300)
	return Demand{
		N: force.Draw(t, "N"), Vy: force.Draw(t, "Vy"), Vz: force.Draw(t, "Vz"),
		T: moment.Draw(t, "T"), My: moment.Draw(t, "My"), Mz: moment.Draw(t, "Mz"),
	}
}

// TestShearGroupIsInEquilibrium: the shares add up to the load, forces and moment.
func TestShearGroupIsInEquilibrium(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		points, ring := anyPoints(t), rapid.Float64Range(0, 0.02).Draw(t, "ring")
		load := Shear{
			U:      rapid.Float64Range(-5000, 5000).Draw(t, "U"),
			V:      rapid.Float64Range(-5000, 5000).Draw(t, "V"),
			Moment: rapid.Float64Range(-300, 300).Draw(t, "M"),
		}
		shares, err := ShareShear(points, load, ring)
		if err != nil {
			t.Fatal(err)
		}
		c := centre(points)
		aboutCentre := load.Moment - (c.U*load.V - c.V*load.U)
		var u, v, m float64
		for i, s := range shares {
			u += s.U
			v += s.V
			m += points[i].U*s.V - points[i].V*s.U + math.Copysign(s.Twist, aboutCentre)
		}
		// 1e-9 of the load sizes: sums of at most 12 terms, and a group whose points
		// nearly coincide turns a moment into large forces that cancel.
		largest := 0.0
		for _, s := range shares {
			largest = math.Max(largest, math.Hypot(s.U, s.V))
		}
		tol := 1e-9 * (1 + largest)
		if math.Abs(u-load.U) > tol || math.Abs(v-load.V) > tol || math.Abs(m-load.Moment) > tol {
			t.Fatalf("sum (%g, %g, %g), load %+v", u, v, m, load)
		}
	})
}

// TestRockingIsInEquilibrium: the tensions balance the net moment about the pressed edge.
func TestRockingIsInEquilibrium(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := Rocking{
			Levers: rapid.SliceOfN(rapid.Float64Range(1e-3, 0.3), 1, 10).Draw(t, "levers"),
			Relief: rapid.Float64Range(0, 0.2).Draw(t, "relief"),
		}
		m, n := rapid.Float64Range(-500, 500).Draw(t, "M"), rapid.Float64Range(0, 3000).Draw(t, "N")
		tensions, err := r.Tensions(m, n)
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for i, f := range tensions {
			if f < 0 {
				t.Fatalf("screw %d pushes: %g N", i, f)
			}
			sum += f * r.Levers[i]
		}
		if want := math.Max(0, math.Abs(m)-n*r.Relief); math.Abs(sum-want) > 1e-9*(1+want) {
			t.Fatalf("tensions hold %g N m, net moment %g N m", sum, want)
		}
	})
}

// TestFaceHoldsAtLeastTheDemand: about its pressed edges a face never carries
// less than the demand asks, whatever falls together.
func TestFaceHoldsAtLeastTheDemand(t *testing.T) {
	face := Face{Screws: Grid(2, 3, 0.05, 0.04), MinY: -0.05, MaxY: 0.05, MinZ: -0.07, MaxZ: 0.07, Faces: 1}
	rapid.Check(t, func(t *rapid.T) {
		d := anyDemand(t)
		loads, err := face.Resolve(d)
		if err != nil {
			t.Fatal(err)
		}
		pull, about := 0.0, 0.0
		edge := face.MinZ
		if d.My < 0 {
			edge = face.MaxZ
		}
		for i, l := range loads {
			pull += l.Tension
			about += l.Tension * math.Abs(face.Screws[i].V-edge)
		}
		if pull < math.Max(0, d.N)-1e-9*math.Abs(d.N) {
			t.Fatalf("screws pull %g N against %g N", pull, d.N)
		}
		if need := math.Abs(d.My) + d.N*math.Abs(edge); about < need-1e-9*(1+math.Abs(need)) {
			t.Fatalf("screws hold %g N m about the edge, %g N m are needed", about, need)
		}
	})
}

// TestMoreTorqueNeverLowersSlipCapacity: until the preload check says that the
// screw or the lips are at their limit, tightening only helps against slip and opening.
func TestMoreTorqueNeverLowersSlipCapacity(t *testing.T) {
	base := plateFace(t)
	rapid.Check(t, func(t *rapid.T) {
		d := anyDemand(t)
		torques := [2]float64{
			rapid.Float64Range(0.5, 30).Draw(t, "torque"),
			rapid.Float64Range(0, 20).Draw(t, "more"),
		}
		torques[1] += torques[0]
		var slip, lip [2]Check
		for i, torque := range torques {
			b := base
			b.Screw.Tightening.Torque = torque
			checks, err := Checks(b, d)
			if err != nil {
				t.Fatal(err)
			}
			slip[i], lip[i] = pickRapid(t, checks, Slip), pickRapid(t, checks, LipPullOut)
		}
		if !(slip[1].Capacity >= slip[0].Capacity) || !(slip[1].Utilisation <= slip[0].Utilisation) {
			t.Fatalf("slip %g N at %g N m, %g N at %g N m", slip[0].Capacity, torques[0], slip[1].Capacity, torques[1])
		}
		if !(lip[1].Demand >= lip[0].Demand) {
			t.Fatalf("the lips feel %g N, then %g N", lip[0].Demand, lip[1].Demand)
		}
	})
}

func pickRapid(t *rapid.T, checks []Check, m Mechanism) Check {
	for _, c := range checks {
		if c.Mechanism == m {
			return c
		}
	}
	t.Fatalf("no check %q", m)
	return Check{}
}

func hardware(t testing.TB, f Family) (Hardware, Ends) {
	h := Hardware{
		Family: f, Screw: m8(t), Count: 4, Lever: 0.06, Pitch: 0.06, Thickness: 0.012, Width: 0.08, Yield: 160e6, Young: 70e9,
	}
	switch f {
	case HiddenFastener, CoreScrew:
		h.Count = 2
	case OneBracket, TwoBrackets:
		h.Lever, h.Count, h.Pitch = 0.02, 2, 0.04
	case OneGusset, TwoGussets:
		h.Lever, h.Pitch = 0.02, 0.04
	}
	return h, Ends{
		DepthY: 0.04, DepthZ: 0.08, Area: 1245e-6, Modulus: 9.5e-6, Yield: 160e6, Lip: slot8(),
		Core: &TappedHole{Engagement: 0.02, Yield: 160e6, Share: TappedShare},
	}
}

var everyFamily = []Family{HiddenFastener, CoreScrew, OneBracket, TwoBrackets, OneGusset, TwoGussets, CornerPlates, BasePlates}

func everyJoint(t testing.TB) map[string]Joint {
	joints := map[string]Joint{}
	for _, f := range everyFamily {
		h, e := hardware(t, f)
		j, err := Assemble(h, e, UsualSafety())
		if err != nil {
			t.Fatalf("%s: %v", f, err)
		}
		joints[string(f)] = j
	}
	joints["clamps"] = Clamps{
		PerSide: 2, Pitch: 0.1, Gauge: 0.1, Width: 0.08, Length: 0.2, Screw: m8(t), Screws: 1, Lever: 0.5, Friction: 2,
		Lip: slot8(), Safety: UsualSafety(),
	}
	joints["outer strap"] = OuterStrap{
		At: PlusZ, Depth: 0.08, Member: Grid(2, 1, 0.04, 0), Host: Grid(2, 1, 0.04, 0), Gap: 0.06, Toe: 0.04,
		Strip:  Strip{Thickness: 0.008, Width: 0.04, Arm: 0.06, Young: 70e9, Yield: 160e6},
		Screws: [2]Holder{{Screw: m8(t), Lip: slot8()}, {Screw: m8(t), Lip: slot8()}}, Ring: 5e-3, Safety: UsualSafety(),
	}
	joints["direct"] = plateFace(t)
	between, err := betweenBodies(t).Assemble(UsualSafety())
	if err != nil {
		t.Fatal(err)
	}
	joints["interface plate"] = between
	return joints
}

// TestWorkingGivesTheUtilisation: every check can be redone from its printed terms.
func TestWorkingGivesTheUtilisation(t *testing.T) {
	joints := everyJoint(t)
	for name, j := range joints {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				checks, err := Checks(j, anyDemand(t))
				if err != nil {
					t.Fatal(err)
				}
				for _, c := range checks {
					w := ledger.Working{Formula: c.Formula}
					for _, term := range c.Terms {
						w.Inputs = append(w.Inputs, ledger.Input{Symbol: term.Symbol, Value: term.Value})
					}
					got, err := w.Evaluate()
					if err != nil {
						t.Fatalf("%s %s: %v", c.Number, c.Mechanism, err)
					}
					// 1e-9: the formula is evaluated in another order of operations.
					if math.IsNaN(got) || math.Abs(got-c.Utilisation) > 1e-9*(1+c.Utilisation) && got != c.Utilisation {
						t.Fatalf("%s %s %s: working gives %.12g, check says %.12g", c.Number, c.Mechanism, c.Where, got, c.Utilisation)
					}
					if c.Source == "" || c.Number == "" {
						t.Fatalf("%s lacks source or number", c.Mechanism)
					}
				}
			})
		})
	}
}

// TestUtilisationGrowsWithTheDemand: half a demand never asks more than the whole.
func TestUtilisationGrowsWithTheDemand(t *testing.T) {
	joints := everyJoint(t)
	for name, j := range joints {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				d := anyDemand(t)
				share := rapid.Float64Range(0, 1).Draw(t, "share")
				part := Demand{d.N * share, d.Vy * share, d.Vz * share, d.T * share, d.My * share, d.Mz * share}
				whole, err := Checks(j, d)
				if err != nil {
					t.Fatal(err)
				}
				less, err := Checks(j, part)
				if err != nil {
					t.Fatal(err)
				}
				for i := range whole {
					if !(less[i].Utilisation <= whole[i].Utilisation*(1+1e-9)+1e-12) {
						t.Fatalf("%s %s: %.12g at %.3g of the demand, %.12g at all of it",
							whole[i].Mechanism, whole[i].Where, less[i].Utilisation, share, whole[i].Utilisation)
					}
				}
			})
		})
	}
}

// TestJointsRefuseNonsense: no panic, no verdict, for numbers that cannot be a joint.
func TestJointsRefuseNonsense(t *testing.T) {
	for name, j := range everyJoint(t) {
		for what, d := range map[string]Demand{"NaN": {My: math.NaN()}, "infinite": {Vy: math.Inf(1)}} {
			if _, err := Checks(j, d); !errors.Is(err, given.ErrRefused) {
				t.Errorf("%s under a %s demand: %v", name, what, err)
			}
		}
	}
	for _, f := range everyFamily {
		for what, spoil := range map[string]func(*Hardware, *Ends){
			"no screws":       func(h *Hardware, _ *Ends) { h.Count = 0 },
			"negative torque": func(h *Hardware, _ *Ends) { h.Screw.Tightening.Torque = -1 },
			"no nut factor":   func(h *Hardware, _ *Ends) { h.Screw.Tightening.NutFactor = 0 },
			"scatter below 1": func(h *Hardware, _ *Ends) { h.Screw.Tightening.Scatter = 0.9 },
			"no member":       func(_ *Hardware, e *Ends) { e.DepthZ = 0 },
			"NaN torque":      func(h *Hardware, _ *Ends) { h.Screw.Tightening.Torque = math.NaN() },
		} {
			h, e := hardware(t, f)
			spoil(&h, &e)
			j, err := Assemble(h, e, UsualSafety())
			if err == nil {
				_, err = Checks(j, Demand{N: 1})
			}
			if !errors.Is(err, given.ErrRefused) {
				t.Errorf("%s with %s: %v", f, what, err)
			}
		}
	}
	for name, call := range map[string]func() error{
		"nut wider than the slot": func() error { _, err := (Lip{4.5e-3, 8e-3, 20e-3, 21e-3, 22e-3, 0, 2e8}).Strength(); return err },
		"nut falls through":       func() error { _, err := (Lip{4.5e-3, 8e-3, 20e-3, 7e-3, 22e-3, 0, 2e8}).Strength(); return err },
		"no thread engaged": func() error {
			_, err := (TappedHole{0, 1e8, 0.6}).Strip(m8(t).Thread)
			return err
		},
		"screw beyond the edge": func() error { _, err := (Rocking{Levers: []float64{-0.01}}).Tensions(1, 0); return err },
		"no family":             func() error { _, err := Assemble(Hardware{Count: 1}, Ends{DepthY: 1, DepthZ: 1}, Safety{}); return err },
	} {
		err := call()
		if !errors.Is(err, given.ErrRefused) && !errors.Is(err, ErrUnknownFamily) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
