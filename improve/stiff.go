package improve

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/ledger"
	"spanwright/parts"
	"spanwright/structure"
)

// share is what one cause has of the tool's yielding, as a part of the whole.
type share struct {
	group string
	part  float64
}

// shares are the causes of the value of a check of the tool: for sag those of
// its own split, else those of the tool's yielding to a push along the direction
// in which the machine answers most. By the theorem of virtual work they are also
// minus the derivative by the logarithm of each stiffness, which is what makes
// them good for estimates.
func (s *situation) shares(c ledger.Check) []share {
	if c.Kind == "tool.sag.variation" && c.Adds {
		sum := 0.0
		for _, p := range c.Parts {
			sum += p.Value
		}
		var out []share
		for _, p := range c.Parts {
			out = append(out, share{p.Name, p.Value / sum})
		}
		return out
	}
	if s.push == nil {
		s.push = s.pushShares()
	}
	return s.push
}

// pushShares splits the yielding where the lowest frequency is lowest. Nothing
// is returned where the split cannot be had; estimates then fail to come about.
func (s *situation) pushShares() []share {
	var q []float64
	for _, x := range s.found.Results.Tool.FirstFreqAt {
		q = append(q, float64(x))
	}
	study, err := structure.New(s.m, structure.Low)
	if err != nil {
		return []share{}
	}
	split, err := study.PushSplit(q, s.softest())
	if err != nil {
		return []share{}
	}
	sum, by := 0.0, map[string]float64{}
	var order []string
	for _, x := range split {
		if _, known := by[x.Group]; !known {
			order = append(order, x.Group)
		}
		by[x.Group] += x.Value
		sum += x.Value
	}
	out := []share{}
	for _, g := range order {
		out = append(out, share{g, by[g] / sum})
	}
	return out
}

// softest is the world direction along which the tool answers most.
func (s *situation) softest() r3.Vec {
	best, most := r3.Vec{X: 1}, 0.0
	for _, p := range s.found.Results.Tool.Response {
		for k, v := range [3]float64{float64(p.X), float64(p.Y), float64(p.Z)} {
			if v > most {
				most, best = v, [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}[k]
			}
		}
	}
	return best
}

func (s *situation) shareOf(c ledger.Check, group string) float64 {
	for _, x := range s.shares(c) {
		if x.group == group {
			return math.Max(0, x.part)
		}
	}
	return 0
}

// power is how the utilisation goes with the compliance: a frequency with its
// root, a deflection with itself.
func power(c ledger.Check) float64 {
	if c.Kind == "tool.frequency" {
		return 0.5
	}
	return 1
}

// stiffer proposes more stiffness where the split sees most of the yielding.
func stiffer(s *situation, c ledger.Check) []proposal {
	var out []proposal
	g := s.design.Stand.Generate
	if g != nil {
		out = append(out, s.profiles(c, generated+"legs.profile", "legs", g.Legs.Profile, s.shareOf(c, "stand legs"))...)
		out = append(out, s.profiles(c, generated+"top_rail", "top rails", g.TopRail, s.shareOf(c, "stand rails")/2)...)
		if g.FootRail != "none" {
			out = append(out, s.profiles(c, generated+"foot_rail", "foot rails", g.FootRail, s.shareOf(c, "stand rails")/2)...)
		}
		out = append(out, s.stifferJoints(c)...)
	}
	for _, a := range s.m.Axes {
		id := a.Spec.ID
		own := s.shareOf(c, id+" beam") + s.shareOf(c, id+" mast") + s.shareOf(c, id+" guide blocks")
		now := s.stiffness(a.Part.Profile)
		out = append(out, swaps(s, c, listed[*parts.Axis](s, "axis"), swap[*parts.Axis]{
			path: axisPath(a, "part"), noun: "axis part", now: a.Part.ID, pieces: float64(len(a.Beams)), cost: a.Part.Cost + a.Part.CostPerM*a.Length,
			factor: func(p *parts.Axis) float64 {
				if p.Drive != a.Part.Drive {
					return never()
				}
				return 1 - own*(1-bigger(now, s.stiffness(p.Profile)))
			},
			why: "a stiffer beam with larger blocks", by: "share of the split times the ratio of EI",
		})...)
		if a.Spec.UnderBeam == "none" && !a.BodyMoves {
			for _, p := range underBeam(s, ledger.Check{ID: "build." + id + ".under_beam", Kind: "build.under_beam", Utilisation: c.Utilisation})[:1] {
				p.Why, p.Estimate, p.By = "two profiles bend less than one", c.Utilisation*(1-0.7*s.shareOf(c, id+" beam")), "share of the beam in the split"
				out = append(out, p)
			}
		}
		out = append(out, s.stifferSupports(c, id)...)
	}
	for i := range out {
		out[i].Estimate = c.Utilisation * math.Pow(out[i].Estimate/c.Utilisation, power(c))
	}
	return out
}

// stifferSupports proposes closer supports and a stiffer interface of an axis.
func (s *situation) stifferSupports(c ledger.Check, id string) (out []proposal) {
	for _, a := range s.m.Axes {
		if a.Spec.ID != id {
			continue
		}
		share := s.shareOf(c, id+" interface")
		if old, ok := s.parts.Plate(a.Spec.Join.Part); ok && share > 0 {
			bend := func(p *parts.Plate) float64 {
				m, known := s.parts.Material(p.Material)
				if !known {
					return math.NaN()
				}
				return m.E * p.Width * math.Pow(p.Thick+p.RibHigh/2, 3)
			}
			out = append(out, swaps(s, c, listed[*parts.Plate](s, "plate"), swap[*parts.Plate]{
				path: axisPath(a, "join.part"), noun: "plate", now: old.ID, cost: old.Cost, pieces: 1, why: "a thicker or ribbed plate yields less", by: "share of the interface times the ratio of E b t3",
				factor: func(p *parts.Plate) float64 { return 1 - share*(1-bigger(bend(old), bend(p))) },
			})...)
		}
	}
	return out
}

// stifferJoints proposes other joint families for the corners: the ratio is that
// of the joints' own stiffness in the changed machine.
func (s *situation) stifferJoints(c ledger.Check) []proposal {
	g := s.design.Stand.Generate
	old, ok := s.parts.Joint(g.Joint)
	part := s.shareOf(c, "stand joints")
	if !ok || !(part > 0) {
		return nil
	}
	now := s.jointYield(nil)
	return swaps(s, c, listed[*parts.Joint](s, "joint"), swap[*parts.Joint]{
		path: generated + "joint", noun: "corner joint", now: old.ID, cost: old.Cost, pieces: 8, why: "the corners yield", by: "share of the joints times the ratio of their stiffness",
		factor: func(p *parts.Joint) float64 {
			if p.Fits != old.Fits {
				return never()
			}
			return 1 - part*(1-s.jointYield([]Edit{{Path: generated + "joint", Value: p.ID}})/now)
		},
	})
}

// jointYield is the sum of the stand joints' compliances in turning, rad/(N m),
// after the edits; infinite if the machine cannot be built.
func (s *situation) jointYield(list []Edit) float64 {
	m := s.m
	if list != nil {
		var err error
		if m, err = s.build(list); err != nil {
			return math.Inf(1)
		}
	}
	sum := 0.0
	for i, mem := range m.Members {
		for end, joint := range mem.Joints {
			if mem.Body != 0 || joint == nil || joint.Part == nil {
				continue
			}
			springs, err := structure.JointSprings(m, i, end)
			if err != nil {
				return math.Inf(1)
			}
			for _, k := range springs {
				sum += 1 / k.Low
			}
		}
	}
	return sum
}

// moreBraces adds knee braces against sway, or lets those that are there reach
// farther: the free height of a leg bends with its cube.
func moreBraces(s *situation, c ledger.Check) []proposal {
	g := s.design.Stand.Generate
	if g == nil || s.braceProfile() == "" {
		return nil
	}
	sway := s.shareOf(c, "stand legs") + s.shareOf(c, "stand joints")
	estimate := func(reach float64) float64 {
		free := math.Max(0.2, 1-reach/g.Height)
		return c.Utilisation * math.Pow(1-sway*(1-math.Pow(free, 3)), power(c))
	}
	var out []proposal
	there := map[string]bool{}
	for i, b := range g.Braces {
		there[b.Plane] = true
		if b.Kind != "knee" {
			continue
		}
		for _, k := range []float64{1.3, 1.6} {
			reach := up(b.Reach*k, step50)
			out = append(out, proposal{
				Title: fmt.Sprintf("braces %s with a reach of %s instead of %s", b.Plane, length(reach), length(b.Reach)), Why: "longer braces shorten what sways",
				Edits: []Edit{{Path: fmt.Sprintf("%sbraces[%d].reach", generated, i+1), Value: length(reach)}}, Estimate: estimate(reach - b.Reach), By: "free height cubed, share of legs and joints", cost: 10 * k,
			})
		}
	}
	for _, plane := range []string{"along", "across", "top"} {
		if there[plane] || plane == "top" && oneRow(g) {
			continue
		}
		e := s.brace(len(g.Braces), plane, 1)
		if plane == "top" {
			e.Value = strings.Replace(e.Value, "at: top, ", "", 1)
		}
		out = append(out, proposal{
			Title: fmt.Sprintf("braces in the plane %s, %s", plane, e.reachWords()), Why: "an unbraced plane sways",
			Edits: []Edit{e}, Estimate: estimate(s.braceReach(plane)), By: "free height cubed, share of legs and joints", cost: free,
		})
	}
	return out
}

// stifferDrive proposes what lessens play and wind-up on the way from motor to
// tool: a wider belt, a stiffer screw, a rack with less play.
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
		if !(part > 0) {
			continue
		}
		scale := func(list []proposal) {
			for _, p := range list {
				f := p.Estimate / c.Utilisation
				p.Estimate = c.Utilisation * math.Sqrt(1-part+part*f*f)
				out = append(out, p)
			}
		}
		switch {
		case a.Belt != nil:
			scale(swaps(s, c, listed[*parts.Belt](s, "belt"), swap[*parts.Belt]{
				path: axisPath(a, "drive.belt"), noun: "belt", now: a.Belt.ID, cost: a.Belt.CostPerM, pieces: 2 * a.Length, why: "the belt gives under friction", by: "stiffness of the belt",
				factor: func(p *parts.Belt) float64 {
					if p.Pitch != a.Belt.Pitch {
						return never()
					}
					return bigger(a.Belt.EA, p.EA)
				},
			}))
		case a.Rack != nil:
			scale(swaps(s, c, listed[*parts.Rack](s, "rack"), swap[*parts.Rack]{
				path: axisPath(a, "drive.rack"), noun: "rack", now: a.Rack.ID, cost: a.Rack.Cost, pieces: 1, why: "play between rack and pinion", by: "backlash of the part",
				factor: func(p *parts.Rack) float64 { return bigger(1/a.Rack.Backlash, 1/p.Backlash) },
			}))
		case a.Screw != nil:
			scale(swaps(s, c, listed[*parts.Screw](s, "screw"), swap[*parts.Screw]{
				path: axisPath(a, "drive.screw"), noun: "screw", now: a.Screw.ID, cost: a.Screw.Cost, pieces: 1, why: "nut and shaft give under friction", by: "stiffness of the nut",
				factor: func(p *parts.Screw) float64 {
					if p.Kind != a.Screw.Kind || p.Lead != a.Screw.Lead {
						return never()
					}
					return bigger(a.Screw.Nut, p.Nut)
				},
			}))
		}
		if a.Gear != nil {
			scale(swaps(s, c, listed[*parts.Gear](s, "gear"), swap[*parts.Gear]{
				path: axisPath(a, "gear"), noun: "gear", now: a.Gear.ID, cost: a.Gear.Cost, pieces: float64(a.Motors()), why: "the gear's play", by: "backlash of the part",
				factor: func(p *parts.Gear) float64 {
					if p.Ratio != a.Gear.Ratio || p.Kind != a.Gear.Kind {
						return never()
					}
					return bigger(1/a.Gear.Backlash, 1/p.Backlash)
				},
			}))
		}
	}
	return out
}
