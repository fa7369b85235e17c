package prism

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// TestConvexPiecesCoverTheOutline: convex, of the same area together, more only
// where arcs bulge out.
func TestConvexPiecesCoverTheOutline(t *testing.T) {
	l := Polygon(Point{0, 0}, Point{3, 0}, Point{3, 1}, Point{1, 1}, Point{1, 3}, Point{0, 3})
	frame := Outline{Outer: Rectangle(4, 4), Holes: []Loop{Rectangle(2, 2).Reversed()}}
	for name, c := range map[string]struct {
		o      Outline
		pieces int // at most
		area   float64
		more   float64 // share by which arcs may be overdrawn
	}{
		"a rectangle":             {Outline{Outer: Rectangle(2, 1)}, 1, 2, 0},
		"an angle":                {Outline{Outer: l}, 2, 5, 0},
		"a frame":                 {frame, 8, 12, 0},
		"a circle, from outside":  {Outline{Outer: Circle(Point{}, 1)}, 1, math.Pi, 0.015},
		"rounded, from outside":   {Outline{Outer: Rounded(2, 1, 0.2)}, 1, 2 - (4-math.Pi)*0.04, 0.002},
		"a bore, from the inside": {Outline{Outer: Rectangle(4, 4), Holes: []Loop{Circle(Point{}, 1).Reversed()}}, 20, 16 - math.Pi, 0.01},
	} {
		t.Run(name, func(t *testing.T) {
			pieces, err := c.o.Convex(16)
			if err != nil {
				t.Fatal(err)
			}
			sum := 0.0
			for _, p := range pieces {
				if !convex(Polygon(p...)) {
					t.Errorf("%v is not convex", p)
				}
				sum += area(p)
			}
			if !(sum >= c.area*(1-1e-12) && sum <= c.area*(1+c.more+1e-12)) || len(pieces) > c.pieces {
				t.Errorf("%d pieces of %.9g m² together; want at most %d of %.9g m²", len(pieces), sum, c.pieces, c.area)
			}
		})
	}
}

// TestArcsAreDrawnFromOutside: no point of an arc lies outside the polygon drawn round it.
func TestArcsAreDrawnFromOutside(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := Loop{{Point{-1, 0}, 0}, {Point{1, 0}, rapid.Float64Range(0.05, 2).Draw(t, "bulge")}}
		round := l.around(rapid.IntRange(4, 40).Draw(t, "chords"))
		a, _ := l.Arc(1)
		angle := math.Atan2(-a.Centre.Y, 1-a.Centre.X) + rapid.Float64Range(0, 1).Draw(t, "share")*a.Turn
		p := Point{a.Centre.X + a.Radius*math.Cos(angle), a.Centre.Y + a.Radius*math.Sin(angle)}
		for i := range round {
			p0, p1 := round[i].Point, round.at(i+1).Point
			if p1.sub(p0).cross(p.sub(p0)) < -1e-9 {
				t.Fatalf("%v lies outside the edge from %v to %v", p, p0, p1)
			}
		}
	})
}
