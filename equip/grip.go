package equip

import (
	"cmp"
	"fmt"
	"math"

	"spanwright/given"
	"spanwright/quantity"
)

// Held is a payload in a gripper under the accelerations of the worst moment,
// nearly always the emergency stop.
type Held struct {
	Mass     float64 // kg
	Up       float64 // vertical acceleration, upwards positive, m/s²
	Sideways float64 // horizontal acceleration, m/s², >= 0
	Friction float64 // between payload and gripper
	Safety   float64 // S_F
}

func (h Held) check() error {
	return cmp.Or(
		given.Positive("mass of the payload", h.Mass), given.Finite("vertical acceleration", h.Up),
		given.NotNegative("horizontal acceleration", h.Sideways), given.Positive("friction of the gripper", h.Friction),
		given.Within("safety of the gripper", h.Safety, 1, 100),
	)
}

// Safety factors of grippers. Source: common practice, no source.
const (
	GripDense    = 1.5 // vacuum, smooth dense level face
	GripPorous   = 2.0 // vacuum, porous, uneven or unknown
	GripTilted   = 4.0 // vacuum, vertical or tilted face
	GripJaws     = 2.0 // friction jaws
	FrictionDry  = 0.5 // elastomer on dry glass, metal, plastic, wood
	FrictionWet  = 0.2 // 0.2 to 0.3
	FrictionOily = 0.1
)

// CupsAbove is the force (N) of all cups together on a level face from above.
//
//	F = m (g + a_z + a_h/mu) S_F
//
// Source: equilibrium with Coulomb friction: what is left of the suction after
// lifting holds sideways.
func (h Held) CupsAbove() (float64, error) {
	if err := h.check(); err != nil {
		return 0, err
	}
	return math.Max(0, h.Mass*(quantity.StandardGravity+h.Up+h.Sideways/h.Friction)*h.Safety), nil
}

// CupsBeside is the force (N) of all cups together on an upright face; the
// horizontal acceleration lies in that face.
//
//	F = (m/mu) sqrt((g + a_z)² + a_h²) S_F
//
// Source: equilibrium with Coulomb friction.
func (h Held) CupsBeside() (float64, error) {
	if err := h.check(); err != nil {
		return 0, err
	}
	return h.Mass / h.Friction * math.Hypot(quantity.StandardGravity+h.Up, h.Sideways) * h.Safety, nil
}

// JawForce is the closing force of one jaw (N) for n friction faces; the
// horizontal acceleration lies in the plane of the jaws. An acceleration along
// the closing direction adds m a/2 on one jaw.
//
//	N = m sqrt((g + a_z)² + a_h²) S_F/(n mu)
//
// Source: equilibrium with Coulomb friction.
func (h Held) JawForce(faces int) (float64, error) {
	if err := cmp.Or(h.check(), given.AtLeast("friction faces of the gripper", faces, 1)); err != nil {
		return 0, err
	}
	return h.Mass * math.Hypot(quantity.StandardGravity+h.Up, h.Sideways) * h.Safety / (float64(faces) * h.Friction), nil
}

// Cup is one vacuum cup.
type Cup struct {
	Vacuum   float64 // pressure difference, Pa; 60 kPa dense, 20 to 40 kPa porous
	Diameter float64 // at the loaded lip, often 0.8 to 0.9 of the nominal one, m
}

// Force is the pressure difference on the effective area, N.
func (c Cup) Force() (float64, error) {
	if err := cmp.Or(given.Within("pressure difference of the cup", c.Vacuum, 1, 101325), given.Positive("effective diameter of the cup", c.Diameter)); err != nil {
		return 0, err
	}
	return c.Vacuum * math.Pi / 4 * c.Diameter * c.Diameter, nil
}

// Cups is the least number of like cups for a force (N); place them symmetrically
// about the payload's centre of mass.
func (c Cup) Cups(force float64) (int, error) {
	each, err := c.Force()
	if err := cmp.Or(err, given.NotNegative("holding force", force)); err != nil {
		return 0, err
	}
	// A force that is a whole number of cups up to round-off needs no further one.
	const whole = 1e-9
	return int(math.Ceil(force/each - whole)), nil
}

// CupRow is a row of cups along the direction of the horizontal acceleration.
type CupRow struct {
	Places []float64 // of the cups from the payload's centre of mass, m
	Below  float64   // centre of mass below the lips, m
}

// Pulls returns the pull of the payload on every cup (N), its tipping moment
// included. The most loaded cup must stay below its suction, and no cup may be
// pushed (negative pull) more than its lip carries.
//
//	F_i = m (g + a_z)/n + m a_h h x_i/sum x²
//
// Source: rigid payload on like cups.
func (r CupRow) Pulls(h Held) ([]float64, error) {
	if err := cmp.Or(h.check(), given.NotNegative("height of the centre of mass below the lips", r.Below), given.AtLeast("cups", len(r.Places), 1)); err != nil {
		return nil, err
	}
	middle, spread := 0.0, 0.0
	for _, x := range r.Places {
		if err := given.Finite("place of a cup", x); err != nil {
			return nil, err
		}
		middle += x / float64(len(r.Places))
	}
	for _, x := range r.Places {
		spread += (x - middle) * (x - middle)
	}
	lift := h.Mass * (quantity.StandardGravity + h.Up)
	// A row that is not centred on the payload is tipped by the weight, too.
	moment := h.Mass*h.Sideways*r.Below - lift*middle
	if spread == 0 && moment != 0 {
		return nil, fmt.Errorf("%w: cups in one place do not hold a tipping moment of %.4g N m", given.ErrRefused, moment)
	}
	out := make([]float64, len(r.Places))
	for i, x := range r.Places {
		out[i] = lift / float64(len(r.Places))
		if spread > 0 {
			out[i] += moment * (x - middle) / spread
		}
	}
	return out, nil
}
