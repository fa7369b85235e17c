package nest

import "slices"

// cutMixed plans several stock lengths for the least stock length: the best
// single one first, then a search for anything shorter.
func (j Job) cutMixed(items []item) Plan {
	stocks := slices.Clone(j.Stock)
	slices.Sort(stocks)
	slices.Reverse(stocks)
	best := Plan{Total: -1}
	for _, s := range stocks {
		if items[0].weight > j.capacity(s) {
			continue
		}
		if p := j.cutSingle(items, s); best.Total < 0 || p.Total < best.Total {
			best = p
		}
	}
	best.LP, best.Greedy, best.Proven = 0, 0, false
	best.Bound = j.mixedBound(items)
	if count(items) > searchPieces {
		best.Proven = best.Total == best.Bound
		return best
	}
	s := mixed{job: j, items: items, stocks: stocks, left: make([]int, len(items)), steps: searchSteps, best: best.Total}
	for i, it := range items {
		s.left[i] = it.demand
		s.need += it.demand * it.weight
	}
	s.fill(0)
	if s.found != nil {
		best.Bars, best.Total = s.found, s.best
	}
	if s.steps > 0 {
		best.Proven, best.Bound = true, best.Total
	}
	return best
}

// mixedBound is the stock length that the weight alone needs, at the best ratio
// of stock to room.
func (j Job) mixedBound(items []item) int {
	sum := 0
	for _, it := range items {
		sum += it.demand * it.weight
	}
	least := 0
	for i, s := range j.Stock {
		if need := sum * s / j.capacity(s); i == 0 || need < least {
			least = need
		}
	}
	return least
}

// mixed is a depth-first search over bars of several lengths.
type mixed struct {
	job    Job
	items  []item
	stocks []int
	left   []int
	need   int // weight that is left
	open   []Bar
	found  []Bar
	best   int
	steps  int
}

func (s *mixed) fill(used int) {
	first := slices.IndexFunc(s.left, func(n int) bool { return n > 0 })
	if first < 0 {
		if used < s.best {
			s.best, s.found = used, slices.Clone(s.open)
		}
		return
	}
	for _, stock := range s.stocks {
		capacity := s.job.capacity(stock)
		if s.items[first].weight > capacity || used+stock >= s.best {
			continue
		}
		if used+s.least() >= s.best {
			return
		}
		p := make(pattern, len(s.items))
		p[first]++
		s.left[first]--
		s.need -= s.items[first].weight
		s.extend(p, first, stock, capacity-s.items[first].weight, used)
		s.need += s.items[first].weight
		s.left[first]++
	}
}

// least is the stock length that the weight left needs at least.
func (s *mixed) least() int {
	least := 0
	for i, stock := range s.stocks {
		if need := s.need * stock / s.job.capacity(stock); i == 0 || need < least {
			least = need
		}
	}
	return least
}

func (s *mixed) extend(p pattern, from, stock, room, used int) {
	if s.steps--; s.steps <= 0 {
		return
	}
	i := from
	for i < len(s.items) && (s.left[i] == 0 || s.items[i].weight > room) {
		i++
	}
	if i == len(s.items) {
		s.open = append(s.open, s.job.bar(stock, s.items, p))
		s.fill(used + stock)
		s.open = s.open[:len(s.open)-1]
		return
	}
	w := s.items[i].weight
	for n := min(s.left[i], room/w); n >= 0; n-- {
		p[i] += n
		s.left[i] -= n
		s.need -= n * w
		s.extend(p, i+1, stock, room-n*w, used)
		s.need += n * w
		s.left[i] += n
		p[i] -= n
	}
}
