package fe

import (
	"math"

	"spanwright/section/internal/mesh"
)

// Bracket holds an exact value: Low <= value <= High.
type Bracket struct{ Low, High float64 }

// Mid is the middle of the bracket. Both fields have errors of like size, so
// it is much closer to the exact value than either end.
func (b Bracket) Mid() float64 { return (b.Low + b.High) / 2 }

// Half is half the width of the bracket over its middle: the largest relative
// error that Mid can have.
func (b Bracket) Half() float64 { return (b.High - b.Low) / (b.High + b.Low) }

// Result is what one mesh says about the bar.
type Result struct {
	Torsion Bracket    // torsion constant J, m⁴
	Shear   [2]Bracket // shear areas for a force along y and along z, m²

	// Centre is the torque of the shear stresses about the region's centroid for
	// a unit force along y and along z through the shear centre, N m per N.
	Centre [2]Bracket

	// LoopStress is Prandtl's stress function on each loop for a unit rate of
	// twist and unit shear modulus, m²; 0 on the outer loop. The shear flow of a
	// wall between two loops is their difference.
	LoopStress []float64

	// Share tells how much each triangle adds to the relative widths of the
	// brackets of torsion and both shears.
	Share []float64

	// Mismatch compares each width, a difference of two energies, with the
	// summed square of the difference of the two fields, relative to the energy.
	// Both are equal in exact arithmetic, so it shows that the equations were
	// assembled consistently and solved.
	Mismatch float64

	Unknowns int
}

// Solve computes torsion and shear of a bar whose section is the mesh of the
// given number of loops.
func Solve(m *mesh.Mesh, loops int) (*Result, error) {
	b := newBar(m, loops)
	potential, err := b.potentials()
	if err != nil {
		return nil, err
	}
	stress, err := b.stressFunctions()
	if err != nil {
		return nil, err
	}
	return b.compare(potential, stress), nil
}

// bar is the mesh prepared for both systems.
type bar struct {
	tris   []mesh.Triangle
	shapes []shape
	nodes  [][6]int32 // per triangle: its nodes
	at     [][2]float64
	loop   []int32 // per node: loop it lies on, or -1 inside
	loops  int
	inside []float64 // area enclosed by each loop, m²

	polar float64       // second moment about the centroid, m⁴
	slope [2][2]float64 // load g = slope[k][0] y + slope[k][1] z for a unit force along k
}

func newBar(m *mesh.Mesh, loops int) *bar {
	b := &bar{tris: m.Triangles(), at: m.Points(), loops: loops, inside: make([]float64, loops)}
	b.moveToCentroid()
	b.numberSides()
	b.measure()
	return b
}

func (b *bar) moveToCentroid() {
	var area float64
	var first [2]float64
	for _, t := range b.tris {
		s := shapeOf(b.at[t.Corner[0]], b.at[t.Corner[1]], b.at[t.Corner[2]])
		c := s.place([3]float64{1. / 3, 1. / 3, 1. / 3})
		area += s.area
		first[0] += s.area * c[0]
		first[1] += s.area * c[1]
	}
	for i := range b.at {
		b.at[i][0] -= first[0] / area
		b.at[i][1] -= first[1] / area
	}
}

// numberSides gives each side of a triangle a node in its middle and notes
// which nodes lie on which loop.
func (b *bar) numberSides() {
	b.loop = make([]int32, len(b.at), 4*len(b.at))
	for i := range b.loop {
		b.loop[i] = -1
	}
	b.nodes = make([][6]int32, len(b.tris))
	for t := range b.tris {
		tr := &b.tris[t]
		copy(b.nodes[t][:3], tr.Corner[:])
		for i, nb := range tr.Neighbour {
			p, q := tr.Corner[(i+1)%3], tr.Corner[(i+2)%3]
			if nb >= 0 && nb < int32(t) {
				o := &b.tris[nb]
				for j := range o.Neighbour {
					if o.Neighbour[j] == int32(t) && o.Corner[(j+1)%3] == q {
						b.nodes[t][3+i] = b.nodes[nb][3+j]
					}
				}
				continue
			}
			b.nodes[t][3+i] = int32(len(b.at))
			b.at = append(b.at, [2]float64{(b.at[p][0] + b.at[q][0]) / 2, (b.at[p][1] + b.at[q][1]) / 2})
			on := int32(-1)
			if nb < 0 {
				on = -1 - nb
				b.loop[p], b.loop[q] = on, on
				// The material lies left of p-q, so a hole is circled clockwise.
				b.inside[on] -= (b.at[p][0]*b.at[q][1] - b.at[p][1]*b.at[q][0]) / 2
			}
			b.loop = append(b.loop, on)
		}
	}
	b.inside[0] = -b.inside[0]
}

func (b *bar) measure() {
	b.shapes = make([]shape, len(b.tris))
	var yy, zz, yz float64
	for t, tr := range b.tris {
		b.shapes[t] = shapeOf(b.at[tr.Corner[0]], b.at[tr.Corner[1]], b.at[tr.Corner[2]])
		a, c, d := b.shapes[t].second()
		yy, zz, yz = yy+a, zz+c, yz+d
	}
	b.polar = yy + zz
	// A unit force along y changes the bending stress by g per unit length:
	// g = (Iy y - Iyz z)/(Iy Iz - Iyz²), and likewise along z. Iz is yy, Iy is zz.
	det := yy*zz - yz*yz
	b.slope = [2][2]float64{{zz / det, -yz / det}, {-yz / det, yy / det}}
}

// growth returns the load g of force direction k at the corners of a triangle.
func (b *bar) growth(k int, s *shape) (g [3]float64) {
	for i, p := range s.at {
		g[i] = b.slope[k][0]*p[0] + b.slope[k][1]*p[1]
	}
	return g
}

// system assembles and factorises the stiffness for unknown[node] (-1: held
// at zero). Unknowns at and after tail have many neighbours and go last.
func (b *bar) system(unknown []int32, n, tail int) (*factor, error) {
	e := entries{n: n}
	e.i = make([]int32, 0, 21*len(b.tris))
	e.j = make([]int32, 0, 21*len(b.tris))
	e.v = make([]float64, 0, 21*len(b.tris))
	at := make([][2]float64, n)
	for node, u := range unknown {
		if u >= 0 {
			at[u] = b.at[node]
		}
	}
	for t := range b.tris {
		k := b.shapes[t].stiffness()
		for i := range 6 {
			ui := unknown[b.nodes[t][i]]
			if ui < 0 {
				continue
			}
			for j := range i + 1 {
				uj := unknown[b.nodes[t][j]]
				if uj < 0 || k[i][j] == 0 {
					continue
				}
				v := k[i][j]
				if i != j && ui == uj { // two nodes of one loop: both halves meet on the diagonal
					v *= 2
				}
				e.add(ui, uj, v)
			}
		}
	}
	return factorise(&e, dissect(e.graph(), at, tail))
}

// gather sums element loads into unknowns, and spread reads unknowns back to
// the nodes of one triangle.
func gather(unknown []int32, nodes *[6]int32, f *[6]float64, into []float64) {
	for i, node := range nodes {
		if u := unknown[node]; u >= 0 {
			into[u] += f[i]
		}
	}
}

func spread(unknown []int32, nodes *[6]int32, x []float64) (v [6]float64) {
	for i, node := range nodes {
		if u := unknown[node]; u >= 0 {
			v[i] = x[u]
		}
	}
	return v
}

// solution is one of the two descriptions: unknowns of torsion, shear along y
// and shear along z, and the load each belongs to.
type solution struct {
	unknown []int32
	x, load [3][]float64
	base    *[2][][3]float64 // side flows that stressFunctions starts from
}

func (s *solution) energy(k int) float64 {
	e := 0.0
	for i, x := range s.x[k] {
		e += x * s.load[k][i]
	}
	return e
}

// compare forms brackets, shear centre and triangle shares from both fields.
func (b *bar) compare(pot, str *solution) *Result {
	r := &Result{
		LoopStress: make([]float64, b.loops),
		Share:      make([]float64, len(b.tris)),
		Unknowns:   len(pot.x[0]),
	}
	inner := len(str.x[0]) - (b.loops - 1)
	for h := 1; h < b.loops; h++ {
		r.LoopStress[h] = str.x[0][inner+h-1]
	}
	var energy, square [3]Bracket // square.High: summed difference
	energy[0] = Bracket{Low: str.energy(0), High: b.polar - pot.energy(0)}
	energy[1].Low, energy[2].Low = pot.energy(1), pot.energy(2)

	diff := make([][3]float64, len(b.tris))
	var torque [2][2]float64
	for t := range b.tris {
		s := &b.shapes[t]
		for _, q := range rule {
			p := s.place(q.l)
			g := s.gradients(q.l)
			w := q.weight * s.area
			for k := range 3 {
				tp := pot.gradient(t, b, k, &g)
				ts := str.curl(t, b, k, &g)
				if k == 0 {
					tp[0] -= p[1]
					tp[1] += p[0]
				} else {
					base := b.equilibrated(t, k-1, &str.base[k-1][t], q.l, p)
					ts[0] += base[0]
					ts[1] += base[1]
					energy[k].High += w * (ts[0]*ts[0] + ts[1]*ts[1])
					torque[k-1][0] += w * (p[0]*tp[1] - p[1]*tp[0])
					torque[k-1][1] += w * (p[0]*ts[1] - p[1]*ts[0])
				}
				d := [2]float64{tp[0] - ts[0], tp[1] - ts[1]}
				diff[t][k] += w * (d[0]*d[0] + d[1]*d[1])
			}
		}
		for k := range 3 {
			square[k].High += diff[t][k]
		}
	}
	for k := range 3 {
		width := energy[k].High - energy[k].Low
		r.Mismatch = max(r.Mismatch, math.Abs(width-square[k].High)/energy[k].High)
		for t := range b.tris {
			r.Share[t] += diff[t][k] / energy[k].High
		}
	}
	r.Torsion = energy[0]
	for k := range 2 {
		r.Shear[k] = Bracket{1 / energy[k+1].High, 1 / energy[k+1].Low}
		mid := (torque[k][0] + torque[k][1]) / 2
		half := math.Sqrt(square[0].High*square[k+1].High) / 2
		r.Centre[k] = Bracket{mid - half, mid + half}
	}
	return r
}
