package parts_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"spanwright/joint"
	"spanwright/parts"
)

// How the representative parts fit each other.

// TestJointsFitTheirProfiles holds slots, nuts and torques against the profiles
// of the module.
func TestJointsFitTheirProfiles(t *testing.T) {
	c := parts.Embedded()
	families := map[float64]map[string]bool{}
	for _, j := range all[*parts.Joint](t, "joint") {
		thread, err := joint.CoarseThread(j.Screw)
		if err != nil {
			t.Errorf("%s: %v", j.ID, err)
			continue
		}
		// Common practice: nut factor 0.2, preload up to 70 % of the proof stress of class 8.8.
		preload := j.Torque / (0.2 * thread.Diameter)
		within(t, j.ID, "preload over proof load", preload/(580e6*thread.StressArea), 0.05, 0.75)
		if j.Slot == 0 {
			continue
		}
		if families[j.Fits] == nil {
			families[j.Fits] = map[string]bool{}
		}
		families[j.Fits][j.Family] = true
		fitted := 0
		for _, p := range all[*parts.Profile](t, "profile") {
			if p.Slots == nil || p.Slots.Module != j.Fits {
				continue
			}
			fitted++
			about(t, j.ID, "slot of "+p.ID, p.Slots.Slot, j.Slot, 1e-12)
			m, _ := c.Material(p.Material)
			yield, ok := m.YieldAt(p.Slots.Lip)
			if !ok {
				t.Fatalf("%s: the yield stress of %s is not known", p.ID, p.Material)
			}
			if j.Engagement > 0 {
				about(t, j.ID, "core bore of "+p.ID+" for the tapped thread", p.Slots.Bore, thread.Diameter-thread.Pitch, 0.02)
				within(t, j.ID, "thread engaged in diameters", j.Engagement/thread.Diameter, 2, 3)
				continue
			}
			lip := joint.Lip{
				Thickness: p.Slots.Lip, Opening: p.Slots.Slot, Inner: p.Slots.Inner, NutWidth: j.NutWidth, NutLength: j.NutLength, Yield: yield,
			}
			s, err := lip.Strength()
			if err != nil {
				t.Errorf("%s on %s: %v", j.ID, p.ID, err)
				continue
			}
			within(t, j.ID, "preload over two thirds of the plastic strength of the lips of "+p.ID, preload/(s.Plastic/1.5), 0.5, 0.85)
			within(t, j.ID, "screw through the slot of "+p.ID, thread.Diameter/p.Slots.Slot, 0.6, 1.001)
		}
		if fitted == 0 {
			t.Errorf("%s fits no profile", j.ID)
		}
	}
	for _, module := range []float64{0.03, 0.04, 0.045, 0.06} {
		if len(families[module]) != 8 {
			t.Errorf("module %g m has %d joint families, 8 are wanted", module, len(families[module]))
		}
	}
}

// TestJointsHoldTheirOwnPreload lays every joint out on a profile of its module:
// tightened and without load, nothing may be used up to where a check calls it
// tight.
func TestJointsHoldTheirOwnPreload(t *testing.T) {
	c := parts.Embedded()
	onModule := map[float64]string{0.03: "profile-30x60-light", 0.04: "profile-40x80-light", 0.045: "profile-45x90-light", 0.06: "profile-60x120-light"}
	for _, j := range all[*parts.Joint](t, "joint") {
		p, ok := c.Profile(onModule[j.Fits])
		if !ok {
			continue // welded end plates of tubes
		}
		s, err := c.Properties(p)
		if err != nil {
			t.Fatal(err)
		}
		thread, _ := joint.CoarseThread(j.Screw)
		class, err := joint.PropertyClass(j.Class, thread)
		if err != nil {
			t.Fatal(err)
		}
		m, _ := c.Material(p.Material)
		yield, _ := m.YieldAt(p.Slots.Lip)
		screw := joint.Screw{Thread: thread, Class: class, Tightening: joint.Tightening{
			Torque: j.Torque, NutFactor: joint.AsSupplied.NutFactor(), Scatter: joint.ScatterTorqueWrench, Loss: joint.LossAluminium,
		}}
		laid, err := joint.Assemble(
			joint.Hardware{
				Family: joint.Family(j.Family), Screw: screw, Count: j.Count, Lever: j.Lever, Pitch: j.Pitch,
				Thickness: j.Thick, Width: j.Width, Yield: j.Yield, Young: 70e9,
			},
			joint.Ends{
				DepthY: p.Size[0], DepthZ: p.Size[1], Area: s.Area, Modulus: math.Min(s.Wy, s.Wz), Yield: yield,
				Lip: &joint.Lip{
					Thickness: p.Slots.Lip, Opening: p.Slots.Slot, Inner: p.Slots.Inner, NutWidth: j.NutWidth, NutLength: j.NutLength, Yield: yield,
				},
				Core: &joint.TappedHole{Engagement: j.Engagement, Yield: yield, Share: joint.TappedShare},
			},
			joint.Safety{Slip: 1.5, Yield: 1.5, Friction: 0.12, Factor: 0.2},
		)
		if err != nil {
			t.Errorf("%s on %s: %v", j.ID, p.ID, err)
			continue
		}
		checks, err := joint.Checks(laid, joint.Demand{})
		if err != nil {
			t.Errorf("%s on %s: %v", j.ID, p.ID, err)
		}
		for _, k := range checks {
			within(t, j.ID+" on "+p.ID, "use of "+string(k.Mechanism)+" by the preload alone", k.Utilisation, 0, 0.85)
		}
	}
}

func TestPlatesAndClamps(t *testing.T) {
	c := parts.Embedded()
	for _, p := range all[*parts.Plate](t, "plate") {
		thread, err := joint.CoarseThread(p.Screw)
		if err != nil {
			t.Fatal(err)
		}
		m, _ := c.Material(p.Material)
		about(t, p.ID, "mass", p.Mass, (p.Width*p.Thick+2*p.RibThick*p.RibHigh)*p.Length*m.Density, 0.01)
		// EN 1993-1-8, Table 3.3: edge distance at least 1.2 hole diameters.
		edge := math.Min(p.Length-p.PitchX, p.Width-p.PitchY) / 2
		within(t, p.ID, "edge distance in screw diameters", edge/thread.Diameter, 1.2*1.1, 4)
		within(t, p.ID, "preload over proof load", p.Torque/(0.2*thread.Diameter*580e6*thread.StressArea), 0.2, 0.75)
	}
	for _, k := range all[*parts.Clamp](t, "clamp") {
		thread, err := joint.CoarseThread(k.Screw)
		if err != nil {
			t.Fatal(err)
		}
		within(t, k.ID, "room for a screw in its width, in diameters", k.Width/float64(k.Count)/thread.Diameter, 2, 8)
		within(t, k.ID, "preload over proof load", k.Torque/(0.2*thread.Diameter*580e6*thread.StressArea), 0.2, 0.75)
	}
}

func TestFeet(t *testing.T) {
	for _, f := range all[*parts.Foot](t, "foot") {
		area := cylinder * f.Pad * f.Pad
		if f.Rotate > 0 {
			area = f.Pad * f.Pad
			about(t, f.ID, "mass of the plate", f.Mass, area*f.Height*steel, 0.1)
		}
		within(t, f.ID, "pressure on the floor at capacity, MPa", f.Capacity/area/1e6, 1, 4)
		within(t, f.ID, "settling at capacity, m", f.Capacity/f.Axial, 0.05e-3, 0.3e-3)
		within(t, f.ID, "anchor spacing over pad", f.Spacing[0]/f.Pad, 0, 0.85)
		if f.Anchors > 1 != (f.Spacing != [2]float64{}) {
			t.Errorf("%s: %d anchors with spacing %v", f.ID, f.Anchors, f.Spacing)
		}
	}
}

func TestShaftsCarriersBumpers(t *testing.T) {
	for _, s := range all[*parts.Shaft](t, "shaft") {
		about(t, s.ID, "mass per metre", s.MassPerM, cylinder*(s.Outer*s.Outer-s.Inner*s.Inner)*steel, 0.005)
	}
	for _, k := range all[*parts.Carrier](t, "carrier") {
		within(t, k.ID, "walls above and below the cables, m", k.Outer-k.Inner[1], 3e-3, 20e-3)
		within(t, k.ID, "bend radius over outer height", k.Radius/k.Outer, 1.5, 6)
		if len(k.Span) < 3 {
			t.Errorf("%s: the span table has %d points", k.ID, len(k.Span))
		}
	}
	for _, b := range all[*parts.Bumper](t, "bumper") {
		force := b.Energy / (b.Eta * b.Stroke)
		within(t, b.ID, "force at full energy, N", force, 1000, 45000)
		within(t, b.ID, "stroke over free length", b.Stroke/b.Length, 0, 0.45)
		if b.Hourly < b.Energy {
			t.Errorf("%s: less energy in an hour than in one hit", b.ID)
		}
	}
}

// serves lists the axes of one drive in the order of the file.
func serves(t *testing.T, drive string) (out []*parts.Axis) {
	for _, a := range all[*parts.Axis](t, "axis") {
		if a.Drive == drive {
			out = append(out, a)
		}
	}
	return out
}

func TestAxes(t *testing.T) {
	c := parts.Embedded()
	for _, a := range all[*parts.Axis](t, "axis") {
		p, _ := c.Profile(a.Profile)
		b, _ := c.Block(a.Block)
		top := p.Size[1] / 2
		// The rolling centres lie at about four tenths of the block's height above the rail's seat.
		about(t, a.ID, "rail height", a.RailHeight, top+0.4*b.Height, 0.01)
		within(t, a.ID, "carriage plate, m", a.PlateTop-top-b.Height, 6e-3, 26e-3)
		within(t, a.ID, "rails on the beam, m", p.Size[0]-a.Across-b.Rail, 0, 1)
		within(t, a.ID, "blocks beyond both edges of the beam together, m", a.Across+b.Width-p.Size[0], -0.1, 0.04)
		within(t, a.ID, "carriage beyond the outer block ends, m", a.Plate-a.Along-b.Length, 0, 0.03)
		if a.Rails == 2 && !(a.Across > b.Width) {
			t.Errorf("%s: blocks of %g m on rails %g m apart", a.ID, b.Width, a.Across)
		}
		if a.PerRail > 1 && !(a.Along > b.Length) {
			t.Errorf("%s: blocks of %g m every %g m", a.ID, b.Length, a.Along)
		}
		blocks := float64(a.Rails * a.PerRail)
		within(t, a.ID, "carriage mass without blocks over a plate of aluminium",
			(a.Carriage-blocks*b.Mass)/(2700*a.Plate*a.PlateWidth*(a.PlateTop-top-b.Height)), 0.9, 3)
		within(t, a.ID, "speed over that of the block", a.VMax/b.VMax, 0, 1)
		within(t, a.ID, "extra mass over that of the rails", a.ExtraPerM/(float64(a.Rails)*b.RailPerM), 1, 4)
		// All of the moved mass half a metre beside one carriage, on one pair of blocks: C0 with a factor of 4.
		load := a.MovedMass * (gravity + a.AMax)
		arm := math.Max(a.Across, math.Max(a.Along, b.Length))
		within(t, a.ID, "static safety of the guides", b.C0/(load/blocks+load*0.25/arm/math.Max(1, blocks/2)), 2.5, 200)
	}
	for _, drive := range []string{"belt", "ball screw", "rack"} {
		var horizontal []*parts.Axis
		for _, a := range serves(t, drive) {
			if !strings.Contains(a.ID, "mast") {
				horizontal = append(horizontal, a)
			}
		}
		if len(horizontal) < 5 {
			t.Errorf("%d axes with %s, at least five sizes are wanted", len(horizontal), drive)
		}
		if !slices.IsSortedFunc(horizontal, func(a, b *parts.Axis) int { return int(a.MovedMass - b.MovedMass) }) {
			t.Errorf("the axes with %s do not go from light to heavy", drive)
		}
	}
}

// weightOn is the weight along the travel: masts carry it.
func weightOn(a *parts.Axis) float64 {
	if strings.Contains(a.ID, "mast") {
		return a.MovedMass * gravity
	}
	return 0
}

func TestBeltAxes(t *testing.T) {
	c := parts.Embedded()
	for _, a := range serves(t, "belt") {
		b, _ := c.Belt(a.Belt)
		force := a.MovedMass*a.AMax + a.Drag + weightOn(a)
		if a.Teeth < b.MinTeeth {
			t.Errorf("%s: %d teeth, the belt needs %d", a.ID, a.Teeth, b.MinTeeth)
		}
		mesh := float64(min(a.Teeth/2, b.ToothCap))
		within(t, a.ID, "tooth force with the service factor over what the teeth bear at rest", 1.4*force/(mesh*b.Tooth[0]), 0.05, 1)
		within(t, a.ID, "pre-tension over drive force", a.Pretension/force, 1.05, 3)
		within(t, a.ID, "tight run over cord force", (a.Pretension+force)/b.Cord, 0.1, 1)
		pulley := float64(a.Teeth) * b.Pitch / math.Pi
		p, _ := c.Profile(a.Profile)
		within(t, a.ID, "pulley over beam height", pulley/p.Size[1], 0.3, 1.2)
		within(t, a.ID, "pulley speed, rpm", a.VMax/(pulley/2)/rpm, 200, 3000)
		within(t, a.ID, "extra mass over rails and both belt runs", a.ExtraPerM-2*b.MassPerM, 0, 100)
		if (a.Layout == "omega") != (a.MotorAt == "carriage") {
			t.Errorf("%s: layout %s with the motor at the %s", a.ID, a.Layout, a.MotorAt)
		}
	}
}

func TestScrewAndRackAxes(t *testing.T) {
	c := parts.Embedded()
	for _, a := range serves(t, "ball screw") {
		s, _ := c.Screw(a.Screw)
		within(t, a.ID, "speed over what DN allows", a.VMax/(s.DN/(s.D0*1e3)/60*s.Lead), 0.5, 1)
		within(t, a.ID, "static safety of the nut lifting the moved mass", s.C0a/(a.MovedMass*(gravity+a.AMax)), 2, 200)
		within(t, a.ID, "bearing over nut stiffness", a.Bearing/s.Nut, 0.4, 1.2)
		p, _ := c.Profile(a.Profile)
		within(t, a.ID, "screw in the beam", s.D0/p.Size[1], 0.1, 0.5)
	}
	for _, a := range serves(t, "rack") {
		r, _ := c.Rack(a.Rack)
		within(t, a.ID, "force over that of the rack", (a.MovedMass*a.AMax+a.Drag+weightOn(a))/r.Force, 0.05, 0.9)
		if a.MotorAt != "carriage" {
			t.Errorf("%s: the motor of a rack axis rides on the carriage", a.ID)
		}
		p, _ := c.Profile(a.Profile)
		within(t, a.ID, "rack beside the beam, m", a.DriveSide-p.Size[0]/2, 0, 0.03)
	}
}
