package sparse

import "math"

// beam is a straight prismatic member of a test structure, solid square, steel-like (E 210 GPa, G 81 GPa, 7850 kg/m3).
type beam struct {
	side float64 // m
}

// matrices returns stiffness and consistent mass of the member from a to b in global axes: Euler-Bernoulli bending,
// freedoms ux uy uz rx ry rz of a, then of b.
//
// Source: Przemieniecki, Theory of Matrix Structural Analysis, 1968, ch. 5 and 11 (from memory).
func (m beam) matrices(a, b [3]float64) (k, mass [12][12]float64) {
	const e, g, rho = 210e9, 81e9, 7850.0
	area := m.side * m.side
	second := area * area / 12
	torsion := 0.1406 * area * area // square bar
	d := [3]float64{b[0] - a[0], b[1] - a[1], b[2] - a[2]}
	l := math.Sqrt(d[0]*d[0] + d[1]*d[1] + d[2]*d[2])
	pair := func(t *[12][12]float64, i, j int, v float64) { t[i][j], t[j][i] = v, v }
	var ke, me [12][12]float64
	spar := func(i, j int, stiff, heavy float64) {
		ke[i][i], ke[j][j] = stiff, stiff
		pair(&ke, i, j, -stiff)
		me[i][i], me[j][j] = heavy/3, heavy/3
		pair(&me, i, j, heavy/6)
	}
	spar(0, 6, e*area/l, rho*area*l)
	spar(3, 9, g*torsion/l, rho*2*second*l)
	bend := func(v1, r1, v2, r2 int, s float64) {
		f, h := e*second/(l*l*l), rho*area*l/420
		for _, x := range []struct {
			i, j int
			k, m float64
		}{
			{v1, v1, 12, 156}, {v2, v2, 12, 156}, {r1, r1, 4 * l * l, 4 * l * l}, {r2, r2, 4 * l * l, 4 * l * l},
			{v1, v2, -12, 54}, {v1, r1, s * 6 * l, s * 22 * l}, {v1, r2, s * 6 * l, -s * 13 * l},
			{v2, r1, -s * 6 * l, s * 13 * l}, {v2, r2, -s * 6 * l, -s * 22 * l}, {r1, r2, 2 * l * l, -3 * l * l},
		} {
			pair(&ke, x.i, x.j, f*x.k)
			pair(&me, x.i, x.j, h*x.m)
		}
	}
	bend(1, 5, 7, 11, 1)
	bend(2, 4, 8, 10, -1)
	return turn(ke, d, l), turn(me, d, l)
}

// turn takes an element matrix from local to global axes.
func turn(m [12][12]float64, d [3]float64, l float64) (out [12][12]float64) {
	var r [3][3]float64
	x := [3]float64{d[0] / l, d[1] / l, d[2] / l}
	y := [3]float64{-x[1], x[0], 0}
	if h := math.Hypot(x[0], x[1]); h < 1e-6 {
		y = [3]float64{0, 1, 0}
	} else {
		y[0], y[1] = y[0]/h, y[1]/h
	}
	r[0], r[1] = x, y
	r[2] = [3]float64{x[1]*y[2] - x[2]*y[1], x[2]*y[0] - x[0]*y[2], x[0]*y[1] - x[1]*y[0]}
	at := func(i, j int) float64 {
		if i/3 != j/3 {
			return 0
		}
		return r[i%3][j%3]
	}
	for i := range 12 {
		for j := range 12 {
			for p := i / 3 * 3; p < i/3*3+3; p++ {
				for q := j / 3 * 3; q < j/3*3+3; q++ {
					out[i][j] += at(p, i) * m[p][q] * at(q, j)
				}
			}
		}
	}
	return out
}

// structure assembles test frames.
type structure struct {
	k, m *Builder
}

func newStructure(nodes int) *structure {
	return &structure{NewBuilder(6 * nodes), NewBuilder(6 * nodes)}
}

func (s *structure) member(b beam, i, j int, at func(node int) [3]float64) {
	ke, me := b.matrices(at(i), at(j))
	dof := func(p int) int {
		if p < 6 {
			return 6*i + p
		}
		return 6*j + p - 6
	}
	for p := range 12 {
		for q := range p + 1 {
			s.k.Add(dof(p), dof(q), ke[p][q])
			s.m.Add(dof(p), dof(q), me[p][q])
		}
	}
}

// ground ties all freedoms of a node to the ground.
func (s *structure) ground(node int, stiffness float64) {
	for p := range 6 {
		s.k.Add(6*node+p, 6*node+p, stiffness)
	}
}

// lattice is a box of nx by ny by nz nodes with members of 1 m between neighbours, standing on stiff springs.
// uneven varies the member sizes, so that no symmetry is left.
func lattice(nx, ny, nz int, uneven, grounded bool) (k, m *Matrix) {
	s := newStructure(nx * ny * nz)
	at := func(node int) [3]float64 {
		return [3]float64{float64(node % nx), float64(node / nx % ny), float64(node / nx / ny)}
	}
	count := 0
	join := func(i, j int) {
		b := beam{0.05}
		if uneven {
			b.side *= 1 + 0.2*math.Sin(float64(count)*1.7)
		}
		count++
		s.member(b, i, j, at)
	}
	for z := range nz {
		for y := range ny {
			for x := range nx {
				i := x + nx*(y+ny*z)
				if x+1 < nx {
					join(i, i+1)
				}
				if y+1 < ny {
					join(i, i+nx)
				}
				if z+1 < nz {
					join(i, i+nx*ny)
				}
				if z == 0 && grounded {
					s.ground(i, 1e9)
				}
			}
		}
	}
	return s.k.Build(), s.m.Build()
}
