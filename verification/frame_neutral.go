package verification

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"spanwright/frame"
)

// neutralFrame reads a frame model of the case form: nodes, members, supports, springs, masses, loads, acceleration,
// plane. Its load case is called "case". Node and member ids are numbers there, texts in package frame.
//
// Differences between the two forms:
//   - a vertical member has local z along +X there; package frame has it along -X for one going up, so that half a turn
//     of roll is added;
//   - "subdivide" makes nodes that "plane" and results refer to, so members are cut here and not by Divide;
//   - "no_rotary" asks for what package frame does where no shear area is given; members with both are refused.
func neutralFrame(v Values) (*frame.Model, error) {
	n := &neutral{in: v, at: map[int][3]float64{}}
	for _, node := range v.List("nodes") {
		id := int(node.Num("id"))
		n.addNode(id, [3]float64{node.Num("x"), node.Num("y"), node.Num("z")})
	}
	for _, m := range v.List("members") {
		if err := n.addMember(m); err != nil {
			return nil, err
		}
	}
	n.addHolds()
	n.addLoads()
	return &n.model, nil
}

type neutral struct {
	in      Values
	model   frame.Model
	load    frame.Case
	at      map[int][3]float64
	highest int
}

func nodeID(v float64) string { return strconv.Itoa(int(v)) }

func (n *neutral) addNode(id int, at [3]float64) {
	n.at[id] = at
	n.highest = max(n.highest, id)
	n.model.Nodes = append(n.model.Nodes, frame.Node{ID: strconv.Itoa(id), At: at})
}

// three returns a list of three numbers, zero if the key is absent.
func three(v Values, key string) (x [3]float64) {
	if v.Has(key) {
		copy(x[:], v.Nums(key))
	}
	return x
}

func numberOr(v Values, key string, other float64) float64 {
	if v.Has(key) {
		return v.Num(key)
	}
	return other
}

// addMember adds one member, cut into equal parts with ids "1", or "1.1", "1.2", ... where it is cut.
func (n *neutral) addMember(m Values) error {
	id := nodeID(m.Num("id"))
	if m.Has("no_rotary") && (m.Num("Asy") != 0 || m.Num("Asz") != 0) {
		return fmt.Errorf("member %s: shear area without rotary inertia is not offered", id)
	}
	n.model.Sections = append(n.model.Sections, frame.Section{ID: id, A: m.Num("A"), Iy: m.Num("Iy"), Iz: m.Num("Iz"),
		J: m.Num("J"), Asy: m.Num("Asy"), Asz: m.Num("Asz")})
	n.model.Materials = append(n.model.Materials, frame.Material{ID: id, E: m.Num("E"), G: m.Num("G"), Rho: m.Num("rho"),
		Alpha: numberOr(m, "alpha", 0)})
	offI, offJ := three(m, "off_i"), three(m, "off_j")
	a, b := n.at[int(m.Num("i"))], n.at[int(m.Num("j"))]
	var begin, d [3]float64
	for k := range 3 {
		begin[k] = a[k] + offI[k]
		d[k] = b[k] + offJ[k] - begin[k]
	}
	roll := m.Num("roll_deg") * math.Pi / 180
	if length := math.Sqrt(d[0]*d[0] + d[1]*d[1] + d[2]*d[2]); math.Hypot(d[0], d[1]) < 1e-6*length && d[2] > 0 {
		roll += math.Pi
	}
	from, to := turns(m)
	parts := int(numberOr(m, "subdivide", 1))
	last := nodeID(m.Num("i"))
	for k := range parts {
		part := frame.Member{ID: id, From: last, To: nodeID(m.Num("j")), Section: id, Material: id, Roll: roll,
			Axial: numberOr(m, "P", 0)}
		if parts > 1 {
			part.ID = fmt.Sprintf("%s.%d", id, k+1)
		}
		if k == 0 {
			part.FromEnd, part.OffsetFrom = from, offI
		}
		if k == parts-1 {
			part.ToEnd, part.OffsetTo = to, offJ
		} else {
			f := float64(k+1) / float64(parts)
			n.addNode(n.highest+1, [3]float64{begin[0] + f*d[0], begin[1] + f*d[1], begin[2] + f*d[2]})
			part.To = strconv.Itoa(n.highest)
		}
		last = part.To
		n.model.Members = append(n.model.Members, part)
		if m.Has("q") {
			n.load.LineLoads = append(n.load.LineLoads, frame.LineLoad{Member: part.ID, PerLength: three(m, "q")})
		}
		if m.Has("dT") {
			n.load.Temperatures = append(n.load.Temperatures, frame.Temperature{Member: part.ID, Rise: m.Num("dT")})
		}
	}
	return nil
}

// turns reads the freed rotations of both ends.
func turns(m Values) (from, to frame.End) {
	if !m.Has("end_springs") {
		return from, to
	}
	springs := m.Values("end_springs")
	for key := range springs {
		dof, err := strconv.Atoi(key)
		if err != nil || dof%6 < 3 {
			panic(springs.lacks(key, "a rotation 3 to 5 or 9 to 11"))
		}
		turn := frame.SemiRigid(springs.Num(key))
		if dof < 6 {
			from[dof-3] = turn
		} else {
			to[dof-9] = turn
		}
	}
	return from, to
}

var freedoms = []string{"ux", "uy", "uz", "rx", "ry", "rz"}

// planes lists what "plane" restrains on every node.
var planes = map[string][6]bool{
	"xz": {false, true, false, true, false, true},
	"xy": {false, false, true, true, true, false},
	"x":  {false, true, true, true, true, true},
	"rx": {true, true, true, false, true, true},
}

// addHolds adds supports, springs and masses.
func (n *neutral) addHolds() {
	v := n.in
	for _, s := range v.List("supports") {
		support := frame.Support{Node: nodeID(s.Num("node"))}
		for _, dof := range s.Texts("dofs") {
			support.Fix[freedom(dof)] = true
		}
		n.model.Supports = append(n.model.Supports, support)
	}
	if v.Has("plane") {
		for _, node := range n.model.Nodes {
			n.model.Supports = append(n.model.Supports, frame.Support{Node: node.ID, Fix: planes[v.Text("plane")]})
		}
	}
	if v.Has("springs") {
		for _, s := range v.List("springs") {
			spring := frame.Spring{From: nodeID(s.Num("i")), K: [6]float64(s.Nums("k"))}
			if s.Has("j") {
				spring.To = nodeID(s.Num("j"))
			}
			n.model.Springs = append(n.model.Springs, spring)
		}
	}
	if v.Has("masses") {
		for _, m := range v.List("masses") {
			mass := frame.Mass{At: frame.Point{Node: nodeID(m.Num("node")), Offset: three(m, "offset")}, M: m.Num("m")}
			for k, i := range three(m, "inertia") {
				mass.Inertia[k][k] = i
			}
			n.model.Masses = append(n.model.Masses, mass)
		}
	}
}

func (n *neutral) addLoads() {
	v := n.in
	n.load.ID = "case"
	if v.Has("loads") {
		for _, l := range v.List("loads") {
			n.load.Forces = append(n.load.Forces, frame.Force{At: frame.Point{Node: nodeID(l.Num("node"))}, Force: three(l, "F"), Moment: three(l, "M")})
		}
	}
	if v.Has("acceleration") {
		n.load.Fields = append(n.load.Fields, frame.Field{Acceleration: three(v, "acceleration")})
	}
	n.model.Cases = []frame.Case{n.load}
}

func freedom(name string) int {
	for i, f := range freedoms {
		if f == name {
			return i
		}
	}
	panic(missingInput(fmt.Sprintf("%q is no freedom", name)))
}

// places reads "2.uz 2.ry" as a list of node and freedom.
func places(words string) (nodes, dofs []string) {
	for _, w := range strings.Fields(words) {
		node, dof, _ := strings.Cut(w, ".")
		nodes, dofs = append(nodes, node), append(dofs, dof)
	}
	return nodes, dofs
}
