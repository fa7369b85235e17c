package machine

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/decode"
	"spanwright/design"
)

// carry finds the stand's lines that hold the first axis: those written out; the
// top rails, one for each runway of a pair; for a single beam on two rows the
// rails that it crosses.
func (b *builder) carry(g *generator, explicit map[string]*line, spec design.Stand) {
	first := b.m.Axes[0]
	pair := first.Spec.Pair != nil
	switch {
	case len(spec.Carries) > 0:
		b.carryExplicit(explicit, spec.Carries, pair)
	case spec.Generate == nil:
		b.refuse("stand.carries", Required, "", "an explicit stand must name the members that carry the first axis", "e.g. carries: [rail.front]")
	case pair && len(g.tops) != 2:
		b.refuse("axes."+first.Spec.ID+".pair", NoPlace, "", "a pair of runways needs a stand with two rows of legs", "set stand.generate.legs.count to 4 or 6")
	case pair && !parallel(first.Dir, g.along):
		b.refuse("stand.generate.along", NoPlace, "", fmt.Sprintf("the rows of the stand run along %s, the runways along %s", word(g.along), word(first.Dir)), "along: x or y, as the first axis")
	case pair:
		b.lines = [][]*line{{g.tops[0]}, {g.tops[1]}}
	case len(g.tops) == 2 && !parallel(first.Dir, g.across):
		b.lines = [][]*line{slices.DeleteFunc(slices.Clone(g.crosses), func(l *line) bool { return l == nil })}
	default:
		b.lines = [][]*line{g.tops}
	}
	b.checkSpacing(first)
}

// parallel tells whether two unit vectors lie on one line, to 2.5 degrees.
func parallel(a, b r3.Vec) bool { return math.Abs(r3.Dot(a, b)) > 0.999 }

func (b *builder) carryExplicit(explicit map[string]*line, names []string, pair bool) {
	var lines []*line
	for i, name := range names {
		l, ok := explicit[name]
		if !ok {
			b.refuse(decode.Item("stand.carries", i), design.UnknownMember, name, fmt.Sprintf("%q is no written-out member of the stand", name), "")
			continue
		}
		lines = append(lines, l)
	}
	switch {
	case len(lines) != len(names):
	case pair && len(lines) != 2:
		b.refuse("stand.carries", CarriedCount, "", "a pair of runways needs exactly two members that carry it", "")
	case pair:
		b.lines = [][]*line{{lines[0]}, {lines[1]}}
	default:
		b.lines = [][]*line{lines}
	}
}

// fit is how exactly places of the design must meet, m: what is further apart
// would need a part of its own between.
const fit = 1e-3

// checkSpacing compares the pair's spacing with the lines that carry it.
func (b *builder) checkSpacing(first *Axis) {
	if first.Spec.Pair == nil || len(b.lines) != 2 {
		return
	}
	minus, plus := b.lines[0][0], b.lines[1][0]
	d := r3.Sub(plus.ends[0], minus.ends[0])
	path := "axes." + first.Spec.ID + ".pair.spacing"
	if got := math.Abs(r3.Dot(d, first.lateral())); math.Abs(got-first.Spec.Pair.Spacing) > fit {
		b.refuse(path, Mismatch, fmt.Sprintf("%.4g m", first.Spec.Pair.Spacing),
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

// seating is a beam that looks for its supports.
type seating struct {
	axis   *Axis
	shape  *shape // of the profile that lies on the supports
	roll   float64
	from   r3.Vec  // its first end, on the centre line of the axis beam
	up     r3.Vec  // from the lines to the beam
	plate  float64 // thickness of the interface plate between them, m
	drop   float64 // from the centre line of the axis beam to the face that is supported, m
	length float64
}

// supports places the supports of a beam on the lines that carry it, in the
// order along the beam. A line that the beam passes beside does not carry it.
func (b *builder) supports(s seating, lines []*line) []support {
	var out []support
	for _, l := range lines {
		found := s.crossing(l)
		if parallel(l.direction(), s.axis.Dir) {
			found = s.along(l)
		}
		if i := slices.Index(b.m.Design.Stand.Carries, l.id); len(found) == 0 && i >= 0 {
			b.refuse(decode.Item("stand.carries", i), NoSupport, l.id, fmt.Sprintf("the beam of axis %s does not lie on %s", s.axis.Spec.ID, l.id), "look at start, offset and the heights of the members")
		}
		out = append(out, found...)
	}
	slices.SortStableFunc(out, func(p, q support) int { return cmp.Compare(p.s, q.s) })
	return out
}

// crossing is the place where a line passes under the beam, if it does.
func (s seating) crossing(l *line) []support {
	u, w := l.direction(), r3.Sub(l.ends[0], s.from)
	a := r3.Dot(s.axis.Dir, u)
	at := (r3.Dot(w, s.axis.Dir) - a*r3.Dot(w, u)) / (1 - a*a)
	on := (a*r3.Dot(w, s.axis.Dir) - r3.Dot(w, u)) / (1 - a*a)
	if at < -1e-9 || at > s.length+1e-9 || on < -1e-9 || on > l.length()+1e-9 {
		return nil
	}
	return s.seat(l, at, on)
}

// defaultSpacing is the largest distance between supports where the design
// does not say: common practice, no source.
const defaultSpacing = 1.0 // m

// along places supports at equal distances where line and beam run side by side.
func (s seating) along(l *line) []support {
	p, q := r3.Dot(r3.Sub(l.ends[0], s.from), s.axis.Dir), r3.Dot(r3.Sub(l.ends[1], s.from), s.axis.Dir)
	start, end := max(0, min(p, q)), min(s.length, max(p, q))
	if !(end > start) {
		return nil
	}
	spacing := defaultSpacing
	if s.axis.Spec.Join.Spacing != nil {
		spacing = *s.axis.Spec.Join.Spacing
	}
	n := max(1, int(math.Ceil((end-start)/spacing-1e-9)))
	var out []support
	for i := 0; i <= n; i++ {
		at := start + (end-start)*float64(i)/float64(n)
		out = append(out, s.seat(l, at, l.along(r3.Add(s.from, r3.Scale(at, s.axis.Dir))))...)
	}
	return out
}

// seat is the support at one place of beam and line, or none where the two do
// not touch. The lever from the line leads to the face of the beam, so that both
// sides of the connection are one place.
func (s seating) seat(l *line, at, on float64) []support {
	line := l.point(on)
	face := r3.Sub(r3.Add(s.from, r3.Scale(at, s.axis.Dir)), r3.Scale(s.drop, s.up))
	lever := r3.Sub(face, line)
	rise := r3.Dot(lever, s.up)
	aside := r3.Sub(lever, r3.Scale(rise, s.up))
	reach := half(l.shape.part, l.direction(), l.roll, s.up)
	packing := s.plate + r3.Dot(vec(s.axis.Spec.Offset), s.up)
	room := 0.0
	if n := r3.Norm(aside); n > 0 {
		side := r3.Scale(1/n, aside)
		room = half(l.shape.part, l.direction(), l.roll, side) + half(s.shape.part, s.axis.Dir, s.roll, side)
	}
	if math.Abs(rise-reach-packing) > fit || r3.Norm(aside) > room+1e-9 {
		return nil
	}
	return []support{{at, l.place(on, lever)}}
}
