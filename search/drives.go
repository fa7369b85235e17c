package search

import (
	"cmp"
	"math"
	"math/big"
	"slices"
	"strings"

	"spanwright/assess"
	"spanwright/ledger"
	"spanwright/machine"
	"spanwright/parts"
	"spanwright/structure"
)

// option is one drive for an axis part, with what tells it from others but for
// ratio and inertia.
type option struct {
	Drive
	cost float64
	kind signature
}

// signature is what a drive is to the rest of the machine.
type signature struct {
	screw               string
	cost, cable         float64 // price; diameter of the motor's cable
	motor, gear, brake  float64 // masses
	stiffness, backlash float64 // of the gear
}

// driven adds the part with every drive that passes, in classes of drives that
// make the same machine, the cheapest first.
func (a *assembly) driven(tail *chain, i int, part *parts.Axis, screws []string) (out []chain) {
	var options []option
	unit := new(big.Int).Mul(a.below[i], tail.count())
	for _, screw := range screws {
		options = append(options, a.bounded(tail, i, part, screw, unit)...)
	}
	slices.SortStableFunc(options, func(x, y option) int {
		return cmp.Or(cmp.Compare(x.cost, y.cost), cmp.Compare(x.kind.motor+x.kind.gear+x.kind.brake, y.kind.motor+y.kind.gear+y.kind.brake))
	})
	slack := math.Inf(1) // least riding mass with which the belt was slack
	for len(options) > 0 {
		kind := options[0].kind
		if a.opts.Drives > 0 && len(out) >= a.opts.Drives {
			a.tally.add(ByChoice, "dearer drives of axis "+a.p.axes[i].id, times(unit, len(options)))
			break
		}
		var same []option
		same, options = split(options, kind)
		if a.opts.Drives > 0 && kind.rides() >= slack {
			a.tally.add(ByChoice, "drives as heavy as one whose belt is slack", times(unit, len(same)))
			continue
		}
		made, why := a.screened(tail, i, part, same, unit)
		if out = append(out, made...); len(made) == 0 && belt(why) {
			slack = math.Min(slack, kind.rides())
		}
	}
	return out
}

// rides is what of a drive may ride on the axis, kg.
func (k signature) rides() float64 { return k.motor + k.gear + k.brake }

// belt tells whether a check judges the tension of a belt, which more mass makes
// worse, but more room at the ends better.
func belt(kind string) bool { return kind == "axis.belt.slack" || kind == "axis.belt.cord" }

// split takes all options of a kind out of a list.
func split(list []option, kind signature) (same, rest []option) {
	for _, o := range list {
		if o.kind == kind {
			same = append(same, o)
		} else {
			rest = append(rest, o)
		}
	}
	return same, rest
}

// bounded lists the drives of an axis part that no bound discards.
func (a *assembly) bounded(tail *chain, i int, part *parts.Axis, screw string, unit *big.Int) (out []option) {
	b, gearing, why := a.body(tail, i, part, screw)
	if why != "" {
		a.tally.add(stageOf(why), why, times(unit, a.driveCombinations(i)))
		return nil
	}
	x := &a.s.Axes[i]
	brakes := a.brakes(i)
	for _, gearID := range x.Gears {
		gear := partOf(a.p.Catalogue.Gear, gearID)
		if why := b.gearBound(a.asks[i], gearing, gear); why != "" {
			a.tally.add(ByAxis, why, times(unit, len(x.Motors)*len(x.Brakes)))
			continue
		}
		for _, motorID := range x.Motors {
			motor := partOf(a.p.Catalogue.Motor, motorID)
			if why := b.motorBound(a.asks[i], motor, gear, brakes); why != "" {
				a.tally.add(ByAxis, why, times(unit, len(x.Brakes)))
				continue
			}
			for _, brakeID := range x.Brakes {
				brake := partOf(a.p.Catalogue.Brake, brakeID)
				if why := b.brakeBound(a.asks[i], motor, gear, brake); why != "" {
					a.tally.add(ByAxis, why, unit)
					continue
				}
				out = append(out, newOption(Drive{part.ID, screw, motorID, gearID, brakeID}, motor, gear, brake))
			}
		}
	}
	return out
}

// brakes are the brakes offered for an axis, nil for none.
func (a *assembly) brakes(i int) (out []*parts.Brake) {
	for _, id := range a.s.Axes[i].Brakes {
		out = append(out, partOf(a.p.Catalogue.Brake, id))
	}
	return out
}

// stageOf is the stage to which a reason of body belongs.
func stageOf(why string) Stage {
	if why == "size" {
		return ByChoice
	}
	return ByScreen
}

func partOf[T any](get func(string) (*T, bool), id string) *T {
	if id == none {
		return nil
	}
	part, _ := get(id)
	return part
}

func newOption(d Drive, motor *parts.Motor, gear *parts.Gear, brake *parts.Brake) option {
	o := option{Drive: d, cost: motor.Cost, kind: signature{screw: d.Screw, motor: motor.Mass}}
	diameter, _ := motorCable(motor)
	o.kind.cable = diameter
	if gear != nil {
		o.cost += gear.Cost
		o.kind.gear, o.kind.stiffness, o.kind.backlash = gear.Mass, gear.Ct, gear.Backlash
	}
	if brake != nil {
		o.cost += brake.Cost
		o.kind.brake = brake.Mass
	}
	o.kind.cost = o.cost
	return o
}

// body is an axis part on a tail at the least that it can move: with the
// lightest motor, no gear and no brake, on the shortest beam: with room for the
// stop alone and the shortest bumper. Length, screw, rack and teeth of the belt
// are judged at once: every drive moves at least that much, more mass only adds
// to the force in them, and more room only to the length of beam and screw. It
// says which check discards the part.
func (a *assembly) body(tail *chain, i int, part *parts.Axis, screw string) (b *body, gearing float64, why string) {
	c := a.choice(tail, i, Drive{part.ID, screw, a.lightest(i), none, none})
	f := tail.fit.clone()
	f.bumpers[i] = a.p.shortestBumper()
	if a.p.fitAxis(c, &f, i) != nil {
		return nil, 0, "fit"
	}
	m, err := a.p.build(c, f)
	if err != nil {
		return nil, 0, "fit"
	}
	b = &body{axis: m.Axes[i], low: [2]float64{m.Moved(i, false), m.Moved(i, true)}, slop: a.p.carrierHelp(m.Design), p: a.p}
	if gearing, err = structure.OutputGearing(b.axis); err != nil {
		return nil, 0, "fit"
	}
	if usual := part.MovedMass; a.opts.Drives > 0 && usual > 0 && (b.low[1] > usual*mostOverload || b.low[1] < usual*leastUse) {
		return nil, 0, "size"
	}
	screened, err := assess.ScreenAxis(m, i, decided)
	if err != nil {
		return nil, 0, "fit"
	}
	for _, k := range screened.Checks {
		if k.Verdict == ledger.Over {
			return nil, 0, k.Kind
		}
	}
	return b, gearing, ""
}

// What an axis part may move over the usual largest mass of its part data to be
// tried, where not everything is: own choice.
const (
	mostOverload = 1.5
	leastUse     = 0.1
)

// decided tells whether a check judges the length, or what more force or more
// length only makes worse. The tension of a belt is not of these: more room at
// the ends eases it.
func decided(kind string) bool {
	return kind == "axis.length" || kind == "axis.belt.tooth" || strings.HasPrefix(kind, "axis.screw.") || strings.HasPrefix(kind, "axis.rack.")
}

// lightest is the lightest motor offered.
func (a *assembly) lightest(i int) string {
	return slices.MinFunc(a.s.Axes[i].Motors, func(x, y string) int {
		return cmp.Compare(partOf(a.p.Catalogue.Motor, x).Mass, partOf(a.p.Catalogue.Motor, y).Mass)
	})
}

// lightestJoin is the lightest plate or clamp that suits an axis part: what an
// axis further down moves with it, it moves with any other.
func (a *assembly) lightestJoin(i int, id string) string {
	part, ok := a.p.Catalogue.Axis(id)
	if !ok {
		return a.s.Axes[i].Joins[0]
	}
	return slices.MinFunc(a.p.suited(i, part, a.s.Axes[i].Joins, a.opts.Joins), func(x, y string) int {
		return cmp.Compare(a.p.joinMass(x), a.p.joinMass(y))
	})
}

// choice is the tail's choice with another drive for axis i.
func (a *assembly) choice(tail *chain, i int, d Drive) Choice {
	axes := slices.Clone(tail.axes)
	axes[i].Drive, axes[i].Join = d, a.lightestJoin(i, d.Part)
	return Choice{Pace: a.pace, Axes: axes, Frame: a.s.Frames[0]}
}

// passed is a drive that passes with what is derived for it.
type passed struct {
	drive Drive
	used  float64
	fit   fitted
	m     *machine.Machine
}

// screened judges drives of one class by what needs no structure and makes a
// chain of those that pass with the same ends of travel, the least used first, and
// says by what the last of the others fails. Where only some drives are kept, the first that passes is enough: the others
// of its class are tried where it fails as a whole.
func (a *assembly) screened(tail *chain, i int, part *parts.Axis, same []option, unit *big.Int) (out []chain, last string) {
	var good []passed
	var rest []Drive
	for _, o := range same {
		if a.opts.Drives > 0 && len(good) > 0 {
			rest = append(rest, o.Drive)
			continue
		}
		c := a.choice(tail, i, o.Drive)
		g := passed{drive: o.Drive, fit: tail.fit.clone()}
		var why string
		if g.m, g.used, why = a.p.fitEnd(c, &g.fit, i); why != "" {
			a.tally.add(ByScreen, why, unit)
			last = why
			continue
		}
		good = append(good, g)
	}
	slices.SortStableFunc(good, func(x, y passed) int { return cmp.Compare(x.used, y.used) })
	for len(good) > 0 {
		first := good[0]
		drives := rest
		rest = nil
		var others []passed
		for _, g := range good {
			if g.fit.sameEnds(first.fit) || a.opts.Drives > 0 {
				drives = append(drives, g.drive)
			} else {
				others = append(others, g)
			}
		}
		slices.SortStableFunc(drives, func(x, y Drive) int { return first.before(x) - first.before(y) })
		good = others
		out = append(out, a.chainOf(tail, i, part, first, drives, same[0].cost))
	}
	return out, last
}

// before puts the drive itself before all others.
func (g passed) before(d Drive) int {
	if d == g.drive {
		return 0
	}
	return 1
}

func (a *assembly) chainOf(tail *chain, i int, part *parts.Axis, g passed, drives []Drive, cost float64) chain {
	k := *tail
	k.axes, k.alike = slices.Clone(tail.axes), slices.Clone(tail.alike)
	k.axes[i].Drive, k.axes[i].Join, k.fit, k.alike[i] = g.drive, a.lightestJoin(i, part.ID), g.fit, drives
	x := g.m.Axes[i]
	k.moved = g.m.Moved(i, true)
	k.axes[i].UnderBeam = a.p.underBeam(i, part, k.moved)
	k.cost = tail.cost + float64(len(x.Beams))*(part.Cost+part.CostPerM*x.Length) + cost*float64(x.Motors())
	return k
}
