// Package nest cuts pieces from stock bars with the least number of bars, or
// the least length of stock, and says whether that is proven or by how much it
// could be better. It knows nothing of gantries.
//
// Lengths are whole units (tenths of a millimetre, as a rule). Between two
// pieces the saw takes a kerf; the bar's start is trimmed and a stub may be left
// at its end.
package nest

import (
	"errors"
	"fmt"
	"slices"
)

// Job is one kind of stock and what is to be cut from it.
type Job struct {
	Stock  []int // stock lengths, each without limit
	Start  int   // trimmed off the start of every bar, its kerf included
	End    int   // stub at the end that cannot be used
	Kerf   int
	Pieces []Piece
}

// Piece is a length that is needed a number of times.
type Piece struct {
	ID     string
	Length int
	Count  int
}

// Bar is one stock bar with what is cut from it.
type Bar struct {
	Stock  int
	Pieces []int // indices of Job.Pieces, in cutting order, longest first
	Rest   int   // what is left after the last cut
}

// Plan is a way to cut everything.
type Plan struct {
	Bars   []Bar
	Bound  int     // least stock length (one stock: bars times length) that any plan needs
	Total  int     // stock length of this plan
	Proven bool    // no plan needs less
	LP     float64 // linear bound in bars, one stock length only; 0 otherwise
	Greedy int     // bars of first-fit decreasing, for comparison; one stock length only
}

// ErrTooLong is returned, wrapped with the piece, for one that fits no bar.
var ErrTooLong = errors.New("longer than any stock bar")

// ErrNonsense is returned, wrapped, for lengths and counts that are no such.
var ErrNonsense = errors.New("not a cutting job")

// capacity is the room on a bar when every piece brings its kerf: the last one
// needs no cut if the bar ends with it.
func (j Job) capacity(stock int) int {
	c := stock - j.Start - j.End
	if j.End == 0 {
		c += j.Kerf
	}
	return c
}

func (j Job) check() error {
	if len(j.Stock) == 0 || j.Start < 0 || j.End < 0 || j.Kerf < 0 {
		return fmt.Errorf("%w: stock %v, trims %d and %d, kerf %d", ErrNonsense, j.Stock, j.Start, j.End, j.Kerf)
	}
	longest := slices.Max(j.Stock)
	for _, p := range j.Pieces {
		if p.Length <= 0 || p.Count < 0 {
			return fmt.Errorf("%w: %d pieces %s of length %d", ErrNonsense, p.Count, p.ID, p.Length)
		}
		if p.Length+j.Kerf > j.capacity(longest) {
			return fmt.Errorf("piece %s, %d: %w of %d", p.ID, p.Length, ErrTooLong, longest)
		}
	}
	return nil
}

// Cut plans the cuts.
//
// One stock length: least number of bars, by columns of a linear programme and
// an exact search of the rest. Several stock lengths: least stock length, by an
// exact search for up to a few dozen pieces, else the best single length.
func Cut(j Job) (Plan, error) {
	if err := j.check(); err != nil {
		return Plan{}, err
	}
	items := j.items()
	if len(items) == 0 {
		return Plan{Proven: true}, nil
	}
	if len(j.Stock) > 1 {
		return j.cutMixed(items), nil
	}
	return j.cutSingle(items, j.Stock[0]), nil
}

// item is a distinct weight (length with kerf) with its demand.
type item struct {
	piece  int
	weight int
	demand int
}

// items lists the pieces, heaviest first.
func (j Job) items() []item {
	var out []item
	for i, p := range j.Pieces {
		if p.Count > 0 {
			out = append(out, item{i, p.Length + j.Kerf, p.Count})
		}
	}
	slices.SortStableFunc(out, func(a, b item) int { return b.weight - a.weight })
	return out
}

// pattern is how many of each item one bar gives.
type pattern []int

func (p pattern) weight(items []item) int {
	sum := 0
	for i, n := range p {
		sum += n * items[i].weight
	}
	return sum
}

// bar writes a pattern as a bar.
func (j Job) bar(stock int, items []item, p pattern) Bar {
	b := Bar{Stock: stock, Rest: j.capacity(stock) - p.weight(items)}
	for i, n := range p {
		for range n {
			b.Pieces = append(b.Pieces, items[i].piece)
		}
	}
	return b
}

// firstFit is first-fit decreasing: quick, often good, never proven.
func firstFit(items []item, capacity int) []pattern {
	var bars []pattern
	var room []int
	for i, it := range items {
		for range it.demand {
			at := slices.IndexFunc(room, func(r int) bool { return r >= it.weight })
			if at < 0 {
				at = len(bars)
				bars, room = append(bars, make(pattern, len(items))), append(room, capacity)
			}
			bars[at][i]++
			room[at] -= it.weight
		}
	}
	return bars
}
