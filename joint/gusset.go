package joint

import (
	"fmt"
	"math"

	"spanwright/given"
)

// Gussets are flat plates on one or both y faces of member and host, in the x-z
// plane of the joint axes. The plate carries N, Vz and My in its plane by
// friction of a screw group on each side of the joint line.
//
//	two plates:  N_p = |N|/2 + |Mz|/b     V_p = |Vz|/2 + |T|/b     M_p = |My|/2
//	one plate:   N_p = |N|   V_p = |Vz|   M_p = |My|, and out of its plane
//	             M_o = |Mz| + |N| b/2     T_o = |T| + |Vz| b/2
//
// b is the distance between the plates, or twice the distance of the one plate
// from the member's axis. Contact of the member's end is not counted.
//
// Source: derived from equilibrium; screw groups by the elastic method.
type Gussets struct {
	Plates  int     // 1 or 2
	Spacing float64 // b, m
	Member  []Point // screws in the member about the joint centre, U along x (> 0), V along z, m
	Host    []Point // screws in the host, the same way
	Edge    float64 // from the outermost screws to the plate's edge, m
	Plate   Strip   // Thickness, Width = height of the plate at the joint line, Arm = free length between the groups
	Screws  Holder
	Ring    float64 // mean radius of a screw's own friction ring, m; 0: not counted
	Safety  Safety
}

// plateLoad is what the hardest-worked plate carries.
type plateLoad struct {
	n, v, m    float64 // in its plane at the joint centre
	out, twist float64 // moments out of its plane, N m
	off        float64 // force off the faces, N
}

func (g Gussets) load(d Demand) plateLoad {
	n, v, b := math.Abs(d.N), math.Abs(d.Vz), g.Spacing
	off := math.Abs(d.Vy) / float64(g.Plates)
	if g.Plates == 2 {
		return plateLoad{n: n/2 + math.Abs(d.Mz)/b, v: v/2 + math.Abs(d.T)/b, m: math.Abs(d.My) / 2, off: off}
	}
	return plateLoad{n: n, v: v, m: math.Abs(d.My), out: math.Abs(d.Mz) + n*b/2, twist: math.Abs(d.T) + v*b/2, off: off}
}

// Checks returns slip, preload, opening, screw, lips and thread of both screw
// groups, and the stress of the plate at the joint line.
func (g Gussets) Checks(d Demand) ([]Check, error) {
	if (g.Plates != 1 && g.Plates != 2) || !(g.Spacing > 0) || !(g.Edge > 0) || !d.isFinite() {
		return nil, fmt.Errorf("%w: %d gusset plates %g m apart, screws %g m from the edge", given.ErrRefused, g.Plates, g.Spacing, g.Edge)
	}
	load := g.load(d)
	var checks []Check
	for i, group := range [...][]Point{g.Member, g.Host} {
		more, err := g.groupChecks([...]string{"gusset on the member", "gusset on the host"}[i], group, load)
		if err != nil {
			return nil, err
		}
		checks = append(checks, more...)
	}
	plate, err := g.plate(load)
	return append(checks, plate), err
}

func (g Gussets) groupChecks(where string, group []Point, load plateLoad) ([]Check, error) {
	p, err := g.Screws.Screw.Preload()
	if err != nil {
		return nil, err
	}
	worst, err := g.worstShear(group, load)
	if err != nil {
		return nil, err
	}
	tension, err := g.tension(group, load)
	if err != nil {
		return nil, err
	}
	slip, err := slipCheck(slipInput{
		where: where, shear: math.Hypot(worst.U, worst.V), twist: worst.Twist, ring: g.Ring, faces: 1,
		clamp: p.Least, pull: load.off / float64(len(group)), safety: g.Safety,
	})
	if err != nil {
		return nil, err
	}
	checks, err := holding{
		where: where, screw: g.Screws.Screw, lip: g.Screws.Lip, hole: g.Screws.Hole, share: 1,
		tension: tension * Prying(g.Plate.Thickness, g.Screws.Screw.Thread.Diameter), safety: g.Safety,
	}.checks()
	return append([]Check{slip}, checks...), err
}

// worstShear tries both senses of the moment against the shear force, since the
// load carries magnitudes only.
func (g Gussets) worstShear(group []Point, load plateLoad) (ShearShare, error) {
	var worst ShearShare
	for _, sense := range [...]float64{1, -1} {
		shares, err := ShareShear(group, Shear{U: load.n, V: load.v, Moment: sense * load.m}, g.Ring)
		if err != nil {
			return worst, err
		}
		for _, s := range shares {
			if s.Total(g.Ring) > worst.Total(g.Ring) {
				worst = s
			}
		}
	}
	return worst, nil
}

// tension is the pull on the hardest-worked screw of a group when the plate
// peels about its edges.
func (g Gussets) tension(group []Point, load plateLoad) (float64, error) {
	along, err := peel(group, load.out+load.off*g.Plate.Arm, g.Edge, func(p Point) float64 { return p.U })
	if err != nil {
		return 0, err
	}
	across, err := peel(group, load.twist, g.Edge, func(p Point) float64 { return p.V })
	return load.off/float64(len(group)) + along + across, err
}

// peel is the largest tension of a group that rocks about a line one edge
// distance beyond its outermost screws.
func peel(group []Point, moment, edge float64, at func(Point) float64) (float64, error) {
	far := math.Inf(-1)
	for _, p := range group {
		far = math.Max(far, at(p))
	}
	r := Rocking{Levers: make([]float64, len(group))}
	for i, p := range group {
		r.Levers[i] = far + edge - at(p)
	}
	tensions, err := r.Tensions(moment, 0)
	most := 0.0
	for _, t := range tensions {
		most = math.Max(most, t)
	}
	return most, err
}

func (g Gussets) plate(load plateLoad) (Check, error) {
	if err := g.Plate.validate(); err != nil {
		return Check{}, err
	}
	h, t := g.Plate.Width, g.Plate.Thickness
	out := load.out + load.off*g.Plate.Arm
	sigma := load.n/(h*t) + 6*load.m/(t*h*h) + 6*out/(h*t*t)
	tau := 1.5*load.v/(h*t) + 3*load.twist/(h*t*t)
	return finish(Check{
		Mechanism: PlateBends, Number: "J11", Where: "gusset", Unit: "Pa",
		Demand: math.Sqrt(sigma*sigma + 3*tau*tau), Capacity: g.Plate.Yield / g.Safety.Yield,
		Formula: "U = S*sqrt((N/(h*t) + 6*M/(t*h^2) + 6*M_o/(h*t^2))^2 + 3*(1.5*V/(h*t) + 3*T_o/(h*t^2))^2)/R_p",
		Terms: []Term{
			{"S", "factor on yield", g.Safety.Yield, ""},
			{"N", "force along the member in one plate", load.n, "N"},
			{"V", "force across in one plate", load.v, "N"},
			{"M", "moment in the plane of the plate", load.m, "N m"},
			{"M_o", "moment out of the plane", out, "N m"},
			{"T_o", "torsion of the plate", load.twist, "N m"},
			{"h", "height of the plate at the joint line", h, "m"},
			{"t", "plate thickness", t, "m"},
			{"R_p", "0.2 % stress of the plate", g.Plate.Yield, "Pa"},
		},
		Source: "beam strip with von Mises stress, all largest values added; torsion of a thin strip 3 T/(h t²)",
	}), nil
}
