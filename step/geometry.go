package step

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"
)

// solid writes a boundary and returns its number.
func (f *file) solid(b *Body, name string) int {
	points := make([]int, len(b.points))
	for i, p := range b.points {
		points[i] = f.add("VERTEX_POINT('',#%d)", f.point(p))
	}
	edges := make([]int, len(b.edges))
	for i, e := range b.edges {
		edges[i] = f.edge(b, e, points)
	}
	faces := make([]int, len(b.faces))
	for i, c := range b.faces {
		faces[i] = f.face(c, edges)
	}
	shell := f.add("CLOSED_SHELL('',(%s))", refs(faces))
	return f.add("MANIFOLD_SOLID_BREP(%s,#%d)", text(name), shell)
}

// edge writes an edge on its line or circle, in the sense in which it runs.
func (f *file) edge(b *Body, e edge, points []int) int {
	from, to := points[e.from], points[e.to]
	if e.arc != nil {
		circle := f.add("CIRCLE('',#%d,%s)", f.axes(e.arc.centre, r3.Vec{Z: 1}, r3.Vec{X: 1}), real(e.arc.radius))
		return f.add("EDGE_CURVE('',#%d,#%d,#%d,%s)", from, to, circle, logical(e.arc.turn > 0))
	}
	d := r3.Sub(b.points[e.to], b.points[e.from])
	vector := f.share("VECTOR('',#%d,1.)", f.direction(r3.Unit(d)))
	line := f.add("LINE('',#%d,#%d)", f.point(b.points[e.from]), vector)
	return f.add("EDGE_CURVE('',#%d,#%d,#%d,.T.)", from, to, line)
}

// face writes a face; its first loop is the outer one. The sense of a cylinder
// is that of its own normal, away from the axis.
func (f *file) face(c face, edges []int) int {
	bounds := make([]int, len(c.loops))
	for i, l := range c.loops {
		oriented := make([]int, len(l))
		for k, u := range l {
			oriented[k] = f.add("ORIENTED_EDGE('',*,*,#%d,%s)", edges[u.edge], logical(u.forward))
		}
		kind := "FACE_BOUND"
		if i == 0 {
			kind = "FACE_OUTER_BOUND"
		}
		bounds[i] = f.add("%s('',#%d,.T.)", kind, f.add("EDGE_LOOP('',(%s))", refs(oriented)))
	}
	if c.radius > 0 {
		surface := f.add("CYLINDRICAL_SURFACE('',#%d,%s)", f.axes(c.at, r3.Vec{Z: 1}, r3.Vec{X: 1}), real(c.radius))
		return f.add("ADVANCED_FACE('',(%s),#%d,%s)", refs(bounds), surface, logical(!c.inward))
	}
	surface := f.add("PLANE('',#%d)", f.axes(c.at, c.normal, c.along))
	return f.add("ADVANCED_FACE('',(%s),#%d,.T.)", refs(bounds), surface)
}

func (f *file) axes(at, z, x r3.Vec) int {
	return f.add("AXIS2_PLACEMENT_3D('',#%d,#%d,#%d)", f.point(at), f.direction(z), f.direction(x))
}

func (f *file) point(p r3.Vec) int {
	return f.share("CARTESIAN_POINT('',(%s,%s,%s))", real(rounded(p.X)), real(rounded(p.Y)), real(rounded(p.Z)))
}

// directionStep is the step to which the components of directions are rounded,
// so that those that mean the same are one; far below the precision of points.
const directionStep = 1e-14

func (f *file) direction(d r3.Vec) int {
	r := func(v float64) string { return real(math.Round(v/directionStep) * directionStep) }
	return f.share("DIRECTION('',(%s,%s,%s))", r(d.X), r(d.Y), r(d.Z))
}

// real writes a number as the format asks for it: always with a point. Twelve
// digits tell 1e-6 mm in a kilometre.
func real(v float64) string {
	s := strconv.FormatFloat(v, 'G', 12, 64)
	if v == 0 {
		return "0."
	}
	mantissa, exponent, scaled := strings.Cut(s, "E")
	if !strings.Contains(mantissa, ".") {
		mantissa += "."
	}
	if !scaled {
		return mantissa
	}
	return mantissa + "E" + exponent
}

func logical(v bool) string {
	if v {
		return ".T."
	}
	return ".F."
}

func refs(numbers []int) string {
	var b strings.Builder
	for i, n := range numbers {
		if i > 0 {
			b.WriteByte(',')
		}
		b.WriteByte('#')
		b.WriteString(strconv.Itoa(n))
	}
	return b.String()
}

// text writes a string: quotes and backslashes doubled, everything outside
// printable ASCII by its code points (ISO 10303-21, from memory).
func text(s string) string {
	var b strings.Builder
	b.WriteByte('\'')
	for _, r := range s {
		switch {
		case r == '\'' || r == '\\':
			b.WriteRune(r)
			b.WriteRune(r)
		case r >= ' ' && r <= '~':
			b.WriteRune(r)
		case r <= 0xFFFF:
			fmt.Fprintf(&b, `\X2\%04X\X0\`, r)
		default:
			fmt.Fprintf(&b, `\X4\%08X\X0\`, r)
		}
	}
	b.WriteByte('\'')
	return b.String()
}
