package search

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"spanwright/assess"
	"spanwright/decode"
	"spanwright/design"
	"spanwright/ledger"
	"spanwright/machine"
	"spanwright/parts"
	"spanwright/structure"
)

// Sweep is a value of a design with what it is to be in turn.
type Sweep struct {
	Path   string   `json:"path"`
	Now    string   `json:"now"` // as written; empty where the design is silent
	Values []string `json:"values"`
}

// ErrSweep marks a sweep that names no value of the design.
var ErrSweep = errors.New("no sweep")

// ParseSweep reads PATH or PATH=A|B|C. A path may leave out groups between its
// first and its last key where only one value of the design file fits. Without
// values, those are all parts of the kind that the path names; an empty value is
// refused.
func ParseSweep(text string, d *design.Design, catalogue *parts.Catalogue) (Sweep, error) {
	path, values, listed := strings.Cut(strings.TrimSpace(text), "=")
	fields := fieldsOf(d)
	full, err := fullPath(path, fields)
	if err != nil {
		return Sweep{}, err
	}
	s := Sweep{Path: full, Now: d.File.Written(full)}
	if listed {
		for v := range strings.SplitSeq(values, "|") {
			if v = strings.TrimSpace(v); v == "" {
				return Sweep{}, fmt.Errorf("%w: %q names an empty value; give values, e.g. %q", ErrSweep, text, full+"=A|B")
			}
			s.Values = append(s.Values, v)
		}
		return s, nil
	}
	f := fields[full]
	switch {
	case len(f.Parts) > 0:
		for _, kind := range f.Parts {
			s.Values = append(s.Values, catalogue.IDs(kind)...)
		}
	case len(f.Choices) > 0:
		s.Values = slices.Clone(f.Choices)
	default:
		return Sweep{}, fmt.Errorf("%w: %s names no part; give its values, e.g. %q", ErrSweep, full, full+"=A|B")
	}
	return s, nil
}

// fieldsOf lists every single value that the design may hold, by its path.
func fieldsOf(d *design.Design) map[string]*decode.Field {
	out := map[string]*decode.Field{}
	keys := func(path string) (ids []string) {
		switch path {
		case "axes", "equipment.ends", "equipment.carriers":
			for _, a := range d.Axes {
				ids = append(ids, a.ID)
			}
		}
		return ids
	}
	var walk func(s *decode.Struct, path string)
	walk = func(s *decode.Struct, path string) {
		for _, f := range s.Fields {
			at := decode.Join(path, f.Key)
			switch f.Form {
			case decode.Group:
				walk(f.Group, at)
			case decode.Keyed:
				for _, id := range keys(at) {
					walk(f.Elem.Group, decode.Join(at, id))
				}
			case decode.Text, decode.Truth, decode.Whole, decode.Number, decode.Direction, decode.Triple:
				out[at] = f
			}
		}
	}
	walk(decode.Describe(design.Design{}), "")
	return out
}

// fullPath finds the one path that begins and ends as the short one.
func fullPath(short string, fields map[string]*decode.Field) (string, error) {
	if fields[short] != nil {
		return short, nil
	}
	cut := strings.LastIndexByte(short, '.')
	if cut < 0 {
		return "", fmt.Errorf("%w: %q names no value of the design", ErrSweep, short)
	}
	var found []string
	for path := range fields {
		if strings.HasPrefix(path, short[:cut]+".") && strings.HasSuffix(path, short[cut:]) {
			found = append(found, path)
		}
	}
	slices.Sort(found)
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		var all []string
		for path := range fields {
			all = append(all, path)
		}
		slices.Sort(all)
		hint := ""
		if near := decode.Nearest(short, all); near != "" {
			hint = fmt.Sprintf(", did you mean %q?", near)
		}
		return "", fmt.Errorf("%w: %q names no value of the design%s", ErrSweep, short, hint)
	}
	return "", fmt.Errorf("%w: %q may be %s", ErrSweep, short, strings.Join(found, " or "))
}

// Variant is one row of a sweep.
type Variant struct {
	Values  []string       `json:"values"`            // in the order of the sweeps
	Refused string         `json:"refused,omitempty"` // why no machine comes of it
	Verdict ledger.Verdict `json:"verdict"`
	Counts  ledger.Counts  `json:"counts"`
	Worst   string         `json:"worst,omitempty"` // id of the most used check
	Used    assess.Number  `json:"worst_utilisation"`
	Numbers Values         `json:"results"`

	Most ledger.Check `json:"-"` // the most used check itself
}

// mostVariants is how many rows a sweep may have: own choice.
const mostVariants = 2000

// Rows is how many rows a table over the sweeps has.
func Rows(sweeps []Sweep) int {
	n := 1
	for _, s := range sweeps {
		n *= len(s.Values)
	}
	return n
}

// combined are the values of all rows, the last sweep running fastest.
func combined(sweeps []Sweep) ([][]string, error) {
	rows := [][]string{nil}
	for _, s := range sweeps {
		if len(rows)*len(s.Values) > mostVariants {
			return nil, fmt.Errorf("%w: more than %d combinations", ErrSweep, mostVariants)
		}
		var next [][]string
		for _, head := range rows {
			for _, v := range s.Values {
				next = append(next, append(head[:len(head):len(head)], v))
			}
		}
		rows = next
	}
	return rows, nil
}

// Vary judges the design with every combination of the values. The order of the
// rows is that of the values, the last sweep running fastest. Edits that a
// design file cannot take are refused rows, not errors. On the error of the
// context the rows that were finished are returned besides, in their order.
func Vary(ctx context.Context, d *design.Design, catalogue *parts.Catalogue, sweeps []Sweep, progress func(what string, done, total int)) ([]Variant, error) {
	rows, err := combined(sweeps)
	if err != nil {
		return nil, err
	}
	out := make([]Variant, len(rows))
	errs := make([]error, len(rows))
	studies := structure.NewCache(cacheRoom)
	done := 0
	err = inParallel(len(rows), func(i int) {
		if errs[i] = ctx.Err(); errs[i] == nil {
			out[i], errs[i] = variant(ctx, d, catalogue, sweeps, rows[i], studies)
		}
	}, func(int) {
		if done++; progress != nil {
			progress("variants", done-1, len(rows))
		}
	})
	if err == nil {
		err = firstOf(errs)
	}
	var finished []Variant
	for i := range out {
		if errs[i] == nil {
			finished = append(finished, out[i])
		}
	}
	return finished, err
}

func variant(ctx context.Context, d *design.Design, catalogue *parts.Catalogue, sweeps []Sweep, values []string, studies *structure.Cache) (Variant, error) {
	v := Variant{Values: values}
	var edits []design.Edit
	for i, s := range sweeps {
		if values[i] != s.Now {
			edits = append(edits, design.Edit{Path: s.Path, Value: values[i]})
		}
	}
	text, err := d.File.Apply(edits...)
	if err != nil {
		v.Refused = err.Error()
		return v, nil
	}
	changed, list := design.Parse(d.File.Name, text)
	if len(list) > 0 {
		v.Refused = list[0].Message
		return v, nil
	}
	m, list := machine.Build(changed, catalogue)
	if len(list) > 0 {
		v.Refused = list[0].Message
		return v, nil
	}
	a, err := assess.Run(ctx, m, assess.Options{Studies: studies})
	var refused *assess.RefusedError
	if errors.As(err, &refused) {
		v.Refused = refused.Diagnostics[0].Message
		return v, nil
	}
	if err != nil {
		return v, err
	}
	v.Counts, v.Verdict, v.Numbers = a.Counts, a.Counts.Verdict(), valuesOf(a)
	if len(a.Checks) > 0 {
		v.Most = a.Checks[0]
		v.Worst, v.Used = v.Most.ID, assess.Number(v.Most.Utilisation)
	}
	return v, nil
}
