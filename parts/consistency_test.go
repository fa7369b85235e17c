package parts_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"spanwright/parts"
)

// The representative parts are invented, but they have to agree with geometry,
// with physics and with each other. Limits without a source are common
// practice.

const (
	steel    = 7850.0  // kg/m³
	gravity  = 9.80665 // m/s²
	rpm      = 2 * math.Pi / 60
	cylinder = math.Pi / 4
)

// all returns the embedded parts of a kind.
func all[P parts.Part](t *testing.T, kind string) []P {
	t.Helper()
	var out []P
	for _, p := range parts.Embedded().List(kind) {
		out = append(out, p.(P))
	}
	if len(out) == 0 {
		t.Fatalf("no part of the kind %s", kind)
	}
	return out
}

// within reports a value outside of its range.
func within(t *testing.T, id, what string, got, low, high float64) {
	t.Helper()
	if !(got >= low && got <= high) {
		t.Errorf("%s: %s is %.5g, should be %.5g to %.5g", id, what, got, low, high)
	}
}

// about reports a value that differs by more than the relative tolerance.
func about(t *testing.T, id, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance*math.Abs(want)) {
		t.Errorf("%s: %s is %.5g, follows to be %.5g", id, what, got, want)
	}
}

func TestEveryPartIsFlaggedPricedAndUnique(t *testing.T) {
	kindOf := map[string]string{}
	for _, kind := range parts.Kinds() {
		for _, p := range parts.Embedded().List(kind) {
			b := p.Base()
			if was := kindOf[b.ID]; was != "" {
				t.Errorf("%s is a %s and a %s", b.ID, was, kind)
			}
			kindOf[b.ID] = kind
			if b.Title == "" || b.Number != "" {
				t.Errorf("%s: title %q, part number %q: invented parts have a title and no number", b.ID, b.Title, b.Number)
			}
			if b.Representative != (kind != "material") {
				t.Errorf("%s: representative is %v", b.ID, b.Representative)
			}
			if kind != "material" && b.Cost+perMetre(p) <= 0 {
				t.Errorf("%s has no price", b.ID)
			}
		}
	}
}

func perMetre(p parts.Part) float64 {
	switch p := p.(type) {
	case *parts.Profile:
		return p.CostPerM
	case *parts.Belt:
		return p.CostPerM
	case *parts.Carrier:
		return p.CostPerM
	}
	return 0
}

// TestTubesWeighWhatTheStandardSays compares with the masses per metre of
// EN 10219-2, Tables B.1 to B.3 (from memory, printed with three figures).
func TestTubesWeighWhatTheStandardSays(t *testing.T) {
	c := parts.Embedded()
	for id, want := range map[string]float64{
		"tube-40x40x3": 3.30, "tube-50x50x3": 4.25, "tube-60x60x4": 6.71, "tube-80x80x4": 9.22, "tube-80x80x5": 11.3,
		"tube-100x100x5": 14.4, "tube-120x120x6": 20.7, "tube-150x150x6": 26.4, "tube-150x150x8": 33.9,
		"tube-60x40x3": 4.25, "tube-80x40x4": 6.71, "tube-100x50x4": 8.59, "tube-120x60x5": 12.8, "tube-120x80x5": 14.4, "tube-150x100x6": 21.7,
	} {
		p, ok := c.Profile(id)
		if !ok {
			t.Errorf("%s is missing", id)
			continue
		}
		mass, err := c.MassPerMetre(p)
		if err != nil {
			t.Fatal(err)
		}
		about(t, id, "mass per metre", mass, want, 0.005) // half of the third figure
	}
}

func TestProfiles(t *testing.T) {
	c := parts.Embedded()
	get := func(id string) (*parts.Profile, float64, float64, float64) {
		p, ok := c.Profile(id)
		if !ok {
			t.Fatalf("%s is missing", id)
		}
		s, err := c.Properties(p)
		if err != nil {
			t.Fatal(err)
		}
		return p, s.Area, s.Iy, s.Iz
	}
	for _, p := range all[*parts.Profile](t, "profile") {
		light, is := strings.CutSuffix(p.ID, "-heavy")
		if _, listed := c.Profile(light + "-light"); is && listed {
			_, a, iy, _ := get(p.ID)
			_, a0, iy0, _ := get(light + "-light")
			within(t, p.ID, "area over that of the light one", a/a0, 1.2, 1.6)
			within(t, p.ID, "Iy over that of the light one", iy/iy0, 1.15, 1.8)
		}
		mass, err := c.MassPerMetre(p)
		if err != nil {
			t.Fatal(err)
		}
		perKg := map[bool][2]float64{true: {5.5, 12}, false: {1.4, 3}}[p.Material[0] == '6'] // aluminium against steel
		within(t, p.ID, "price per kilogram", p.CostPerM/mass, perKg[0], perKg[1])
	}
	for lying, standing := range map[string]string{"profile-160x80-heavy": "profile-80x160-heavy", "profile-180x90-heavy": "profile-90x180-heavy"} {
		_, a, iy, iz := get(lying)
		_, b, jy, jz := get(standing)
		about(t, lying, "area of the turned profile", a, b, 1e-9)
		about(t, lying, "Iy", iy, jz, 1e-9)
		about(t, lying, "Iz", iz, jy, 1e-9)
	}
}

func TestBlocks(t *testing.T) {
	largest := map[string]*parts.Block{} // so far, by rolling elements
	for _, b := range all[*parts.Block](t, "block") {
		c100 := b.C
		if b.Basis == "50 km" {
			c100 /= math.Cbrt(2) // cube law of life
		}
		within(t, b.ID, "C0 over C", b.C0/c100, 1.2, 2.4)
		within(t, b.ID, "preload over C", b.Preload/b.C, 0.01, 0.1)
		within(t, b.ID, "ky over kz", b.Ky/b.Kz, 0.6, 0.9)
		// The rows stand about half a rail width apart; pitch and yaw are carried by the ball rows' length.
		within(t, b.ID, "M0x over C0 in rail widths", b.M0x/b.C0/b.Rail, 0.2, 0.6)
		within(t, b.ID, "M0y over C0 in block lengths", b.M0y/b.C0/b.Length, 0.07, 0.25)
		within(t, b.ID, "density of the block's box", b.Mass/(b.Length*b.Width*b.Height), 1500, 6500)
		if b.Kind != "cam roller" {
			within(t, b.ID, "rail mass over a square bar", b.RailPerM/(steel*b.Rail*b.Rail), 0.45, 0.85)
		}
		if strings.Contains(b.ID, "long") {
			continue
		}
		if was := largest[b.Kind]; was != nil && b.Rail > was.Rail {
			if !(c100 > was.C/1.26 && b.C0 > was.C0 && b.Kz > was.Kz && b.Mass > was.Mass && b.RailPerM > was.RailPerM && b.Cost > was.Cost) {
				t.Errorf("%s is larger than %s and not better or heavier in everything", b.ID, was.ID)
			}
		}
		largest[b.Kind] = b
	}
	for _, size := range []string{"15", "20", "25", "30", "35", "45"} {
		if _, ok := parts.Embedded().Block("rail-" + size + "-block"); !ok {
			t.Errorf("size %s is missing", size)
		}
	}
}

func TestBelts(t *testing.T) {
	for _, b := range all[*parts.Belt](t, "belt") {
		within(t, b.ID, "stretch under the allowed tension", b.Cord/b.EA, 0.002, 0.005)
		within(t, b.ID, "breaking over allowed tension", b.Break/b.Cord, 3, 6)
		within(t, b.ID, "force of all counted teeth over the cord's", float64(b.ToothCap)*b.Tooth[0]/b.Cord, 0.5, 1)
		within(t, b.ID, "tooth force at the largest speed over that at rest", b.Tooth[len(b.Tooth)-1]/b.Tooth[0], 0.3, 0.9)
		within(t, b.ID, "mass per width and pitch", b.MassPerM/(b.Width*b.Pitch), 500, 800)
		if b.ToothAt[0] != 0 {
			t.Errorf("%s: the tooth table does not begin at rest", b.ID)
		}
	}
}

func TestScrews(t *testing.T) {
	for _, s := range all[*parts.Screw](t, "screw") {
		about(t, s.ID, "mass per metre of the mean shaft", s.MassPerM, cylinder*s.Dc*s.Dc*steel, 0.01)
		if s.Kind == "slide" {
			within(t, s.ID, "efficiency", s.Eta, 0.2, 0.5) // holds by itself at rest
			continue
		}
		// Lead angle at the ball circle, friction 0.01.
		lead := math.Atan(s.Lead / (math.Pi * 1.03 * s.D0))
		about(t, s.ID, "efficiency from the lead angle", s.Eta, math.Tan(lead)/math.Tan(lead+math.Atan(0.01)), 0.005)
		within(t, s.ID, "C0a over Ca", s.C0a/s.Ca, 1.4, 3.2)
		within(t, s.ID, "preload over Ca", s.Preload/s.Ca, 0.03, 0.1)
		within(t, s.ID, "root over nominal diameter", s.Dr/s.D0, 0.8, 0.97)
		// A nut cannot be stiffer than a piece of its shaft three diameters long is by much.
		within(t, s.ID, "nut over shaft stiffness", s.Nut/(206e9*cylinder*s.Dc*s.Dc/(3*s.D0)), 0.1, 0.8)
	}
}

func TestRacks(t *testing.T) {
	for _, r := range all[*parts.Rack](t, "rack") {
		d := r.Module * float64(r.Teeth) / math.Cos(r.Helix)
		flank := math.Pow(r.FlankLim/1.1/(189.8e3*2.495), 2) // ZE = 189.8 sqrt(MPa) = 189.8e3 sqrt(Pa), steel on steel
		limit := math.Min(flank*d*r.Width, r.RootLim/1.5*r.Width*r.Module/4.3) / (1.5 * 1.1 * 1.3)
		within(t, r.ID, "rated force over that of tooth screening", r.Force/limit, 0.85, 1.2)
		within(t, r.ID, "pinion inertia over that of a solid disc", r.PinionJ/(math.Pi/32*steel*r.Width*math.Pow(d, 4)), 0.9, 1.4)
		within(t, r.ID, "height of the bar over module", r.MassPerM/(steel*r.Width*r.Module), 7, 12)
		about(t, r.ID, "mesh stiffness, 20 N/µm per mm of width", r.MeshStiff, 20e9*r.Width, 0.01)
	}
}

func TestMotors(t *testing.T) {
	var before *parts.Motor
	for _, m := range all[*parts.Motor](t, "motor") {
		if m.Kind == "stepper" {
			within(t, m.ID, "pull-out at rest over holding torque", m.Pull[0]/m.T0, 0.8, 1)
			continue
		}
		var watts float64
		if _, err := fmt.Sscanf(m.ID, "servo-%g", &watts); err != nil {
			t.Errorf("%s: %v", m.ID, err)
		}
		about(t, m.ID, "rated power", m.Tn*m.Nn, watts, 0.01)
		within(t, m.ID, "stall over rated torque", m.T0/m.Tn, 1, 1.3)
		within(t, m.ID, "peak over rated torque", m.Tmax/m.Tn, 2.5, 3.5)
		within(t, m.ID, "knee over rated speed", m.Knee/m.Nn, 1, 1.4)
		within(t, m.ID, "no-load over knee speed", m.NoLoad/m.Knee, 1.3, 2)
		within(t, m.ID, "acceleration of the bare rotor, rad/s²", m.Tmax/m.J, 1.5e4, 3e5)
		within(t, m.ID, "rated power per kilogram", watts/m.Mass, 140, 350)
		within(t, m.ID, "density of the motor's box", m.Mass/(m.Flange*m.Flange*m.Length), 2000, 4500)
		if before != nil && !(m.Tn > before.Tn && m.Mass > before.Mass && m.J > before.J && m.Cost > before.Cost && m.Flange >= before.Flange && m.CapF > 0) {
			t.Errorf("%s is stronger than %s and not larger in everything", m.ID, before.ID)
		}
		before = m
	}
	if n := len(all[*parts.Motor](t, "motor")); n < 10 {
		t.Errorf("%d motors, at least eight servo and two stepper motors are wanted", n)
	}
}

func TestGears(t *testing.T) {
	largest := map[string]*parts.Gear{}
	for _, g := range all[*parts.Gear](t, "gear") {
		within(t, g.ID, "peak over rated torque", g.T2B/g.T2N, 1.4, 1.8)
		within(t, g.ID, "emergency over rated torque", g.T2Not/g.T2N, 2.5, 3.5)
		within(t, g.ID, "allowed input speed", g.N1Max/rpm, 4000, 8000)
		within(t, g.ID, "wind-up at rated torque, arcmin", g.T2N/g.Ct*60*180/math.Pi, 2, 15)
		stages := 1
		if g.Ratio > 10 {
			stages = 2
		}
		within(t, g.ID, "efficiency", g.Eta, math.Pow(0.95, float64(stages)), math.Pow(0.98, float64(stages)))
		key := fmt.Sprint(g.Kind, g.Flange, stages)
		if was := largest[key]; was != nil && !(g.Ratio > was.Ratio && g.J <= was.J) {
			t.Errorf("%s after %s: inertia at the input falls with the ratio", g.ID, was.ID)
		}
		largest[key] = g
	}
	for _, size := range []string{"60", "90", "120"} {
		for _, ratio := range []string{"3", "4", "5", "7", "8", "10", "16", "20", "25", "40"} {
			if _, ok := parts.Embedded().Gear("planetary-" + size + "-" + ratio); !ok {
				t.Errorf("planetary gear %s:1 of size %s is missing", ratio, size)
			}
		}
	}
}

func TestBrakes(t *testing.T) {
	var before *parts.Brake
	for _, b := range all[*parts.Brake](t, "brake") {
		within(t, b.ID, "stops until the gap is reset", b.Wear/b.Energy, 1000, 10000)
		within(t, b.ID, "apply time, s", b.Apply, 0.01, 0.15)
		if before != nil && !(b.Torque > before.Torque && b.J > before.J && b.Energy > before.Energy && b.Mass > before.Mass && b.Apply >= before.Apply) {
			t.Errorf("%s is stronger than %s and not larger in everything", b.ID, before.ID)
		}
		before = b
	}
}
