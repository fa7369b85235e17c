package section

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestMatchMassMeetsTheMass(t *testing.T) {
	const density = 2700
	heavy := single()
	heavy.HollowCorners = false
	closed := modules(2, 1)
	closed.Closed = Faces{PlusZ: true}
	tests := map[string]struct {
		p      TSlot
		mass   float64 // kg/m
		varied string
	}{
		"heavier: walls grow":              {single(), 2.0, "wall changed"},
		"lighter: walls shrink":            {single(), 1.75, "wall changed"},
		"no hollow cells: the webs change": {heavy, 2.4, "web changed"},
		"walls are not enough":             {single(), 2.5, "web changed"},
		"walls and web change":             {single(), 2.6, ", wall from 1.8 mm"},
		"several modules":                  {modules(2, 2), 6.4, "wall changed"},
		"closed faces grow with the walls": {closed, 3.4, "wall changed"},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			f, err := c.p.MatchMass(c.mass, density)
			if err != nil {
				t.Fatal(err)
			}
			if !strings.Contains(f.Note, c.varied) {
				t.Errorf("note %q, want %q", f.Note, c.varied)
			}
			near(t, "mass", drawn(t, f.Profile).Moments().Area*density, c.mass, 2*areaFit)
		})
	}
}

func TestMatchKeepsAProfileThatFits(t *testing.T) {
	p := single()
	f, err := p.MatchArea(drawn(t, p).Moments().Area)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "wall", f.Profile.Wall, p.Wall, 1e-4) // the area is met to 1e-6
	if f.Profile.Web != p.Web {
		t.Errorf("web %g", f.Profile.Web)
	}
}

func TestMatchedPropertiesAreFlagged(t *testing.T) {
	f, err := single().MatchMass(2.0, 2700)
	if err != nil {
		t.Fatal(err)
	}
	p, err := f.Properties()
	if err != nil {
		t.Fatal(err)
	}
	if p.Origin != Matched || p.Spread.Torsion != 0.30 || p.Spread.Inertia != 0.10 || len(p.Notes) != 2 {
		t.Errorf("origin %s, spread %+v, notes %q", p.Origin, p.Spread, p.Notes)
	}
}

func TestMatchRefuses(t *testing.T) {
	bad := single()
	bad.Slot = 0
	for name, c := range map[string]struct {
		p             TSlot
		mass, density float64
		want          string
	}{
		"far too heavy": {single(), 4, 2700, "cannot be reached by wall and web"},
		"far too light": {single(), 0.5, 2700, "cannot be reached by wall and web"},
		"no mass":       {single(), 0, 2700, "must both be above zero"},
		"no number":     {single(), math.NaN(), 2700, "must both be above zero"},
		"no density":    {single(), 2, 0, "must both be above zero"},
		"no profile":    {bad, 2, 2700, "slot: 0 mm"},
	} {
		t.Run(name, func(t *testing.T) {
			if _, err := c.p.MatchMass(c.mass, c.density); err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want %q", err, c.want)
			}
		})
	}
	var shape *ShapeError
	if _, err := bad.MatchMass(2, 2700); !errors.As(err, &shape) {
		t.Errorf("got %T", err)
	}
}

// Whatever wall a profile was drawn with, its mass leads back to it.
func TestMatchFindsTheWallAgain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := single()
		p.Wall = rapid.Float64Range(1.0e-3, 4.4e-3).Draw(t, "wall")
		f, err := single().MatchArea(p.area())
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(f.Profile.Wall-p.Wall) > 1e-5 { // 1e-6 of the area is about that
			t.Fatalf("wall %g, found %g", p.Wall, f.Profile.Wall)
		}
	})
}
