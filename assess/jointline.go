package assess

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/joint"
	"spanwright/ledger"
	"spanwright/machine"
	"spanwright/structure"
)

// holdLines judge all supports of a beam together, or all interfaces of a bridge,
// against the drive: the sum a reader can do by hand. How the supports share it,
// and what bending of the beam adds, is in the slip of the single support.
func (r *run) holdLines() {
	for _, a := range r.m.Axes {
		for beam := range a.Beams {
			r.holdLine(a, beam)
		}
	}
}

// lineHold is what a line of like connections presses with.
type lineHold struct {
	screws, faces int
	least         float64 // least force of one screw, N
	share         float64 // of it that presses
	name, path    string
}

func (r *run) lineHold(held []machine.Connection) (l lineHold, ok bool) {
	c := held[0]
	path := "axes." + r.m.Axes[c.Axis].Spec.ID + ".join"
	var screw joint.Screw
	var err error
	switch {
	case c.Clamp != nil && c.Clamps > 0:
		screw, err = joint.UsualScrew(c.Clamp.Screw, c.Clamp.Class, c.Clamp.Torque)
		l = lineHold{screws: 2 * c.Clamps * c.Clamp.Count, faces: clampFaces, share: c.Clamp.Share, name: "part " + c.Clamp.ID, path: path}
	case c.Plate != nil:
		screw, err = joint.UsualScrew(c.Plate.Screw, c.Plate.Class, c.Plate.Torque)
		l = lineHold{screws: c.Plate.Count, faces: 1, share: 1, name: "part " + c.Plate.ID, path: path}
	default:
		return l, false
	}
	if err != nil {
		return l, false
	}
	preload, err := screw.Preload()
	l.least = preload.Least
	l.screws *= len(held)
	return l, err == nil
}

func (r *run) holdLine(a *machine.Axis, beam int) {
	held := r.heldAt(a, beam)
	if len(held) == 0 {
		return
	}
	hold, ok := r.lineHold(held)
	if !ok {
		return // the slip check names what is missing
	}
	word := connectionWord(held[0])
	c := axisCheck(a.Spec.ID, "joint."+word+".line", ".join", "everything that holds the beam together against its drive")
	if len(a.Beams) > 1 {
		side := [...]string{"minus", "plus"}[beam]
		c.ID, c.Title = c.ID+"."+side, c.Title+", "+side+" side"
	}
	load := r.lineLoad(structure.DriveID(a, beam), held)
	safety := r.jointSafety()
	holds := joint.ClampSlip(hold.screws, hold.least, hold.share, safety.Friction, hold.faces, safety.Slip)
	c.Note = fmt.Sprintf("together they hold %s N; where more than half is used a stop or a dowel should keep the place (common practice, no source)", ledger.Number(holds))
	at := r.poseText(r.study.forces.Poses[load.pose]) + ", " + r.study.forces.Combos[load.combo].Name
	r.add(atMost(c, math.Hypot(load.along, load.across)/holds, 1, "", ledger.Working{
		Formula: "U = S * sqrt(F^2 + Q^2) / (n * F_p * k * mu * n_f)",
		Inputs: []ledger.Input{
			in("S", "factor on slip", safety.Slip, "", "assumptions.limits.slip"),
			in("F", "drive reaction along the beam at "+at, load.along, "N", "whole-machine solution"),
			in("Q", "forces across, all supports added by magnitude", load.across, "N", "whole-machine solution"),
			in("n", "screws that hold the beam", float64(hold.screws), "", hold.path),
			in("F_p", "least force of one screw", hold.least, "N", hold.name),
			in("k", "share of the screw force that presses", hold.share, "", hold.name),
			in("mu", "friction, low end", safety.Friction, "", "assumptions.slot_friction"),
			in("n_f", "friction faces", float64(hold.faces), "", hold.name),
		},
		Source: "Coulomb friction, the line slips as one; torque relation and factor " + practice,
	}), nil)
}

// lineForce is what a line of connections has to hold, at the pose and combination that is worst.
type lineForce struct {
	along, across float64 // N
	pose, combo   int
}

// lineLoad adds the drive's reaction to the forces across of all connections. A
// beam without a drive of its own has the latter alone.
func (r *run) lineLoad(drive string, held []machine.Connection) (worst lineForce) {
	f := r.study.forces
	for i, first := range f.Joints[held[0].ID] {
		now := lineForce{pose: first.Pose, combo: first.Combo}
		if d := f.Joints[drive]; i < len(d) {
			now.along = d[i].Largest(0)
		}
		for _, c := range held {
			now.across += f.Joints[c.ID][i].Largest(1)
		}
		if math.Hypot(now.along, now.across) > like*math.Hypot(worst.along, worst.across) {
			worst = now
		}
	}
	return worst
}

// heldAt are the connections that hold one beam, or the block plate, along its length.
func (r *run) heldAt(a *machine.Axis, beam int) (out []machine.Connection) {
	for _, c := range r.m.Connections {
		if c.Axis != a.Index || c.Kind == machine.Stacked || c.Float {
			continue
		}
		if c.B.Node >= 0 && c.B.Node != a.Carriages[beam] || c.B.Node < 0 && r.beamOf(c) != beam {
			continue
		}
		out = append(out, c)
	}
	return out
}

// beamOf is which beam of its axis a connection holds, directly or by the profile under it.
func (r *run) beamOf(c machine.Connection) int {
	nearest, least := 0, math.Inf(1)
	at := r.m.PlaceAt(c.B, make([]float64, len(r.m.Axes)))
	for k, b := range r.m.Axes[c.Axis].Beams {
		mem := r.m.Members[b]
		if d := distanceToLine(at, r.m.Nodes[mem.From].At, r.m.Nodes[mem.To].At); d < least {
			nearest, least = k, d
		}
	}
	return nearest
}

// inLine tells whether a beam lies along the bar of the stand that carries it,
// so that many supports hold it and bending of both shears each of them.
func (r *run) inLine(c machine.Connection) bool {
	return c.Kind == machine.Support && c.A.Node < 0 && math.Abs(r3.Dot(r.direction(c.A.Member), c.Axes[0])) > math.Sqrt2/2
}
