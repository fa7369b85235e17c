package search

import (
	"cmp"
	"slices"
)

// prices are the orders of what has a price, the cheapest first, by its place in
// the space.
type prices struct {
	frames []int
	parts  [][]int // by axis
}

func (p *Problem) prices(s *Space) *prices {
	out := &prices{frames: byPrice(len(s.Frames), func(k int) float64 { return p.framePrice(s.Frames[k]) })}
	for i, x := range s.Axes {
		out.parts = append(out.parts, byPrice(len(x.Parts), func(k int) float64 { return p.axisPrice(i, x.Parts[k]) }))
	}
	return out
}

func byPrice(n int, price func(int) float64) []int {
	out := make([]int, n)
	for k := range out {
		out[k] = k
	}
	slices.SortStableFunc(out, func(x, y int) int { return cmp.Compare(price(x), price(y)) })
	return out
}

// axisPrice is that of an axis part over the travel, without its ends.
func (p *Problem) axisPrice(i int, id string) float64 {
	part, ok := p.Catalogue.Axis(id)
	if !ok {
		return 0
	}
	return part.Cost + part.CostPerM*p.axes[i].travel
}

// framePrice is that of a metre of each of its profiles for every leg, and of its feet.
func (p *Problem) framePrice(f Frame) float64 {
	sum := 0.0
	for _, id := range []string{f.Leg, f.TopRail, f.CrossRail, f.BottomRail, f.FootRail, f.Brace} {
		if profile, ok := p.Catalogue.Profile(id); ok {
			sum += profile.CostPerM
		}
	}
	if foot, ok := p.Catalogue.Foot(f.Foot); ok {
		sum += foot.Cost
	}
	return sum * float64(f.Legs)
}

// nearest is an order by how near a place stands to one in it, the cheaper side first.
func nearest(order []int, place int) (out []int) {
	at := slices.Index(order, place)
	for d := 1; d < len(order); d++ {
		for _, k := range []int{at - d, at + d} {
			if k >= 0 && k < len(order) {
				out = append(out, order[k])
			}
		}
	}
	return out
}
