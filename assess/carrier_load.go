package assess

import (
	"math"

	"spanwright/equip"
	"spanwright/machine"
)

// strokes is how often an axis goes forth and back in a cycle: half the number
// of its turns.
func (r *run) strokes(axis int) float64 {
	turns, way, begin := 0, 0.0, 0.0
	for _, l := range r.legs {
		step := l.to[axis] - l.from[axis]
		switch {
		case step == 0:
			continue
		case begin == 0:
			begin = step
		case step*way < 0:
			turns++
		}
		way = step
	}
	if way*begin < 0 {
		turns++ // from the last move of the cycle to the first of the next
	}
	return float64(turns) / 2
}

// carrierDrag is what the cable carrier of an axis holds against its motion, N:
// the friction of the links and of a resting upper run; 0 without a carrier.
func (r *run) carrierDrag(a *machine.Axis) float64 {
	c := r.m.CableCarriers[a.Spec.ID]
	if c == nil {
		return 0
	}
	f := c.Dressed.LinkFriction(c.Loop.Length)
	if c.Spec.Support == "tray" || c.Spec.Support == "gliding" {
		f += c.Dressed.Drag(equip.GlidingFriction, c.Loop.UpperMax)
	}
	return f
}

// carrierPush is the drive force, N along +x, that holds a level axis against the
// run of its carrier that drops into the bend. A run that hangs is counted with
// the moved mass.
func (r *run) carrierPush(a *machine.Axis) float64 {
	c := r.m.CableCarriers[a.Spec.ID]
	if c == nil || upright(a) {
		return 0
	}
	f := c.Dressed.WeightForce(c.Shape.Radius)
	if c.Shape.TowardMinus {
		return f
	}
	return -f
}

// cableLengths lists how much of each cable lies in carriers.
func (r *run) cableLengths() {
	for _, cable := range r.m.Design.Equipment.Cables {
		run := equip.CableRun{StrainRelief: equip.StrainRelief, RoundUp: 0.5}
		out := CableResult{Name: cable.Name, To: cable.To, Carriers: []string{}}
		for i, a := range r.m.Axes {
			if c := r.m.CableCarriers[a.Spec.ID]; c != nil && r.m.CableBody(cable.To) > i {
				run.Carriers = append(run.Carriers, c.Loop.Length)
				out.Carriers = append(out.Carriers, a.Spec.ID)
			}
		}
		length, err := run.Length()
		if err != nil {
			length.Exact = math.NaN()
		}
		out.Length = Number(length.Exact)
		r.results.Cables = append(r.results.Cables, out)
	}
}
