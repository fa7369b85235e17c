package nest

import (
	"errors"
	"testing"

	"pgregory.net/rapid"
)

func job(stock, kerf, start, end int, lengthsAndCounts ...int) Job {
	j := Job{Stock: []int{stock}, Kerf: kerf, Start: start, End: end}
	for i := 0; i < len(lengthsAndCounts); i += 2 {
		j.Pieces = append(j.Pieces, Piece{Length: lengthsAndCounts[i], Count: lengthsAndCounts[i+1]})
	}
	return j
}

// verify re-adds every bar and the whole demand.
func verify(t interface {
	Errorf(string, ...any)
}, j Job, p Plan) {
	cut := make([]int, len(j.Pieces))
	total := 0
	for _, b := range p.Bars {
		used := j.Start + j.End
		for i, k := range b.Pieces {
			cut[k]++
			used += j.Pieces[k].Length
			if i > 0 {
				used += j.Kerf
			}
		}
		if j.End > 0 && len(b.Pieces) > 0 {
			used += j.Kerf // the stub is parted off
		}
		if used > b.Stock {
			t.Errorf("a bar of %d holds %d", b.Stock, used)
		}
		total += b.Stock
	}
	for i, n := range cut {
		if n != j.Pieces[i].Count {
			t.Errorf("piece %d cut %d times, wanted %d", i, n, j.Pieces[i].Count)
		}
	}
	if total != p.Total || p.Total < p.Bound {
		t.Errorf("stock %d, plan says %d, bound %d", total, p.Total, p.Bound)
	}
}

// Optima proven elsewhere by an integer programme over all patterns; CS-06 and
// CS-07 are bin packing instances, CS-09 the paper-machine example of the
// encyclopaedia article on the cutting stock problem (from memory).
func TestKnownOptima(t *testing.T) {
	tests := map[string]struct {
		in   Job
		bars int
	}{
		"CS-01":                      {job(6000, 4, 10, 10, 2400, 4, 1800, 6, 1750, 4, 900, 8, 620, 10), 7},
		"CS-02":                      {job(6000, 3, 0, 0, 1997, 9, 2998, 2), 4},
		"CS-03 greedy needs 11":      {job(1000, 0, 0, 0, 510, 6, 270, 6, 260, 6, 230, 12), 9},
		"CS-04 kerf matters":         {job(3000, 4, 0, 0, 1000, 3, 1500, 2), 3},
		"CS-05":                      {job(6000, 3, 15, 25, 3150, 2, 2850, 4, 1420, 7, 980, 6, 455, 12, 310, 9), 8},
		"CS-06":                      {job(100, 0, 0, 0, 45, 97, 36, 610, 31, 395, 14, 211), 453},
		"CS-07":                      {job(188, 0, 0, 0, 34, 150, 42, 96, 45, 48, 48, 108, 59, 227), 161},
		"CS-08 unrestricted bound 2": {job(132, 0, 0, 0, 44, 2, 33, 3, 12, 6), 3},
		"CS-09 rounding needs 74": {job(5600, 0, 0, 0, 1380, 22, 1520, 25, 1560, 12, 1710, 14, 1820, 18, 1880, 18, 1930, 20,
			2000, 10, 2050, 12, 2100, 14, 2140, 16, 2150, 18, 2200, 20), 73},
		"nothing to cut": {job(6000, 3, 0, 0, 1000, 0), 0},
	}
	for name, tc := range tests {
		t.Run(name, func(t *testing.T) {
			p, err := Cut(tc.in)
			if err != nil {
				t.Fatal(err)
			}
			verify(t, tc.in, p)
			if len(p.Bars) != tc.bars || !p.Proven {
				t.Errorf("%d bars, proven %v; want %d, proven (bound %d, linear bound %.4f)", len(p.Bars), p.Proven, tc.bars, p.Bound/max(1, tc.in.Stock[0]), p.LP)
			}
		})
	}
}

func TestTwoStockLengths(t *testing.T) {
	j := job(6000, 4, 0, 0, 2780, 4, 3550, 4, 1280, 3, 1090, 1)
	j.Stock = []int{6000, 4000}
	p, err := Cut(j)
	if err != nil {
		t.Fatal(err)
	}
	verify(t, j, p)
	if p.Total != 34000 || !p.Proven {
		t.Errorf("%d of stock, proven %v; want 34000, proven", p.Total, p.Proven)
	}
}

func TestRefusals(t *testing.T) {
	if _, err := Cut(job(1000, 3, 5, 5, 995, 1)); !errors.Is(err, ErrTooLong) {
		t.Errorf("%v, want ErrTooLong", err)
	}
	for name, j := range map[string]Job{"no stock": {}, "no length": job(1000, 3, 0, 0, 0, 1), "count below zero": job(1000, 3, 0, 0, 10, -1)} {
		if _, err := Cut(j); !errors.Is(err, ErrNonsense) {
			t.Errorf("%s: %v, want ErrNonsense", name, err)
		}
	}
}

func TestPlansAreComplete(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j := Job{
			Stock: []int{rapid.IntRange(1000, 7000).Draw(t, "stock")}, Kerf: rapid.IntRange(0, 8).Draw(t, "kerf"),
			Start: rapid.IntRange(0, 20).Draw(t, "start"), End: rapid.IntRange(0, 20).Draw(t, "end"),
		}
		for range rapid.IntRange(1, 6).Draw(t, "kinds") {
			j.Pieces = append(j.Pieces, Piece{Length: rapid.IntRange(50, 950).Draw(t, "length"), Count: rapid.IntRange(0, 6).Draw(t, "count")})
		}
		p, err := Cut(j)
		if errors.Is(err, ErrTooLong) {
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		verify(t, j, p)
	})
}
