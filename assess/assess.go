// Package assess judges a machine: it runs the studies (cycle, drives, guides,
// whole-machine structure, joints, stand, equipment, safety) and collects
// checks with their working, results and what was not checked.
//
// It holds no formula of its own that belongs to a study's package; it knows
// which formula belongs to which part of the machine, and which limit applies.
package assess

import (
	"context"
	"errors"
	"fmt"

	"spanwright/ledger"
	"spanwright/machine"
	"spanwright/motion"
	"spanwright/structure"
)

// Options of a run. The zero value is a full run.
type Options struct {
	Progress func(what string, done, total int) // called now and then; may be nil
	Studies  *structure.Cache                   // keeps solved structures for machines that are judged again; may be nil
	Screened *Screened                          // of this very machine: what it says of collisions is taken over; may be nil
}

// Assessment is everything that was found out about one machine.
type Assessment struct {
	Machine     *machine.Machine
	Checks      []ledger.Check // worst first
	Counts      ledger.Counts
	Results     Results
	Assumptions []Assumption
	NotChecked  []NotChecked
	Timeline    motion.Timeline

	run *run // the studies behind it, for what is asked later
}

// NotChecked names something nobody should believe to have been judged.
type NotChecked struct {
	What string `json:"what"`
	Why  string `json:"why"`
}

// Assumption is one uncertain or defaulted input.
type Assumption struct {
	Path   string `json:"path"`
	Value  string `json:"value"`
	Source string `json:"source"`
	Status string `json:"status"` // default, stated
}

// Governing lists the ids of the checks that decide: all that are over or, if
// none is, the five with the highest utilisation.
func (a *Assessment) Governing() []string {
	var out []string
	for _, c := range a.Checks {
		if c.Verdict == ledger.Over || len(out) < 5 && c.Utilisation > 0 && a.Counts.Over == 0 {
			out = append(out, c.ID)
		}
	}
	return out
}

// ErrFault marks what should not happen with a machine that was built: the
// programme's fault, or a machine no study can handle; the message says which.
var ErrFault = errors.New("the study could not be carried out")

// run carries what the studies share.
type run struct {
	m       *machine.Machine
	opts    Options
	ledger  ledger.Ledger
	results Results
	not     []NotChecked

	legs     []leg
	timeline motion.Timeline
	phases   []motion.Phase
	axes     []axisDuty
	study    structureStudy
	decisive map[string]Decisive // by check id
}

// Run judges the machine. The error is a *RefusedError where the design is no
// structure that can be judged.
func Run(ctx context.Context, m *machine.Machine, opts Options) (*Assessment, error) {
	r := &run{m: m, opts: opts, ledger: ledger.Ledger{Tight: m.Design.Assumptions.Tight}}
	r.results = newResults(m)
	steps := []struct {
		name string
		do   func(context.Context) error
	}{
		{"cycle", r.planCycle}, {"structure", r.solveStructure}, {"timeline", r.layTimeline}, {"drives", r.dutyOfAxes},
		{"task", r.taskChecks}, {"axes", r.axisChecks}, {"pair", r.pairChecks}, {"tool", r.toolChecks}, {"accuracy", r.accuracyChecks}, {"stand", r.standChecks}, {"joints", r.jointChecks},
		{"equipment", r.equipmentChecks}, {"safety", r.safetyChecks}, {"build", r.buildChecks}, {"summary", r.summarise},
	}
	for i, s := range steps {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if opts.Progress != nil {
			opts.Progress(s.name, i, len(steps))
		}
		if err := s.do(ctx); err != nil {
			return nil, refusal(m, fmt.Errorf("%s: %w", s.name, err))
		}
	}
	r.study.slim()
	checks := r.ledger.Sorted()
	return &Assessment{
		Machine: m, Checks: checks, Counts: ledger.Count(checks), Results: r.results,
		Assumptions: assumptions(m), NotChecked: r.not, Timeline: r.timeline, run: r,
	}, nil
}

// skip records that something was not judged.
func (r *run) skip(what, why string) { r.not = append(r.not, NotChecked{what, why}) }

func (r *run) planCycle(context.Context) error {
	var err error
	r.legs, err = legs(r.m)
	return err
}

func (r *run) layTimeline(context.Context) error {
	var err error
	if r.timeline, err = timeline(r.m, r.legs); err != nil {
		return err
	}
	r.phases = r.timeline.Phases()
	return nil
}

// level is the stiffness level on which deflections are judged.
const level = structure.Low
