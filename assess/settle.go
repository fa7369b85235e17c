package assess

import (
	"errors"
	"math"
	"slices"

	"spanwright/internal/crew"
	"spanwright/motion"
	"spanwright/structure"
)

// settled is how the tool comes to rest after a leg.
type settled struct {
	swings []structure.Swing // when the command of the leg ends
	of     []int             // the leg that set each swing going
	times  [3]float64        // at low, nominal and high damping with the low, nominal and high stiffness; the worst leg only beyond low
	ok     bool
}

// worseThan tells which of two legs decides at the low end of stiffness and
// damping: the one that settles later, and among equals the one that swings more.
func (s settled) worseThan(other settled) bool {
	switch {
	case s.ok != other.ok:
		return other.ok
	case s.times[structure.Low] != other.times[structure.Low]:
		return s.times[structure.Low] > other.times[structure.Low]
	}
	return structure.Together(s.swings) > structure.Together(other.swings)
}

// settleLegs finds the settle time of every leg that has to settle, at the low
// end of stiffness and damping, and of the worst one at the other ends.
func (r *run) settleLegs() error {
	felt := r.felt()
	if len(felt) == 0 {
		return nil
	}
	for i := range r.legs {
		l := &r.legs[i]
		for _, shaper := range r.shapers(l) {
			if shaper != nil {
				l.shaped = math.Max(l.shaped, shaper.Delay())
			}
		}
	}
	swings, err := r.swingsAfter(structure.Low, felt)
	if err != nil {
		return err
	}
	worst := -1
	for i := range r.legs {
		l := &r.legs[i]
		if !l.settles {
			continue
		}
		out := r.settleAt(l, structure.Low, swings)
		if out.ok {
			l.settle = out.times[structure.Low]
		}
		r.study.settle[i] = out
		if worst < 0 || out.worseThan(r.study.settle[worst]) {
			worst = i
		}
	}
	out := r.study.settle[worst]
	counted := r.swinging(&r.legs[worst])
	var all crew.Crew
	var errs [len(out.times)]error
	for _, level := range []structure.Level{structure.Nominal, structure.High} {
		all.Go(func() {
			var swings [][]structure.Swing
			swings, errs[level] = r.swingsAfter(level, counted)
			if errs[level] == nil {
				out.times[level] = r.settleAt(&r.legs[worst], level, swings).times[level]
			}
		})
	}
	all.Wait()
	if err := errors.Join(errs[:]...); err != nil {
		return err
	}
	r.study.settle[worst], r.study.worstLeg = out, worst
	return nil
}

// felt lists the legs whose swings the tool may feel where it has to settle.
func (r *run) felt() (out []int) {
	for i := range r.legs {
		if !r.legs[i].settles {
			continue
		}
		for _, k := range r.swinging(&r.legs[i]) {
			if !slices.Contains(out, k) {
				out = append(out, k)
			}
		}
	}
	slices.Sort(out)
	return out
}

// damping is the ratio that goes with a level of stiffness.
func (r *run) damping(level structure.Level) float64 {
	d := r.m.Design.Assumptions.Damping
	return [3]float64{d.Low, d.Nominal, d.High}[level]
}

// swingsAfter are the swings that the chosen legs set going, by leg.
func (r *run) swingsAfter(level structure.Level, chosen []int) ([][]structure.Swing, error) {
	var arrivals []structure.Arrival
	for _, i := range chosen {
		l := &r.legs[i]
		arrivals = append(arrivals, structure.Arrival{Q: l.to, Loaded: l.loaded, Profiles: l.move.Profiles, Shapers: r.shapers(l)})
	}
	found, err := r.study.levels[level].After(arrivals, r.damping(level))
	if err != nil {
		return nil, err
	}
	out := make([][]structure.Swing, len(r.legs))
	for k, i := range chosen {
		out[i] = found[k]
	}
	return out, nil
}

// swinging are the legs whose swings the tool may still feel at the end of a
// leg: itself, and those before it back to the last one that has settled. A leg
// between does not wait for its swings to die out.
func (r *run) swinging(l *leg) []int {
	out := []int{l.index}
	for back := 1; back < len(r.legs); back++ {
		i := (l.index - back + len(r.legs)) % len(r.legs)
		if r.legs[i].settles {
			break
		}
		out = append(out, i)
	}
	return out
}

// settleAt follows the swings after a leg at one level of stiffness and damping:
// its own, and what is left of those of the legs before it.
func (r *run) settleAt(l *leg, level structure.Level, swings [][]structure.Swing) settled {
	var out settled
	since, zeta := 0.0, r.damping(level) // s from the end of the followed leg's command to the end of this one's
	for k, i := range r.swinging(l) {
		before := &r.legs[i]
		if k > 0 {
			since += before.step.Dwell
		}
		for _, s := range structure.Later(swings[i], since, zeta) {
			out.swings, out.of = append(out.swings, s), append(out.of, i)
		}
		since += before.move.Duration + before.shaped
	}
	if band := r.m.Design.Task.Targets.SettleBand; band != nil {
		out.times[level], out.ok = structure.SettleTime(out.swings, *band, zeta)
	}
	return out
}

// shapers are the input shapers of the axes that move in a leg, tuned to the
// lowest natural frequency at nominal stiffness and damping; the longest delays
// the leg.
func (r *run) shapers(l *leg) []motion.Shaper {
	tuned := motion.Mode{Frequency: r.study.freq[structure.Nominal], Damping: r.m.Design.Assumptions.Damping.Nominal}
	out := make([]motion.Shaper, len(r.m.Axes))
	for i, a := range r.m.Axes {
		if l.to[i] == l.from[i] {
			continue
		}
		switch a.Spec.Shaper {
		case "zv":
			out[i] = motion.ZV(tuned)
		case "zvd":
			out[i] = motion.ZVD(tuned)
		}
	}
	return out
}
