package fe

// A six-node triangle numbers its corners 0, 1, 2 and the middle of the side
// opposite to corner i as 3+i. With area coordinates l0, l1, l2 the shape
// functions are l_i (2 l_i - 1) and 4 l_j l_k.

// shape is one straight-sided triangle.
type shape struct {
	at   [3][2]float64 // corners, m
	grad [3][2]float64 // gradients of the area coordinates, 1/m
	area float64       // m²
}

func shapeOf(a, b, c [2]float64) shape {
	twice := (b[0]-a[0])*(c[1]-a[1]) - (b[1]-a[1])*(c[0]-a[0])
	s := shape{at: [3][2]float64{a, b, c}, area: twice / 2}
	for i := range 3 {
		j, k := (i+1)%3, (i+2)%3
		s.grad[i] = [2]float64{(s.at[j][1] - s.at[k][1]) / twice, (s.at[k][0] - s.at[j][0]) / twice}
	}
	return s
}

// stiffness returns the integrals of the products of shape-function gradients.
// All are multiples of g_ij = area grad_i·grad_j (exact integration, derived
// from integral l_i^2 = area/6, l_i l_j = area/12).
func (s *shape) stiffness() (k [6][6]float64) {
	var g [3][3]float64
	trace := 0.0
	for i := range 3 {
		for j := range 3 {
			g[i][j] = s.area * (s.grad[i][0]*s.grad[j][0] + s.grad[i][1]*s.grad[j][1])
		}
		trace += g[i][i]
	}
	for i := range 3 {
		k[i][i] = g[i][i]
		k[3+i][3+i] = 4. / 3 * trace
		for j := range 3 {
			if i == j {
				continue
			}
			k[i][j] = -g[i][j] / 3
			third := 3 - i - j // the side between i and j is opposite to it
			k[i][3+third] = 4. / 3 * g[i][j]
			k[3+third][i] = k[i][3+third]
			k[3+i][3+j] = 8. / 3 * g[i][j]
		}
	}
	return k
}

// load returns the integrals of shape function times a linear function with
// the given corner values.
func (s *shape) load(corner [3]float64) (f [6]float64) {
	for i := range 3 {
		j, k := (i+1)%3, (i+2)%3
		f[i] = s.area * (corner[i]/30 - (corner[j]+corner[k])/60)
		f[3+i] = s.area * (2*(corner[j]+corner[k]) + corner[i]) / 15
	}
	return f
}

// spot is a point of a quadrature rule, in area coordinates.
type spot struct {
	l      [3]float64
	weight float64 // share of the area
}

// Six points, exact to degree 4, which is the degree of the squared stress
// fields (Dunavant, Int. J. Numerical Methods in Engineering 21 (1985) 1129,
// reference from memory; TestRuleIsExact checks it against closed integrals).
const (
	ruleA, ruleWeightA = 0.445948490915965, 0.223381589678011
	ruleB, ruleWeightB = 0.091576213509771, 0.109951743655322
)

var rule = [6]spot{
	{[3]float64{ruleA, ruleA, 1 - 2*ruleA}, ruleWeightA},
	{[3]float64{ruleA, 1 - 2*ruleA, ruleA}, ruleWeightA},
	{[3]float64{1 - 2*ruleA, ruleA, ruleA}, ruleWeightA},
	{[3]float64{ruleB, ruleB, 1 - 2*ruleB}, ruleWeightB},
	{[3]float64{ruleB, 1 - 2*ruleB, ruleB}, ruleWeightB},
	{[3]float64{1 - 2*ruleB, ruleB, ruleB}, ruleWeightB},
}

// gradients returns the gradients of the six shape functions at area
// coordinates l, 1/m.
func (s *shape) gradients(l [3]float64) (g [6][2]float64) {
	for i := range 3 {
		j, k := (i+1)%3, (i+2)%3
		for c := range 2 {
			g[i][c] = (4*l[i] - 1) * s.grad[i][c]
			g[3+i][c] = 4 * (l[j]*s.grad[k][c] + l[k]*s.grad[j][c])
		}
	}
	return g
}

// place returns the point with area coordinates l, m.
func (s *shape) place(l [3]float64) (p [2]float64) {
	for i := range 3 {
		for c := range 2 {
			p[c] += l[i] * s.at[i][c]
		}
	}
	return p
}

// second returns the integrals of y², z² and y z over the triangle, m⁴.
func (s *shape) second() (yy, zz, yz float64) {
	var sum [2]float64
	for i := range 3 {
		y, z := s.at[i][0], s.at[i][1]
		yy, zz, yz = yy+y*y, zz+z*z, yz+y*z
		sum[0], sum[1] = sum[0]+y, sum[1]+z
	}
	c := s.area / 12
	return c * (yy + sum[0]*sum[0]), c * (zz + sum[1]*sum[1]), c * (yz + sum[0]*sum[1])
}
