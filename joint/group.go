package joint

import (
	"fmt"
	"math"
	"slices"

	"spanwright/given"
)

// Point is a place in the plane of a screw group, m.
type Point struct{ U, V float64 }

// Shear is a load in the plane of a screw group.
type Shear struct {
	U, V   float64 // force at the origin of the points, N
	Moment float64 // about the normal U x V, N m
}

// ShearShare is what one screw carries of a shear load.
type ShearShare struct {
	U, V  float64 // N
	Twist float64 // own moment of the screw's friction ring, N m, unsigned
}

// Total is the friction force that the screw needs: the shear and the rim force
// of its own twist, added without regard to direction. It is +Inf where a twist
// meets no friction ring.
func (s ShearShare) Total(frictionRadius float64) float64 {
	f := math.Hypot(s.U, s.V)
	if s.Twist == 0 {
		return f
	}
	if frictionRadius == 0 {
		return math.Inf(1)
	}
	return f + s.Twist/frictionRadius
}

// ShareShear distributes a shear load over like screws by the elastic method:
// every screw takes the same part of the force and, of the moment about the
// group's centre, a part that grows with its distance r. A screw's own friction
// ring of mean radius r_f (m, 0: not counted) resists as a part at that distance.
//
//	F_i = V/n + M_c x r_i/(sum r² + n r_f²)      twist_i = M_c r_f²/(sum r² + n r_f²)
//
// With a single screw and r_f = 0 nothing resists the moment: the whole moment
// is then returned as twist.
//
// Source: elastic (vector) method, e.g. a common machine design text; the
// friction ring is derived.
func ShareShear(screws []Point, load Shear, frictionRadius float64) ([]ShearShare, error) {
	return shareShear(screws, load, frictionRadius, nil)
}

// shareShear is ShareShear in the memory of out.
func shareShear(screws []Point, load Shear, frictionRadius float64, out []ShearShare) ([]ShearShare, error) {
	if len(screws) == 0 || !(frictionRadius >= 0) {
		return nil, fmt.Errorf("%w: %d screws, friction radius %g m", given.ErrRefused, len(screws), frictionRadius)
	}
	n := float64(len(screws))
	c := centre(screws)
	moment := load.Moment - (c.U*load.V - c.V*load.U) // about the group's centre
	polar, ring := 0.0, n*frictionRadius*frictionRadius
	for _, p := range screws {
		polar += (p.U-c.U)*(p.U-c.U) + (p.V-c.V)*(p.V-c.V)
	}
	perRadius, twist := 0.0, 0.0
	switch {
	case polar+ring > 0:
		perRadius = moment / (polar + ring)
		twist = math.Abs(perRadius) * frictionRadius * frictionRadius
	default:
		twist = math.Abs(moment) / n
	}
	out = slices.Grow(out[:0], len(screws))
	for _, p := range screws {
		out = append(out, ShearShare{
			U:     load.U/n - perRadius*(p.V-c.V),
			V:     load.V/n + perRadius*(p.U-c.U),
			Twist: twist,
		})
	}
	return out, nil
}

// hardestSheared is the share of a shear load of the screw that needs most friction.
func (s *Sheet) hardestSheared(screws []Point, load Shear, ring float64) (ShearShare, error) {
	var err error
	if s.shares, err = shareShear(screws, load, ring, s.shares); err != nil {
		return ShearShare{}, err
	}
	worst := s.shares[0]
	for _, share := range s.shares[1:] {
		if share.Total(ring) > worst.Total(ring) {
			worst = share
		}
	}
	return worst, nil
}

func centre(points []Point) Point {
	var c Point
	for _, p := range points {
		c.U += p.U
		c.V += p.V
	}
	n := float64(len(points))
	return Point{c.U / n, c.V / n}
}

// Rocking is a group of screws that keeps a plate from rocking about its pressed edge.
type Rocking struct {
	Levers []float64 // distance of every screw from the pressed edge, m, >= 0
	Relief float64   // distance of the line of the pressing force from the edge, m
}

// Net is the moment left for the screws: the pressing force N (N, >= 0) takes
// the first N times its distance from the edge.
func (r Rocking) Net(moment, pressing float64) float64 {
	return math.Max(0, math.Abs(moment)-math.Max(0, pressing)*r.Relief)
}

// Tensions returns the tension of every screw: it grows with the distance from
// the pressed edge.
//
//	F_i = M_net z_i/sum z²,   M_net = |M| - N d
//
// A moment with no lever at all gives +Inf.
//
// Source: elastic screw group about the compression edge (a common machine
// design text; linear distribution as in EN 1993-1-8). Moving the edge inwards
// by half to one plate thickness is on the safe side.
func (r Rocking) Tensions(moment, pressing float64) ([]float64, error) {
	var g leverGroup
	for _, z := range r.Levers {
		if err := g.take(z); err != nil {
			return nil, err
		}
	}
	if len(r.Levers) == 0 || math.IsNaN(moment) || math.IsNaN(pressing) {
		return nil, fmt.Errorf("%w: %d screws under %g N m and %g N", given.ErrRefused, len(r.Levers), moment, pressing)
	}
	net := r.Net(moment, pressing)
	out := make([]float64, len(r.Levers))
	for i, z := range r.Levers {
		out[i] = g.tension(net, z)
	}
	return out, nil
}

// leverGroup is what the tension of a rocking group's screws depends on.
type leverGroup struct{ squares float64 } // sum of z², m²

// take counts a screw with its distance from the pressed edge, m.
func (g *leverGroup) take(z float64) error {
	if !(z >= 0) {
		return fmt.Errorf("%w: a screw lies %g m beyond the pressed edge", given.ErrRefused, -z)
	}
	g.squares += z * z
	return nil
}

// tension is that of a screw under the net moment of the group, N.
func (g leverGroup) tension(net, z float64) float64 {
	switch {
	case net == 0:
		return 0
	case g.squares == 0:
		return math.Inf(1)
	}
	return net * z / g.squares
}

// Prying is the factor on the tension of a screw that holds a thin plate: 1.3
// below a plate thickness of 1.2 screw diameters, else 1.
// Source: common practice, no source; EN 1993-1-8, 6.2.4 has the full T-stub method.
func Prying(plate, diameter float64) float64 {
	if plate < 1.2*diameter {
		return 1.3
	}
	return 1
}

// Grid returns nu x nv points at the given pitches, centred on the origin.
func Grid(nu, nv int, pitchU, pitchV float64) []Point {
	return grid(nu, nv, pitchU, pitchV, nil)
}

// grid is Grid behind the points of out.
func grid(nu, nv int, pitchU, pitchV float64, out []Point) []Point {
	for j := range nv {
		for i := range nu {
			out = append(out, Point{
				U: (float64(i) - float64(nu-1)/2) * pitchU,
				V: (float64(j) - float64(nv-1)/2) * pitchV,
			})
		}
	}
	return out
}
