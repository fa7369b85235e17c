package assess

import (
	"errors"
	"math"
	"slices"

	"spanwright/joint"
	"spanwright/machine"
	"spanwright/parts"
	"spanwright/structure"
)

// jointGroup is one kind of joint: like hardware at several places.
type jointGroup struct {
	id, kind string // of its checks, without the mechanism: "joint.corner", "joint.x.support"
	subject  string
	title    string
	part     string // id of the hardware
	places   []jointPlace
	found    []jointFinding
	missing  string                     // what keeps the whole group from being judged
	misfits  []string                   // why the hardware cannot be put together as drawn; nil: nothing to compare
	line     bool                       // supports of a line, that slip together
	compared bool                       // its fit was compared
	about    map[joint.Mechanism]string // more to say on a mechanism
}

// jointPlace is one place that the hardware of a group holds.
type jointPlace struct {
	name   string
	holds  []jointHold
	forces func(*structure.Forces) []structure.Force
	torque float64               // largest tightening torque that screw and seat allow, N m
	plate  *joint.InterfacePlate // nil: no plate between two bodies
}

// jointHold is one assembled joint with how the forces of the place load it.
type jointHold struct {
	joint joint.Joint
	// turn says which component of the force, with which sign, is N, Vy, Vz, T, My, Mz of the demand.
	turn     [6]turned
	oneSided bool // it holds My better on one side, and which side it sits on is not known
}

// turned is a component of a force as a component of a demand.
type turned struct {
	from   int
	factor float64
}

// jointFinding is the check of one mechanism at the place that uses it most.
type jointFinding struct {
	check  joint.Check // without terms until the working is wanted
	demand joint.Demand
	hold   int // of the place
	place  int
	force  structure.Force
	at     structure.Level // level that the check belongs to
	levels [3]float64      // utilisation at each level, same place, pose and combination
}

// demands are the corners of the forces' bounds that can be worst: everything at
// its greatest magnitude, with the largest pull and with the largest push. All
// hardware is symmetric or judged by magnitudes, but for what sits on one side.
func (h *jointHold) demands(b *structure.Bounds6) (out [4]joint.Demand, n int) {
	var most [6]float64
	for i, t := range h.turn {
		most[i] = b.Largest(t.from) * math.Abs(t.factor)
	}
	ends := [2]float64{b.Max[h.turn[0].from] * h.turn[0].factor, b.Min[h.turn[0].from] * h.turn[0].factor}
	d := joint.Demand{N: ends[0], Vy: most[1], Vz: most[2], T: most[3], My: most[4], Mz: most[5]}
	out[0], n = d, 1
	if ends[1] != ends[0] {
		d.N = ends[1]
		out[1], n = d, 2
	}
	if h.oneSided {
		for i := range n {
			out[n+i] = out[i]
			out[n+i].My = -out[i].My
		}
		n *= 2
	}
	return out, n
}

// jointDesk is what joints are judged with: a sheet, and room for what it shows.
type jointDesk struct {
	sheet joint.Sheet
	list  []jointFinding
}

func newJointDesk() *jointDesk { return &jointDesk{sheet: joint.Sheet{Terse: true}} }

// judge returns the worst check of every mechanism under the bounds of a force,
// valid until the desk is used again.
func (p *jointPlace) judge(b *structure.Bounds6, desk *jointDesk) ([]jointFinding, error) {
	desk.list = desk.list[:0]
	for k := range p.holds {
		demands, n := p.holds[k].demands(b)
		for _, d := range demands[:n] {
			desk.sheet.Checks = desk.sheet.Checks[:0]
			if err := p.holds[k].joint.Judge(d, &desk.sheet); err != nil {
				return nil, err
			}
			for i := range desk.sheet.Checks {
				desk.list = keepWorst(desk.list, &jointFinding{check: desk.sheet.Checks[i], demand: d, hold: k})
			}
		}
	}
	return desk.list, nil
}

// worked returns the check of a finding with its terms.
func (f *jointFinding) worked(g *jointGroup) (joint.Check, error) {
	checks, err := joint.Checks(g.places[f.place].holds[f.hold].joint, f.demand)
	for _, c := range checks {
		if c.Mechanism == f.check.Mechanism && c.Where == f.check.Where {
			return c, err
		}
	}
	return f.check, err
}

// like is how much worse a finding must be to take the place of another, so that
// which of several equal places or poses is named does not hang on rounding.
const like = 1 + 1e-9

// keepWorst puts a finding into a list with one for each mechanism.
func keepWorst(list []jointFinding, f *jointFinding) []jointFinding {
	for i := range list {
		if list[i].check.Mechanism != f.check.Mechanism {
			continue
		}
		if list[i].check.Missing == "" && (f.check.Missing != "" || !(f.check.Utilisation <= list[i].check.Utilisation*like)) {
			list[i] = *f
		}
		return list
	}
	return append(list, *f)
}

// search finds the worst check of every mechanism over places, poses and
// combinations. The checks grow with the demand, so the envelope of a place
// bounds it: only places whose bound is above the worst so far are looked into.
func (g *jointGroup) search(f *structure.Forces, desk *jointDesk) error {
	bounds := make([][]jointFinding, len(g.places))
	looked := make([][]jointFinding, len(g.places))
	for i := range g.places {
		b := envelope(g.places[i].forces(f))
		bound, err := g.places[i].judge(&b, desk)
		if err != nil {
			return err
		}
		bounds[i] = slices.Clone(bound)
	}
	if len(bounds) == 0 {
		return nil
	}
	for _, b := range bounds[0] {
		m := b.check.Mechanism
		order := make([]int, len(g.places))
		for i := range order {
			order[i] = i
		}
		slices.SortStableFunc(order, func(i, j int) int {
			switch a, b := utilisationOf(bounds[i], m), utilisationOf(bounds[j], m); {
			case a > b:
				return -1
			case a < b:
				return 1
			}
			return 0
		})
		best := jointFinding{check: joint.Check{Utilisation: -1}}
		for _, i := range order {
			if best.check.Missing != "" || best.check.Utilisation >= utilisationOf(bounds[i], m) {
				break
			}
			if looked[i] == nil {
				var err error
				if looked[i], err = g.look(i, f, desk); err != nil {
					return err
				}
			}
			for _, l := range looked[i] {
				if l.check.Mechanism == m && (l.check.Missing != "" || l.check.Utilisation > best.check.Utilisation*like) {
					best = l
				}
			}
		}
		best.at = structure.High
		best.levels[structure.High] = best.check.Utilisation
		g.found = append(g.found, best)
	}
	return nil
}

// look judges one place at every pose and combination.
func (g *jointGroup) look(place int, f *structure.Forces, desk *jointDesk) ([]jointFinding, error) {
	var worst []jointFinding
	forces := g.places[place].forces(f)
	for i := range forces {
		working := f.Combos[forces[i].Combo].Working
		if covered(forces, i, func(k int) bool { return !g.line || f.Combos[forces[k].Combo].Working == working }) {
			continue
		}
		list, err := g.places[place].judge(&forces[i].Bounds6, desk)
		if err != nil {
			return nil, err
		}
		for k := range list {
			l := &list[k]
			if g.line && l.check.Mechanism == joint.Slip && !working {
				continue // the line as a whole is judged for it
			}
			l.place, l.force = place, forces[i]
			worst = keepWorst(worst, l)
		}
	}
	return worst, nil
}

// utilisationOf is the utilisation of a mechanism in a list; what is not judged counts above all.
func utilisationOf(list []jointFinding, m joint.Mechanism) float64 {
	for _, f := range list {
		if f.check.Mechanism == m {
			if f.check.Missing != "" {
				return math.Inf(1)
			}
			return f.check.Utilisation
		}
	}
	return -1
}

// envelope bounds all forces of a place.
func envelope(forces []structure.Force) structure.Bounds6 {
	if len(forces) == 0 {
		return structure.Bounds6{}
	}
	out := forces[0].Bounds6
	for _, f := range forces[1:] {
		for i := range out.Min {
			out.Min[i], out.Max[i] = math.Min(out.Min[i], f.Min[i]), math.Max(out.Max[i], f.Max[i])
		}
	}
	return out
}

// judgeAgain judges a finding under the forces of another level, and takes that
// level for the verdict if it is worse there.
func (f *jointFinding) judgeAgain(g *jointGroup, l structure.Level, forces *structure.Forces, pose int, desk *jointDesk) error {
	place := &g.places[f.place]
	list := place.forces(forces)
	for i := range list {
		if list[i].Pose != pose || list[i].Combo != f.force.Combo {
			continue
		}
		found, err := place.judge(&list[i].Bounds6, desk)
		if err != nil {
			return err
		}
		for k := range found {
			again := &found[k]
			if again.check.Mechanism != f.check.Mechanism {
				continue
			}
			f.levels[l] = again.check.Utilisation
			if again.check.Utilisation > f.check.Utilisation {
				f.check, f.demand, f.hold, f.at = again.check, again.demand, again.hold, l
			}
		}
	}
	return nil
}

// errNoYield names a material whose strength is not in the table.
var errNoYield = errors.New("no yield stress is known")

// lipOf is the slot of a profile as a nut of the given size pulls on it; nil
// where the profile has no slots or the hardware no nut.
func lipOf(p *parts.Profile, material *parts.Material, width, length float64) (*joint.Lip, error) {
	if p.Slots == nil || width == 0 || length == 0 {
		return nil, nil
	}
	yield, ok := material.YieldAt(p.Slots.Lip)
	if !ok {
		return nil, errNoYield
	}
	return &joint.Lip{
		Thickness: p.Slots.Lip, Opening: p.Slots.Slot, Inner: p.Slots.Inner, NutWidth: width, NutLength: length, Yield: yield,
	}, nil
}

// weaker is the one of two slots that holds less.
func weaker(a, b *joint.Lip) *joint.Lip {
	if a == nil || b == nil {
		if a == nil {
			return b
		}
		return a
	}
	sa, errA := a.Strength()
	sb, errB := b.Strength()
	if errA == nil && (errB != nil || sb.Holds() < sa.Holds()) {
		return b
	}
	return a
}

// torqueLimit is the largest tightening torque that a screw and what it ends in allow, N m.
func torqueLimit(s joint.Screw, lip *joint.Lip, hole *joint.TappedHole) float64 {
	seat := math.Inf(1)
	if lip != nil {
		if strength, err := lip.Strength(); err == nil {
			seat = strength.Holds()
		}
	}
	if hole != nil {
		if strip, err := hole.Strip(s.Thread); err == nil {
			scatter := s.Tightening.Scatter // the thread has to bear the upper end of the scatter
			seat = math.Min(seat, strip*(1+scatter)/(2*scatter))
		}
	}
	return joint.TorqueLimit(s, seat)
}

// atEnd are the forces of a member's end.
func atEnd(member, end int) func(*structure.Forces) []structure.Force {
	return func(f *structure.Forces) []structure.Force { return f.Ends[member][end] }
}

// atConnection are the forces of a connection.
func atConnection(c machine.Connection) func(*structure.Forces) []structure.Force {
	return func(f *structure.Forces) []structure.Force { return f.Joints[c.ID] }
}
