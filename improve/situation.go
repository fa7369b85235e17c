package improve

import (
	"math"
	"path"
	"strings"

	"spanwright/assess"
	"spanwright/design"
	"spanwright/ledger"
	"spanwright/machine"
	"spanwright/parts"
	"spanwright/quantity"
	"spanwright/structure"
)

// proposal is what a rule proposes for one check.
type proposal struct {
	Title    string
	Why      string
	Edits    []Edit
	Estimate float64 // utilisation of the check afterwards; NaN: no estimate
	By       string  // how it was estimated
	cost     float64 // rough change of the cost, to rank with
	spoils   bool    // expected to put another check over its limit

	meets      bool // a rule that is met in full, whatever its utilisation
	structural bool // the estimate is to be foreseen from the sensitivities
}

// family is a rule: the kinds of checks it knows, as patterns in which a star
// stands for anything, and what it proposes for one of them.
type family struct {
	kinds   []string
	propose func(*situation, ledger.Check) []proposal
}

func (f family) fits(kind string) bool {
	for _, k := range f.kinds {
		if ok, err := path.Match(k, kind); err == nil && ok {
			return true
		}
	}
	return false
}

// situation is the machine as it stands with what the rules ask about it.
type situation struct {
	found  *assess.Assessment
	design *design.Design
	m      *machine.Machine
	parts  *parts.Catalogue
	checks map[string]ledger.Check

	ahead   outlook
	changes changes
	studies *structure.Cache // of all machines that are judged
}

// roomForStudies is the memory for solved structures, bytes: enough for those of
// one search.
const roomForStudies = 256 << 20

func newSituation(found *assess.Assessment, catalogue *parts.Catalogue) *situation {
	studies := found.Studies()
	if studies == nil {
		studies = structure.NewCache(roomForStudies)
	}
	return &situation{found: found, design: found.Machine.Design, m: found.Machine, parts: catalogue, checks: byID(found), studies: studies}
}

// axis is the axis that a check is about, or nil: the second word of its id.
func (s *situation) axis(c ledger.Check) *machine.Axis {
	words := strings.Split(c.ID, ".")
	for _, a := range s.m.Axes {
		if len(words) > 1 && a.Spec.ID == words[1] && c.ID != c.Kind {
			return a
		}
	}
	return nil
}

func axisPath(a *machine.Axis, key string) string { return "axes." + a.Spec.ID + "." + key }

// of reads an input of the working of a check of this machine; NaN if there is none.
func (s *situation) of(id, symbol string) float64 { return input(s.checks[id], symbol) }

func input(c ledger.Check, symbol string) float64 {
	for _, in := range c.Working.Inputs {
		if in.Symbol == symbol {
			return in.Value
		}
	}
	return math.NaN()
}

// goal is the utilisation that a freely chosen value aims at: a little below
// where a check is called tight.
func (s *situation) goal() float64 { return 0.97 * s.design.Assumptions.Tight }

// Steps to which values are rounded: common practice on drawings and in drives.
const (
	step5  = 0.005 // m
	step50 = 0.050 // m
)

func up(x, step float64) float64   { return step * math.Ceil(x/step-1e-9) }
func down(x, step float64) float64 { return step * math.Floor(x/step+1e-9) }

// downTwo rounds down to two digits, upTwo up.
func downTwo(x float64) float64 { return down(x, twoDigits(x)) }
func upTwo(x float64) float64   { return up(x, twoDigits(x)) }

func twoDigits(x float64) float64 {
	if !(x > 0) || math.IsInf(x, 0) {
		return 1
	}
	return math.Pow(10, math.Floor(math.Log10(x))-1)
}

func length(x float64) string       { return text(quantity.Length, x) }
func speed(x float64) string        { return text(quantity.Speed, x) }
func acceleration(x float64) string { return text(quantity.Acceleration, x) }
func jerk(x float64) string         { return text(quantity.Jerk, x) }
func force(x float64) string        { return text(quantity.Force, x) }

// digits are enough for every step above.
func text(kind quantity.Kind, x float64) string {
	const digits = 6
	return quantity.Format(kind, x, digits)
}

// valueOf is a pointer's value or another.
func valueOf(p *float64, otherwise float64) float64 {
	if p != nil {
		return *p
	}
	return otherwise
}
