package search

import (
	"cmp"
	"math/big"
	"slices"
)

// Stage is where combinations were discarded.
type Stage string

// The stages in the order in which they come.
const (
	ByPace   Stage = "pace"   // no motion meets the rate
	ByAxis   Stage = "axis"   // bounds of one axis by itself
	ByScreen Stage = "screen" // checks that need no structure
	ByChoice Stage = "choice" // left out by choice, not by proof
	ByWhole  Stage = "whole"  // the machine judged as a whole
)

// Discarded is how many combinations a reason has discarded.
type Discarded struct {
	Stage  Stage    `json:"stage"`
	Reason string   `json:"reason"` // a check's kind or words
	Count  *big.Int `json:"combinations"`
}

// Proven tells whether what was discarded is known to fail.
func (d Discarded) Proven() bool { return d.Stage != ByChoice }

// tally counts what is discarded; each reason of a stage once.
type tally struct{ list []Discarded }

func (t *tally) add(stage Stage, reason string, n *big.Int) {
	if n.Sign() == 0 {
		return
	}
	for i := range t.list {
		if t.list[i].Stage == stage && t.list[i].Reason == reason {
			t.list[i].Count.Add(t.list[i].Count, n)
			return
		}
	}
	t.list = append(t.list, Discarded{stage, reason, new(big.Int).Set(n)})
}

func (t *tally) join(other tally) {
	for _, d := range other.list {
		t.add(d.Stage, d.Reason, d.Count)
	}
}

// stageOrder is the order in which stages come.
var stageOrder = []Stage{ByPace, ByAxis, ByScreen, ByChoice, ByWhole}

// order sorts by stage and, within one, by count: it does not depend on who came first.
func (t *tally) order() {
	slices.SortFunc(t.list, func(x, y Discarded) int {
		return cmp.Or(cmp.Compare(slices.Index(stageOrder, x.Stage), slices.Index(stageOrder, y.Stage)), y.Count.Cmp(x.Count), cmp.Compare(x.Reason, y.Reason))
	})
}

func times(a *big.Int, n int) *big.Int { return new(big.Int).Mul(a, big.NewInt(int64(n))) }
