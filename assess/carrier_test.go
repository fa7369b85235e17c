package assess

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"spanwright/design"
	"spanwright/ledger"
	"spanwright/quantity"
)

const carrierOfX = "x: {part: carrier-20x77-r100, room: 900 mm}"

func TestCableCarriers(t *testing.T) {
	x := func(text string) []string { return []string{carrierOfX, "x: {" + text + "}"} }
	cable := func(text string) []string {
		return []string{"    - {name: Z feedback, to: z, diameter: 7.2 mm, mass: 0.07 kg/m}", "    - {name: hose, to: tool, " + text + "}"}
	}
	judgeAll(t, map[string]outcome{
		"cables travel freely":                       {[]string{"    " + carrierOfX + "   # beyond the travel, for the bend\n", ""}, "carrier.x.present", ledger.Over},
		"nobody says whether a cable crosses":        {[]string{"Z switches, to: x", "Z switches, to: stand", "to: z, diameter: 11.5 mm", "to: stand, diameter: 11.5 mm", "to: z, diameter: 7.2 mm", "to: stand, diameter: 7.2 mm", "gripper power, to: tool", "gripper power, to: stand", "gripper bus, to: tool", "gripper bus, to: stand"}, "carrier.x.present", ledger.Unknown},
		"declared free of cables":                    {[]string{"Z switches, to: x", "Z switches, to: stand", "to: z, diameter: 11.5 mm", "to: stand, diameter: 11.5 mm", "to: z, diameter: 7.2 mm", "to: stand, diameter: 7.2 mm", "gripper power, to: tool", "gripper power, to: stand", "gripper bus, to: tool", "gripper bus, to: stand", "  control:", "  no_cables: [x, z]\n  control:"}, "carrier.x.present", ledger.OK},
		"built too short":                            {x("part: carrier-20x77-r100, length: 1.8 m"), "carrier.x.length", ledger.Over},
		"built longer than needed":                   {x("part: carrier-20x77-r100, length: 2.1 m"), "carrier.x.length", ledger.OK},
		"a carrier too narrow":                       {x("part: carrier-20x38-r55"), "carrier.x.width", ledger.Over},
		"a hose too thick":                           {cable("kind: air, diameter: 18 mm, mass: 0.09 kg/m"), "carrier.x.height", ledger.Over},
		"a hose too stiff for the radius":            {cable("kind: air, diameter: 12 mm, mass: 0.09 kg/m"), "carrier.x.bend", ledger.Over},
		"a hydraulic hose whose maker was not asked": {cable("kind: hydraulic, diameter: 8 mm, mass: 0.2 kg/m"), "carrier.x.bend", ledger.Unknown},
		"a hydraulic hose whose maker was asked":     {cable("kind: hydraulic, diameter: 8 mm, mass: 0.2 kg/m, bend_factor: 6"), "carrier.x.bend", ledger.Tight},
		"the fixed end at the end of the travel":     {x("part: carrier-20x77-r100, fixed_at: -900 mm"), "carrier.x.span", ledger.Tight},
		"a stiffer carrier":                          {x("part: carrier-28x77-r120"), "carrier.x.span", ledger.OK},
		"cables heavier than the span table":         {cable("diameter: 12 mm, mass: 2 kg/m"), "carrier.x.span", ledger.Unknown},
		"no room for the bend":                       {x("part: carrier-20x77-r100, room: 700 mm"), "carrier.x.envelope", ledger.Over},
		"gliding at 1.6 m/s":                         {x("part: carrier-20x77-r100, support: gliding"), "carrier.x.speed", ledger.OK},
		"gliding too fast":                           {append(x("part: carrier-20x77-r100, support: gliding"), "speed: 1.6 m/s", "speed: 3.2 m/s"), "carrier.x.speed", ledger.Over},
		"gliding too hard":                           {append(x("part: carrier-20x77-r100, support: gliding"), "stop_deceleration: 5 m/s2", "stop_deceleration: 25 m/s2"), "carrier.x.acceleration", ledger.Over},
		"a fast axis keeps a quarter in reserve":     {append(x("part: carrier-28x77-r120"), "stop_deceleration: 5 m/s2", "stop_deceleration: 11 m/s2"), "carrier.x.span", ledger.Tight},
	})
}

// TestSpanIsNotJudgedWhereARunRests says why instead.
func TestSpanIsNotJudgedWhereARunRests(t *testing.T) {
	e := portal(t, carrierOfX, "x: {part: carrier-20x77-r100, support: tray}")
	if _, ok := e.checks["carrier.x.span"]; ok || !strings.Contains(e.skipped("carrier.x.span"), "tray") {
		t.Error("a run on a tray has no free span")
	}
	if why := e.skipped("carrier.x.envelope"); !strings.Contains(why, "0.747 m are needed") {
		t.Errorf("without a declared room the ledger says %q", why)
	}
}

// TestSpanFromOnePoint redoes the estimate by hand: 1.5 m at 0.5 kg/m, empty
// 0.62 kg/m, cables 0.44 kg/m: 1.5 sqrt(1.12/1.06) = 1.5419 m.
func TestSpanFromOnePoint(t *testing.T) {
	m := replaced(t, "crate-portal")
	part := *m.CableCarriers["x"].Part
	part.SpanAt, part.Span = []float64{0.5}, []float64{1.5}
	m.CableCarriers["x"].Part = &part
	c := judgeEquipment(t, m).checks["carrier.x.span"]
	near(t, "span", c.Limit, 1.5419, 1e-4)
	part.SpanAt, part.Span = nil, nil
	if c := judgeEquipment(t, m).checks["carrier.x.span"]; c.Verdict != ledger.Unknown {
		t.Errorf("without a table the span is %v", c.Verdict)
	}
	part.SpanAt, part.Span = []float64{1, 2}, []float64{1.6, 1.1}
	if c := judgeEquipment(t, m).checks["carrier.x.span"]; c.Limit != 1.6 {
		t.Errorf("cables lighter than the table begins: %v m, its first span is the careful one", c.Limit)
	}
}

// TestCarrierLoadsItsAxis holds the cycle to what the carrier adds: a tray drags
// with a quarter of the weight on it, and more than friction is in the thrust.
func TestCarrierLoadsItsAxis(t *testing.T) {
	free, tray := portal(t), portal(t, carrierOfX, "x: {part: carrier-20x77-r100, support: tray}")
	u := free.m.CableCarriers["x"].Loop.UpperMax
	want := 0.25 * 1.06 * quantity.StandardGravity * u
	got := tray.axes[0].friction - free.axes[0].friction
	near(t, "drag of the tray", got, want, 1e-9)
	if d := tray.axes[0].peak.force - free.axes[0].peak.force; math.Abs(d-want) > 1e-6 {
		t.Errorf("the peak force grows by %.4g N, the tray drags with %.4g N", d, want)
	}
	// Toward the bend, on the plus side: 1.06 kg/m x quantity.StandardGravity x 0.1 m.
	near(t, "push", free.axes[0].push, -1.06*quantity.StandardGravity*0.1, 1e-9)
	turned := portal(t, carrierOfX, "x: {part: carrier-20x77-r100, fixed_at: 900 mm}")
	near(t, "push with the bend on the minus side", turned.axes[0].push, 1.06*quantity.StandardGravity*0.1, 1e-9)
	if p := free.axes[1].push; p != 0 {
		t.Errorf("a hanging carrier pushes with %v N besides its weight", p)
	}
}

// TestCarrierLifeByHand: 5e6 cycles; X goes forth and back once in a cycle, Z twice.
func TestCarrierLifeByHand(t *testing.T) {
	e := portal(t)
	perYear := 3600 * 3600 / e.timeline.Duration
	near(t, "X", e.checks["carrier.x.life"].Value, 5e6/perYear, 1e-9)
	near(t, "Z", e.checks["carrier.z.life"].Value, 5e6/(2*perYear), 1e-9)
	m := replaced(t, "crate-portal")
	part := *m.CableCarriers["x"].Part
	part.Cycles = 0
	m.CableCarriers["x"].Part = &part
	if c := judgeEquipment(t, m).checks["carrier.x.life"]; c.Verdict != ledger.Unknown {
		t.Errorf("without bending cycles the life is %v", c.Verdict)
	}
}

func TestStrokes(t *testing.T) {
	tests := map[string]struct {
		places []float64 // of one axis, in the order of the cycle
		want   float64
	}{
		"stands still":             {[]float64{1, 1, 1}, 0},
		"forth and back":           {[]float64{0, 1}, 1},
		"forth in two steps":       {[]float64{0, 0.5, 1}, 1},
		"twice":                    {[]float64{0, 1, 0, 1}, 2},
		"with a wait in between":   {[]float64{0, 1, 1, 1, 0, 0}, 1},
		"a small return on the go": {[]float64{0, 2, 1, 3}, 2},
	}
	for name, tc := range tests {
		t.Run(name, func(t *testing.T) {
			r := &run{}
			n := len(tc.places)
			for i, to := range tc.places {
				r.legs = append(r.legs, leg{from: []float64{tc.places[(i+n-1)%n]}, to: []float64{to}})
			}
			if got := r.strokes(0); got != tc.want {
				t.Errorf("%v strokes, want %v", got, tc.want)
			}
		})
	}
}

// TestMoreCablesNeverHelp: adding a cable raises every demand on the carrier.
func TestMoreCablesNeverHelp(t *testing.T) {
	base := replaced(t, "crate-portal")
	few := judgeEquipment(t, base)
	rapid.Check(t, func(rt *rapid.T) {
		more := *base
		d := *base.Design
		d.Equipment.Cables = append(slices.Clone(d.Equipment.Cables), design.Cable{
			Name: "more", To: "tool", Kind: "cable", Diameter: rapid.Float64Range(0.002, 0.015).Draw(rt, "d"), Mass: rapid.Float64Range(0.01, 0.2).Draw(rt, "m"),
		})
		more.Design = &d
		c := *base.CableCarriers["x"]
		c.Cables = (&more).Crossing(0)
		r := &run{m: &more, ledger: ledger.Ledger{Tight: 0.85}, results: newResults(&more)}
		r.carrierFilling(base.Axes[0], &c)
		for _, k := range r.ledger.Sorted() {
			if was := few.checks[k.ID]; !(k.Value >= was.Value) {
				rt.Fatalf("%s falls from %v to %v", k.ID, was.Value, k.Value)
			}
		}
	})
}

// TestCableLengthsPassEveryCarrier: carriers of 1.89 m and 0.93 m and twice 0.3 m of relief.
func TestCableLengthsPassEveryCarrier(t *testing.T) {
	e := portal(t)
	x, z := e.m.CableCarriers["x"].Loop.Length, e.m.CableCarriers["z"].Loop.Length
	for _, c := range e.results.Cables {
		want, passed := x+z+0.6, "[x z]"
		if c.To == "x" {
			want, passed = x+0.3, "[x]"
		}
		if fmt.Sprint(c.Carriers) != passed || math.Abs(float64(c.Length)-want) > 1e-12 {
			t.Errorf("%s passes %v with %v m, want %s with %v m", c.Name, c.Carriers, c.Length, passed, want)
		}
	}
}

// TestHangingLoopHangsDown: the bend of an upright carrier needs its room below.
func TestHangingLoopHangsDown(t *testing.T) {
	if side := portal(t).results.Axes["z"].Carrier.Side; side != "minus" {
		t.Errorf("the loop of the mast opens to the %s end, its coordinate grows upward", side)
	}
}
