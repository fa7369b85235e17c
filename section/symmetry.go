package section

import "math"

// Symmetry tells which moves bring a section onto itself, about its centroid.
// Properties that a symmetry makes equal or zero are then exactly so.
type Symmetry struct {
	AboutY   bool `json:"about_y"`   // mirrored across the y axis (z -> -z)
	AboutZ   bool `json:"about_z"`   // mirrored across the z axis (y -> -y)
	HalfTurn bool `json:"half_turn"` // (y, z) -> (-y, -z), as a Z-section
	Swap     bool `json:"swap"`      // y and z may change places, by a quarter turn or a diagonal mirror
}

// Double reports whether both axes are axes of symmetry.
func (s Symmetry) Double() bool { return s.AboutY && s.AboutZ }

// symmetryTolerance is how far points may lie off their image, over the
// section's larger side: rounding of coordinates, not of drawing.
const symmetryTolerance = 1e-7

// symmetry compares the edges of the outline with their images.
func (o Outline) symmetry(centroid Point) Symmetry {
	p := newPlaces(o, centroid, symmetryTolerance*o.size())
	return Symmetry{
		AboutY:   p.mapsTo(func(p Point) Point { return Point{p.Y, -p.Z} }),
		AboutZ:   p.mapsTo(func(p Point) Point { return Point{-p.Y, p.Z} }),
		HalfTurn: p.mapsTo(func(p Point) Point { return Point{-p.Y, -p.Z} }),
		Swap: p.mapsTo(func(p Point) Point { return Point{p.Z, p.Y} }) ||
			p.mapsTo(func(p Point) Point { return Point{-p.Z, -p.Y} }) ||
			p.mapsTo(func(p Point) Point { return Point{-p.Z, p.Y} }),
	}
}

// places finds points by coordinates within a tolerance.
type places struct {
	cell  float64
	tol   float64
	pts   []Point
	at    map[[2]int64][]int
	edges map[[2]int]bool
}

func newPlaces(o Outline, centroid Point, tol float64) *places {
	p := &places{cell: 4 * tol, tol: tol, at: map[[2]int64][]int{}, edges: map[[2]int]bool{}}
	for _, l := range o.loops() {
		first := len(p.pts)
		for i, q := range l {
			q = q.sub(centroid)
			key := p.key(q)
			p.at[key] = append(p.at[key], len(p.pts))
			p.edges[ends(first+i, first+(i+1)%len(l))] = true
			p.pts = append(p.pts, q)
		}
	}
	return p
}

func (p *places) key(q Point) [2]int64 {
	return [2]int64{int64(math.Floor(q.Y / p.cell)), int64(math.Floor(q.Z / p.cell))}
}

func ends(a, b int) [2]int { return [2]int{min(a, b), max(a, b)} }

// find returns the number of the point at q, or -1.
func (p *places) find(q Point) int {
	k := p.key(q)
	for dy := int64(-1); dy <= 1; dy++ {
		for dz := int64(-1); dz <= 1; dz++ {
			for _, i := range p.at[[2]int64{k[0] + dy, k[1] + dz}] {
				if p.pts[i].sub(q).length() <= p.tol {
					return i
				}
			}
		}
	}
	return -1
}

func (p *places) mapsTo(image func(Point) Point) bool {
	to := make([]int, len(p.pts))
	for i, q := range p.pts {
		to[i] = p.find(image(q))
		if to[i] < 0 {
			return false
		}
	}
	for e := range p.edges {
		if !p.edges[ends(to[e[0]], to[e[1]])] {
			return false
		}
	}
	return true
}
