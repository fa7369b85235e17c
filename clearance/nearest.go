package clearance

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// mostSteps ends a search that rounding keeps from ending; bodies of a machine need 5 to 15.
const mostSteps = 60

// closeEnough is how much nearer a further step could come, relative to the
// square of the distance: a micrometre in a metre. Corners that gain less lie almost in
// the plane of the others, where rounding spoils the shares.
const closeEnough = 1e-6

// nearest is the point of the hull nearest to the origin: the nearest point of a
// simplex of its corners, to which the corner farthest towards the origin is added until
// none lies nearer.
func (h *hull) nearest() Nearest {
	s := simplex{corners: []corner{h.support(r3.Vec{X: -1, Y: -1, Z: -1})}, share: []float64{1}}
	for range mostSteps {
		v := s.point()
		near := r3.Dot(v, v)
		if near <= touching*touching {
			break
		}
		c := h.support(r3.Scale(-1, v))
		if near-r3.Dot(v, c.at) <= closeEnough*near || s.holds(c) {
			break
		}
		if !s.add(c) {
			break
		}
		if v = s.point(); !(r3.Dot(v, v) < near) {
			break // no nearer, to rounding
		}
	}
	return s.result()
}

// simplex is up to four corners with their shares in the point nearest to the
// origin, all above zero.
type simplex struct {
	corners []corner
	share   []float64
}

func (s *simplex) point() r3.Vec {
	var p r3.Vec
	for i, c := range s.corners {
		p = r3.Add(p, r3.Scale(s.share[i], c.at))
	}
	return p
}

func (s *simplex) holds(c corner) bool {
	for _, k := range s.corners {
		if k.at == c.at {
			return true
		}
	}
	return false
}

// add puts a corner in and moves to the nearest point of the larger simplex:
// towards the nearest point of the plane through all corners, dropping those
// whose share runs out on the way. It reports false where rounding leaves no way.
func (s *simplex) add(c corner) bool {
	s.corners, s.share = append(s.corners, c), append(s.share, 0)
	for len(s.corners) > 1 {
		want, ok := s.flat()
		if !ok {
			return false
		}
		step, out := 1.0, -1
		for i, w := range want {
			if w > 0 {
				continue
			}
			t := 0.0 // a corner that just came in and leaves at once
			if s.share[i] > 0 {
				t = s.share[i] / (s.share[i] - w)
			}
			if t < step || out < 0 {
				step, out = t, i
			}
		}
		for i := range s.share {
			s.share[i] += step * (want[i] - s.share[i])
		}
		if out < 0 {
			return true
		}
		s.corners = append(s.corners[:out], s.corners[out+1:]...)
		s.share = append(s.share[:out], s.share[out+1:]...)
	}
	s.share[0] = 1
	return true
}

// flat is the shares of the corners in the point nearest to the origin of the
// line, plane or space through them: with the differences e_i from the first
// corner c, the normal equations (e_i e_k) x = -(e_i c).
func (s *simplex) flat() ([]float64, bool) {
	n := len(s.corners) - 1
	if n > 3 {
		return nil, false
	}
	var e [3]r3.Vec
	var g [3][4]float64
	first := s.corners[0].at
	for i := range n {
		e[i] = r3.Sub(s.corners[i+1].at, first)
	}
	for i := range n {
		for k := range n {
			g[i][k] = r3.Dot(e[i], e[k])
		}
		g[i][3] = -r3.Dot(e[i], first)
	}
	if !eliminate(&g, n) {
		return nil, false
	}
	out := make([]float64, n+1)
	out[0] = 1
	for i := range n {
		out[i+1] = g[i][3]
		out[0] -= g[i][3]
	}
	return out, true
}

// eliminate solves the n equations with their right side in column 3, in place,
// with pivots from the diagonal: the matrix is symmetric and not negative.
func eliminate(g *[3][4]float64, n int) bool {
	var largest float64
	for i := range n {
		largest = max(largest, g[i][i])
	}
	done := [3]bool{}
	for range n {
		p := -1
		for i := range n {
			if !done[i] && (p < 0 || g[i][i] > g[p][p]) {
				p = i
			}
		}
		if !(g[p][p] > 1e-14*largest) { // corners in one line or plane, to rounding
			return false
		}
		done[p] = true
		for i := range n {
			if i == p {
				continue
			}
			f := g[i][p] / g[p][p]
			for k := range 4 {
				g[i][k] -= f * g[p][k]
			}
		}
	}
	for i := range n {
		g[i][3] /= g[i][i]
	}
	return true
}

func (s *simplex) result() Nearest {
	n := Nearest{At: make([]float64, len(s.corners[0].q))}
	for i, c := range s.corners {
		n.A, n.B = r3.Add(n.A, r3.Scale(s.share[i], c.a)), r3.Add(n.B, r3.Scale(s.share[i], c.b))
		for k, q := range c.q {
			n.At[k] += s.share[i] * q
		}
	}
	n.Distance = math.Abs(r3.Norm(s.point()))
	return n
}
