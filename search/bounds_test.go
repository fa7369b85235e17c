package search

import (
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"spanwright/assess"
	"spanwright/design"
	"spanwright/ledger"
	"spanwright/parts"
)

// portalTask is the task of the crate-loading portal alone.
func portalTask(t *testing.T) *Problem {
	t.Helper()
	text, err := os.ReadFile("../examples/crate-portal/gantry.yaml")
	if err != nil {
		t.Fatal(err)
	}
	task, _, _ := strings.Cut(string(text), "\naxes:")
	d, list := design.ParseTask("portal.yaml", []byte(task+"\n"))
	if len(list) > 0 {
		t.Fatal(list)
	}
	p, list := NewProblem(d, parts.Embedded())
	if len(list) > 0 {
		t.Fatal(list)
	}
	return p
}

// TestBoundsOnlyDiscardWhatFails: whatever drive of the catalogue a bound
// discards by a check fails that very check when the axis is judged with it.
func TestBoundsOnlyDiscardWhatFails(t *testing.T) {
	p := portalTask(t)
	s, list := p.NewSpace()
	if len(list) > 0 {
		t.Fatal(list)
	}
	random := rand.New(rand.NewPCG(3, 0))
	pick := func(list []string) string { return list[random.IntN(len(list))] }
	seen := map[string]int{}
	for range 900 {
		a := &assembly{p: p, s: s, opts: Options{}, pace: s.Paces[random.IntN(len(s.Paces))]}
		a.open()
		limits, _ := p.limitsAt(a.pace)
		a.asks, _ = p.asks(limits)
		tail := chain{pace: a.pace, limits: limits, axes: a.placeholders(), alike: make([][]Drive, 2), fit: p.roughFit(s, a.pace, limits)}
		x := s.Axes[1]
		part, _ := p.Catalogue.Axis(pick(x.Parts))
		d := Drive{part.ID, pick(x.screwsOf(p.Catalogue, part.ID)), pick(x.Motors), pick(x.Gears), pick(x.Brakes)}
		stop := stopDeceleration(limits[1].accel*a.pace.Stop, limits[1].accel, part)
		b, gearing, why := a.body(&tail, 1, part, d.Screw)
		if part := p.partBound(part, 1, limits[1], stop); part != "" {
			why = part
		}
		if why == "" {
			motor, gear, brake := partOf(p.Catalogue.Motor, d.Motor), partOf(p.Catalogue.Gear, d.Gear), partOf(p.Catalogue.Brake, d.Brake)
			for _, bound := range []func() string{
				func() string { return b.gearBound(a.asks[1], gearing, gear) }, func() string { return b.motorBound(a.asks[1], motor, gear, a.brakes(1)) },
				func() string { return b.brakeBound(a.asks[1], motor, gear, brake) },
			} {
				if why = bound(); why != "" {
					break
				}
			}
		}
		if why == "" || why == "fit" || seen[why] >= 6 {
			continue
		}
		seen[why]++
		if v := verdictOf(t, p, a, &tail, d, why); v != ledger.Over && v != ledger.Unknown { // unknown: a brake that does not stop the load
			t.Errorf("%+v at %+v: a bound says that %s is over, judged it is %s", d, a.pace, why, v)
		}
	}
	if len(seen) < 10 {
		t.Errorf("bounds of %d kinds were tried: %v", len(seen), seen)
	}
}

// verdictOf judges the axis with a drive, with its ends derived as in a search.
func verdictOf(t *testing.T, p *Problem, a *assembly, tail *chain, d Drive, kind string) ledger.Verdict {
	t.Helper()
	c := a.choice(tail, 1, d)
	f := tail.fit.clone()
	p.fitEnd(c, &f, 1)
	m, err := p.build(c, f)
	if err != nil {
		t.Fatal(err)
	}
	screened, err := assess.ScreenAxis(m, 1, func(k string) bool { return k == kind })
	if err != nil {
		t.Fatal(err)
	}
	for _, k := range screened.Checks {
		if k.Kind == kind {
			return k.Verdict
		}
	}
	t.Fatalf("%s is not judged", kind)
	return ledger.Unknown
}
