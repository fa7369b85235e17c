package nest

import (
	"math"
	"slices"
)

// cutSingle plans one stock length.
func (j Job) cutSingle(items []item, stock int) Plan {
	capacity := j.capacity(stock)
	greedy := firstFit(items, capacity)
	lp := newRelaxation(items, capacity)
	lp.solve()
	bound := max(volumeBound(items, capacity), pairBound(items, capacity), int(math.Ceil(lp.value-1e-6)))
	best := greedy
	if len(best) > bound {
		if rounded := lp.round(capacity, bound); rounded != nil && len(rounded) < len(best) {
			best = rounded
		}
	}
	if len(best) > bound && count(items) <= searchPieces {
		if exact := pack(items, capacity, bound, searchSteps); exact != nil {
			best = exact
		}
	}
	plan := Plan{Bound: bound * stock, Total: len(best) * stock, Proven: len(best) == bound, LP: lp.value, Greedy: len(greedy)}
	for _, p := range concentrate(best, items, capacity) {
		plan.Bars = append(plan.Bars, j.bar(stock, items, p))
	}
	if !plan.Proven && count(items) <= searchPieces {
		plan.Proven = refuted(items, capacity, len(best)-1)
		if plan.Proven {
			plan.Bound = plan.Total
		}
	}
	return plan
}

// Limits of the exact search: beyond them the gap is stated instead.
const (
	searchPieces = 80
	searchSteps  = 2_000_000
)

func count(items []item) int {
	n := 0
	for _, it := range items {
		n += it.demand
	}
	return n
}

// volumeBound is the total weight over the capacity, rounded up.
func volumeBound(items []item, capacity int) int {
	sum := 0
	for _, it := range items {
		sum += it.weight * it.demand
	}
	return (sum + capacity - 1) / capacity
}

// pairBound is the bound L2 of Martello and Toth: pieces over half a bar need a
// bar each, and what they leave takes only so much of the smaller ones.
//
// Source: Martello & Toth, Knapsack Problems, 1990, bin packing (from memory).
func pairBound(items []item, capacity int) int {
	best := 0
	for _, k := range append([]item{{weight: 0}}, items...) {
		if 2*k.weight > capacity {
			continue
		}
		alone, half, halfSum, small := 0, 0, 0, 0
		for _, it := range items {
			switch {
			case it.weight > capacity-k.weight:
				alone += it.demand
			case 2*it.weight > capacity:
				half += it.demand
				halfSum += it.demand * it.weight
			case it.weight >= k.weight:
				small += it.demand * it.weight
			}
		}
		rest := small - (half*capacity - halfSum)
		more := 0
		if rest > 0 {
			more = (rest + capacity - 1) / capacity
		}
		best = max(best, alone+half+more)
	}
	return best
}

// pack searches for a packing into a number of bars: the heaviest piece left
// always starts the next bar, patterns are maximal, and the waste of all bars
// together may not exceed what the number of bars allows. nil if none was found
// within the steps.
func pack(items []item, capacity, bars, steps int) []pattern {
	s := search{items: items, capacity: capacity, left: make([]int, len(items)), steps: steps}
	sum := 0
	for i, it := range items {
		s.left[i] = it.demand
		sum += it.demand * it.weight
	}
	if s.fill(bars*capacity - sum) {
		return s.bars
	}
	return nil
}

// refuted tells whether the search proves that a number of bars is too few.
func refuted(items []item, capacity, bars int) bool {
	s := search{items: items, capacity: capacity, left: make([]int, len(items)), steps: searchSteps}
	sum := 0
	for i, it := range items {
		s.left[i] = it.demand
		sum += it.demand * it.weight
	}
	if sum > bars*capacity {
		return true
	}
	return !s.fill(bars*capacity-sum) && s.steps > 0
}

// search is a depth-first search over bars.
type search struct {
	items    []item
	capacity int
	left     []int
	bars     []pattern
	steps    int
}

// fill packs what is left, wasting at most waste.
func (s *search) fill(waste int) bool {
	first := slices.IndexFunc(s.left, func(n int) bool { return n > 0 })
	if first < 0 {
		return true
	}
	if waste < 0 {
		return false
	}
	p := make(pattern, len(s.items))
	p[first]++
	s.left[first]--
	found := s.extend(p, first, s.capacity-s.items[first].weight, waste)
	if !found {
		s.left[first]++
	}
	return found
}

// extend adds items from index on to the open bar, most of the heaviest first.
func (s *search) extend(p pattern, from, room, waste int) bool {
	if s.steps--; s.steps <= 0 {
		return false
	}
	i := from
	for i < len(s.items) && (s.left[i] == 0 || s.items[i].weight > room) {
		i++
	}
	if i == len(s.items) {
		if room > waste || !s.maximal(room) {
			return false
		}
		s.bars = append(s.bars, slices.Clone(p))
		if s.fill(waste - room) {
			return true
		}
		s.bars = s.bars[:len(s.bars)-1]
		return false
	}
	most := min(s.left[i], room/s.items[i].weight)
	for n := most; n >= 0; n-- {
		p[i] += n
		s.left[i] -= n
		if s.extend(p, i+1, room-n*s.items[i].weight, waste) {
			return true
		}
		s.left[i] += n
		p[i] -= n
	}
	return false
}

// maximal tells whether nothing that is left would still fit the bar.
func (s *search) maximal(room int) bool {
	for i, n := range s.left {
		if n > 0 && s.items[i].weight <= room {
			return false
		}
	}
	return true
}

// concentrate orders bars by falling use and equal patterns together, so that
// the largest rest is one reusable offcut at the end.
func concentrate(bars []pattern, items []item, capacity int) []pattern {
	out := slices.Clone(bars)
	slices.SortStableFunc(out, func(a, b pattern) int {
		if d := b.weight(items) - a.weight(items); d != 0 {
			return d
		}
		return slices.Compare(b, a)
	})
	return out
}
