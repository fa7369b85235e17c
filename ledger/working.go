package ledger

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"github.com/expr-lang/expr"
)

// Working is the calculation behind a value: enough to redo it by hand.
type Working struct {
	// Formula is "symbol = expression" in the symbols of Inputs, with * / + - ^ and
	// sqrt cbrt abs min max ln exp sin cos tan ceil floor pi, so that it can be
	// evaluated again; or a sentence, if Solver is set.
	Formula string
	Inputs  []Input
	Source  string // standard and clause, book, "derived from ...", or "common practice, no source"
	Solver  bool   // the value comes out of the whole-machine solution or a search over the cycle; Formula describes it
	Counted bool   // value and limit are counts or yes/no
}

// Input is one number of the working.
type Input struct {
	Symbol string  `json:"symbol"`
	Name   string  `json:"name"`
	Value  float64 `json:"value"`
	Unit   string  `json:"unit"`
	From   string  `json:"from"` // design path, part, assumption, or what computed it
}

var symbolPattern = regexp.MustCompile(`[\p{L}][\p{L}\p{N}_]*`)

// Substituted is the formula's right side with the numbers in it, and its result.
func (w Working) Substituted(result float64, unit string) string {
	_, right, ok := strings.Cut(w.Formula, "=")
	if !ok || w.Solver {
		return ""
	}
	values := map[string]string{}
	for _, in := range w.Inputs {
		v := Number(in.Value)
		if in.Value < 0 {
			v = "(" + v + ")"
		}
		values[in.Symbol] = v
	}
	text := symbolPattern.ReplaceAllStringFunc(right, func(s string) string {
		if v, ok := values[s]; ok {
			return v
		}
		return s
	})
	return strings.TrimSpace(strings.TrimSpace(text) + " = " + strings.TrimSpace(Number(result)+" "+unit))
}

// Number prints with five significant digits and without needless zeros;
// infinity is "unlimited", what is no number "unknown".
func Number(v float64) string {
	switch {
	case math.IsNaN(v):
		return "unknown"
	case math.IsInf(v, 0):
		return "unlimited"
	}
	s := strconv.FormatFloat(v, 'g', 5, 64)
	if !strings.Contains(s, "e") {
		return s
	}
	m, e, _ := strings.Cut(s, "e")
	n, err := strconv.Atoi(e)
	if err != nil {
		return s
	}
	return m + "e" + strconv.Itoa(n)
}

// ErrNotEvaluable is returned for workings that are a sentence, not a sum.
var ErrNotEvaluable = errors.New("the working is a description, not a formula")

// Evaluate redoes the sum from the inputs.
func (w Working) Evaluate() (float64, error) {
	_, right, ok := strings.Cut(w.Formula, "=")
	if !ok || w.Solver {
		return math.NaN(), ErrNotEvaluable
	}
	env := map[string]any{"pi": math.Pi}
	for name, f := range functions {
		env[name] = f
	}
	for _, in := range w.Inputs {
		if _, taken := env[in.Symbol]; taken {
			return math.NaN(), fmt.Errorf("symbol %q is used twice", in.Symbol)
		}
		env[in.Symbol] = in.Value
	}
	out, err := expr.Eval(right, env)
	if err != nil {
		return math.NaN(), fmt.Errorf("%s: %w", right, err)
	}
	switch v := out.(type) {
	case float64:
		return v, nil
	case int:
		return float64(v), nil
	}
	return math.NaN(), fmt.Errorf("%s: not a number", right)
}

var functions = map[string]any{
	"sqrt": math.Sqrt, "cbrt": math.Cbrt, "exp": math.Exp, "ln": math.Log,
	"sin": math.Sin, "cos": math.Cos, "tan": math.Tan,
}
