package search

import (
	"cmp"
	"context"
	"math/big"
	"slices"
	"strings"

	"spanwright/assess"
	"spanwright/ledger"
	"spanwright/machine"
	"spanwright/parts"
	"spanwright/structure"
)

// chain is a choice of axes at one pace, from some axis to the tool. Drives that
// make the same machine but for their ratio and inertia stand in one list: they
// have the same price, mass and stiffness, so that one that passes stands for
// all of them.
type chain struct {
	pace   Pace
	limits []axisLimits
	axes   []AxisChoice // those before first are placeholders
	alike  [][]Drive    // by axis: drives that make the same machine, the first is in axes
	fit    fitted       // of the axes from first on
	cost   float64      // of the axes from first on
	moved  float64      // by the axis first, kg
	refit  bool         // its joins are not those that the ends of travel were derived with
}

// count is how many combinations the chain stands for.
func (k *chain) count() *big.Int {
	n := big.NewInt(1)
	for _, d := range k.alike {
		if len(d) > 0 {
			n.Mul(n, big.NewInt(int64(len(d))))
		}
	}
	return n
}

// assembly builds the chains of one pace, from the tool to the stand.
type assembly struct {
	p     *Problem
	s     *Space
	opts  Options
	pace  Pace
	asks  []asked
	first chain
	tally tally
	below []*big.Int // combinations of what is still open once axis i is chosen: axes before it joins and frames
}

// chains builds all chains of a pace; none if no motion meets the rate.
func (p *Problem) chains(ctx context.Context, s *Space, pace Pace, opts Options) ([]chain, tally, error) {
	a := &assembly{p: p, s: s, opts: opts, pace: pace}
	a.open()
	n := len(p.axes)
	limits, ok := p.limitsAt(pace)
	if !ok {
		a.tally.add(ByPace, "task.rate", times(a.below[n-1], a.axisCombinations(n-1)))
		return nil, a.tally, nil
	}
	var cycle float64
	if a.asks, cycle = p.asks(limits); cycle > 1/p.Task.Task.Rate {
		a.tally.add(ByPace, "task.rate", times(a.below[n-1], a.axisCombinations(n-1)))
		return nil, a.tally, nil
	}
	a.first = chain{pace: pace, limits: limits, axes: a.placeholders(), alike: make([][]Drive, n), fit: p.roughFit(s, pace, limits)}
	tails := []chain{a.first}
	for i := n - 1; i >= 0; i-- {
		var next []chain
		for t := range tails {
			if err := ctx.Err(); err != nil {
				return nil, a.tally, err
			}
			next = append(next, a.extend(&tails[t], i)...)
		}
		tails = a.keep(next, i)
	}
	return a.joined(tails), a.tally, nil
}

// open counts what is still open below each axis; joins are open to the end.
func (a *assembly) open() {
	n := big.NewInt(int64(len(a.s.Frames)))
	for _, x := range a.s.Axes {
		n = times(n, len(x.Joins))
	}
	for i := range a.p.axes {
		a.below = append(a.below, new(big.Int).Set(n))
		n = times(n, a.axisCombinations(i))
	}
}

// axisCombinations is the number of choices of one axis.
func (a *assembly) axisCombinations(i int) int {
	x, bodies := &a.s.Axes[i], 0
	for _, id := range x.Parts {
		bodies += len(x.screwsOf(a.p.Catalogue, id))
	}
	return bodies * a.driveCombinations(i)
}

func (a *assembly) driveCombinations(i int) int {
	x := &a.s.Axes[i]
	return len(x.Motors) * len(x.Gears) * len(x.Brakes)
}

// placeholders fill the axes that are not chosen yet: what an axis does depends
// only on those that it carries.
func (a *assembly) placeholders() []AxisChoice {
	out := make([]AxisChoice, len(a.p.axes))
	for i := range out {
		x := a.s.Axes[i]
		out[i] = AxisChoice{Drive: Drive{Part: x.Parts[0], Motor: x.Motors[0], Gear: x.Gears[0], Brake: x.Brakes[0]}, Join: x.Joins[0], UnderBeam: none}
	}
	return out
}

// extend adds axis i to a tail in every way that passes.
func (a *assembly) extend(tail *chain, i int) (out []chain) {
	x := &a.s.Axes[i]
	for _, id := range x.Parts {
		part, ok := a.p.Catalogue.Axis(id)
		if !ok {
			continue
		}
		screws := x.screwsOf(a.p.Catalogue, id)
		perPart := times(times(a.below[i], a.driveCombinations(i)), len(screws))
		perPart.Mul(perPart, tail.count())
		stop := stopDeceleration(tail.limits[i].accel*a.pace.Stop, tail.limits[i].accel, part)
		if why := a.p.partBound(part, i, tail.limits[i], stop); why != "" {
			a.tally.add(ByAxis, why, perPart)
			continue
		}
		out = append(out, a.driven(tail, i, part, screws)...)
	}
	return out
}

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
	for len(options) > 0 {
		kind := options[0].kind
		if a.opts.Drives > 0 && len(out) >= a.opts.Drives {
			a.tally.add(ByChoice, "dearer drives of axis "+a.p.axes[i].id, times(unit, len(options)))
			break
		}
		var same []option
		same, options = split(options, kind)
		out = append(out, a.screened(tail, i, part, same, unit)...)
	}
	return out
}

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
	for _, gearID := range x.Gears {
		gear := partOf(a.p.Catalogue.Gear, gearID)
		if why := b.gearBound(a.asks[i], gearing, gear); why != "" {
			a.tally.add(ByAxis, why, times(unit, len(x.Motors)*len(x.Brakes)))
			continue
		}
		for _, motorID := range x.Motors {
			motor := partOf(a.p.Catalogue.Motor, motorID)
			if why := b.motorBound(a.asks[i], motor, gear); why != "" {
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
// lightest motor, no gear and no brake. Belt, screw and rack are judged at once:
// every drive moves at least that much, and more mass only adds to the force in
// them. It says which check discards the part.
func (a *assembly) body(tail *chain, i int, part *parts.Axis, screw string) (b *body, gearing float64, why string) {
	c := a.choice(tail, i, Drive{part.ID, screw, a.lightest(i), none, none})
	f := tail.fit.clone()
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
	screened, err := assess.ScreenAxis(m, i)
	if err != nil {
		return nil, 0, "fit"
	}
	for _, k := range screened.Checks {
		if k.Verdict == ledger.Over && transmits(k.Kind) {
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

// transmits tells whether a check judges what carries the drive force.
func transmits(kind string) bool {
	return strings.HasPrefix(kind, "axis.belt.") || strings.HasPrefix(kind, "axis.screw.") || strings.HasPrefix(kind, "axis.rack.")
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
// chain of those that pass with the same ends of travel, the least used first.
// Where only some drives are kept, the first that passes is enough: the others
// of its class are tried where it fails as a whole.
func (a *assembly) screened(tail *chain, i int, part *parts.Axis, same []option, unit *big.Int) (out []chain) {
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
	return out
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

// joined gives every chain of all axes each set of the joins that suit its parts.
func (a *assembly) joined(list []chain) (out []chain) {
	for _, k := range list {
		sets := [][]string{nil}
		n := 1
		for i := range k.axes {
			part, _ := a.p.Catalogue.Axis(k.axes[i].Part)
			var next [][]string
			for _, head := range sets {
				for _, id := range a.p.suited(i, part, a.s.Axes[i].Joins, a.opts.Joins) {
					next = append(next, append(head[:len(head):len(head)], id))
				}
			}
			sets, n = next, n*len(a.s.Axes[i].Joins)
		}
		a.tally.add(ByChoice, "joins of other sizes", times(times(k.count(), len(a.s.Frames)), n-len(sets)))
		for _, set := range sets {
			with := k
			with.axes = slices.Clone(k.axes)
			for i, id := range set {
				with.refit = with.refit || with.axes[i].Join != id
				with.axes[i].Join = id
			}
			out = append(out, with)
		}
	}
	return out
}

// keep cuts the list of tails: the cheapest of every set of axis parts, then the
// second of every set, and so on, up to the number wanted.
func (a *assembly) keep(list []chain, i int) []chain {
	most := a.opts.Tails
	if i == 0 {
		most = a.opts.Chains
	}
	if most <= 0 || len(list) <= most {
		return list
	}
	order := make([]int, len(list))
	for k := range order {
		order[k] = k
	}
	slices.SortStableFunc(order, func(x, y int) int { return cmp.Compare(list[x].cost, list[y].cost) })
	turn := make([]int, len(list)) // how many of the same parts are cheaper
	seen := map[string]int{}
	for _, k := range order {
		parts := list[k].parts(i)
		turn[k] = seen[parts]
		seen[parts]++
	}
	slices.SortStableFunc(order, func(x, y int) int { return cmp.Compare(turn[x], turn[y]) })
	for _, k := range order[most:] {
		a.tally.add(ByChoice, "dearer sets of axes", new(big.Int).Mul(a.below[i], list[k].count()))
	}
	order = order[:most]
	slices.Sort(order)
	var out []chain
	for _, k := range order {
		out = append(out, list[k])
	}
	return out
}

// parts names the axis parts of a chain from axis i on.
func (k *chain) parts(i int) string {
	var names []string
	for _, a := range k.axes[i:] {
		names = append(names, a.Part)
	}
	return strings.Join(names, " ")
}
