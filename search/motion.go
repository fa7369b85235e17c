package search

import (
	"math"

	"spanwright/design"
	"spanwright/motion"
)

// Pace is one way to run the cycle.
type Pace struct {
	Share   float64 `json:"share_of_time"`     // of the time that the task gives, used for moving and waiting; the rest is for settling
	Rise    float64 `json:"rise_s"`            // time in which the acceleration is reached, s: gentle rings less and moves longer
	Upright float64 `json:"upright_share"`     // acceleration of the upright axis over that of the level ones
	Stop    float64 `json:"stop_over_working"` // deceleration of an emergency stop over the working acceleration
}

// axisLimits are the programmed limits of one axis, m/s, m/s², m/s³.
type axisLimits struct {
	speed, accel, jerk float64
}

// limitsAt finds the limits of all axes for a pace. All level axes accelerate alike;
// the speed of each is that at which its longest stroke takes a third each of
// the time to speed up, run and slow down: v = sqrt(a s / 2), which asks least
// of the motor over the move (derived for given stroke and time). The result
// is rounded up to numbers that people set. It tells false where no
// acceleration up to the limit of any part is enough.
func (p *Problem) limitsAt(pace Pace) ([]axisLimits, bool) {
	budget := pace.Share / p.Task.Task.Rate
	low, high := 0.0, mostAccel
	if !(p.moving(p.accelerated(high, pace)) <= budget) {
		return nil, false
	}
	for range 60 { // halvings: far below what rounding keeps
		if mid := (low + high) / 2; p.moving(p.accelerated(mid, pace)) <= budget {
			high = mid
		} else {
			low = mid
		}
	}
	return p.accelerated(high, pace), true
}

// mostAccel is above what any axis of this kind reaches, m/s²; own choice.
const mostAccel = 50.0

// accelerated are the limits that go with a common acceleration, rounded up.
func (p *Problem) accelerated(a float64, pace Pace) []axisLimits {
	out := make([]axisLimits, len(p.axes))
	for i, r := range p.axes {
		l := axisLimits{accel: ceil(a, 0.1)}
		if r.mast {
			l.accel = ceil(a*pace.Upright, 0.1)
		}
		v := math.Sqrt(l.accel * math.Max(r.stroke, 0.01) / 2)
		step := 0.05
		if v < 0.3 {
			step = 0.01
		}
		l.speed = ceil(v, step)
		l.jerk = ceil(l.accel/pace.Rise, 1)
		out[i] = p.pinnedLimits(i, l)
	}
	return out
}

// pinnedLimits takes over what the user has settled.
func (p *Problem) pinnedLimits(i int, l axisLimits) axisLimits {
	if len(p.Task.Axes) == 0 {
		return l
	}
	at, given := "axes."+p.axes[i].id+".limits.", p.Task.Axes[i].Limits
	file := p.Task.File
	if file.Given(at + "speed") {
		l.speed = given.Speed
	}
	if file.Given(at + "acceleration") {
		l.accel = given.Acceleration
	}
	if given.Jerk != nil {
		l.jerk = *given.Jerk
	}
	return l
}

// moving is the time of one cycle without settling, s; infinite if it cannot be planned.
func (p *Problem) moving(limits []axisLimits) float64 {
	return p.follow(limits, func(design.Step, []motion.Leg, motion.Move) {})
}

// follow plans every step of the cycle and returns their time without
// settling, s; infinite if one cannot be planned.
func (p *Problem) follow(limits []axisLimits, see func(design.Step, []motion.Leg, motion.Move)) float64 {
	task := p.Task.Task
	at := map[string]design.Point{}
	for _, point := range task.Points {
		at[point.ID] = point
	}
	sum, n := 0.0, len(task.Cycle)
	for i, s := range task.Cycle {
		before := at[task.Cycle[(i+n-1)%n].To]
		legs := make([]motion.Leg, len(p.axes))
		for k, r := range p.axes {
			legs[k] = motion.Leg{Stroke: at[s.To].At[r.id] - before.At[r.id], Limits: motion.Limits{
				Speed: limits[k].speed * s.Pace, Accel: limits[k].accel * s.Pace * s.Pace, Jerk: limits[k].jerk * s.Pace * s.Pace * s.Pace,
			}}
		}
		move, err := planned(s.Path, legs)
		if err != nil {
			return math.Inf(1)
		}
		see(s, legs, move)
		sum += move.Duration + s.Dwell
	}
	return sum
}

func planned(path string, legs []motion.Leg) (motion.Move, error) {
	switch path {
	case "independent":
		return motion.Independent(legs...)
	case "straight":
		line, err := motion.Straight(legs...)
		return line.Move, err
	}
	return motion.FinishTogether(legs...)
}
