package fe

// potentials solves for the warping of torsion and of both shears, with node
// 0 held (a potential has no datum).
//
// Torsion, per rate of twist: stress (w_y - z, w_z + y), which is in balance
// if integral grad(v)·grad(w) = integral (z v_y - y v_z) for every v; its
// energy is the polar second moment less the work of w, an upper bound of J.
//
// Shear by a unit force: stress grad(phi), lap(phi) = -g, no flow through the
// surface: integral grad(v)·grad(phi) = integral v g. Its energy 1/As is a
// lower bound.
func (b *bar) potentials() (*solution, error) {
	s := &solution{unknown: make([]int32, len(b.at))}
	for i := range s.unknown {
		s.unknown[i] = int32(i) - 1
	}
	n := len(b.at) - 1
	f, err := b.system(s.unknown, n, n)
	if err != nil {
		return nil, err
	}
	for k := range s.load {
		s.load[k] = make([]float64, n)
	}
	for t := range b.tris {
		sh := &b.shapes[t]
		var twist [6]float64
		for _, q := range rule {
			p, g, w := sh.place(q.l), sh.gradients(q.l), q.weight*sh.area
			for i := range g {
				twist[i] += w * (p[1]*g[i][0] - p[0]*g[i][1])
			}
		}
		gather(s.unknown, &b.nodes[t], &twist, s.load[0])
		for k := range 2 {
			force := sh.load(b.growth(k, sh))
			gather(s.unknown, &b.nodes[t], &force, s.load[k+1])
		}
	}
	for k := range s.x {
		s.x[k] = f.solve(s.load[k])
	}
	return s, nil
}

// gradient returns the gradient of potential k in triangle t.
func (s *solution) gradient(t int, b *bar, k int, g *[6][2]float64) (v [2]float64) {
	x := spread(s.unknown, &b.nodes[t], s.x[k])
	for i := range x {
		v[0] += x[i] * g[i][0]
		v[1] += x[i] * g[i][1]
	}
	return v
}

// stressFunctions solves the conjugate problems: stress (F_z, -F_y), with F
// zero on the outer loop and one unknown constant on each hole, so that no
// stress flows through a surface.
//
// Torsion, per rate of twist: integral grad(v)·grad(F) = 2 integral v + 2 sum
// over holes of v times enclosed area. Its energy is a lower bound of J.
//
// Shear: to a stress field that is in balance with g, however crude, the curl
// of that F is added which makes the energy least. It is an upper bound of
// 1/As.
func (b *bar) stressFunctions() (*solution, error) {
	s := &solution{unknown: make([]int32, len(b.at)), base: new([2][][3]float64)}
	inner := int32(0)
	for i, on := range b.loop {
		if on < 0 {
			s.unknown[i] = inner
			inner++
		}
	}
	for i, on := range b.loop {
		if on >= 0 {
			s.unknown[i] = inner + on - 1
		}
		if on == 0 {
			s.unknown[i] = -1
		}
	}
	n := int(inner) + b.loops - 1
	f, err := b.system(s.unknown, n, int(inner))
	if err != nil {
		return nil, err
	}
	for k := range s.load {
		s.load[k] = make([]float64, n)
	}
	for h := 1; h < b.loops; h++ {
		s.load[0][int(inner)+h-1] = 2 * b.inside[h]
	}
	for k := range 2 {
		s.base[k] = b.balance(k)
	}
	for t := range b.tris {
		sh := &b.shapes[t]
		twist := sh.load([3]float64{2, 2, 2})
		gather(s.unknown, &b.nodes[t], &twist, s.load[0])
		for k := range 2 {
			var force [6]float64
			for _, q := range rule {
				p, g, w := sh.place(q.l), sh.gradients(q.l), q.weight*sh.area
				base := b.equilibrated(t, k, &s.base[k][t], q.l, p)
				for i := range g {
					force[i] -= w * (g[i][1]*base[0] - g[i][0]*base[1])
				}
			}
			gather(s.unknown, &b.nodes[t], &force, s.load[k+1])
		}
	}
	for k := range s.x {
		s.x[k] = f.solve(s.load[k])
	}
	return s, nil
}

// curl returns (F_z, -F_y) of stress function k in triangle t.
func (s *solution) curl(t int, b *bar, k int, g *[6][2]float64) (v [2]float64) {
	x := spread(s.unknown, &b.nodes[t], s.x[k])
	for i := range x {
		v[0] += x[i] * g[i][1]
		v[1] -= x[i] * g[i][0]
	}
	return v
}

// balance finds flows through the sides of all triangles that carry off the
// growth g of force direction k: outward flows of a triangle sum to minus the
// integral of g over it, and nothing flows through the surface. It follows a
// tree of neighbours from its leaves to the root; the integral of g over the
// whole section is zero, so the root is balanced too.
func (b *bar) balance(k int) [][3]float64 {
	flow := make([][3]float64, len(b.tris))
	parent := make([]int8, len(b.tris)) // side towards the root
	for t := range parent {
		parent[t] = -1
	}
	const root = 3
	parent[0] = root
	order := make([]int32, 1, len(b.tris))
	for head := 0; head < len(order); head++ {
		t := order[head]
		for i, nb := range b.tris[t].Neighbour {
			if nb >= 0 && parent[nb] < 0 {
				parent[nb] = int8(b.sideTowards(nb, t, i))
				order = append(order, nb)
			}
		}
	}
	for head := len(order) - 1; head > 0; head-- {
		t := order[head]
		sh := &b.shapes[t]
		g := b.growth(k, sh)
		i := parent[t]
		out := -sh.area * (g[0] + g[1] + g[2]) / 3
		for _, through := range flow[t] {
			out -= through
		}
		flow[t][i] = out
		up := b.tris[t].Neighbour[i]
		flow[up][b.sideTowards(up, t, int(i))] = -out
	}
	return flow
}

// sideTowards returns the side of nb that is side i of its neighbour t.
func (b *bar) sideTowards(nb, t int32, i int) int {
	from := b.tris[t].Corner[(i+1)%3]
	for j := range 3 {
		if b.tris[nb].Neighbour[j] == t && b.tris[nb].Corner[(j+2)%3] == from {
			return j
		}
	}
	return 0
}

// equilibrated is a stress field in triangle t with divergence exactly -g and
// the given outward flows through the sides: (x - x_i)/(2 area) carries a unit
// flow through side i only and has constant divergence 1/area; l_i (x - x_i)
// has no flow through any side and divergence 3 l_i - 1, which makes up the
// linear rest of g.
func (b *bar) equilibrated(t, k int, flow *[3]float64, l [3]float64, p [2]float64) (v [2]float64) {
	s := &b.shapes[t]
	g := b.growth(k, s)
	for i := range 3 {
		c := flow[i]/(2*s.area) - g[i]*l[i]/3
		v[0] += c * (p[0] - s.at[i][0])
		v[1] += c * (p[1] - s.at[i][1])
	}
	return v
}
