package joint

import (
	"errors"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestGussetLoads(t *testing.T) {
	one := Gussets{Plates: 1, Spacing: 0.04}
	two := Gussets{Plates: 2, Spacing: 0.04}
	tests := map[string]struct {
		g    Gussets
		in   Demand
		want plateLoad
	}{
		"two plates share":                      {two, Demand{N: -100, Vz: 60, My: 20}, plateLoad{n: 50, v: 30, m: 10}},
		"two plates take Mz and T as couples":   {two, Demand{Mz: 4, T: -2}, plateLoad{n: 100, v: 50}},
		"one plate is eccentric":                {one, Demand{N: 100, Vz: 60}, plateLoad{n: 100, v: 60, out: 2, twist: 1.2}},
		"a force off the faces bends the plate": {one, Demand{Vy: -30}, plateLoad{off: 30}},
	}
	for name, c := range tests {
		if d := cmp.Diff(c.want, c.g.load(c.in), closely, cmp.AllowUnexported(plateLoad{})); d != "" {
			t.Errorf("%s (-want +got):\n%s", name, d)
		}
	}
}

func TestOuterStrap(t *testing.T) {
	strap, ok := everyJoint(t)["outer strap"].(OuterStrap)
	if !ok {
		t.Fatal("no outer strap")
	}
	tests := map[string]struct {
		in         Demand
		tie, strap float64 // shear on one of two screws, N; bending of the strap, N m
	}{
		"a moment that opens its side ties":      {Demand{My: 8}, 50, 0},
		"a moment that presses its side bends":   {Demand{My: -8}, 0, 8},
		"a pull is eccentric and bends":          {Demand{N: 100}, 50, 4},
		"a pull takes from the opening moment":   {Demand{N: 100, My: 8}, 75, 0},
		"a push goes through the member's end":   {Demand{N: -100}, 0, 0},
		"a shear across the gap bends the strap": {Demand{Vz: 100}, 0, 6},
	}
	for name, c := range tests {
		checks, err := Checks(strap, c.in)
		if err != nil {
			t.Fatal(err)
		}
		tie, bend := pick(t, checks, Slip).Demand, pick(t, checks, StrapBends).Demand
		if math.Abs(tie-c.tie) > 1e-9 || math.Abs(bend-c.strap) > 1e-9 {
			t.Errorf("%s: tie %g N, want %g N; strap %g N m, want %g N m", name, tie, c.tie, bend, c.strap)
		}
	}
}

// TestClampsHoldWhatTheFormulaSays: all clamps together along the profile.
func TestClampsHoldWhatTheFormulaSays(t *testing.T) {
	c, ok := everyJoint(t)["clamps"].(Clamps)
	if !ok {
		t.Fatal("no clamps")
	}
	p, err := c.Screw.Preload()
	if err != nil {
		t.Fatal(err)
	}
	for _, screws := range []int{1, 2} {
		c.Screws = screws
		checks, err := Checks(c, Demand{Vy: 400})
		if err != nil {
			t.Fatal(err)
		}
		slip := pick(t, checks, Slip)
		want := ClampSlip(2*c.PerSide, p.Least*float64(screws), c.Lever, c.Safety.Friction, c.Friction, c.Safety.Slip)
		if got := 400 / slip.Utilisation; math.Abs(got/want-1) > 1e-12 {
			t.Errorf("%d screws a clamp: %g N along the profile, formula %g N", screws, got, want)
		}
	}
}

func TestThinPlatesPry(t *testing.T) {
	opening := func(thickness float64) float64 {
		plate := CornerPlate{Host: plateFace(t), Plate: Strip{Thickness: thickness, Width: 0.08, Arm: 0.02, Young: 70e9, Yield: 200e6}}
		checks, err := Checks(plate, Demand{My: 50})
		if err != nil {
			t.Fatal(err)
		}
		return pick(t, checks, Opening).Demand
	}
	if ratio := opening(0.008) / opening(0.012); math.Abs(ratio-1.3) > 1e-12 { // 1.2 d = 9.6 mm
		t.Errorf("thin over thick plate %g, want 1.3", ratio)
	}
}

func TestAssembledGussetsStartHalfAPitchFromTheJoint(t *testing.T) {
	h, e := hardware(t, TwoGussets)
	j, err := Assemble(h, e, UsualSafety())
	if err != nil {
		t.Fatal(err)
	}
	g, ok := j.(Gussets)
	if !ok {
		t.Fatalf("%T", j)
	}
	if d := cmp.Diff([]Point{{0.02, 0}, {0.06, 0}}, g.Member, closely); d != "" {
		t.Errorf("screws in the member (-want +got):\n%s", d)
	}
	if d := cmp.Diff([]Point{{-0.04, -0.02}, {-0.04, 0.02}}, g.Host, closely); d != "" {
		t.Errorf("screws in the host (-want +got):\n%s", d)
	}
}

func TestSingleScrewDoesNotResistTorsionAlone(t *testing.T) {
	end := EndScrew{
		Bolt: BoltedFace{
			Face:  Face{Screws: []Point{{0, 0}}, MinY: -0.02, MaxY: 0.02, MinZ: -0.02, MaxZ: 0.02, Faces: 1},
			Screw: m8(t), Hole: &TappedHole{Engagement: 0.016, Yield: 160e6, Share: TappedShare},
			Share: 1, Prying: 1, Safety: UsualSafety(),
		},
		Area: 698e-6, Modulus: 5.16e-6, Yield: 160e6,
	}
	slip := func(dowel bool) Check {
		end.Dowel = dowel
		checks, err := Checks(end, Demand{T: 1})
		if err != nil {
			t.Fatal(err)
		}
		return pick(t, checks, Slip)
	}
	if c := slip(false); !math.IsInf(c.Utilisation, 1) || c.Note == "" {
		t.Errorf("one core screw under torsion: utilisation %g, note %q", c.Utilisation, c.Note)
	}
	if c := slip(true); c.Utilisation != 0 {
		t.Errorf("with a dowel the face sees no torsion, utilisation %g", c.Utilisation)
	}
	end.Bolt.Face.FrictionRadius = 0.01
	// least preload 14/(0.2*0.008)*2/2.6*0.85 = 5721 N; 1 N m at 10 mm needs 100 N; 100*1.5/(0.12*5721) = 0.2185
	if c := slip(false); math.Abs(c.Utilisation-0.21849) > 1e-5 {
		t.Errorf("with a friction ring of 10 mm: utilisation %.5f, want 0.21849", c.Utilisation)
	}
}

func TestBracketLevers(t *testing.T) {
	leg := Leg{Length: 0.04, ScrewDistance: 0.02, Screws: []Point{{0, 0}}, Screw: m8(t), Lip: slot8()}
	one := Brackets{At: []Side{MinusZ}, Depth: 0.08, Width: 0.04, Host: leg, Member: leg, Ring: 5e-3,
		Modulus: 0.04 * 0.006 * 0.006 / 6, Yield: 200e6, Friction: 1, Safety: UsualSafety()}
	two := one
	two.At = []Side{MinusZ, PlusZ}
	tests := map[string]struct {
		b            Brackets
		in           Demand
		host, member legLoad
	}{
		"a moment that opens the bracket is pried at the toe": {one, Demand{My: -40},
			legLoad{tension: 1000, external: 500, bending: 10}, legLoad{along: 500}},
		"a moment that presses it is carried by both legs alone": {one, Demand{My: 40},
			legLoad{tension: 2000, bending: 40}, legLoad{tension: 2000}},
		"two brackets hold either sense like the opening one": {two, Demand{My: 40},
			legLoad{tension: 1000, external: 500, bending: 10}, legLoad{along: 500}},
		"a pull on one bracket also presses its side": {one, Demand{N: 100},
			legLoad{tension: 200 + 4/0.02, external: 100, bending: 6}, legLoad{tension: 4 / 0.02, along: 100}},
		"torsion is a couple on two brackets": {two, Demand{T: 8},
			legLoad{across: 100}, legLoad{across: 100}},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			host, member := c.b.loads(c.in)
			member.bending = 0 // the member leg's bending is not written into the expectations
			opt := cmp.AllowUnexported(legLoad{})
			if d := cmp.Diff(c.host, host, closely, opt); d != "" {
				t.Errorf("host leg (-want +got):\n%s", d)
			}
			if d := cmp.Diff(c.member, member, closely, opt); d != "" {
				t.Errorf("member leg (-want +got):\n%s", d)
			}
		})
	}
}

func TestBasePlateWithoutApprovalIsUnknown(t *testing.T) {
	plate := BasePlate{
		Face:   Face{Screws: Grid(2, 2, 0.1, 0.1), MinY: -0.075, MaxY: 0.075, MinZ: -0.075, MaxZ: 0.075, Faces: 1},
		Plate:  Strip{Thickness: 0.015, Width: 0.15, Arm: 0.01, Young: 210e9, Yield: 235e6},
		Safety: UsualSafety(),
	}
	d := Demand{N: -400, Vy: 300, My: 250}
	checks, err := Checks(plate, d)
	if err != nil {
		t.Fatal(err)
	}
	if c := pick(t, checks, AnchorPull); c.Missing == "" || !math.IsNaN(c.Utilisation) {
		t.Errorf("anchor without approval was judged: %+v", c)
	}
	if w := Worst(checks); w.Missing == "" {
		t.Errorf("worst check is %q, want the unknown one", w.Mechanism)
	}
	resistance := 2000.0
	plate.Anchors = Anchors{&resistance, &resistance}
	if checks, err = Checks(plate, d); err != nil {
		t.Fatal(err)
	}
	// (250 - 400*0.075) * 0.125/(2*(0.025² + 0.125²)) = 846.15 N
	if c := pick(t, checks, AnchorPull); math.Abs(c.Demand-846.153846) > 1e-5 || math.Abs(c.Utilisation-0.4230769) > 1e-6 {
		t.Errorf("anchor tension %.6f N, utilisation %.7f", c.Demand, c.Utilisation)
	}
}

func TestJudgeFaces(t *testing.T) {
	tests := map[string]struct {
		family Family
		faces  int
		met    bool
	}{
		"corner plate":                    {CornerPlates, 1, true},
		"one hidden fastener":             {HiddenFastener, 1, false},
		"hidden fasteners in two faces":   {HiddenFastener, 2, true},
		"one bracket":                     {OneBracket, 1, false},
		"a bracket on either side":        {TwoBrackets, 1, true},
		"core screws with a second plate": {CoreScrew, 2, true},
	}
	for name, c := range tests {
		got, err := JudgeFaces(c.family, c.faces)
		if err != nil || got.Met != c.met || got.Reason == "" {
			t.Errorf("%s: %+v, %v", name, got, err)
		}
	}
	if _, err := JudgeFaces("glue", 2); !errors.Is(err, ErrUnknownFamily) {
		t.Errorf("glue: %v", err)
	}
}

func TestFamilySpringsKeepTheOrderOfTheFamilies(t *testing.T) {
	m := Member{Young: 70e9, DepthY: 0.04, DepthZ: 0.08}
	last := 0.0
	for _, f := range []Family{HiddenFastener, CoreScrew, OneBracket, TwoBrackets, TwoGussets, CornerPlates, BasePlates} {
		s, err := FamilySprings(f, m)
		if err != nil {
			t.Fatal(err)
		}
		if !(s.KRY.Nominal > last) {
			t.Errorf("%s is not stiffer than the family before it: %g", f, s.KRY.Nominal)
		}
		last = s.KRY.Nominal
		for _, r := range []Range{s.KX, s.KRX, s.KRY, s.KRZ} {
			if !(0 < r.Low && r.Low < r.Nominal && r.Nominal < r.High) {
				t.Errorf("%s: range out of order: %+v", f, r)
			}
		}
		if !(s.KRX.Nominal <= math.Min(s.KRY.Nominal, s.KRZ.Nominal)) {
			t.Errorf("%s: torsion %g above bending", f, s.KRX.Nominal)
		}
	}
	// Brackets are soft out of their plane, and one bracket in torsion: 0.3 and 0.3 * 0.3.
	one, err := FamilySprings(OneBracket, m)
	if err != nil {
		t.Fatal(err)
	}
	two, err := FamilySprings(TwoBrackets, m)
	if err != nil {
		t.Fatal(err)
	}
	across := func(factor float64) float64 { return 0.3 * factor * 70e9 * 0.04 * 0.04 * 0.04 }
	for name, c := range map[string][2]float64{
		"one bracket, across":   {one.KRZ.Nominal, across(0.003)},
		"one bracket, torsion":  {one.KRX.Nominal, 0.3 * across(0.003)},
		"two brackets, torsion": {two.KRX.Nominal, across(0.006)},
	} {
		if math.Abs(c[0]/c[1]-1) > 1e-12 {
			t.Errorf("%s: %g N m/rad, want %g", name, c[0], c[1])
		}
	}
	// 0.012 * 70e9 * 0.08³ = 430 kN m/rad, rounded as in the source table
	s, _ := FamilySprings(CornerPlates, m)
	if math.Abs(s.KRY.Nominal-430080) > 1e-6 {
		t.Errorf("corner plate on 80 mm: %g N m/rad, want 430080", s.KRY.Nominal)
	}
}
