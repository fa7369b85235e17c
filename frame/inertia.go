package frame

import "slices"

// mass sums the mass of members and masses whose body is named, of everything if none is, kg.
func (g *grid) mass(bodies []string) float64 {
	chosen := func(body string) bool { return len(bodies) == 0 || slices.Contains(bodies, body) }
	sum := 0.0
	for i := range g.elements {
		if e := &g.elements[i]; chosen(g.model.Members[e.member].Body) {
			sum += e.mass * e.l
		}
	}
	for i := range g.lumps {
		if l := &g.lumps[i]; chosen(l.body) {
			sum += l.m
		}
	}
	return sum
}

// Mass returns the mass of all members and masses whose body is named, of everything if none is, kg.
func (s *System) Mass(bodies ...string) float64 { return s.grid.mass(bodies) }
