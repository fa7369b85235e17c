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

// Checks returns the checks of the host face, of the member's end and of the
// bending of the plate at the member's outer face.
func (c CornerPlate) Checks(d Demand) ([]Check, error) {
	c.Host.Prying = Prying(c.Plate.Thickness, c.Host.Screw.Thread.Diameter)
	checks, err := c.Host.Checks(d)
	if err != nil {
		return nil, err
	}
	if c.Member != nil {
		more, err := c.Member.Checks(d)
		if err != nil {
			return nil, err
		}
		checks = append(checks, more...)
	}
	loads, err := c.Host.Face.Resolve(d)
	if err != nil {
		return nil, err
	}
	plate, err := c.Plate.check(c.Host.Where, rowTension(c.Host.Face, loads)*c.Plate.Arm, c.Host.Safety.Yield)
	return append(checks, plate), err
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

// Checks compares the hardest-worked anchor with its approval, and the plate
// with its yield. Anchors without data are not judged.
//
// The tension is that of an elastic group about the pressed edge after the
// compression has been taken off; the shear goes to all anchors by the elastic
// method. Resistance of the concrete, edge distances and the interaction of
// tension and shear belong to the anchor's approval (form of EN 1992-4), never
// to this package.
func (b BasePlate) Checks(d Demand) ([]Check, error) {
	loads, err := b.Face.Resolve(d)
	if err != nil {
		return nil, err
	}
	tension, shear := 0.0, 0.0
	for _, l := range loads {
		tension = max(tension, l.Tension)
		shear = max(shear, l.Shear.Total(b.Face.FrictionRadius))
	}
	plate, err := b.Plate.check("base plate", rowTension(b.Face, loads)*b.Plate.Arm, b.Safety.Yield)
	if err != nil {
		return nil, err
	}
	pull, err := anchorCheck(AnchorPull, "tension", tension, b.Anchors.Tension)
	if err != nil {
		return nil, err
	}
	across, err := anchorCheck(AnchorShear, "shear", shear, b.Anchors.Shear)
	return []Check{pull, across, plate}, err
}

func anchorCheck(m Mechanism, word string, demand float64, resistance *float64) (Check, error) {
	c := Check{
		Mechanism: m, Number: "J8", Unit: "N", Demand: demand,
		Formula: "U = F/R",
		Terms:   []Term{{"F", word + " on the hardest-worked anchor", demand, "N"}},
		Source:  "elastic anchor group; resistance from the anchor's own approval (EN 1992-4 format)",
		Note:    "anchors are chosen and released by a competent practitioner under local codes",
	}
	if resistance == nil {
		return unknown(c, "design "+word+" resistance of the anchor, from its approval"), nil
	}
	if !(*resistance > 0) {
		return Check{}, fmt.Errorf("%w: anchor resistance %g N", given.ErrRefused, *resistance)
	}
	c.Capacity = *resistance
	c.Terms = append(c.Terms, Term{"R", "design resistance of one anchor", *resistance, "N"})
	return finish(c), nil
}
