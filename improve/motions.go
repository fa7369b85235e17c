package improve

import (
	"fmt"
	"math"
	"strings"

	"spanwright/ledger"
	"spanwright/machine"
	"spanwright/motion"
	"spanwright/quantity"
	"spanwright/structure"
)

// slower proposes a lower programmed speed: the value goes with it.
func slower(s *situation, c ledger.Check) []proposal {
	a := s.axis(c)
	if a == nil {
		return nil
	}
	return []proposal{s.atSpeed(a, c, s.goal()/c.Utilisation, 1)}
}

// atSpeed lowers the speed by a factor; the utilisation goes with its power.
func (s *situation) atSpeed(a *machine.Axis, c ledger.Check, factor, power float64) proposal {
	v := downTwo(a.Spec.Limits.Speed * factor)
	return proposal{
		Title: fmt.Sprintf("speed of axis %s at %s instead of %s", a.Spec.ID, speed(v), speed(a.Spec.Limits.Speed)), Why: "costs nothing but time; see the cycle time",
		Edits: []Edit{{Path: axisPath(a, "limits.speed"), Value: speed(v)}}, Estimate: c.Utilisation * math.Pow(v/a.Spec.Limits.Speed, power),
		By: fmt.Sprintf("goes with v^%g", power), cost: free, spoils: s.tooSlow(a, v),
	}
}

// tooSlow tells roughly whether the cycle would take too long with a lower
// speed: half the time that the axis needs more for its way, since axes move
// together.
func (s *situation) tooSlow(a *machine.Axis, v float64) bool {
	rate := s.checks["task.rate"]
	way := float64(s.found.Results.Axes[a.Spec.ID].Travelled)
	more := way * (1/v - 1/a.Spec.Limits.Speed) / 2
	return input(rate, "t_m")+input(rate, "t_d")+more > rate.Limit
}

// free ranks a change that costs time instead of money behind those of small parts.
const free = 100

// gentler proposes a lower acceleration for what inertia loads.
func gentler(s *situation, c ledger.Check) []proposal {
	a := s.axis(c)
	if a == nil {
		return nil
	}
	l := a.Spec.Limits
	still := 0.0 // what loads at rest
	if a.Gravity() {
		still = quantity.StandardGravity
	}
	to := downTwo(math.Max(0.3*l.Acceleration, (l.Acceleration+still)*s.goal()/c.Utilisation-still))
	if !(to < l.Acceleration) {
		return nil
	}
	return []proposal{{
		Title: fmt.Sprintf("acceleration of axis %s at %s instead of %s", a.Spec.ID, acceleration(to), acceleration(l.Acceleration)), Why: "less force for inertia; see the cycle time",
		Edits: []Edit{{Path: axisPath(a, "limits.acceleration"), Value: acceleration(to)}}, Estimate: c.Utilisation * (to + still) / (l.Acceleration + still), By: "rough: goes with a, and with a + g on a vertical axis", cost: free,
	}}
}

// softer lowers whichever acceleration is above what the part allows.
func softer(s *situation, c ledger.Check) []proposal {
	a := s.axis(c)
	if a == nil {
		return nil
	}
	l := a.Spec.Limits
	to := downTwo(c.Limit * s.goal())
	var edits []Edit
	lower := func(key string, x float64) {
		if x > to {
			edits = append(edits, Edit{Path: axisPath(a, "limits."+key), Value: acceleration(to)})
		}
	}
	lower("acceleration", l.Acceleration)
	lower("deceleration", valueOf(l.Deceleration, 0))
	lower("stop_deceleration", valueOf(l.Stop, 0))
	return []proposal{{
		Title: fmt.Sprintf("accelerations of axis %s at most %s", a.Spec.ID, acceleration(to)), Why: "within what the part allows",
		Edits: edits, Estimate: to / c.Limit, By: "value over limit", cost: free,
	}}
}

// faster proposes higher limits where the cycle takes too long. The move time
// goes at most with 1/sqrt(a), 1/v and the cube root of 1/j.
func faster(s *situation, c ledger.Check) []proposal {
	moves := input(c, "t_m")
	var out []proposal
	for _, a := range s.m.Axes {
		l := a.Spec.Limits
		share := 1 / float64(len(s.m.Axes)) // of the moves that this axis decides: nothing better is known
		set := func(key, value, what string, gain float64) {
			out = append(out, proposal{
				Title: fmt.Sprintf("%s of axis %s at %s", what, a.Spec.ID, value), Why: "shorter moves",
				Edits: []Edit{{Path: axisPath(a, "limits."+key), Value: value}}, Estimate: c.Utilisation * (1 - share*moves/c.Value*gain), By: "t ~ a^-1/2, v^-1, j^-1/3 of its share of the moves",
			})
		}
		const more = 1.3
		if v := upTwo(l.Speed * more); v <= a.Part.VMax {
			set("speed", speed(v), "speed", (1-1/more)/2)
		}
		if acc := upTwo(l.Acceleration * more); acc <= a.Part.AMax {
			set("acceleration", acceleration(acc), "acceleration", (1-1/math.Sqrt(more))/2)
		}
		if l.Jerk != nil {
			set("jerk", jerk(upTwo(2**l.Jerk)), "jerk", (1-1/math.Cbrt(2))/2)
		}
	}
	return out
}

// sooner proposes for a slow cycle what lets the tool settle sooner, if it waits
// for that.
func sooner(s *situation, c ledger.Check) []proposal {
	waits := input(c, "t_s") / c.Value
	if !(waits > 0.05) { // own choice: less is not worth it
		return nil
	}
	settle := ledger.Check{ID: "tool.settle", Kind: "tool.settle", Utilisation: s.settled(unchanged)}
	var out []proposal
	for _, p := range calmer(s, settle) {
		p.Estimate, p.By = c.Utilisation*(1-waits*(1-p.Estimate/settle.Utilisation)), p.By+"; of the time that is waited"
		out = append(out, p)
	}
	for _, p := range moreBraces(s, settle) {
		p.By = foreseenBy(c.Kind) + "; of the time that is waited"
		out = append(out, p)
	}
	return out
}

func unchanged(structure.Swing, []motion.Profile) (amplitude, hz float64) { return 1, 1 }

// calmer proposes what leaves less swing behind: a jerk time of one period of the
// lowest mode, an input shaper, a slower ramp. A ramp of one period leaves no
// swing of an undamped mode (Chopra, Dynamics of Structures, rise-time input).
func calmer(s *situation, c ledger.Check) []proposal {
	f := float64(s.found.Results.Tool.FirstFreq)
	var out []proposal
	for _, a := range s.m.Axes {
		if a.Gravity() || !(f > 0) {
			continue
		}
		l := a.Spec.Limits
		if j := downTwo(l.Acceleration * f); l.Jerk == nil || j < *l.Jerk {
			out = append(out, proposal{
				Title: fmt.Sprintf("jerk of axis %s at %s: a ramp of one period of %.3g Hz", a.Spec.ID, jerk(j), f), Why: "a ramp as long as the period leaves the mode at rest",
				Edits: []Edit{{Path: axisPath(a, "limits.jerk"), Value: jerk(j)}}, Estimate: s.settled(ramped(a, l.Acceleration, j)), By: rampRule, cost: free,
			})
		}
		if a.Spec.Shaper == "none" {
			for _, kind := range []string{"zv", "zvd"} {
				out = append(out, proposal{
					Title: fmt.Sprintf("input shaper %s on axis %s", kind, a.Spec.ID), Why: "two or three part moves whose swings cancel; costs half a period each",
					Edits: []Edit{{Path: axisPath(a, "shaper"), Value: kind}}, Estimate: s.settled(s.shaped(a, kind)), By: "rough: what the shaper leaves of each swing, of this axis alone", cost: free,
				})
			}
		}
		slow := downTwo(l.Acceleration * 0.7)
		out = append(out, proposal{
			Title: fmt.Sprintf("acceleration of axis %s at %s instead of %s", a.Spec.ID, acceleration(slow), acceleration(l.Acceleration)), Why: "the swing goes with the acceleration",
			Edits: []Edit{{Path: axisPath(a, "limits.acceleration"), Value: acceleration(slow)}}, Estimate: s.settled(ramped(a, slow, valueOf(l.Jerk, 0))), By: rampRule, cost: free,
		})
	}
	return out
}

const rampRule = "rough: what the ramps leave of each swing, of this axis alone"

// ramped is how each swing changes with the ramps of an axis (jerk 0: none),
// where it moves and decides the swing.
func ramped(a *machine.Axis, accel, jerk float64) func(structure.Swing, []motion.Profile) (amplitude, hz float64) {
	return func(x structure.Swing, profiles []motion.Profile) (float64, float64) {
		p := &profiles[a.Index]
		if !(p.Duration() > 0) {
			return 1, 1
		}
		mode := motion.Mode{Frequency: x.Hz}
		now, err := motion.Plan(math.Abs(p.Stroke()), motion.Limits{Speed: p.PeakSpeed(), Accel: accel, Jerk: jerk})
		before := mode.Envelope(p)
		if err != nil || !(before > 0) {
			return 1, 1
		}
		if now.Duration() < p.Duration() { // another axis decides how long the move takes
			now = now.Stretched(p.Duration())
		}
		return mode.Envelope(&now) / before, 1
	}
}

// shaped is how each swing changes with an input shaper on an axis.
func (s *situation) shaped(a *machine.Axis, kind string) func(structure.Swing, []motion.Profile) (amplitude, hz float64) {
	shaper := motion.ZV(s.found.Tuned())
	if kind == "zvd" {
		shaper = motion.ZVD(s.found.Tuned())
	}
	zeta := s.design.Assumptions.Damping.Low
	return func(x structure.Swing, profiles []motion.Profile) (float64, float64) {
		if !(profiles[a.Index].Duration() > 0) {
			return 1, 1
		}
		return shaper.Residual(motion.Mode{Frequency: x.Hz, Damping: zeta}), 1
	}
}

// slowerShake lowers the acceleration that tips or slides the stand most.
func slowerShake(s *situation, c ledger.Check) []proposal {
	d, known := s.found.Decisive(c.ID)
	if !known || d.Axis < 0 {
		return nil
	}
	a := s.m.Axes[d.Axis]
	l := a.Spec.Limits
	key, what, now := "acceleration", "acceleration", l.Acceleration
	if strings.HasSuffix(c.Kind, ".stop") {
		key, what, now = "stop_deceleration", "stop deceleration", valueOf(l.Stop, 1.5*l.Acceleration)
	}
	to := downTwo(now * s.goal() / c.Utilisation)
	return []proposal{{
		Title: fmt.Sprintf("%s of axis %s at %s instead of %s", what, a.Spec.ID, acceleration(to), acceleration(now)),
		Why:   "the horizontal force goes with it; see cycle time and stopping distance",
		Edits: []Edit{{Path: axisPath(a, "limits."+key), Value: acceleration(to)}}, Estimate: c.Utilisation * to / now, By: "goes with a", cost: free,
	}}
}
