package frame

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// anyFrame draws a small frame: nodes in a box, joined to a tree and some more members, one node clamped, others
// sprung, with freed and semi-rigid ends that leave it stable.
func anyFrame(t *rapid.T) *Model {
	b := newBuilder()
	coordinate := rapid.Float64Range(-2, 2)
	n := rapid.IntRange(2, 6).Draw(t, "nodes")
	for i := range n {
		// Spread along X, so that no two nodes come close to each other.
		b.node(fmt.Sprint("n", i), float64(i)+0.3*coordinate.Draw(t, "x")/2, coordinate.Draw(t, "y"), coordinate.Draw(t, "z"))
	}
	join := func(i, j int) {
		m := b.member(fmt.Sprintf("m%d", len(b.Members)), fmt.Sprint("n", i), fmt.Sprint("n", j),
			rapid.SampledFrom([]string{"80x80", "40x80"}).Draw(t, "section"), rapid.IntRange(1, 3).Draw(t, "divide"))
		m.Roll = rapid.Float64Range(-3, 3).Draw(t, "roll")
		if rapid.Bool().Draw(t, "semi-rigid") {
			m.ToEnd = End{{}, SemiRigid(3e4), SemiRigid(2e4)}
		}
		if rapid.IntRange(0, 3).Draw(t, "arm") == 0 {
			m.OffsetFrom = [3]float64{0, 0.05, -0.03}
		}
	}
	for i := 1; i < n; i++ {
		join(rapid.IntRange(0, i-1).Draw(t, "to"), i)
	}
	if n > 2 && rapid.Bool().Draw(t, "loop") {
		join(0, n-1)
	}
	b.Supports = []Support{{"n0", all}}
	if rapid.Bool().Draw(t, "sprung") {
		b.Springs = append(b.Springs, Spring{ID: "ground", From: fmt.Sprint("n", n-1), K: [6]float64{1e5, 2e5, 3e5, 1e3, 2e3, 3e3}})
	}
	b.Masses = []Mass{{ID: "lump", At: Point{Node: "n1", Offset: [3]float64{0.1, 0, 0.2}}, M: 7, Inertia: diagonal(0.1, 0.2, 0.3)}}
	load := rapid.Float64Range(-500, 500)
	f := Force{At: Point{Node: fmt.Sprint("n", n-1)}}
	for k := range 3 {
		f.Force[k] = load.Draw(t, "force")
		f.Moment[k] = load.Draw(t, "moment") / 10
	}
	b.Cases = []Case{{ID: "all", Forces: []Force{f},
		Fields:       []Field{{Acceleration: [3]float64{1, -2, -9.8}}},
		LineLoads:    []LineLoad{{Member: "m0", PerLength: [3]float64{load.Draw(t, "qx"), load.Draw(t, "qy"), load.Draw(t, "qz")}, Local: true}},
		Temperatures: []Temperature{{Rise: rapid.Float64Range(-20, 40).Draw(t, "dT")}},
	}}
	return &b.Model
}

func system(t fataler, m *Model) (*System, *State) {
	t.Helper()
	s, err := Assemble(m)
	if err != nil {
		t.Fatal(err)
	}
	states, err := s.Statics()
	if err != nil {
		t.Fatal(err)
	}
	return s, states[0]
}

// TestReactionsBalanceLoads sums loads and reactions by hand, apart from the proof inside the solver.
func TestReactionsBalanceLoads(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := anyFrame(t)
		_, st := system(t, m)
		var sum [6]float64
		size := 0.0
		put := func(at, force, moment [3]float64) {
			arm := cross(at, force)
			for k := range 3 {
				sum[k] += force[k]
				sum[3+k] += moment[k] + arm[k]
				size += math.Abs(force[k]) + math.Abs(moment[k])
			}
		}
		position := map[string][3]float64{}
		for _, n := range m.Nodes {
			position[n.ID] = n.At
			if r, ok := st.Reaction(n.ID); ok {
				put(n.At, [3]float64(r[:3]), [3]float64(r[3:]))
			}
		}
		c := m.Cases[0]
		put(position[c.Forces[0].At.Node], c.Forces[0].Force, c.Forces[0].Moment)
		lump := m.Masses[0]
		put(add(position[lump.At.Node], lump.At.Offset), scale(lump.M, c.Fields[0].Acceleration), [3]float64{})
		for i, mm := range m.Members {
			a, b := add(position[mm.From], mm.OffsetFrom), add(position[mm.To], mm.OffsetTo)
			d := sub(b, a)
			area := profile.A
			if mm.Section == flat.ID {
				area = flat.A
			}
			w := scale(norm(d)*area*alu.Rho, c.Fields[0].Acceleration)
			if i == 0 {
				axes := LocalAxes(d, mm.Roll)
				w = add(w, scale(norm(d), axes.toGlobal(c.LineLoads[0].PerLength)))
			}
			put(add(a, scale(0.5, d)), w, [3]float64{})
		}
		if worst := maxAbs(sum[:]); !(worst <= 1e-9*size) {
			t.Fatalf("out of balance by %v of %g", sum, size)
		}
		if p := st.Proof; !(p.Residual <= 1e-9) || !(p.Balance <= 1e-10) { // a chain of 10 m in short elements: condition 1e8
			t.Fatalf("proof %+v", p)
		}
	})
}

// TestTurningAboutZChangesNoScalar turns the whole model, loads included.
func TestTurningAboutZChangesNoScalar(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := anyFrame(t)
		angle := rapid.Float64Range(-3, 3).Draw(t, "angle")
		s, c := math.Sincos(angle)
		turn := func(v [3]float64) [3]float64 { return [3]float64{c*v[0] - s*v[1], s*v[0] + c*v[1], v[2]} }
		turned := *m
		turned.Nodes = append([]Node(nil), m.Nodes...)
		for i := range turned.Nodes {
			turned.Nodes[i].At = turn(m.Nodes[i].At)
		}
		turned.Members = append([]Member(nil), m.Members...)
		for i := range turned.Members {
			turned.Members[i].OffsetFrom = turn(m.Members[i].OffsetFrom)
		}
		turned.Springs = append([]Spring(nil), m.Springs...)
		for i := range turned.Springs {
			turned.Springs[i].Axes = Axes{{c, s, 0}, {-s, c, 0}, {0, 0, 1}}
		}
		turned.Masses = append([]Mass(nil), m.Masses...)
		turned.Masses[0].At.Offset = turn(m.Masses[0].At.Offset)
		i := m.Masses[0].Inertia
		turned.Masses[0].Inertia = [3][3]float64{
			{c*c*i[0][0] + s*s*i[1][1], c * s * (i[0][0] - i[1][1]), 0},
			{c * s * (i[0][0] - i[1][1]), s*s*i[0][0] + c*c*i[1][1], 0}, {0, 0, i[2][2]}}
		load := m.Cases[0]
		load.Forces = []Force{{At: load.Forces[0].At, Force: turn(load.Forces[0].Force), Moment: turn(load.Forces[0].Moment)}}
		load.Fields = []Field{{Acceleration: turn(load.Fields[0].Acceleration)}}
		turned.Cases = []Case{load}
		sa, a := system(t, m)
		sb, b := system(t, &turned)
		for _, n := range m.Nodes {
			da, _ := a.Displacement(n.ID)
			db, _ := b.Displacement(n.ID)
			x, y := turn([3]float64(da[:3])), turn([3]float64(da[3:]))
			close6(t, n.ID, db, [6]float64{x[0], x[1], x[2], y[0], y[1], y[2]}, 1e-8)
		}
		for _, mm := range m.Members {
			fa, ta, _ := a.MemberForces(mm.ID)
			fb, tb, _ := b.MemberForces(mm.ID)
			// Forces of one member may cancel, so they are compared on the scale of all loads.
			for k := range 6 {
				if math.Abs(fa[k]-fb[k])+math.Abs(ta[k]-tb[k]) > 1e-6*(1+maxAbs(fa[:])+maxAbs(ta[:])) {
					t.Errorf("member %s: %v turned into %v", mm.ID, fa, fb)
				}
			}
		}
		ma, err := sa.Modes(3)
		if err != nil {
			t.Fatal(err)
		}
		mb, err := sb.Modes(3)
		if err != nil {
			t.Fatal(err)
		}
		for i := range ma.Hz {
			if math.Abs(ma.Hz[i]-mb.Hz[i]) > 1e-8*ma.Hz[i] {
				t.Errorf("mode %d: %g Hz turned into %g Hz", i, ma.Hz[i], mb.Hz[i])
			}
		}
	})
}

// TestReciprocity: the displacement at a from a force at b is that at b from a force at a (Maxwell).
func TestReciprocity(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := anyFrame(t)
		m.Ties = []Tie{{ID: "t", From: Point{Member: "m0", Position: 0.3}, To: Point{Node: "n1", Offset: [3]float64{0.1, 0.2, 0}},
			Axes: LocalAxes([3]float64{1, 2, 3}, 0.4), K: [6]float64{1e4, 0, 2e5, 100, 0, 10}}}
		s, _ := system(t, m)
		points := []Point{{Node: m.Nodes[len(m.Nodes)-1].ID, Offset: [3]float64{0, 0.1, 0.2}}, {Member: "m0", Position: rapid.Float64Range(0, 1).Draw(t, "position")}}
		i, j := rapid.IntRange(0, 5).Draw(t, "i"), rapid.IntRange(0, 5).Draw(t, "j")
		a, b := Direction(points[0], i), Direction(points[1], j)
		sa, err := s.Static(a.unit())
		if err != nil {
			t.Fatal(err)
		}
		sb, err := s.Static(b.unit())
		if err != nil {
			t.Fatal(err)
		}
		ab, _ := a.Of(sb)
		ba, _ := b.Of(sa)
		aa, _ := a.Of(sa)
		bb, _ := b.Of(sb)
		if math.Abs(ab-ba) > 1e-9*math.Sqrt(math.Abs(aa*bb)) && math.Abs(ab-ba) > 1e-15 { // smaller than any compliance here
			t.Fatalf("%g against %g", ab, ba)
		}
	})
}

// TestStiffeningNeverSoftens: one more tie never makes any point yield more to a force on itself, and Gain says by how
// much less, exactly.
func TestStiffeningNeverSoftens(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := anyFrame(t)
		s, _ := system(t, m)
		at := Direction(Point{Node: m.Nodes[len(m.Nodes)-1].ID}, rapid.IntRange(0, 2).Draw(t, "direction"))
		st, err := s.Static(at.unit())
		if err != nil {
			t.Fatal(err)
		}
		k := math.Pow(10, rapid.Float64Range(2, 10).Draw(t, "k"))
		tie := Tie{ID: "new", From: Point{Member: "m0", Position: 0.7}, To: Point{Node: m.Nodes[len(m.Nodes)-1].ID},
			K: [6]float64{k, 0, k / 3, 0, k / 100, 0}}
		gain, err := s.Gain(st, at, tie)
		if err != nil {
			t.Fatal(err)
		}
		if gain.After > gain.Before*(1+1e-12) {
			t.Fatalf("from %g to %g", gain.Before, gain.After)
		}
		m.Ties = []Tie{tie}
		s, _ = system(t, m)
		again, err := s.Static(at.unit())
		if err != nil {
			t.Fatal(err)
		}
		want, _ := at.Of(again)
		if math.Abs(gain.After-want) > 1e-8*gain.Before {
			t.Fatalf("gain says %.12g, solving again %.12g (before %.12g)", gain.After, want, gain.Before)
		}
	})
}

// TestSplitAddsUp: Split refuses parts that do not add up to 1e-9, so a split without error is the property.
func TestSplitAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := anyFrame(t)
		m.Ties = []Tie{{ID: "t", From: Point{Member: "m0", Position: 0.3}, To: Point{}, K: [6]float64{1e4, 0, 2e5, 100, 0, 10}}}
		m.Cases[0].Settlements = []Settlement{{Node: "n0", Move: [6]float64{1e-3, 0, 2e-3, 0, 1e-3, 0}}}
		m.Cases[0].Mismatches = []Mismatch{{Tie: "t", Gap: [6]float64{0, 0, 1e-3, 0, 0, 1e-2}}}
		s, st := system(t, m)
		q := Measure{
			{At: Point{Member: "m0", Position: rapid.Float64Range(0, 1).Draw(t, "position"), Offset: [3]float64{0, 0.1, 0}}, Along: [6]float64{0.5, 0, 1, 0, 0.1, 0}},
			{At: Point{Node: "n1"}, Along: [6]float64{0, -1, 0, 0, 0, 0.2}},
		}
		split, err := s.Split(st, q)
		if err != nil {
			t.Fatal(err)
		}
		if split.Settlement == 0 || split.Ties[0].Misfit == 0 && split.Ties[0].By == [6]float64{} {
			t.Fatalf("parts are missing: %+v", split)
		}
	})
}

// TestRigidMotionOfTheFrameCostsNoForce moves a whole frame without supports and ground springs.
func TestRigidMotionOfTheFrameCostsNoForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := anyFrame(t)
		m.Supports, m.Springs = nil, nil
		g := newGrid(m)
		var move, turn [3]float64
		for k := range 3 {
			move[k], turn[k] = rapid.Float64Range(-1, 1).Draw(t, "move"), rapid.Float64Range(-1, 1).Draw(t, "turn")
		}
		u, f := make([]float64, g.full), make([]float64, g.full)
		for i, at := range g.at {
			d := add(move, cross(turn, at))
			copy(u[6*i:], d[:])
			copy(u[6*i+3:], turn[:])
		}
		for i, o := range g.ends {
			u[6*len(g.at)+i] = dot(g.elements[o.element].axes[o.axis], turn)
		}
		g.internalForces(f, u)
		if worst := maxAbs(f); worst > 1e-4 { // N or N m, against EA/L above 1e7: 1e-11 of it
			t.Fatalf("a rigid motion of order 1 needs %g", worst)
		}
	})
}

// TestHostileModels: extreme numbers, free parts and singular joints are answered or refused, never by a panic or by
// numbers that are not finite.
func TestHostileModels(t *testing.T) {
	extreme := rapid.SampledFrom([]float64{0, 1, -1, 1e-12, 1e-9, 1e-6, 1e3, 1e6, 1e9, 1e12, 1e20, 1e29, -1e12, math.NaN(), math.Inf(1), math.MaxFloat64, 5e-324})
	mild := rapid.SampledFrom([]float64{0, 0.1, 1, 2, 1e-9, 1e6})
	rapid.Check(t, func(t *rapid.T) {
		m := &Model{Modes: rapid.IntRange(0, 4).Draw(t, "modes")}
		n := rapid.IntRange(1, 4).Draw(t, "nodes")
		id := func(i int) string { return fmt.Sprint(i) }
		for i := range n {
			m.Nodes = append(m.Nodes, Node{id(i), [3]float64{mild.Draw(t, "x"), mild.Draw(t, "y"), mild.Draw(t, "z")}})
		}
		positive := rapid.SampledFrom([]float64{1e-12, 1e-6, 1e-3, 1, 1e6, 1e12, 1e29, 0, math.NaN()})
		m.Sections = []Section{{ID: "s", A: positive.Draw(t, "A"), Iy: positive.Draw(t, "Iy"), Iz: positive.Draw(t, "Iz"), J: positive.Draw(t, "J"), Asy: positive.Draw(t, "Asy")}}
		m.Materials = []Material{{ID: "m", E: positive.Draw(t, "E"), G: positive.Draw(t, "G"), Rho: positive.Draw(t, "rho"), Alpha: extreme.Draw(t, "alpha")}}
		any := rapid.IntRange(0, n) // n does not exist
		for i := range rapid.IntRange(0, 4).Draw(t, "members") {
			e := Member{ID: id(i), From: id(any.Draw(t, "from")), To: id(any.Draw(t, "to")), Section: "s", Material: "m", Divide: rapid.IntRange(-1, 3).Draw(t, "divide"), Roll: mild.Draw(t, "roll")}
			if rapid.Bool().Draw(t, "freed") {
				e.FromEnd, e.ToEnd = End{Free(), Free(), Free()}, End{Free(), SemiRigid(positive.Draw(t, "k")), Free()}
			}
			m.Members = append(m.Members, e)
		}
		if rapid.Bool().Draw(t, "support") {
			m.Supports = []Support{{Node: "0", Fix: all}}
		}
		for range rapid.IntRange(0, 2).Draw(t, "springs") {
			m.Springs = append(m.Springs, Spring{From: id(any.Draw(t, "node")), K: [6]float64{extreme.Draw(t, "kx"), 1, positive.Draw(t, "kz"), 1, 1, positive.Draw(t, "kr")}})
		}
		if rapid.Bool().Draw(t, "mass") {
			m.Masses = []Mass{{At: Point{Node: "0", Offset: [3]float64{mild.Draw(t, "offset")}}, M: positive.Draw(t, "m")}}
		}
		m.Cases = []Case{{ID: "c", Forces: []Force{{At: Point{Node: "0"}, Force: [3]float64{extreme.Draw(t, "F"), 0, mild.Draw(t, "Fz")}}}, Fields: []Field{{Acceleration: [3]float64{0, 0, mild.Draw(t, "g")}}}}}
		a, err := Solve(m)
		if err != nil {
			var problems Problems
			var free *MechanismError
			if len(err.Error()) < 10 || errors.As(err, &free) && free.Node == "" || errors.As(err, &problems) && len(problems) == 0 {
				t.Fatalf("says too little: %v", err)
			}
			return
		}
		for _, s := range a.States {
			if !(maxAbs(s.u) <= math.MaxFloat64) {
				t.Fatalf("displacements %v", s.u)
			}
		}
		if _, err := a.MarshalJSON(); err != nil {
			t.Fatal(err)
		}
	})
}
