package equip

import (
	"cmp"
	"errors"
	"fmt"
	"math"

	"spanwright/given"
)

// ErrOutsideTable is returned, wrapped, where part data or a standard's table
// ends: the value is unknown, not zero.
var ErrOutsideTable = errors.New("outside the table")

// SpanTable is the free span of a carrier over the added load, from part data.
type SpanTable struct {
	Loads []float64 // added load, kg/m, rising
	Spans []float64 // permissible free span, m
}

// At interpolates the free span (m) for an added load (kg/m). It returns
// ErrOutsideTable, wrapped, beyond the ends.
func (t SpanTable) At(load float64) (float64, error) {
	if len(t.Loads) != len(t.Spans) || len(t.Loads) == 0 {
		return 0, fmt.Errorf("%w: %d loads and %d spans", given.ErrRefused, len(t.Loads), len(t.Spans))
	}
	for i := range t.Loads {
		if err := cmp.Or(given.NotNegative("added load of the span table", t.Loads[i]), given.Positive("span of the span table", t.Spans[i])); err != nil {
			return 0, err
		}
		if i > 0 && !(t.Loads[i] > t.Loads[i-1]) {
			return 0, fmt.Errorf("%w: loads of the span table do not rise", given.ErrRefused)
		}
	}
	last := len(t.Loads) - 1
	if !(load >= t.Loads[0] && load <= t.Loads[last]) {
		return 0, fmt.Errorf("%w: added load %.4g kg/m, table from %.4g to %.4g kg/m", ErrOutsideTable, load, t.Loads[0], t.Loads[last])
	}
	for i := 1; i <= last; i++ {
		if load <= t.Loads[i] {
			share := (load - t.Loads[i-1]) / (t.Loads[i] - t.Loads[i-1])
			return t.Spans[i-1] + share*(t.Spans[i]-t.Spans[i-1]), nil
		}
	}
	return t.Spans[last], nil
}

// SpanPoint is the only point that a supplier gives.
type SpanPoint struct {
	Empty float64 // mass of the carrier, kg/m
	Load  float64 // added load, kg/m
	Span  float64 // free span at that load, m
}

// At scales the point to another added load (kg/m), as a cantilever whose
// links resist a constant end moment (m_c + q) g l²/2.
//
//	l = l0 sqrt((m_c + q0)/(m_c + q))
//
// An estimate only; dynamics are not in it (keep a quarter in reserve above
// 10 m/s²). Source: derived.
func (p SpanPoint) At(load float64) (float64, error) {
	if err := cmp.Or(
		given.Positive("mass of the carrier", p.Empty), given.NotNegative("added load of the given point", p.Load),
		given.Positive("span of the given point", p.Span), given.NotNegative("added load", load),
	); err != nil {
		return 0, err
	}
	return p.Span * math.Sqrt((p.Empty+p.Load)/(p.Empty+load)), nil
}

// Regime is how an upper run behaves.
type Regime string

// The regimes.
const (
	Straight     Regime = "straight"      // camber left, full speed
	Sagging      Regime = "sagging"       // visible sag, about half the acceleration, not for fast cycles
	NeedsSupport Regime = "needs support" // shelf, rollers, a stiffer carrier, or gliding
)

// JudgeSpan says how an upper run of the required length (m) behaves against the
// spans of the straight and the sagging regime (m; sagging 0: not known, then the
// straight one counts alone). Source: common practice, no source.
func JudgeSpan(required, straight, sagging float64) Regime {
	switch {
	case required <= straight:
		return Straight
	case required <= sagging:
		return Sagging
	}
	return NeedsSupport
}

// Arrangement is how a carrier runs.
type Arrangement string

// The arrangements.
const (
	Unsupported Arrangement = "none"
	OnTray      Arrangement = "tray"
	Gliding     Arrangement = "gliding"
	Hanging     Arrangement = "hanging"
	OnItsSide   Arrangement = "side"
)

// CarrierLimits is what an arrangement stands.
type CarrierLimits struct {
	Speed        float64 // m/s
	Acceleration float64 // m/s², emergency stop included
}

// LimitsOf returns the usual limits of an arrangement; part data wins.
// Source: common practice, no source.
func LimitsOf(a Arrangement) (CarrierLimits, error) {
	switch a {
	case Unsupported, OnTray:
		return CarrierLimits{10, 50}, nil
	case Gliding:
		return CarrierLimits{3, 20}, nil
	case Hanging:
		return CarrierLimits{6, 30}, nil
	case OnItsSide:
		return CarrierLimits{3, 10}, nil
	}
	return CarrierLimits{}, fmt.Errorf("%w: carrier arrangement %q", given.ErrRefused, a)
}
