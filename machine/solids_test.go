package machine_test

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/machine"
)

var drawnExamples = []string{"crate-portal", "seedling-gantry", "slab-gantry", "sample-gantry"}

func TestEverySolidIsABody(t *testing.T) {
	for _, name := range drawnExamples {
		t.Run(name, func(t *testing.T) {
			seen := map[string]bool{}
			for _, s := range example(t, name).Solids() {
				if seen[s.ID] {
					t.Errorf("%s stands twice", s.ID)
				}
				seen[s.ID] = true
				if s.Of != "" && !seen[s.Of] {
					t.Errorf("%s is a piece of %s, which does not come before it", s.ID, s.Of)
				}
				if d := r3.Norm(r3.Sub(r3.Cross(s.X, s.Y), s.Z)); d > 1e-9 || math.Abs(r3.Norm(s.X)-1) > 1e-9 {
					t.Errorf("%s: its axes are not right-handed", s.ID)
				}
				for _, simplified := range []bool{true, false} {
					p, err := s.Prism(simplified)
					if err != nil {
						t.Errorf("%s: %v", s.ID, err)
						continue
					}
					if err := p.Check(); err != nil {
						t.Errorf("%s: %v", s.ID, err)
					}
				}
			}
		})
	}
}

// TestMassesFollowFromShapes: volume times density is the mass of a bar, drawn
// in full and simplified.
func TestMassesFollowFromShapes(t *testing.T) {
	for _, name := range drawnExamples {
		t.Run(name, func(t *testing.T) {
			weighed := 0
			for _, s := range example(t, name).Solids() {
				if !(s.Density > 0) {
					continue
				}
				weighed++
				for _, simplified := range []bool{true, false} {
					p, err := s.Prism(simplified)
					if err != nil {
						t.Fatal(err)
					}
					// The area of the section is that of the same outline; its moments are summed in another order.
					if got := p.Volume() * s.Density; math.Abs(got/s.Kg-1) > 1e-9 {
						t.Errorf("%s: volume times density is %.9g kg, the bar weighs %.9g kg", s.ID, got, s.Kg)
					}
				}
			}
			if weighed < 10 {
				t.Errorf("only %d solids have a density", weighed)
			}
		})
	}
}

// TestNothingFloats: boxes around neighbouring solids touch, so that from any
// solid all others can be reached.
func TestNothingFloats(t *testing.T) {
	const gap = 2e-3 // m: rails stand that far off their end housings
	for _, name := range drawnExamples {
		t.Run(name, func(t *testing.T) {
			var solids []machine.Solid
			var lo, hi []r3.Vec
			for _, s := range example(t, name).Solids() {
				if s.Thing == machine.ThingPayload {
					continue // is carried, not fixed
				}
				solids = append(solids, s)
				lo = append(lo, r3.Vec{X: -s.Support(r3.Vec{X: -1}), Y: -s.Support(r3.Vec{Y: -1}), Z: -s.Support(r3.Vec{Z: -1})})
				hi = append(hi, r3.Vec{X: s.Support(r3.Vec{X: 1}), Y: s.Support(r3.Vec{Y: 1}), Z: s.Support(r3.Vec{Z: 1})})
			}
			touch := func(i, k int) bool {
				return lo[i].X <= hi[k].X+gap && lo[k].X <= hi[i].X+gap && lo[i].Y <= hi[k].Y+gap && lo[k].Y <= hi[i].Y+gap && lo[i].Z <= hi[k].Z+gap && lo[k].Z <= hi[i].Z+gap
			}
			reached := make([]bool, len(solids))
			queue := []int{0}
			reached[0] = true
			for len(queue) > 0 {
				i := queue[0]
				queue = queue[1:]
				for k := range solids {
					if !reached[k] && touch(i, k) {
						reached[k] = true
						queue = append(queue, k)
					}
				}
			}
			for k, is := range reached {
				if !is {
					t.Errorf("%s touches nothing", solids[k].ID)
				}
			}
		})
	}
}

// TestEverythingStandsOnTheFloor: nothing reaches below it, the feet stand on it.
func TestEverythingStandsOnTheFloor(t *testing.T) {
	for _, name := range drawnExamples {
		t.Run(name, func(t *testing.T) {
			m := example(t, name)
			feet := 0
			for _, s := range m.Solids() {
				low := -s.Support(r3.Vec{Z: -1})
				if s.Thing != machine.ThingPayload && low < -1e-9 {
					t.Errorf("%s reaches %.4g m below the floor", s.ID, -low)
				}
				if s.Thing == machine.ThingFoot && s.Of == "" {
					feet++
					if math.Abs(low) > 1e-9 {
						t.Errorf("%s stands %.4g m above the floor", s.ID, low)
					}
				}
			}
			if feet != len(m.Feet) {
				t.Errorf("%d feet are drawn, %d there are", feet, len(m.Feet))
			}
		})
	}
}

// TestBarsMeetFaces: legs end an end plate's thickness below the rail they
// carry, braces are cut along the faces they meet, braces and legs of the crate
// portal as on its drawing.
func TestBarsMeetFaces(t *testing.T) {
	bars := map[string]machine.Bar{}
	for _, b := range example(t, "crate-portal").Bars() {
		bars[b.ID] = b
	}
	// Height 2.1 m, rail and foot rail 90 mm, foot 95 mm, corner plates at both ends.
	leg := bars["leg.left"]
	plates := leg.Joints[0].Part.Thick + leg.Joints[1].Part.Thick
	if got, want := leg.Length(), 2.1-0.09-0.09-0.095-plates; !(plates > 0.01) || math.Abs(got-want) > 1e-9 {
		t.Errorf("leg of %.6g m, want %.6g m", got, want)
	}
	brace := bars["brace.along.1.1"]
	for end := range 2 {
		if got := brace.CutAngle(end); math.Abs(got-math.Pi/4) > 1e-9 {
			t.Errorf("end %d of the knee brace is cut at %.6g rad from square, want 45 degrees", end, got)
		}
		if got := leg.CutAngle(end); got > 1e-9 {
			t.Errorf("end %d of the leg is cut at %.6g rad from square", end, got)
		}
	}
	// A leg goes up to the rail that runs over it, although a higher one across stops at the same corner.
	legs := 0
	for _, b := range crossed(t).Bars() {
		if b.ID == "leg.front.left" {
			legs++
			// Height 400 mm, rail 80 mm, foot 60 mm, corner plate above.
			if got, want := b.Length(), 0.40-0.08-0.06-b.Joints[1].Part.Thick; math.Abs(got-want) > 1e-9 {
				t.Errorf("leg below a high rail across of %.6g m, want %.6g m", got, want)
			}
		}
	}
	if legs != 1 {
		t.Errorf("%d legs at the corner in front on the left", legs)
	}
	// From the leg's face to the rail's: 450 mm reach less half of each, at 45 degrees.
	if got, want := brace.Length(), math.Sqrt2*(0.45-0.045-0.045); math.Abs(got-want) > 1e-9 {
		t.Errorf("brace of %.6g m, want %.6g m", got, want)
	}
}

// TestCarrierLoops: at every place of the axis the two runs and half a turn are
// the built length, the fixed end lies still and the moving end goes with the axis.
func TestCarrierLoops(t *testing.T) {
	for _, name := range drawnExamples {
		m := example(t, name)
		for _, a := range m.Axes {
			l, has := m.Loop(a)
			if !has {
				t.Errorf("%s: axis %s has no cable carrier", name, a.Spec.ID)
				continue
			}
			home, _ := l.Runs(0)
			for _, x := range []float64{0, a.Spec.Travel / 3, a.Spec.Travel} {
				fixed, moving := l.Runs(x)
				if got := fixed + moving + math.Pi*l.Radius; math.Abs(got-l.Carrier.Loop.Length) > 1e-9 {
					t.Errorf("%s, axis %s at %.3g m: runs and bend are %.9g m, built are %.9g m", name, a.Spec.ID, x, got, l.Carrier.Loop.Length)
				}
				// The moving end: along the loop from the fixed one, up and back.
				end := r3.Scale(fixed-moving, l.Along)
				start, back := l.Runs(0)
				if got, want := r3.Dot(end, a.Dir)-r3.Dot(r3.Scale(start-back, l.Along), a.Dir), x; math.Abs(got-want) > 1e-9 {
					t.Errorf("%s, axis %s: the moving end goes %.9g m while the axis goes %.9g m", name, a.Spec.ID, got, want)
				}
				if half := math.Abs(fixed-home) - x/2; math.Abs(half) > 1e-9 {
					t.Errorf("%s, axis %s: the bend moves half as fast as the axis, is off by %.3g m", name, a.Spec.ID, half)
				}
			}
		}
	}
}

// TestLoopsChangeShapeOnly: at another pose all solids are the same but for the carriers.
func TestLoopsChangeShapeOnly(t *testing.T) {
	m := example(t, "seedling-gantry")
	home, away := m.Solids(), m.SolidsAt([]float64{2, 0.8, 0.25})
	changed := 0
	for i := range home {
		a, b := home[i], away[i]
		if a.ID != b.ID {
			t.Fatalf("%s stands where %s was", b.ID, a.ID)
		}
		if a.Origin != b.Origin || a.Size != b.Size {
			changed++
			if a.Thing != machine.ThingCarrier {
				t.Errorf("%s has changed", a.ID)
			}
		}
	}
	if changed != 3 {
		t.Errorf("%d solids have changed, want the three carriers", changed)
	}
}

// TestGroupsAndBodies: bars of the stand stand still, what hangs on the mast moves with it.
func TestGroupsAndBodies(t *testing.T) {
	m := example(t, "seedling-gantry")
	want := map[string]struct {
		group string
		body  int
	}{
		"leg.front.left": {"stand", 0}, "x.beam.minus": {"x", 0}, "x.carriage.plus": {"x", 1}, "y.beam": {"y", 1}, "y.motor": {"y", 1},
		"y.carriage": {"y", 2}, "z.plate": {"z", 2}, "z.motor": {"z", 2}, "z.body": {"z", 3}, "z.stop.from": {"z", 3}, "tool": {"tool", 3},
		"x.carrier": {"x", 0}, "x.carrier_arm": {"x", 1}, "z.carrier": {"z", 2}, "z.carrier_arm": {"z", 3},
	}
	found := 0
	for _, s := range m.Solids() {
		w, asked := want[s.ID]
		if !asked {
			continue
		}
		found++
		if s.Group != w.group || s.Body != w.body {
			t.Errorf("%s belongs to %s and moves with body %d, want %s and %d", s.ID, s.Group, s.Body, w.group, w.body)
		}
		if strings.HasPrefix(s.ID, "leg") && s.Part != "profile-80x80-heavy" {
			t.Errorf("the leg is of %s", s.Part)
		}
	}
	if found != len(want) {
		t.Errorf("%d of %d solids are there", found, len(want))
	}
}
