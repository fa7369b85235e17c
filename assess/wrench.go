package assess

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/guide"
	"spanwright/machine"
	"spanwright/quantity"
)

// instant is one moment of the machine: where all axes are and how they move.
type instant struct {
	q, v, a []float64
	loaded  bool
	process r3.Vec // force on the tool point, W
}

// sharing is how the blocks of one axis share what its moving part loads them
// with. The blocks are linear, so five unit resultants say it all.
type sharing struct {
	axis   *machine.Axis
	origin r3.Vec // centre of the blocks at home, in the plane of their rolling centres, W
	unit   [6][]guide.BlockLoad
	spread float64 // half the distance between the two sides of a pair, m
}

func newSharing(m *machine.Machine, a *machine.Axis) (*sharing, error) {
	s := &sharing{axis: a}
	var group guide.Group
	at := make([]r3.Vec, len(a.Blocks))
	for i, b := range a.Blocks {
		at[i] = blockAt(m, a, b)
		s.origin = r3.Add(s.origin, r3.Scale(1/float64(len(a.Blocks)), at[i]))
	}
	for i, b := range a.Blocks {
		k := guide.Block{At: s.inC(r3.Sub(at[i], s.origin)), Normal: a.Block.Kz, Lateral: a.Block.Ky, Roll: a.Block.KMx, Pitch: a.Block.KMy, Yaw: a.Block.KMz}
		if floating(a, b) {
			k.Lateral = 0
		}
		group = append(group, k)
	}
	for k := range s.unit {
		if k == 0 {
			continue // along the travel the drive holds
		}
		var r guide.Resultant
		if k < 3 {
			r.Force[k] = 1
		} else {
			r.Moment[k-3] = 1
		}
		out, err := group.Share(r)
		if err != nil {
			return nil, fmt.Errorf("blocks of axis %s: %w", a.Spec.ID, err)
		}
		s.unit[k] = out.Blocks
	}
	if len(a.Beams) == 2 {
		s.spread = a.Spec.Pair.Spacing / 2
	}
	return s, nil
}

// floating tells whether a block of a pair is on the side that lets the bridge float.
func floating(a *machine.Axis, b machine.Block) bool {
	return a.Spec.Pair != nil && (a.Spec.Pair.Fixed == "minus" && b.Beam == 1 || a.Spec.Pair.Fixed == "plus" && b.Beam == 0)
}

// blockAt is where a block is at home, W.
func blockAt(m *machine.Machine, a *machine.Axis, b machine.Block) r3.Vec {
	from := m.Nodes[m.Members[a.Beams[b.Beam]].From].At
	return r3.Add(from, r3.Add(r3.Scale(a.Home+b.Along, a.Dir), r3.Add(r3.Scale(a.Part.RailHeight, a.Normal), r3.Scale(b.Across, a.Side))))
}

// inC turns a vector of W into the guide frame of the axis.
func (s *sharing) inC(v r3.Vec) guide.Vector {
	return guide.Vector{r3.Dot(v, s.axis.Dir), r3.Dot(v, s.axis.Side), r3.Dot(v, s.axis.Normal)}
}

// blockLoads is what every block carries at an instant, the drive force along
// the axis without friction, N, and the share of it that the more loaded of two
// driven sides has (1 for one side).
//
// On an axis whose body moves past fixed blocks the load comes from the rail's
// side, which turns the signs round.
func (s *sharing) blockLoads(lumps []machine.BodyLump, m *machine.Machine, now instant) (loads []guide.BlockLoad, thrust, share float64) {
	force, moment, thrust, share := s.resultant(lumps, m, now)
	sign := 1.0
	if s.axis.BodyMoves {
		sign = -1
	}
	r := [6]float64{0, force[1], force[2], moment[0], moment[1], moment[2]}
	out := make([]guide.BlockLoad, len(s.axis.Blocks))
	for k := 1; k < 6; k++ {
		f := sign * r[k]
		for i, u := range s.unit[k] {
			out[i].Normal += f * u.Normal
			out[i].Lateral += f * u.Lateral
			for j := range out[i].Moment {
				out[i].Moment[j] += f * u.Moment[j]
			}
		}
	}
	return out, thrust, share
}

// resultant sums weight and inertia of all that the axis moves and the drive
// force that balances them along the axis, at the centre of the blocks.
func (s *sharing) resultant(lumps []machine.BodyLump, m *machine.Machine, now instant) (force, moment guide.Vector, thrust, share float64) {
	centre := s.centreAt(m, now.q)
	var f, mo r3.Vec
	add := func(load, at r3.Vec) {
		f = r3.Add(f, load)
		mo = r3.Add(mo, r3.Cross(r3.Sub(at, centre), load))
	}
	for _, l := range lumps {
		if l.Body > s.axis.Index {
			add(inertial(m, l, now), r3.Add(l.Centre, m.Displacement(l.Body, now.q)))
		}
	}
	if now.process != (r3.Vec{}) {
		add(now.process, m.ToolPoint(now.q))
	}
	thrust = -r3.Dot(f, s.axis.Dir)
	at, share := s.driveAt(centre, mo, thrust)
	add(r3.Scale(thrust, s.axis.Dir), at)
	return s.inC(f), s.inC(mo), thrust, share
}

// inertial is weight and d'Alembert force of a lump.
func inertial(m *machine.Machine, l machine.BodyLump, now instant) r3.Vec {
	acc := r3.Vec{Z: quantity.StandardGravity}
	for i := 0; i < l.Body; i++ {
		acc = r3.Add(acc, r3.Scale(now.a[i], m.Axes[i].Dir))
	}
	return r3.Scale(-l.Kg, acc)
}

// centreAt is the centre of the blocks at a pose: it moves with the carriage,
// or stays on the body before if the axis moves its beam.
func (s *sharing) centreAt(m *machine.Machine, q []float64) r3.Vec {
	body := s.axis.Index + 1
	if s.axis.BodyMoves {
		body--
	}
	return r3.Add(s.origin, m.Displacement(body, q))
}

// driveAt is where the drive force acts, and the share of the more loaded side.
// Two driven sides share it so that no yaw moment is left, as far as both still
// pull the same way; one driven side has it all on its own rail.
func (s *sharing) driveAt(centre, moment r3.Vec, thrust float64) (at r3.Vec, share float64) {
	a := s.axis
	at = r3.Add(centre, r3.Add(r3.Scale(a.Part.DriveAt-a.Part.RailHeight, a.Normal), r3.Scale(a.Part.DriveSide, a.Side)))
	switch {
	case s.spread == 0:
		return at, 1
	case a.Spec.Pair.Driven == "one":
		return r3.Add(at, r3.Scale(driveSign(a)*s.spread, a.Side)), 1
	case thrust == 0:
		return at, 0.5
	}
	// M_z of a thrust F at y is -y F; with the moment of the rest it is to vanish.
	y := math.Max(-s.spread, math.Min(s.spread, r3.Dot(moment, a.Normal)/thrust))
	return r3.Add(at, r3.Scale(y, a.Side)), 0.5 + math.Abs(y)/(2*s.spread)
}

// driveSign is +1 if the driven side of a pair lies towards +Side of the axis.
func driveSign(a *machine.Axis) float64 {
	if (a.Spec.Pair.DriveSide == "plus") == a.PlusIsSide {
		return 1
	}
	return -1
}
