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

// Judge adds slip, preload, opening, screw, lips and thread of both screw
// groups, and the stress of the plate at the joint line.
func (g Gussets) Judge(d Demand, s *Sheet) error {
	if (g.Plates != 1 && g.Plates != 2) || !(g.Spacing > 0) || !(g.Edge > 0) || !d.isFinite() {
		return fmt.Errorf("%w: %d gusset plates %g m apart, screws %g m from the edge", given.ErrRefused, g.Plates, g.Spacing, g.Edge)
	}
	load := g.load(d)
	for i, group := range [...][]Point{g.Member, g.Host} {
		if err := g.judgeGroup([...]string{"gusset on the member", "gusset on the host"}[i], group, load, s); err != nil {
			return err
		}
	}
	return g.judgePlate(load, s)
}

func (g Gussets) judgeGroup(where string, group []Point, load plateLoad, s *Sheet) error {
	p, err := g.Screws.Screw.Preload()
	if err != nil {
		return err
	}
	worst, err := g.worstShear(group, load, s)
	if err != nil {
		return err
	}
	tension, err := g.tension(group, load)
	if err != nil {
		return err
	}
	err = s.slip(slipInput{
		where: where, shear: math.Hypot(worst.U, worst.V), twist: worst.Twist, ring: g.Ring, faces: 1,
		clamp: p.Least, pull: load.off / float64(len(group)), safety: g.Safety,
	})
	if err != nil {
		return err
	}
	return holding{
		where: where, screw: g.Screws.Screw, lip: g.Screws.Lip, hole: g.Screws.Hole, share: 1,
		tension: tension * Prying(g.Plate.Thickness, g.Screws.Screw.Thread.Diameter), safety: g.Safety,
	}.judge(s)
}

// worstShear tries both senses of the moment against the shear force, since the
// load carries magnitudes only.
func (g Gussets) worstShear(group []Point, load plateLoad, s *Sheet) (ShearShare, error) {
	var worst ShearShare
	for _, sense := range [...]float64{1, -1} {
		share, err := s.hardestSheared(group, Shear{U: load.n, V: load.v, Moment: sense * load.m}, g.Ring)
		if err != nil {
			return worst, err
		}
		if share.Total(g.Ring) > worst.Total(g.Ring) {
			worst = share
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
	var levers leverGroup
	for _, p := range group {
		if err := levers.take(far + edge - at(p)); err != nil {
			return 0, err
		}
	}
	net, most := Rocking{}.Net(moment, 0), 0.0
	for _, p := range group {
		most = math.Max(most, levers.tension(net, far+edge-at(p)))
	}
	return most, nil
}

func (g Gussets) judgePlate(load plateLoad, s *Sheet) error {
	if err := g.Plate.validate(); err != nil {
		return err
	}
	h, t := g.Plate.Width, g.Plate.Thickness
	out := load.out + load.off*g.Plate.Arm
	sigma := load.n/(h*t) + 6*load.m/(t*h*h) + 6*out/(h*t*t)
	tau := 1.5*load.v/(h*t) + 3*load.twist/(h*t*t)
	s.judged(Check{
		Mechanism: PlateBends, Number: "J11", Where: "gusset", Unit: "Pa",
		Demand: math.Sqrt(sigma*sigma + 3*tau*tau), Capacity: g.Plate.Yield / g.Safety.Yield,
		Formula: "U = S*sqrt((N/(h*t) + 6*M/(t*h^2) + 6*M_o/(h*t^2))^2 + 3*(1.5*V/(h*t) + 3*T_o/(h*t^2))^2)/R_p",
		Source:  "beam strip with von Mises stress, all largest values added; torsion of a thin strip 3 T/(h t²)",
	},
		Term{"S", "factor on yield", g.Safety.Yield, ""},
		Term{"N", "force along the member in one plate", load.n, "N"},
		Term{"V", "force across in one plate", load.v, "N"},
		Term{"M", "moment in the plane of the plate", load.m, "N m"},
		Term{"M_o", "moment out of the plane", out, "N m"},
		Term{"T_o", "torsion of the plate", load.twist, "N m"},
		Term{"h", "height of the plate at the joint line", h, "m"},
		Term{"t", "plate thickness", t, "m"},
		Term{"R_p", "0.2 % stress of the plate", g.Plate.Yield, "Pa"})
	return nil
}
