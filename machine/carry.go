package machine

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/design"
)

// carry finds the stand's lines that hold the first axis: written out, the top
// rails, or, for a single beam on two rows, the rails across that it crosses.
func (b *builder) carry(g *generator, explicit map[string]*line, spec design.Stand) {
	first := b.m.Axes[0]
	beams := 1
	if first.Spec.Pair != nil {
		beams = 2
	}
	switch {
	case len(spec.Carries) > 0:
		b.carryExplicit(explicit, spec.Carries, beams)
	case spec.Generate == nil:
		b.refuse("stand.carries", "required", "", "an explicit stand must name the members that carry the first axis", "e.g. carries: [rail.front]")
	case beams == 2 && len(g.tops) != 2:
		b.refuse("axes."+first.Spec.ID+".pair", "no-place", "", "a pair of runways needs a stand with two rows of legs", "set stand.generate.legs.count to 4 or 6")
	case beams == 2:
		b.lines = [][]*line{{g.tops[0]}, {g.tops[1]}}
	case len(g.tops) == 1:
		b.lines = [][]*line{{g.tops[0]}}
	default:
		b.lines = [][]*line{g.crosses}
	}
	b.checkSpacing(first)
}

func (b *builder) carryExplicit(explicit map[string]*line, names []string, beams int) {
	var lines []*line
	for i, name := range names {
		l, ok := explicit[name]
		if !ok {
			b.refuse(fmt.Sprintf("stand.carries[%d]", i+1), "unknown-member", name, fmt.Sprintf("%q is no member of the stand", name), "")
			continue
		}
		lines = append(lines, l)
	}
	switch {
	case beams == 2 && len(lines) != 2:
		b.refuse("stand.carries", "count", "", "a pair of runways needs exactly two members that carry it", "")
	case beams == 2:
		b.lines = [][]*line{{lines[0]}, {lines[1]}}
	default:
		b.lines = [][]*line{lines}
	}
}

// checkSpacing compares the pair's spacing with the lines that carry it.
func (b *builder) checkSpacing(first *Axis) {
	if first.Spec.Pair == nil || len(b.lines) != 2 {
		return
	}
	d := r3.Sub(b.lines[1][0].ends[0], b.lines[0][0].ends[0])
	got := math.Abs(r3.Dot(d, first.lateral()))
	if math.Abs(got-first.Spec.Pair.Spacing) > 1e-3 {
		b.refuse("axes."+first.Spec.ID+".pair.spacing", "mismatch", fmt.Sprintf("%.4g m", first.Spec.Pair.Spacing),
			fmt.Sprintf("the rails that carry the pair are %.4g m apart", got), "make the stand's depth and the spacing equal")
	}
}

// lateral is the horizontal direction square to the axis.
func (a *Axis) lateral() r3.Vec {
	l := r3.Cross(r3.Vec{Z: 1}, a.Dir)
	if r3.Norm(l) < 1e-6 {
		return r3.Vec{Y: 1}
	}
	return r3.Unit(l)
}

// support is one place of the stand below a beam.
type support struct {
	s     float64 // along the beam from its From node, m
	place Place
}

// supports places the supports of a beam on the lines that carry it. up leads
// from the lines to the beam; from is the beam's first end.
func (b *builder) supports(a *Axis, lines []*line, from, up r3.Vec, length float64) []support {
	if len(lines) == 1 && math.Abs(r3.Dot(r3.Unit(r3.Sub(lines[0].ends[1], lines[0].ends[0])), a.Dir)) > 0.999 {
		return b.supportsAlong(a, lines[0], from, up, length)
	}
	var out []support
	for _, l := range lines {
		s := r3.Dot(r3.Sub(l.ends[0], from), a.Dir)
		p := r3.Add(from, r3.Scale(s, a.Dir))
		if s < -1e-9 || s > length+1e-9 || !within(l, p) {
			continue
		}
		x := r3.Sub(l.ends[1], l.ends[0])
		out = append(out, support{s, l.place(l.along(p), r3.Scale(half(l.shape.part, x, l.roll, up), up))})
	}
	return out
}

// defaultSpacing is the largest distance between supports where the design
// does not say: common practice, no source.
const defaultSpacing = 1.0 // m

func (b *builder) supportsAlong(a *Axis, l *line, from, up r3.Vec, length float64) []support {
	start, end := 0.0, length
	p, q := r3.Dot(r3.Sub(l.ends[0], from), a.Dir), r3.Dot(r3.Sub(l.ends[1], from), a.Dir)
	start, end = max(start, min(p, q)), min(end, max(p, q))
	if !(end > start) {
		return nil
	}
	spacing := defaultSpacing
	if a.Spec.Join.Spacing != nil {
		spacing = *a.Spec.Join.Spacing
	}
	n := max(1, int(math.Ceil((end-start)/spacing-1e-9)))
	x := r3.Sub(l.ends[1], l.ends[0])
	lever := r3.Scale(half(l.shape.part, x, l.roll, up), up)
	var out []support
	for i := 0; i <= n; i++ {
		s := start + (end-start)*float64(i)/float64(n)
		at := r3.Add(from, r3.Scale(s, a.Dir))
		out = append(out, support{s, l.place(l.along(at), lever)})
	}
	return out
}
