package search

import "math/big"

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

// assembly adds axes to chains of one pace, from the tool to the stand.
type assembly struct {
	p     *Problem
	s     *Space
	opts  Options
	pace  Pace
	asks  []asked
	tally tally
	below []*big.Int // combinations of what is still open once axis i is chosen: axes before it joins and frames
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

// extend adds axis i with one part to a tail in every way that passes.
func (a *assembly) extend(tail *chain, i int, id string) []chain {
	part, ok := a.p.Catalogue.Axis(id)
	if !ok {
		return nil
	}
	stop := stopDeceleration(tail.limits[i].accel*a.pace.Stop, tail.limits[i].accel, part)
	if why := a.p.partBound(part, i, tail.limits[i], stop); why != "" {
		a.tally.add(ByAxis, why, a.partCombinations(tail, i, id))
		return nil
	}
	return a.driven(tail, i, part, a.s.Axes[i].screwsOf(a.p.Catalogue, id))
}

// partCombinations is what a tail stands for with one part added as axis i.
func (a *assembly) partCombinations(tail *chain, i int, id string) *big.Int {
	n := times(times(a.below[i], a.driveCombinations(i)), len(a.s.Axes[i].screwsOf(a.p.Catalogue, id)))
	return n.Mul(n, tail.count())
}

// joinsOf are the plates and clamps that suit the parts of a chain of all axes.
func (a *assembly) joinsOf(k *chain) (out [][]string) {
	n, kept := 1, 1
	for i := range k.axes {
		part, _ := a.p.Catalogue.Axis(k.axes[i].Part)
		list := a.p.suited(i, part, a.s.Axes[i].Joins, a.opts.Joins)
		out = append(out, list)
		n, kept = n*len(a.s.Axes[i].Joins), kept*len(list)
	}
	a.tally.add(ByChoice, "joins of other sizes", times(times(k.count(), len(a.s.Frames)), n-kept))
	return out
}
