package guide

import (
	"cmp"
	"fmt"
	"math"

	"spanwright/given"
	"spanwright/rolling"
)

// turnsPerRating is the life that belongs to a roller's dynamic rating.
//
// Source: published, ISO 281.
const turnsPerRating = 1e6

// Roller is a cam roller, track roller or wheel. The ring bends when it runs on
// a track: use the rating for that, C_w, not that of the bearing in a housing.
type Roller struct {
	Rating   float64 // C_w, N
	Diameter float64 // running, m
	Exponent float64 // rolling.BallExponent or rolling.RollerExponent
}

// RollerLife is a roller's rating life.
type RollerLife struct {
	Turns    float64
	Distance float64 // m
}

// Life returns the rating life under a load in N. The track's hardness may end
// it sooner; see LineContact.
//
//	L = (C_w/P)^p 1e6 turns,  distance L pi D
//
// Source: published, ISO 281.
func (r Roller) Life(load float64) (RollerLife, error) {
	ratings, err := rolling.RatingLife(r.Rating, load, r.Exponent)
	if err := cmp.Or(err, given.Positive("roller diameter", r.Diameter)); err != nil {
		return RollerLife{}, err
	}
	turns := ratings * turnsPerRating
	return RollerLife{Turns: turns, Distance: turns * math.Pi * r.Diameter}, nil
}

// RatingForTurns returns the dynamic rating that reaches a number of turns under
// a load, P (L/1e6)^(1/p), N.
//
// Source: published, ISO 281.
func RatingForTurns(load, turns, exponent float64) (float64, error) {
	return rolling.RatingFor(load, turns/turnsPerRating, exponent)
}

// Elastic are the elastic constants of a body in contact.
type Elastic struct {
	Modulus float64 // E, Pa
	Poisson float64
}

// LineContact is a cylindrical roller on a flat track.
type LineContact struct {
	Force         float64 // N
	Width         float64 // carrying width, m; a crown reduces it
	Radius        float64 // of the roller, m
	Roller, Track Elastic
}

// Pressure returns the largest contact pressure, Pa.
//
//	p = sqrt( F E*/(pi b R) ),  1/E* = (1-nu_1²)/E_1 + (1-nu_2²)/E_2
//
// Usual limits (common practice): hardened track 1500 to 2000 MPa, soft steel
// 600 to 700 MPa, plain aluminium profile 150 to 250 MPa.
//
// Source: published, Hertz; Johnson, Contact Mechanics.
func (c LineContact) Pressure() (float64, error) {
	if err := cmp.Or(
		given.NotNegative("wheel load", c.Force), given.Positive("contact width", c.Width), given.Positive("roller radius", c.Radius),
		c.Roller.check("roller"), c.Track.check("track"),
	); err != nil {
		return 0, err
	}
	contact := 1 / (c.Roller.give() + c.Track.give())
	return math.Sqrt(c.Force * contact / (math.Pi * c.Width * c.Radius)), nil
}

func (e Elastic) check(what string) error {
	return cmp.Or(given.Positive("elastic modulus of the "+what, e.Modulus), given.Within("Poisson's ratio of the "+what, e.Poisson, 0, 0.5))
}

func (e Elastic) give() float64 { return (1 - e.Poisson*e.Poisson) / e.Modulus }

// Groove is a V-grooved wheel, or a wheel in a V track.
type Groove struct {
	Included float64 // angle between the flanks, 2 gamma, rad
	Radial   float64 // force toward the track, N
	Axial    float64 // sideways force, N, signed
}

// FlankForces returns the normal forces on both flanks, the more loaded first, N.
//
//	N = (F_r/sin(gamma) ± F_a/cos(gamma))/2
//
// It returns ErrLiftsOff if the side force lifts the wheel out, |F_a| tan(gamma)
// > F_r: set the wheels against each other by eccentric studs.
//
// Source: derived, statics of two flanks without friction.
func (g Groove) FlankForces() (loaded, relieved float64, err error) {
	if err := cmp.Or(
		given.Positive("groove angle", g.Included), given.Within("groove angle", g.Included, 0, math.Pi*0.99),
		given.NotNegative("radial wheel force", g.Radial), given.Finite("axial wheel force", g.Axial),
	); err != nil {
		return 0, 0, err
	}
	half := g.Included / 2
	radial, axial := g.Radial/math.Sin(half)/2, abs(g.Axial)/math.Cos(half)/2
	if axial > radial {
		return 0, 0, fmt.Errorf("%w: side force %.4g N against %.4g N toward the track", ErrLiftsOff, g.Axial, g.Radial)
	}
	return radial + axial, radial - axial, nil
}
