package prism

import (
	"math"
	"testing"
)

func TestEdges(t *testing.T) {
	tests := map[string]struct {
		of   Prism
		want int
	}{
		"a box has twelve edges":                       {Box(1, 2, 3), 12},
		"a cylinder has its two rims and no side line": {Cylinder(1, 2), 2 * 24},
		"a tube has those of its hole too":             {Prism{Outline: Outline{Outer: Rectangle(2, 2), Holes: []Loop{Rectangle(1, 1).Reversed()}}, Length: 1}, 24},
		"rounded corners are no edges":                 {Prism{Outline: Outline{Outer: Rounded(2, 2, 0.5)}, Length: 1}, 2 * 4 * (6 + 1)}, // a quarter turn is six chords
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			got := c.of.Edges(24, 0.5)
			if len(got) != c.want {
				t.Errorf("%d edges, want %d", len(got), c.want)
			}
		})
	}
}

func TestEdgesEndOnSlantingFaces(t *testing.T) {
	p := Box(0.2, 0.1, 1)
	p.Ends[1] = Slope{X: 1}
	for _, e := range p.Edges(24, 0.5) {
		for _, at := range e {
			low, high := 0.0, 1+at[0]
			if math.Abs(at[2]-low) > 1e-12 && math.Abs(at[2]-high) > 1e-12 { // rounding of a sum of order 1
				t.Errorf("%v lies on neither end", at)
			}
		}
	}
}
