package joint

import (
	"fmt"
	"math"
	"slices"

	"spanwright/given"
)

// Face is a face pressed together by screws along its normal.
type Face struct {
	Screws         []Point // places (y, z) in joint axes, m
	MinY, MaxY     float64 // edges of the pressed rectangle, m
	MinZ, MaxZ     float64
	Heel           float64 // the pivot lies this far inside the edge, m; half to one plate thickness
	Faces          int     // friction faces under one clamp force
	FrictionRadius float64 // mean radius of a screw's own friction ring, m; 0: not counted
}

func (f Face) validate() error {
	if len(f.Screws) == 0 || f.Faces < 1 || !(f.MaxY > f.MinY) || !(f.MaxZ > f.MinZ) || !(f.Heel >= 0) ||
		!(f.FrictionRadius >= 0) || !(2*f.Heel < f.MaxY-f.MinY) || !(2*f.Heel < f.MaxZ-f.MinZ) {
		return fmt.Errorf("%w: %d screws, %d friction faces, pressed rectangle y %g to %g, z %g to %g m, heel %g m", given.ErrRefused,
			len(f.Screws), f.Faces, f.MinY, f.MaxY, f.MinZ, f.MaxZ, f.Heel)
	}
	return nil
}

// ScrewLoad is what one screw of a face carries.
type ScrewLoad struct {
	Pull    float64 // tension from N alone, N
	Tension float64 // outside tension from N and both moments, N
	Shear   ShearShare
}

// Resolve distributes a demand over the screws.
//
// A pull N goes to all screws equally; a push relieves the moments by its
// distance from the pressed edge. Each bending moment rocks the face about its
// own pressed edge and the two are added, which is on the safe side at a
// corner. Shear and torsion follow the elastic method.
//
// Source: derived from equilibrium; see [Rocking] and [ShareShear].
func (f Face) Resolve(d Demand) ([]ScrewLoad, error) {
	var s Sheet
	err := f.resolve(d, &s, 0)
	return s.loads[0], err
}

// resolve is Resolve into the loads of the k-th face of a sheet.
func (f Face) resolve(d Demand, s *Sheet, k int) (err error) {
	if err := f.validate(); err != nil {
		return err
	}
	if !d.isFinite() {
		return fmt.Errorf("%w: demand %+v", given.ErrRefused, d)
	}
	if s.shares, err = shareShear(f.Screws, Shear{U: d.Vy, V: d.Vz, Moment: d.T}, f.FrictionRadius, s.shares); err != nil {
		return err
	}
	pull, push := math.Max(0, d.N), math.Max(0, -d.N)
	c := centre(f.Screws)
	// A pull off the screws' centre rocks the face too.
	my, mz := d.My-pull*c.V, d.Mz+pull*c.U
	aboutY, aboutZ := f.pivot(my, f.MinZ, f.MaxZ), f.pivot(-mz, f.MinY, f.MaxY)
	for _, p := range f.Screws {
		if err := aboutY.take(aboutY.lever(p.V)); err != nil {
			return err
		}
		if err := aboutZ.take(aboutZ.lever(p.U)); err != nil {
			return err
		}
	}
	netY, netZ := aboutY.net(my, push), aboutZ.net(mz, push)
	each := pull / float64(len(f.Screws))
	s.loads[k] = slices.Grow(s.loads[k][:0], len(f.Screws))
	for i, p := range f.Screws {
		tension := each + aboutY.tension(netY, aboutY.lever(p.V)) + aboutZ.tension(netZ, aboutZ.lever(p.U))
		s.loads[k] = append(s.loads[k], ScrewLoad{Pull: each, Tension: tension, Shear: s.shares[i]})
	}
	return nil
}

// pivot is the line about which a face rocks.
type pivot struct {
	leverGroup
	edge, side float64 // place, m, and the side on which the face opens
}

// pivot places the pressed edge: a moment that opens the plus side presses the minus edge.
func (f Face) pivot(opensPlus, low, high float64) pivot {
	if opensPlus < 0 {
		return pivot{edge: high - f.Heel, side: -1}
	}
	return pivot{edge: low + f.Heel, side: 1}
}

// lever of a screw; one beyond the pivot does not pull.
func (p pivot) lever(at float64) float64 { return math.Max(0, p.side*(at-p.edge)) }

// net is the moment left for the screws.
func (p pivot) net(moment, pressing float64) float64 {
	return Rocking{Relief: math.Max(0, -p.side*p.edge)}.Net(moment, pressing)
}

// BoltedFace is a face with its screws and what they end in: the core of every
// joint whose screws stand along the joint normal (corner plate, hidden
// fastener, core screw, base plate, direct bolting of plates and carriages).
type BoltedFace struct {
	Where  string // names the face in its checks where a joint has several
	Face   Face
	Screw  Screw
	Lip    *Lip        // slot lips that the nuts pull on, if any
	Hole   *TappedHole // tapped hole that the screws end in, if any
	Share  float64     // share of the screw force that presses the face, 0 to 1
	Prying float64     // factor on outside tension, >= 1
	Safety Safety
}

// Judge adds slip, preload, opening and screw, and lips and thread where there
// are any.
func (b BoltedFace) Judge(d Demand, s *Sheet) error { return b.judge(d, s, 0) }

// judge is Judge with the loads of the screws in the k-th face of the sheet.
func (b BoltedFace) judge(d Demand, s *Sheet, k int) error {
	if err := b.Face.resolve(d, s, k); err != nil {
		return err
	}
	loads := s.loads[k]
	if !(b.Share > 0 && b.Share <= 1) || !(b.Prying >= 1) {
		return fmt.Errorf("%w: share of the screw force %g, prying %g", given.ErrRefused, b.Share, b.Prying)
	}
	tension := 0.0
	for _, l := range loads {
		tension = math.Max(tension, l.Tension)
	}
	hold := holding{
		where: b.Where, screw: b.Screw, lip: b.Lip, hole: b.Hole, share: b.Share,
		tension: tension * b.Prying, safety: b.Safety,
	}
	if err := b.slip(loads, s); err != nil {
		return err
	}
	return hold.judge(s)
}

func (b BoltedFace) slip(loads []ScrewLoad, s *Sheet) error {
	p, err := b.Screw.Preload()
	if err != nil {
		return err
	}
	shear, twist := 0.0, 0.0
	worst := -1.0
	for _, l := range loads {
		if t := l.Shear.Total(b.Face.FrictionRadius); t > worst {
			worst, shear, twist = t, math.Hypot(l.Shear.U, l.Shear.V), l.Shear.Twist
		}
	}
	return s.slip(slipInput{
		where: b.Where, shear: shear, twist: twist, ring: b.Face.FrictionRadius,
		faces: b.Face.Faces, clamp: b.Share * p.Least, pull: loads[0].Pull * b.Prying, safety: b.Safety,
	})
}

type slipInput struct {
	where        string
	shear, twist float64 // on the hardest-worked screw, N and N m
	ring         float64 // friction radius, m
	faces        int
	clamp, pull  float64 // least clamp force and outside pull of one screw, N
	safety       Safety
}

func (s *Sheet) slip(in slipInput) error {
	if !(in.safety.Friction > 0) || !(in.safety.Slip >= 1) {
		return fmt.Errorf("%w: friction %g, safety on slip %g", given.ErrRefused, in.safety.Friction, in.safety.Slip)
	}
	c := Check{
		Mechanism: Slip, Number: "J1", Where: in.where, Unit: "N",
		Demand:   ShearShare{U: in.shear, Twist: in.twist}.Total(in.ring),
		Capacity: SlipResistance(in.faces, in.safety.Friction, in.clamp, in.pull, in.safety.Slip),
		Formula:  "U = S*F_V/(n_f*mu*max(0, F_p - 0.8*F_N))",
		Source:   "EN 1993-1-8:2005, 3.9.2(1), category C (form confirmed); screw group by the elastic method",
	}
	terms := [...]Term{
		{"S", "factor on slip", in.safety.Slip, ""},
		{"F_V", "shear on the hardest-worked screw", in.shear, "N"},
		{"n_f", "friction faces", float64(in.faces), ""},
		{"mu", "friction", in.safety.Friction, ""},
		{"F_p", "least clamp force of one screw", in.clamp, "N"},
		{"F_N", "outside pull on one screw", in.pull, "N"},
		{"M_r", "moment taken by one screw's own friction ring", in.twist, "N m"},
		{"r_f", "mean radius of the friction ring", in.ring, "m"},
	}
	used := terms[:6]
	if in.twist > 0 {
		used = terms[:]
		c.Formula = "U = S*(F_V + M_r/r_f)/(n_f*mu*max(0, F_p - 0.8*F_N))"
		if in.ring == 0 {
			c.Note = "one screw line without a friction ring does not resist torsion: use a second screw, a dowel or a second face"
		}
	}
	s.judged(c, used...)
	return nil
}

// holding is a preloaded screw under an outside tension, with its seat.
type holding struct {
	where   string
	screw   Screw
	lip     *Lip
	hole    *TappedHole
	share   float64 // of the screw force that presses the face
	tension float64 // outside tension on the hardest-worked screw, prying included, N
	safety  Safety
}

// judge adds preload, opening and screw, and lips and thread where there are any.
func (h holding) judge(s *Sheet) error {
	p, err := h.screw.Preload()
	if err != nil {
		return err
	}
	if !(h.safety.Factor >= 0 && h.safety.Factor < 1) {
		return fmt.Errorf("%w: load factor %g must be between 0 and 1", given.ErrRefused, h.safety.Factor)
	}
	h.preload(p, s)
	h.opening(p, s)
	h.strength(p, s)
	if h.lip != nil {
		if err := h.lips(p, s); err != nil {
			return err
		}
	}
	if h.hole != nil {
		return h.thread(p, s)
	}
	return nil
}

func (h holding) preload(p Preload, s *Sheet) {
	proof := ProofLoad(h.screw.Thread, h.screw.Class)
	s.judged(Check{
		Mechanism: PreloadHigh, Number: "J2", Where: h.where, Unit: "N", Demand: p.Nominal, Capacity: preloadShare * proof,
		Formula: "U = T/(K*d)/(0.75*R_p*A_s)",
		Source:  "torque relation and 0.75 of the proof load: common practice, no source; proof stress: ISO 898-1",
	},
		Term{"T", "tightening torque", h.screw.Tightening.Torque, "N m"},
		Term{"K", "nut factor", h.screw.Tightening.NutFactor, ""},
		Term{"d", "thread diameter", h.screw.Thread.Diameter, "m"},
		Term{"R_p", "proof stress", h.screw.Class.Proof, "Pa"},
		Term{"A_s", "stress area", h.screw.Thread.StressArea, "m²"})
}

func (h holding) opening(p Preload, s *Sheet) {
	s.judged(Check{
		Mechanism: Opening, Number: "J3", Where: h.where, Unit: "N", Demand: h.tension,
		Capacity: Share(h.safety.Factor, h.share*p.Least, h.tension).Opening,
		Formula:  "U = F_A*(1 - Phi)/F_p",
		Source:   "VDI 2230 Part 1 (concept), closed form; tension by the elastic group about the pressed edge",
		Note:     "an open joint loses most of its stiffness; the far edge begins to gape earlier",
	},
		Term{"F_A", "outside tension on the hardest-worked screw", h.tension, "N"},
		Term{"Phi", "load factor", h.safety.Factor, ""},
		Term{"F_p", "least clamp force of one screw", h.share * p.Least, "N"})
}

// screwForce is the force of the screw under the outside tension: preload and
// its share while the joint is closed, the whole tension once it is open.
func (h holding) screwForce(preload float64) float64 {
	return math.Max(preload+h.safety.Factor*h.tension, h.tension)
}

// forceTerms are the terms of screwForce with those of a capacity behind them.
func (h holding) forceTerms(preload float64, name string) [3]Term {
	return [3]Term{
		{"F_V", name, preload, "N"},
		{"Phi", "load factor", h.safety.Factor, ""},
		{"F_A", "outside tension on the hardest-worked screw", h.tension, "N"},
	}
}

func (h holding) strength(p Preload, s *Sheet) {
	f := h.forceTerms(p.Most, "largest preload of one screw")
	s.judged(Check{
		Mechanism: ScrewTight, Number: "J4", Where: h.where, Unit: "N",
		Demand: h.screwForce(p.Most), Capacity: ProofLoad(h.screw.Thread, h.screw.Class),
		Formula: "U = max(F_V + Phi*F_A, F_A)/(R_p*A_s)",
		Source:  "VDI 2230 Part 1 (concept); proof stress: ISO 898-1",
	}, f[0], f[1], f[2],
		Term{"R_p", "proof stress", h.screw.Class.Proof, "Pa"},
		Term{"A_s", "stress area", h.screw.Thread.StressArea, "m²"})
}

func (h holding) lips(p Preload, s *Sheet) error {
	lip, err := h.lip.Strength()
	if err != nil {
		return err
	}
	f := h.forceTerms(p.Nominal, "preload of one screw")
	s.judged(Check{
		Mechanism: LipPullOut, Number: "J5", Where: h.where, Unit: "N", Demand: h.screwForce(p.Nominal), Capacity: lip.Holds(),
		Formula: "U = 1.5*max(F_V + Phi*F_A, F_A)/min(0.5*f_o*b_e*t_l^2/c, 2*b_e*t_l*f_o/sqrt(3.0))",
		Source:  "beam model of the lip, derived; strip length common practice, no source",
		Note:    "the slot lips often limit the torque before the screw does",
	}, f[0], f[1], f[2],
		Term{"f_o", "0.2 % stress of the profile", h.lip.Yield, "Pa"},
		Term{"b_e", "length of lip that works", lip.Strip, "m"},
		Term{"t_l", "lip thickness", h.lip.Thickness, "m"},
		Term{"c", "lever of the lip", lip.Lever, "m"})
	return nil
}

func (h holding) thread(p Preload, s *Sheet) error {
	strip, err := h.hole.Strip(h.screw.Thread)
	if err != nil {
		return err
	}
	f := h.forceTerms(p.Most, "largest preload of one screw")
	s.judged(Check{
		Mechanism: ThreadStrip, Number: "J6", Where: h.where, Unit: "N", Demand: h.screwForce(p.Most), Capacity: strip,
		Formula: "U = max(F_V + Phi*F_A, F_A)/(pi*d_2*m*0.58*f_o*k)",
		Source:  "simplified, common practice, no source; exact areas in VDI 2230 Part 1, 5.5.5 (from memory)",
	}, f[0], f[1], f[2],
		Term{"d_2", "pitch diameter", h.screw.Thread.PitchDiameter(), "m"},
		Term{"m", "engaged thread", h.hole.Engagement, "m"},
		Term{"f_o", "0.2 % stress of the tapped part", h.hole.Yield, "Pa"},
		Term{"k", "share of the shear area that works", h.hole.Share, ""})
	return nil
}
