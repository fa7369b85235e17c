package view

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/machine"
	"spanwright/wording"
)

// Dim is a main size, with the two places between which its line is drawn.
type Dim struct {
	Name  string `json:"name"`
	From  Vec    `json:"from"`
	To    Vec    `json:"to"`
	Value Number `json:"value_m"`
	Text  string `json:"text"`
}

// dims are the sizes of the stand and of the whole machine at home, and the
// travels as the tool point makes them.
func dims(m *machine.Machine, list []machine.Solid) ([]Dim, error) {
	var out []Dim
	add := func(name string, from, to r3.Vec) {
		d := r3.Norm(r3.Sub(to, from))
		out = append(out, Dim{name, drawn(from), drawn(to), Number(d), wording.Value(d, "m")})
	}
	stand, all := empty(), empty()
	for _, s := range list {
		box, err := extentOf(s)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", s.ID, err)
		}
		all.join(box)
		if s.Group == "stand" {
			stand.join(box)
		}
	}
	for _, b := range []struct {
		name string
		extent
	}{{"stand", stand}, {"machine", all}} {
		if !(b.most.X > b.least.X) {
			continue
		}
		low := b.least
		add(b.name+" along x", low, r3.Vec{X: b.most.X, Y: low.Y, Z: low.Z})
		add(b.name+" along y", r3.Vec{X: b.most.X, Y: low.Y, Z: low.Z}, r3.Vec{X: b.most.X, Y: b.most.Y, Z: low.Z})
		add(b.name+" height", low, r3.Vec{X: low.X, Y: low.Y, Z: b.most.Z})
	}
	q := make([]float64, len(m.Axes))
	for i, a := range m.Axes {
		from := m.ToolPoint(q)
		q[i] = a.Spec.Travel
		add("travel "+a.Spec.ID, from, m.ToolPoint(q))
	}
	return out, nil
}

// extent is a box along the axes of W.
type extent struct{ least, most r3.Vec }

func empty() extent {
	inf := math.Inf(1)
	return extent{r3.Vec{X: inf, Y: inf, Z: inf}, r3.Vec{X: -inf, Y: -inf, Z: -inf}}
}

func (e *extent) join(o extent) {
	e.least = r3.Vec{X: min(e.least.X, o.least.X), Y: min(e.least.Y, o.least.Y), Z: min(e.least.Z, o.least.Z)}
	e.most = r3.Vec{X: max(e.most.X, o.most.X), Y: max(e.most.Y, o.most.Y), Z: max(e.most.Z, o.most.Z)}
}

// extentOf is the box around a solid at home.
func extentOf(s machine.Solid) (extent, error) {
	p, _, err := drawnPrism(s)
	support := func(x, y, z float64) float64 {
		d := r3.Vec{X: x, Y: y, Z: z}
		return r3.Dot(s.Start(), d) + p.Support(r3.Vec{X: r3.Dot(d, s.Y), Y: r3.Dot(d, s.Z), Z: r3.Dot(d, s.X)})
	}
	if err != nil {
		return extent{}, err
	}
	return extent{r3.Vec{X: -support(-1, 0, 0), Y: -support(0, -1, 0), Z: -support(0, 0, -1)}, r3.Vec{X: support(1, 0, 0), Y: support(0, 1, 0), Z: support(0, 0, 1)}}, nil
}
