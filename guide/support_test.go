package guide

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// continuous solves a beam on many equal spans (length 1, EI 1) by its support
// rotations, with a unit load at place a in one span, and returns the
// deflection under the load.
func continuous(t *testing.T, spans, loaded int, a float64) float64 {
	t.Helper()
	n := spans + 1
	k := mat.NewDense(n, n, nil)
	add := func(i, j int, v float64) { k.Set(i, j, k.At(i, j)+v) }
	for s := range spans {
		add(s, s, 4)
		add(s+1, s+1, 4)
		add(s, s+1, 2)
		add(s+1, s, 2)
	}
	b := 1 - a
	f := mat.NewVecDense(n, nil)
	f.SetVec(loaded, -a*b*b)
	f.SetVec(loaded+1, a*a*b)
	var turn mat.VecDense
	if err := turn.SolveVec(k, f); err != nil {
		t.Fatal(err)
	}
	clamped := a * a * a * b * b * b / 3
	return clamped - (a*b*b*turn.AtVec(loaded) - a*a*b*turn.AtVec(loaded+1))
}

// The closed forms of long runways agree with thirty spans solved together.
func TestContinuousRunway(t *testing.T) {
	s := Span{Length: 1, Bending: 1}
	within(t, "inner span", must(t)(s.PointLoad(1, ContinuousInside)), continuous(t, 31, 15, 0.5), 1e-12)
	for _, a := range []float64{0.1, 0.3, worstEndSpan, 0.7, 0.95} {
		within(t, "end span", must(t)(s.EndSpanAt(1, a)), continuous(t, 30, 0, a), 1e-11)
	}
}

// The named place is the worst of the end span, and the printed divisors are right.
func TestWorstPlaceOfTheEndSpan(t *testing.T) {
	s := Span{Length: 1, Bending: 1}
	worst := must(t)(s.PointLoad(1, ContinuousAtStart))
	for i := range 10001 {
		if w := must(t)(s.EndSpanAt(1, float64(i)/10000)); w > worst {
			t.Fatalf("%g at %g is more than %g", w, float64(i)/10000, worst)
		}
	}
	within(t, "divisor of the end span", 1/worst, 68.04, 1e-4) // four printed figures
	within(t, "divisor of an inner span", 1/must(t)(s.PointLoad(1, ContinuousInside)), 91.51, 1e-4)
}

// Stiffer ends sag less.
func TestEndsInOrder(t *testing.T) {
	s := Span{Length: 1.2, Bending: 1.4e5}
	last := math.Inf(1)
	for _, ends := range []SpanEnds{SimplySupported, ContinuousAtStart, ContinuousInside, BuiltIn} {
		w := must(t)(s.PointLoad(600, ends))
		if !(w < last) {
			t.Errorf("%v sags %g, the one before %g", ends, w, last)
		}
		last = w
	}
	double := Span{Length: 2.4, Bending: 1.4e5}
	near(t, "twice the span", must(t)(double.PointLoad(600, ContinuousInside)), 8*must(t)(s.PointLoad(600, ContinuousInside)))
	near(t, "self weight", must(t)(double.SelfWeight(100)), 16*must(t)(s.SelfWeight(100)))
	near(t, "a short overhang is a lever on the last span", must(t)(s.Overhang(600, 1e-6))*1e12, 600*1.2/(3*1.4e5)*(1+1e-6/1.2))
}

func TestLayOut(t *testing.T) {
	s, err := LayOut(0, 3, []float64{2.9, 0.1, 1.0, 1.8})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "largest spacing", s.LargestSpacing, 1.1)
	near(t, "from", s.From, 1.8)
	near(t, "before the first", s.BeforeFirst, 0.1)
	near(t, "behind the last", s.BehindLast, 0.1)
}
