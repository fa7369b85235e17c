package view

import (
	"spanwright/assess"
	"spanwright/ledger"
	"spanwright/mathml"
)

// Judgement is the whole ledger with all results but the long lists, which have
// answers of their own.
type Judgement struct {
	Summary     Summary             `json:"summary"`
	Headline    Headline            `json:"headline"`
	Results     assess.Results      `json:"results"` // without tool.map and tool.response
	Checks      []Check             `json:"checks"`  // worst first
	Assumptions []assess.Assumption `json:"assumptions"`
	NotChecked  []assess.NotChecked `json:"not_checked"`
}

// Summary is the judgement in short.
type Summary struct {
	Verdict   ledger.Verdict `json:"verdict"`
	Counts    ledger.Counts  `json:"counts"`
	Governing []string       `json:"governing"`
}

// OfJudgement lists what was judged.
func OfJudgement(a *assess.Assessment) *Judgement {
	out := &Judgement{
		Summary:  Summary{a.Counts.Verdict(), a.Counts, list(a.Governing())},
		Headline: OfHeadline(a), Results: withoutLists(a.Results), Checks: []Check{},
		Assumptions: list(a.Assumptions), NotChecked: list(a.NotChecked),
	}
	x := NewIndex(a.Machine)
	for i := range a.Checks {
		out.Checks = append(out.Checks, x.Check(&a.Checks[i]))
	}
	return out
}

func withoutLists(r assess.Results) assess.Results {
	r.Tool.Map, r.Tool.Response = nil, nil
	return r
}

// list is never null in JSON.
func list[T any](l []T) []T {
	if l == nil {
		return []T{}
	}
	return l
}

// Working is the calculation behind a check.
type Working struct {
	ID            string         `json:"id"`
	Title         string         `json:"title"`
	Formula       string         `json:"formula"`
	Substituted   string         `json:"substituted"`
	Inputs        []Input        `json:"inputs"`
	Source        string         `json:"source"`
	Note          string         `json:"note,omitempty"`
	Caution       string         `json:"caution,omitempty"`
	Missing       string         `json:"missing,omitempty"`
	Range         *Range         `json:"range,omitempty"`
	Contributions []Contribution `json:"contributions,omitempty"`
	Adds          bool           `json:"adds,omitempty"` // the contributions add up to the value
	Shown         Shown          `json:"shown"`
	Math          string         `json:"math,omitempty"` // MathML
}

// Input is one number of a working.
type Input struct {
	Symbol string `json:"symbol"`
	Name   string `json:"name"`
	Value  Number `json:"value"`
	Unit   string `json:"unit"`
	From   string `json:"from"`
	Shown  string `json:"shown"`
	Math   string `json:"math,omitempty"` // the symbol as MathML
}

// Range is the outcome at the ends of the uncertain inputs.
type Range struct {
	Low     Number    `json:"low"`
	Nominal Number    `json:"nominal"`
	High    Number    `json:"high"`
	Of      string    `json:"of"`
	Judged  string    `json:"judged"`
	Shown   [3]string `json:"shown"`
}

// Contribution is one share of a value.
type Contribution struct {
	Name  string `json:"name"`
	Value Number `json:"value"`
	Unit  string `json:"unit"`
	Shown string `json:"shown"`
}

// OfWorking is the calculation of a check; false if there is no such check.
func OfWorking(a *assess.Assessment, id string) (*Working, bool) {
	for i := range a.Checks {
		if a.Checks[i].ID == id {
			return working(&a.Checks[i]), true
		}
	}
	return nil, false
}

func working(c *ledger.Check) *Working {
	w := &c.Working
	out := &Working{
		ID: c.ID, Title: c.Title, Formula: w.Formula, Substituted: w.Substituted(c.Value, c.Unit), Source: w.Source, Inputs: []Input{},
		Note: c.Note, Caution: c.Caution, Missing: c.Missing, Shown: shown(c), Adds: c.Adds, Math: formula(c),
	}
	for _, in := range w.Inputs {
		out.Inputs = append(out.Inputs, Input{in.Symbol, in.Name, Number(in.Value), in.Unit, in.From, value(in.Value, in.Unit), mathml.Symbol(in.Symbol)})
	}
	if r := c.Range; r != nil {
		out.Range = &Range{
			Low: Number(r.Low), Nominal: Number(r.Nominal), High: Number(r.High), Of: r.Of, Judged: r.Judged,
			Shown: [3]string{value(r.Low, c.Unit), value(r.Nominal, c.Unit), value(r.High, c.Unit)},
		}
	}
	for _, p := range c.Parts {
		out.Contributions = append(out.Contributions, Contribution{p.Name, Number(p.Value), p.Unit, value(p.Value, p.Unit)})
	}
	return out
}

// formula is the formula with the sum below it; "" where the formula is a sentence.
func formula(c *ledger.Check) string {
	w := &c.Working
	if w.Solver {
		return ""
	}
	return mathml.Working(w.Formula, w.Substituted(c.Value, c.Unit))
}
