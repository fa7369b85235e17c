package view

import (
	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/wording"
)

// value is an SI value in words.
func value(v float64, unit string) string { return wording.Value(v, unit) }

// three are the components of a movement in one unit, m.
func three(v r3.Vec) [3]string { return [3]string(wording.Values("m", v.X, v.Y, v.Z)) }
