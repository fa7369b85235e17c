package design

import (
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"pgregory.net/rapid"

	"spanwright/decode"
	"spanwright/quantity"
)

// writer writes designs at random from the description of the file: right ones,
// or with a fault after a number of values.
type writer struct {
	*rapid.T
	faultAfter int // counts down; at 0 a fault is written
}

// faults are values that are wrong in most places.
var faults = []string{
	"5", "-3", "1.5", "5 furlongs", "yes", "on", "x", "[1]", "[1, 2, 3]", "[0, 0, 0]", "{}", "{a: 1}", "{low: 1 m}", "''", "'0.5'", "~", "",
	"5 kg", "12 mm", "85 %", "0.1..0.2..0.3", "0.1..0.2", "1 N/m..2 N/m..3 N/m", "family", "none", "'a b'", "1 m..2 m..3 m",
}

func (w *writer) fault() bool {
	w.faultAfter--
	return w.faultAfter == 0
}

func (w *writer) coin(percent int) bool { return rapid.IntRange(0, 99).Draw(w.T, "coin") < percent }

func (w *writer) one(of ...string) string { return rapid.SampledFrom(of).Draw(w.T, "word") }

func (w *writer) name() string { return w.one("x", "y", "z", "leg.left", "n-1", "höhe_2", "a", "b") }

// group writes a group between braces.
func (w *writer) group(s *decode.Struct) string {
	if s.Axes != nil {
		return w.entries(1, func() string { return w.number(s.Axes.Elem) })
	}
	var entries []string
	for _, f := range s.Fields {
		switch {
		case f.Required && w.fault(), !f.Required && !w.coin(60):
			continue
		case w.fault():
			entries = append(entries, w.one(f.Key+"s", strings.ToUpper(f.Key), "colour")+": 1")
		}
		value := ""
		if w.fault() {
			value = w.one(faults...)
		} else {
			value = w.form(f)
		}
		entries = append(entries, f.Key+": "+value)
	}
	return "{" + strings.Join(entries, ", ") + "}"
}

// entries writes a group with free names.
func (w *writer) entries(least int, value func() string) string {
	var out []string
	used := map[string]bool{}
	for range rapid.IntRange(least, 3).Draw(w.T, "entries") {
		name := w.name()
		if w.fault() {
			name = "'a b'"
		}
		if used[name] {
			continue
		}
		used[name] = true
		out = append(out, name+": "+value())
	}
	return "{" + strings.Join(out, ", ") + "}"
}

func (w *writer) form(f *decode.Field) string {
	switch f.Form {
	case decode.Truth:
		return w.one("yes", "no", "true", "false")
	case decode.Direction:
		return w.one("x", "-y", "+z", "[0, 0.6, -0.8]", "[1, 0, 0]")
	case decode.Whole, decode.Number:
		return w.number(f)
	case decode.Triple:
		return w.triple(f)
	case decode.Group:
		return w.group(f.Group)
	case decode.Keyed:
		return w.entries(least(f), func() string { return w.group(f.Elem.Group) })
	case decode.Series:
		return w.series(f)
	}
	if len(f.Choices) > 0 {
		return w.one(f.Choices...)
	}
	return w.one("a", "slot-80x40", "'two words'", "12", "2026-03-14", `"\u00fc"`)
}

func least(f *decode.Field) int {
	if f.Required {
		return 1
	}
	return 0
}

func (w *writer) series(f *decode.Field) string {
	n := f.Length
	if n == 0 {
		n = rapid.IntRange(least(f), 3).Draw(w.T, "length")
	}
	if w.fault() {
		n++
	}
	var out []string
	for range n {
		if w.fault() {
			out = append(out, "{wrong: "+w.one(faults...)+"}")
			continue
		}
		out = append(out, w.form(f.Elem))
	}
	return "[" + strings.Join(out, ", ") + "]"
}

// number writes a number within the range of the field.
func (w *writer) number(f *decode.Field) string {
	if len(f.Choices) > 0 {
		return w.one(f.Choices...)
	}
	low, high := 0.0, 1.0
	if f.Limits != nil {
		low, high = f.Limits.Low, f.Limits.High
	}
	if f.Form == decode.Whole {
		return quantity.Number(float64(rapid.IntRange(int(low), int(high)).Draw(w.T, "whole")), 0)
	}
	v := low + (high-low)*rapid.SampledFrom([]float64{0, 0.01, 0.25, 0.5, 1}).Draw(w.T, "share")
	if f.Kind == "" || f.Kind == quantity.Ratio && w.coin(50) {
		return quantity.Number(v, 0)
	}
	return quantity.Exact(f.Kind, v)
}

func (w *writer) triple(f *decode.Field) string {
	v := w.number(f)
	switch {
	case len(f.Choices) > 0 && !strings.Contains(v, "."):
		return v
	case w.coin(40):
		return v + ".." + v + " .. " + v
	case w.coin(40):
		return "{low: " + v + ", nominal: " + v + ", high: " + v + "}"
	}
	return v
}

func agreesOnAny(schema *jsonschema.Schema, seen map[judgement]int) func(*rapid.T) {
	return func(t *rapid.T) {
		w := &writer{T: t}
		if rapid.Bool().Draw(t, "faulty") {
			w.faultAfter = rapid.IntRange(1, 400).Draw(t, "fault after")
		}
		text := []byte(w.group(decode.Describe(Design{})) + "\n")
		seen[agree(t, schema, text)]++
	}
}

func TestSchemaAgreesWithReadingOfAnyDesign(t *testing.T) {
	seen := map[judgement]int{}
	rapid.Check(t, agreesOnAny(compiledSchema(t), seen))
	if seen[accepted] == 0 || seen[refused] == 0 {
		t.Errorf("accepted %d, refused %d: the designs prove nothing", seen[accepted], seen[refused])
	}
	t.Log(seen)
}
