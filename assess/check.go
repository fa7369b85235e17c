package assess

import (
	"math"

	"spanwright/ledger"
)

// in is one input of a working.
func in(symbol, name string, value float64, unit, from string) ledger.Input {
	return ledger.Input{Symbol: symbol, Name: name, Value: value, Unit: unit, From: from}
}

// Sources that many checks share.
const (
	derived  = "derived from mechanics"
	practice = "common practice, no source"
)

// axisCheck starts a check of an axis. kind is the id without the axis, e.g.
// "axis.belt.tooth"; the axis's name goes in after the group.
func axisCheck(axisID, kind, subject, title string) ledger.Check {
	c := newCheck(kind, "axes."+axisID+subject, title)
	c.ID = c.Group + "." + axisID + kind[len(c.Group):]
	return c
}

// newCheck starts a check whose id is its kind.
func newCheck(kind, subject, title string) ledger.Check {
	group := kind
	for i := range kind {
		if kind[i] == '.' {
			group = kind[:i]
			break
		}
	}
	return ledger.Check{ID: kind, Kind: kind, Group: group, Subject: subject, Title: title, Value: math.NaN(), Limit: math.NaN()}
}

// atMost judges value <= limit.
func atMost(c ledger.Check, value, limit float64, unit string, w ledger.Working) ledger.Check {
	c.Sense, c.Value, c.Limit, c.Unit, c.Working = ledger.AtMost, value, limit, unit, w
	return c
}

// atLeast judges value >= limit.
func atLeast(c ledger.Check, value, limit float64, unit string, w ledger.Working) ledger.Check {
	c.Sense, c.Value, c.Limit, c.Unit, c.Working = ledger.AtLeast, value, limit, unit, w
	return c
}

// present judges a rule that is met or not.
func present(c ledger.Check, met bool, why string) ledger.Check {
	value := 0.0
	if met {
		value = 1
	}
	return atLeast(c, value, 1, "", ledger.Working{Formula: why, Source: practice, Solver: true, Counted: true})
}

// unknown says what is missing.
func unknown(c ledger.Check, missing string) ledger.Check {
	c.Missing = missing
	return c
}

// add judges a check; an error turns it into an unknown one that says why.
func (r *run) add(c ledger.Check, err error) {
	if err != nil {
		c = unknown(c, err.Error())
	}
	r.ledger.Add(c)
}
