package asbuilt

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"spanwright/decode"
	"spanwright/diag"
)

// Codes of mistakes in forms.
const (
	FormSyntax diag.Code = "form-syntax" // no CSV, or no header
	FormHead   diag.Code = "form-head"   // a comment line of the head is missing or wrong
	FormColumn diag.Code = "form-column" // a column that the test does not have, or that is missing
	FormValue  diag.Code = "form-value"  // a cell that is missing or cannot be what the column holds
)

// Form is one filled-in form.
type Form struct {
	File     string
	Test     Test
	Head     map[string]string
	U        map[string]float64 // by key of the head, as written there
	Rows     []Row
	Empty    int      // rows that were not filled in
	Raw      bool     // a tap test as ringing
	Warnings []string // what a reader should know, e.g. another design
}

// Row is one filled-in row.
type Row struct {
	Line   int
	Text   map[string]string
	Num    map[string]float64 // as written, in the unit of the column; NaN where an optional cell is empty
	Column map[string]int     // for messages
}

// Where names a row for --exclude and messages.
func (f *Form) Where(r Row) string { return fmt.Sprintf("%s:%d", f.File, r.Line) }

const mostForm = 16 << 20 // bytes

// Read reads a filled-in form. All mistakes are reported, each with its place.
func Read(file string, content []byte, h Head) (*Form, diag.List) {
	r := formReader{f: &Form{File: file, Head: map[string]string{}, U: map[string]float64{}}}
	if len(content) > mostForm {
		r.bad(1, 0, FormSyntax, "", "the file is larger than any form", "")
		return r.f, r.list
	}
	content = bytes.TrimPrefix(content, []byte("\uFEFF"))
	lines := r.head(content)
	if len(r.list) > 0 {
		return r.f, r.list
	}
	r.design(h)
	r.rows(content)
	r.uncertainties(lines)
	return r.f, r.list
}

type formReader struct {
	f      *Form
	layout layout
	list   diag.List
}

func (r *formReader) bad(line, column int, code diag.Code, value, message, hint string) {
	r.list.Add(diag.Diagnostic{Pos: diag.Pos{File: r.f.File, Line: line, Column: column}, Code: code, Value: value, Message: message, Hint: hint})
}

// head reads the comment lines and finds the test.
func (r *formReader) head(content []byte) map[string]int {
	lines := map[string]int{}
	var known []string
	known = append(known, plain...)
	for _, l := range layouts {
		known = append(known, l.uncertainties...)
	}
	slices.Sort(known)
	known = slices.Compact(known)
	n := 0
	for line := range strings.SplitSeq(string(content), "\n") {
		n++
		body, comment := strings.CutPrefix(strings.TrimRight(line, "\r"), "#")
		if !comment {
			break
		}
		key, value, ok := strings.Cut(body, ":")
		key = strings.TrimSpace(key)
		if !ok || !slices.Contains(known, key) {
			continue // notes for people
		}
		if _, twice := lines[key]; twice {
			r.bad(n, 0, FormHead, key, fmt.Sprintf("%s is stated twice", key), "")
			continue
		}
		lines[key], r.f.Head[key] = n, strings.TrimSpace(strings.TrimRight(value, ",;"))
	}
	named := r.f.Head["test"]
	l, ok := layouts[Test(named)]
	switch {
	case named == "":
		r.bad(1, 0, FormHead, "", "no line \"# test: ...\" says which test this is", "begin from the form of the pack")
	case !ok:
		var names []string
		for _, t := range Tests {
			names = append(names, string(t))
		}
		r.bad(lines["test"], 0, FormHead, named, fmt.Sprintf("%q is no test", named), did(named, names))
	}
	r.f.Test, r.layout = Test(named), l
	return lines
}

// did proposes the nearest known word; a word without its unit is the commonest slip.
func did(word string, known []string) string {
	for _, k := range known {
		if bare, _, _ := strings.Cut(k, "_"); word == bare {
			return fmt.Sprintf("did you mean %q?", k)
		}
	}
	if near := decode.Nearest(word, known); near != "" {
		return fmt.Sprintf("did you mean %q?", near)
	}
	return "known are " + strings.Join(known, ", ")
}

// design warns where the form was made for another text of the design.
func (r *formReader) design(h Head) {
	switch hash := r.f.Head["design"]; {
	case hash == "":
		r.f.Warnings = append(r.f.Warnings, r.f.File+": the form does not say for which design it was made")
	case hash != h.Hash:
		r.f.Warnings = append(r.f.Warnings, fmt.Sprintf("%s: the form was made for another design or state of it (%.12s, here %.12s): targets and predictions may differ", r.f.File, hash, h.Hash))
	}
}

func (r *formReader) uncertainties(lines map[string]int) {
	if len(r.f.Rows) == 0 {
		return
	}
	for _, key := range r.layout.uncertainties {
		text, stated := r.f.Head[key]
		if !stated || text == "" {
			r.bad(max(lines[key], 1), 0, FormHead, "", key+" is missing: without the instrument's expanded uncertainty (k = 2) nothing can be judged", "write \"# "+key+": 2\"")
			continue
		}
		v, err := strconv.ParseFloat(text, 64)
		if err != nil || !(v >= 0) || math.IsInf(v, 0) {
			r.bad(lines[key], 0, FormHead, text, fmt.Sprintf("%s: %q is no uncertainty; a number from zero up is needed", key, text), decimalHint(text))
			continue
		}
		r.f.U[key] = v
	}
}

func decimalHint(text string) string {
	if _, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64); err == nil && strings.Contains(text, ",") {
		return "write the decimal sign as a point"
	}
	return ""
}

func (r *formReader) rows(content []byte) {
	in := csv.NewReader(bytes.NewReader(content))
	in.Comment = '#'
	in.FieldsPerRecord = -1
	header, err := in.Read()
	if err != nil {
		r.syntax(err, "the header row is missing")
		return
	}
	headLine, _ := in.FieldPos(0)
	if r.f.Test == Resonance && slices.ContainsFunc(header, func(s string) bool { return strings.TrimSpace(s) == "time_s" }) {
		r.layout, r.f.Raw = rawResonance, true
	}
	columns := r.header(header, in)
	if len(r.list) > 0 {
		return
	}
	for {
		record, err := in.Read()
		if errors.Is(err, io.EOF) {
			return
		}
		if err != nil {
			r.syntax(err, "")
			return
		}
		line, _ := in.FieldPos(0)
		if len(record) != len(columns) {
			r.bad(line, 0, FormSyntax, "", fmt.Sprintf("%d cells under %d columns (header in line %d)", len(record), len(columns), headLine), "a decimal comma splits a cell")
			continue
		}
		r.row(record, columns, in)
	}
}

func (r *formReader) syntax(err error, missing string) {
	line, column := 1, 0
	if wrong := (*csv.ParseError)(nil); errors.As(err, &wrong) {
		line, column, err = wrong.Line, wrong.Column, wrong.Err
	}
	if errors.Is(err, io.EOF) {
		r.bad(line, 0, FormSyntax, "", missing, "")
		return
	}
	r.bad(line, column, FormSyntax, "", err.Error(), "")
}

// header finds the column of each cell.
func (r *formReader) header(header []string, in *csv.Reader) []column {
	var names []string
	for _, c := range r.layout.columns {
		names = append(names, c.name)
	}
	var out []column
	seen := map[string]bool{}
	line, _ := in.FieldPos(0)
	for i, cell := range header {
		name := strings.TrimSpace(cell)
		_, at := in.FieldPos(i)
		k := slices.Index(names, name)
		switch {
		case k < 0:
			r.bad(line, at, FormColumn, name, fmt.Sprintf("the test %s has no column %q", r.f.Test, name), did(name, names))
			out = append(out, column{})
		case seen[name]:
			r.bad(line, at, FormColumn, name, fmt.Sprintf("the column %s stands twice", name), "")
			out = append(out, column{})
		default:
			seen[name] = true
			out = append(out, r.layout.columns[k])
		}
	}
	if len(r.list) > 0 {
		return out
	}
	for _, c := range r.layout.columns {
		if !seen[c.name] && !c.optional {
			r.bad(line, 0, FormColumn, c.name, fmt.Sprintf("the column %s is missing", c.name), "begin from the form of the pack")
		}
	}
	return out
}

func (r *formReader) row(record []string, columns []column, in *csv.Reader) {
	row := Row{Text: map[string]string{}, Num: map[string]float64{}, Column: map[string]int{}}
	row.Line, _ = in.FieldPos(0)
	filled := false
	for _, c := range r.layout.columns {
		if c.number {
			row.Num[c.name] = math.NaN()
		}
	}
	for i, c := range columns {
		filled = filled || c.measured && strings.TrimSpace(record[i]) != ""
	}
	if !filled {
		r.f.Empty++
		return
	}
	before := len(r.list)
	for i, c := range columns {
		value := strings.TrimSpace(record[i])
		_, at := in.FieldPos(i)
		row.Column[c.name] = at
		switch {
		case value == "" && c.optional:
		case value == "":
			r.bad(row.Line, at, FormValue, "", c.name+" is missing in a row that is filled in", "")
		case c.number:
			v, err := strconv.ParseFloat(value, 64)
			if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
				r.bad(row.Line, at, FormValue, value, fmt.Sprintf("%s: %q is no number", c.name, value), decimalHint(value))
				continue
			}
			if wrong := c.refuses(v); wrong != "" {
				r.bad(row.Line, at, FormValue, value, c.name+": "+value+" is "+wrong, "leave the cell empty where nothing was measured")
				continue
			}
			row.Num[c.name] = v
		case c.words != nil && !slices.Contains(c.words, value):
			r.bad(row.Line, at, FormValue, value, fmt.Sprintf("%s: %q is none of %s", c.name, value, strings.Join(c.words, ", ")), did(value, c.words))
		default:
			row.Text[c.name] = value
		}
	}
	if len(r.list) == before {
		r.f.Rows = append(r.f.Rows, row)
	}
}

// Exclude leaves rows out that are named as FILE:LINE, and says which were found.
func (f *Form) Exclude(names []string) (found []string) {
	f.Rows = slices.DeleteFunc(f.Rows, func(r Row) bool {
		if slices.Contains(names, f.Where(r)) {
			found = append(found, f.Where(r))
			return true
		}
		return false
	})
	return found
}

// refuses tells what is wrong with a number of a column; "" if nothing is.
func (c column) refuses(v float64) string {
	switch {
	case c.positive && !(v > 0):
		return "no reading; a number above zero is needed"
	case c.share && !(v >= 0 && v < 1):
		return "no ratio; a number from 0 to below 1 is needed, 0.02 for 2 %"
	}
	return ""
}
