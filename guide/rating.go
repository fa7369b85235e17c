package guide

import (
	"cmp"
	"fmt"
	"math"

	"spanwright/given"
)

func abs(v float64) float64 { return math.Abs(v) }

// Capacity is what a block carries by direction: static (C_0 and M_0) or
// dynamic (C and M). All values of one Capacity are of one kind.
type Capacity struct {
	Base    float64 // the rating the others refer to, N
	Press   float64 // toward the rail, N
	Lift    float64 // off the rail, N
	Lateral float64 // sideways, N
	MomentX float64 // N m; 0 not known
	MomentY float64 // N m; 0 not known
	MomentZ float64 // N m; 0 not known
}

// EqualCapacity returns the capacity of a block with one rating in all four
// directions and its three moments in N m (zero where not known).
func EqualCapacity(rating float64, moments Vector) Capacity {
	return Capacity{
		Base: rating, Press: rating, Lift: rating, Lateral: rating,
		MomentX: moments[0], MomentY: moments[1], MomentZ: moments[2],
	}
}

// Equivalent returns the one load, in the base direction, that does what a
// block's forces and moments do together, N.
//
//	P = C [ |P_z|/C_z + |P_y|/C_y + |M_x|/M_x0 + |M_y|/M_y0 + |M_z|/M_z0 ]
//
// For equal ratings this is |P_z| + |P_y| + C (|M_x|/M_x0 + ...). It returns
// ErrNoRating if a moment acts for which the part data give none.
//
// Source: common practice, no source.
func (c Capacity) Equivalent(b BlockLoad) (float64, error) {
	if err := cmp.Or(
		given.Positive("load rating", c.Base), given.Positive("rating toward the rail", c.Press),
		given.Positive("rating off the rail", c.Lift), given.Positive("lateral rating", c.Lateral),
		given.NotNegative("moment rating", c.MomentX), given.NotNegative("moment rating", c.MomentY), given.NotNegative("moment rating", c.MomentZ),
		given.Finite("normal block load", b.Normal), given.Finite("lateral block load", b.Lateral),
	); err != nil {
		return 0, err
	}
	normal := c.Press
	if b.Normal > 0 {
		normal = c.Lift
	}
	use := abs(b.Normal)/normal + abs(b.Lateral)/c.Lateral
	for i, rating := range [3]float64{c.MomentX, c.MomentY, c.MomentZ} {
		if err := given.Finite("block moment", b.Moment[i]); err != nil {
			return 0, err
		}
		if b.Moment[i] == 0 {
			continue
		}
		if rating == 0 {
			return 0, fmt.Errorf("%w: the block carries %.4g N m about %c and its part has no such moment rating", ErrNoRating, b.Moment[i], 'x'+rune(i))
		}
		use += abs(b.Moment[i]) / rating
	}
	return c.Base * use, nil
}

// Worst returns the block with the largest equivalent load, the first of
// equals, and that load, N. Static safety and life are those of this block, not
// of the mean.
func (c Capacity) Worst(s Sharing) (block int, load float64, err error) {
	if err := given.AtLeast("guide blocks", len(s.Blocks), 1); err != nil {
		return 0, 0, err
	}
	for i, b := range s.Blocks {
		p, err := c.Equivalent(b)
		if err != nil {
			return 0, 0, fmt.Errorf("block %d: %w", i+1, err)
		}
		if i == 0 || p > load {
			block, load = i, p
		}
	}
	return block, load, nil
}

// StaticSafety returns f_s = C_0/P_max over all phases, e-stop and end impact
// included; +Inf without load. Usual least values: 1.5 smooth, 3 handling, 4
// vibration or overhung, 10 or a mechanical capture for a load hanging over
// people (common practice). Bolts often give way before C_0 is reached.
//
// Source: published, ISO 14728-2 (definition; clauses confirmed).
func StaticSafety(static, largest float64) (float64, error) {
	if err := cmp.Or(given.Positive("static load rating", static), given.NotNegative("largest block load", largest)); err != nil {
		return 0, err
	}
	return static / largest, nil
}

// Basis is the distance of travel that belongs to a dynamic rating. The zero
// value is no basis and is refused: guessing wrong is a factor of two in life.
type Basis uint8

// The two bases in use.
const (
	Per50km Basis = iota + 1
	Per100km
)

// String names the basis.
func (b Basis) String() string {
	switch b {
	case Per50km:
		return "50 km"
	case Per100km:
		return "100 km"
	default:
		return "no basis"
	}
}

// Distance returns the travel of the basis, m.
func (b Basis) Distance() (float64, error) {
	switch b {
	case Per50km:
		return 50e3, nil
	case Per100km:
		return 100e3, nil
	default:
		return 0, fmt.Errorf("%w: say whether the dynamic rating holds for 50 km or 100 km", ErrNoBasis)
	}
}

// DynamicRating is a dynamic load rating with its basis.
type DynamicRating struct {
	Load  float64 // C, N
	Basis Basis
}

// On returns the rating on another basis, N.
//
//	C_50 = 2^(1/3) C_100
//
// Source: derived from the cube law of ISO 14728-1.
func (r DynamicRating) On(basis Basis) (float64, error) {
	have, err := r.Basis.Distance()
	if err != nil {
		return 0, err
	}
	want, err := basis.Distance()
	if err := cmp.Or(err, given.Positive("dynamic load rating", r.Load)); err != nil {
		return 0, err
	}
	return r.Load * math.Cbrt(have/want), nil
}
