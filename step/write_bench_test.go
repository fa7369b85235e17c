package step

import (
	"io"
	"testing"

	"spanwright/parts"
	"spanwright/prism"
)

// BenchmarkDetailedProfile writes the T-slot profile with the most slots.
func BenchmarkDetailedProfile(b *testing.B) {
	p, _ := parts.Embedded().Profile("profile-80x160-light")
	o, err := p.Outline()
	if err != nil {
		b.Fatal(err)
	}
	outline := prism.Outline{}
	for i, l := range append(o.Holes, o.Outer) {
		points := make([]prism.Point, len(l))
		for k, q := range l {
			points[k] = prism.Point{X: q.Y, Y: q.Z}
		}
		if i == len(o.Holes) {
			outline.Outer = prism.Recognise(points)
		} else {
			outline.Holes = append(outline.Holes, prism.Recognise(points))
		}
	}
	body := prism.Prism{Outline: outline.Oriented(), Length: 4}
	part := &Product{ID: "profile", Body: &body}
	for b.Loop() {
		if err := Write(io.Discard, part, Header{}); err != nil {
			b.Fatal(err)
		}
	}
}
