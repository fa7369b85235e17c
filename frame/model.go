package frame

// Direction numbers of a six-component vector [ux, uy, uz, rx, ry, rz] (or [Fx, Fy, Fz, Mx, My, Mz]).
const (
	UX = iota // translation along X, m
	UY        // translation along Y, m
	UZ        // translation along Z, m
	RX        // rotation about X, rad
	RY        // rotation about Y, rad
	RZ        // rotation about Z, rad
)

// freedomNames are the words of the JSON form, in the order of UX to RZ.
var freedomNames = [6]string{"ux", "uy", "uz", "rx", "ry", "rz"}

// Model is a frame: nodes joined by members, springs and ties, held by supports, loaded by cases.
//
// Global axes are right-handed with Z up; units are SI. Ids are unique within their list.
type Model struct {
	Nodes     []Node
	Sections  []Section
	Materials []Material
	Members   []Member
	Supports  []Support
	Springs   []Spring
	Ties      []Tie
	Masses    []Mass
	Cases     []Case // in the order in which they are solved
	Modes     int    // number of natural frequencies wanted; 0 = none
}

// Node is a place where members meet.
type Node struct {
	ID string
	At [3]float64 // m, global
}

// Section holds the cross-section properties of members.
type Section struct {
	ID  string
	A   float64 // area, m²
	Iy  float64 // second moment about local y, bending in the x-z plane, m⁴
	Iz  float64 // second moment about local z, bending in the x-y plane, m⁴
	J   float64 // torsion constant, m⁴
	Asy float64 // shear area for shear along y, m²; 0 = no shear flexibility, no rotary inertia in the x-y plane
	Asz float64 // shear area for shear along z, m²; 0 = no shear flexibility, no rotary inertia in the x-z plane
}

// Material holds the material properties of members.
type Material struct {
	ID    string
	E     float64 // modulus of elasticity, Pa
	G     float64 // shear modulus, Pa
	Rho   float64 // density, kg/m³
	Alpha float64 // thermal expansion, 1/K
	Loss  float64 // loss factor (energy lost per radian over energy stored), used for modal damping only
}

// Turn says how one rotation of a member end is joined to its node. The zero value is rigid.
type Turn struct {
	Freed     bool    // the member end has a rotation of its own
	Stiffness float64 // between node and member end where Freed, N m/rad; 0 = no moment
	Loss      float64 // loss factor of the joint, used for modal damping only
}

// Free is a rotation that carries no moment.
func Free() Turn { return Turn{Freed: true} }

// SemiRigid is a rotation joined by a spring, N m/rad.
func SemiRigid(stiffness float64) Turn { return Turn{Freed: true, Stiffness: stiffness} }

// End joins the three rotations of a member end, about the member's local x, y, z.
type End [3]Turn

// Member is a straight beam between two nodes.
//
// Local x runs from the From end to the To end. For a member that is not vertical (horizontal part of the unit x at
// least 1e-6), y = Z × x normalised, which is horizontal, and z = x × y. For a vertical one y = Y and z = x × y.
// Roll turns y and z about +x.
type Member struct {
	ID         string
	From, To   string // node ids
	Section    string
	Material   string
	Roll       float64    // rad, right-handed about +x
	Divide     int        // number of equal elements; 0 = 1
	Cuts       []float64  // places (0 to 1) that are nodes too: what a tie holds there is exact. With cuts, Divide is the least number of elements
	FromEnd    End        // how the rotations are joined at From
	ToEnd      End        // how the rotations are joined at To
	OffsetFrom [3]float64 // rigid arm from the From node to the beginning of the member, m, global
	OffsetTo   [3]float64 // rigid arm from the To node to the end of the member, m, global
	Axial      float64    // N, tension positive: adds the geometric stiffness of this force; 0 = first order
	Body       string     // names the moving body it belongs to, see Field
}

// Support holds a node against the ground.
type Support struct {
	Node string
	Fix  [6]bool // ux, uy, uz, rx, ry, rz
}

// Axes are the rows x, y, z of a rotation from global to own axes. The zero value means the global axes.
type Axes [3][3]float64

// Spring joins two nodes, or a node and the ground, by six stiffnesses that act alone.
//
// Each acts between the same freedoms of both nodes as if they coincided: the distance between the nodes makes no
// moment. The force on From is -K (u_from - u_to).
type Spring struct {
	ID      string
	From    string
	To      string     // "" = ground
	K       [6]float64 // N/m and N m/rad, in Axes
	Axes    Axes
	Contact *Contact // one-sided, to the ground only; nil = both ways
	Loss    float64  // loss factor, used for modal damping only
}

// Contact makes a spring or tie to the ground one-sided: it only pushes.
//
// All six stiffnesses act while it is closed and vanish while it is open. Closed means that the node or point has moved
// against Normal by at least Gap.
type Contact struct {
	Normal [3]float64 // direction in which the ground can push, global; [0 0 1] for a foot
	Gap    float64    // m, distance to go before it touches; an unlevel foot has one
}

// Mass is a rigid body fixed to a point of the frame, with its centre of mass there.
type Mass struct {
	ID      string
	At      Point         // centre of mass; the offset of the point is the arm from node to centre
	M       float64       // kg
	Inertia [3][3]float64 // about the own centre of mass, global axes, kg m²; [[Ixx Ixy Ixz] ...], products negative as usual
	Body    string        // names the moving body it belongs to, see Field
}

// Point is a place on the frame: a node or a position along a member, with a rigid arm from there.
//
// Its six displacements are u = u₀ + θ₀ × Offset and θ = θ₀, where u₀, θ₀ are those of the node, or of the member's
// axis at Position interpolated by the element's own (Timoshenko) shape functions. The zero value is the ground.
//
// A force at a point between the nodes of an element acts on the nodes exactly as on the real beam, but the point itself
// does not show how the force bends the element between them: L³/(192 EI) + L/(4 G As) of the element in its middle.
// Cut into 12, a beam on two supports shows the sag under a load in the middle 0.15 % too small half-way between nodes, and exactly at nodes.
type Point struct {
	Node     string
	Member   string     // used if Node is empty
	Position float64    // 0 (From end) to 1 (To end) along the member, across its elements
	Offset   [3]float64 // m, global
}

// Ground reports whether the point is the ground, which does not move.
func (p Point) Ground() bool { return p.Node == "" && p.Member == "" }

// Tie joins two points by six stiffnesses in own axes: a guide block, a drive, a clamped interface.
//
// The force on From is -K (u_from - u_to) in Axes. Each stiffness acts alone between the two points. If they do not
// coincide, a lateral stiffness makes no moment from the distance, so bring them together by offsets; a stiffness
// along the line between them (a bar) needs no such care.
type Tie struct {
	ID   string
	From Point
	To   Point // zero = ground
	Axes Axes
	K    [6]float64 // N/m and N m/rad; 0 = free
	Loss float64    // loss factor, used for modal damping only

	Contact *Contact // one-sided, to the ground only and not in a Pose; nil = both ways
}
