package wording

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"spanwright/ledger"
)

// judged fills in what a check's numbers say.
func judged(c ledger.Check) ledger.Check {
	c.Judge(0.85)
	return c
}

// Checks of the kinds that read differently.
var (
	hold  = judged(ledger.Check{Sense: ledger.AtLeast, Value: 1.15, Limit: 1.5})
	sag   = judged(ledger.Check{Value: 0.228e-3, Limit: 0.25e-3, Unit: "m"})
	hose  = judged(ledger.Check{Value: math.NaN(), Limit: math.NaN(), Missing: `bend radius of "gripper hose"`})
	brace = judged(ledger.Check{
		Sense: ledger.AtLeast, Value: 1, Limit: 1,
		Working: ledger.Working{Solver: true, Counted: true},
	})
	clamps = judged(ledger.Check{Sense: ledger.AtLeast, Value: 2, Limit: 2, Working: ledger.Working{Counted: true}})
	far    = judged(ledger.Check{Value: 0.2, Limit: 0.001, Unit: "m"})
	barely = judged(ledger.Check{Value: 1.00004, Limit: 1})
	full   = judged(ledger.Check{Value: 2, Limit: 2})
)

func TestOutcome(t *testing.T) {
	noted := ledger.Check{Title: "rule", Value: math.NaN(), Limit: math.NaN(), Note: "the fence is too low"}
	free := ledger.Check{Title: "mass", Value: 12, Limit: math.NaN(), Unit: "kg"}
	broken, capped := brace, brace
	broken.Value = 0
	capped.AtBest = ledger.Tight
	capped = judged(capped)
	tests := map[string]struct {
		check ledger.Check
		want  string
	}{
		"at least":           {hold, "1.15, at least 1.5"},
		"at most, in mm":     {sag, "0.228 mm, at most 0.25 mm"},
		"what is missing":    {hose, `bend radius of "gripper hose"`},
		"a rule that is met": {brace, "yes"},
		"a broken rule":      {broken, "no"},
		"a reminder":         {capped, ""},
		"a count":            {clamps, "2, at least 2"},
		"without a limit":    {free, "12 kg"},
		"without a number":   {noted, "the fence is too low"},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			if got := Outcome(c.check); got != c.want {
				t.Errorf("got %q, want %q", got, c.want)
			}
		})
	}
}

func TestUtilisation(t *testing.T) {
	tests := map[string]struct {
		check ledger.Check
		want  string
	}{
		"demand over capacity, also of a minimum": {hold, "1.30"},
		"unknown is blank, never 0":               {hose, "    "},
		"a rule has no margin":                    {brace, "    "},
		"beyond the column":                       {far, ">100"},
		"barely over does not read as the limit":  {barely, "1.01"},
		"the limit itself":                        {full, "1.00"},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			if got := Utilisation(c.check); got != c.want {
				t.Errorf("got %q, want %q", got, c.want)
			}
		})
	}
}

func TestValues(t *testing.T) {
	tests := map[string]struct {
		unit   string
		values []float64
		want   []string
	}{
		"one unit for all":         {"m", []float64{0.1107e-3, 98.9e-6}, []string{"0.1107 mm", "0.0989 mm"}},
		"noise is 0":               {"N", []float64{200, -7e-15}, []string{"200 N", "0 N"}},
		"a unit that nobody knows": {"years", []float64{8, 0.5}, []string{"8 years", "0.5 years"}},
		"a ratio":                  {"", []float64{1.5, 2}, []string{"1.5", "2"}},
		"unknown stays unknown":    {"m", []float64{math.NaN(), 1}, []string{"unknown", "1 m"}},
		"nothing":                  {"m", nil, []string{}},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			if diff := cmp.Diff(c.want, Values(c.unit, c.values...)); diff != "" {
				t.Error(diff)
			}
		})
	}
}
