package view

import (
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
func dims(m *machine.Machine) []Dim {
	var out []Dim
	add := func(name string, from, to r3.Vec) {
		d := r3.Norm(r3.Sub(to, from))
		out = append(out, Dim{name, drawn(from), drawn(to), Number(d), wording.Value(d, "m")})
	}
	stand, all := empty(), empty()
	for _, s := range m.Solids() {
		all.hold(s)
		if s.Group == "stand" {
			stand.hold(s)
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
	return out
}

// extent is a box along the axes of W.
type extent struct{ least, most r3.Vec }

func empty() extent {
	inf := math.Inf(1)
	return extent{r3.Vec{X: inf, Y: inf, Z: inf}, r3.Vec{X: -inf, Y: -inf, Z: -inf}}
}

func (e *extent) hold(s machine.Solid) {
	e.most = r3.Vec{X: max(e.most.X, s.Support(r3.Vec{X: 1})), Y: max(e.most.Y, s.Support(r3.Vec{Y: 1})), Z: max(e.most.Z, s.Support(r3.Vec{Z: 1}))}
	e.least = r3.Vec{X: min(e.least.X, -s.Support(r3.Vec{X: -1})), Y: min(e.least.Y, -s.Support(r3.Vec{Y: -1})), Z: min(e.least.Z, -s.Support(r3.Vec{Z: -1}))}
}
