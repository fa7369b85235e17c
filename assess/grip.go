package assess

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/equip"
	"spanwright/ledger"
	"spanwright/quantity"
)

// gripCheck judges the grip at the worst accelerations: all axes stopping at
// once, with the emergency stop or the programmed acceleration, whichever is more.
func (r *run) gripCheck() {
	up, sideways := 0.0, r3.Vec{}
	for _, a := range r.m.Axes {
		most := math.Max(workingAccel(a.Spec.Limits), stopDecel(a.Spec.Limits))
		up += math.Abs(most * a.Dir.Z)
		sideways = r3.Add(sideways, r3.Vec{X: math.Abs(most * a.Dir.X), Y: math.Abs(most * a.Dir.Y)})
	}
	c := newCheck("tool.grip", "task.payload.grip", "holding force that the grip needs")
	c.Note = "all axes brake at once"
	r.holdingCheck(c, up, r3.Norm(sideways), "all axes at the larger of programmed acceleration and emergency stop")
}

// jawFaces is the number of friction faces of a gripper with two jaws.
const jawFaces = 2

// holdingCheck judges the grip at an upward and a horizontal acceleration, m/s².
func (r *run) holdingCheck(c ledger.Check, up, sideways float64, from string) {
	p := r.m.Design.Task.Payload
	if p.Mass == 0 {
		r.skip(c.ID, "there is no payload")
		return
	}
	g := p.Grip
	held := equip.Held{Mass: p.Mass, Up: up, Sideways: sideways, Friction: g.Friction, Safety: g.Safety}
	w := ledger.Working{
		Inputs: []ledger.Input{
			in("m", "payload", p.Mass, "kg", "task.payload.mass"), in("g", "gravity", quantity.StandardGravity, "m/s2", "3rd CGPM, 1901"),
			in("a_z", "acceleration upwards", up, "m/s2", from), in("a_h", "horizontal acceleration", sideways, "m/s2", from),
			in("mu", "friction", g.Friction, "", "task.payload.grip.friction"), in("S", "safety", g.Safety, "", "task.payload.grip.safety"),
		},
		Source: "equilibrium with Coulomb friction; safety and friction " + practice,
	}
	var need float64
	var err error
	switch g.By {
	case "form":
		c.Note = "held by form: friction does not count; the strength of hooks, forks and rims is not judged"
		r.add(present(c, true, "the payload rests on or in the gripper and cannot slip out in any direction of motion, by declaration"), nil)
		return
	case "vacuum":
		need, err = held.CupsAbove()
		w.Formula = "F = max(0, m * (g + a_z + a_h / mu) * S)"
		c.Note += "; cups above a level face; the tipping of the payload and the vacuum held on loss of power are not judged"
	case "jaws":
		need, err = held.JawForce(jawFaces)
		w.Formula = "F = m * sqrt((g + a_z)^2 + a_h^2) * S / (n * mu)"
		w.Inputs = append(w.Inputs, in("n", "friction faces of two jaws", jawFaces, "", practice))
		c.Note += "; closing force of one jaw; an acceleration along the closing direction adds to one jaw"
	default:
		r.add(unknown(c, "task.payload.grip.by: how the payload is held"), nil)
		return
	}
	if g.Force == nil {
		r.add(unknown(c, "task.payload.grip.force: the holding force of the gripper"), err)
		return
	}
	r.add(atMost(c, need, *g.Force, "N", w), err)
}
