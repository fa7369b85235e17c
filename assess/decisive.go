package assess

import (
	"spanwright/motion"
	"spanwright/structure"
)

// Decisive says by what a check of the stand as a whole, or of parts that run into
// each other, came out as it did.
type Decisive struct {
	Axis int    // whose acceleration it was; -1 for none
	Feet [2]int // the feet at the ends of the edge that it tips over, places in Machine.Feet; -1 for no edge

	Member int // the member that is used most, place in Machine.Members; -1 for none

	Meet [2]string // to what the two parts belong that come nearest: stand, an axis id, tool, payload; "" for none
}

func (r *run) decides(check string, axis, from, to int) {
	r.decidedBy(check, Decisive{Axis: axis, Feet: [2]int{from, to}, Member: -1})
}

func (r *run) decidedBy(check string, d Decisive) {
	if r.decisive == nil {
		r.decisive = map[string]Decisive{}
	}
	r.decisive[check] = d
}

// Decisive is known for the checks of tipping, sliding, stress, buckling and
// moving parts that run into each other that were judged.
func (a *Assessment) Decisive(check string) (Decisive, bool) {
	d, ok := a.run.decisive[check]
	return d, ok
}

// Swung is a swing of the tool with the step of the cycle that set it going.
type Swung struct {
	structure.Swing
	Step     int    // in the design's cycle, from 0
	Moved    []bool // which axes move in that step
	Profiles []motion.Profile
}

// Swings are the swings that the tool still feels when the move ends that decides
// the settle time, at the low end of stiffness and damping; none if no step of
// the cycle has to settle.
func (a *Assessment) Swings() []Swung {
	s, ok := a.run.study.settle[a.run.study.worstLeg]
	if !ok {
		return nil
	}
	out := make([]Swung, len(s.swings))
	for i, swing := range s.swings {
		l := a.run.legs[s.of[i]]
		out[i] = Swung{Swing: swing, Step: l.index, Profiles: l.move.Profiles, Moved: make([]bool, len(l.to))}
		for k := range l.to {
			out[i].Moved[k] = l.to[k] != l.from[k]
		}
	}
	return out
}

// Tuned is the mode that input shapers are tuned to: the lowest natural frequency
// at nominal stiffness and damping.
func (a *Assessment) Tuned() motion.Mode {
	return motion.Mode{Frequency: a.run.study.freq[structure.Nominal], Damping: a.Machine.Design.Assumptions.Damping.Nominal}
}
