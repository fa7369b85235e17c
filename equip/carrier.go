package equip

import (
	"cmp"
	"math"

	"spanwright/given"
	"spanwright/quantity"
)

// Carrier is a cable carrier on one axis. Its fixed end lies on the body that
// carries the axis, its moving end on the body that moves.
type Carrier struct {
	Travel      float64 // S, m
	Fixed       float64 // x_f: fixed end from mid travel, m
	TowardMinus bool    // the bend opens toward the minus end
	Radius      float64 // R, to the pitch line of the links, m
	AddOn       float64 // K: straight links at the ends, at least one pitch each, m
	Pitch       float64 // p, m
	OuterHeight float64 // h_a, m
	Built       float64 // built length, m; 0: the least whole number of links
}

func (c Carrier) check() error {
	return cmp.Or(
		given.Positive("travel of the cable carrier", c.Travel), given.Finite("fixed end of the cable carrier", c.Fixed),
		given.Positive("bend radius of the cable carrier", c.Radius), given.NotNegative("straight links at the ends", c.AddOn),
		given.Positive("link pitch", c.Pitch), given.Positive("outer height of the links", c.OuterHeight),
		given.NotNegative("built length of the cable carrier", c.Built),
	)
}

// Loop is the loop that the carrier forms.
type Loop struct {
	Needed   float64 // least length, m
	Links    int     // whole links of the built length
	Length   float64 // built length, m
	Overhang float64 // bend tip beyond the travel end on its side, m: build envelope
	UpperMax float64 // longest upper run, m: the unsupported span
	LowerMax float64 // longest lower run, m

	radius, fixed, half, side float64
}

// Loop returns length and envelope of the carrier. With the bend opening toward
// +x and starting at x_b, lower run x_b - x_f, upper run x_b - x_m and bend pi R
// make up the length at every place x_m of the moving end:
//
//	x_b = (L - pi R + x_f + x_m)/2      L_min = pi R + S/2 + |x_f| + K      N = ceil(L_min/p)
//
// The shortest carrier has its fixed end in the middle of the travel.
//
// Source: derived, constant length.
func (c Carrier) Loop() (Loop, error) {
	if err := c.check(); err != nil {
		return Loop{}, err
	}
	l := Loop{radius: c.Radius, half: c.Travel / 2, fixed: c.Fixed, side: 1}
	if c.TowardMinus {
		l.side, l.fixed = -1, -c.Fixed
	}
	l.Needed = math.Pi*c.Radius + l.half + math.Abs(c.Fixed) + c.AddOn
	// A length that is a whole number of links up to round-off needs no further one.
	const whole = 1e-9
	l.Links = int(math.Ceil(l.Needed/c.Pitch - whole))
	if c.Built > 0 {
		l.Links = int(math.Round(c.Built / c.Pitch))
	}
	l.Length = float64(l.Links) * c.Pitch
	l.Overhang = l.bend(l.half) + c.Radius + c.OuterHeight/2 - l.half
	l.UpperMax = l.bend(-l.half) + l.half
	l.LowerMax = l.bend(l.half) - l.fixed
	return l, nil
}

// bend is where the bend starts, on the side that the bend opens to.
func (l Loop) bend(moving float64) float64 {
	return (l.Length - math.Pi*l.radius + l.fixed + moving) / 2
}

// Runs returns the lengths of the upper and the lower run (m) with the moving end
// at x_m (m, from mid travel). A negative run means that the carrier is too short.
func (l Loop) Runs(moving float64) (upper, lower float64) {
	b := l.bend(l.side * moving)
	return b - l.side*moving, b - l.fixed
}

// CarrierHeight is the free height that a carrier needs, m.
//
//	H = 2 R + h_a + max(20 mm, 10 mm per metre of free span)
//
// The last term is for the camber of an unsupported run. Source: geometry; camber
// common practice, no source.
func CarrierHeight(radius, outerHeight, freeSpan float64) float64 {
	return 2*radius + outerHeight + math.Max(0.020, 0.010*freeSpan)
}

// Dressed is a carrier with its cables.
type Dressed struct {
	Empty  float64 // mass of the carrier, kg/m
	Cables float64 // mass of all cables in it, kg/m
}

func (d Dressed) perMetre() float64 { return d.Empty + d.Cables }

// MovingMass is the mass (kg) that the carriage feels with an upper run of the
// given length (m): the upper run moves at full speed, the bend at half of its
// energy, the lower run rests.
//
//	m = m' (U + pi R/2)
//
// The force -m' v²/4 of the mass that changes sides is left out: a few newtons
// below 5 m/s.
//
// Source: derived from the kinetic energy of the loop. Half of the whole length,
// often used, is too little at the end of travel.
func (d Dressed) MovingMass(upper, radius float64) float64 {
	return d.perMetre() * (upper + math.Pi*radius/2)
}

// HalfRule is half of the mass of the whole carrier, kg. Source: common practice, no source.
func (d Dressed) HalfRule(length float64) float64 { return d.perMetre() * length / 2 }

// WeightForce is the constant force toward the bend (N) of a level carrier: for
// every dx of travel, dx/2 of it drops by 2 R.
//
//	F = m' g R
//
// Source: derived, virtual work.
func (d Dressed) WeightForce(radius float64) float64 {
	return d.perMetre() * quantity.StandardGravity * radius
}

// HangingForce is the weight (N) that a carriage carries of a vertical run of the
// given length (m).
func (d Dressed) HangingForce(run float64) float64 {
	return d.perMetre() * quantity.StandardGravity * run
}

// Friction of a carrier whose upper run rests. Source: common practice, no source.
const (
	GlidingFriction = 0.25 // plastic on plastic, dry, 0.20 to 0.30
	RollingFriction = 0.10 // rolling shelves, 0.05 to 0.10
)

// Drag is the force (N) that pulls a resting upper run of the given length (m).
// Source: Coulomb friction.
func (d Dressed) Drag(friction, resting float64) float64 {
	return friction * d.perMetre() * quantity.StandardGravity * resting
}

// LinkFriction is the force (N) that bends the links: 1 % of the weight, at
// least 2 N. Source: common practice, no source.
func (d Dressed) LinkFriction(length float64) float64 {
	return math.Max(2, 0.01*d.perMetre()*quantity.StandardGravity*length)
}
