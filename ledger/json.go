package ledger

import (
	"encoding/json"
	"math"
)

type checkJSON struct {
	ID          string         `json:"id"`
	Kind        string         `json:"kind"`
	Group       string         `json:"group"`
	Subject     string         `json:"subject"`
	Title       string         `json:"title"`
	Verdict     Verdict        `json:"verdict"`
	Value       *float64       `json:"value"`
	Limit       *float64       `json:"limit"`
	Unit        string         `json:"unit"`
	Utilisation *float64       `json:"utilisation"`
	Sense       Sense          `json:"sense"`
	Working     workingJSON    `json:"working"`
	Range       *Range         `json:"range,omitempty"`
	Parts       []Contribution `json:"contributions,omitempty"`
	Missing     string         `json:"missing,omitempty"`
	Note        string         `json:"note"`
	Caution     string         `json:"caution,omitempty"`
}

type workingJSON struct {
	Formula     string  `json:"formula"`
	Substituted string  `json:"substituted"`
	Inputs      []Input `json:"inputs"`
	Source      string  `json:"source"`
}

// MarshalJSON writes the check as in the command contract. Numbers that are
// not finite (no limit, nothing to divide by) are null.
func (c Check) MarshalJSON() ([]byte, error) {
	inputs := make([]Input, 0, len(c.Working.Inputs))
	for _, in := range c.Working.Inputs {
		if isFinite(in.Value) {
			inputs = append(inputs, in)
		}
	}
	r := c.Range
	if r != nil && !(isFinite(r.Low) && isFinite(r.Nominal) && isFinite(r.High)) {
		r = nil
	}
	return json.Marshal(checkJSON{
		ID: c.ID, Kind: c.Kind, Group: c.Group, Subject: c.Subject, Title: c.Title, Verdict: c.Verdict,
		Value: finite(c.Value), Limit: finite(c.Limit), Unit: c.Unit, Utilisation: finite(c.Utilisation), Sense: c.Sense,
		Working: workingJSON{
			Formula: c.Working.Formula, Substituted: c.Working.Substituted(c.Value, c.Unit),
			Inputs: inputs, Source: c.Working.Source,
		},
		Range: r, Parts: c.Parts, Missing: c.Missing, Note: c.Note, Caution: c.Caution,
	})
}

func finite(v float64) *float64 {
	if !isFinite(v) {
		return nil
	}
	return &v
}

func isFinite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
