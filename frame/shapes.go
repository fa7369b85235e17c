package frame

// bendingShapes returns deflection and slope at xi (0 to 1) per unit (v1, t1, v2, t2).
//
// They are the exact deflection of the unloaded Timoshenko beam, so nodal results do not depend on where a member is
// cut:
//
//	v = N · (v1, t1, v2, t2)    θ = S · (v1, t1, v2, t2)
//
// Source: derived from EI θ” = -V, G As (v' - θ) = V with constant V.
func bendingShapes(phi, l, xi float64) (n, s [4]float64) {
	f := 1 / (1 + phi)
	x, x2, x3 := xi, xi*xi, xi*xi*xi
	n = [4]float64{
		f * (1 - 3*x2 + 2*x3 + phi*(1-x)),
		f * l * (x - 2*x2 + x3 + phi/2*(x-x2)),
		f * (3*x2 - 2*x3 + phi*x),
		f * l * (x3 - x2 - phi/2*(x-x2)),
	}
	s = [4]float64{
		f * 6 / l * (x2 - x),
		f * (1 - 4*x + 3*x2 + phi*(1-x)),
		f * 6 / l * (x - x2),
		f * (3*x2 - 2*x + phi*x),
	}
	return n, s
}

// shapes sets m to the 6 local displacements at xi as a linear form of the 12 local end displacements.
func (b *bar) shapes(xi float64, m *[6][12]float64) {
	*m = [6][12]float64{}
	m[0][0], m[0][6] = 1-xi, xi
	m[3][3], m[3][9] = 1-xi, xi
	n, s := bendingShapes(b.phiY, b.l, xi)
	for k, at := range planeXY.at {
		m[1][at] = n[k] * planeXY.sign[k]
		m[5][at] = s[k] * planeXY.sign[k]
	}
	n, s = bendingShapes(b.phiZ, b.l, xi)
	for k, at := range planeXZ.at {
		m[2][at] = n[k] * planeXZ.sign[k]
		m[4][at] = -s[k] * planeXZ.sign[k] // ry = -dw/dx
	}
}

// loadedBy returns the local displacement at xi of a bar with clamped ends under the uniform load q (N/m, local) and
// the temperature rise (K): what the nodal displacements do not show.
//
// Source: Timoshenko beam, derived: v = q L⁴ ξ²(1-ξ)²/(24 EI) + q L² ξ(1-ξ)/(2 G As).
func (b *bar) loadedBy(q [3]float64, xi float64) [6]float64 {
	var u [6]float64
	l, x := b.l, xi*(1-xi)
	slope := l * l * l / 12 * x * (1 - 2*xi) // θ/(q/EI), d/dx of the bending part
	u[0] = q[0] * l * l * x / (2 * b.ea)
	if b.eiz > 0 {
		u[1] = q[1] * l * l * l * l * x * x / (24 * b.eiz)
		u[5] = q[1] * slope / b.eiz
	}
	if b.eiy > 0 {
		u[2] = q[2] * l * l * l * l * x * x / (24 * b.eiy)
		u[4] = -q[2] * slope / b.eiy
	}
	if b.asy > 0 {
		u[1] += q[1] * l * l * x / (2 * b.gm * b.asy)
	}
	if b.asz > 0 {
		u[2] += q[2] * l * l * x / (2 * b.gm * b.asz)
	}
	return u
}
