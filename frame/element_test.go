package frame

import (
	"math"
	"testing"
)

// gauss5 integrates polynomials up to degree 9 exactly on (0, 1); the products of shape functions have degree 6.
func gauss5() (integrate func(func(x float64) float64) float64) {
	a, b := math.Sqrt(5-2*math.Sqrt(10./7))/3, math.Sqrt(5+2*math.Sqrt(10./7))/3
	x := []float64{0, -a, a, -b, b}
	wa, wb := (322+13*math.Sqrt(70))/900, (322-13*math.Sqrt(70))/900
	w := []float64{128. / 225, wa, wa, wb, wb}
	return func(g func(x float64) float64) float64 {
		sum := 0.0
		for i := range x {
			sum += w[i] / 2 * g((x[i]+1)/2)
		}
		return sum
	}
}

func testBar() *bar {
	s := Section{A: 2e-3, Iy: 3e-6, Iz: 1e-6, J: 5e-7, Asy: 6e-4, Asz: 9e-4}
	m := Material{E: 70e9, G: 27e9, Rho: 2700, Alpha: 2e-5}
	b := newBar(&s, &m, 0.3, 0)
	return &b
}

// slopes returns derivatives of shapes by central differences that are exact for cubics up to rounding.
func slopes(b *bar, xi float64) (d [6][12]float64) {
	const h = 1e-3
	var p, q, p2, q2 [6][12]float64
	b.shapes(xi+h, &p)
	b.shapes(xi-h, &q)
	b.shapes(xi+2*h, &p2)
	b.shapes(xi-2*h, &q2)
	for i := range 6 {
		for j := range 12 {
			d[i][j] = (8*(p[i][j]-q[i][j]) - (p2[i][j] - q2[i][j])) / (12 * h * b.l)
		}
	}
	return d
}

// TestMatricesAreIntegralsOfShapes holds stiffness, mass and geometric stiffness to the shape functions.
func TestMatricesAreIntegralsOfShapes(t *testing.T) {
	b := testBar()
	integrate := gauss5()
	const p = 1234.0
	var k, m, g [12][12]float64
	b.addStiffness(&k)
	b.addMass(&m)
	b.addGeometric(&g, p)
	var sizeK, sizeM, sizeG, worstK, worstM, worstG float64
	for i := range 12 {
		for j := range 12 {
			wantK := b.l * integrate(func(x float64) float64 {
				var n [6][12]float64
				b.shapes(x, &n)
				d := slopes(b, x)
				gy, hy := d[1][i]-n[5][i], d[1][j]-n[5][j] // v' - θ
				gz, hz := d[2][i]+n[4][i], d[2][j]+n[4][j] // w' + ry
				return b.ea*d[0][i]*d[0][j] + b.gj*d[3][i]*d[3][j] + b.eiz*d[5][i]*d[5][j] + b.eiy*d[4][i]*d[4][j] +
					b.gm*b.asy*gy*hy + b.gm*b.asz*gz*hz
			})
			wantM := b.l * integrate(func(x float64) float64 {
				var n [6][12]float64
				b.shapes(x, &n)
				return b.mass*(n[0][i]*n[0][j]+n[1][i]*n[1][j]+n[2][i]*n[2][j]) + b.polar*n[3][i]*n[3][j] +
					b.rotaryZ*n[5][i]*n[5][j] + b.rotaryY*n[4][i]*n[4][j]
			})
			wantG := b.l * integrate(func(x float64) float64 {
				d := slopes(b, x)
				return p * (d[1][i]*d[1][j] + d[2][i]*d[2][j])
			})
			// Matrices are compared by their own scale of the freedoms, d_i d_j.
			scaleK, scaleM, scaleG := math.Sqrt(k[i][i]*k[j][j]), math.Sqrt(m[i][i]*m[j][j]), math.Sqrt(math.Abs(g[i][i]*g[j][j]))
			worstK = math.Max(worstK, math.Abs(k[i][j]-wantK)/scaleK)
			worstM = math.Max(worstM, math.Abs(m[i][j]-wantM)/scaleM)
			if scaleG > 0 {
				worstG = math.Max(worstG, math.Abs(g[i][j]-wantG)/scaleG)
			} else if g[i][j] != 0 {
				t.Errorf("geometric stiffness %d %d is %g, want 0", i, j, g[i][j])
			}
			sizeK, sizeM, sizeG = math.Max(sizeK, scaleK), math.Max(sizeM, scaleM), math.Max(sizeG, scaleG)
		}
	}
	// 1e-9: rounding of the differences, 1e-16/1e-3 of a slope, in products.
	if !(worstK < 1e-9) || !(worstM < 1e-12) || !(worstG < 1e-9) {
		t.Errorf("differences: stiffness %.2g, mass %.2g, geometric %.2g", worstK, worstM, worstG)
	}
	if sizeK == 0 || sizeM == 0 || sizeG == 0 {
		t.Error("nothing was compared")
	}
}

// lone is a bar along X between two nodes, so that local and global axes are the same.
func lone(b *bar) *element {
	return &element{bar: *b, node: [2]int32{0, 1}, axes: Axes{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}},
		own: [2][3]int32{{-1, -1, -1}, {-1, -1, -1}}}
}

// TestEndForcesAreStiffnessTimesDisplacement holds the evaluation by deformation to the matrix.
func TestEndForcesAreStiffnessTimesDisplacement(t *testing.T) {
	b := testBar()
	b.axial = -5e3
	var k [12][12]float64
	b.addStiffness(&k)
	u := [12]float64{1e-3, 2e-3, -1e-3, 0.01, -0.02, 0.03, 2e-3, -1e-3, 3e-3, -0.01, 0.015, 0.02}
	e := lone(b)
	f := e.elasticForces(e.deform(u[:]))
	for i, g := range b.geometricForces(&u) {
		f[i] += g
	}
	work := 0.0
	for i := range 12 {
		want, scale := 0.0, 0.0
		for j := range 12 {
			want += k[i][j] * u[j]
			scale += math.Abs(k[i][j] * u[j])
		}
		work += u[i] * want / 2
		if math.Abs(f[i]-want) > 1e-13*scale {
			t.Errorf("force %d = %.15g, K u gives %.15g", i, f[i], want)
		}
	}
	if got := e.energy(u[:]); math.Abs(got-work) > 1e-12*work {
		t.Errorf("energy %.15g, uᵀKu/2 gives %.15g", got, work)
	}
}

// TestRigidMotionCostsNoForce moves a bar as a whole.
func TestRigidMotionCostsNoForce(t *testing.T) {
	b := testBar()
	motions := map[string][12]float64{
		"along x": {0: 1, 6: 1}, "along y": {1: 1, 7: 1}, "along z": {2: 1, 8: 1}, "about x": {3: 1, 9: 1},
		"about y": {4: 1, 8: -b.l, 10: 1}, "about z": {5: 1, 7: b.l, 11: 1},
	}
	for name, u := range motions {
		e := lone(b)
		f := e.elasticForces(e.deform(u[:]))
		if worst := maxAbs(f[:]); worst > 1e-6 { // N, against EA/L = 5e8 N/m: rounding of the slope
			t.Errorf("%s: a rigid motion of 1 needs %g N", name, worst)
		}
	}
}

// TestLoadedBar holds the deflection between clamped ends to the equilibrium of the beam: EI v”” = q with the shear
// part added, by integrating the equivalent nodal forces.
func TestLoadedBar(t *testing.T) {
	b := testBar()
	q := [3]float64{300, -200, 500}
	integrate := gauss5()
	f := b.uniformLoad(q)
	for i := range 12 {
		want := b.l * integrate(func(x float64) float64 {
			var n [6][12]float64
			b.shapes(x, &n)
			return q[0]*n[0][i] + q[1]*n[1][i] + q[2]*n[2][i]
		})
		if math.Abs(f[i]-want) > 1e-12*b.l*500 {
			t.Errorf("equivalent force %d = %.12g, want %.12g", i, f[i], want)
		}
	}
	mid := b.loadedBy(q, 0.5)
	l := b.l
	// q L⁴/(384 EI) + q L²/(8 G As): clamped beam, mid-span
	want := q[2]*math.Pow(l, 4)/(384*b.eiy) + q[2]*l*l/(8*b.gm*b.asz)
	if math.Abs(mid[2]-want) > 1e-12*math.Abs(want) {
		t.Errorf("mid deflection %g, want %g", mid[2], want)
	}
	// The slope of the bending line is what loadedBy calls rotation.
	const h = 1e-5
	a, c := b.loadedBy(q, 0.3-h), b.loadedBy(q, 0.3+h)
	shear := q[1] * l * (1 - 2*0.3) / (2 * b.gm * b.asy)
	slope := (c[1]-a[1])/(2*h*l) - shear
	if at := b.loadedBy(q, 0.3); math.Abs(at[5]-slope) > 1e-7*math.Abs(slope) {
		t.Errorf("rotation %g, slope of the bending line %g", at[5], slope)
	}
}
