package improve

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"spanwright/ledger"
	"spanwright/parts"
)

// swap is the exchange of one part for another of its kind.
type swap[P parts.Part] struct {
	path   string          // in the design
	noun   string          // what it is called in a title
	now    string          // id of the part in use, "" for none
	cost   float64         // of the part in use, one piece or one metre
	price  func(P) float64 // the same of another part; nil: that of a piece
	pieces float64         // how many pieces or metres are bought
	factor func(P) float64
	why    string
	by     string
	spoils func(P) bool // is another check expected to be over then; may be nil
}

// swapsKept is how many of the parts that fit are worth a full judgement.
const swapsKept = 3

// swaps proposes other parts whose factor on the utilisation is below one: the
// cheapest that are expected to meet the limit or, if none is, the best.
func swaps[P parts.Part](s *situation, c ledger.Check, list []P, w swap[P]) []proposal {
	var out []proposal
	for _, p := range list {
		b := p.Base()
		if b.ID == w.now {
			continue
		}
		f := w.factor(p)
		if !(f < 1) {
			continue
		}
		price := b.Cost
		if w.price != nil {
			price = w.price(p)
		}
		edits := []Edit{{Path: w.path, Value: b.ID}}
		estimate := c.Utilisation * f
		if math.IsInf(estimate, 1) {
			estimate = math.NaN() // there is no ratio
		}
		out = append(out, proposal{
			Title: fmt.Sprintf("%s %s", w.noun, b.ID) + instead(w.now), Why: w.why, Edits: edits,
			Estimate: estimate, By: w.by, cost: w.pieces * (price - w.cost),
			spoils: w.spoils != nil && w.spoils(p),
		})
	}
	slices.SortStableFunc(out, func(a, b proposal) int { return cmp.Compare(s.rank(a), s.rank(b)) })
	return out[:min(len(out), swapsKept)]
}

func instead(now string) string {
	if now == "" || now == "none" {
		return ""
	}
	return " instead of " + now
}

// listed are the parts of a kind.
func listed[P parts.Part](s *situation, kind string) (out []P) {
	for _, p := range s.parts.List(kind) {
		if q, ok := p.(P); ok {
			out = append(out, q)
		}
	}
	return out
}

// never is the factor of a part that cannot serve.
func never() float64 { return math.Inf(1) }

// bigger is the factor where demand falls as a capacity grows.
func bigger(now, next float64) float64 {
	if !(next > 0) {
		return never()
	}
	return now / next
}
