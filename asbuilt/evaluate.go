package asbuilt

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"spanwright/diag"
)

// Flag is a reading that stands apart. It counts unless it is excluded.
type Flag struct {
	Where string `json:"where"` // FILE:LINE, as --exclude takes it
	Test  Test   `json:"test"`
	Text  string `json:"text"`
}

// Report is what the forms tell.
type Report struct {
	Findings []Finding `json:"findings"`
	Flags    []Flag    `json:"apart"`
	Excluded []string  `json:"excluded"`
	Empty    int       `json:"rows_not_filled_in"`
	Warnings []string  `json:"warnings"`

	evidence []evidence
	damping  []reading
}

// evaluation carries what the tests share.
type evaluation struct {
	p    *Plan
	f    *Form
	out  *Report
	list diag.List
}

// Evaluate evaluates the forms in the order of the tests. Rows that name what
// the machine does not have are mistakes, each with its place.
func Evaluate(p *Plan, forms []*Form, excluded []string) (*Report, diag.List) {
	out := &Report{Findings: []Finding{}, Flags: []Flag{}, Excluded: []string{}, Warnings: []string{}}
	var list diag.List
	for _, t := range Tests {
		for _, f := range forms {
			if f.Test != t {
				continue
			}
			out.Excluded = append(out.Excluded, f.Exclude(excluded)...)
			out.Empty += f.Empty
			out.Warnings = append(out.Warnings, f.Warnings...)
			e := &evaluation{p: p, f: f, out: out}
			if len(f.Rows) == 0 {
				out.Warnings = append(out.Warnings, f.File+": no row is filled in")
				continue
			}
			evaluators[t](e)
			list.Add(e.list...)
		}
	}
	for _, name := range excluded {
		if !slices.Contains(out.Excluded, name) {
			list.Add(diag.Diagnostic{Code: FormValue, Pos: diag.Pos{File: name}, Message: "no filled-in row is there to leave out", Hint: "name a row as FILE:LINE with the file as given"})
		}
	}
	return out, list
}

var evaluators = map[Test]func(*evaluation){
	Positioning: (*evaluation).positioning, PoseTest: (*evaluation).pose, Distance: (*evaluation).distance, Stiffness: (*evaluation).stiffness,
	Resonance: (*evaluation).resonance, Stop: (*evaluation).stop, Brake: (*evaluation).brake, Warmup: (*evaluation).warmup, Geometry: (*evaluation).geometry,
}

// find adds a finding.
func (e *evaluation) find(f Finding, predicted *Range, limit *float64, sense string) {
	f.Test = e.f.Test
	f.compare(predicted)
	f.judge(limit, sense)
	e.out.Findings = append(e.out.Findings, f)
}

func (e *evaluation) bad(r Row, column, value, message string, known []string) {
	hint := ""
	if known != nil {
		hint = did(value, known)
	}
	e.list.Add(diag.Diagnostic{Pos: diag.Pos{File: e.f.File, Line: r.Line, Column: r.Column[column]}, Code: FormValue, Value: value, Message: message, Hint: hint})
}

// missing says that a test cannot be evaluated.
func (e *evaluation) missing(subject, why string) {
	e.out.Warnings = append(e.out.Warnings, fmt.Sprintf("%s: %s: %s", e.f.File, subject, why))
}

// flag names readings that stand apart. per is the SI value of the unit.
func (e *evaluation) flag(groups [][]reading, instrument float64, unit string, per float64) {
	for _, a := range outliers(groups, instrument) {
		e.out.Flags = append(e.out.Flags, Flag{
			Where: e.f.Where(a.row), Test: e.f.Test,
			Text: fmt.Sprintf("%s: %.3g %s from the median of its group, %.0f times the usual scatter; it counts unless it is excluded", a.of, a.by/per, unit, a.times),
		})
	}
}

// u is the instrument's expanded uncertainty of a length, m.
func (e *evaluation) u() float64 { return e.f.U["U_um"] * 1e-6 }

// known checks that a word of a row names something of the plan.
func (e *evaluation) known(column string, names []string) bool {
	before := len(e.list)
	for _, r := range e.f.Rows {
		if v := r.Text[column]; !slices.Contains(names, v) {
			e.bad(r, column, v, fmt.Sprintf("%s: this machine has no %q in the test %s", column, v, e.f.Test), names)
		}
	}
	return len(e.list) == before
}

func (e *evaluation) axisNames() (out []string) {
	for _, a := range e.p.Axes {
		out = append(out, a.Axis.Spec.ID)
	}
	return out
}

// by groups rows by a key, groups in the order of first appearance.
func by(rows []Row, key func(Row) string) (keys []string, groups map[string][]Row) {
	groups = map[string][]Row{}
	for _, r := range rows {
		k := key(r)
		if _, seen := groups[k]; !seen {
			keys = append(keys, k)
		}
		groups[k] = append(groups[k], r)
	}
	return keys, groups
}

// columnOf is a column of a group in SI, plain and with the rows.
func columnOf(rows []Row, of, name string, per float64) (out []float64, with []reading) {
	for _, r := range rows {
		v := r.Num[name] * per
		out, with = append(out, v), append(with, reading{r, v, of})
	}
	return out, with
}

// uMean is the expanded uncertainty of a mean: the instrument's, and twice the
// standard deviation of the mean. Source: root of the sum of squares, ISO/IEC
// Guide 98-3 (from memory).
func uMean(values []float64, instrument float64) float64 {
	if len(values) < 2 {
		return instrument
	}
	return math.Hypot(instrument, 2*stat.StdDev(values, nil)/math.Sqrt(float64(len(values))))
}

// uDeviation is the expanded uncertainty of c standard deviations found from n
// values: 2 c s/sqrt(2 (n-1)). Source: normal distribution, ISO/IEC Guide 98-3 E.4.3 (from memory).
func uDeviation(multiple float64, n int) float64 {
	return 2 * multiple / math.Sqrt(2*float64(n-1))
}
