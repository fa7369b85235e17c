package verification

import (
	"math"
	"strings"
	"testing"
)

// TestCompare breaks the comparison in every way in which it must refuse.
func TestCompare(t *testing.T) {
	nan := math.NaN()
	tests := map[string]struct {
		file     string
		expected Values
		tol      float64
		absTol   float64
		got      Values
		ok       bool
	}{
		"equal":                              {"drives", Values{"a_m": 2.0}, 1e-6, 0, Values{"a_m": 2.0}, true},
		"inside the tolerance":               {"drives", Values{"a_m": 2.0}, 1e-6, 0, Values{"a_m": 2.0000019}, true},
		"outside the tolerance":              {"drives", Values{"a_m": 2.0}, 1e-6, 0, Values{"a_m": 2.0000021}, false},
		"negative, outside":                  {"drives", Values{"a_m": -2.0}, 1e-6, 0, Values{"a_m": 2.0}, false},
		"NaN fails":                          {"drives", Values{"a_m": 2.0}, 0.1, 0, Values{"a_m": nan}, false},
		"NaN fails at zero":                  {"drives", Values{"a_m": 0.0}, 0.1, 0, Values{"a_m": nan}, false},
		"infinity fails":                     {"drives", Values{"a_m": 2.0}, 0.1, 0, Values{"a_m": math.Inf(1)}, false},
		"a missing key fails":                {"drives", Values{"a_m": 2.0}, 1e-6, 0, Values{"b_m": 2.0}, false},
		"a key too many is no matter":        {"drives", Values{"a_m": 2.0}, 1e-6, 0, Values{"a_m": 2.0, "b": 1.0}, true},
		"zero, default 1e-9":                 {"drives", Values{"a_m": 0.0}, 0.1, 0, Values{"a_m": 0.9e-9}, true},
		"zero, beyond the default":           {"drives", Values{"a_m": 0.0}, 0.1, 0, Values{"a_m": 1.1e-9}, false},
		"zero, own tolerance":                {"drives", Values{"a_m": 0.0, "abs_tol_m": 1e-12}, 0.1, 0, Values{"a_m": 0.9e-9}, false},
		"own tolerance of another unit":      {"drives", Values{"a_s": 0.0, "abs_tol_m": 1e-12}, 0.1, 0, Values{"a_s": 0.9e-9}, true},
		"own tolerance is for zero only":     {"drives", Values{"a_m": 1.0, "abs_tol_m": 1.0}, 1e-6, 0, Values{"a_m": 1.5}, false},
		"structure adds an absolute part":    {"structure", Values{"a_m": 1.0}, 0, 1e-3, Values{"a_m": 1.0009}, true},
		"structure, beyond it":               {"structure", Values{"a_m": 1.0}, 0, 1e-3, Values{"a_m": 1.0011}, false},
		"structure, default 1e-12":           {"structure", Values{"a_m": 0.0}, 0.1, 0, Values{"a_m": 1e-11}, false},
		"list element by element":            {"drives", Values{"a_m": []any{1.0, 2.0}}, 1e-6, 0, Values{"a_m": []float64{1, 2}}, true},
		"list, one element off":              {"drives", Values{"a_m": []any{1.0, 2.0}}, 1e-6, 0, Values{"a_m": []float64{1, 2.1}}, false},
		"list too long":                      {"drives", Values{"a_m": []any{1.0}}, 1e-6, 0, Values{"a_m": []float64{1, 2}}, false},
		"list of lists":                      {"drives", Values{"a_m": []any{[]any{1.0}}}, 1e-6, 0, Values{"a_m": [][]float64{{1}}}, true},
		"list where a number is needed":      {"drives", Values{"a_m": 1.0}, 1e-6, 0, Values{"a_m": []float64{1}}, false},
		"zero in a list":                     {"drives", Values{"a_m": []any{0.0}, "abs_tol_m": 1e-12}, 1, 0, Values{"a_m": []float64{1e-11}}, false},
		"an int is a number":                 {"drives", Values{"n": 3.0}, 0, 0, Values{"n": 3}, true},
		"word":                               {"drives", Values{"t_s": "infinite"}, 1, 0, Values{"t_s": "infinite"}, true},
		"number where a word is needed":      {"drives", Values{"t_s": "infinite"}, 1, 0, Values{"t_s": math.Inf(1)}, false},
		"boolean, wrong":                     {"drives", Values{"jams": true}, 1, 0, Values{"jams": false}, false},
		"null":                               {"structure", Values{"factor": nil}, 1, 0, Values{"factor": nil}, true},
		"number where null is needed":        {"structure", Values{"factor": nil}, 1, 0, Values{"factor": 0.0}, false},
		"nested":                             {"structure", Values{"d": []any{map[string]any{"node": 2.0, "value": 1.0}}}, 1e-6, 0, Values{"d": []Values{{"node": 2, "value": 1.0}}}, true},
		"nested, another name":               {"structure", Values{"d": map[string]any{"a": 1.0}}, 1, 0, Values{"d": map[string]float64{"b": 1}}, false},
		"nested, a key too many":             {"structure", Values{"d": map[string]any{"a": 1.0}}, 1, 0, Values{"d": map[string]float64{"a": 1, "b": 1}}, false},
		"control keys are not asked for":     {"drives", Values{"a_m": 1.0, "use": "x", "a_note": "y", "note": "z"}, 1e-6, 0, Values{"a_m": 1.0}, true},
		"a struct equals nothing, not panic": {"drives", Values{"a_m": 1.0}, 1, 0, Values{"a_m": struct{}{}}, false},
	}
	for name, tt := range tests {
		t.Run(name, func(t *testing.T) {
			c := Case{File: tt.file, Expected: tt.expected, TolRel: tt.tol, AbsTol: tt.absTol}
			rows := c.Compare(tt.got)
			if len(rows) == 0 {
				t.Fatal("nothing was compared")
			}
			ok := true
			for _, r := range rows {
				ok = ok && r.OK
			}
			if ok != tt.ok {
				t.Errorf("passed: %v, want %v: %+v", ok, tt.ok, rows)
			}
		})
	}
}

// TestModelNamesTheMissingInput: a model that asks in vain is stopped with the
// key, and other faults of a model are not swallowed.
func TestModelNamesTheMissingInput(t *testing.T) {
	asks := map[string]Model{
		"missing": func(in Values) (Values, error) { return Values{"y": in.Num("x")}, nil },
		"null":    func(in Values) (Values, error) { return Values{"y": in.Num("n")}, nil },
		"kind":    func(in Values) (Values, error) { return Values{"y": in.Nums("w")}, nil },
		"rows":    func(in Values) (Values, error) { return Values{"y": in.Rows("l")}, nil },
		"group":   func(in Values) (Values, error) { return Values{"y": in.Values("w")}, nil },
	}
	keys := map[string]string{"missing": `"x"`, "null": `"n"`, "kind": `"w"`, "rows": `"l"`, "group": `"w"`}
	for name, model := range asks {
		_, err := model.Run(Case{ID: "Z1", Inputs: Values{"n": nil, "w": "word", "l": []any{1.0}}})
		if err == nil || !strings.Contains(err.Error(), keys[name]) || !strings.Contains(err.Error(), "Z1") {
			t.Errorf("%s: error %v does not name case and key", name, err)
		}
	}
	defer func() {
		if recover() == nil {
			t.Error("a fault of the model itself was swallowed")
		}
	}()
	_, _ = Model(func(Values) (Values, error) { panic("fault") }).Run(Case{})
}
