package view

import (
	"math"
	"strings"

	"spanwright/assess"
	"spanwright/ledger"
)

// Headline is the machine in a handful of numbers.
type Headline struct {
	Verdict      ledger.Verdict    `json:"verdict"`
	Counts       ledger.Counts     `json:"counts"`
	CycleTime    Number            `json:"cycle_time_s"`
	SagVariation Number            `json:"sag_variation_m"`
	FirstFreq    Number            `json:"first_frequency_hz"`
	SettleTime   Number            `json:"settle_time_s"` // null where nothing has to settle, or never does
	Tipping      Number            `json:"tipping"`
	Mass         Number            `json:"mass_kg"`
	Cost         Number            `json:"cost"`
	Texts        map[string]string `json:"texts"`   // the same in words
	Targets      map[string]Number `json:"targets"` // what the task asks for, where it does
}

// targetOf says which check holds the limit of a number of the headline.
var targetOf = map[string]string{
	"task.rate": "cycle_time_s", "tool.sag.variation": "sag_variation_m", "tool.frequency": "first_frequency_hz", "tool.settle": "settle_time_s",
}

// OfHeadline picks the headline out of an assessment.
func OfHeadline(a *assess.Assessment) Headline {
	r := &a.Results
	h := Headline{Verdict: a.Counts.Verdict(), Counts: a.Counts, Texts: map[string]string{}, Targets: map[string]Number{}}
	h.CycleTime, h.SagVariation, h.FirstFreq = r.CycleTime, r.Tool.SagVariation, r.Tool.FirstFreq
	h.SettleTime, h.Tipping, h.Mass, h.Cost = r.Tool.SettleTime, r.Stand.TippingFactor, r.Mass, r.Cost
	if r.Tool.SettleAt == "" { // nothing has to settle
		h.SettleTime = Number(math.NaN())
	}
	for _, f := range h.figures() {
		h.Texts[f.key] = value(float64(f.value), f.unit)
	}
	for i := range a.Checks {
		c := &a.Checks[i]
		if key := targetOf[c.Kind]; key != "" {
			h.Targets[key] = Number(c.Limit)
		}
		if strings.HasPrefix(c.Kind, "stand.tipping") && Number(c.Value) == h.Tipping { // the least of several checks, each with its own limit
			h.Targets["tipping"] = Number(c.Limit)
		}
	}
	return h
}

// figure is one number of the headline.
type figure struct {
	key, name, unit string
	value           Number
	more            int // +1: more is better, -1: less is better, 0: neither
}

// figures are the numbers of the headline in the order in which they are read.
func (h *Headline) figures() []figure {
	return []figure{
		{"cycle_time_s", "cycle time", "s", h.CycleTime, -1},
		{"sag_variation_m", "variation of the tool's sag", "m", h.SagVariation, -1},
		{"first_frequency_hz", "lowest natural frequency", "Hz", h.FirstFreq, 1},
		{"settle_time_s", "settle time", "s", h.SettleTime, -1},
		{"tipping", "tipping factor", "", h.Tipping, 1},
		{"mass_kg", "mass", "kg", h.Mass, -1},
		{"cost", "cost of parts", "", h.Cost, -1},
	}
}
