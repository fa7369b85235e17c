package fe

import "slices"

// graph is the adjacency of unknowns: those next to i are list[start[i]:start[i+1]].
// A neighbour may be listed more than once.
type graph struct {
	start []int32
	list  []int32
}

// leaf is the number of unknowns below which dissection stops; smaller
// leaves no longer change the fill.
const leaf = 16

// dissect orders unknowns for little fill: it cuts the set at the median of
// one coordinate, puts the unknowns along the cut last, and goes on with
// both halves. The walls of a cross-section are cut across, so that the cuts
// are short. Unknowns at and after tail go to the very end.
//
// order[k] is the unknown in place k.
//
// Source: nested dissection, George, SIAM J. Numerical Analysis 10 (1973) 345
// (reference from memory), with cuts by coordinates.
func dissect(g graph, at [][2]float64, tail int) []int32 {
	n := len(at)
	order := make([]int32, n)
	set := make([]int32, tail)
	for i := range set {
		set[i] = int32(i)
	}
	for i := tail; i < n; i++ {
		order[i] = int32(i)
	}
	d := dissection{graph: g, at: at, half: make([]int8, n), order: order}
	for i := range d.half {
		d.half[i] = away
	}
	d.run(set, 0)
	return order
}

const (
	away  = int8(iota) // not in the set at hand
	left               // one half
	right              // other half
)

type dissection struct {
	graph
	at    [][2]float64
	half  []int8
	order []int32
}

// run orders set into the places from first on.
func (d *dissection) run(set []int32, first int) {
	if len(set) <= leaf {
		slices.Sort(set)
		copy(d.order[first:], set)
		return
	}
	middle := len(set) / 2
	axis := d.longerSide(set)
	// A cut along a thin wall instead of across it would be as long as the wall;
	// 4 sqrt(n) is well above what a compact region needs.
	if n := d.halve(set, middle, axis); n*n > 16*len(set) && d.halve(set, middle, 1-axis) > n {
		d.halve(set, middle, axis)
	}
	cut := make([]int32, 0, 32)
	low := set[:0]
	for _, i := range set[:middle] {
		if d.touches(i, right) {
			cut = append(cut, i)
		} else {
			low = append(low, i)
		}
	}
	high := set[middle:]
	for _, list := range [][]int32{low, cut, high} {
		for _, i := range list {
			d.half[i] = away
		}
	}
	copy(d.order[first+len(low)+len(high):], cut)
	d.run(low, first)
	d.run(high, first+len(low))
}

// halve marks the halves of set along axis and returns the length of the cut.
func (d *dissection) halve(set []int32, middle, axis int) int {
	d.selectMedian(set, middle, axis)
	for k, i := range set {
		d.half[i] = right
		if k < middle {
			d.half[i] = left
		}
	}
	n := 0
	for _, i := range set[:middle] {
		if d.touches(i, right) {
			n++
		}
	}
	return n
}

func (d *dissection) touches(i int32, half int8) bool {
	for _, j := range d.list[d.start[i]:d.start[i+1]] {
		if d.half[j] == half {
			return true
		}
	}
	return false
}

func (d *dissection) longerSide(set []int32) int {
	lo, hi := d.at[set[0]], d.at[set[0]]
	for _, i := range set {
		for k := range lo {
			lo[k], hi[k] = min(lo[k], d.at[i][k]), max(hi[k], d.at[i][k])
		}
	}
	if hi[0]-lo[0] >= hi[1]-lo[1] {
		return 0
	}
	return 1
}

// selectMedian rearranges set so that the k smallest along axis come first
// (Hoare's selection; the middle element as pivot keeps it deterministic).
func (d *dissection) selectMedian(set []int32, k, axis int) {
	less := func(a, b int32) bool {
		if d.at[a][axis] != d.at[b][axis] {
			return d.at[a][axis] < d.at[b][axis]
		}
		return a < b
	}
	lo, hi := 0, len(set)-1
	for lo < hi {
		pivot := set[(lo+hi)/2]
		i, j := lo, hi
		for i <= j {
			for less(set[i], pivot) {
				i++
			}
			for less(pivot, set[j]) {
				j--
			}
			if i <= j {
				set[i], set[j] = set[j], set[i]
				i, j = i+1, j-1
			}
		}
		switch {
		case k <= j:
			hi = j
		case k >= i:
			lo = i
		default:
			return
		}
	}
}
