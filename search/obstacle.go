package search

import (
	"cmp"
	"math"
	"slices"

	"spanwright/assess"
	"spanwright/parts"
)

// Obstacle is something that stops every axis part offered for an axis, or every
// motion, before any machine is judged.
type Obstacle struct {
	Kind  string        `json:"kind"`           // of the check that it speaks of
	Axis  string        `json:"axis,omitempty"` // none where it concerns the whole cycle
	Parts int           `json:"parts"`          // axis parts that it stops
	Of    int           `json:"of"`             // axis parts that were tried
	Asked assess.Number `json:"asked"`          // what the task asks at least; unknown where it depends on more than the task
	Best  assess.Number `json:"best"`           // what any axis part offers at best
	Unit  string        `json:"unit,omitempty"` // of both
}

// Obstacles says what stands in the way where no candidate comes so far that all its
// axes pass: a cycle that no motion is fast enough for, travel that no axis part
// offers, or the checks that stop every part of one axis. Nothing where some
// candidate was judged: Blocking tells of those.
func (r *Result) Obstacles() (out []Obstacle) {
	if len(r.judged) > 0 {
		return nil
	}
	p := r.Problem
	if least, have := p.leastCycle(r.Space), 1/p.Task.Task.Rate; !(least <= have) {
		out = append(out, Obstacle{Kind: "task.rate", Asked: assess.Number(have), Best: assess.Number(least), Unit: "s"})
	}
	for i := range p.axes {
		if o := p.tooLong(r.Space, i); o != nil {
			out = append(out, *o)
		}
	}
	axis, reasons := r.judge.grove.stuck()
	var counted []Obstacle
	for _, why := range reasons {
		if why == "axis.length" && slices.ContainsFunc(out, func(o Obstacle) bool { return o.Axis == p.axes[axis].id }) {
			continue
		}
		i := slices.IndexFunc(counted, func(o Obstacle) bool { return o.Kind == why })
		if i < 0 {
			o := Obstacle{Kind: why, Axis: p.axes[axis].id, Of: len(reasons)}
			o.Asked, o.Best, o.Unit = r.judge.grove.gentlest(axis, why)
			counted, i = append(counted, o), len(counted)
		}
		counted[i].Parts++
	}
	slices.SortStableFunc(counted, func(x, y Obstacle) int { return cmp.Compare(y.Parts, x.Parts) })
	return append(out, counted...)
}

// tooLong is the travel of an axis where no part offered is long enough for it and
// for its own carriage: ends of travel only add to that.
func (p *Problem) tooLong(s *Space, axis int) *Obstacle {
	longest, n := 0.0, 0
	for _, id := range s.Axes[axis].Parts {
		if part, ok := p.Catalogue.Axis(id); ok {
			longest, n = math.Max(longest, part.MaxLength-part.Along), n+1
		}
	}
	if r := p.axes[axis]; r.travel > longest {
		return &Obstacle{Kind: "axis.length", Axis: r.id, Parts: n, Of: n, Asked: assess.Number(r.travel), Best: assess.Number(longest), Unit: "m"}
	}
	return nil
}

// leastCycle is the time of a cycle without settling, s, at the highest speed and
// acceleration of any axis part offered and with the shortest rise of any pace:
// no candidate is faster. Limits that the user has settled stay.
func (p *Problem) leastCycle(s *Space) float64 {
	rise := math.Inf(1)
	for _, pace := range s.Paces {
		rise = math.Min(rise, pace.Rise)
	}
	limits := make([]axisLimits, len(p.axes))
	for i := range p.axes {
		l := &limits[i]
		for _, id := range s.Axes[i].Parts {
			if part, ok := p.Catalogue.Axis(id); ok {
				l.speed, l.accel = math.Max(l.speed, part.VMax), math.Max(l.accel, part.AMax)
			}
		}
		l.jerk = ceil(l.accel/rise, 1)
		*l = p.pinnedLimits(i, *l)
	}
	return p.moving(limits)
}

// stuck is the axis that no chain gets beyond, the nearest to the tool, and for every
// part of it that was tried the reason that discarded most of its combinations.
// There is none where no motion is fast enough, or where some chain has all axes.
func (g *grove) stuck() (axis int, reasons []string) {
	tallies := make([]map[int]*tally, len(g.p.axes))
	beyond := make([]bool, len(g.p.axes))
	for _, t := range g.trees {
		if t.root != nil {
			t.root.stuck(tallies, beyond)
		}
	}
	for axis = len(g.p.axes) - 1; axis >= 0; axis-- {
		if beyond[axis] {
			continue
		}
		for part := range g.s.Axes[axis].Parts {
			if t := tallies[axis][part]; t != nil && len(t.list) > 0 {
				reasons = append(reasons, slices.MaxFunc(t.list, func(x, y Discarded) int { return x.Count.Cmp(y.Count) }).Reason)
			}
		}
		return axis, reasons
	}
	return 0, nil
}

// stuck collects, for each axis, what its parts were discarded for, and whether any
// part led on.
func (b *branch) stuck(tallies []map[int]*tally, beyond []bool) {
	for part := range b.limbs {
		l := &b.limbs[part]
		if !l.grown {
			continue
		}
		if tallies[b.next] == nil {
			tallies[b.next] = map[int]*tally{}
		}
		if tallies[b.next][part] == nil {
			tallies[b.next][part] = &tally{}
		}
		tallies[b.next][part].join(l.why)
		for _, to := range l.out {
			beyond[b.next] = true
			to.stuck(tallies, beyond)
		}
	}
}

// gentlest is what the gentlest pace asks of the speed or acceleration of an axis,
// and the best that any part offers, where that is less; no numbers otherwise.
func (g *grove) gentlest(axis int, kind string) (asked, best assess.Number, unit string) {
	least, most := math.Inf(1), 0.0
	var of func(l axisLimits, part *parts.Axis) (asked, offered float64)
	switch kind {
	case "axis.speed":
		unit, of = "m/s", func(l axisLimits, part *parts.Axis) (float64, float64) { return l.speed, part.VMax }
	case "axis.acceleration":
		unit, of = "m/s2", func(l axisLimits, part *parts.Axis) (float64, float64) { return l.accel, part.AMax }
	default:
		return assess.Number(math.NaN()), assess.Number(math.NaN()), ""
	}
	for _, t := range g.trees {
		if t.root == nil {
			continue
		}
		for _, id := range g.s.Axes[axis].Parts {
			if part, ok := g.p.Catalogue.Axis(id); ok {
				a, b := of(t.root.tail.limits[axis], part)
				least, most = math.Min(least, a), math.Max(most, b)
			}
		}
	}
	if !(least > most) { // the fast ones are stopped by something else
		return assess.Number(math.NaN()), assess.Number(math.NaN()), ""
	}
	return assess.Number(least), assess.Number(most), unit
}
