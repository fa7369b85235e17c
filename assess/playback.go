package assess

import (
	"fmt"

	"spanwright/motion"
	"spanwright/structure"
)

// PlayedLeg is one step of the cycle as it was planned.
type PlayedLeg struct {
	Name     string  // "2 above_feed", counted from 1
	From, To string  // points of the task
	Start    float64 // s, of the move
	End      float64 // s, of the move's command
	Until    float64 // s, when the next step begins
	Loaded   bool
	Settles  bool
	Settle   float64 // s after the command, 0 where it need not
}

// Legs are the steps of the cycle in their order.
func (a *Assessment) Legs() []PlayedLeg {
	r := a.run
	var out []PlayedLeg
	for i := range r.legs {
		l := &r.legs[i]
		p := PlayedLeg{
			Name: fmt.Sprintf("%d %s", i+1, l.step.To), From: r.legs[(i+len(r.legs)-1)%len(r.legs)].step.To, To: l.step.To,
			Loaded: l.loaded, Settles: l.settles, Settle: l.settle,
		}
		for _, span := range r.timeline.Intervals {
			switch span.Name {
			case name(*l, "move"):
				p.Start, p.End, p.Until = span.Start, span.End, span.End
			case name(*l, "shaper delay"):
				p.End, p.Until = span.End, span.End
			case name(*l, "settle"), name(*l, "dwell"):
				p.Until = span.End
			}
		}
		out = append(out, p)
	}
	return out
}

// Samples are times of the cycle at which all that moves can be drawn without
// losing a corner: both sides of every change of a law, and between them at
// most step apart, s.
func (a *Assessment) Samples(step float64) []float64 {
	var out []float64
	for _, p := range a.run.phases {
		from, to := p.Start+inside, p.End-inside
		n := max(1, int((to-from)/step+1))
		for i := range n + 1 {
			out = append(out, from+(to-from)*float64(i)/float64(n))
		}
	}
	return out
}

// DriveForces are the drive forces of an axis at some times of the cycle, N
// along +x: what the drive checks go by.
func (a *Assessment) DriveForces(axis int, times []float64) []float64 {
	r := a.run
	lumps := r.m.Lumps()
	out := make([]float64, len(times))
	at := 0
	for i, t := range times {
		for at < len(r.timeline.Intervals)-1 && t > r.timeline.Intervals[at].End {
			at++
		}
		share := r.loadIn(r.timeline.Intervals[at])
		out[i] = r.drive(&r.axes[axis], r.at(t, share > 0), r.withPayload(lumps, share)).force
	}
	return out
}

// State is where an axis is and how it moves at a time of the cycle.
func (a *Assessment) State(axis int, t float64) motion.State {
	return a.Timeline.At(a.Machine.Axes[axis].Spec.ID, t)
}

// Settling is how the tool comes to rest after a leg, at the low end of
// stiffness and damping.
type Settling struct {
	Leg     int
	Swings  []structure.Swing // when the command of the leg ends, those of legs before it too
	Damping float64
	Band    float64 // m; 0 if the task gives none
	Time    float64 // s, until they stay within the band
	OK      bool    // they do
}

// Settling lists the legs that have to settle.
func (a *Assessment) Settling() []Settling {
	r := a.run
	out := []Settling{}
	for i := range r.legs {
		s, has := r.study.settle[i]
		if !has {
			continue
		}
		one := Settling{Leg: i, Swings: s.swings, Damping: r.damping(structure.Low), Time: s.times[structure.Low], OK: s.ok}
		if b := r.m.Design.Task.Targets.SettleBand; b != nil {
			one.Band = *b
		}
		out = append(out, one)
	}
	return out
}
