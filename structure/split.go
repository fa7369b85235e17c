package structure

import (
	"fmt"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/frame"
	"spanwright/machine"
	"spanwright/quantity"
)

// Share is what one member, joint, block, drive or foot contributes to a
// deflection of the tool point. The shares add up to the deflection.
type Share struct {
	ID    string
	Group string // stand members, stand joints, feet, x beam, x guide, x drive, z interface, ...
	Value float64
}

// Reference is the whole machine with its ties at one pose, assembled and
// solved as one model: the plain path that the fast one is held against.
func (s *Study) Reference(q []float64, loaded bool) (*frame.System, error) {
	ties, err := Ties(s.m, q)
	if err != nil {
		return nil, err
	}
	model := *s.model
	model.Ties = append(append([]frame.Tie(nil), s.model.Ties...), ties...)
	if loaded {
		model.Masses = append(append([]frame.Mass(nil), s.model.Masses...), s.carried...)
	}
	return frame.Assemble(&model)
}

// weightCase is the weight of everything.
func weightCase() frame.Case {
	return frame.Case{ID: "weight", Fields: []frame.Field{{Acceleration: [3]float64{0, 0, -quantity.StandardGravity}}}}
}

// SagSplit says who contributes how much to the sag of the tool point at a
// pose, loaded, positive downwards: exact shares of virtual work.
func (s *Study) SagSplit(q []float64) ([]Share, error) { return s.Split(q, r3.Vec{Z: -1}) }

// Split does the same for the deflection under weight along any unit vector.
func (s *Study) Split(q []float64, along r3.Vec) ([]Share, error) {
	return s.splitOf(q, weightCase(), along)
}

// splitOf splits the tool point's deflection along a unit vector in a load case.
func (s *Study) splitOf(q []float64, load frame.Case, along r3.Vec) ([]Share, error) {
	about := question{what: fmt.Sprint("split of ", load.ID, array(along)), loaded: true}
	size := func(p *frame.Split) int64 { return 120 * int64(len(p.Members)+len(p.Springs)+len(p.Ties)) }
	found, err := recall(s, about, [][]float64{q}, size, func(*worker, int) (*frame.Split, error) { return s.whole(q, load, along) })
	if err != nil {
		return nil, err
	}
	return s.shares(found[0]), nil
}

// whole splits on the whole model of a pose.
func (s *Study) whole(q []float64, load frame.Case, along r3.Vec) (*frame.Split, error) {
	system, err := s.Reference(q, true)
	if err != nil {
		return nil, err
	}
	state, err := system.Static(load)
	if err != nil {
		return nil, err
	}
	return system.Split(state, frame.Measure{{At: s.toolPoint(), Along: [6]float64{along.X, along.Y, along.Z}}})
}

// shares names the parts of a split.
func (s *Study) shares(split *frame.Split) []Share {
	var out []Share
	for i, c := range split.Members {
		mem := s.m.Members[i]
		ends := c.Ends
		group := memberGroup(s.m, mem)
		out = append(out, Share{mem.ID, group, c.Sum() - ends})
		if ends != 0 {
			out = append(out, Share{mem.ID + " joints", jointGroup(mem), ends})
		}
	}
	for _, j := range split.Springs {
		out = append(out, Share{j.ID, "feet and floor", j.Sum()})
	}
	for _, j := range split.Ties {
		out = append(out, Share{j.ID, tieGroup(j.ID), j.Sum()})
	}
	return out
}

func memberGroup(m *machine.Machine, mem machine.Member) string {
	switch mem.Role {
	case machine.Beam, machine.Mast:
		return strings.SplitN(mem.ID, ".", 2)[0] + " " + string(mem.Role)
	case machine.Brace:
		return "stand braces"
	case machine.Leg:
		return "stand legs"
	}
	return "stand rails"
}

func jointGroup(mem machine.Member) string {
	if mem.Body == 0 && mem.Role != machine.Beam {
		return "stand joints"
	}
	return "joints of moving bodies"
}

// tieGroup names the cause of a tie by its id: "x.block.1", "x.drive.1",
// "x.support.2", "z.interface".
func tieGroup(id string) string {
	parts := strings.SplitN(id, ".", 3)
	if len(parts) < 2 {
		return id
	}
	switch parts[1] {
	case "block":
		return parts[0] + " guide blocks"
	case "support":
		return parts[0] + " beam supports"
	}
	return parts[0] + " " + parts[1]
}
