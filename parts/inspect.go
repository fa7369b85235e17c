package parts

import "fmt"

// What must hold within one part beyond what its tags say. The rules refuse
// only what cannot be; whether a part is good enough is for the checks of a
// design.

func inspectMaterial(m *Material, r *review) {
	// G = E/(2 (1 + nu)) with nu between 0 and 0.5.
	if g := m.G / m.E; !(g >= 1.0/3 && g <= 0.5) && !r.broken("E") {
		r.refuse("G", Contradiction, fmt.Sprintf("is %.3g times E; an isotropic material has a third to a half", g), "")
	}
	if m.Yield != 0 && m.Tensile != 0 {
		r.order(m.Yield, "yield", m.Tensile, "tensile")
	}
}

func inspectBlock(b *Block, r *review) {
	for _, m := range []struct {
		value float64
		key   string
	}{{b.M0x, "M0x"}, {b.M0y, "M0y"}, {b.M0z, "M0z"}} {
		r.lever(m.value, m.key, b.C0, "C0")
	}
}

func inspectAxis(a *Axis, r *review) {
	r.need(a.PerRail < 2 || a.Along > 0, "spacing_along", "there is more than one block on a rail")
	r.surplus(a.PerRail == 1 && a.Along != 0, "spacing_along", "there is one block on a rail")
	r.need(a.Rails < 2 || a.Across > 0, "spacing_across", "there are two rails")
	r.surplus(a.Rails == 1 && a.Across != 0, "spacing_across", "there is one rail")
	r.order(a.RailHeight, "rail_height", a.PlateTop, "plate_height")
	r.order(a.Along, "spacing_along", a.Plate, "carriage_length")

	if r.broken("drive") {
		return
	}
	drive := "the drive is a " + a.Drive
	belt, screw, rack := a.Drive == "belt", a.Drive == "ball screw" || a.Drive == "slide screw", a.Drive == "rack"
	r.need(!belt || a.Belt != "", "belt", drive)
	r.need(!belt || a.Teeth != 0, "pulley_teeth", drive)
	r.need(!belt || a.Pretension != 0, "pretension", drive)
	r.need(!belt || a.Layout != "", "layout", drive)
	r.need(!screw || a.Screw != "", "screw", drive)
	r.need(!screw || a.Ends != "", "screw_ends", drive)
	r.need(!screw || a.Bearing != 0, "bearing_stiffness", drive)
	r.need(!rack || a.Rack != "", "rack", drive)
	r.surplus(!belt && a.Belt != "", "belt", drive)
	r.surplus(!screw && a.Screw != "", "screw", drive)
	r.surplus(!rack && a.Rack != "", "rack", drive)
	if a.Layout == "omega" && a.MotorAt == "beam" {
		r.refuse("motor_at", Contradiction, "is beam; in the omega layout the driven pulley travels with the carriage", "write motor_at: carriage")
	}
}

func inspectBelt(b *Belt, r *review) {
	r.lookup(b.ToothAt, "tooth_speeds", b.Tooth, "tooth_forces")
	r.falling(b.Tooth, "tooth_forces")
	if b.Break != 0 {
		r.order(b.Cord, "cord_force", b.Break, "breaking_force")
	}
}

func inspectScrew(s *Screw, r *review) {
	r.order(s.Dr, "dr", s.D0, "d0")
	if s.Dc != 0 {
		r.order(s.Dr, "dr", s.Dc, "dc")
		r.order(s.Dc, "dc", s.D0, "d0")
	}
}

func inspectRack(k *Rack, r *review) {
	r.order(k.Module, "module", k.Width, "width")
}

func inspectMotor(m *Motor, r *review) {
	if m.CapV != [2]float64{} && !(m.CapV[0] < m.CapV[1]) {
		r.refuse("bus_voltage", Contradiction, "does not rise from the normal voltage to that of the brake chopper", "")
	}
	if r.broken("kind") {
		return
	}
	servo := m.Kind == "servo"
	why := "the motor is a " + m.Kind
	for _, n := range []struct {
		value float64
		key   string
	}{
		{m.Tn, "rated_torque"}, {m.Nn, "rated_speed"}, {m.Tmax, "peak_torque"}, {m.Knee, "knee_speed"}, {m.NoLoad, "no_load_speed"},
	} {
		r.need(!servo || n.value != 0, n.key, why)
	}
	r.need(servo || len(m.PullAt) > 0, "pull_out_speeds", why)
	r.need(servo || len(m.Pull) > 0, "pull_out_torques", why)
	r.surplus(servo && len(m.Pull) > 0, "pull_out_torques", why)
	if servo {
		r.order(m.Tn, "rated_torque", m.T0, "stall_torque")
		r.order(m.T0, "stall_torque", m.Tmax, "peak_torque")
		r.order(m.Knee, "knee_speed", m.NoLoad, "no_load_speed")
		r.order(m.Nn, "rated_speed", m.Nmax, "max_speed")
	} else {
		r.lookup(m.PullAt, "pull_out_speeds", m.Pull, "pull_out_torques")
		r.falling(m.Pull, "pull_out_torques")
	}
}

func inspectGear(g *Gear, r *review) {
	r.order(g.T2N, "rated_torque", g.T2B, "peak_torque")
	if g.T2Not != 0 {
		r.order(g.T2B, "peak_torque", g.T2Not, "emergency_torque")
	}
	r.order(g.N1N, "rated_speed", g.N1Max, "max_speed")
}

func inspectBrake(b *Brake, r *review) {
	if b.Energy != 0 && b.Wear != 0 {
		r.order(b.Energy, "energy_per_stop", b.Wear, "wear_energy")
	}
}

func inspectJoint(j *Joint, r *review) {
	if r.broken("family") {
		return
	}
	family := "the family is " + j.Family
	switch j.Family {
	case "core screw":
		r.need(j.Engagement != 0, "core_engagement", family)
	case "hidden fastener":
		r.need(j.Slot != 0, "slot", family)
	default:
		r.need(j.Thick != 0, "thickness", family)
		r.need(j.Width != 0, "width", family)
		r.need(j.Yield != 0, "yield", family)
		r.need(j.Count < 2 || j.Pitch != 0 || j.Family == "two brackets" && j.Count == 2, "pitch", "there is more than one screw")
	}
	if j.Family == "two brackets" || j.Family == "two gussets" || j.Family == "corner plate" || j.Family == "base plate" {
		if j.Count%2 != 0 {
			r.refuse("screws", Contradiction, fmt.Sprintf("is %d; %s and its screws stand in two equal groups", j.Count, family), "")
		}
	}
	if j.Slot != 0 && j.Family != "core screw" {
		r.need(j.NutWidth != 0, "nut_width", "the joint sits in slots")
		r.need(j.NutLength != 0, "nut_length", "the joint sits in slots")
		if j.NutWidth != 0 {
			r.order(j.Slot, "slot", j.NutWidth, "nut_width")
		}
	}
}

func inspectPlate(p *Plate, r *review) {
	r.order(p.PitchX, "pitch_along", p.Length, "length")
	r.order(p.PitchY, "pitch_across", p.Width, "width")
	r.need(p.RibHigh == 0 || p.RibThick != 0, "rib_thickness", "there is a rib height")
	r.need(p.RibThick == 0 || p.RibHigh != 0, "rib_height", "there is a rib thickness")
}

func inspectFoot(f *Foot, r *review) {
	if f.Rotate != 0 && f.Anchors < 2 {
		r.refuse("anchors", Contradiction, fmt.Sprintf("is %d; a foot with a rotational stiffness needs two or more", f.Anchors), "leave base_rotational_stiffness out for a hinged foot")
	}
	r.need(f.Anchors < 2 || f.Spacing[0] > 0 || f.Spacing[1] > 0, "anchor_spacing", "there is more than one anchor")
}

func inspectShaft(s *Shaft, r *review) {
	if !(s.Inner < s.Outer) && !r.broken("outer") {
		r.refuse("inner", Contradiction, "is not below the outer diameter", "")
	}
}

func inspectCarrier(c *Carrier, r *review) {
	r.order(c.Inner[1], "inner", c.Outer, "outer_height")
	if !(c.Radius > c.Outer/2) && !r.broken("outer_height") {
		r.refuse("radius", Contradiction, "is not above half the outer height, so the inside of the bend has no room", "the radius is that of the pitch line")
	}
	r.lookup(c.SpanAt, "span_loads", c.Span, "spans")
	r.falling(c.Span, "spans")
}

func inspectBumper(b *Bumper, r *review) {
	if !(b.MassRng[0] <= b.MassRng[1]) {
		r.refuse("effective_mass", Contradiction, "does not rise from the smallest to the largest", "")
	}
}
