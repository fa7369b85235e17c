package search

import (
	"cmp"
	"context"
	"math/big"
	"slices"
	"strings"
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
