package step

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// ErrOpen says that a boundary is not closed or not right side out.
var ErrOpen = errors.New("the boundary is no body")

// volumeTolerance is how far the volume by the divergence theorem may differ
// from area times length, relative to the box around the body: rounding.
const volumeTolerance = 1e-9

// prove tells whether the boundary is closed, with all faces outward.
func (b *Body) prove() error {
	forward, backward := make([]int, len(b.edges)), make([]int, len(b.edges))
	for _, f := range b.faces {
		for _, l := range f.loops {
			if err := b.joined(l); err != nil {
				return err
			}
			for _, u := range l {
				if u.forward {
					forward[u.edge]++
				} else {
					backward[u.edge]++
				}
			}
		}
	}
	for i := range b.edges {
		if forward[i] != 1 || backward[i] != 1 {
			return fmt.Errorf("%w: edge %d is used %d times forward and %d times backward", ErrOpen, i, forward[i], backward[i])
		}
	}
	return b.outward()
}

// joined tells whether each edge of a loop ends where the next begins.
func (b *Body) joined(l []use) error {
	for i, u := range l {
		next := l[(i+1)%len(l)]
		if b.end(u) != b.start(next) {
			return fmt.Errorf("%w: a loop breaks between edges %d and %d", ErrOpen, u.edge, next.edge)
		}
	}
	return nil
}

func (b *Body) start(u use) int {
	if u.forward {
		return b.edges[u.edge].from
	}
	return b.edges[u.edge].to
}

func (b *Body) end(u use) int { return b.start(use{u.edge, !u.forward}) }

// outward tells whether the loops of plane faces turn as their normals say,
// whether all faces together close, and whether the volume is right.
func (b *Body) outward() error {
	var sum r3.Vec
	size := 0.0
	for i, f := range b.faces {
		v := b.vector(f)
		if f.radius == 0 && !(r3.Dot(v, f.normal) > 0.999*r3.Norm(v)) {
			return fmt.Errorf("%w: face %d looks inward", ErrOpen, i)
		}
		sum = r3.Add(sum, v)
		size += r3.Norm(v)
	}
	if !(r3.Norm(sum) <= volumeTolerance*size) {
		return fmt.Errorf("%w: the faces do not close", ErrOpen)
	}
	lo, hi := b.extents()
	box := (hi.X - lo.X) * (hi.Y - lo.Y) * (hi.Z - lo.Z)
	want, got := b.prism.Volume(), b.Volume()
	if !(got > 0 && math.Abs(got-want) <= volumeTolerance*box) {
		return fmt.Errorf("%w: its faces enclose %.9g mm³, area times length is %.9g mm³", ErrOpen, got, want)
	}
	return nil
}

func (b *Body) extents() (lo, hi r3.Vec) {
	lo, hi = b.points[0], b.points[0]
	for _, p := range b.points {
		lo = r3.Vec{X: min(lo.X, p.X), Y: min(lo.Y, p.Y), Z: min(lo.Z, p.Z)}
		hi = r3.Vec{X: max(hi.X, p.X), Y: max(hi.Y, p.Y), Z: max(hi.Z, p.Z)}
	}
	for _, e := range b.edges {
		if e.arc != nil {
			r := r3.Vec{X: e.arc.radius, Y: e.arc.radius}
			p, q := r3.Sub(e.arc.centre, r), r3.Add(e.arc.centre, r)
			lo, hi = r3.Vec{X: min(lo.X, p.X), Y: min(lo.Y, p.Y), Z: lo.Z}, r3.Vec{X: max(hi.X, q.X), Y: max(hi.Y, q.Y), Z: hi.Z}
		}
	}
	return lo, hi
}

// vector is the area of a face times its outward normal, mm²: for a plane face
// half the sum of p x dp round its loops, for a cylinder its height times the
// integral of the normal round its arc.
func (b *Body) vector(f face) r3.Vec {
	if f.radius > 0 {
		_, turned, height := b.sweep(f)
		return r3.Scale(f.sign()*f.radius*height, turned)
	}
	var v r3.Vec
	for _, l := range f.loops {
		for _, u := range l {
			p, q, e := b.points[b.start(u)], b.points[b.end(u)], b.edges[u.edge]
			if e.arc == nil {
				v = r3.Add(v, r3.Scale(0.5, r3.Cross(p, q)))
				continue
			}
			turn := e.arc.turn
			if !u.forward {
				turn = -turn
			}
			v = r3.Add(v, r3.Scale(0.5, r3.Add(r3.Cross(e.arc.centre, r3.Sub(q, p)), r3.Vec{Z: e.arc.radius * e.arc.radius * turn})))
		}
	}
	return v
}

// sign is 1 for a cylinder that is the outside of a body, -1 for one that is a hollow.
func (f face) sign() float64 {
	if f.inward {
		return -1
	}
	return 1
}

// sweep returns the angle of a cylinder face, rad, the integral of the unit
// vector away from its axis over that angle, and its height, mm.
func (b *Body) sweep(f face) (angle float64, turned r3.Vec, height float64) {
	for _, u := range f.loops[0] {
		e := b.edges[u.edge]
		if e.arc == nil {
			height = b.points[e.to].Z - b.points[e.from].Z
			continue
		}
		angle = math.Abs(e.arc.turn)
		d := r3.Scale(math.Copysign(1/f.radius, e.arc.turn), r3.Sub(b.points[e.to], b.points[e.from]))
		turned = r3.Vec{X: d.Y, Y: -d.X}
	}
	return angle, turned, height
}

// Volume is the volume inside the faces, mm³, by the divergence theorem: a
// third of the sum of position times normal over all faces.
func (b *Body) Volume() float64 {
	sum := 0.0
	for _, f := range b.faces {
		if f.radius == 0 {
			sum += r3.Dot(f.at, b.vector(f)) / 3
			continue
		}
		angle, turned, height := b.sweep(f)
		sum += f.sign() * f.radius * height * (r3.Dot(f.at, turned) + f.radius*angle) / 3
	}
	return sum
}
