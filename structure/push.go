package structure

import (
	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/frame"
)

// PushSplit says who contributes how much to the tool point's yielding to 1 N
// along a unit vector at a pose, loaded: exact shares of virtual work, m/N.
func (s *Study) PushSplit(q []float64, along r3.Vec) ([]Share, error) {
	push := frame.Case{ID: "push", Forces: []frame.Force{{At: s.toolPoint(), Force: array(along)}}}
	return s.splitOf(q, push, along)
}
