package improve

import (
	"spanwright/ledger"
	"spanwright/machine"
	"spanwright/parts"
)

// legs proposes stiffer legs of the same kind.
func legs(s *situation, c ledger.Check) []proposal {
	g := s.design.Stand.Generate
	if g == nil {
		return nil
	}
	return s.profiles(c, generated+"legs.profile", "legs", g.Legs.Profile, 1)
}

// profiles proposes stiffer profiles in one place; share is the part of the
// value that goes with 1/EI.
func (s *situation) profiles(c ledger.Check, path, noun, now string, share float64) []proposal {
	old, ok := s.parts.Profile(now)
	if !ok {
		return nil
	}
	before := s.stiffness(now)
	return swaps(s, c, listed[*parts.Profile](s, "profile"), swap[*parts.Profile]{
		path: path, noun: noun, now: now, cost: old.CostPerM, price: metre, pieces: s.lengthOf(now), why: "a stiffer profile bends less", by: "share of the split times the ratio of EI",
		factor: func(p *parts.Profile) float64 {
			if !sameSystem(old, p) {
				return never()
			}
			return 1 - share*(1-bigger(before, s.stiffness(p.ID)))
		},
	})
}

// sameSystem tells whether two profiles take the same joints: slots of one
// module, or both tubes.
func sameSystem(a, b *parts.Profile) bool {
	if a.Slots != nil && b.Slots != nil {
		return a.Slots.Slot == b.Slots.Slot && a.Slots.Module == b.Slots.Module
	}
	return a.Slots == nil && b.Slots == nil && a.Shape == b.Shape && a.Material == b.Material
}

// lengthOf is the length of all bars of a profile, m.
func (s *situation) lengthOf(profile string) float64 {
	sum := 0.0
	for i, mem := range s.m.Members {
		if mem.Profile.ID == profile && mem.Role != machine.Beam && mem.Role != machine.Mast {
			sum += s.m.Length(i)
		}
	}
	return sum
}

func metre(p *parts.Profile) float64 { return p.CostPerM }

func metreOfBelt(p *parts.Belt) float64 { return p.CostPerM }

// priceOfAxis is what an axis part of the length of an axis costs.
func priceOfAxis(a *machine.Axis) func(*parts.Axis) float64 {
	return func(p *parts.Axis) float64 { return p.Cost + p.CostPerM*a.Length }
}
