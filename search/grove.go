package search

import (
	"math/big"
	"slices"
	"sync"
)

// grove is the chains of every pace as far as they were asked for: a tree for
// each, whose branches are tails to which axes are added. What was added once is
// kept, whoever asks first.
type grove struct {
	p     *Problem
	s     *Space
	opts  Options
	trees []*tree // by pace
}

// tree is the chains of one pace.
type tree struct {
	once sync.Once
	mu   sync.Mutex // guards the tally and the number of chains

	assembly assembly // its own tally stays empty
	cycle    float64  // moves and waiting, s
	root     *branch  // nil where no motion meets the rate
	tally    tally
	chains   int // of all axes that were made
}

// branch is a tail and what was added to it.
type branch struct {
	tail  chain
	next  int        // the axis that is added next; -1 where all are there
	limbs []limb     // by the part of that axis
	joins [][]string // of a chain of all axes: what each may be joined by
}

// limb is a tail with one part added: classes of drives, the cheapest first.
type limb struct {
	once  sync.Once
	grown bool
	out   []*branch
	why   tally // what was discarded
}

func (p *Problem) grove(s *Space, opts Options) *grove {
	g := &grove{p: p, s: s, opts: opts}
	for _, pace := range s.Paces {
		t := &tree{assembly: assembly{p: p, s: s, opts: opts, pace: pace}}
		t.assembly.open()
		g.trees = append(g.trees, t)
	}
	return g
}

// tree is that of a pace with its root.
func (g *grove) tree(pace int) *tree {
	t := g.trees[pace]
	t.once.Do(func() { t.plant() })
	return t
}

// plant derives the limits of the pace, unless no motion meets the rate.
func (t *tree) plant() {
	a := &t.assembly
	n := len(a.p.axes)
	limits, ok := a.p.limitsAt(a.pace)
	if ok {
		a.asks, t.cycle = a.p.asks(limits)
	}
	if !ok || t.cycle > 1/a.p.Task.Task.Rate {
		t.tally.add(ByPace, "task.rate", a.combinations())
		return
	}
	first := chain{pace: a.pace, limits: limits, axes: a.placeholders(), alike: make([][]Drive, n), fit: a.p.roughFit(a.s, a.pace, limits)}
	t.root = t.branch(first, n-1)
}

// combinations is the number of all choices at the pace.
func (a *assembly) combinations() *big.Int {
	n := len(a.p.axes)
	return times(a.below[n-1], a.axisCombinations(n-1))
}

func (t *tree) branch(tail chain, next int) *branch {
	b := &branch{tail: tail, next: next}
	if next >= 0 {
		b.limbs = make([]limb, len(t.assembly.s.Axes[next].Parts))
	}
	return b
}

// grow adds the axis that is next with one of its parts.
func (t *tree) grow(b *branch, part int) []*branch {
	l := &b.limbs[part]
	l.once.Do(func() {
		a := t.assembly // with a tally of its own: others grow at the same time
		for _, k := range a.extend(&b.tail, b.next, a.s.Axes[b.next].Parts[part]) {
			to := t.branch(k, b.next-1)
			if to.next < 0 {
				to.joins = a.joinsOf(&k)
			}
			l.out = append(l.out, to)
		}
		l.why = a.tally
		t.mu.Lock()
		defer t.mu.Unlock()
		t.tally.join(a.tally)
		for _, to := range l.out {
			t.chains += to.sets()
		}
		l.grown = true
	})
	return l.out
}

// sets is how many sets of joins the chain may have; 0 while axes are missing.
func (b *branch) sets() int {
	if b.next >= 0 {
		return 0
	}
	n := 1
	for _, list := range b.joins {
		n *= len(list)
	}
	return n
}

// at finds the chain of a candidate, nil where a part does not pass or a drive
// or join does not exist.
func (g *grove) at(c candidate) *branch {
	t := g.tree(c.pace)
	b := t.root
	for i := len(g.p.axes) - 1; b != nil && i >= 0; i-- {
		out := t.grow(b, c.axes[i].part)
		if c.axes[i].drive >= len(out) {
			return nil
		}
		b = out[c.axes[i].drive]
	}
	if b == nil {
		return nil
	}
	for i, list := range b.joins {
		if c.axes[i].join >= len(list) {
			return nil
		}
	}
	return b
}

// chain is the chain of a candidate that exists.
func (g *grove) chain(c candidate) *chain {
	b := g.at(c)
	k := b.tail
	k.axes = slices.Clone(k.axes)
	for i, list := range b.joins {
		k.refit = k.refit || k.axes[i].Join != list[c.axes[i].join]
		k.axes[i].Join = list[c.axes[i].join]
	}
	return &k
}

// all lists every candidate, pace by pace, frame by frame within a chain.
func (g *grove) all() (out []candidate, err error) {
	lists := make([][]candidate, len(g.trees))
	err = inParallel(len(g.trees), func(pace int) {
		t := g.tree(pace)
		if t.root != nil {
			lists[pace] = g.below(t, t.root, candidate{pace: pace})
		}
	}, func(int) {})
	for _, list := range lists {
		out = append(out, list...)
	}
	return out, err
}

func (g *grove) below(t *tree, b *branch, c candidate) (out []candidate) {
	if b.next < 0 {
		return g.joined(b, c)
	}
	for part := range b.limbs {
		for d, to := range t.grow(b, part) {
			c.axes[b.next] = pick{part: part, drive: d}
			out = append(out, g.below(t, to, c)...)
		}
	}
	return out
}

// joined are the candidates of one chain.
func (g *grove) joined(b *branch, c candidate) (out []candidate) {
	list := []candidate{c}
	for i := range b.joins {
		var next []candidate
		for _, c := range list {
			for j := range b.joins[i] {
				c.axes[i].join = j
				next = append(next, c)
			}
		}
		list = next
	}
	for _, c := range list {
		for f := range g.s.Frames {
			c.frame = f
			out = append(out, c)
		}
	}
	return out
}

// tallied is what was discarded on the way, in the order of the paces.
func (g *grove) tallied() (out tally, chains int) {
	for _, t := range g.trees {
		out.join(t.tally)
		chains += t.chains
	}
	return out, chains
}

// open is how many combinations were neither discarded nor judged: judged counts
// the candidates of each chain that were.
func (g *grove) open(judged map[*branch]int) *big.Int {
	sum := new(big.Int)
	for _, t := range g.trees {
		switch {
		case t.root != nil:
			t.open(t.root, judged, sum)
		case len(t.tally.list) == 0: // nobody asked
			sum.Add(sum, t.assembly.combinations())
		}
	}
	return sum
}

func (t *tree) open(b *branch, judged map[*branch]int, sum *big.Int) {
	if b.next < 0 {
		sum.Add(sum, times(b.tail.count(), b.sets()*len(t.assembly.s.Frames)-judged[b]))
		return
	}
	for part := range b.limbs {
		l := &b.limbs[part]
		if !l.grown {
			sum.Add(sum, t.assembly.partCombinations(&b.tail, b.next, t.assembly.s.Axes[b.next].Parts[part]))
			continue
		}
		for _, to := range l.out {
			t.open(to, judged, sum)
		}
	}
}
