package joint

import (
	"fmt"
	"math"

	"spanwright/given"
)

// Leg is one leg of an angle bracket.
type Leg struct {
	Length        float64 // from the corner to the toe, m
	ScrewDistance float64 // from the corner to the screw line, m
	Screws        []Point // places in the leg about the screw line's middle, U along the member (host leg: along z), V along y, m
	Screw         Screw
	Lip           *Lip
	Hole          *TappedHole
}

// Side says on which z face of the member a bracket sits.
type Side int8

// The sides.
const (
	PlusZ  Side = 1
	MinusZ Side = -1
)

// Brackets joins a member to a host by one or two like angle brackets in the
// inside corners above and below it, in the x-z plane of the joint axes.
//
// The bracket is a rigid angle. What opens its corner is pulled along the
// member leg by friction and held by the host leg's screws, which the toe pries:
//
//	F_x = |M|/a on the side that opens      F_h = F_x L/(L - e)
//
// A single bracket on the pressed side has to carry the moment itself:
//
//	F = |M|/(L - e) on the screws of both legs
//
// A pull N adds F_x = N/n and, with one bracket, the moment N a/2. A shear Vz
// goes through contact or screws of the member leg and by friction of the host
// leg; Vy by friction of both legs; T and Mz by the friction rings, the widths
// of the legs and, with two brackets, as a couple. The member's own end contact
// carries pushes.
//
// Source: derived from equilibrium of a rigid angle, on the safe side.
type Brackets struct {
	At       []Side  // where they sit: one or both sides
	Depth    float64 // a: depth of the member between the bracket faces, m
	Width    float64 // of a leg, m
	Host     Leg
	Member   Leg
	Ring     float64 // mean radius of a screw's own friction ring, m; 0: not counted
	Modulus  float64 // section modulus of a leg across the screw line, m³; 0: not known
	Yield    float64 // 0.2 % stress of the bracket, Pa
	Friction int     // friction faces of a leg, usually 1
	Safety   Safety
}

func (b Brackets) validate() error {
	sides := len(b.At) == 1 && (b.At[0] == PlusZ || b.At[0] == MinusZ) ||
		len(b.At) == 2 && b.At[0] == -b.At[1] && (b.At[0] == PlusZ || b.At[0] == MinusZ)
	if !sides || !(b.Depth > 0) || !(b.Width > 0) || !(b.Ring >= 0) || !(b.Modulus >= 0) || b.Friction < 1 {
		return fmt.Errorf("%w: brackets on %v, member depth %g m, bracket width %g m, friction faces %d", given.ErrRefused,
			b.At, b.Depth, b.Width, b.Friction)
	}
	for _, l := range [...]Leg{b.Host, b.Member} {
		if !(l.ScrewDistance > 0) || !(l.Length > l.ScrewDistance) || len(l.Screws) == 0 {
			return fmt.Errorf("%w: bracket leg of %g m with %d screws at %g m from the corner", given.ErrRefused,
				l.Length, len(l.Screws), l.ScrewDistance)
		}
	}
	return nil
}

// legLoad is what the worst bracket puts on one leg.
type legLoad struct {
	tension  float64 // off the face, all screws of the leg, N
	along    float64 // along the leg in the bracket plane, N
	across   float64 // along y, N
	twist    float64 // about the leg's normal, N m
	bending  float64 // of the leg at its screw line, N m
	external float64 // part of the tension that relieves friction, N
}

// loads returns the loads of the hardest-worked bracket, host leg and member
// leg. Every part takes its largest value over the brackets; they are combined
// as if they fell on the same one.
func (b Brackets) loads(d Demand) (host, member legLoad) {
	n := float64(len(b.At))
	pull := math.Max(0, d.N)
	my := d.My
	if len(b.At) == 1 {
		my -= float64(b.At[0]) * pull * b.Depth / 2
	}
	opens := PlusZ
	if my < 0 {
		opens = MinusZ
	}
	corner := pull / n // force along x that opens the corner
	if b.has(opens) {
		corner += math.Abs(my) / b.Depth
	} else {
		m := math.Abs(my)
		host.tension += m / (b.Host.Length - b.Host.ScrewDistance)
		member.tension += m / (b.Member.Length - b.Member.ScrewDistance)
		host.bending, member.bending = m, m
	}
	e, l := b.Host.ScrewDistance, b.Host.Length
	host.tension += corner * l / (l - e)
	host.external = corner
	host.bending += corner * e
	member.along = corner

	shear := math.Abs(d.Vz) / n
	host.along = shear
	member.tension += shear // when it points away from the bracket
	member.external = shear
	rock := shear * b.Member.ScrewDistance
	host.tension += rock / math.Min(e, l-e)
	host.bending += rock

	side := math.Abs(d.Vy) / n
	if len(b.At) == 2 {
		side += math.Abs(d.T) / b.Depth
	} else {
		host.twist = math.Abs(d.T)
		member.tension += math.Abs(d.T) / (b.Width / 2)
	}
	host.across, member.across = side, side

	yaw := math.Abs(d.Mz) / n
	host.tension += yaw / (b.Width / 2)
	member.twist = yaw
	return host, member
}

func (b Brackets) has(s Side) bool {
	for _, at := range b.At {
		if at == s {
			return true
		}
	}
	return false
}

// Judge adds slip, preload, opening, screw, lips and thread of both legs, and
// the bending of the bracket.
func (b Brackets) Judge(d Demand, s *Sheet) error {
	if err := b.validate(); err != nil {
		return err
	}
	if !d.isFinite() {
		return fmt.Errorf("%w: demand %+v", given.ErrRefused, d)
	}
	host, member := b.loads(d)
	if err := b.judgeLeg("host leg", b.Host, host, s); err != nil {
		return err
	}
	if err := b.judgeLeg("member leg", b.Member, member, s); err != nil {
		return err
	}
	b.judgeBending(math.Max(host.bending, member.bending), s)
	return nil
}

func (b Brackets) judgeLeg(where string, leg Leg, load legLoad, s *Sheet) error {
	p, err := leg.Screw.Preload()
	if err != nil {
		return err
	}
	worst, err := s.hardestSheared(leg.Screws, Shear{U: load.along, V: load.across, Moment: load.twist}, b.Ring)
	if err != nil {
		return err
	}
	n := float64(len(leg.Screws))
	err = s.slip(slipInput{
		where: where, shear: math.Hypot(worst.U, worst.V), twist: worst.Twist, ring: b.Ring,
		faces: b.Friction, clamp: p.Least, pull: load.external / n, safety: b.Safety,
	})
	if err != nil {
		return err
	}
	return holding{
		where: where, screw: leg.Screw, lip: leg.Lip, hole: leg.Hole, share: 1,
		tension: load.tension / n, safety: b.Safety,
	}.judge(s)
}

func (b Brackets) judgeBending(moment float64, s *Sheet) {
	c := Check{
		Mechanism: PlateBends, Number: "J10", Where: "bracket", Unit: "N m", Demand: moment,
		Formula: "U = S*M/(W*R_p)",
		Source:  "rigid angle, derived; factor: common practice, no source",
	}
	terms := [...]Term{
		{"S", "factor on yield", b.Safety.Yield, ""},
		{"M", "bending moment of the leg at its screw line", moment, "N m"},
		{"W", "section modulus of a leg", b.Modulus, "m³"},
		{"R_p", "0.2 % stress of the bracket", b.Yield, "Pa"},
	}
	if !(b.Modulus > 0) || !(b.Yield > 0) {
		s.add(unknown(c, "section modulus and 0.2 % stress of the bracket's leg"), terms[:2]...)
		return
	}
	c.Capacity = b.Modulus * b.Yield / b.Safety.Yield
	s.judged(c, terms[:]...)
}

// OuterStrap is a flat plate over the outside of a corner where the host ends
// flush with the member: it ties the outer faces of both by friction. It holds
// a moment that opens its side; one that presses its side only bends it.
type OuterStrap struct {
	At     Side      // the z face of the member that it lies on
	Depth  float64   // of the member, m
	Member []Point   // screws in the member about their middle, U along x, V along y, m
	Host   []Point   // screws in the host, the same way
	Gap    float64   // between the nearest screws of both groups, m
	Toe    float64   // from the middle of a screw group to the strap's end, m
	Strip  Strip     // section of the strap
	Screws [2]Holder // in the member, in the host
	Ring   float64   // mean radius of a screw's own friction ring, m
	Safety Safety
}

// Holder is a screw with what it ends in.
type Holder struct {
	Screw Screw
	Lip   *Lip
	Hole  *TappedHole
}

// Judge adds slip of both ends, the screws, and the bending of the strap.
//
//	F_x = max(0, M_open)/a + max(0, N)      M_strap = M_press + |Vz| gap      F_peel = M_strap/toe
//
// Source: derived from equilibrium, on the safe side: the member's end contact
// carries pushes only.
func (o OuterStrap) Judge(d Demand, s *Sheet) error {
	if (o.At != PlusZ && o.At != MinusZ) || !(o.Depth > 0) || !(o.Gap >= 0) || !(o.Toe > 0) || !d.isFinite() {
		return fmt.Errorf("%w: strap on side %d of a member %g m deep, gap %g m, end distance %g m", given.ErrRefused,
			o.At, o.Depth, o.Gap, o.Toe)
	}
	pull := math.Max(0, d.N)
	// The pull acts at the axis, the strap half a depth away: it presses the strap's side.
	opening := float64(o.At)*d.My - pull*o.Depth/2
	tie := pull + math.Max(0, opening)/o.Depth
	bend := math.Max(0, -opening) + math.Abs(d.Vz)*o.Gap
	twist := math.Abs(d.Mz) + math.Abs(d.Vy)*o.Gap/2
	peel := math.Abs(d.Vz) + math.Abs(d.T)/(o.Strip.Width/2) + bend/o.Toe
	for i, group := range [...][]Point{o.Member, o.Host} {
		where := [...]string{"strap on the member", "strap on the host"}[i]
		leg := Leg{Screws: group, Screw: o.Screws[i].Screw, Lip: o.Screws[i].Lip, Hole: o.Screws[i].Hole}
		b := Brackets{Ring: o.Ring, Friction: 1, Safety: o.Safety}
		load := legLoad{tension: peel, external: math.Abs(d.Vz), along: tie, across: math.Abs(d.Vy), twist: twist}
		if err := b.judgeLeg(where, leg, load, s); err != nil {
			return err
		}
	}
	return o.Strip.judge(StrapBends, "strap", bend, o.Safety.Yield, s)
}
