package prism

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// rounding is what sums of some hundred products lose, relative.
const rounding = 1e-12

func near(t *testing.T, name string, got, want float64) {
	t.Helper()
	if !(math.Abs(got-want) <= rounding*math.Max(1, math.Abs(want))) {
		t.Errorf("%s = %.15g, want %.15g", name, got, want)
	}
}

func TestAreas(t *testing.T) {
	holed := Outline{Outer: Rectangle(8, 4), Holes: []Loop{Circle(Point{2, 0}, 1).Reversed(), Rectangle(1, 1).Moved(-2, 0).Reversed()}}
	bitten := Loop{{Point{0, 0}, 0}, {Point{8, 0}, 0}, {Point{8, 4}, 0}, {Point{5, 4}, -1}, {Point{3, 4}, 0}, {Point{0, 4}, 0}}
	tests := map[string]struct {
		loop Outline
		want float64
	}{
		"rectangle":                        {Outline{Outer: Rectangle(8, 4)}, 32},
		"circle":                           {Outline{Outer: Circle(Point{3, -2}, 2)}, 4 * math.Pi},
		"rounded corners":                  {Outline{Outer: Rounded(8, 4, 0.5)}, 32 - (4-math.Pi)*0.25},
		"rounded to a slot":                {Outline{Outer: Rounded(8, 4, 2)}, 16 + 4*math.Pi},
		"rounded to a circle":              {Outline{Outer: Rounded(4, 4, 2)}, 4 * math.Pi},
		"holes count negative":             {holed, 31 - math.Pi},
		"half a circle bitten out of it":   {Outline{Outer: bitten}, 32 - math.Pi/2},
		"a loop that runs the other way":   {Outline{Outer: Rounded(8, 4, 1).Reversed()}, -(28 + math.Pi)},
		"reversed twice is the same again": {Outline{Outer: bitten.Reversed().Reversed()}, 32 - math.Pi/2},
	}
	for name, tt := range tests {
		t.Run(name, func(t *testing.T) { near(t, "area", tt.loop.Area(), tt.want) })
	}
}

func TestReversedRunsTheSameEdges(t *testing.T) {
	l := Loop{{Point{0, 0}, 0}, {Point{4, 0}, 0.5}, {Point{4, 2}, -0.2}, {Point{0, 2}, 0}}
	r := l.Reversed()
	near(t, "area", r.Area(), -l.Area())
	if r[0] != (Vertex{Point{0, 0}, 0}) || r[1] != (Vertex{Point{0, 2}, 0.2}) || r[2] != (Vertex{Point{4, 2}, -0.5}) || r[3] != (Vertex{Point{4, 0}, 0}) {
		t.Errorf("reversed to %v", r)
	}
}

func TestVolumes(t *testing.T) {
	mitred := Box(0.04, 0.04, 0.2)
	mitred.Ends = [2]Slope{{1, 0}, {-1, 0.3}}
	offset := Prism{Outline: Outline{Outer: Rectangle(0.04, 0.04).Moved(0.1, 0)}, Length: 0.2, Ends: [2]Slope{{}, {1, 0}}}
	tests := map[string]struct {
		p    Prism
		want float64
	}{
		"box":                                 {Box(2, 3, 4), 24},
		"cylinder":                            {Cylinder(2, 5), 5 * math.Pi},
		"mitred about the line of centres":    {mitred, 0.04 * 0.04 * 0.2},
		"slanting, its centre off the z axis": {offset, 0.04 * 0.04 * 0.3},
	}
	for name, tt := range tests {
		t.Run(name, func(t *testing.T) {
			near(t, "volume", tt.p.Volume(), tt.want)
			m, err := tt.p.Mesh(720)
			if err != nil {
				t.Fatal(err)
			}
			// Chords of half a degree lose 1.3e-5 of a circle's area.
			if got := m.Volume(); math.Abs(got/tt.want-1) > 1.5e-5 {
				t.Errorf("the mesh encloses %.9g, want %.9g", got, tt.want)
			}
		})
	}
}

func TestCheckRefuses(t *testing.T) {
	nan := Box(1, 1, 1)
	nan.Outer[0].X = math.NaN()
	slanted := Cylinder(1, 1)
	slanted.Ends[1].X = 0.1
	steep := Box(1, 1, 0.4)
	steep.Ends[1].X = 1
	tests := map[string]Prism{
		"no length":               Box(1, 1, 0),
		"a length that is none":   Box(1, 1, math.NaN()),
		"clockwise outside":       {Outline: Outline{Outer: Rectangle(1, 1).Reversed()}, Length: 1},
		"counter-clockwise hole":  {Outline: Outline{Outer: Rectangle(2, 2), Holes: []Loop{Rectangle(1, 1)}}, Length: 1},
		"a hole that is larger":   {Outline: Outline{Outer: Rectangle(1, 1), Holes: []Loop{Rectangle(2, 2).Reversed()}}, Length: 1},
		"no points":               {Length: 1},
		"a point that is none":    nan,
		"slanting ends on arcs":   slanted,
		"ends that meet":          steep,
		"a loop without any area": {Outline: Outline{Outer: Polygon(Point{}, Point{1, 0}, Point{2, 0})}, Length: 1},
	}
	for name, p := range tests {
		t.Run(name, func(t *testing.T) {
			if err := p.Check(); !errors.Is(err, ErrShape) {
				t.Errorf("got %v, want ErrShape", err)
			}
		})
	}
}

func TestSupport(t *testing.T) {
	p := Prism{Outline: Outline{Outer: Rounded(8, 4, 1)}, Length: 10}
	diagonal := math.Sqrt2 / 2
	near(t, "along x", p.Support(r3.Vec{X: 1}), 4)
	near(t, "against y", p.Support(r3.Vec{Y: -1}), 2)
	near(t, "upward", p.Support(r3.Vec{Z: 1}), 10)
	near(t, "downward", p.Support(r3.Vec{Z: -1}), 0)
	near(t, "over the corner's arc", p.Support(r3.Vec{X: diagonal, Y: diagonal}), (3+1)*diagonal+1)
	slanted := Box(2, 2, 5)
	slanted.Ends[1].X = 0.5
	near(t, "the longest edge of a slanting end", slanted.Support(r3.Vec{Z: 1}), 5.5)
}

// anyLoop draws a star-shaped loop about the origin, with arcs.
func anyLoop(t *rapid.T) Loop {
	n := rapid.IntRange(3, 12).Draw(t, "points")
	l := make(Loop, n)
	for i := range l {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		r := rapid.Float64Range(1, 3).Draw(t, "radius")
		l[i] = Vertex{Point{r * c, r * s}, rapid.Float64Range(-0.1, 0.1).Draw(t, "bulge")}
	}
	return l
}

// TestStraightLosesSegments: n chords of an arc of turn w miss n segments of w/n,
// each r²/2 (w/n - sin(w/n)), on one side or the other.
func TestStraightLosesSegments(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := anyLoop(t)
		lost := 0.0
		for i := range l {
			a, curved := l.Arc(i)
			if !curved {
				continue
			}
			n := max(2, math.Ceil(math.Abs(a.Turn)/(2*math.Pi)*360-1e-9))
			lost += n * a.Radius * a.Radius / 2 * (a.Turn/n - math.Sin(a.Turn/n))
		}
		// Radii up to 1e8 of flat arcs: the area of a segment is a difference of numbers 1e16 times larger.
		if got, want := l.straight(360).Area(), l.Area()-lost; math.Abs(got-want) > 1e-6*want {
			t.Fatalf("%.12g straight, %.12g with arcs less their segments", got, want)
		}
	})
}

func TestSupportIsThatOfManyPoints(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := anyLoop(t)
		s, c := math.Sincos(rapid.Float64Range(0, 2*math.Pi).Draw(t, "direction"))
		got, at := l.Support(Point{c, s})
		most := math.Inf(-1)
		for _, v := range l.straight(3600) {
			most = max(most, v.dot(Point{c, s}))
		}
		// The sagitta of a chord of 0.1 degrees is 4e-7 of a radius, which may be large for a flat arc.
		if got < most-1e-12 || got > most+1e-5 || math.Abs(at.dot(Point{c, s})-got) > 1e-12 {
			t.Fatalf("support %.12g at %v, points reach %.12g", got, at, most)
		}
	})
}
