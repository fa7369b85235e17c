package frame

import "fmt"

// The models of the tests. Dimensions and stiffnesses are invented, of the order of a profile gantry.

var (
	profile = Section{ID: "80x80", A: 2.17e-3, Iy: 1.376e-6, Iz: 1.376e-6, J: 7.5e-7, Asy: 7.16e-4, Asz: 7.16e-4}
	flat    = Section{ID: "40x80", A: 1.2e-3, Iy: 7.0e-7, Iz: 2.0e-7, J: 1.8e-7, Asy: 3.5e-4, Asz: 4.5e-4}
	alu     = Material{ID: "alu", E: 70e9, G: 27e9, Rho: 2700, Alpha: 23e-6, Loss: 0.001}
)

var all = [6]bool{true, true, true, true, true, true}

// builder grows a model.
type builder struct{ Model }

func newBuilder() *builder {
	return &builder{Model{Sections: []Section{profile, flat}, Materials: []Material{alu}}}
}

func (b *builder) node(id string, x, y, z float64) {
	b.Nodes = append(b.Nodes, Node{id, [3]float64{x, y, z}})
}

func (b *builder) member(id, from, to, section string, divide int) *Member {
	b.Members = append(b.Members, Member{ID: id, From: from, To: to, Section: section, Material: "alu", Divide: divide})
	return &b.Members[len(b.Members)-1]
}

// gantry is a stand with two runways along X, a bridge along Y, a vertical mast. The bridge, the carriage on it and the
// mast are free in space until gantryTies holds them.
func gantry() *Model {
	b := newBuilder()
	for i, x := range []float64{0, 2} {
		for j, y := range []float64{0, 1.2} {
			foot, top := fmt.Sprintf("foot%d%d", i, j), fmt.Sprintf("top%d%d", i, j)
			b.node(foot, x, y, 0)
			b.node(top, x, y, 1.6)
			b.member("leg"+foot[4:], foot, top, "80x80", 4)
			b.Springs = append(b.Springs, Spring{ID: foot, From: foot, K: [6]float64{5e6, 5e6, 1.5e7, 2e4, 2e4, 1e4}, Loss: 0.05})
		}
	}
	joint := End{SemiRigid(1e5), SemiRigid(3e4), SemiRigid(3e4)}
	for j := range 2 {
		m := b.member(fmt.Sprintf("runway%d", j), fmt.Sprintf("top0%d", j), fmt.Sprintf("top1%d", j), "80x80", 12)
		m.FromEnd, m.ToEnd = joint, joint
	}
	for i := range 2 {
		m := b.member(fmt.Sprintf("tie%d", i), fmt.Sprintf("top%d0", i), fmt.Sprintf("top%d1", i), "40x80", 6)
		m.FromEnd, m.ToEnd = joint, joint
	}
	b.node("bridge0", 0, 0, 1.75)
	b.node("bridge1", 0, 1.2, 1.75)
	b.member("bridge", "bridge0", "bridge1", "80x80", 12).Body = "bridge"
	b.node("carriage", 0, 0, 1.9)
	b.node("mast0", 0, 0, 1.0)
	b.node("mast1", 0, 0, 2.0)
	b.member("mast", "mast0", "mast1", "40x80", 10).Body = "mast"
	b.Masses = []Mass{
		{ID: "carriage", At: Point{Node: "carriage"}, M: 8, Inertia: diagonal(0.05, 0.05, 0.05), Body: "carriage"},
		{ID: "motor", At: Point{Node: "mast1", Offset: [3]float64{0.1, 0, 0.05}}, M: 4, Inertia: diagonal(0.01, 0.01, 0.01), Body: "mast"},
		{ID: "drive", At: Point{Member: "runway0", Position: 0.03, Offset: [3]float64{0, 0.1, 0}}, M: 5},
	}
	return &b.Model
}

func diagonal(x, y, z float64) [3][3]float64 { return [3][3]float64{{x}, {0, y}, {0, 0, z}} }

// gantryTies holds the bridge at x along the runways, the carriage at y along the bridge and the mast at z (its lower end
// above the floor). The model keeps the bodies where they were built; only where the ties act moves with the pose, as
// in a machine whose bodies are modelled in their own place.
func gantryTies(x, y, z float64) []Tie {
	var ties []Tie
	guide := [6]float64{0, 2e8, 3e8, 0, 0, 0}
	for j := range 2 {
		end := []float64{0.05, 0.95}[j]
		for _, d := range []float64{-0.1, 0.1} {
			ties = append(ties, Tie{
				ID:   fmt.Sprintf("runway%d%+.1f", j, d),
				From: Point{Member: "bridge", Position: end, Offset: [3]float64{d, 0, -0.08}},
				To:   Point{Member: fmt.Sprintf("runway%d", j), Position: (x + d) / 2, Offset: [3]float64{0, 0, 0.07}},
				K:    guide,
			})
		}
		ties = append(ties, Tie{
			ID:   fmt.Sprintf("belt%d", j),
			From: Point{Member: "bridge", Position: end, Offset: [3]float64{0, 0, -0.08}},
			To:   Point{Member: fmt.Sprintf("runway%d", j), Position: x / 2, Offset: [3]float64{0, 0, 0.07}},
			K:    [6]float64{4e5 * 2 / (0.5 + x), 0, 0, 0, 0, 0}, Loss: 0.03,
		})
	}
	alongY := Axes{{0, 1, 0}, {-1, 0, 0}, {0, 0, 1}}
	for _, d := range []float64{-0.08, 0.08} {
		for _, h := range []float64{-0.03, 0.03} {
			ties = append(ties, Tie{
				ID:   fmt.Sprintf("bridge%+.2f%+.2f", d, h),
				From: Point{Node: "carriage", Offset: [3]float64{h, d, -0.08}},
				To:   Point{Member: "bridge", Position: (y + d) / 1.2, Offset: [3]float64{h, 0, 0.07}},
				Axes: alongY, K: guide,
			})
		}
	}
	ties = append(ties, Tie{
		ID: "screw", From: Point{Node: "carriage"}, To: Point{Member: "bridge", Position: y / 1.2, Offset: [3]float64{0, 0, 0.15}},
		K: [6]float64{0, 2e7, 0, 0, 0, 0},
	})
	alongZ := Axes{{0, 0, 1}, {0, 1, 0}, {-1, 0, 0}}
	for _, d := range []float64{-0.1, 0.1} {
		ties = append(ties, Tie{
			ID:   fmt.Sprintf("mast%+.1f", d),
			From: Point{Member: "mast", Position: (1.9 + d - z) / 1.0, Offset: [3]float64{-0.04, 0, 0}},
			To:   Point{Node: "carriage", Offset: [3]float64{0.06, 0, d}},
			Axes: alongZ, K: [6]float64{0, 2e8, 3e8, 1e4, 1e4, 0},
		})
	}
	return append(ties, Tie{
		ID: "lift", From: Point{Member: "mast", Position: 1.9 - z}, To: Point{Node: "carriage", Offset: [3]float64{0.1, 0, 0}},
		K: [6]float64{0, 0, 5e6, 0, 0, 0},
	})
}

func payload(m float64) []Mass {
	return []Mass{{ID: "payload", At: Point{Node: "mast0", Offset: [3]float64{0.05, 0, -0.1}}, M: m, Inertia: diagonal(0.2, 0.2, 0.1), Body: "mast"}}
}

// gantryCases are dead weight, a move in Y and a push at the tool.
func gantryCases() []Case {
	return []Case{
		{ID: "weight", Fields: []Field{{Acceleration: [3]float64{0, 0, -9.80665}}}},
		{ID: "move y", Fields: []Field{{Acceleration: [3]float64{0, 0, -9.80665}}, {Acceleration: [3]float64{0, -3, 0}, Bodies: []string{"carriage", "mast"}}}},
		{ID: "push", Forces: []Force{{At: Point{Node: "mast0", Offset: [3]float64{0, 0, -0.1}}, Force: [3]float64{100, 50, 0}, Moment: [3]float64{0, 5, 0}}},
			LineLoads: []LineLoad{{Member: "bridge", PerLength: [3]float64{0, 0, -50}}}},
	}
}

// tester is what checks need of *testing.T and *rapid.T.
type tester interface {
	Helper()
	Errorf(format string, args ...any)
}

// fataler is what set-up needs of *testing.T and *rapid.T.
type fataler interface {
	Helper()
	Fatal(args ...any)
}
