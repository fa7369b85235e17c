package frame

// bar is the uniform two-node Timoshenko beam between two points, in local axes.
//
// Local freedoms: [ux uy uz rx ry rz] at the beginning, then the same at the end. In the x-y plane the rotation rz has
// the sign of dv/dx; in the x-z plane ry has the sign of -dw/dx, which the signs of the entries carry.
//
// Source: Przemieniecki, Theory of Matrix Structural Analysis (from memory); stiffness, mass and shape functions are
// held together by numerical integration in the tests.
type bar struct {
	l            float64 // length, m
	ea, gj       float64 // N, N m²
	eiy, eiz     float64 // N m²
	phiY, phiZ   float64 // 12 EIz/(G Asy L²), 12 EIy/(G Asz L²); 0 = rigid in shear
	mass         float64 // rho A, kg/m
	polar        float64 // rho (Iy + Iz), kg m
	rotaryZ      float64 // rho Iz where Asy is given, kg m
	rotaryY      float64 // rho Iy where Asz is given, kg m
	axial        float64 // N, tension positive, for the geometric stiffness
	alpha        float64 // 1/K
	asy, asz, gm float64 // m², m², Pa
}

func newBar(s *Section, m *Material, length, axial float64) bar {
	b := bar{
		l: length, ea: m.E * s.A, gj: m.G * s.J, eiy: m.E * s.Iy, eiz: m.E * s.Iz,
		mass: m.Rho * s.A, polar: m.Rho * (s.Iy + s.Iz), axial: axial, alpha: m.Alpha,
		asy: s.Asy, asz: s.Asz, gm: m.G,
	}
	if s.Asy > 0 {
		b.phiY = 12 * b.eiz / (m.G * s.Asy * length * length)
		b.rotaryZ = m.Rho * s.Iz
	}
	if s.Asz > 0 {
		b.phiZ = 12 * b.eiy / (m.G * s.Asz * length * length)
		b.rotaryY = m.Rho * s.Iy
	}
	return b
}

// plane lists the local freedoms (v1, t1, v2, t2) of one bending plane and the sign that turns the rotation into the
// slope of v.
type plane struct {
	at   [4]int
	sign [4]float64
}

var (
	planeXY = plane{[4]int{1, 5, 7, 11}, [4]float64{1, 1, 1, 1}}
	planeXZ = plane{[4]int{2, 4, 8, 10}, [4]float64{1, -1, 1, -1}}
)

// place adds the plane matrix m to the 12 by 12 matrix k.
func (p *plane) place(k *[12][12]float64, m [4][4]float64) {
	for a := range 4 {
		for b := range 4 {
			k[p.at[a]][p.at[b]] += p.sign[a] * p.sign[b] * m[a][b]
		}
	}
}

// pair adds [c d; d c] at the freedoms i and i+6.
func pair(k *[12][12]float64, i int, c, d float64) {
	k[i][i] += c
	k[i+6][i+6] += c
	k[i][i+6] += d
	k[i+6][i] += d
}

// addStiffness adds the local stiffness matrix, with the geometric stiffness of the axial force.
func (b *bar) addStiffness(k *[12][12]float64) {
	pair(k, 0, b.ea/b.l, -b.ea/b.l)
	pair(k, 3, b.gj/b.l, -b.gj/b.l)
	planeXY.place(k, bendingStiffness(b.eiz, b.phiY, b.l))
	planeXZ.place(k, bendingStiffness(b.eiy, b.phiZ, b.l))
	if b.axial != 0 {
		b.addGeometric(k, b.axial)
	}
}

// addGeometric adds the geometric stiffness of the axial force p, N, tension positive.
func (b *bar) addGeometric(k *[12][12]float64, p float64) {
	planeXY.place(k, geometricStiffness(p, b.phiY, b.l))
	planeXZ.place(k, geometricStiffness(p, b.phiZ, b.l))
}

// addMass adds the local consistent mass matrix, from the same shape functions as the stiffness.
func (b *bar) addMass(m *[12][12]float64) {
	pair(m, 0, b.mass*b.l/3, b.mass*b.l/6)
	pair(m, 3, b.polar*b.l/3, b.polar*b.l/6)
	planeXY.place(m, bendingMass(b.mass, b.rotaryZ, b.phiY, b.l))
	planeXZ.place(m, bendingMass(b.mass, b.rotaryY, b.phiZ, b.l))
}

// bendingStiffness returns the stiffness for (v1, t1, v2, t2), t the slope of v without shear.
func bendingStiffness(ei, phi, l float64) [4][4]float64 {
	f := ei / (l * l * l * (1 + phi))
	a, b, c, d := 12*f, 6*l*f, (4+phi)*l*l*f, (2-phi)*l*l*f
	return [4][4]float64{
		{a, b, -a, b},
		{b, c, -b, d},
		{-a, -b, a, -b},
		{b, d, -b, c},
	}
}

// bendingMass returns the consistent mass for (v1, t1, v2, t2): translation of mu (kg/m) and rotary inertia rho I
// (kg m).
//
// Source: derived by integrating the shape functions of shapes.go; checked by quadrature in the tests.
func bendingMass(mu, rhoI, phi, l float64) [4][4]float64 {
	p := phi
	m := mu * l / ((1 + p) * (1 + p))
	r := rhoI / ((1 + p) * (1 + p) * l)
	m11 := m*(13./35+7./10*p+p*p/3) + 6./5*r
	m12 := m*l*(11./210+11./120*p+p*p/24) + r*l*(1./10-p/2)
	m13 := m*(9./70+3./10*p+p*p/6) - 6./5*r
	m14 := -m*l*(13./420+3./40*p+p*p/24) + r*l*(1./10-p/2)
	m22 := m*l*l*(1./105+p/60+p*p/120) + r*l*l*(2./15+p/6+p*p/3)
	m24 := -m*l*l*(1./140+p/60+p*p/120) + r*l*l*(-1./30-p/6+p*p/6)
	return [4][4]float64{
		{m11, m12, m13, m14},
		{m12, m22, -m14, m24},
		{m13, -m14, m11, -m12},
		{m14, m24, -m12, m22},
	}
}

// geometricStiffness returns the stiffness for (v1, t1, v2, t2) of the axial force p, N, tension positive.
//
// Source: derived as p times the integral of the product of the slopes of the shape functions.
func geometricStiffness(p, phi, l float64) [4][4]float64 {
	f := p / (l * (1 + phi) * (1 + phi))
	a := f * (6./5 + 2*phi + phi*phi)
	b := f * l / 10
	c := f * l * l * (2./15 + phi/6 + phi*phi/12)
	d := -f * l * l * (1./30 + phi/6 + phi*phi/12)
	return [4][4]float64{
		{a, b, -a, b},
		{b, c, -b, d},
		{-a, -b, a, -b},
		{b, d, -b, c},
	}
}

// strain holds what deforms a bar: its end displacements without the rigid motion.
type strain struct {
	stretch, twist float64 // m, rad
	y1, y2         float64 // slope of the ends against the chord in the x-y plane, rad
	z1, z2         float64 // the same in the x-z plane, as slope dw/dx, rad
}

// add adds another deformation.
func (d *strain) add(e strain) {
	d.stretch += e.stretch
	d.twist += e.twist
	d.y1 += e.y1
	d.y2 += e.y2
	d.z1 += e.z1
	d.z2 += e.z2
}

// elasticForces returns the forces and moments on the two ends, in local axes, that hold a deformation: k u without the
// geometric stiffness. They are in balance by construction.
func (b *bar) elasticForces(d strain) [12]float64 {
	var f [12]float64
	n, t := b.ea/b.l*d.stretch, b.gj/b.l*d.twist
	f[0], f[6] = -n, n
	f[3], f[9] = -t, t
	m1, m2 := endMoments(b.eiz, b.phiY, b.l, d.y1, d.y2)
	v := (m1 + m2) / b.l
	f[1], f[5], f[7], f[11] = v, m1, -v, m2
	m1, m2 = endMoments(b.eiy, b.phiZ, b.l, d.z1, d.z2)
	v = (m1 + m2) / b.l
	f[2], f[4], f[8], f[10] = v, -m1, -v, -m2
	return f
}

// geometricForces returns the end forces that the axial force calls for under local end displacements. They balance on
// the bent bar.
func (b *bar) geometricForces(u *[12]float64) [12]float64 {
	var g [12][12]float64
	var f [12]float64
	b.addGeometric(&g, b.axial)
	for i := range 12 {
		for j := range 12 {
			f[i] += g[i][j] * u[j]
		}
	}
	return f
}

// endMoments returns the end moments that hold the end slopes a, b against the chord.
func endMoments(ei, phi, l, a, b float64) (m1, m2 float64) {
	c := ei / (l * (1 + phi))
	return c * ((4+phi)*a + (2-phi)*b), c * ((2-phi)*a + (4+phi)*b)
}

// energy returns the strain energy of a deformation, J, without that of the axial force.
func (b *bar) energy(d strain) float64 {
	sum := (b.ea*d.stretch*d.stretch + b.gj*d.twist*d.twist) / (2 * b.l)
	m1, m2 := endMoments(b.eiz, b.phiY, b.l, d.y1, d.y2)
	sum += (m1*d.y1 + m2*d.y2) / 2
	m1, m2 = endMoments(b.eiy, b.phiZ, b.l, d.z1, d.z2)
	return sum + (m1*d.z1+m2*d.z2)/2
}

// uniformLoad returns the nodal forces equivalent to the uniform load q (N/m, local): the negative fixed-end forces.
// They are exact with shear flexibility too, because the load is symmetric.
func (b *bar) uniformLoad(q [3]float64) [12]float64 {
	h, m := b.l/2, b.l*b.l/12
	return [12]float64{
		q[0] * h, q[1] * h, q[2] * h, 0, -q[2] * m, q[1] * m,
		q[0] * h, q[1] * h, q[2] * h, 0, q[2] * m, -q[1] * m,
	}
}

// warmLoad returns the nodal forces equivalent to a uniform temperature rise, K.
func (b *bar) warmLoad(rise float64) [12]float64 {
	n := b.ea * b.alpha * rise
	return [12]float64{0: -n, 6: n}
}
