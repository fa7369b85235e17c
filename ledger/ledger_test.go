package ledger

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
)

func TestJudge(t *testing.T) {
	tests := map[string]struct {
		in   Check
		util float64
		want Verdict
	}{
		"half used":                     {Check{Value: 1, Limit: 2}, 0.5, OK},
		"at the limit":                  {Check{Value: 2, Limit: 2}, 1, Tight},
		"above":                         {Check{Value: 3, Limit: 2}, 1.5, Over},
		"at least, short":               {Check{Sense: AtLeast, Value: 1.15, Limit: 1.5}, 1.5 / 1.15, Over},
		"at least, plenty":              {Check{Sense: AtLeast, Value: 6, Limit: 1.5}, 0.25, OK},
		"nothing where one is needed":   {Check{Sense: AtLeast, Value: 0, Limit: 1}, math.Inf(1), Over},
		"a count that meets its rule":   {Check{Sense: AtLeast, Value: 2, Limit: 2, Working: Working{Counted: true}}, 1, OK},
		"value not computed":            {Check{Value: math.NaN(), Limit: 2}, math.NaN(), Unknown},
		"datum missing":                 {Check{Value: 1, Limit: 2, Missing: "brake delay"}, math.NaN(), Unknown},
		"below a limit of zero":         {Check{Sense: AtLeast, Value: -5, Limit: 0}, math.Inf(1), Over},
		"at a limit of zero":            {Check{Sense: AtLeast, Value: 0, Limit: 0}, 0, OK},
		"broken rule":                   {Check{Value: 0, Limit: 1, Over: true}, 0, Over},
		"never better than tight":       {Check{Value: 0, Limit: 1, AtBest: Tight}, 0, Tight},
		"capped, but over all the same": {Check{Value: 2, Limit: 1, AtBest: Tight}, 2, Over},
		"endless life":                  {Check{Sense: AtLeast, Value: math.Inf(1), Limit: 1}, 0, OK},
	}
	for name, tc := range tests {
		t.Run(name, func(t *testing.T) {
			tc.in.Judge(0.85)
			same := tc.in.Utilisation == tc.util || math.IsNaN(tc.in.Utilisation) && math.IsNaN(tc.util)
			if !same || tc.in.Verdict != tc.want {
				t.Errorf("utilisation %v, %v; want %v, %v", tc.in.Utilisation, tc.in.Verdict, tc.util, tc.want)
			}
		})
	}
}

func TestSortedWorstFirst(t *testing.T) {
	l := Ledger{Tight: 0.85}
	for _, c := range []Check{
		{ID: "calm", Value: 1, Limit: 10}, {ID: "unclear", Value: math.NaN()}, {ID: "broken", Value: 2, Limit: 1},
		{ID: "near", Value: 0.9, Limit: 1}, {ID: "worse", Value: 3, Limit: 1},
	} {
		l.Add(c)
	}
	var got []string
	for _, c := range l.Sorted() {
		got = append(got, c.ID)
	}
	if want := "worse broken near unclear calm"; strings.Join(got, " ") != want {
		t.Errorf("order %v, want %s", got, want)
	}
}

func TestWorkingCanBeRedone(t *testing.T) {
	w := Working{Formula: "S = T_B * q / (m * g)", Inputs: []Input{
		{Symbol: "T_B", Value: 4}, {Symbol: "q", Value: 2 * math.Pi / 0.01}, {Symbol: "m", Value: 35}, {Symbol: "g", Value: 9.80665},
	}}
	got, err := w.Evaluate()
	if err != nil || math.Abs(got-7.3224) > 1e-4 { // 4 N m x 628.32 rad/m against 35 kg x 9.80665 m/s2
		t.Errorf("S = %v, %v", got, err)
	}
	if s := w.Substituted(got, ""); s != "4 * 628.32 / (35 * 9.8066) = 7.3224" {
		t.Errorf("substituted: %s", s)
	}
	if _, err := (Working{Formula: "largest sag over all poses", Solver: true}).Evaluate(); err != ErrNotEvaluable {
		t.Errorf("a sentence was evaluated: %v", err)
	}
	if _, err := (Working{Formula: "a = b + c", Inputs: []Input{{Symbol: "b", Value: 1}}}).Evaluate(); err == nil {
		t.Error("a missing input went unnoticed")
	}
}

func TestFunctionsOfWorkings(t *testing.T) {
	tests := map[string]float64{
		"y = x^2 + sqrt(x)": 18, "y = max(x, 7) - min(x, 1)": 6, "y = cbrt(2 * x)": 2, "y = abs(-x) * pi": 4 * math.Pi,
		"y = ceil(x / 3)": 2, "y = exp(ln(x))": 4, "y = floor(x + 0.5)": 4,
	}
	for formula, want := range tests {
		got, err := Working{Formula: formula, Inputs: []Input{{Symbol: "x", Value: 4}}}.Evaluate()
		if err != nil || math.Abs(got-want) > 1e-12 {
			t.Errorf("%s: %v, %v, want %v", formula, got, err, want)
		}
	}
}

func TestJSONHasNoInfinities(t *testing.T) {
	c := Check{ID: "a", Sense: AtLeast, Value: 0, Limit: 1, Range: &Range{Low: math.NaN()}}
	c.Judge(0.85)
	text, err := json.Marshal(c)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(text), `"utilisation":null`) || !strings.Contains(string(text), `"verdict":"over"`) || !strings.Contains(string(text), `"sense":"min"`) {
		t.Errorf("%s", text)
	}
}
