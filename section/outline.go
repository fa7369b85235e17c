package section

import (
	"cmp"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"math"
	"slices"
)

// Point is a point of a section: y to the right, z up.
type Point struct {
	Y float64 `json:"y_m"` // m
	Z float64 `json:"z_m"` // m
}

func (p Point) sub(q Point) Point { return Point{p.Y - q.Y, p.Z - q.Z} }

func (p Point) add(q Point) Point { return Point{p.Y + q.Y, p.Z + q.Z} }

func (p Point) length() float64 { return math.Hypot(p.Y, p.Z) }

func dot(a, b Point) float64 { return a.Y*b.Y + a.Z*b.Z }

func cross(a, b Point) float64 { return a.Y*b.Z - a.Z*b.Y }

// Loop is a closed polygon; the last point is joined to the first. The
// direction of turn has no meaning.
type Loop []Point

// area is positive for a loop that turns counter-clockwise, m².
func (l Loop) area() float64 {
	if len(l) == 0 {
		return 0
	}
	twice := 0.0
	for i, p := range l {
		q := l[(i+1)%len(l)]
		twice += cross(p.sub(l[0]), q.sub(l[0]))
	}
	return twice / 2
}

func (l Loop) length() float64 {
	sum := 0.0
	for i, p := range l {
		sum += l[(i+1)%len(l)].sub(p).length()
	}
	return sum
}

// moved returns the loop with f applied to every point.
func (l Loop) moved(f func(Point) Point) Loop {
	out := make(Loop, len(l))
	for i, p := range l {
		out[i] = f(p)
	}
	return out
}

// reversed returns the loop run the other way from the same first point.
func (l Loop) reversed() Loop {
	out := slices.Clone(l)
	if len(out) > 1 {
		slices.Reverse(out[1:])
	}
	return out
}

// Outline is the edge of the material: everything inside Outer and outside all
// Holes. Check tells whether it is a section at all.
type Outline struct {
	Outer Loop
	Holes []Loop
}

// loops returns the outer loop and the holes behind it.
func (o Outline) loops() []Loop {
	return append([]Loop{o.Outer}, o.Holes...)
}

// edges calls f for every edge with its loop, 0 being the outer one.
func (o Outline) edges(f func(loop int, a, b Point)) {
	for k, l := range o.loops() {
		for i, p := range l {
			f(k, p, l[(i+1)%len(l)])
		}
	}
}

func (o Outline) moved(f func(Point) Point) Outline {
	out := Outline{Outer: o.Outer.moved(f)}
	for _, h := range o.Holes {
		out.Holes = append(out.Holes, h.moved(f))
	}
	return out
}

// Moved returns the outline shifted by (y, z), m.
func (o Outline) Moved(y, z float64) Outline {
	return o.moved(func(p Point) Point { return Point{p.Y + y, p.Z + z} })
}

// Turned returns the outline turned about the origin by angle, rad, from y
// towards z. Turning by minus Properties.Angle lays the major principal axis
// on y, which a frame member needs if Iyz is not zero.
func (o Outline) Turned(angle float64) Outline {
	s, c := math.Sincos(angle)
	return o.moved(func(p Point) Point { return Point{c*p.Y - s*p.Z, s*p.Y + c*p.Z} })
}

// Extents returns the corners of the smallest upright rectangle around the
// outline, m.
func (o Outline) Extents() (lo, hi Point) {
	if len(o.Outer) == 0 {
		return Point{}, Point{}
	}
	lo, hi = o.Outer[0], o.Outer[0]
	for _, p := range o.Outer {
		lo.Y, lo.Z = min(lo.Y, p.Y), min(lo.Z, p.Z)
		hi.Y, hi.Z = max(hi.Y, p.Y), max(hi.Z, p.Z)
	}
	return lo, hi
}

// size is the larger side of Extents, m.
func (o Outline) size() float64 {
	lo, hi := o.Extents()
	return max(hi.Y-lo.Y, hi.Z-lo.Z)
}

// standard returns the same outline in standard order: outer loop
// counter-clockwise, holes clockwise, each from its leftmost (then lowest)
// point, holes by their first points. Results then do not depend on how the
// outline was written down.
func (o Outline) standard() Outline {
	out := Outline{Outer: o.Outer.standard(true)}
	for _, h := range o.Holes {
		out.Holes = append(out.Holes, h.standard(false))
	}
	slices.SortStableFunc(out.Holes, func(a, b Loop) int {
		return cmp.Or(comparePoints(a[0], b[0]), cmp.Compare(len(a), len(b)))
	})
	return out
}

func (l Loop) standard(counterClockwise bool) Loop {
	first := 0
	for i, p := range l {
		if comparePoints(p, l[first]) < 0 {
			first = i
		}
	}
	out := append(slices.Clone(l[first:]), l[:first]...)
	if (out.area() > 0) != counterClockwise {
		out = out.reversed()
	}
	return out
}

// quantum is the coordinate step that Hash and the standard order can tell
// apart, m: far below any tolerance, far above rounding.
const quantum = 1e-9

func quanta(x float64) int64 { return int64(math.Round(x / quantum)) }

func comparePoints(a, b Point) int {
	return cmp.Or(cmp.Compare(quanta(a.Y), quanta(b.Y)), cmp.Compare(quanta(a.Z), quanta(b.Z)))
}

// method counts the ways in which Compute has found its results. It is part of
// Hash, so that stored properties are not taken for those of a newer method.
const method = 2

// Hash returns a short name of the outline and of the method of Compute, for
// storing properties. It does not depend on where loops begin, which way they
// turn or in what order holes are listed, and is blind below one nanometre.
func (o Outline) Hash() string {
	h := sha256.New()
	var b [8]byte
	put := func(v int64) {
		binary.BigEndian.PutUint64(b[:], uint64(v))
		h.Write(b[:])
	}
	put(method)
	for _, l := range o.standard().loops() {
		put(int64(len(l)))
		for _, p := range l {
			put(quanta(p.Y))
			put(quanta(p.Z))
		}
	}
	return hex.EncodeToString(h.Sum(nil)[:16])
}
