package assess

import (
	"fmt"

	"spanwright/design"
	"spanwright/machine"
	"spanwright/motion"
)

// leg is one step of the cycle, planned.
type leg struct {
	step     *design.Step
	index    int
	from, to []float64 // coordinates of all axes
	move     motion.Move
	settles  bool
	loaded   bool    // on the way
	settle   float64 // s, from the structure; 0 until known
	shaped   float64 // s that an input shaper adds to the move
}

// legs plans every step of the cycle; the first starts where the last ends.
func legs(m *machine.Machine) ([]leg, error) {
	task := m.Design.Task
	at := map[string][]float64{}
	for _, p := range task.Points {
		at[p.ID] = coordinates(m, p)
	}
	n := len(task.Cycle)
	out := make([]leg, n)
	for i := range task.Cycle {
		step := &task.Cycle[i]
		before := &task.Cycle[(i+n-1)%n]
		l := leg{step: step, index: i, from: at[before.To], to: at[step.To], loaded: step.Loaded}
		l.settles = step.Dwell > 0
		if step.Settle != nil {
			l.settles = *step.Settle
		}
		var err error
		if l.move, err = plan(m, l); err != nil {
			return nil, fmt.Errorf("task.cycle.%d: %w", i, err)
		}
		out[i] = l
	}
	return out, nil
}

// share is the part of the payload that is carried on the way.
func (l leg) share() float64 {
	if !l.loaded {
		return 0
	}
	return l.step.Load
}

func coordinates(m *machine.Machine, p design.Point) []float64 {
	q := make([]float64, len(m.Axes))
	for i, a := range m.Axes {
		q[i] = p.At[a.Spec.ID]
	}
	return q
}

// plan plans the move of one step.
func plan(m *machine.Machine, l leg) (motion.Move, error) {
	var parts []motion.Leg
	for i, a := range m.Axes {
		parts = append(parts, motion.Leg{Stroke: l.to[i] - l.from[i], Limits: limits(a.Spec.Limits, l.step.Pace)})
	}
	switch l.step.Path {
	case "independent":
		return motion.Independent(parts...)
	case "straight":
		line, err := motion.Straight(parts...)
		return line.Move, err
	}
	return motion.FinishTogether(parts...)
}

// limits are the axis limits at a pace: a move stretched in time by 1/pace.
func limits(l design.Limits, pace float64) motion.Limits {
	out := motion.Limits{Speed: l.Speed * pace, Accel: l.Acceleration * pace * pace}
	if l.Deceleration != nil {
		out.Decel = *l.Deceleration * pace * pace
	}
	if l.Jerk != nil {
		out.Jerk = *l.Jerk * pace * pace * pace
	}
	return out
}

// timeline lays the legs out in time, each with its settling and dwell.
func timeline(m *machine.Machine, legs []leg) (motion.Timeline, error) {
	cycle := motion.Step{Name: "cycle", Kind: motion.KindSequence}
	for _, l := range legs {
		move := motion.Step{Name: name(l, "move"), Kind: motion.KindMove}
		for i, a := range m.Axes {
			if l.to[i] != l.from[i] {
				move.Moves = append(move.Moves, motion.AxisMove{Axis: a.Spec.ID, Profile: l.move.Profiles[i]})
			}
		}
		cycle.Steps = append(cycle.Steps, move)
		if l.shaped > 0 {
			cycle.Steps = append(cycle.Steps, motion.Step{Name: name(l, "shaper delay"), Kind: motion.KindSettle, Duration: l.shaped})
		}
		if l.settles && l.settle > 0 {
			cycle.Steps = append(cycle.Steps, motion.Step{Name: name(l, "settle"), Kind: motion.KindSettle, Duration: l.settle})
		}
		if l.step.Dwell > 0 {
			cycle.Steps = append(cycle.Steps, motion.Step{Name: name(l, "dwell"), Kind: motion.KindDwell, Duration: l.step.Dwell})
		}
	}
	var places []motion.Place
	for i, a := range m.Axes {
		places = append(places, motion.Place{Axis: a.Spec.ID, Position: legs[0].from[i]})
	}
	return motion.Lay(cycle, places...)
}

func name(l leg, what string) string { return fmt.Sprintf("%d %s %s", l.index+1, l.step.To, what) }
