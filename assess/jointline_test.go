package assess

import (
	"context"
	"math"
	"slices"
	"testing"

	"spanwright/joint"
	"spanwright/ledger"
)

// TestClampLineByHand: the portal's beam lies on six supports with two clamps a
// side of three M8 at 14 N m: 72 screws. 14/(0.2 x 8 mm) = 8750 N, least of the
// scatter 2/2.6, 15 % lost: 5721.2 N each; 55 % presses on two faces at 0.10,
// factor 1.5: 30 208 N. The drive pulls the moved mass at the deceleration of the
// emergency stop, 5 m/s², with its dynamic factor.
func TestClampLineByHand(t *testing.T) {
	m := built(t, "crate-portal", "gantry.yaml")
	r := solved(t, m)
	if err := r.jointChecks(context.Background()); err != nil {
		t.Fatal(err)
	}
	checks := r.ledger.Sorted()
	c := checks[slices.IndexFunc(checks, func(c ledger.Check) bool { return c.ID == "joint.x.support.line" })]
	value := map[string]float64{}
	for _, i := range c.Working.Inputs {
		value[i.Symbol] = i.Value
	}
	stop := r.combinations()[1].Accel[0]
	if !(stop >= 5 && stop <= 10) {
		t.Errorf("the structure feels %.3g m/s² of a stop with 5 m/s²; the dynamic factor is 1 to 2", stop)
	}
	drive := stop * m.Moved(0, true)
	if math.Abs(value["F"]-drive) > 2e-3*drive { // the slope of the sagging beam adds a part of the weight
		t.Errorf("the drive pulls %.1f N, moved mass times %.3g m/s² is %.1f N", value["F"], stop, drive)
	}
	if want := math.Hypot(value["F"], value["Q"]) / 30208; math.Abs(c.Value-want) > 1e-4*want {
		t.Errorf("the line is used to %.5f, by hand %.5f", c.Value, want)
	}
}

// TestClampSlipByHand: 900 N along one support of the portal's beam go to four
// clamps; each has three screws with 5721.2 N at 55 %, two faces, friction 0.10,
// and slips alone with a factor of 1: 225/1888.0.
func TestClampSlipByHand(t *testing.T) {
	m := built(t, "crate-portal", "gantry.yaml")
	r := &run{m: m}
	g := groupOf(t, r.axisJoints(), "joint.x.support")
	f := still(m)
	f.Joints["x.support.3"][0].Max[0] = 900
	if err := g.search(f, newJointDesk()); err != nil {
		t.Fatal(err)
	}
	slip := finding(t, g, joint.Slip)
	if want := 225 / 1888.0; math.Abs(slip.check.Utilisation-want) > 1e-4*want || g.places[slip.place].name != "x.support.3" {
		t.Errorf("%s is used to %.5f, by hand x.support.3 to %.5f", g.places[slip.place].name, slip.check.Utilisation, want)
	}
	// A push of the carrier on the beam presses; only a lift relieves the screws.
	f.Joints["x.support.3"][0].Max[2] = 5000
	before := slip.check.Utilisation
	g = groupOf(t, r.axisJoints(), "joint.x.support")
	if err := g.search(f, newJointDesk()); err != nil {
		t.Fatal(err)
	}
	if got := finding(t, g, joint.Slip).check.Utilisation; got != before {
		t.Errorf("resting on the support changes the slip from %.5f to %.5f", before, got)
	}
	f.Joints["x.support.3"][0].Min[2] = -5000
	g = groupOf(t, r.axisJoints(), "joint.x.support")
	if err := g.search(f, newJointDesk()); err != nil {
		t.Fatal(err)
	}
	if got := finding(t, g, joint.Slip).check.Utilisation; !(got > before) {
		t.Errorf("a lift of 5 kN leaves the slip at %.5f", got)
	}
}
