package section

import (
	"math"

	"spanwright/section/internal/fe"
)

// takeOver stores the solved brackets, with equal values where a symmetry
// demands it.
func (p *Properties) takeOver(r *fe.Result) {
	p.J = r.Torsion.Mid()
	p.Limits.J = Bounds(r.Torsion)
	sy, sz := Bounds(r.Shear[0]), Bounds(r.Shear[1])
	if p.Symmetry.Swap {
		// Both brackets hold the one exact value, and so does what they share.
		sy = Bounds{max(sy.Low, sz.Low), min(sy.High, sz.High)}
		sz = sy
	}
	p.Limits.Asy, p.Limits.Asz = sy, sz
	p.Asy, p.Asz = (sy.Low+sy.High)/2, (sz.Low+sz.High)/2

	// A unit force along z has the torque ys - yc about the centroid, a unit
	// force along y the torque -(zs - zc).
	p.ShearCentre = Point{p.Centroid.Y + r.Centre[1].Mid(), p.Centroid.Z - r.Centre[0].Mid()}
	p.Limits.ShearCentre = max(r.Centre[0].High-r.Centre[0].Low, r.Centre[1].High-r.Centre[1].Low) / 2
	if p.Symmetry.AboutZ || p.Symmetry.HalfTurn {
		p.ShearCentre.Y = p.Centroid.Y
	}
	if p.Symmetry.AboutY || p.Symmetry.HalfTurn {
		p.ShearCentre.Z = p.Centroid.Z
	}
}

// torsionModulus returns J over the steepest slope that the stress function has
// in the walls, for static design of ductile metal. Per unit shear modulus and
// rate of twist, a wall of thickness t between two loops on which the function
// is F1 and F2 has the slope |F1-F2|/t + t at its surface; the first part
// belongs to the cells it closes, the second to the wall as a strip. A wall
// without cells, and any other place, has at most the diameter of the largest
// circle in the material. For a square tube it is the modulus of its standard;
// for one thin cell, Bredt's 2 Am t.
//
// Peaks at inner corners, which need a fillet radius to be known, are left out,
// as is usual for static loads. The modulus is low for solid shapes: half the
// exact one for a round bar.
//
// Source: EN 10210-2 and EN 10219-2, annex on structural properties, Ct =
// It/(t + K/t) (from memory; tabulated values confirmed); the form for several
// cells is derived from Prandtl's stress function; J/t for open shapes is
// common practice.
func (p *Properties) torsionModulus(o Outline, loopStress []float64) float64 {
	return p.J / o.steepest(loopStress, p.Thickest)
}

// steepest returns the largest slope in a wall, m, at least thickest, the
// diameter of the largest circle in the material.
func (o Outline) steepest(value []float64, thickest float64) float64 {
	loops := o.loops()
	box := make([]Outline, len(loops))
	for k, l := range loops {
		box[k] = Outline{Outer: l}
	}
	best := thickest
	for i := range loops {
		for j := range i {
			drop := math.Abs(value[i] - value[j])
			lo1, hi1 := box[i].Extents()
			lo2, hi2 := box[j].Extents()
			apart := math.Hypot(max(0, lo1.Y-hi2.Y, lo2.Y-hi1.Y), max(0, lo1.Z-hi2.Z, lo2.Z-hi1.Z))
			if drop <= (best-thickest)*apart {
				continue // even the enclosing rectangles are too far apart
			}
			t := distanceOfLoops(loops[i], loops[j], drop/(best-thickest))
			// Loops with others between them are farther apart than any wall is thick.
			best = max(best, drop/t+min(t, thickest))
		}
	}
	return best
}

// distanceOfLoops returns the least distance of two loops that do not meet;
// distances above limit need not be exact.
func distanceOfLoops(l, m Loop, limit float64) float64 {
	least := math.Inf(1)
	for i, a := range l {
		b := l[(i+1)%len(l)]
		for j, c := range m {
			d := m[(j+1)%len(m)]
			near := min(least, limit)
			if max(min(a.Y, b.Y)-max(c.Y, d.Y), min(c.Y, d.Y)-max(a.Y, b.Y),
				min(a.Z, b.Z)-max(c.Z, d.Z), min(c.Z, d.Z)-max(a.Z, b.Z)) > near {
				continue
			}
			least = min(least, distanceOfEdges(a, b, c, d))
		}
	}
	return least
}
