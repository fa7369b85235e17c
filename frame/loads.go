package frame

// Case is a set of loads that act together.
type Case struct {
	ID           string
	Forces       []Force
	LineLoads    []LineLoad
	Fields       []Field
	Temperatures []Temperature
	Settlements  []Settlement
	Mismatches   []Mismatch
}

// Force acts at a point, global axes.
type Force struct {
	At     Point
	Force  [3]float64 // N
	Moment [3]float64 // N m
}

// LineLoad is uniform over the whole length of a member, per length of the member.
type LineLoad struct {
	Member    string
	PerLength [3]float64 // N/m
	Local     bool       // in the member's local axes; otherwise global
}

// Field is a body acceleration field: the force on every mass is the mass times Acceleration.
//
// Gravity is [0 0 -g]. A body that accelerates at a is loaded by the field -a (d'Alembert). Bodies selects the members
// and masses by their Body; empty means all of them.
type Field struct {
	Acceleration [3]float64 // m/s², global
	Bodies       []string
}

// Temperature is a uniform rise over a member.
type Temperature struct {
	Member string  // "" = all members
	Rise   float64 // K
}

// Settlement moves a support: the freedoms of Node that are fixed take these values, the others are ignored.
type Settlement struct {
	Node string
	Move [6]float64 // m and rad, global
}

// Mismatch is a lack of fit of a tie or a spring, in its axes: the relative displacement u_from - u_to at which it is
// free of force.
type Mismatch struct {
	Tie string // id of a tie or a spring
	Gap [6]float64
}
