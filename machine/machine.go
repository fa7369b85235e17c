// Package machine turns a design and the parts it names into the resolved
// machine: bodies, nodes, members, connections, blocks, masses and places, all
// at the home pose (every axis at coordinate 0). It computes no loads and no
// deflections.
//
// Frames: W is the world, right-handed, Z up, origin on the floor under the
// middle of the stand. Body 0 stands on the floor and carries the beams of the
// first axis; body k+1 is what axis k moves. Bodies only translate: at a pose
// q, body b is displaced by the sum of q[i] times the direction of axis i over
// all i < b. All numbers are SI.
package machine

import (
	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/design"
	"spanwright/parts"
	"spanwright/section"
)

// Machine is the resolved machine. It is not changed after Build.
type Machine struct {
	Design *design.Design
	Axes   []*Axis

	Nodes       []Node
	Members     []Member
	Connections []Connection
	Feet        []Foot
	Masses      []Mass

	Flange  int    // node that carries the tool
	Tool    Lump   // tool, seen from the flange
	Payload Lump   // payload, seen from the flange
	Point   r3.Vec // tool point, from the flange

	Bumpers  map[string]*parts.Bumper  // by axis
	Carriers map[string]*parts.Carrier // by axis

	CableCarriers map[string]*CableCarrier // the carriers with their cables, by axis

	Stand StandInfo
	Used  []Use // the parts, in order of first use
}

// Node is a named point of a body.
type Node struct {
	ID   string
	Body int
	At   r3.Vec // home pose, in W
}

// Member is a straight bar between two nodes of one body.
type Member struct {
	ID       string
	Bar      string // the physical bar it is a piece of
	Body     int
	From, To int
	Roll     float64 // rad, as in package frame
	Profile  *parts.Profile
	Section  section.Properties
	Material *parts.Material
	Extra    float64 // kg/m carried along: rails, belt, covers
	Role     Role
	Plane    string    // braces and rails: the plane they stiffen: along, across, top, bottom
	Joints   [2]*Joint // of the first and the second end; nil is rigid
	Divide   int       // elements
}

// Role says what a member is for.
type Role string

// The roles of members.
const (
	Leg      Role = "leg"
	Rail     Role = "rail"
	FootRail Role = "foot rail"
	Brace    Role = "brace"
	Beam     Role = "beam"
	Mast     Role = "mast"
	Other    Role = "other"
)

// Place is a point fixed to a node or to a member, with a rigid lever.
type Place struct {
	Node   int // -1: on a member
	Member int
	At     float64 // 0..1 along the member
	Offset r3.Vec  // from node or member axis, in W
}

// Connection is what holds two places together: a support of a beam, the
// interface between two axes. Its stiffness is package structure's business.
type Connection struct {
	ID      string
	Path    string // in the design
	Kind    ConnectionKind
	Axis    int // the axis whose beam or block plate it holds
	A, B    Place
	Axes    [3]r3.Vec // own x along the held axis, z away from what carries it, y = z cross x, in W
	By      string    // clamps, plate, gussets, direct
	Plate   *parts.Plate
	Metal   *parts.Material // of the plate
	Clamp   *parts.Clamp
	Clamps  int // clamps on each side
	Gussets int
	Float   bool // lets the held beam slide along itself (own x): the floating side of a pair
}

// ConnectionKind says what a connection is for.
type ConnectionKind string

// The kinds of connections.
const (
	Support   ConnectionKind = "support"
	Interface ConnectionKind = "interface"
	Stacked   ConnectionKind = "under-beam"
)

// Foot is a support on the floor.
type Foot struct {
	Node int
	Part *parts.Foot
}

// Mass is a rigid body fixed to a node.
type Mass struct {
	ID      string
	Node    int
	Kg      float64
	Offset  r3.Vec     // from the node to its centre of mass, in W
	Inertia [3]float64 // kg m², about its own centre, axes of W
}

// Lump is a mass with its centre seen from the flange.
type Lump struct {
	Kg      float64
	Centre  r3.Vec
	Inertia [3]float64
}

// Use is one part and where it is used.
type Use struct {
	Kind, ID, Path string
	Representative bool
}

// StandInfo is what checks need to know of the stand besides its members.
type StandInfo struct {
	Generated bool
	Rows      int
	Columns   int
	Height    float64
	Along     r3.Vec // unit vector of its length
	Across    r3.Vec
}

// Axis is one driven direction with everything resolved.
type Axis struct {
	Spec  *design.Axis
	Index int

	Part    *parts.Axis
	Profile *parts.Profile
	Block   *parts.Block
	Belt    *parts.Belt  // nil if not a belt axis
	Screw   *parts.Screw // nil if not a screw axis
	Rack    *parts.Rack  // nil if not a rack axis
	Motor   *parts.Motor
	Gear    *parts.Gear  // nil: direct
	Brake   *parts.Brake // nil: none
	Shaft   *parts.Shaft // nil: none

	exchange price // of the belt, screw or rack, over the one that the axis part comes with

	Teeth      int
	Pretension float64
	Layout     string
	ScrewEnds  string
	MotorAt    string

	Dir, Normal, Side r3.Vec // right-handed: travel, away from the beam, lateral (Side = Normal x Dir)
	BodyMoves         bool
	Length            float64 // beam length, m
	Home              float64 // carriage centre on the beam at coordinate 0, from the beam's From node, m

	Beams      []int // members; two for a pair (minus side, plus side)
	Carriages  []int // nodes: the carriage or block plate on each beam
	Blocks     []Block
	Supports   []float64 // places of the supports along the beam, m from its From node, rising
	PlusIsSide bool      // pair: its second beam (plus side) lies towards +Side
	ToolEnd    r3.Vec    // body-moving axis: unit vector towards its tool end
}

// Block is one rail guide carriage.
type Block struct {
	Beam   int     // index into Axis.Beams
	Along  float64 // from the carriage centre, along Dir, m
	Across float64 // along Side, m
}

// Motors is how many motors drive the axis.
func (a *Axis) Motors() int {
	if a.Spec.Pair != nil && a.Spec.Pair.Driven == "two-motors" {
		return 2
	}
	return 1
}

// Vertical is the sine of the axis's slope: 1 if its coordinate grows upward.
func (a *Axis) Vertical() float64 { return a.Dir.Z }

// Gravity tells whether the load can run away downward along the axis (slope over 1 in 100).
func (a *Axis) Gravity() bool { return a.Dir.Z > 0.01 || a.Dir.Z < -0.01 }

// On is the carriage's place along the beam at coordinate q, m from the beam's From node.
func (a *Axis) On(q float64) float64 {
	if a.BodyMoves {
		return a.Home - q
	}
	return a.Home + q
}

// Displacement is how far a body has moved from home at pose q.
func (m *Machine) Displacement(body int, q []float64) r3.Vec {
	var d r3.Vec
	for i := 0; i < body && i < len(q); i++ {
		d = r3.Add(d, r3.Scale(q[i], m.Axes[i].Dir))
	}
	return d
}

// NodeAt is where a node is at pose q, undeformed, in W.
func (m *Machine) NodeAt(node int, q []float64) r3.Vec {
	n := m.Nodes[node]
	return r3.Add(n.At, m.Displacement(n.Body, q))
}

// ToolPoint is where the tool point is at pose q, undeformed, in W.
func (m *Machine) ToolPoint(q []float64) r3.Vec {
	return r3.Add(m.NodeAt(m.Flange, q), m.Point)
}

// PlaceAt is where a place is at pose q, in W.
func (m *Machine) PlaceAt(p Place, q []float64) r3.Vec {
	if p.Node >= 0 {
		return r3.Add(m.NodeAt(p.Node, q), p.Offset)
	}
	mem := m.Members[p.Member]
	from, to := m.NodeAt(mem.From, q), m.NodeAt(mem.To, q)
	return r3.Add(r3.Add(from, r3.Scale(p.At, r3.Sub(to, from))), p.Offset)
}

// Length is the length of a member, m.
func (m *Machine) Length(member int) float64 {
	mem := m.Members[member]
	return r3.Norm(r3.Sub(m.Nodes[mem.To].At, m.Nodes[mem.From].At))
}

// MassPerM is the mass of a member per length, with what it carries along, kg/m.
func (mem Member) MassPerM() float64 { return mem.BareMassPerM() + mem.Extra }

// BareMassPerM is the mass of the bare profile per length, kg/m.
func (mem Member) BareMassPerM() float64 {
	if mem.Profile.MassPerM != nil {
		return *mem.Profile.MassPerM
	}
	return mem.Section.Area * mem.Material.Density
}

// Moved is the mass that axis i moves with the payload on or off, kg.
func (m *Machine) Moved(i int, loaded bool) float64 {
	sum := 0.0
	for b := i + 1; b <= len(m.Axes); b++ {
		sum += m.BodyMass(b)
	}
	sum += m.Tool.Kg
	if loaded {
		sum += m.Payload.Kg
	}
	return sum
}

// BodyMass is the mass of one body without tool and payload, kg.
func (m *Machine) BodyMass(body int) float64 {
	sum := 0.0
	for i, mem := range m.Members {
		if mem.Body == body {
			sum += mem.MassPerM() * m.Length(i)
		}
	}
	for _, p := range m.Masses {
		if m.Nodes[p.Node].Body == body {
			sum += p.Kg
		}
	}
	return sum
}

// Mass is the mass of the whole machine without the payload, kg.
func (m *Machine) Mass() float64 {
	sum := m.Tool.Kg
	for b := 0; b <= len(m.Axes); b++ {
		sum += m.BodyMass(b)
	}
	return sum
}

// Centre returns mass and centre of mass at pose q of the bodies from first on,
// with the tool, and with the payload if loaded.
func (m *Machine) Centre(first int, q []float64, loaded bool) (kg float64, at r3.Vec) {
	var moment r3.Vec
	add := func(mass float64, place r3.Vec) {
		kg += mass
		moment = r3.Add(moment, r3.Scale(mass, place))
	}
	for i, mem := range m.Members {
		if mem.Body >= first {
			mid := r3.Scale(0.5, r3.Add(m.NodeAt(mem.From, q), m.NodeAt(mem.To, q)))
			add(mem.MassPerM()*m.Length(i), mid)
		}
	}
	for _, p := range m.Masses {
		if m.Nodes[p.Node].Body >= first {
			add(p.Kg, r3.Add(m.NodeAt(p.Node, q), p.Offset))
		}
	}
	flange := m.NodeAt(m.Flange, q)
	add(m.Tool.Kg, r3.Add(flange, m.Tool.Centre))
	if loaded {
		add(m.Payload.Kg, r3.Add(flange, m.Payload.Centre))
	}
	if kg > 0 {
		at = r3.Scale(1/kg, moment)
	}
	return kg, at
}
