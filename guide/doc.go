// Package guide computes what carries and guides one linear axis: load sharing
// of rail guide blocks, their static safety, life, stiffness and friction; cam
// rollers and wheels; and two parallel runways carrying one bridge: wedging,
// skew, forced misalignment, float travel and support of the runway.
//
// It takes the carriage as rigid and the contacts as linear springs; the give
// of plates, profiles and joints belongs to the structural model. It knows no
// parts and no design and sets no limits.
//
// Units are SI: m, N, N m, rad, Pa. Frame C of a carriage: x along the travel,
// y sideways in the rail plane, z normal to it, away from the rail base;
// right-handed; origin anywhere in the plane of the ball circles, as a rule at
// the centroid of the blocks. Forces are those acting ON the moving part,
// inertia as -m a at the centre of mass. P_z > 0 lifts a block off its rail,
// P_z < 0 presses it on, P_y points to +y.
//
// Numbers that can mean nothing are refused with given.ErrRefused; physical
// impossibilities have errors of their own (ErrFree, ErrNoBasis, ErrWedged).
package guide

import "errors"

var (
	// ErrFree: the blocks leave the carriage a free motion.
	ErrFree = errors.New("carriage is free to move")
	// ErrNoBasis: a dynamic rating without the distance it belongs to.
	ErrNoBasis = errors.New("rating basis is missing")
	// ErrNoRating: a load in a direction for which the part data give no rating.
	ErrNoRating = errors.New("rating is missing")
	// ErrWedged: no drive force, however large, moves the bridge.
	ErrWedged = errors.New("wedged")
	// ErrLiftsOff: a wheel leaves its track.
	ErrLiftsOff = errors.New("wheel lifts off")
)
