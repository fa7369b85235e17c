package solvers

import (
	"fmt"
	"math"

	"spanwright/frame"
)

// aluminium with Poisson's ratio 0, see Frame.
var material = frame.Material{ID: "ALU", E: 70e9, G: 35e9, Rho: 2700}

var fixed = [6]bool{true, true, true, true, true, true}

// Frames returns the frames that are compared. Dimensions are invented.
func Frames() []Frame {
	return []Frame{cantilever(), rolled(), post(), portal(), stand(), lattice()}
}

// grow is a frame under construction.
type grow struct {
	Frame
	divide int
}

func begin(name string, divide int, bars ...Rectangle) *grow {
	g := &grow{Frame{Name: name, Bars: bars}, divide}
	for i, b := range bars {
		g.Model.Sections = append(g.Model.Sections, b.Section(fmt.Sprint("s", i)))
	}
	g.Model.Materials = []frame.Material{material}
	g.Model.Cases = []frame.Case{{ID: "loads"}}
	return g
}

func (g *grow) node(id string, x, y, z float64) {
	g.Model.Nodes = append(g.Model.Nodes, frame.Node{ID: id, At: [3]float64{x, y, z}})
}

func (g *grow) foot(id string, x, y, z float64) {
	g.node(id, x, y, z)
	g.Model.Supports = append(g.Model.Supports, frame.Support{Node: id, Fix: fixed})
}

func (g *grow) bar(from, to string, section int, roll float64) {
	g.Model.Members = append(g.Model.Members, frame.Member{ID: from + "-" + to, From: from, To: to,
		Section: fmt.Sprint("s", section), Material: material.ID, Roll: roll, Divide: g.divide})
}

func (g *grow) load(node string, force, moment [3]float64) {
	c := &g.Model.Cases[0]
	c.Forces = append(c.Forces, frame.Force{At: frame.Point{Node: node}, Force: force, Moment: moment})
}

func (g *grow) weight() {
	g.Model.Cases[0].Fields = []frame.Field{{Acceleration: [3]float64{0, 0, -9.80665}}}
}

func cantilever() Frame {
	g := begin("cantilever", 8, Rectangle{0.06, 0.04})
	g.foot("a", 0, 0, 0)
	g.node("b", 1.2, 0, 0)
	g.bar("a", "b", 0, 0)
	g.load("b", [3]float64{1000, 50, -100}, [3]float64{10, 0, 0})
	g.Model.Modes = 6
	return g.Frame
}

// rolled is a bar along X and one in a general direction, both with a roll: an error in the local axes shows at once. (The
// clamped bar is along an axis because the other program joins an inclined clamped end less firmly.)
func rolled() Frame {
	g := begin("rolled", 8, Rectangle{0.08, 0.03})
	g.foot("a", 0, 0, 0)
	g.node("knee", 0.7, 0, 0)
	g.node("b", 1.4, 0.6, 0.5)
	g.bar("a", "knee", 0, math.Pi/6)
	g.bar("knee", "b", 0, -0.7)
	g.load("b", [3]float64{30, -40, -100}, [3]float64{})
	g.Model.Modes = 6
	return g.Frame
}

// post is vertical, once up and once down.
func post() Frame {
	g := begin("post", 8, Rectangle{0.03, 0.06})
	g.foot("a", 0, 0, 0)
	g.node("up", 0, 0, 1.1)
	g.node("down", 0, 0, -0.9)
	g.bar("a", "up", 0, 0)
	g.bar("a", "down", 0, 0.4)
	g.load("up", [3]float64{50, 20, 0}, [3]float64{})
	g.load("down", [3]float64{50, 20, 0}, [3]float64{})
	g.Model.Modes = 6
	return g.Frame
}

func portal() Frame {
	g := begin("portal", 8, Rectangle{0.05, 0.06}, Rectangle{0.05, 0.08})
	g.foot("a", 0, 0, 0)
	g.node("b", 0, 0, 1.5)
	g.node("c", 2, 0, 1.5)
	g.foot("d", 2, 0, 0)
	g.bar("a", "b", 0, 0)
	g.bar("b", "c", 1, 0)
	g.bar("d", "c", 0, 0)
	g.load("b", [3]float64{300, 80, 0}, [3]float64{})
	g.weight()
	g.Model.Modes = 6
	return g.Frame
}

// stand carries two masses on its beams and is pushed sideways.
func stand() Frame {
	g := begin("stand", 4, Rectangle{0.08, 0.08}, Rectangle{0.04, 0.08})
	for i, x := range []float64{0, 2} {
		for j, y := range []float64{0, 1.2} {
			foot, top := fmt.Sprintf("foot%d%d", i, j), fmt.Sprintf("top%d%d", i, j)
			g.foot(foot, x, y, 0)
			g.node(top, x, y, 1.6)
			g.bar(foot, top, 0, 0)
		}
	}
	for j, y := range []float64{0, 1.2} {
		middle := fmt.Sprint("middle", j)
		g.node(middle, 1, y, 1.6)
		g.bar(fmt.Sprintf("top0%d", j), middle, 0, 0)
		g.bar(middle, fmt.Sprintf("top1%d", j), 0, 0)
		g.Model.Masses = append(g.Model.Masses, frame.Mass{At: frame.Point{Node: middle}, M: 40})
	}
	for i := range 2 {
		g.bar(fmt.Sprintf("top%d0", i), fmt.Sprintf("top%d1", i), 1, 0)
	}
	g.load("top00", [3]float64{200, 0, 0}, [3]float64{})
	g.load("top01", [3]float64{0, 100, 0}, [3]float64{})
	g.weight()
	g.Model.Modes = 8
	return g.Frame
}

// lattice is a mast of four storeys with diagonals on every side.
func lattice() Frame {
	g := begin("lattice", 4, Rectangle{0.04, 0.04}, Rectangle{0.02, 0.03})
	corner := [][2]float64{{0, 0}, {0.6, 0}, {0.6, 0.5}, {0, 0.5}}
	id := func(storey, k int) string { return fmt.Sprintf("n%d%d", storey, k%4) }
	for storey := range 5 {
		for k, c := range corner {
			if storey == 0 {
				g.foot(id(0, k), c[0], c[1], 0)
				continue
			}
			g.node(id(storey, k), c[0], c[1], 0.6*float64(storey))
		}
		if storey == 0 {
			continue
		}
		for k := range corner {
			g.bar(id(storey-1, k), id(storey, k), 0, 0)
			g.bar(id(storey, k), id(storey, k+1), 1, 0)
			g.bar(id(storey-1, k), id(storey, k+1), 1, 0)
		}
	}
	g.load(id(4, 0), [3]float64{500, 200, 0}, [3]float64{})
	g.load(id(4, 2), [3]float64{0, 300, -1000}, [3]float64{})
	g.weight()
	g.Model.Modes = 8
	return g.Frame
}
