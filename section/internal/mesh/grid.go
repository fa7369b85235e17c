package mesh

import (
	"math"
	"math/bits"
)

const (
	// gridSteps is the number of grid steps over the larger side of the region.
	// The surrounding box adds half a side all round, so differences stay below
	// 2^26, cross products below 2^54 and the in-circle determinant below 2^110.
	gridSteps = 1 << 25

	// boxMargin is the distance from the region to the surrounding box, grid steps.
	boxMargin = gridSteps / 2
)

// gridPoint is a point on the integer grid.
type gridPoint struct{ y, z int64 }

// grid maps plane coordinates in metres to grid steps and back.
type grid struct {
	y0, z0 float64 // the region's centre, m
	step   float64 // m per grid step
}

func (g grid) snap(p [2]float64) gridPoint {
	return gridPoint{
		int64(math.Round((p[0] - g.y0) / g.step)),
		int64(math.Round((p[1] - g.z0) / g.step)),
	}
}

func (g grid) metres(p gridPoint) [2]float64 {
	return [2]float64{
		g.y0 + float64(float64(p.y)*g.step), // the conversion forbids fusing, which differs between processors
		g.z0 + float64(float64(p.z)*g.step),
	}
}

// orient returns twice the signed area of a, b, c in grid steps squared:
// positive when they turn counter-clockwise. It is exact.
func orient(a, b, c gridPoint) int64 {
	return (b.y-a.y)*(c.z-a.z) - (b.z-a.z)*(c.y-a.y)
}

// along returns (a-p)·(b-p); it is negative when p lies inside the circle
// with diameter a-b. It is exact.
func along(p, a, b gridPoint) int64 {
	return (a.y-p.y)*(b.y-p.y) + (a.z-p.z)*(b.z-p.z)
}

func distance2(a, b gridPoint) int64 {
	dy, dz := a.y-b.y, a.z-b.z
	return dy*dy + dz*dz
}

// inCircle reports whether d lies strictly inside the circle through a, b, c,
// which turn counter-clockwise. It is exact: floating point decides the clear
// cases and 128-bit integers the others.
func inCircle(a, b, c, d gridPoint) bool {
	ay, az := a.y-d.y, a.z-d.z
	by, bz := b.y-d.y, b.z-d.z
	cy, cz := c.y-d.y, c.z-d.z
	la, lb, lc := ay*ay+az*az, by*by+bz*bz, cy*cy+cz*cz
	ma, mb, mc := by*cz-bz*cy, cy*az-cz*ay, ay*bz-az*by

	ta, tb, tc := float64(la)*float64(ma), float64(lb)*float64(mb), float64(lc)*float64(mc)
	det := ta + tb + tc
	// Six roundings of 2^-53 each on terms no larger than the sum of magnitudes.
	if bound := 8e-16 * (math.Abs(ta) + math.Abs(tb) + math.Abs(tc)); math.Abs(det) > bound {
		return det > 0
	}
	var sum wide
	sum.add(la, ma)
	sum.add(lb, mb)
	sum.add(lc, mc)
	return sum.positive()
}

// wide is a 128-bit two's complement integer.
type wide struct{ hi, lo uint64 }

// add adds the product of l, not negative, and m.
func (w *wide) add(l, m int64) {
	neg := m < 0
	if neg {
		m = -m
	}
	hi, lo := bits.Mul64(uint64(l), uint64(m))
	var carry uint64
	if neg {
		w.lo, carry = bits.Sub64(w.lo, lo, 0)
		w.hi, _ = bits.Sub64(w.hi, hi, carry)
		return
	}
	w.lo, carry = bits.Add64(w.lo, lo, 0)
	w.hi, _ = bits.Add64(w.hi, hi, carry)
}

func (w wide) positive() bool {
	return int64(w.hi) > 0 || w.hi == 0 && w.lo > 0
}
