package step

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"spanwright/prism"
)

func body(t *testing.T, p prism.Prism) *Body {
	t.Helper()
	b, err := NewBody(p)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// TestElements: faces, edges and points as Euler's formula wants them
// (points - edges + faces - rings = 2 - 2 holes through), counted by hand.
func TestElements(t *testing.T) {
	bitten := prism.Polygon(prism.Point{}, prism.Point{X: 8}, prism.Point{X: 8, Y: 4}, prism.Point{X: 5, Y: 4}, prism.Point{X: 3, Y: 4}, prism.Point{Y: 4})
	bitten[3].Bulge = -1
	tests := map[string]struct {
		p                    prism.Prism
		faces, edges, points int
	}{
		"box":                          {prism.Box(1, 2, 3), 6, 12, 8},
		"cylinder, one seam":           {prism.Cylinder(1, 2), 3, 3, 2},
		"rounded corners":              {prism.Prism{Outline: prism.Outline{Outer: prism.Rounded(8, 4, 0.5)}, Length: 1}, 10, 24, 16},
		"half a circle bitten out":     {prism.Prism{Outline: prism.Outline{Outer: bitten}, Length: 1}, 8, 18, 12},
		"square hole and bore":         {prism.Prism{Outline: prism.Outline{Outer: prism.Rectangle(8, 4), Holes: []prism.Loop{prism.Rectangle(1, 1).Reversed(), prism.Circle(prism.Point{X: 2}, 0.5).Reversed()}}, Length: 1}, 11, 27, 18},
		"mitred at both ends":          {prism.Prism{Outline: prism.Outline{Outer: prism.Rectangle(1, 1)}, Length: 3, Ends: [2]prism.Slope{{X: 1}, {X: -1, Y: 0.5}}}, 6, 12, 8},
		"half disc: one line, one arc": {prism.Prism{Outline: prism.Outline{Outer: prism.Loop{{Point: prism.Point{X: -1}}, {Point: prism.Point{X: 1}, Bulge: 1}}}, Length: 1}, 4, 6, 4},
	}
	for name, tt := range tests {
		t.Run(name, func(t *testing.T) {
			b := body(t, tt.p)
			if b.Faces() != tt.faces || b.Edges() != tt.edges || b.Points() != tt.points {
				t.Errorf("%d faces, %d edges, %d points; want %d, %d, %d", b.Faces(), b.Edges(), b.Points(), tt.faces, tt.edges, tt.points)
			}
			if got, want := b.Volume(), 1e9*tt.p.Volume(); math.Abs(got/want-1) > 1e-9 {
				t.Errorf("%.12g mm³ by the faces, %.12g mm³ by area times length", got, want)
			}
		})
	}
}

// TestProofFindsFaults breaks a sound boundary in every way the proof knows.
func TestProofFindsFaults(t *testing.T) {
	holed := prism.Prism{Outline: prism.Outline{Outer: prism.Rounded(8, 4, 0.5), Holes: []prism.Loop{prism.Circle(prism.Point{}, 1).Reversed()}}, Length: 3}
	faults := map[string]func(b *Body){
		"a face is missing":           func(b *Body) { b.faces = b.faces[1:] },
		"a face stands twice":         func(b *Body) { b.faces = append(b.faces, b.faces[0]) },
		"a loop runs the other way":   func(b *Body) { b.faces[0].loops[0] = turned(b.faces[0].loops[0]) },
		"all loops run the other way": func(b *Body) { turnAll(b) },
		"a face looks inward": func(b *Body) {
			f := &b.faces[0]
			f.normal.X, f.normal.Y, f.normal.Z = -f.normal.X, -f.normal.Y, -f.normal.Z
		},
		"a bore counts as a bar":            func(b *Body) { flip(b) },
		"a loop skips an edge":              func(b *Body) { b.faces[0].loops[0] = b.faces[0].loops[0][1:] },
		"a point is not where it should be": func(b *Body) { b.points[0].X += 100 },
	}
	for name, fault := range faults {
		t.Run(name, func(t *testing.T) {
			b := body(t, holed)
			fault(b)
			if err := b.prove(); !errors.Is(err, ErrOpen) {
				t.Errorf("got %v, want ErrOpen", err)
			}
		})
	}
}

func turned(l []use) []use {
	out := make([]use, len(l))
	for i, u := range l {
		out[len(l)-1-i] = use{u.edge, !u.forward}
	}
	return out
}

func turnAll(b *Body) {
	for i := range b.faces {
		for k := range b.faces[i].loops {
			b.faces[i].loops[k] = turned(b.faces[i].loops[k])
		}
	}
}

func flip(b *Body) {
	for i := range b.faces {
		if b.faces[i].inward {
			b.faces[i].inward = false
		}
	}
}

// TestAnyPrismIsProved: the boundary of any star-shaped outline with arcs is
// closed and encloses area times length.
func TestAnyPrismIsProved(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 12).Draw(t, "points")
		l := make(prism.Loop, n)
		for i := range l {
			s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			r := rapid.Float64Range(0.02, 0.06).Draw(t, "radius")
			l[i] = prism.Vertex{Point: prism.Point{X: r * c, Y: r * s}, Bulge: rapid.Float64Range(-0.05, 0.2).Draw(t, "bulge")}
		}
		p := prism.Prism{Outline: prism.Outline{Outer: l}, Length: rapid.Float64Range(1e-3, 6).Draw(t, "length")}
		if p.Check() != nil {
			return // two flat arcs may enclose nothing
		}
		b, err := NewBody(p)
		if err != nil {
			t.Fatal(err)
		}
		// Points move by up to 0.5e-6 mm: the area by less than that times the girth.
		girth := 1e3 * 2 * math.Pi * 0.08
		if got, want := b.Volume(), 1e9*p.Volume(); math.Abs(got-want) > 1e-6*girth*1e3*p.Length+1e-6*1e6*p.Area() {
			t.Fatalf("%.12g mm³, want %.12g mm³", got, want)
		}
	})
}

func TestBodyRefuses(t *testing.T) {
	thin := prism.Box(1e-10, 1, 1) // nothing is left of it after rounding
	for name, p := range map[string]prism.Prism{"no outline": {Length: 1}, "thinner than the rounding": thin} {
		t.Run(name, func(t *testing.T) {
			if _, err := NewBody(p); !errors.Is(err, prism.ErrShape) {
				t.Errorf("got %v, want ErrShape", err)
			}
		})
	}
}
