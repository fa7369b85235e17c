package section

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Areas by hand: square less slots, bore, cells and corners.
func TestTSlotAreaByHand(t *testing.T) {
	p := single()
	slot := func(p TSlot, top, from float64) float64 { // area of one slot below depth from
		taper := (p.Inner + p.Floor()) / 2 * (p.Depth - p.TaperStart())
		return top*p.Lip + p.Inner*(p.TaperStart()-from) + taper
	}
	bore := math.Pi / 4 * p.Bore * p.Bore
	corners := (4 - math.Pi) * p.Corner * p.Corner
	cell := math.Pow(p.block()-2*p.Wall, 2)
	open := slot(p, p.Slot, p.Lip)
	near(t, "single", drawn(t, p).Moments().Area, p.Module*p.Module-4*open-bore-corners-4*cell, 1e-9)

	closed := p
	closed.Closed = Faces{PlusZ: true, MinusY: true}
	closed.FaceWall = 2.2e-3
	hidden := slot(closed, 0, closed.FaceWall)
	near(t, "two faces closed", drawn(t, closed).Moments().Area, p.Module*p.Module-2*open-2*hidden-bore-corners-4*cell, 1e-9)

	d := modules(2, 1)
	chamber := 2 * slot(d, 0, 0)
	edge := (2*d.block() - 2*d.Wall) * (d.block() - 2*d.Wall)
	near(t, "2 x 1", drawn(t, d).Moments().Area, 2*d.Module*d.Module-6*open-chamber-2*bore-corners-4*cell-2*edge, 1e-9)

	sharp := p
	sharp.Corner, sharp.Bore, sharp.HollowCorners = 0, 0, false
	near(t, "plain", drawn(t, sharp).Moments().Area, p.Module*p.Module-4*open, 1e-9)
}

// The web between the flanks of neighbouring slots has the thickness asked for.
func TestTSlotWebThickness(t *testing.T) {
	p := single()
	o := drawn(t, p)
	least := math.Inf(1)
	// Behind the lips, the flank of the right slot lies below the diagonal and
	// that of the upper slot above it.
	flank := func(p Point) bool { return p.Y > 0 && p.Z > 0 && max(p.Y, p.Z) < 12e-3 }
	for _, from := range o.Outer {
		o.edges(func(_ int, a, b Point) {
			if flank(from) && from.Z < from.Y && flank(a) && flank(b) && a.Z > a.Y && b.Z > b.Y {
				least = min(least, nearest(from, a, b).sub(from).length())
			}
		})
	}
	near(t, "web", least, p.Web, 1e-9)
}

// Where slots and modules match, turning the profile by a quarter changes nothing.
func TestTSlotSymmetry(t *testing.T) {
	for name, c := range map[string]struct {
		p      TSlot
		double bool
		swap   bool
	}{
		"single":        {single(), true, true},
		"3 x 3":         {modules(3, 3), true, true},
		"3 x 1":         {modules(3, 1), true, false},
		"top closed":    {func() TSlot { p := single(); p.Closed.PlusZ = true; return p }(), false, false},
		"sides closed":  {func() TSlot { p := single(); p.Closed = Faces{PlusY: true, MinusY: true}; return p }(), true, false},
		"all closed":    {func() TSlot { p := modules(2, 2); p.Closed = Faces{true, true, true, true}; return p }(), true, true},
		"without taper": {func() TSlot { p := single(); p.Inner = 11e-3; p.HollowCorners = false; return p }(), true, true},
	} {
		t.Run(name, func(t *testing.T) {
			o := drawn(t, c.p)
			s := o.symmetry(o.Moments().Centroid)
			if s.Double() != c.double || s.Swap != c.swap {
				t.Errorf("%+v", s)
			}
		})
	}
}

func TestTSlotRefusesWithReason(t *testing.T) {
	change := func(f func(*TSlot)) TSlot { p := single(); f(&p); return p }
	tests := map[string]struct {
		p    TSlot
		want string
	}{
		"nothing given":        {TSlot{}, "module: 0 mm is no size"},
		"not a number":         {change(func(p *TSlot) { p.Wall = math.NaN() }), "wall: NaN mm is no size"},
		"no modules":           {change(func(p *TSlot) { p.ModulesZ = 0 }), "modules: 1 x 0, from 1 to 20"},
		"opening too wide":     {change(func(p *TSlot) { p.Slot = 20e-3 }), "so there are no lips"},
		"inner too wide":       {change(func(p *TSlot) { p.Inner = 41e-3 }), "inner: a width of 41 mm does not fit into a module of 40 mm"},
		"slots meet":           {change(func(p *TSlot) { p.Depth = 20e-3 }), "depth: slots 20 mm deep meet in the middle"},
		"no floor":             {change(func(p *TSlot) { p.Web = 12e-3 }), "web: webs of 12 mm leave no floor"},
		"flanks before lips":   {change(func(p *TSlot) { p.Inner = 30e-3 }), "inner: a width of 30 mm makes the flanks start 3.232 mm below the face, not behind the lips of 4.5 mm"},
		"corner into the slot": {change(func(p *TSlot) { p.Corner = 16e-3 }), "corner radius: 16 mm reaches into the slot opening, below 16 mm"},
		"bore into the slots":  {change(func(p *TSlot) { p.Bore = 15.5e-3 }), "bore: 15.5 mm reaches the slot floors, below 15.5 mm"},
		"face too thick":       {change(func(p *TSlot) { p.Closed.PlusY = true; p.FaceWall = 9e-3 }), "face wall: a closed face of 9 mm fills the slot"},
		"two reasons at once":  {change(func(p *TSlot) { p.Bore, p.Corner = 16e-3, 17e-3 }), "bore"},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			_, err := c.p.Outline()
			var refusal *ShapeError
			if !errors.As(err, &refusal) || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want %q", err, c.want)
			}
		})
	}
}

// Numbers that fit are drawn as a section; others are refused, never drawn wrong.
func TestTSlotDrawsSectionsOrRefuses(t *testing.T) {
	drew := 0
	rapid.Check(t, func(t *rapid.T) {
		size := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) * 1e-3 }
		p := TSlot{
			Module: size("module", 20, 60), ModulesY: rapid.IntRange(1, 3).Draw(t, "ny"), ModulesZ: rapid.IntRange(1, 3).Draw(t, "nz"),
			Slot: size("slot", 4, 14), Lip: size("lip", 1, 8), Inner: size("inner", 8, 30), Depth: size("depth", 5, 20),
			Web: size("web", 1, 6), Wall: size("wall", 1, 6), Corner: size("corner", 0, 6), Bore: size("bore", 0, 14),
			HollowCorners: rapid.Bool().Draw(t, "hollow"),
			Closed:        Faces{PlusY: rapid.Bool().Draw(t, "closed")},
		}
		o, err := p.Outline()
		var shape *ShapeError
		if errors.As(err, &shape) {
			return
		}
		if err != nil {
			var fault *OutlineError
			if !errors.As(err, &fault) {
				t.Fatal(err)
			}
			return
		}
		drew++
		lo, hi := o.Extents()
		if math.Abs(hi.Y-lo.Y-float64(p.ModulesY)*p.Module)+math.Abs(hi.Z-lo.Z-float64(p.ModulesZ)*p.Module) > 1e-12 {
			t.Fatalf("extents %v %v", lo, hi)
		}
		if a := p.area(); math.Abs(a-o.Moments().Area) > 1e-12 {
			t.Fatalf("quick area %g, outline %g", a, o.Moments().Area)
		}
	})
	if drew == 0 {
		t.Error("no profile was drawn")
	}
}
