package machine_test

import (
	"math"
	"testing"

	"spanwright/machine"
	"spanwright/parts"
)

// TestUnderBeamsArePriced like the profiles of the stand: by length, with two cuts.
func TestUnderBeamsArePriced(t *testing.T) {
	with := example(t, "crate-portal")
	without := build(t, load(t, "crate-portal", "under_beam: profile-45x45-heavy", "under_beam: none"))
	p, _ := parts.Embedded().Profile("profile-45x45-heavy")
	want := p.CostPerM*with.Axes[0].Length + p.Cost + 2*p.CostCut
	if got := with.Cost() - without.Cost(); !(math.Abs(got-want) <= 1e-6) || !(want > 0) {
		t.Errorf("the under-beam costs %.6g, want %.6g", got, want)
	}
}

// TestExchangedDrivesArePriced: another belt, screw or rack costs the difference
// to the one that the axis part comes with, on each beam.
func TestExchangedDrivesArePriced(t *testing.T) {
	c := parts.Embedded()
	screw := func(id string) *parts.Screw { s, _ := c.Screw(id); return s }
	rack := func(id string) *parts.Rack { r, _ := c.Rack(id); return r }
	plain, other := example(t, "crate-portal"), build(t, load(t, "crate-portal", "screw: screw-25x25", "screw: screw-32x20"))
	length := plain.Axes[1].Length
	want := screw("screw-32x20").Cost - screw("screw-25x25").Cost + (screw("screw-32x20").CostPerM-screw("screw-25x25").CostPerM)*length
	if got := other.Cost() - plain.Cost(); !(math.Abs(got-want) <= 1e-6) || want == 0 {
		t.Errorf("another screw costs %.6g more, want %.6g", got, want)
	}

	slab := "    part: rack-axis-160\n    travel: 5 m"
	plain, other = example(t, "slab-gantry"), build(t, load(t, "slab-gantry", slab, "    part: rack-axis-160\n    drive: {rack: rack-m3}\n    travel: 5 m"))
	x := plain.Axes[0]
	own := rack(x.Part.Rack)
	want = 2 * (rack("rack-m3").Cost - own.Cost + (rack("rack-m3").CostPerM-own.CostPerM)*x.Length) // on both runways
	if got := other.Cost() - plain.Cost(); !(math.Abs(got-want) <= 1e-6) || want == 0 {
		t.Errorf("another rack on a pair costs %.6g more, want %.6g", got, want)
	}
	if got := (&machine.Axis{Part: x.Part}).ExchangeCost(); got != 0 {
		t.Errorf("a drive of its own costs %v more", got)
	}
}
