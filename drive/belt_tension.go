package drive

import (
	"cmp"
	"fmt"
	"math"

	"spanwright/given"
)

// SlackReserve is the least tension of the slack run as a part of the largest
// effective force.
//
// Source: common practice, no source.
const SlackReserve = 0.05

// Tension is a belt under pre-tension and drive force, with its two runs
// between carriage and drive pulley.
type Tension struct {
	Pretension float64 // in both runs at rest, N
	Effective  float64 // force the belt transmits to the carriage, N, >= 0
	TightRun   float64 // length of the run that pulls, m
	SlackRun   float64 // length of the other run, m
}

// RunForces are the forces in both runs, N.
type RunForces struct {
	Tight, Slack float64
	// Linear is what the slack run would carry if a belt could push; negative
	// once it is slack.
	Linear float64
}

// Forces returns the run forces. The total belt length is fixed, so the two
// runs share the drive force as springs do:
//
//	F_tight = F_v + F_u L_s/(L_t + L_s),  F_slack = F_v - F_u L_t/(L_t + L_s)
//
// If the slack run loses its tension it returns ErrSlack together with the
// forces that remain: the tight run carries F_u alone with k = c/L_t, and the
// belt may jump teeth.
//
// Source: derived, compatibility of lengths.
func (t Tension) Forces() (RunForces, error) {
	r, err := t.uncut()
	if err != nil {
		return RunForces{}, err
	}
	if !(r.Linear > 0) {
		r.Slack = 0
		r.Tight = t.Effective
		return r, fmt.Errorf("%w: pre-tension %.4g N, drive force %.4g N, slack run %.4g N", ErrSlack, t.Pretension, t.Effective, r.Linear)
	}
	return r, nil
}

// uncut returns the run forces of a belt that could push.
func (t Tension) uncut() (RunForces, error) {
	total := t.TightRun + t.SlackRun
	if err := cmp.Or(
		given.NotNegative("belt pre-tension", t.Pretension),
		given.NotNegative("effective belt force", t.Effective),
		given.NotNegative("tight run length", t.TightRun),
		given.NotNegative("slack run length", t.SlackRun),
		given.Positive("belt length of both runs", total),
	); err != nil {
		return RunForces{}, err
	}
	slack := t.Pretension - t.Effective*t.TightRun/total
	return RunForces{Tight: t.Pretension + t.Effective*t.SlackRun/total, Slack: slack, Linear: slack}, nil
}

// TensionAt returns the belt's runs under a drive force on the carriage, N
// along +x: a force toward +x is pulled by the far run, one toward x = 0 by the
// near run.
func (b Belt) TensionAt(x, pretension, force float64) (Tension, error) {
	r, err := b.Runs(x)
	if err != nil {
		return Tension{}, err
	}
	t := Tension{Pretension: pretension, Effective: math.Abs(force), TightRun: r.Far, SlackRun: r.Near}
	if force < 0 {
		t.TightRun, t.SlackRun = r.Near, r.Far
	}
	return t, nil
}

// Stroke is what a belt must do along its stroke.
type Stroke struct {
	From, To          float64 // carriage places, m
	Forward, Backward float64 // largest drive force toward +x and toward x = 0, N, both >= 0
}

// Extremes are the largest and the least run force over a stroke.
type Extremes struct {
	Tight   float64 // largest force in a run, N
	TightAt float64 // carriage place, m
	Slack   float64 // least force in a run, N; <= 0: slack
	SlackAt float64 // m
}

// Extremes returns the worst run forces over a stroke: they occur at its ends,
// where the runs differ most. It does not fail for a slack belt; Slack says so.
func (b Belt) Extremes(pretension float64, s Stroke) (Extremes, error) {
	if err := cmp.Or(given.NotNegative("forward force", s.Forward), given.NotNegative("backward force", s.Backward)); err != nil {
		return Extremes{}, err
	}
	e := Extremes{Tight: math.Inf(-1), Slack: math.Inf(1)}
	for _, x := range []float64{s.From, s.To} {
		for _, force := range []float64{s.Forward, -s.Backward} {
			t, err := b.TensionAt(x, pretension, force)
			if err != nil {
				return Extremes{}, err
			}
			r, err := t.uncut()
			if err != nil {
				return Extremes{}, err
			}
			if !(r.Linear > 0) {
				r.Tight = t.Effective
			}
			if r.Tight > e.Tight {
				e.Tight, e.TightAt = r.Tight, x
			}
			if r.Linear < e.Slack {
				e.Slack, e.SlackAt = r.Linear, x
			}
		}
	}
	return e, nil
}

// LeastPretension returns the pre-tension that keeps the slack run at or above
// a least tension over the whole stroke and in both directions, N.
//
//	F_v = max over x, direction of  F_u L_t/(L_t + L_s) + F_min
//
// The trade rule F_v >= F_u,max + F_min (SufficientPretension) holds for every
// x and asks for at most this much more.
//
// Source: derived from Tension.Forces.
func (b Belt) LeastPretension(s Stroke, least float64) (float64, error) {
	if err := given.NotNegative("least run tension", least); err != nil {
		return 0, err
	}
	e, err := b.Extremes(0, s)
	if err != nil {
		return 0, err
	}
	return math.Max(0, -e.Slack) + least, nil
}

// SufficientPretension returns F_u,max + F_min, N, enough at every carriage
// place. The F_u/2 of power drives presumes equal runs and is not enough here.
//
// Source: common practice for linear axes, no source; sufficiency derived.
func SufficientPretension(largest, least float64) float64 { return largest + least }

// ShaftLoad returns the radial load on a pulley's shaft, N, for the two run
// forces and the wrap angle in rad.
//
//	F_W = sqrt(F1² + F2² - 2 F1 F2 cos(beta))
//
// Source: derived, vector sum of the run forces.
func ShaftLoad(run1, run2, wrap float64) (float64, error) {
	if err := cmp.Or(
		given.NotNegative("run force", run1),
		given.NotNegative("run force", run2),
		given.Within("wrap angle", wrap, 0, 2*math.Pi),
	); err != nil {
		return 0, err
	}
	return math.Sqrt(math.Max(0, run1*run1+run2*run2-2*run1*run2*math.Cos(wrap))), nil
}

// Strand is a free belt run plucked to measure its tension.
type Strand struct {
	MassPerLength float64 // of the belt width, kg/m
	FreeLength    float64 // between the points where it touches, m
}

func (s Strand) check() error {
	return cmp.Or(given.Positive("belt mass per length", s.MassPerLength), given.Positive("free strand length", s.FreeLength))
}

// Frequency returns the lowest frequency at a tension, Hz.
//
//	f = sqrt(F/m') / (2 L_f)
//
// Good for strands longer than about 20 belt thicknesses (common practice);
// bending stiffness makes a short one read high.
//
// Source: published, taut string, Blevins, Formulas for Natural Frequency and
// Mode Shape (page from memory).
func (s Strand) Frequency(tension float64) (float64, error) {
	if err := cmp.Or(s.check(), given.Positive("belt tension", tension)); err != nil {
		return 0, err
	}
	return math.Sqrt(tension/s.MassPerLength) / (2 * s.FreeLength), nil
}

// Tension returns the tension of a measured frequency, F = 4 m' L_f² f², N.
func (s Strand) Tension(frequency float64) (float64, error) {
	if err := cmp.Or(s.check(), given.Positive("strand frequency", frequency)); err != nil {
		return 0, err
	}
	v := 2 * s.FreeLength * frequency // wave speed, m/s
	return s.MassPerLength * v * v, nil
}
