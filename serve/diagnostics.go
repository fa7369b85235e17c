package serve

import (
	"spanwright/diag"
	"spanwright/serve/judging"
)

// shownDiag is a mistake with the end of the text that it speaks of.
type shownDiag struct {
	diag.Diagnostic
	EndLine   int    `json:"end_line,omitempty"`
	EndColumn int    `json:"end_column,omitempty"` // behind it
	Severity  string `json:"severity"`
}

// diagnostics are the mistakes for which a text could not be judged.
func diagnostics(j *judging.Judgement) []shownDiag {
	return located(j.Diagnostics, []byte(j.Text))
}

// located finds the ends of mistakes in the text.
func located(list diag.List, text []byte) []shownDiag {
	out := []shownDiag{}
	for _, d := range list.Sorted() {
		s := shownDiag{Diagnostic: d, Severity: "error"}
		if end := d.End(text); end.Line > 0 {
			s.EndLine, s.EndColumn = end.Line, end.Column
		}
		out = append(out, s)
	}
	return out
}
