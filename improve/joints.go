package improve

import (
	"fmt"
	"math"

	"spanwright/design"
	"spanwright/ledger"
	"spanwright/parts"
)

// clamps proposes as many clamps as the rule of the trade asks for, and more.
func clamps(s *situation, c ledger.Check) []proposal {
	a := s.axis(c)
	if a == nil || a.Spec.Join.By != "clamps" {
		return nil
	}
	now := 0
	if a.Spec.Join.ClampsPerSide != nil {
		now = *a.Spec.Join.ClampsPerSide
	}
	var out []proposal
	for n := max(now+1, s.design.Assumptions.Limits.ClampsPerSide); n <= 4 && len(out) < 2; n++ { // four a side are usual at most: common practice, no source
		out = append(out, proposal{
			Title: fmt.Sprintf("%d clamps a side on axis %s instead of %d", n, a.Spec.ID, now), Why: "more clamps hold more, and hold the beam straight",
			Edits: []Edit{{Path: axisPath(a, "join.clamps_per_side"), Value: fmt.Sprint(n)}}, Estimate: c.Utilisation * float64(now) / float64(n), By: "goes with the number of clamps",
			cost: float64(n - now), meets: c.Kind == "joint.clamps",
		})
	}
	return out
}

// joinParts proposes other clamps or plates where an axis is joined, or supports
// closer together.
func joinParts(s *situation, c ledger.Check) []proposal {
	a := s.axis(c)
	if a == nil {
		return nil
	}
	path, now := axisPath(a, "join.part"), a.Spec.Join.Part
	if a.Spec.Join.By == "clamps" {
		old, ok := s.parts.Clamp(now)
		if !ok {
			return nil
		}
		hold := func(p *parts.Clamp) float64 { return float64(p.Count) * p.Share * p.Torque / screwSize(p.Screw) }
		out := swaps(s, c, listed[*parts.Clamp](s, "clamp"), swap[*parts.Clamp]{
			path: path, noun: "clamp", now: now, cost: old.Cost, pieces: 8, why: "more and stronger screws press harder", by: "screw force times share",
			factor: func(p *parts.Clamp) float64 { return bigger(hold(old), hold(p)) },
		})
		return append(out, closerSupports(s, c)...)
	}
	old, ok := s.parts.Plate(now)
	if !ok {
		return nil
	}
	hold := func(p *parts.Plate) float64 {
		return float64(p.Count) * p.Torque / screwSize(p.Screw) * math.Hypot(p.PitchX, p.PitchY)
	}
	return swaps(s, c, listed[*parts.Plate](s, "plate"), swap[*parts.Plate]{
		path: path, noun: "plate", now: now, cost: old.Cost, pieces: 1, why: "more screws, farther apart", by: "screw force times their distance",
		factor: func(p *parts.Plate) float64 { return bigger(hold(old), hold(p)) },
	})
}

// screwSize is the nominal diameter of a thread name such as M8, mm.
func screwSize(thread string) float64 {
	var d float64
	if _, err := fmt.Sscanf(thread, "M%g", &d); err != nil {
		return math.NaN()
	}
	return d
}

// footJoint is the joint of legs on foot rails.
func footJoint(g *design.Generated) string {
	if g.FootJoint == "" || g.FootJoint == "none" {
		return g.Joint
	}
	return g.FootJoint
}

// jointAt is the joint that the design names at a path of the stand, "" for none.
func (s *situation) jointAt(path string) string {
	if g := s.design.Stand.Generate; g != nil {
		switch path {
		case generated + "joint":
			return g.Joint
		case generated + "brace_joint":
			return g.BraceJoint
		case generated + "foot_joint":
			return footJoint(g)
		}
	}
	for _, mem := range s.design.Stand.Members {
		if path == memberPath(mem.ID, "joint") {
			return mem.Joint
		}
	}
	return ""
}

// standJoints proposes other joints of the same module where the check names
// the design's place of the joint.
func standJoints(s *situation, c ledger.Check) []proposal {
	path, now := c.Subject, s.jointAt(c.Subject)
	old, ok := s.parts.Joint(now)
	if !ok {
		return nil
	}
	return s.strongerJoints(c, path, old)
}

// strongerJoints are joints of the same module that hold more.
func (s *situation) strongerJoints(c ledger.Check, path string, old *parts.Joint) []proposal {
	hold := func(p *parts.Joint) float64 {
		return float64(p.Count) * p.Torque / screwSize(p.Screw) * math.Max(1, p.Lever/0.03)
	}
	return swaps(s, c, listed[*parts.Joint](s, "joint"), swap[*parts.Joint]{
		path: path, noun: noun(path), now: old.ID, cost: old.Cost, pieces: s.jointEnds(old.ID), why: "another joint family, or more screws", by: "rough: screw force times lever",
		factor: func(p *parts.Joint) float64 {
			if p.Fits != old.Fits {
				return never()
			}
			f := bigger(hold(old), hold(p))
			if p.Tension && !old.Tension {
				f /= 2 // screws in tension instead of slot friction
			}
			return f
		},
	})
}

// cornerJoint proposes joints that work by screws in tension.
func cornerJoint(s *situation, c ledger.Check) []proposal {
	out := standJoints(s, c)
	kept := out[:0]
	for _, p := range out {
		if j, ok := s.parts.Joint(p.Edits[0].Value); ok && (j.Tension || j.Faces >= 2) {
			p.Estimate = 0
			kept = append(kept, p)
		}
	}
	return kept
}
