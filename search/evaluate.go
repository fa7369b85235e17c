package search

import (
	"context"
	"errors"
	"math"
	"slices"
	"strings"
	"sync"

	"spanwright/assess"
	"spanwright/ledger"
	"spanwright/machine"
	"spanwright/search/front"
	"spanwright/structure"
)

// Outcome is what became of one candidate.
type Outcome struct {
	Key     string        `json:"key"`
	Stage   Stage         `json:"stage"`  // where it was discarded; whole if it was judged as a whole
	Reason  string        `json:"reason"` // the worst check's kind, empty if it passes
	Choice  Choice        `json:"choice"`
	Values  Values        `json:"values"`
	Counts  ledger.Counts `json:"counts"`
	Failing []Failing     `json:"failing,omitempty"`
	Margin  assess.Number `json:"margin"`        // 1 less the largest utilisation among checks that are numbers
	Whole   int           `json:"judged"`        // machines judged as a whole for it
	Cut     bool          `json:"cut,omitempty"` // the limit on judgements left some of its drives unjudged
}

// Failing is a check that a candidate fails.
type Failing struct {
	ID          string        `json:"id"`
	Kind        string        `json:"kind"`
	Utilisation assess.Number `json:"utilisation"`
	Unknown     bool          `json:"unknown,omitempty"`
}

// passes tells whether the candidate is a machine that does the task.
func (o Outcome) passes() bool { return o.Stage == ByWhole && o.Reason == "" }

// judge is one search at work.
type judge struct {
	p       *Problem
	s       *Space
	opts    Options
	grove   *grove
	studies *structure.Cache
	fits    *fits
}

// evaluate judges a candidate, the cheap stages first. The front holds the
// classes of what is known to pass; a candidate that at best is beaten by one of
// them is not judged, and one that is beaten in the first numbers, so many as
// lead, is left for later: the error is errLater. At most so many machines are
// judged as a whole; 0 is no limit.
func (j *judge) evaluate(ctx context.Context, at candidate, known [][]float64, lead, most int) (Outcome, error) {
	k, c := j.grove.chain(at), j.choice(at)
	out := Outcome{Key: j.key(at), Choice: c}
	f, why := j.fitted(at, c)
	if why != "" {
		out.Stage, out.Reason = ByScreen, why
		return out, nil
	}
	m, err := j.p.build(c, f)
	if err != nil {
		out.Stage, out.Reason = ByScreen, "fit"
		return out, nil
	}
	best := front.Classes(j.opts.axes(), j.opts.bound(m.Cost(), m.Mass(), j.grove.tree(at.pace).cycle))
	for _, other := range known {
		switch {
		case front.Beats(other, best):
			out.Stage, out.Reason = ByScreen, "beaten"
			return out, nil
		case front.Beats(other[:lead], best[:lead]):
			return out, errLater
		}
	}
	screened, err := assess.Screen(m)
	if err != nil {
		out.Stage, out.Reason = ByScreen, "fit"
		return out, nil
	}
	if out.Failing = failing(screened.Checks); len(out.Failing) > 0 {
		out.Stage, out.Reason = ByScreen, out.Failing[0].Kind
		return out, nil
	}
	return out, j.whole(ctx, &out, k, c, f, &prepared{m, screened}, most)
}

// errLater marks what is not judged for now.
var errLater = errors.New("beaten in the numbers that lead")

// prepared is a machine that was built and screened.
type prepared struct {
	m        *machine.Machine
	screened *assess.Screened
}

// choice is what a candidate chooses.
func (j *judge) choice(at candidate) Choice {
	k := j.grove.chain(at)
	return Choice{Pace: k.pace, Axes: k.axes, Frame: j.s.Frames[at.frame]}
}

// fitted is what follows from a candidate, or the check that discards it.
func (j *judge) fitted(at candidate, c Choice) (fitted, string) {
	f, why := j.axesFitted(at, c)
	if why != "" {
		return f, why
	}
	f = f.clone()
	if err := j.p.fitStand(c, &f); err != nil {
		return f, "fit"
	}
	return f, ""
}

// onLegs is what the ends of travel and the room for what passes depend on: the
// pace, the axes, and of the stand the side of its legs, m.
type onLegs struct {
	pace int
	axes [mostAxes]pick
	leg  float64
}

// fits keeps what follows from axes on legs.
type fits struct {
	mu   sync.Mutex
	list map[onLegs]*axesFit
}

type axesFit struct {
	once sync.Once
	fit  fitted
	why  string
}

// axesFitted is what follows from the axes of a candidate.
func (j *judge) axesFitted(at candidate, c Choice) (fitted, string) {
	key := onLegs{at.pace, at.axes, size(j.p.Catalogue, c.Frame.Leg)}
	j.fits.mu.Lock()
	a := j.fits.list[key]
	if a == nil {
		a = &axesFit{}
		j.fits.list[key] = a
	}
	j.fits.mu.Unlock()
	a.once.Do(func() { a.fit, a.why = j.fitAxes(j.grove.chain(at), c) })
	return a.fit, a.why
}

// fitAxes derives the ends of travel anew where the joins are not those that they
// were derived with, and makes room.
func (j *judge) fitAxes(k *chain, c Choice) (fitted, string) {
	f := k.fit.clone()
	for i := len(k.axes) - 2; i >= 0 && k.refit; i-- { // heavier joins may ask for longer ends below them
		if _, _, why := j.p.fitEnd(c, &f, i); why != "" {
			return f, why
		}
	}
	var over *overError
	switch err := j.p.withRoom(c, &f); {
	case errors.As(err, &over):
		return f, over.kind
	case err != nil:
		return f, "fit"
	}
	return f, ""
}

// endless stands for a utilisation that is no number, e.g. of a rule that is not
// met: a number can be kept in a file and read back.
const endless = 1e6

// failing lists the checks that are over or unknown, the worst first.
func failing(checks []ledger.Check) (out []Failing) {
	for _, k := range checks {
		if k.Verdict == ledger.Over || k.Verdict == ledger.Unknown {
			u := k.Utilisation
			if math.IsNaN(u) || math.IsInf(u, 0) {
				u = endless
			}
			out = append(out, Failing{k.ID, k.Kind, assess.Number(u), k.Verdict == ledger.Unknown})
		}
	}
	return out
}

// whole judges the machine, and with it the drives that make the same machine,
// until one passes. Where it fails by something that the ratio and inertia of a
// drive do not touch, the others fail by the same. What is ready is the machine of
// the first drives; nil if it is not built yet. At most so many are judged; 0 is no
// limit.
func (j *judge) whole(ctx context.Context, out *Outcome, k *chain, c Choice, f fitted, ready *prepared, most int) error {
	for n, drives := range alternatives(k.alike) {
		if out.Cut = most > 0 && n >= most; out.Cut {
			return nil
		}
		for i, d := range drives {
			c.Axes = append(c.Axes[:i:i], append([]AxisChoice{c.Axes[i]}, c.Axes[i+1:]...)...)
			c.Axes[i].Drive = d
		}
		if n > 0 || ready == nil {
			m, err := j.p.build(c, f)
			if err != nil {
				return err
			}
			ready = &prepared{m: m}
		}
		found, err := assess.Run(ctx, ready.m, assess.Options{Studies: j.studies, Screened: ready.screened})
		out.Whole++
		var refused *assess.RefusedError
		if errors.As(err, &refused) {
			out.Stage, out.Reason = ByWhole, string(refused.Diagnostics[0].Code)
			return nil
		}
		if err != nil {
			return err
		}
		fails := failing(found.Checks)
		if n == 0 || len(fails) == 0 {
			out.Stage, out.Choice, out.Values, out.Counts, out.Failing, out.Reason = ByWhole, c, valuesOf(found), found.Counts, fails, ""
			out.Margin = margin(found)
		}
		if len(fails) == 0 {
			return nil
		}
		if n == 0 {
			out.Reason = fails[0].Kind
		}
		if !drivesDecide(fails) {
			return nil
		}
	}
	return nil
}

// drivesDecide tells whether everything that fails depends on the ratio and
// inertia of drives.
func drivesDecide(fails []Failing) bool {
	for _, f := range fails {
		if !strings.HasPrefix(f.Kind, "axis.motor") && !strings.HasPrefix(f.Kind, "axis.gear") && !strings.HasPrefix(f.Kind, "axis.brake") && !strings.HasPrefix(f.Kind, "stop.") && !strings.HasPrefix(f.Kind, "tool.") {
			return false
		}
	}
	return true
}

// derivedKinds are checks of axes that judge what a search derives.
var derivedKinds = []string{"axis.support.overhang", "axis.brake.drop", "axis.stroke"}

// margin is what the most used check leaves. What a search derives and rounds up
// to the next step is left out, for that margin is of the step's making: ends of
// travel, cable carriers, guards, the overhang of the first beam.
func margin(a *assess.Assessment) assess.Number {
	most := 0.0
	for _, k := range a.Checks {
		derived := k.Group == "stop" || k.Group == "carrier" || k.Group == "safety" || slices.Contains(derivedKinds, k.Kind)
		if counted := k.Unit == "" && k.Value == k.Limit; !counted && !derived && k.Utilisation > most {
			most = k.Utilisation
		}
	}
	return assess.Number(1 - most)
}

// alternatives are all combinations of like drives, those first in each list first.
func alternatives(alike [][]Drive) (out [][]Drive) {
	out = [][]Drive{nil}
	for _, list := range alike {
		var next [][]Drive
		for _, d := range list {
			for _, head := range out {
				next = append(next, append(head[:len(head):len(head)], d))
			}
		}
		out = next
	}
	return out
}
