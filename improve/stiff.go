package improve

import (
	"fmt"
	"math"
	"strings"

	"spanwright/ledger"
	"spanwright/machine"
	"spanwright/parts"
	"spanwright/structure"
)

// enough is the share of a deflection, or of a mode's energy, below which changing
// a part is not looked at: own choice.
const enough = 0.03

// shares are the causes of the value of a check of the tool, as parts of the
// whole: for sag where the tool sags most, else those of the lowest mode. By the
// theorem of virtual work they are also minus the derivative by the logarithm of
// each stiffness. None are known where the machine cannot be solved.
func (s *situation) shares(c ledger.Check) []structure.Share {
	switch {
	case s.look() != nil:
		return nil
	case c.Kind == "tool.sag.variation" || c.Kind == "tool.accuracy":
		return s.ahead.most.SagShares()
	}
	return s.ahead.soft.SwingShares()
}

// shareOf sums the shares that are meant.
func (s *situation) shareOf(c ledger.Check, meant func(structure.Share) bool) float64 {
	sum := 0.0
	for _, x := range s.shares(c) {
		if meant(x) {
			sum += x.Value
		}
	}
	return sum
}

func inGroup(names ...string) func(structure.Share) bool {
	return func(x structure.Share) bool {
		for _, n := range names {
			if x.Group == n {
				return true
			}
		}
		return false
	}
}

func withID(prefix string) func(structure.Share) bool {
	return func(x structure.Share) bool {
		return strings.HasPrefix(x.ID, prefix) && !strings.HasSuffix(x.ID, " joints")
	}
}

// stiffer proposes more stiffness where the split sees much of the yielding. The
// ratios only choose among parts of a kind; the estimates are foreseen.
func stiffer(s *situation, c ledger.Check) []proposal {
	var out []proposal
	if g := s.design.Stand.Generate; g != nil {
		for _, place := range s.places() {
			if share := s.shareOf(c, withID(place.bars)); share > enough {
				out = append(out, s.profiles(c, place.path, place.noun, place.profile, math.Min(1, share))...)
			}
		}
		for _, j := range []struct{ path, id string }{{"joint", g.Joint}, {"brace_joint", g.BraceJoint}, {"foot_joint", footJoint(g)}} {
			if share := s.shareOf(c, inGroup("stand joints")); share > enough {
				out = append(out, s.stifferJoints(c, j.path, j.id, math.Min(1, share))...)
			}
		}
	}
	out = append(out, s.stifferMembers(c)...)
	if share := s.shareOf(c, inGroup("feet and floor")); share > enough {
		out = append(out, s.stifferFeet(c, share)...)
	}
	for _, a := range s.m.Axes {
		out = append(out, s.stifferAxis(c, a)...)
	}
	for i := range out {
		out[i].structural, out[i].By = true, foreseenBy(c.Kind)
	}
	return out
}

// place is where a generated stand names a profile.
type place struct{ path, noun, profile, bars string }

func (s *situation) places() []place {
	g := s.design.Stand.Generate
	all := []place{
		{generated + "legs.profile", "legs", g.Legs.Profile, "leg."},
		{generated + "top_rail", "top rails", g.TopRail, "top_rail"},
		{generated + "cross_rail", "cross rails", g.CrossRail, "cross_rail"},
		{generated + "bottom_rail", "bottom rails", g.BottomRail, "bottom_rail"},
		{generated + "foot_rail", "foot rails", g.FootRail, "foot_rail"},
	}
	for i, b := range g.Braces {
		all = append(all, place{fmt.Sprintf("%sbraces[%d].profile", generated, i+1), "braces " + b.Plane, b.Profile, fmt.Sprintf("brace.%s.%d.", b.Plane, i+1)})
	}
	var out []place
	for _, p := range all {
		if _, there := s.parts.Profile(p.profile); there {
			out = append(out, p)
		}
	}
	return out
}

// stifferMembers proposes other profiles for the written-out members of the stand
// that yield most.
func (s *situation) stifferMembers(c ledger.Check) (out []proposal) {
	for _, mem := range s.design.Stand.Members {
		if share := s.shareOf(c, withID(mem.ID)); share > enough {
			out = append(out, s.profiles(c, memberPath(mem.ID, "profile"), "member "+mem.ID, mem.Profile, math.Min(1, share))...)
		}
		j, ok := s.parts.Joint(mem.Joint)
		if share := s.shareOf(c, func(x structure.Share) bool {
			return strings.HasPrefix(x.ID, mem.ID) && strings.HasSuffix(x.ID, " joints")
		}); ok && share > enough {
			out = append(out, s.jointSwaps(c, memberPath(mem.ID, "joint"), j, math.Min(1, share))...)
		}
	}
	return out
}

func memberPath(id, key string) string { return "stand.members." + id + "." + key }

// stifferJoints proposes other joint families at one of the places of a generated stand.
func (s *situation) stifferJoints(c ledger.Check, key, now string, share float64) []proposal {
	old, ok := s.parts.Joint(now)
	if !ok {
		return nil
	}
	return s.jointSwaps(c, generated+key, old, share)
}

// jointSwaps are the joints of the same module, judged among each other by what
// their family is good for: more faces and more screws stiffen.
func (s *situation) jointSwaps(c ledger.Check, path string, old *parts.Joint, share float64) []proposal {
	rank := func(p *parts.Joint) float64 { return float64(p.Count*max(1, p.Faces)) * math.Max(1, p.Lever/0.03) }
	return swaps(s, c, listed[*parts.Joint](s, "joint"), swap[*parts.Joint]{
		path: path, noun: noun(path), now: old.ID, cost: old.Cost, pieces: s.jointEnds(old.ID), why: "the corners yield",
		factor: func(p *parts.Joint) float64 {
			if p.Fits != old.Fits || p.Family == old.Family {
				return never()
			}
			return 1 - share*(1-bigger(rank(old), rank(p)))
		},
	})
}

func noun(path string) string {
	switch {
	case strings.HasSuffix(path, "brace_joint"):
		return "joint of the braces"
	case strings.HasSuffix(path, "foot_joint"):
		return "joint at the foot"
	case strings.HasSuffix(path, generated+"joint"):
		return "corner joint"
	}
	return "joint"
}

// jointEnds is how many ends have the joint.
func (s *situation) jointEnds(id string) float64 {
	n := 0.0
	for _, mem := range s.m.Members {
		for _, j := range mem.Joints {
			if j.HasPart() && j.Part.ID == id {
				n++
			}
		}
	}
	return n
}

// stifferFeet proposes feet that yield less.
func (s *situation) stifferFeet(c ledger.Check, share float64) []proposal {
	now, ok := s.parts.Foot(s.design.Stand.Foot)
	if !ok {
		return nil
	}
	return swaps(s, c, listed[*parts.Foot](s, "foot"), swap[*parts.Foot]{
		path: "stand.foot", noun: "foot", now: now.ID, cost: now.Cost, pieces: float64(len(s.m.Feet)), why: "the feet yield",
		factor: func(p *parts.Foot) float64 { return 1 - share*(1-bigger(now.Axial, p.Axial)) },
	})
}

// stifferAxis proposes a larger axis part, an under-beam, a stiffer interface,
// closer supports and a stiffer drive where this axis yields.
func (s *situation) stifferAxis(c ledger.Check, a *machine.Axis) (out []proposal) {
	id := a.Spec.ID
	if own := s.shareOf(c, inGroup(id+" beam", id+" mast", id+" guide blocks")); own > enough {
		now := s.stiffness(a.Part.Profile)
		out = append(out, swaps(s, c, listed[*parts.Axis](s, "axis"), swap[*parts.Axis]{
			path: axisPath(a, "part"), noun: "axis part", now: a.Part.ID, pieces: float64(len(a.Beams)), cost: priceOfAxis(a)(a.Part), price: priceOfAxis(a),
			factor: func(p *parts.Axis) float64 {
				if p.Drive != a.Part.Drive {
					return never()
				}
				return 1 - math.Min(1, own)*(1-bigger(now, s.stiffness(p.Profile)))
			},
			why: "a stiffer beam with larger blocks",
		})...)
	}
	if beam := s.shareOf(c, inGroup(id+" beam")); beam > enough && a.Spec.UnderBeam == "none" && !a.BodyMoves {
		p := underBeam(s, ledger.Check{ID: "build." + id + ".under_beam", Kind: "build.under_beam", Utilisation: c.Utilisation})
		for i := range p[:min(1, len(p))] {
			p[i].Why = "two profiles bend less than one"
			out = append(out, p[i])
		}
	}
	if share := s.shareOf(c, inGroup(id+" interface")); share > enough {
		out = append(out, s.stifferPlate(c, a, share)...)
	}
	if share := s.shareOf(c, inGroup(id+" beam supports")); share > enough {
		out = append(out, s.stifferSupports(c, a, share)...)
	}
	if share := s.shareOf(c, inGroup(id+" drive")); share > enough {
		out = append(out, s.driveSwaps(c, a, func(r float64) float64 { return 1 - share*(1-r) })...)
	}
	return out
}

// stifferPlate proposes a thicker or ribbed plate between two axes.
func (s *situation) stifferPlate(c ledger.Check, a *machine.Axis, share float64) []proposal {
	old, ok := s.parts.Plate(a.Spec.Join.Part)
	if !ok {
		return nil
	}
	bend := func(p *parts.Plate) float64 {
		m, known := s.parts.Material(p.Material)
		if !known {
			return math.NaN()
		}
		return m.E * p.Width * math.Pow(p.Thick+p.RibHigh/2, 3)
	}
	return swaps(s, c, listed[*parts.Plate](s, "plate"), swap[*parts.Plate]{
		path: axisPath(a, "join.part"), noun: "plate", now: old.ID, cost: old.Cost, pieces: 1, why: "a thicker or ribbed plate yields less",
		factor: func(p *parts.Plate) float64 { return 1 - share*(1-bigger(bend(old), bend(p))) },
	})
}

// stifferSupports proposes supports closer together and stiffer or more clamps.
func (s *situation) stifferSupports(c ledger.Check, a *machine.Axis, share float64) (out []proposal) {
	if widest := widestGap(a); widest > 0 {
		to := down(widest/2, step50)
		if to > 0 {
			out = append(out, proposal{
				Title: fmt.Sprintf("supports of axis %s at most %s apart", a.Spec.ID, length(to)), Why: "more places hold the beam",
				Edits: []Edit{{Path: axisPath(a, "join.support_spacing"), Value: length(to)}}, cost: free,
			})
		}
	}
	old, ok := s.parts.Clamp(a.Spec.Join.Part)
	if !ok || a.Spec.Join.By != "clamps" {
		return out
	}
	more := clamps(s, ledger.Check{ID: "joint." + a.Spec.ID + ".clamps", Kind: "joint.clamps", Utilisation: c.Utilisation})
	out = append(out, more[:min(1, len(more))]...)
	return append(out, swaps(s, c, listed[*parts.Clamp](s, "clamp"), swap[*parts.Clamp]{
		path: axisPath(a, "join.part"), noun: "clamp", now: old.ID, cost: old.Cost, pieces: 8, why: "wider clamps hold the beam more firmly",
		factor: func(p *parts.Clamp) float64 { return 1 - share*(1-bigger(old.Kn, p.Kn)) },
	})...)
}

// stifferDrive proposes what lessens play and wind-up on the way from motor to
// tool: a wider belt, a stiffer screw, a rack or gear with less play.
func stifferDrive(s *situation, c ledger.Check) []proposal {
	total := 0.0
	for _, p := range c.Parts {
		total += p.Value * p.Value
	}
	var out []proposal
	for _, a := range s.m.Axes {
		part := 0.0
		for _, p := range c.Parts {
			if strings.HasPrefix(p.Name, a.Spec.ID+" ") {
				part += p.Value * p.Value / total
			}
		}
		if part > 0 {
			out = append(out, s.driveSwaps(c, a, func(r float64) float64 { return math.Sqrt(1 - part + part*r*r) })...)
			out = append(out, s.tighterGear(c, a, part)...)
		}
	}
	return out
}

// driveSwaps are drives whose stiffness or play is better; effect is what becomes
// of the check by the ratio of the drive's own yielding.
func (s *situation) driveSwaps(c ledger.Check, a *machine.Axis, effect func(ratio float64) float64) []proposal {
	switch {
	case a.Belt != nil:
		return swaps(s, c, listed[*parts.Belt](s, "belt"), swap[*parts.Belt]{
			path: axisPath(a, "drive.belt"), noun: "belt", now: a.Belt.ID, cost: a.Belt.CostPerM, price: metreOfBelt, pieces: 2 * a.Length, why: "the belt yields", by: "stiffness of the belt",
			factor: func(p *parts.Belt) float64 {
				if p.Pitch != a.Belt.Pitch {
					return never()
				}
				return effect(bigger(a.Belt.EA, p.EA))
			},
		})
	case a.Rack != nil:
		return swaps(s, c, listed[*parts.Rack](s, "rack"), swap[*parts.Rack]{
			path: axisPath(a, "drive.rack"), noun: "rack", now: a.Rack.ID, cost: a.Rack.Cost, pieces: 1, why: "play and yielding of rack and pinion", by: "backlash of the part",
			factor: func(p *parts.Rack) float64 {
				if c.Kind == "tool.repeatability" {
					return effect(bigger(1/a.Rack.Backlash, 1/p.Backlash))
				}
				return effect(bigger(a.Rack.MeshStiff, p.MeshStiff))
			},
		})
	case a.Screw != nil:
		return swaps(s, c, listed[*parts.Screw](s, "screw"), swap[*parts.Screw]{
			path: axisPath(a, "drive.screw"), noun: "screw", now: a.Screw.ID, cost: a.Screw.Cost, pieces: 1, why: "nut and shaft yield", by: "stiffness of the nut",
			factor: func(p *parts.Screw) float64 {
				if p.Kind != a.Screw.Kind || p.Lead != a.Screw.Lead {
					return never()
				}
				return effect(bigger(a.Screw.Nut, p.Nut))
			},
		})
	}
	return nil
}

// tighterGear proposes gears of the same ratio with less play.
func (s *situation) tighterGear(c ledger.Check, a *machine.Axis, part float64) []proposal {
	if a.Gear == nil {
		return nil
	}
	return swaps(s, c, listed[*parts.Gear](s, "gear"), swap[*parts.Gear]{
		path: axisPath(a, "gear"), noun: "gear", now: a.Gear.ID, cost: a.Gear.Cost, pieces: float64(a.Motors()), why: "the gear's play", by: "backlash of the part",
		factor: func(p *parts.Gear) float64 {
			if p.Ratio != a.Gear.Ratio || p.Kind != a.Gear.Kind {
				return never()
			}
			r := bigger(1/a.Gear.Backlash, 1/p.Backlash)
			return math.Sqrt(1 - part + part*r*r)
		},
	})
}
