package motion

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
)

// Kind tells the kinds of steps apart.
type Kind uint8

// The kinds of steps. Settling is waiting for a swing to die away; it is
// written once after each move whose end position matters.
const (
	KindMove     Kind = iota + 1 // axes move; lasts as long as the longest of its moves
	KindDwell                    // a process waits: gripper, sensor, machine
	KindSettle                   // the swing after a move dies away
	KindSequence                 // steps one after the other
	KindParallel                 // steps that start together; lasts as long as the longest
)

var kindNames = [...]string{KindMove: "move", KindDwell: "dwell", KindSettle: "settle", KindSequence: "sequence", KindParallel: "parallel"}

// String returns the word for the kind.
func (k Kind) String() string {
	if k == 0 || int(k) >= len(kindNames) {
		return fmt.Sprintf("Kind(%d)", uint8(k))
	}
	return kindNames[k]
}

// MarshalText writes the word.
func (k Kind) MarshalText() ([]byte, error) { return []byte(k.String()), nil }

// AxisMove is the move of one axis in a step. It starts with the step.
type AxisMove struct {
	Axis    string
	Profile Profile
}

// Step is one step of a cycle, or a group of steps.
type Step struct {
	Name     string
	Kind     Kind
	Duration float64    // s, >= 0; of dwell and settle only
	Moves    []AxisMove // of a move only
	Steps    []Step     // of sequence and parallel only
}

// Place is where an axis stands when the cycle begins.
type Place struct {
	Axis     string
	Position float64 // m
}

// Interval is one step without inner steps, placed in time.
type Interval struct {
	Name  string
	Kind  Kind
	Group []string // names of the groups it is in, outermost first
	Start float64  // s
	End   float64  // s

	// Slack is by how much the step may grow before the cycle does, s: the sum
	// over the parallel groups around it of what its branch lacks to the longest.
	Slack float64
}

// Critical tells whether the step is on the critical path: any delay of it
// delays the cycle.
func (i Interval) Critical() bool { return i.Slack <= noSlack }

// noSlack separates a branch that is as long as another but for the roundings
// of a sum from one that is shorter, s; no controller counts nanoseconds.
const noSlack = 1e-9

// Errors of Lay, wrapped with the name of the step.
var (
	ErrStep    = errors.New("not a usable step")
	ErrOverlap = errors.New("an axis is asked to make two moves at once")
)

// Timeline is a cycle laid out in time.
type Timeline struct {
	Duration  float64    // s
	Intervals []Interval // in the order of the steps; a parallel group's branches one after the other

	axes   []string
	curves map[string]Curve
}

// Lay lays out a cycle in time. Sequential steps add up, parallel steps take
// the longest of their group. Axes are listed in the order of places, then of
// their first move; an axis without a place starts at 0.
//
// It returns ErrStep for a step that has no kind, a duration where it may have
// none or none that is a number, and ErrOverlap if an axis would have to make
// two moves at once.
//
// Source: derived (critical path of a series-parallel plan).
func Lay(cycle Step, places ...Place) (Timeline, error) {
	l := layer{trips: map[string][]trip{}, from: map[string]float64{}}
	for _, p := range places {
		if math.IsNaN(p.Position) || math.IsInf(p.Position, 0) {
			return Timeline{}, fmt.Errorf("%w: axis %s starts at %g m", ErrStep, p.Axis, p.Position)
		}
		l.know(p.Axis)
		l.from[p.Axis] = p.Position
	}
	duration, err := cycle.length()
	if err != nil {
		return Timeline{}, err
	}
	if err := l.lay(cycle, 0, 0, nil); err != nil {
		return Timeline{}, err
	}
	t := Timeline{Duration: duration, Intervals: l.intervals, axes: l.axes, curves: map[string]Curve{}}
	for _, axis := range t.axes {
		if t.curves[axis], err = follow(axis, l.trips[axis], l.from[axis], duration); err != nil {
			return Timeline{}, err
		}
	}
	return t, nil
}

// length returns the duration of a step.
func (s Step) length() (float64, error) {
	d := 0.0
	waits, groups := s.Kind == KindDwell || s.Kind == KindSettle, s.Kind == KindSequence || s.Kind == KindParallel
	switch {
	case s.Duration != 0 && !waits:
		return 0, fmt.Errorf("%w: %q has a duration, only a dwell or settle step may", ErrStep, s.Name)
	case len(s.Moves) > 0 && s.Kind != KindMove:
		return 0, fmt.Errorf("%w: %q has moves, only a move step may", ErrStep, s.Name)
	case len(s.Steps) > 0 && !groups:
		return 0, fmt.Errorf("%w: %q has inner steps, only a sequence or parallel group may", ErrStep, s.Name)
	}
	switch s.Kind {
	case KindMove:
		for i := range s.Moves {
			d = math.Max(d, s.Moves[i].Profile.Duration())
		}
	case KindDwell, KindSettle:
		d = s.Duration
	case KindSequence, KindParallel:
		for _, inner := range s.Steps {
			one, err := inner.length()
			if err != nil {
				return 0, err
			}
			if s.Kind == KindSequence {
				d += one
			} else {
				d = math.Max(d, one)
			}
		}
	default:
		return 0, fmt.Errorf("%w: %q has no kind", ErrStep, s.Name)
	}
	if !(d >= 0) || math.IsInf(d, 1) {
		return 0, fmt.Errorf("%w: %q takes %g s", ErrStep, s.Name, d)
	}
	return d, nil
}

// trip is one move of an axis in time.
type trip struct {
	step    string
	start   float64 // s
	profile *Profile
}

// layer collects what the steps put into time.
type layer struct {
	intervals []Interval
	axes      []string
	trips     map[string][]trip
	from      map[string]float64 // where each axis begins, m
}

// know makes an axis known.
func (l *layer) know(axis string) {
	if _, known := l.from[axis]; !known {
		l.axes = append(l.axes, axis)
		l.from[axis] = 0
	}
}

// lay puts a step and what is in it into time.
func (l *layer) lay(s Step, start, slack float64, group []string) error {
	length, err := s.length()
	if err != nil {
		return err
	}
	if s.Kind != KindSequence && s.Kind != KindParallel {
		l.intervals = append(l.intervals,
			Interval{Name: s.Name, Kind: s.Kind, Group: group, Start: start, End: start + length, Slack: slack})
		for i := range s.Moves {
			axis := s.Moves[i].Axis
			l.know(axis)
			l.trips[axis] = append(l.trips[axis], trip{s.Name, start, &s.Moves[i].Profile})
		}
		return nil
	}
	inner := append(group[:len(group):len(group)], s.Name)
	for _, step := range s.Steps {
		own, err := step.length()
		if err != nil {
			return err
		}
		if s.Kind == KindSequence {
			err = l.lay(step, start, slack, inner)
			start += own
		} else {
			err = l.lay(step, start, slack+length-own, inner)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// follow strings the moves of an axis together, with standstill in between.
func follow(axis string, trips []trip, position, duration float64) (Curve, error) {
	slices.SortStableFunc(trips, func(a, b trip) int { return cmp.Compare(a.start, b.start) })
	var c Curve
	for _, t := range trips {
		if t.profile.count == 0 {
			continue
		}
		if t.start < c.End()*(1-sameTime) {
			return nil, fmt.Errorf("%w: axis %s in step %q at %.6g s, while it moves until %.6g s", ErrOverlap, axis, t.step, t.start, c.End())
		}
		c = standing(c, position, t.start)
		start := math.Max(t.start, c.End())
		for _, s := range t.profile.Curve() {
			s.Start += start
			s.Position += position
			c = append(c, s)
		}
		position += t.profile.stroke
	}
	return standing(c, position, duration), nil
}

// standing extends a curve by standstill at a position until a time.
func standing(c Curve, position, until float64) Curve {
	from := c.End()
	if !(until-from > sameTime*until) {
		return c
	}
	return append(c, Segment{Start: from, Duration: until - from, State: State{Position: position}})
}
