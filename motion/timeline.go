package motion

import (
	"cmp"
	"math"
	"slices"
)

// Axes lists the axes in the order in which they became known.
func (t Timeline) Axes() []string { return slices.Clone(t.axes) }

// Curve returns the motion of an axis over the whole cycle, from time 0 to
// Duration, standstill included; the caller must not change it. An axis that is
// not in the cycle has none.
func (t Timeline) Curve(axis string) Curve { return t.curves[axis] }

// At returns the state of an axis at time t, in s.
func (t Timeline) At(axis string, time float64) State { return t.curves[axis].At(time) }

// Drift returns how far an axis ends from where it began, m. A cycle can only
// be repeated if no axis drifts by more than the roundings of its strokes.
func (t Timeline) Drift(axis string) float64 {
	c := t.curves[axis]
	if len(c) == 0 {
		return 0
	}
	return c.Last().Position - c[0].Position
}

// PerHour returns the rate of the repeated cycle, 1/h; +Inf for a cycle without
// duration.
func (t Timeline) PerHour() float64 { return 3600 / t.Duration }

// CriticalPath returns the steps without slack, in the order of time.
func (t Timeline) CriticalPath() []Interval {
	var path []Interval
	for _, i := range t.Intervals {
		if i.Critical() && i.End > i.Start {
			path = append(path, i)
		}
	}
	slices.SortStableFunc(path, func(a, b Interval) int { return cmp.Compare(a.Start, b.Start) })
	return path
}

// Corners returns every time at which the law of any axis changes, in s,
// ascending.
func (t Timeline) Corners() []float64 {
	var times []float64
	for _, axis := range t.axes {
		times = append(times, t.curves[axis].Corners()...)
	}
	return distinct(times)
}

// Phase is a stretch of a cycle in which no axis changes its law.
type Phase struct {
	Start float64 // s
	End   float64 // s
}

// Middle returns the time in the middle of the phase, s. Accelerations there
// belong to the phase alone, also where they jump at its ends.
func (p Phase) Middle() float64 { return p.Start + (p.End-p.Start)/2 }

// Phases returns the stretches between corners.
func (t Timeline) Phases() []Phase {
	corners := t.Corners()
	var phases []Phase
	for i := 1; i < len(corners); i++ {
		phases = append(phases, Phase{corners[i-1], corners[i]})
	}
	return phases
}

// Range returns the least and greatest position of an axis over the cycle, m.
// Between rest points a profile only runs one way, so its segment ends suffice.
func (t Timeline) Range(axis string) (least, greatest float64) {
	c := t.curves[axis]
	if len(c) == 0 {
		return 0, 0
	}
	least, greatest = c[0].Position, c[0].Position
	for _, s := range c {
		end := s.Last().Position
		least, greatest = math.Min(least, end), math.Max(greatest, end)
	}
	return least, greatest
}
