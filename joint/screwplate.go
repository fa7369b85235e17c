package joint

import (
	"fmt"

	"spanwright/given"
)

// CornerPlate is a plate across a corner whose screws stand along the joint
// normal and work in tension: a bending moment pulls one row and presses the
// other side. Base plates on a profile are the same part.
//
// It may have a second face: screws through the plate into the member's core.
type CornerPlate struct {
	Host   BoltedFace  // plate to the host, e.g. slot nuts
	Member *BoltedFace // plate to the member's end, e.g. core screws; nil: welded or checked elsewhere
	Plate  Strip       // between the member's outer face and the screw row; Arm is that distance
}

// Judge adds the checks of the host face, of the member's end and of the
// bending of the plate at the member's outer face.
func (c CornerPlate) Judge(d Demand, s *Sheet) error {
	c.Host.Prying = Prying(c.Plate.Thickness, c.Host.Screw.Thread.Diameter)
	if err := c.Host.judge(d, s, 0); err != nil {
		return err
	}
	if c.Member != nil {
		if err := c.Member.judge(d, s, 1); err != nil {
			return err
		}
	}
	return c.Plate.judge(PlateBends, c.Host.Where, rowTension(c.Host.Face, s.loads[0])*c.Plate.Arm, c.Host.Safety.Yield, s)
}

// rowTension is the largest sum of the tensions on one side of the face's
// middle, N: what bends the plate on that side.
func rowTension(f Face, loads []ScrewLoad) float64 {
	var sides [4]float64
	for i, l := range loads {
		p := f.Screws[i]
		for k, beyond := range [...]bool{p.U > 0, p.U < 0, p.V > 0, p.V < 0} {
			if beyond {
				sides[k] += l.Tension
			}
		}
	}
	return max(sides[0], sides[1], sides[2], sides[3])
}

// Anchors is what the anchors of one base plate hold, from their own approval.
type Anchors struct {
	Tension *float64 // design resistance of one anchor, N; nil: not known
	Shear   *float64 // the same across, N
}

// BasePlate stands on a floor: its screws are anchors.
type BasePlate struct {
	Face    Face // anchors as screws, the pressed rectangle is the plate
	Plate   Strip
	Anchors Anchors
	Safety  Safety
}

// Judge compares the hardest-worked anchor with its approval, and the plate
// with its yield. Anchors without data are not judged.
//
// The tension is that of an elastic group about the pressed edge after the
// compression has been taken off; the shear goes to all anchors by the elastic
// method. Resistance of the concrete, edge distances and the interaction of
// tension and shear belong to the anchor's approval (form of EN 1992-4), never
// to this package.
func (b BasePlate) Judge(d Demand, s *Sheet) error {
	if err := b.Face.resolve(d, s, 0); err != nil {
		return err
	}
	tension, shear := 0.0, 0.0
	for _, l := range s.loads[0] {
		tension = max(tension, l.Tension)
		shear = max(shear, l.Shear.Total(b.Face.FrictionRadius))
	}
	if err := s.anchor(AnchorPull, "tension", tension, b.Anchors.Tension); err != nil {
		return err
	}
	if err := s.anchor(AnchorShear, "shear", shear, b.Anchors.Shear); err != nil {
		return err
	}
	return b.Plate.judge(PlateBends, "base plate", rowTension(b.Face, s.loads[0])*b.Plate.Arm, b.Safety.Yield, s)
}

func (s *Sheet) anchor(m Mechanism, word string, demand float64, resistance *float64) error {
	c := Check{
		Mechanism: m, Number: "J8", Unit: "N", Demand: demand,
		Formula: "U = F/R",
		Source:  "elastic anchor group; resistance from the anchor's own approval (EN 1992-4 format)",
		Note:    "anchors are chosen and released by a competent practitioner under local codes",
	}
	force := Term{"F", word + " on the hardest-worked anchor", demand, "N"}
	if resistance == nil {
		s.add(unknown(c, "design "+word+" resistance of the anchor, from its approval"), force)
		return nil
	}
	if !(*resistance > 0) {
		return fmt.Errorf("%w: anchor resistance %g N", given.ErrRefused, *resistance)
	}
	c.Capacity = *resistance
	s.judged(c, force, Term{"R", "design resistance of one anchor", *resistance, "N"})
	return nil
}
