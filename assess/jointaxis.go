package assess

import (
	"errors"
	"fmt"
	"math"

	"spanwright/joint"
	"spanwright/ledger"
	"spanwright/machine"
	"spanwright/structure"
)

// axisJoints gathers the supports of every beam on the stand and the interfaces
// between axes.
func (r *run) axisJoints() (out []*jointGroup) {
	for _, a := range r.m.Axes {
		for _, kind := range [...]machine.ConnectionKind{machine.Support, machine.Interface} {
			var g *jointGroup
			for _, c := range r.m.Connections {
				if c.Axis != a.Index || c.Kind != kind {
					continue
				}
				if g == nil {
					g = axisGroup(a, c)
					out = append(out, g)
				}
				if err := r.axisPlace(g, c); err != nil {
					g.missing = err.Error()
				}
			}
		}
	}
	return out
}

func axisGroup(a *machine.Axis, c machine.Connection) *jointGroup {
	id, word := a.Spec.ID, connectionWord(c)
	title := "supports of the beam"
	if c.Kind == machine.Interface {
		title = "interface that carries the axis"
	}
	return &jointGroup{
		id: "joint." + id + "." + word, kind: "joint." + word, subject: "axes." + id + ".join", title: title,
		part: a.Spec.Join.Part, about: map[joint.Mechanism]string{},
	}
}

// connectionWord is the word of a kind of connection in check ids.
func connectionWord(c machine.Connection) string {
	if c.Kind == machine.Support {
		return "support"
	}
	return "interface"
}

// connectionTurn turns the force that a connection exerts on what it holds, own
// axes (x along the held axis, z off the carrier), into the demand in joint
// axes: x off the carrier, y along the held axis, z across.
var connectionTurn = [6]turned{{2, -1}, {0, -1}, {1, -1}, {5, -1}, {3, -1}, {4, -1}}

func (r *run) axisPlace(g *jointGroup, c machine.Connection) error {
	place := jointPlace{name: c.ID, forces: atConnection(c)}
	g.line = g.line || r.inLine(c)
	var err error
	if c.By == "clamps" {
		err = r.clampPlace(&place, c)
	} else {
		err = r.platePlace(g, &place, c)
	}
	g.places = append(g.places, place)
	return err
}

// clampFaces are the friction faces of a clamped profile: clamp lip and base.
const clampFaces = 2

// connectionSafety are the factors of one connection. Supports of a beam that
// lies along a rail tie both into one section: bending shears them far more than
// the drive does, and one that slips only shifts load to its neighbours. What is
// lost then is stiffness, so the single support is judged for the working
// accelerations with a factor of 1, and the line as a whole for all with that of
// the design.
func (r *run) connectionSafety(c machine.Connection) joint.Safety {
	s := r.jointSafety()
	if r.inLine(c) {
		s.Slip = 1
	}
	return s
}

func (r *run) clampPlace(place *jointPlace, c machine.Connection) error {
	path := "axes." + r.m.Axes[c.Axis].Spec.ID + ".join."
	if c.Clamp == nil {
		return errors.New(path + "part: the clamp")
	}
	if c.Clamps == 0 {
		return errors.New(path + "clamps_per_side")
	}
	p := c.Clamp
	screw, err := joint.UsualScrew(p.Screw, p.Class, p.Torque)
	if err != nil {
		return err
	}
	var lip *joint.Lip
	if c.A.Node < 0 {
		host := r.m.Members[c.A.Member]
		if lip, err = lipOf(host.Profile, host.Material, p.NutWidth, p.NutLength); err != nil {
			return fmt.Errorf("%w for %s", err, host.Profile.Material)
		}
	}
	width := structure.HeldWidth(r.m, c)
	place.torque = torqueLimit(screw, lip, nil)
	place.holds = []jointHold{{turn: connectionTurn, joint: joint.Clamps{
		PerSide: c.Clamps, Pitch: p.Width, Gauge: width, Width: width, Length: float64(c.Clamps) * p.Width,
		Screw: screw, Screws: p.Count, Lever: p.Share, Friction: clampFaces, Lip: lip, Safety: r.connectionSafety(c),
	}}}
	return nil
}

func (r *run) platePlace(g *jointGroup, place *jointPlace, c machine.Connection) error {
	if c.Plate == nil {
		return fmt.Errorf("axes.%s.join.part: the plate that names the screws", r.m.Axes[c.Axis].Spec.ID)
	}
	between, err := structure.InterfacePlate(r.m, c)
	if err != nil {
		return err
	}
	plate, err := between.Assemble(r.connectionSafety(c))
	if err != nil {
		return err
	}
	if plate.DrawnIn {
		g.about[joint.Slip] = "the screw pattern of the plate is wider than a body it stands on and is taken drawn in to its face"
	}
	place.torque = torqueLimit(between.Screw, nil, nil)
	place.plate = &plate
	place.holds = []jointHold{{turn: connectionTurn, joint: plate}}
	return nil
}

// ribNote compares the ribs of a plate with what the rule of the trade advises.
func ribNote(plate *joint.InterfacePlate, f jointFinding) string {
	for _, o := range plate.Overhangs {
		if o.Where() != f.check.Where {
			continue
		}
		my, mz := math.Abs(f.demand.My), math.Abs(f.demand.Mz)
		const both = 0.1 // share of the other moment from which a load counts as eccentric, own choice
		advice, err := joint.AdviseRibs(o.Strip, f.check.Demand, math.Min(my, mz) > both*math.Max(my, mz))
		if err != nil {
			return ""
		}
		return fmt.Sprintf("free length %s mm, %d ribs there, %d advised: %s", ledger.Number(o.Strip.Arm*1e3), o.Ribs, advice.Least, advice.Reason)
	}
	return ""
}

// unjudgedJoints says what of the joints no check covers.
func (r *run) unjudgedJoints() {
	r.unjudgedMembers()
	for _, a := range r.m.Axes {
		r.unjudgedConnections(a)
	}
	r.skip("block screws", "screws between carriages and guide blocks, and between rails and beams: the part data give none; follow the guide's sheet, with a flatness of 0.02 mm over a carriage that is bolted directly (common practice, no source)")
	r.skip("impact on hard stops in joints", "the combinations are working accelerations and the emergency stop of all axes")
}

// unjudgedMembers lists the members that a design joins by a word instead of hardware, and the plates' own ends.
func (r *run) unjudgedMembers() {
	words := map[string][]string{}
	for _, mem := range r.m.Design.Stand.Members {
		if mem.Joint == "rigid" || mem.Joint == "hinged" {
			words[mem.Joint] = append(words[mem.Joint], mem.ID)
		}
	}
	for _, word := range [...]string{"rigid", "hinged"} {
		if list := words[word]; len(list) > 0 {
			r.skip("joint.explicit, "+word, fmt.Sprintf("stand.members %v: the joint is %s, no hardware is named to judge", list, word))
		}
	}
	seen := map[string]bool{}
	for _, mem := range r.m.Members {
		for _, j := range mem.Joints {
			if !j.HasPart() || seen[j.Part.ID] {
				continue
			}
			p := j.Part
			seen[p.ID] = true
			if family := joint.Family(p.Family); family == joint.CornerPlates || family == joint.BasePlates {
				r.skip("joint plates at the ends of members, "+p.ID, "screws into the cores or the weld between plate and member: the part data do not describe them; only the face to what carries the member is judged")
			}
		}
	}
}

func (r *run) unjudgedConnections(a *machine.Axis) {
	id := a.Spec.ID
	var stacked []structure.Force
	plate, clamp, floats := false, false, false
	for _, c := range r.m.Connections {
		if c.Axis != a.Index {
			continue
		}
		if c.Kind == machine.Stacked {
			stacked = append(stacked, r.study.forces.Joints[c.ID]...)
		}
		plate = plate || c.Plate != nil
		clamp = clamp || c.Clamp != nil && (c.Clamp.NutWidth == 0 || c.A.Node >= 0)
		floats = floats || c.Float
	}
	if len(stacked) > 0 {
		b := envelope(stacked)
		lift := math.Max(0, -b.Min[2])
		r.skip("joint."+id+".under_beam", fmt.Sprintf("the design names no hardware between beam and under-beam; each of the connections, at most 0.4 m apart, has to carry up to %s N along, %s N across and %s N of lift",
			ledger.Number(b.Largest(0)), ledger.Number(b.Largest(1)), ledger.Number(lift)))
	}
	if plate {
		r.skip("seat of the screws of plates, axis "+id, "slot lips or threads that the screws of "+a.Spec.Join.Part+" end in: the part data do not describe them; a slot nut often allows less torque than the screw")
	}
	if clamp {
		r.skip("seat of the screws of clamps, axis "+id, "slot lips or threads that the screws of "+a.Spec.Join.Part+" end in: the part data name no slot nut, or what carries the axis has no slot")
	}
	if floats {
		r.skip("floating mount of axis "+id, "the floating side is meant to slide along the bridge; what guides it there is not in the part data")
	}
}
