package assess

import (
	"context"
	"testing"
)

// TestSwingIsCarriedOn: the long move along x shakes the tool; a short lowering
// right after it does not end that. With a band that the swing exceeds the
// lowered load has not settled, with or without a stop of no length between.
func TestSwingIsCarriedOn(t *testing.T) {
	settle := func(stop float64, band float64) float64 {
		m := built(t, "crate-portal", "gantry.yaml")
		m.Design.Task.Targets.SettleBand = &band
		m.Design.Task.Cycle[2].Dwell = stop
		a, err := Run(context.Background(), m, Options{})
		if err != nil {
			t.Fatal(err)
		}
		return float64(a.Results.Tool.SettleTime)
	}
	const band = 0.4e-3 // m, less than the swing after the move along x
	carried, waited := settle(0, band), settle(0.01, band)
	if !(carried > 0) {
		t.Errorf("lowering right after the long move settles in %g s, but the tool still swings", carried)
	}
	// One lowering of less than a second takes little out of a swing that lasts
	// for seconds.
	if !(carried > waited-1) {
		t.Errorf("lowering first settles in %g s, waiting first in %g s", carried, waited)
	}
	if got := settle(0, 5e-3); got != 0 {
		t.Errorf("a band that the swing never leaves is reached after %g s", got)
	}
}
