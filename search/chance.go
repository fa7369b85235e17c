package search

import (
	"context"
	"maps"
	"math"
	"slices"

	"spanwright/assess"
	"spanwright/design"
	"spanwright/machine"
	"spanwright/structure"
	"spanwright/uncertain"
)

// Chance is how often a machine passes when its uncertain inputs are drawn from
// their ranges.
type Chance struct {
	Runs   int            `json:"runs"`
	Passed int            `json:"passed"`
	Seed   uint64         `json:"seed"`
	Fails  map[string]int `json:"fails"`           // runs in which a check was over, by its id
	Worst  string         `json:"worst,omitempty"` // id of the check that was over most often; empty if none was
}

// Share is the share of runs that pass.
func (c *Chance) Share() float64 { return float64(c.Passed) / float64(c.Runs) }

// input is an uncertain input of the design.
type input struct {
	uncertain.Input
	set func(*design.Assumptions, design.Range)
}

// inputs are the ranges of the design. The ranges of stiffness are drawn evenly in
// the logarithm, the others evenly; what no check takes as a range is left out.
func inputs(m *machine.Machine) []input {
	a := m.Design.Assumptions
	joints := a.JointFactor
	if joints.Family {
		joints = familyFactor(m)
	}
	make := func(name string, r design.Range, log bool, set func(*design.Assumptions, design.Range)) input {
		return input{uncertain.Input{Name: name, Low: r.Low, High: r.High, Log: log}, set}
	}
	return []input{
		make("damping", a.Damping, true, func(a *design.Assumptions, r design.Range) { a.Damping = r }),
		make("joint_stiffness", joints, true, func(a *design.Assumptions, r design.Range) { a.JointFactor = r }),
		make("floor_stiffness", a.FloorStiff, true, func(a *design.Assumptions, r design.Range) { a.FloorStiff = r }),
		make("guide_friction", a.GuideFriction, false, func(a *design.Assumptions, r design.Range) { a.GuideFriction = r }),
		make("slot_friction", a.SlotFriction, false, func(a *design.Assumptions, r design.Range) { a.SlotFriction = r }),
		make("floor_friction", a.FloorFriction, false, func(a *design.Assumptions, r design.Range) { a.FloorFriction = r }),
	}
}

// familyFactor is the widest range of any joint of the stand, as a factor on
// its nominal stiffness: one draw is taken for all joints, so that it does not
// average out.
func familyFactor(m *machine.Machine) design.Range {
	out := design.Range{Low: 1, Nominal: 1, High: 1}
	for i, mem := range m.Members {
		for end, j := range mem.Joints {
			if !j.HasPart() {
				continue
			}
			about, err := structure.JointSprings(m, i, end)
			if err != nil {
				continue
			}
			for _, r := range about {
				if r.Nominal > 0 {
					out.Low, out.High = math.Min(out.Low, r.Low/r.Nominal), math.Max(out.High, r.High/r.Nominal)
				}
			}
		}
	}
	return out
}

// Sample judges a machine for inputs drawn from their ranges, with a seed. Only
// checks that are over count: what is unknown does not depend on the draw.
func (r *Result) Sample(ctx context.Context, m *machine.Machine, runs int, seed uint64) (*Chance, error) {
	return sample(ctx, m, r.Problem, r.judge.studies, runs, seed)
}

func sample(ctx context.Context, m *machine.Machine, p *Problem, studies *structure.Cache, runs int, seed uint64) (*Chance, error) {
	list := inputs(m)
	var plain []uncertain.Input
	for _, in := range list {
		plain = append(plain, in.Input)
	}
	draws, err := uncertain.Sample(plain, runs, seed)
	if err != nil {
		return nil, err
	}
	fails := make([][]Failing, runs)
	errs := make([]error, runs)
	err = inParallel(runs, func(k int) {
		d := *m.Design
		for i, in := range list {
			x := draws[k][i]
			in.set(&d.Assumptions, design.Range{Low: x, Nominal: x, High: x})
		}
		drawn, mistakes := machine.Build(&d, p.Catalogue)
		if errs[k] = mistakes.Err(); errs[k] != nil {
			return
		}
		a, err := assess.Run(ctx, drawn, assess.Options{Studies: studies})
		if errs[k] = err; err == nil {
			fails[k] = failing(a.Checks)
		}
	}, func(int) {})
	if err == nil {
		err = firstOf(errs)
	}
	if err != nil {
		return nil, err
	}
	return counted(fails, seed), nil
}

func counted(fails [][]Failing, seed uint64) *Chance {
	out := &Chance{Runs: len(fails), Seed: seed, Fails: map[string]int{}}
	for _, list := range fails {
		over := false
		for _, f := range list {
			if !f.Unknown {
				over = true
				out.Fails[f.ID]++
			}
		}
		if !over {
			out.Passed++
		}
	}
	for _, id := range slices.Sorted(maps.Keys(out.Fails)) {
		if out.Worst == "" || out.Fails[id] > out.Fails[out.Worst] {
			out.Worst = id
		}
	}
	return out
}
