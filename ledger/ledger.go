// Package ledger holds judgements: checks with value, limit, utilisation,
// verdict and working. It knows no engineering; it orders, judges, prints the
// substitution of a formula and can redo the sum from the printed inputs.
//
// All numbers are SI; the unit stands in Check.Unit and Input.Unit. A ratio is
// 0 to 1, never per cent.
package ledger

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// Verdict is the outcome of one check. The zero value is Unknown: what was not
// judged has not passed.
type Verdict uint8

// The verdicts in rising order of comfort, except Unknown, which is none.
const (
	Unknown Verdict = iota
	Over
	Tight
	OK
)

var verdictWords = [...]string{Unknown: "unknown", Over: "over", Tight: "tight", OK: "ok"}

// String returns the word used on every surface.
func (v Verdict) String() string {
	if int(v) < len(verdictWords) {
		return verdictWords[v]
	}
	return fmt.Sprintf("Verdict(%d)", uint8(v))
}

// MarshalText writes the word.
func (v Verdict) MarshalText() ([]byte, error) { return []byte(v.String()), nil }

// UnmarshalText reads the word.
func (v *Verdict) UnmarshalText(text []byte) error {
	i := slices.Index(verdictWords[:], string(text))
	if i < 0 {
		return fmt.Errorf("%q is none of %s", text, strings.Join(verdictWords[:], ", "))
	}
	*v = Verdict(i)
	return nil
}

// Sense says on which side of the limit the value must lie.
type Sense uint8

// AtMost is the zero value.
const (
	AtMost Sense = iota
	AtLeast
)

// MarshalText writes "max" or "min".
func (s Sense) MarshalText() ([]byte, error) {
	if s == AtLeast {
		return []byte("min"), nil
	}
	return []byte("max"), nil
}

// Check is one judgement.
type Check struct {
	ID      string // stable, e.g. axis.z.brake.hold
	Kind    string // the id without the user's names, e.g. axis.brake.hold: key of the reference page
	Group   string // task, axis, pair, joint, stand, tool, carrier, stop, safety, build
	Subject string // path of what is judged, e.g. axes.z.brake
	Title   string // a sentence: what is compared

	Sense Sense
	Value float64 // NaN: not computed
	Limit float64 // NaN: no limit given
	Unit  string  // SI unit of value and limit, "" for a ratio or count

	Missing string  // what is needed and not there; makes the check Unknown
	Over    bool    // a rule that no number measures is broken
	AtBest  Verdict // no better verdict than this may be given (zero: no cap)
	Note    string  // one sentence for the reader: why, or what helps
	Caution string  // safety words that go with it

	Range   *Range         // outcome over the uncertain inputs
	Parts   []Contribution // who contributes how much
	Adds    bool           // the parts add up to a deflection; else they combine otherwise
	Working Working

	Verdict     Verdict // set by Judge
	Utilisation float64 // demand over capacity, 1 at the limit; NaN if unknown; set by Judge
}

// Range is the outcome at the ends of the uncertain inputs.
type Range struct {
	Low     float64 `json:"low"`
	Nominal float64 `json:"nominal"`
	High    float64 `json:"high"`
	Of      string  `json:"of"`     // what was varied
	Judged  string  `json:"judged"` // which end the verdict is for
}

// Contribution is one share of a value.
type Contribution struct {
	Name  string  `json:"name"`
	Value float64 `json:"value"`
	Unit  string  `json:"unit"`
}

// Judge sets utilisation and verdict. A utilisation above tight (0 to 1) is
// Tight, above 1 Over. For AtLeast it is limit over value, so it always means
// demand over capacity. Comparisons are written so that NaN never passes.
func (c *Check) Judge(tight float64) {
	c.Utilisation, c.Verdict = math.NaN(), Unknown
	switch {
	case c.Missing != "":
		return
	case c.Over:
		c.Verdict = Over
	}
	if math.IsNaN(c.Value) || math.IsNaN(c.Limit) {
		return
	}
	c.Utilisation = utilisation(c.Sense, c.Value, c.Limit)
	switch {
	case c.Over || !(c.Utilisation <= 1+roundOff):
		c.Verdict = Over
	case !(c.Utilisation <= tight):
		c.Verdict = Tight
	default:
		c.Verdict = OK
	}
	if c.Working.Counted && c.Verdict == Tight {
		c.Verdict = OK // a count that meets its rule exactly has no margin to be short of
	}
	if c.AtBest != Unknown && c.Verdict > c.AtBest {
		c.Verdict = c.AtBest
	}
}

// roundOff forgives the last digits of a value that equals its limit by construction.
const roundOff = 1e-12

func utilisation(s Sense, value, limit float64) float64 {
	demand, capacity := value, limit
	if s == AtLeast {
		demand, capacity = limit, value
	}
	switch {
	case s == AtLeast && value < limit && !(demand > 0):
		return math.Inf(1) // below a limit of zero or less there is no ratio
	case demand <= 0:
		return 0
	case capacity <= 0:
		return math.Inf(1)
	}
	return demand / capacity
}

// Ledger collects checks.
type Ledger struct {
	Tight  float64 // utilisation above which a check is Tight
	checks []Check
}

// Add judges a check and keeps it.
func (l *Ledger) Add(c Check) {
	c.Judge(l.Tight)
	if l.checks == nil {
		const usual = 128 // checks are large, so they are not moved again and again
		l.checks = make([]Check, 0, usual)
	}
	l.checks = append(l.checks, c)
}

// Sorted returns the checks, worst first: over, tight, unknown, ok; inside a
// verdict by falling utilisation, then by id.
func (l *Ledger) Sorted() []Check {
	order := make([]int, len(l.checks)) // checks are large, so their places are sorted
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, k int) int {
		a, b := &l.checks[i], &l.checks[k]
		return cmp.Or(
			cmp.Compare(rank[a.Verdict], rank[b.Verdict]),
			cmp.Compare(sortable(b.Utilisation), sortable(a.Utilisation)),
			cmp.Compare(a.ID, b.ID),
		)
	})
	out := make([]Check, len(order))
	for i, k := range order {
		out[i] = l.checks[k]
	}
	return out
}

var rank = [...]int{Over: 0, Tight: 1, Unknown: 2, OK: 3}

func sortable(u float64) float64 {
	if math.IsNaN(u) {
		return -1
	}
	return u
}

// Counts is how many checks have each verdict.
type Counts struct {
	OK      int `json:"ok"`
	Tight   int `json:"tight"`
	Over    int `json:"over"`
	Unknown int `json:"unknown"`
}

// Count counts verdicts.
func Count(checks []Check) Counts {
	var n Counts
	for _, c := range checks {
		switch c.Verdict {
		case OK:
			n.OK++
		case Tight:
			n.Tight++
		case Over:
			n.Over++
		default:
			n.Unknown++
		}
	}
	return n
}

// Verdict is the verdict on the whole: the worst that occurs.
func (n Counts) Verdict() Verdict {
	switch {
	case n.Over > 0:
		return Over
	case n.Unknown > 0:
		return Unknown
	case n.Tight > 0:
		return Tight
	}
	return OK
}
