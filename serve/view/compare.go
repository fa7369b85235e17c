package view

import (
	"cmp"
	"math"
	"slices"

	"github.com/rogpeppe/go-internal/diff"

	"spanwright/assess"
	"spanwright/ledger"
	"spanwright/wording"
)

// Side is one of two designs that are compared. Assessment is nil where the
// design cannot be judged.
type Side struct {
	Name       string
	Assessment *assess.Assessment
	Text       []byte // of the design file
}

// Comparison is two designs side by side: a is the one that was, b the one that
// it is compared with.
type Comparison struct {
	A        ComparedSide  `json:"a"`
	B        ComparedSide  `json:"b"`
	Results  []Difference  `json:"results"`
	Checks   []CheckChange `json:"checks"`    // those that differ, the worst change first
	Same     int           `json:"same"`      // checks that do not
	TextDiff string        `json:"text_diff"` // unified
}

// ComparedSide is what one design is.
type ComparedSide struct {
	Name     string    `json:"name"`
	OK       bool      `json:"ok"` // it could be judged
	Headline *Headline `json:"headline,omitempty"`
}

// Difference is one number of both.
type Difference struct {
	Key    string `json:"key"`
	Name   string `json:"name"`
	Unit   string `json:"unit"`
	A      Number `json:"a"`
	B      Number `json:"b"`
	Change Number `json:"change"` // b less a
	Better string `json:"better"` // a, b, same; "" where neither direction is
	TextA  string `json:"text_a"`
	TextB  string `json:"text_b"`
	Text   string `json:"text"` // the change, with its sign
}

// CheckChange is one check of both.
type CheckChange struct {
	ID     string       `json:"id"`
	Title  string       `json:"title"`
	A      *CheckOfSide `json:"a"`
	B      *CheckOfSide `json:"b"`
	Change string       `json:"change"` // worse, better, new, gone, or moved: the same verdict
}

// CheckOfSide is the outcome of a check on one side.
type CheckOfSide struct {
	Verdict     ledger.Verdict `json:"verdict"`
	Utilisation Number         `json:"utilisation"`
	Shown       Shown          `json:"shown"`
}

// Compare puts two designs side by side.
func Compare(a, b Side) *Comparison {
	out := &Comparison{A: comparedSide(a), B: comparedSide(b), Results: []Difference{}, Checks: []CheckChange{}}
	out.TextDiff = string(diff.Diff(a.Name, a.Text, b.Name, b.Text))
	if a.Assessment == nil || b.Assessment == nil {
		return out
	}
	left, right := compared(a.Assessment), compared(b.Assessment)
	nan := Number(math.NaN())
	for _, f := range left {
		k := slices.IndexFunc(right, func(g figure) bool { return g.key == f.key })
		if k < 0 {
			out.Results = append(out.Results, difference(f, nan))
			continue
		}
		out.Results = append(out.Results, difference(f, right[k].value))
		right = slices.Delete(right, k, k+1)
	}
	for _, f := range right { // axes that only b has
		there := f.value
		f.value = nan
		out.Results = append(out.Results, difference(f, there))
	}
	out.checks(a.Assessment.Checks, b.Assessment.Checks)
	return out
}

func comparedSide(s Side) ComparedSide {
	out := ComparedSide{Name: s.Name, OK: s.Assessment != nil}
	if out.OK {
		h := OfHeadline(s.Assessment)
		out.Headline = &h
	}
	return out
}

// compared are the numbers by which two designs are compared.
func compared(a *assess.Assessment) []figure {
	h, r := OfHeadline(a), &a.Results
	out := append(h.figures(),
		figure{"rate_per_h", "cycles an hour", "/h", r.Rate, 1},
		figure{"sag_max_m", "largest sag of the tool", "m", r.Tool.SagMax, -1},
		figure{"repeatability_m", "repeatability", "m", r.Tool.Repeatability, -1},
		figure{"accuracy_m", "accuracy", "m", r.Tool.Accuracy, -1},
		figure{"stand_mass_kg", "mass of the stand", "kg", r.Stand.Mass, -1},
		figure{"power_peak_W", "peak power", "W", r.Power.Peak, -1},
		figure{"power_mean_W", "mean power", "W", r.Power.Mean, -1},
	)
	for _, x := range a.Machine.Axes {
		id := x.Spec.ID
		p := r.Axes[id]
		if p == nil {
			continue
		}
		out = append(out,
			figure{"axes." + id + ".moved_mass_kg", "moved mass, axis " + id, "kg", p.Moved, -1},
			figure{"axes." + id + ".peak_thrust_N", "largest drive force, axis " + id, "N", p.PeakThrust, -1},
			figure{"axes." + id + ".motor_rms_Nm", "motor torque, root mean square, axis " + id, "N m", p.MotorRMS, -1},
			figure{"axes." + id + ".guide_life_years", "life of the guides, axis " + id, "years", p.GuideLife, 1},
			figure{"axes." + id + ".beam_length_m", "beam length, axis " + id, "m", p.BeamLength, 0},
		)
	}
	return out
}

// sameShare is the relative change below which two numbers count as the same:
// far below what is printed, far above rounding.
const sameShare = 1e-9

func difference(f figure, b Number) Difference {
	x, y := float64(f.value), float64(b)
	d := Difference{Key: f.key, Name: f.name, Unit: f.unit, A: f.value, B: b, Change: b - f.value, Better: "same", TextA: value(x, f.unit), TextB: value(y, f.unit)}
	change := y - x
	switch {
	case math.IsNaN(change): // one is not known
		d.Better = ""
		return d
	case math.Abs(change) <= sameShare*max(math.Abs(x), math.Abs(y)):
		d.Change, d.Text = 0, "as before"
		return d
	}
	words := wording.Values(f.unit, x, y, change)
	d.TextA, d.TextB, d.Text = words[0], words[1], words[2]
	if change > 0 {
		d.Text = "+" + d.Text
	}
	switch better := change * float64(f.more); {
	case better > 0:
		d.Better = "b"
	case better < 0:
		d.Better = "a"
	default:
		d.Better = ""
	}
	return d
}

// comfort orders verdicts: what is not known lies between over and tight.
var comfort = map[ledger.Verdict]int{ledger.Over: 0, ledger.Unknown: 1, ledger.Tight: 2, ledger.OK: 3}

// changes orders the kinds of changes.
var changes = []string{"worse", "new", "gone", "better", "moved"}

func (c *Comparison) checks(before, after []ledger.Check) {
	later := map[string]*ledger.Check{}
	for i := range after {
		later[after[i].ID] = &after[i]
	}
	seen := map[string]bool{}
	for i := range before {
		a := &before[i]
		seen[a.ID] = true
		b := later[a.ID]
		if b == nil {
			c.Checks = append(c.Checks, CheckChange{a.ID, a.Title, ofSide(a), nil, "gone"})
			continue
		}
		switch {
		case comfort[b.Verdict] < comfort[a.Verdict]:
			c.Checks = append(c.Checks, CheckChange{a.ID, a.Title, ofSide(a), ofSide(b), "worse"})
		case comfort[b.Verdict] > comfort[a.Verdict]:
			c.Checks = append(c.Checks, CheckChange{a.ID, a.Title, ofSide(a), ofSide(b), "better"})
		case a.Missing == b.Missing && same(a.Value, b.Value) && same(a.Limit, b.Limit):
			c.Same++
		default:
			c.Checks = append(c.Checks, CheckChange{a.ID, a.Title, ofSide(a), ofSide(b), "moved"})
		}
	}
	for i := range after {
		if b := &after[i]; !seen[b.ID] {
			c.Checks = append(c.Checks, CheckChange{b.ID, b.Title, nil, ofSide(b), "new"})
		}
	}
	slices.SortStableFunc(c.Checks, func(x, y CheckChange) int {
		return cmp.Or(cmp.Compare(slices.Index(changes, x.Change), slices.Index(changes, y.Change)), cmp.Compare(y.size(), x.size()), cmp.Compare(x.ID, y.ID))
	})
}

func ofSide(c *ledger.Check) *CheckOfSide {
	return &CheckOfSide{c.Verdict, Number(c.Utilisation), shown(c)}
}

// size is by how much the utilisation changed.
func (c *CheckChange) size() float64 {
	if c.A == nil || c.B == nil {
		return 0
	}
	d := math.Abs(float64(c.B.Utilisation - c.A.Utilisation))
	if math.IsNaN(d) {
		return 0
	}
	return d
}

func same(a, b float64) bool {
	switch {
	case math.IsNaN(a) || math.IsNaN(b):
		return math.IsNaN(a) && math.IsNaN(b)
	case math.IsInf(a, 0) || math.IsInf(b, 0):
		return a == b
	}
	return math.Abs(b-a) <= sameShare*max(math.Abs(a), math.Abs(b))
}
