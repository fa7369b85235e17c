package decode

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"spanwright/diag"
	"spanwright/quantity"
)

// scalar returns the text of a single value, or reports that it is none.
func (r *reader) scalar(f *Field, n *yaml.Node, path string) (string, bool) {
	if n.Kind == yaml.ScalarNode {
		return n.Value, true
	}
	r.add(r.at(n, path, WrongShape, describeNode(n)+"; "+f.needs()+" is needed", f.hint()))
	return "", false
}

// longestText is the largest number of bytes in a text.
const longestText = 4000

func (r *reader) text(f *Field, n *yaml.Node, path string, out reflect.Value) {
	s, ok := r.scalar(f, n, path)
	if !ok {
		return
	}
	switch {
	case len(f.Choices) > 0 && f.Parts == nil && !slices.Contains(f.Choices, s):
		r.notAChoice(f, n, path)
		return
	case strings.Trim(s, " \r\n") == "":
		r.add(r.at(n, path, MissingValue, "is empty; "+f.needs()+" is needed", f.hint()))
		return
	case len(s) > longestText:
		r.add(diag.Diagnostic{Pos: r.pos(n), Code: BadText, Path: path, Message: fmt.Sprintf("is longer than %d bytes", longestText), Hint: "shorten it"})
		return
	}
	for _, c := range s {
		if unicode.IsControl(c) && c != '\n' && c != '\r' {
			r.add(r.at(n, path, BadText, fmt.Sprintf("holds the control character U+%04X", c), "remove it"))
			return
		}
	}
	out.SetString(strings.TrimRight(s, "\n"))
}

func (r *reader) notAChoice(f *Field, n *yaml.Node, path string) {
	d := r.at(n, path, NotAChoice, strconv.Quote(clip(n.Value))+" is not among the choices: "+strings.Join(f.Choices, ", "), "")
	d.Allowed = f.allowed()
	if near := Nearest(n.Value, f.Choices); near != "" {
		d.Hint = "did you mean " + strconv.Quote(near) + "?"
	}
	r.add(d)
}

func (r *reader) truth(n *yaml.Node, path string, out reflect.Value) {
	quoted := n.Style&(yaml.SingleQuotedStyle|yaml.DoubleQuotedStyle) != 0
	if n.Kind == yaml.ScalarNode {
		switch n.Value {
		case "yes", "no":
			out.SetBool(n.Value == "yes")
			return
		case "true", "false":
			if !quoted {
				out.SetBool(n.Value == "true")
				return
			}
		}
	}
	message := clip(n.Value) + " is neither yes nor no"
	if n.Kind != yaml.ScalarNode {
		message = describeNode(n) + "; yes or no is needed"
	}
	d := r.at(n, path, NotYesNo, message, "")
	d.Allowed = "yes, no, true, false"
	switch strings.ToLower(n.Value) {
	case "yes", "true", "on", "y":
		d.Hint = "write yes"
	case "no", "false", "off", "n":
		d.Hint = "write no"
	}
	r.add(d)
}

// plainNumber reads a number without unit. In quotes it would be a text to
// every other reader of the file, and so it is here.
func (r *reader) plainNumber(f *Field, n *yaml.Node, path string) (float64, bool) {
	s, ok := r.scalar(f, n, path)
	if !ok {
		return 0, false
	}
	if n.Style&(yaml.SingleQuotedStyle|yaml.DoubleQuotedStyle|yaml.LiteralStyle|yaml.FoldedStyle) != 0 {
		r.add(r.at(n, path, WrongNumber, strconv.Quote(clip(s))+" is a text; "+f.needs()+" is needed", "write it without quotes"))
		return 0, false
	}
	if strings.ContainsRune(s, '−') {
		r.add(r.at(n, path, WrongNumber, s+" has a typographic minus sign; "+f.needs()+" is needed", "use the hyphen -"))
		return 0, false
	}
	v, err := quantity.ParseNumber(s)
	if err != nil {
		r.fromQuantity(f, n, path, err)
		return 0, false
	}
	return v, true
}

func (r *reader) whole(f *Field, n *yaml.Node, path string, out reflect.Value) {
	v, ok := r.plainNumber(f, n, path)
	if !ok {
		return
	}
	if v != math.Trunc(v) || math.Abs(v) > 1e9 {
		r.add(r.at(n, path, NotWhole, n.Value+" is not a whole number within a thousand million", f.hint()))
		return
	}
	if len(f.Choices) > 0 && !slices.Contains(f.Choices, strconv.Itoa(int(v))) {
		r.notAChoice(f, n, path)
		return
	}
	if r.within(f, n, path, v) {
		out.SetInt(int64(v))
	}
}

// number reads a plain number or a quantity and checks its range.
func (r *reader) number(f *Field, n *yaml.Node, path string) (float64, bool) {
	if f.Kind == "" {
		v, ok := r.plainNumber(f, n, path)
		return v, ok && r.within(f, n, path, v)
	}
	s, ok := r.scalar(f, n, path)
	if !ok {
		return 0, false
	}
	v, err := quantity.Parse(s, f.Kind)
	if err != nil {
		r.fromQuantity(f, n, path, err)
		return 0, false
	}
	return v, r.within(f, n, path, v)
}

func (r *reader) fromQuantity(f *Field, n *yaml.Node, path string, err error) {
	d := r.at(n, path, WrongNumber, err.Error(), "")
	var q *quantity.Error
	if errors.As(err, &q) {
		d.Code, d.Message, d.Hint = diag.Code(q.Code), q.Message, q.Hint
	}
	d.Allowed = f.allowed()
	r.add(d)
}

func (r *reader) within(f *Field, n *yaml.Node, path string, v float64) bool {
	if f.Limits == nil || v >= f.Limits.Low && v <= f.Limits.High {
		return true
	}
	side := "above"
	if !(v >= f.Limits.Low) {
		side = "below"
	}
	d := r.at(n, path, OutOfRange, clip(n.Value)+" is "+side+" what is allowed: "+f.Limits.String(), "")
	d.Allowed = f.allowed()
	r.add(d)
	return false
}

// unitVectors are the words for directions along the world axes.
var unitVectors = map[string][3]float64{
	"x": {1, 0, 0}, "+x": {1, 0, 0}, "-x": {-1, 0, 0},
	"y": {0, 1, 0}, "+y": {0, 1, 0}, "-y": {0, -1, 0},
	"z": {0, 0, 1}, "+z": {0, 0, 1}, "-z": {0, 0, -1},
}

const directionHint = "write x, y, z, -x, -y, -z, or three numbers such as [0, 0.6, 0.8]"

// direction reads a word or three numbers and makes the vector one long.
func (r *reader) direction(n *yaml.Node, path string, out reflect.Value) {
	if n.Kind == yaml.ScalarNode {
		v, known := unitVectors[n.Value]
		if !known {
			hint := directionHint
			if _, found := unitVectors[strings.ToLower(n.Value)]; found {
				hint = "did you mean " + strconv.Quote(strings.ToLower(n.Value)) + "?"
			}
			r.add(r.at(n, path, BadDirection, clip(n.Value)+" is not a direction", hint))
			return
		}
		out.Set(reflect.ValueOf(v))
		return
	}
	if n.Kind != yaml.SequenceNode || len(n.Content) != 3 {
		r.add(r.at(n, path, BadDirection, describeNode(n)+"; a direction is needed", directionHint))
		return
	}
	var v [3]float64
	component := &Field{Form: Number}
	sound := true
	for i, item := range n.Content {
		x, ok := r.number(component, item, Item(path, i))
		v[i], sound = x, sound && ok
	}
	if !sound {
		return
	}
	largest := max(math.Abs(v[0]), math.Abs(v[1]), math.Abs(v[2]))
	if largest == 0 {
		r.add(r.at(n, path, BadDirection, "all three numbers are 0, which is no direction", directionHint))
		return
	}
	for i := range v {
		v[i] /= largest // first, so that no square overflows or vanishes
	}
	length := math.Sqrt(v[0]*v[0] + v[1]*v[1] + v[2]*v[2])
	for i := range v {
		v[i] /= length
	}
	out.Set(reflect.ValueOf(v))
}

// triple reads one value, low..nominal..high, the three keys, or a word.
func (r *reader) triple(f *Field, n *yaml.Node, path string, out reflect.Value) {
	span := out.Addr().Interface().(Span)
	if n.Kind == yaml.ScalarNode && slices.Contains(f.Choices, n.Value) {
		span.SetWord(n.Value)
		return
	}
	var v [3]float64
	var ok bool
	switch {
	case n.Kind == yaml.MappingNode:
		v, ok = r.spanKeys(f, n, path)
	case n.Kind == yaml.ScalarNode && strings.Contains(n.Value, ".."):
		v, ok = r.spanText(f, n, path)
	case n.Kind == yaml.ScalarNode:
		v[0], ok = r.number(f, n, path)
		v[1], v[2] = v[0], v[0]
	default:
		r.add(r.at(n, path, WrongShape, describeNode(n)+"; "+f.needs()+" is needed", f.hint()))
	}
	if !ok {
		return
	}
	if !(v[0] <= v[1] && v[1] <= v[2]) {
		r.add(r.at(n, path, BadSpan, "the three values do not rise from low over nominal to high", "write them in that order"))
		return
	}
	span.SetSpan(v[0], v[1], v[2])
}

// spanText reads low..nominal..high.
func (r *reader) spanText(f *Field, n *yaml.Node, path string) (v [3]float64, ok bool) {
	parts := strings.Split(n.Value, "..")
	if len(parts) != 3 {
		r.add(r.at(n, path, BadSpan, clip(n.Value)+" does not have three values", f.hint()))
		return v, false
	}
	ok = true
	column := n.Column
	for i, part := range parts {
		piece := *n
		piece.Value, piece.Style = strings.Trim(part, " "), 0
		if n.Style == 0 { // each value has its own column
			piece.Column = column + len(part) - len(strings.TrimLeft(part, " "))
			column += utf8.RuneCountInString(part) + len("..")
		}
		x, fine := r.number(f, &piece, path)
		v[i], ok = x, ok && fine
	}
	return v, ok
}

// spanGroup describes the mapping form of a span.
var spanGroup = []string{"low", "nominal", "high"}

// spanKeys reads {low: ..., nominal: ..., high: ...}.
func (r *reader) spanKeys(f *Field, n *yaml.Node, path string) (v [3]float64, ok bool) {
	ok = true
	found := map[string]bool{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, value := n.Content[i], n.Content[i+1]
		at := Join(path, key.Value)
		which := slices.Index(spanGroup, key.Value)
		if which < 0 {
			r.unknown(key, path, spanGroup)
			ok = false
			continue
		}
		if found[key.Value] {
			continue
		}
		found[key.Value] = true
		r.remember(at, key, value)
		if isNull(value) {
			r.add(diag.Diagnostic{Pos: r.pos(key), Code: MissingValue, Path: at, Message: "has no value", Hint: f.hint()})
			ok = false
			continue
		}
		x, fine := r.number(f, value, at)
		v[which], ok = x, ok && fine
	}
	for _, key := range spanGroup {
		if !found[key] {
			r.add(diag.Diagnostic{Pos: r.rec.WhereKey(path), Code: MissingKey, Path: Join(path, key), Message: "is missing: low, nominal and high go together"})
			ok = false
		}
	}
	return v, ok
}
