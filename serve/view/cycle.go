package view

import (
	"math"
	"strconv"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/assess"
	"spanwright/structure"
)

// Curve is a list of numbers over time, written with seven digits.
type Curve []float64

// MarshalJSON writes numbers, null where they are not finite.
func (c Curve) MarshalJSON() ([]byte, error) {
	out := append(make([]byte, 0, 12*len(c)+2), '[')
	for i, v := range c {
		if i > 0 {
			out = append(out, ',')
		}
		switch {
		case math.IsNaN(v) || math.IsInf(v, 0):
			out = append(out, "null"...)
		default:
			out = strconv.AppendFloat(out, v+0, 'g', 7, 64)
		}
	}
	return append(out, ']'), nil
}

// Cycle is the cycle as it was planned, for playback: times with all corners,
// and what every axis does at them.
type Cycle struct {
	Version  int         `json:"version"`
	Duration Number      `json:"duration"`
	Target   *Number     `json:"target_s,omitempty"`
	Text     string      `json:"text"`
	Legs     []Leg       `json:"legs"`
	T        Curve       `json:"t"`
	Axes     []CycleAxis `json:"axes"`
	Tool     []Curve     `json:"tool"` // x, y, z of the tool point, undeformed, at each time
	Settle   []Settle    `json:"settle"`
}

// Leg is one step.
type Leg struct {
	Name    string `json:"name"`
	From    string `json:"from"`
	To      string `json:"to"`
	Start   Number `json:"start"` // of the move, s
	End     Number `json:"end"`   // of its command, s
	Until   Number `json:"until"` // settled, and the dwell is over, s
	Loaded  bool   `json:"loaded"`
	Settle  Number `json:"settle_s"`
	Settles bool   `json:"settles"` // it has to settle
	Path    string `json:"path"`
}

// CycleAxis is what one axis does.
type CycleAxis struct {
	ID     string      `json:"id"`
	Unit   string      `json:"unit"`
	Q      Curve       `json:"q"`     // m
	V      Curve       `json:"v"`     // m/s
	A      Curve       `json:"a"`     // m/s²
	Force  Curve       `json:"force"` // of the drive, N along +q
	Limits CycleLimits `json:"limits"`
	Peak   Number      `json:"force_peak"` // largest magnitude, N
	RMS    Number      `json:"force_rms"`  // N
}

// CycleLimits are the programmed limits. The force has none of its own: what it
// may be is judged part by part in the ledger.
type CycleLimits struct {
	V     Number  `json:"v"`
	A     Number  `json:"a"`
	Force *Number `json:"force"`
}

// Settle is how the tool comes to rest after a step, at the low end of stiffness
// and damping: the sum of the envelopes of all swings, which is judged, and one
// of the movements that lie within it.
type Settle struct {
	Leg      int     `json:"leg"`
	Name     string  `json:"name"`
	T        Curve   `json:"t"` // s after the end of the command
	Envelope Curve   `json:"envelope"`
	Swing    Curve   `json:"swing"`     // along the direction of the largest swing
	Along    Vec     `json:"along"`     // that direction
	Band     *Number `json:"band"`      // m
	Time     Number  `json:"time"`      // s until it stays within the band; null if it never does
	OK       bool    `json:"ok"`        // it does
	Text     string  `json:"time_text"` // the time in words
}

// samples is how many times of a cycle are drawn, besides its corners.
const samples = 500

// OfCycle lists the cycle.
func OfCycle(a *assess.Assessment) *Cycle {
	d := a.Timeline.Duration
	out := &Cycle{Duration: Number(d), Text: value(d, "s"), Legs: []Leg{}, T: a.Samples(d / samples), Axes: []CycleAxis{}, Settle: []Settle{}}
	for i := range a.Checks {
		if c := &a.Checks[i]; c.Kind == "task.rate" {
			limit := Number(c.Limit)
			out.Target = &limit
		}
	}
	legs := a.Legs()
	for i, l := range legs {
		out.Legs = append(out.Legs, Leg{
			Name: l.Name, From: l.From, To: l.To, Start: Number(l.Start), End: Number(l.End), Until: Number(l.Until),
			Loaded: l.Loaded, Settle: Number(l.Settle), Settles: l.Settles, Path: item("task.cycle", i),
		})
	}
	q := make([][]float64, len(out.T))
	for k, x := range a.Machine.Axes {
		o := CycleAxis{
			ID: x.Spec.ID, Unit: "m", Force: a.DriveForces(k, out.T),
			Limits: CycleLimits{V: Number(x.Spec.Limits.Speed), A: Number(x.Spec.Limits.Acceleration)},
		}
		if r := a.Results.Axes[x.Spec.ID]; r != nil {
			o.Peak, o.RMS = r.PeakThrust, r.RMSThrust
		}
		for i, t := range out.T {
			s := a.State(k, t)
			o.Q, o.V, o.A = append(o.Q, s.Position), append(o.V, s.Speed), append(o.A, s.Accel)
			q[i] = append(q[i], s.Position)
		}
		out.Axes = append(out.Axes, o)
	}
	for _, pose := range q {
		at := a.Machine.ToolPoint(pose)
		out.Tool = append(out.Tool, Curve{at.X, at.Y, at.Z})
	}
	for _, s := range a.Settling() {
		out.Settle = append(out.Settle, settle(s, legs[s.Leg].Name))
	}
	return out
}

// How the swings after a step are drawn: own choice.
const (
	settlePoints  = 600
	settlePeriods = 6 // of the slowest swing, at least
	settleMore    = 1.3
)

func settle(s assess.Settling, name string) Settle {
	out := Settle{Leg: s.Leg, Name: name, OK: s.OK, Time: Number(s.Time), Text: value(s.Time, "s"), T: Curve{}, Envelope: Curve{}, Swing: Curve{}}
	switch nan := Number(math.NaN()); {
	case !(s.Band > 0):
		out.Time, out.Text = nan, "no settle band is given"
	case !s.OK:
		out.Time, out.Text = nan, "never"
	}
	if s.Band > 0 {
		band := Number(s.Band)
		out.Band = &band
	}
	if len(s.Swings) == 0 {
		return out
	}
	slowest, largest := s.Swings[0], s.Swings[0]
	for _, w := range s.Swings {
		if w.Hz < slowest.Hz {
			slowest = w
		}
		if w.Amplitude > largest.Amplitude {
			largest = w
		}
	}
	out.Along = vec(largest.Direction)
	span := max(settleMore*s.Time, settlePeriods/slowest.Hz)
	for i := range settlePoints {
		t := span * float64(i) / (settlePoints - 1)
		out.T = append(out.T, t)
		out.Envelope = append(out.Envelope, structure.Together(structure.Later(s.Swings, t, s.Damping)))
		out.Swing = append(out.Swing, r3.Dot(structure.Ringing(s.Swings, t, s.Damping), largest.Direction))
	}
	return out
}
