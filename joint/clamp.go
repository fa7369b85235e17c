package joint

import (
	"fmt"

	"spanwright/given"
)

// Clamps hold a profile down on what carries it, from both sides. Joint axes:
// x off the carrying face, y along the profile, z across it.
type Clamps struct {
	PerSide  int     // clamps on each side
	Pitch    float64 // between neighbouring clamps along the profile, m
	Gauge    float64 // between the two lines of clamps, m
	Width    float64 // pressed width of the profile across, m
	Length   float64 // pressed length along the profile, m
	Screw    Screw
	Screws   int     // screws of one clamp
	Lever    float64 // share of the screw force that presses on the profile, 0 to 1
	Friction int     // friction faces: 2 for clamp lip and base
	Lip      *Lip    // slot lips that the clamp screws pull on, if any
	Hole     *TappedHole
	Safety   Safety
}

// ClampSlip is the force (N) along the profile that n clamps hold.
//
//	F = n F_bolt lever mu faces/S
//
// Source: Coulomb friction; common practice.
func ClampSlip(clamps int, force, lever, mu float64, faces int, safety float64) float64 {
	return float64(clamps) * SlipResistance(faces, mu, force*lever, 0, safety)
}

// LeastClampsPerSide is the least number of clamps on each side of a clamped
// profile; four are usual at most. Source: common practice, no source.
const LeastClampsPerSide = 2

// Judge adds slip (with the yaw moment), lift-off, and the clamp screws. A
// clamp counts as one screw with the force of all its screws times the lever.
func (c Clamps) Judge(d Demand, s *Sheet) error {
	if c.PerSide < 1 || c.Screws < 1 || !(c.Lever > 0 && c.Lever <= 1) || !(c.Gauge > 0) || !(c.Pitch >= 0) {
		return fmt.Errorf("%w: %d clamps a side with %d screws, lever share %g, gauge %g m, pitch %g m", given.ErrRefused,
			c.PerSide, c.Screws, c.Lever, c.Gauge, c.Pitch)
	}
	s.points = grid(c.PerSide, 2, c.Pitch, c.Gauge, s.points[:0])
	face := Face{
		Screws: s.points,
		MinY:   -c.Length / 2, MaxY: c.Length / 2, MinZ: -c.Width / 2, MaxZ: c.Width / 2,
		Faces: c.Friction,
	}
	// One clamp as one screw: the share of the force of all its screws.
	share := c.Lever * float64(c.Screws)
	if err := face.resolve(d, s, 0); err != nil {
		return err
	}
	loads := s.loads[0]
	p, err := c.Screw.Preload()
	if err != nil {
		return err
	}
	lift, worst := 0.0, loads[0].Shear
	for _, l := range loads {
		lift = max(lift, l.Tension)
		if l.Shear.Total(0) > worst.Total(0) {
			worst = l.Shear
		}
	}
	slip := len(s.Checks)
	err = s.slip(slipInput{
		where: "clamp", shear: worst.Total(0), faces: c.Friction, clamp: share * p.Least, pull: loads[0].Pull, safety: c.Safety,
	})
	if err != nil {
		return err
	}
	if s.Checks[slip].Utilisation > 0.5 {
		s.Checks[slip].Note = "above one half a stop or a dowel should keep the profile's place along its length (common practice, no source)"
	}
	// Lift of a clamp, seen at one of its screws through the lever.
	return holding{
		where: "clamp", screw: c.Screw, lip: c.Lip, hole: c.Hole, share: 1, tension: lift / share, safety: c.Safety,
	}.judge(s)
}
