package guide

import (
	"cmp"
	"fmt"

	"spanwright/given"
)

// Vector has components along x, y, z of the carriage's frame C.
type Vector [3]float64

func cross(a, b Vector) Vector {
	return Vector{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

// Load is a force at a point of the moving part: weight, inertia of a mass,
// process, and the drive force at its real point of action (belt clamp, nut,
// pinion), often the source of the largest moment.
type Load struct {
	Force Vector // N
	At    Vector // from the origin of C, m
	Twist Vector // a moment that comes with it, N m; seldom
}

// MassLoad returns weight and inertia of a mass.
//
//	F = m (g - a)
//
// with gravity and acceleration as vectors in C, m/s²; gravity is (0, 0, -9.80665)
// on a level guide with its rails below the load.
func MassLoad(mass float64, at, gravity, acceleration Vector) Load {
	var f Vector
	for i := range f {
		f[i] = mass * (gravity[i] - acceleration[i])
	}
	return Load{Force: f, At: at}
}

// Resultant is the sum of loads at the origin of C.
type Resultant struct {
	Force  Vector // N
	Moment Vector // N m
}

// Sum returns force and moment of all loads at the origin.
//
//	M_x = y F_z - z F_y,  M_y = z F_x - x F_z,  M_z = x F_y - y F_x
//
// With the drive force among them F_x is zero but for guide friction.
//
// Source: derived, statics.
func Sum(loads ...Load) (Resultant, error) {
	var r Resultant
	for i, l := range loads {
		moment := cross(l.At, l.Force)
		for k := range r.Force {
			if err := cmp.Or(given.Finite("force", l.Force[k]), given.Finite("point of action", l.At[k]), given.Finite("moment", l.Twist[k])); err != nil {
				return Resultant{}, fmt.Errorf("load %d: %w", i+1, err)
			}
			r.Force[k] += l.Force[k]
			r.Moment[k] += moment[k] + l.Twist[k]
		}
	}
	return r, nil
}
