// Package answer is the form in which the program answers another program: one
// JSON object with a format number and the name of the tool, SI numbers with
// the unit in the key or beside them. Adding a key keeps the number; removing
// or changing one raises it. It computes nothing.
package answer

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"io"

	"spanwright/assess"
	"spanwright/diag"
	"spanwright/internal/release"
	"spanwright/ledger"
)

// Format is the number of this form.
const Format = 1

// Head begins every answer.
type Head struct {
	Format int          `json:"format"`
	Tool   release.Tool `json:"tool"`
}

// NewHead is the head of this program's answers.
func NewHead() Head { return Head{Format: Format, Tool: release.This()} }

// Design says which text was judged.
type Design struct {
	Name     string `json:"name"`
	File     string `json:"file"`
	Number   string `json:"number,omitempty"`
	Revision string `json:"revision"`
	SHA256   string `json:"sha256"` // of the file's text
}

// Summary is the judgement in short.
type Summary struct {
	Verdict   ledger.Verdict `json:"verdict"`
	Counts    ledger.Counts  `json:"counts"`
	Governing []string       `json:"governing"`
}

// Check is the whole ledger with all results.
type Check struct {
	Head
	Design      Design              `json:"design"`
	Summary     Summary             `json:"summary"`
	Results     assess.Results      `json:"results"`
	Checks      []ledger.Check      `json:"checks"` // worst first
	Assumptions []assess.Assumption `json:"assumptions"`
	NotChecked  []assess.NotChecked `json:"not_checked"`
}

// Explain is one check of a design.
type Explain struct {
	Head
	Design Design       `json:"design"`
	Check  ledger.Check `json:"check"`
}

// Refusal is the answer to input that cannot be computed with.
type Refusal struct {
	Head
	Diagnostics diag.List `json:"diagnostics"`
}

// OfCheck is the answer for the given checks of an assessment; the summary
// speaks of them alone. file is the design's name as the user gave it.
func OfCheck(a *assess.Assessment, checks []ledger.Check, file string) Check {
	counts := ledger.Count(checks)
	return Check{
		Head: NewHead(), Design: OfDesign(a, file),
		Summary: Summary{Verdict: counts.Verdict(), Counts: counts, Governing: governing(a, checks)},
		Results: a.Results, Checks: list(checks), Assumptions: list(a.Assumptions), NotChecked: list(a.NotChecked),
	}
}

// governing keeps the order of the whole ledger.
func governing(a *assess.Assessment, checks []ledger.Check) []string {
	among := map[string]bool{}
	for _, c := range checks {
		among[c.ID] = true
	}
	out := []string{}
	for _, id := range a.Governing() {
		if among[id] {
			out = append(out, id)
		}
	}
	return out
}

// list is never null in JSON.
func list[T any](l []T) []T {
	if l == nil {
		return []T{}
	}
	return l
}

// OfExplain is the answer for one check.
func OfExplain(a *assess.Assessment, c ledger.Check, file string) Explain {
	return Explain{Head: NewHead(), Design: OfDesign(a, file), Check: c}
}

// OfDesign says which text was judged.
func OfDesign(a *assess.Assessment, file string) Design {
	d := a.Machine.Design
	sum := sha256.Sum256(d.File.Text)
	return Design{Name: d.Name, File: file, Number: d.Meta.Number, Revision: d.Meta.Revision, SHA256: hex.EncodeToString(sum[:])}
}

// OfRefusal is the answer to mistakes in the input.
func OfRefusal(list diag.List) Refusal { return Refusal{Head: NewHead(), Diagnostics: list} }

// Write writes an answer as indented JSON.
func Write(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	return e.Encode(v)
}
