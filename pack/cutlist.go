package pack

import (
	"fmt"
	"math"

	"spanwright/machine"
	"spanwright/nest"
)

// Cut is one row of the cut list: a piece of profile to be sawn.
type Cut struct {
	ID      string // of the bar in the machine
	Item    int    // in the parts list
	Profile string
	Length  float64 // m
	Ends    [2]string
	Bar     int     // stock bar of its profile, counted from 1
	At      float64 // from the start of the bar, m
	Rep     bool
}

// Nesting is how the pieces of one profile are cut from stock.
type Nesting struct {
	Profile string
	Stock   []float64 // lengths to be had, m
	Plan    nest.Plan
	Names   []string // of the pieces, as the plan counts them
	Lengths []int    // their lengths in tenths of a millimetre
	Job     nest.Job
	Missing string // why there is no plan
}

// Sawing: common practice, no source.
const (
	kerf     = 40   // tenths of a millimetre: a circular saw
	trim     = 100  // start of a stock bar
	reusable = 3000 // shortest offcut worth keeping
)

// Yield is the length of the pieces over the length of the stock.
func (n Nesting) Yield() float64 {
	if n.Plan.Total == 0 {
		return math.NaN()
	}
	sum := 0
	for _, b := range n.Plan.Bars {
		for _, p := range b.Pieces {
			sum += n.Lengths[p]
		}
	}
	return float64(sum) / float64(n.Plan.Total)
}

// CutList lists the pieces of profile to be sawn and nests them on stock bars.
func CutList(m *machine.Machine, rows []Row) ([]Cut, []Nesting, error) {
	item := map[string]int{}
	for _, r := range rows {
		if r.Kind == "profile" {
			for _, id := range r.UsedIn {
				item[id] = r.Item
			}
		}
	}
	var cuts []Cut
	var order []string
	by := map[string][]int{}
	for _, b := range m.Bars() {
		at, listed := item[b.ID]
		if !listed {
			continue
		}
		if by[b.Profile.ID] == nil {
			order = append(order, b.Profile.ID)
		}
		by[b.Profile.ID] = append(by[b.Profile.ID], len(cuts))
		cuts = append(cuts, Cut{ID: b.ID, Item: at, Profile: b.Profile.ID, Length: b.Length(), Ends: [2]string{endOf(b, 0), endOf(b, 1)}, Rep: b.Profile.Representative})
	}
	var nestings []Nesting
	for _, id := range order {
		n, err := nestProfile(m, id, cuts, by[id])
		if err != nil {
			return nil, nil, err
		}
		nestings = append(nestings, n)
	}
	return cuts, nestings, nil
}

// endOf says how an end is worked.
func endOf(b machine.Bar, end int) string {
	j := b.Joints[end]
	switch {
	case j == nil || j.Part == nil:
		return "square"
	case b.Role == machine.Brace:
		return "mitre 45°, for " + j.Part.ID
	case j.Part.Family == "core screw":
		return "square, core tapped " + j.Part.Screw
	}
	return "square, for " + j.Part.ID
}

func nestProfile(m *machine.Machine, id string, cuts []Cut, own []int) (Nesting, error) {
	var stock []float64
	for _, mem := range m.Members {
		if mem.Profile.ID == id {
			stock = mem.Profile.Stock
		}
	}
	n := Nesting{Profile: id, Stock: stock}
	if len(stock) == 0 {
		n.Missing = "the part data give no stock length"
		return n, nil
	}
	job := nest.Job{Start: trim, Kerf: kerf}
	for _, s := range stock {
		job.Stock = append(job.Stock, tenths(s))
	}
	for _, i := range own {
		job.Pieces = append(job.Pieces, nest.Piece{ID: cuts[i].ID, Length: tenths(cuts[i].Length), Count: 1})
		n.Names, n.Lengths = append(n.Names, cuts[i].ID), append(n.Lengths, tenths(cuts[i].Length))
	}
	n.Job = job
	plan, err := nest.Cut(job)
	if err != nil {
		n.Missing = err.Error()
		return n, nil
	}
	n.Plan = plan
	for b, bar := range plan.Bars {
		at := trim
		for _, p := range bar.Pieces {
			c := &cuts[own[p]]
			c.Bar, c.At = b+1, float64(at)/1e4
			at += n.Lengths[p] + kerf
		}
	}
	return n, n.recount(len(own))
}

// recount adds up the plan again: every piece once, no bar over its length.
func (n Nesting) recount(pieces int) error {
	seen := make([]bool, pieces)
	for i, b := range n.Plan.Bars {
		used := trim
		for k, p := range b.Pieces {
			if seen[p] {
				return fmt.Errorf("%s: piece %s is cut twice", n.Profile, n.Names[p])
			}
			seen[p] = true
			used += n.Lengths[p]
			if k > 0 {
				used += kerf
			}
		}
		if used > b.Stock {
			return fmt.Errorf("%s: bar %d of %d holds %d", n.Profile, i+1, b.Stock, used)
		}
	}
	for p, cut := range seen {
		if !cut {
			return fmt.Errorf("%s: piece %s is not cut", n.Profile, n.Names[p])
		}
	}
	return nil
}

func tenths(metres float64) int { return int(math.Round(metres * 1e4)) }
