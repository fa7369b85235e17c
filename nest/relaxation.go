package nest

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// relaxation is the linear programme of cutting patterns: min sum x_p with
// sum a_ip x_p >= d_i over proper patterns (a_ip <= d_i), solved by adding
// columns.
//
// Source: Gilmore & Gomory, Operations Research 9 (1961) 849 (from memory).
type relaxation struct {
	items    []item
	capacity int
	columns  []pattern // the basis, one column an item
	x        []float64
	value    float64
}

func newRelaxation(items []item, capacity int) *relaxation {
	r := &relaxation{items: items, capacity: capacity}
	for i, it := range items {
		p := make(pattern, len(items))
		p[i] = min(it.demand, capacity/it.weight)
		r.columns = append(r.columns, p)
	}
	return r
}

// solve runs the revised simplex method until no pattern is worth more than a bar.
func (r *relaxation) solve() {
	m := len(r.items)
	const most = 5000 // pivots; a few hundred are usual
	for range most {
		basis := mat.NewDense(m, m, nil)
		for c, p := range r.columns {
			for i, n := range p {
				basis.Set(i, c, float64(n))
			}
		}
		var inverse mat.Dense
		if inverse.Inverse(basis) != nil {
			break
		}
		r.x = make([]float64, m)
		duals := make([]float64, m)
		for c := range m {
			for i, it := range r.items {
				r.x[c] += inverse.At(c, i) * float64(it.demand)
				duals[i] += inverse.At(c, i)
			}
		}
		enter := r.price(duals)
		if enter == nil {
			break
		}
		leave, least := -1, math.Inf(1)
		for c := range m {
			step := 0.0
			for i, n := range enter {
				step += inverse.At(c, i) * float64(n)
			}
			if step > 1e-9 && r.x[c]/step < least-1e-12 {
				leave, least = c, r.x[c]/step
			}
		}
		if leave < 0 {
			break
		}
		r.columns[leave] = enter
	}
	r.value = 0
	for _, x := range r.x {
		r.value += x
	}
}

// price finds the proper pattern with the largest dual value by branch and
// bound over items in order of value per weight; nil if none is worth more than
// a bar.
func (r *relaxation) price(duals []float64) pattern {
	order := make([]int, 0, len(r.items))
	for i := range r.items {
		if duals[i] > 1e-12 {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int {
		x, y := duals[a]/float64(r.items[a].weight), duals[b]/float64(r.items[b].weight)
		switch {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return 0
	})
	best, bestValue := pattern(nil), 1+1e-9
	p := make(pattern, len(r.items))
	var dive func(k, room int, value float64)
	dive = func(k, room int, value float64) {
		if value > bestValue {
			best, bestValue = slices.Clone(p), value
		}
		if k == len(order) {
			return
		}
		i := order[k]
		it := r.items[i]
		if value+duals[i]/float64(it.weight)*float64(room) <= bestValue {
			return
		}
		for n := min(it.demand, room/it.weight); n >= 0; n-- {
			p[i] = n
			dive(k+1, room-n*it.weight, value+float64(n)*duals[i])
		}
		p[i] = 0
	}
	dive(0, r.capacity, 0)
	return best
}

// round takes the whole parts of the linear solution and searches the rest for
// what the bound leaves; where that fails, it gives back whole bars one at a
// time and searches again. nil if nothing better than greedy came of it.
func (r *relaxation) round(capacity, bound int) []pattern {
	var bars []pattern
	rest := slices.Clone(r.items)
	for c, p := range r.columns {
		for range int(math.Floor(r.x[c] + 1e-9)) {
			if !covers(rest, p) {
				break
			}
			take(rest, p, -1)
			bars = append(bars, p)
		}
	}
	for given := 0; ; given++ {
		left := remaining(rest)
		if tail := pack(left, capacity, bound-len(bars), searchSteps/8); tail != nil {
			return append(bars, spread(tail, left, rest)...)
		}
		if given == 8 || len(bars) == 0 {
			break
		}
		last := bars[len(bars)-1]
		take(rest, last, 1)
		bars = bars[:len(bars)-1]
	}
	left := remaining(rest)
	return append(bars, spread(firstFit(left, capacity), left, rest)...)
}

// covers tells whether every piece of a pattern is still needed.
func covers(items []item, p pattern) bool {
	for i, n := range p {
		if n > items[i].demand {
			return false
		}
	}
	return true
}

func take(items []item, p pattern, sign int) {
	for i, n := range p {
		items[i].demand += sign * n
	}
}

// remaining drops items that are no longer needed.
func remaining(items []item) []item {
	return slices.DeleteFunc(slices.Clone(items), func(it item) bool { return it.demand == 0 })
}

// spread writes patterns over some items as patterns over all.
func spread(bars []pattern, some, all []item) []pattern {
	at := map[int]int{}
	for i, it := range all {
		at[it.piece] = i
	}
	var out []pattern
	for _, b := range bars {
		p := make(pattern, len(all))
		for i, n := range b {
			p[at[some[i].piece]] = n
		}
		out = append(out, p)
	}
	return out
}
