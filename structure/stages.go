package structure

import (
	"strings"
	"sync"

	"spanwright/frame"
	"spanwright/machine"
)

// stages are the ties of each axis at the coordinates that were asked for. The
// ties of a pose are those of its axes, one after the other.
type stages struct {
	mu   sync.Mutex
	axes []map[float64]*stage
}

// stage is one axis at one coordinate.
type stage struct {
	ties []frame.Tie
	mark string
}

// posture is the machine at one pose, as far as the frame model sees it.
type posture struct {
	stages []*stage
	mark   string // the same if and only if the ties are
}

// mostStages is the number of coordinates of an axis that are kept.
const mostStages = 512

func newStages(m *machine.Machine) *stages {
	s := &stages{axes: make([]map[float64]*stage, len(m.Axes))}
	for i := range s.axes {
		s.axes[i] = map[float64]*stage{}
	}
	return s
}

// at returns the ties of a pose.
func (s *Study) at(q []float64) (posture, error) {
	s.stages.mu.Lock()
	defer s.stages.mu.Unlock()
	out := posture{stages: make([]*stage, len(s.m.Axes))}
	var marks strings.Builder
	for i, a := range s.m.Axes {
		known := s.stages.axes[i]
		g, ok := known[q[i]]
		if !ok {
			ties, err := axisTies(s.m, a, q[i])
			if err != nil {
				return out, err
			}
			sum := markOf(ties)
			g = &stage{ties, string(sum[:])}
			if len(known) == mostStages {
				clear(known)
			}
			known[q[i]] = g
		}
		out.stages[i] = g
		marks.WriteString(g.mark)
	}
	out.mark = marks.String()
	return out, nil
}

// ties appends the ties of all axes to list.
func (p posture) ties(list []frame.Tie) []frame.Tie {
	for _, g := range p.stages {
		list = append(list, g.ties...)
	}
	return list
}
