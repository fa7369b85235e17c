package screen

import (
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"spanwright/assess"
	"spanwright/design"
	"spanwright/ledger"
	"spanwright/machine"
)

func judged(c ledger.Check) ledger.Check {
	c.Judge(0.85)
	return c
}

// Checks of every kind that a ledger can hold.
var (
	hold = judged(ledger.Check{
		ID: "axis.z.brake.hold", Group: "axis", Title: "static hold factor of the brake", Sense: ledger.AtLeast, Value: 1.15, Limit: 1.5,
		Caution: "A holding brake alone makes nothing safe.",
	})
	sag = judged(ledger.Check{
		ID: "tool.sag.variation", Group: "tool", Title: "variation of the tool's sag", Value: 0.228e-3, Limit: 0.25e-3, Unit: "m",
		Working: ledger.Working{
			Formula: "w = u_1 - u_2", Source: "derived",
			Inputs: []ledger.Input{
				{Symbol: "u_1", Name: "largest sag", Value: 0.5e-3, Unit: "m", From: "whole-machine solution"},
				{Symbol: "u_2", Name: "smallest sag", Value: 0.272e-3, Unit: "m"},
			},
		},
		Range: &ledger.Range{Low: 0.228e-3, Nominal: 0.2e-3, High: 0.09e-3, Of: "joints", Judged: "low stiffness"},
		Adds:  true, Parts: []ledger.Contribution{{Name: "beam", Value: 0.4e-3, Unit: "m"}, {Name: "mast", Value: -0.1e-3, Unit: "m"}, {Name: "belt", Value: 1e-40, Unit: "m"}},
		Note: "sags most in the middle",
	})
	hose = judged(ledger.Check{
		ID: "carrier.y.life", Group: "carrier", Title: "life of the cables", Value: math.NaN(), Limit: math.NaN(),
		Missing: `bend radius of "gripper hose"`,
	})
	brace = judged(ledger.Check{
		ID: "build.bracing.along", Group: "build", Title: "angled bracing along the stand", Sense: ledger.AtLeast, Value: 1, Limit: 1,
		Working: ledger.Working{Formula: "common practice", Source: "common practice", Solver: true, Counted: true},
	})
	clamps = judged(ledger.Check{
		ID: "joint.x.clamps", Group: "joint", Title: "clamps on each side", Sense: ledger.AtLeast, Value: 2, Limit: 2,
		Working: ledger.Working{Formula: "n = n_c", Counted: true},
	})
	far = judged(ledger.Check{ID: "axis.x.reach.of.a.point.with.a.long.name", Group: "axis", Title: "outside of the travel", Value: 0.2, Limit: 0.001, Unit: "m"})
)

func TestSelected(t *testing.T) {
	all := []ledger.Check{hold, sag, hose}
	tests := map[string]struct {
		glob string
		want []string
	}{
		"everything":                {"", []string{"axis.z.brake.hold", "tool.sag.variation", "carrier.y.life"}},
		"a star spans dots":         {"axis.*", []string{"axis.z.brake.hold"}},
		"a star in front":           {"*.variation", []string{"tool.sag.variation"}},
		"one id":                    {"carrier.y.life", []string{"carrier.y.life"}},
		"part of an id is not it":   {"tool", nil},
		"a question mark, one sign": {"carrier.?.life", []string{"carrier.y.life"}},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			found, err := Selected(all, c.glob)
			if err != nil {
				t.Fatal(err)
			}
			var got []string
			for _, f := range found {
				got = append(got, f.ID)
			}
			if diff := cmp.Diff(c.want, got); diff != "" {
				t.Error(diff)
			}
		})
	}
	if _, err := Selected(all, "[a"); err == nil {
		t.Error("a torn pattern is accepted")
	}
}

func assessment() *assess.Assessment {
	checks := []ledger.Check{far, hold, sag, hose, brace, clamps}
	d := &design.Design{Name: "crate portal", Task: design.Task{Rate: 480.0 / 3600}}
	a := &assess.Assessment{Machine: &machine.Machine{Design: d, Used: []machine.Use{{Representative: true}, {}}}, Checks: checks, Counts: ledger.Count(checks)}
	a.NotChecked = []assess.NotChecked{{What: "welds", Why: "not modelled"}}
	a.Assumptions = []assess.Assumption{{Path: "assumptions.damping", Value: "0.015", Source: "common practice, no source", Status: "default"}}
	r := &a.Results
	r.CycleTime, r.Rate, r.Mass, r.Cost = 7.5, 480, 218, 6345.7
	r.Tool.SettleTime, r.Stand.TippingFactor = 0.12, 2.583
	r.Structural = []assess.LevelResult{{SagMax: 0.44e-3, SagVariation: 0.228e-3, FirstFreq: 5.7}, {SagMax: 0.32e-3, SagVariation: 0.09e-3, FirstFreq: 6}}
	return a
}

const ledgerText = `crate portal: over (2 over, 1 tight, 1 unknown, 2 ok)
  cycle            7.5 s, 480 an hour; 480 wanted
  sag at the tool  at most 0.32 to 0.44 mm; varies by 0.09 to 0.228 mm
  first frequency  at least 5.7 to 6 Hz; settles in 0.12 s
  tipping factor   at least 2.583
  mass, cost       218 kg, 6346 in the currency of the part data
  part data        1 of 2 parts are representative: replace before ordering
  ranges           stiffest to softest joints and floor; judged at the worse end

over     >100  axis.x.reach.of.a.point.with.a.long.name
                                   outside of the travel: 200 mm, at most 1 mm
over     1.30  axis.z.brake.hold   static hold factor of the brake: 1.15, at
                                   least 1.5
tight    0.91  tool.sag.variation  variation of the tool's sag: 0.228 mm, at
                                   most 0.25 mm
unknown        carrier.y.life      life of the cables: bend radius of "gripper
                                   hose"

caution        A holding brake alone makes nothing safe.
ok             build 1, joint 1; --all lists them
not checked    1 thing; --all lists them
next           spanwright explain portal.yaml axis.x.reach.of.a.point.with.a.long.name
`

func TestLedger(t *testing.T) {
	var b strings.Builder
	if err := Ledger(&b, assessment(), View{File: "portal.yaml"}); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(ledgerText, b.String()); diff != "" {
		t.Error(diff)
	}
}

func TestLedgerAll(t *testing.T) {
	var b strings.Builder
	if err := Ledger(&b, assessment(), View{File: "portal.yaml", All: true}); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		"ok             build.bracing.along  angled bracing along the stand: yes\n",
		"ok       1.00  joint.x.clamps       clamps on each side: 2, at least 2\n",
		"  assumptions.damping: 0.015 (common practice, no source)\n", "  welds: not modelled\n",
	} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("%q is not in\n%s", want, b.String())
		}
	}
}

// TestColourOnlyAdds: without its escape sequences, coloured text is the plain one.
func TestColourOnlyAdds(t *testing.T) {
	var plain, coloured strings.Builder
	if err := Ledger(&plain, assessment(), View{All: true}); err != nil {
		t.Fatal(err)
	}
	if err := Ledger(&coloured, assessment(), View{All: true, Style: Style{Colour: true}}); err != nil {
		t.Fatal(err)
	}
	text := coloured.String()
	if !strings.Contains(text, "\x1b[1;31mover\x1b[0m") {
		t.Error("over is not coloured")
	}
	for _, code := range []string{"1;31", "33", "36", "2", "1", "0"} {
		text = strings.ReplaceAll(text, "\x1b["+code+"m", "")
	}
	if diff := cmp.Diff(plain.String(), text); diff != "" {
		t.Error(diff)
	}
}

const workingText = `tool.sag.variation: tight, utilisation 0.91
variation of the tool's sag: 0.228 mm, at most 0.25 mm

formula   w = u_1 - u_2
numbers   0.0005 - 0.000272 = 0.000228 m
inputs    u_1  0.5 mm          largest sag (whole-machine solution)
          u_2  0.272 mm        smallest sag
range     0.228 mm low, 0.2 mm nominal, 0.09 mm high (joints); judged at low
          stiffness
split     beam            0.4 mm  ####################
          mast           -0.1 mm  -----
          belt              0 mm
          together        0.3 mm
source    derived
note      sags most in the middle
subject   (portal.yaml:3:1)
`

func TestExplain(t *testing.T) {
	var b strings.Builder
	Explain(&b, sag, "(portal.yaml:3:1)", Style{})
	if diff := cmp.Diff(workingText, b.String()); diff != "" {
		t.Error(diff)
	}
}

// TestLongNamesOfShares: the bars stay below each other.
func TestLongNamesOfShares(t *testing.T) {
	c := ledger.Check{Parts: []ledger.Contribution{
		{Name: "lost motion: play and friction over the drive's stiffness", Value: 2, Unit: "m"}, {Name: "beam", Value: 1, Unit: "m"},
	}}
	var b strings.Builder
	shares(&b, c)
	want := `parts     lost motion: play and friction
          over the drive's stiffness                   2 m  ####################
          beam                                         1 m  ##########
`
	if diff := cmp.Diff(want, b.String()); diff != "" {
		t.Error(diff)
	}
}

// TestWrap: no word is lost, no line is longer than it may be unless it is one
// word, and a number stays with its unit.
func TestWrap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.SliceOf(rapid.StringMatching(`[a-l]{1,12}|[0-9]{1,3} mm|[0-9] N m`)).Draw(t, "words")
		indent := rapid.IntRange(0, 40).Draw(t, "indent")
		text := strings.Join(words, " ")
		out := wrap(text, indent, indent)
		if got := strings.Join(strings.Fields(out), " "); got != text {
			t.Fatalf("%q became %q", text, got)
		}
		for i, line := range strings.Split(out, "\n") {
			n := utf8.RuneCountInString(line)
			if i == 0 {
				n += indent
			}
			if n > Width {
				t.Fatalf("line %d has %d columns: %q", i, n, line)
			}
			if i > 0 && (strings.HasPrefix(strings.TrimSpace(line), "mm") || strings.HasPrefix(strings.TrimSpace(line), "N m")) {
				t.Fatalf("a unit begins line %d: %q", i, line)
			}
		}
	})
}
