package guide

import (
	"cmp"
	"fmt"
	"math"
	"sort"

	"spanwright/given"
)

// MostSupportSpacing is the largest distance between supports of a runway, m,
// with a support at each end.
//
// Source: common practice, no source.
const MostSupportSpacing = 1.0

// MostRunwaySag is the largest deflection of a runway under its carriage as a
// part of the span, for handling.
//
// Source: common practice, no source.
const MostRunwaySag = 1.0 / 2000

// Span is a piece of runway between two supports. Use the profile's own bending
// stiffness: the rail adds to it only as far as its bolts make one beam of them.
type Span struct {
	Length  float64 // m
	Bending float64 // E I, N m²
}

func (s Span) check(force float64) error {
	return cmp.Or(given.Positive("span between supports", s.Length), given.Positive("bending stiffness", s.Bending), given.Finite("load", force))
}

// SpanEnds is how a span goes on beyond its supports.
type SpanEnds uint8

// The ends of a span.
const (
	SimplySupported   SpanEnds = iota + 1 // a single span on two supports
	BuiltIn                               // both ends clamped
	ContinuousInside                      // inner span of a long runway on many equal spans
	ContinuousAtStart                     // first or last span of such a runway
)

// String names the ends.
func (e SpanEnds) String() string {
	switch e {
	case SimplySupported:
		return "simply supported"
	case BuiltIn:
		return "built in"
	case ContinuousInside:
		return "inner span of a continuous beam"
	case ContinuousAtStart:
		return "end span of a continuous beam"
	default:
		return "ends unknown"
	}
}

// neighbour is the rotational stiffness, in EI/L, with which an endless row of
// equal spans holds the end of the next one: k = 4 - 4/(4+k), so k² = 12.
//
// Source: derived, slope-deflection of continuous beams.
const neighbour = 2 * 1.7320508075688772 // 2 sqrt(3)

// worstEndSpan is the place of the load, from the outer support in spans, with
// the largest deflection under it in the end span.
//
// Source: derived, maximum of EndSpanAt (a test searches it again).
const worstEndSpan = 0.4656968648

// PointLoad returns the deflection under a load at its worst place in the span,
// m; both in the direction of the load.
//
//	simply supported  F L³/(48 E I)
//	built in          F L³/(192 E I)
//	inner span        F L³/(91.51 E I)    neighbours hold its ends with 2 sqrt(3) E I/L each
//	end span          F L³/(68.04 E I)    at 0.466 L from the outer support
//
// Source: published, Roark's Formulas for Stress and Strain (first two);
// derived (continuous beams, checked against a solution of many spans).
func (s Span) PointLoad(force float64, ends SpanEnds) (float64, error) {
	if err := s.check(force); err != nil {
		return 0, err
	}
	unit := force * math.Pow(s.Length, 3) / s.Bending
	switch ends {
	case SimplySupported:
		return unit / 48, nil
	case BuiltIn:
		return unit / 192, nil
	case ContinuousInside:
		// both ends turn by 1/16 if free; equal end moments turn them back by 1/2 + 1/k
		moment := 1.0 / 16 / (1.0/2 + 1/neighbour)
		return unit * (1.0/48 - moment/8), nil
	case ContinuousAtStart:
		return s.EndSpanAt(force, worstEndSpan*s.Length)
	default:
		return 0, fmt.Errorf("%w: how the span goes on beyond its supports is missing", given.ErrRefused)
	}
}

// EndSpanAt returns the deflection under a load in the end span of a long
// continuous runway, at a place from the outer support, m.
//
//	w = F [ a² b²/(3 L) - (a (L² - a²)/(6 L))²/(L/3 + L/(2 sqrt 3)) ] / (E I),  b = L - a
//
// Source: derived; the neighbours hold the inner support with 2 sqrt(3) E I/L.
func (s Span) EndSpanAt(force, place float64) (float64, error) {
	if err := cmp.Or(s.check(force), given.Within("place in the span", place, 0, s.Length)); err != nil {
		return 0, err
	}
	a := place / s.Length
	b := 1 - a
	turn := a * (1 - a*a) / 6 // of the inner end per unit load, and the deflection per unit end moment
	return force * math.Pow(s.Length, 3) / s.Bending * (a*a*b*b/3 - turn*turn/(1.0/3+1/neighbour)), nil
}

// Overhang returns the deflection at the end of a runway that goes on beyond its
// last support, under a load there, m; the span is the one before that support,
// taken as simply supported.
//
//	w = F a² (L + a)/(3 E I)
//
// Source: published, Roark's Formulas for Stress and Strain.
func (s Span) Overhang(force, overhang float64) (float64, error) {
	if err := cmp.Or(s.check(force), given.NotNegative("overhang", overhang)); err != nil {
		return 0, err
	}
	return force * overhang * overhang * (s.Length + overhang) / (3 * s.Bending), nil
}

// SelfWeight returns the deflection in the middle of a simply supported span
// under an even load in N/m, 5 w L⁴/(384 E I), m: on the safe side for all
// other ends.
//
// Source: published, Roark's Formulas for Stress and Strain.
func (s Span) SelfWeight(perLength float64) (float64, error) {
	if err := s.check(perLength); err != nil {
		return 0, err
	}
	return 5 * perLength * math.Pow(s.Length, 4) / (384 * s.Bending), nil
}

// Supports is the layout of the supports under a runway.
type Supports struct {
	LargestSpacing float64 // between neighbours, m
	From, To       float64 // the two supports it lies between, m
	BeforeFirst    float64 // runway beyond the first support, m
	BehindLast     float64 // runway beyond the last support, m
}

// LayOut measures the supports at places along a runway from start to end, all
// in m; the order of the places does not matter. At least two are needed.
func LayOut(start, end float64, places []float64) (Supports, error) {
	if err := cmp.Or(given.Finite("runway start", start), given.Finite("runway end", end), given.Positive("runway length", end-start), given.AtLeast("supports", len(places), 2)); err != nil {
		return Supports{}, err
	}
	at := append([]float64(nil), places...)
	sort.Float64s(at)
	for _, p := range at {
		if err := given.Within("place of a support", p, start, end); err != nil {
			return Supports{}, err
		}
	}
	s := Supports{BeforeFirst: at[0] - start, BehindLast: end - at[len(at)-1]}
	for i := 1; i < len(at); i++ {
		if gap := at[i] - at[i-1]; gap > s.LargestSpacing {
			s.LargestSpacing, s.From, s.To = gap, at[i-1], at[i]
		}
	}
	return s, nil
}
