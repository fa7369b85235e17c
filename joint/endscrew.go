package joint

import (
	"fmt"
	"math"

	"spanwright/given"
)

// EndScrew joins the cut end of a profile to a face by one or more screws along
// the member: a hidden fastener whose anchor pulls on slot lips (Bolt.Lip), or
// screws into the tapped core (Bolt.Hole). The end face is pressed on the host;
// shear is carried by friction alone.
type EndScrew struct {
	Bolt    BoltedFace
	Area    float64 // metal area of the member's end, m²
	Modulus float64 // smallest section modulus of the member, m³
	Yield   float64 // 0.2 % stress of the softer of both, Pa
	Dowel   bool    // a dowel, lug or second face takes the torsion and is checked on its own
}

// Judge adds the checks of the pressed face and the pressure under the end.
func (e EndScrew) Judge(d Demand, s *Sheet) error {
	if !(e.Area > 0) || !(e.Modulus > 0) || !(e.Yield > 0) {
		return fmt.Errorf("%w: end area %g m², section modulus %g m³, yield %g Pa", given.ErrRefused, e.Area, e.Modulus, e.Yield)
	}
	onFace := d
	if e.Dowel {
		onFace.T = 0
	}
	if err := e.Bolt.Judge(onFace, s); err != nil {
		return err
	}
	p, err := e.Bolt.Screw.Preload()
	if err != nil {
		return err
	}
	n := float64(len(e.Bolt.Face.Screws))
	clamp, push := n*e.Bolt.Share*p.Most, math.Max(0, -d.N)
	moment := math.Abs(d.My) + math.Abs(d.Mz)
	s.judged(Check{
		Mechanism: EndPressure, Number: "J9", Where: e.Bolt.Where, Unit: "Pa",
		Demand: (clamp+push)/e.Area + moment/e.Modulus, Capacity: e.Yield / e.Bolt.Safety.Yield,
		Formula: "U = S*((F_c + N_p)/A + M/W)/f_o",
		Source:  "elastic pressure on the end face, derived; on the safe side where both moments act",
	},
		Term{"S", "factor on yield", e.Bolt.Safety.Yield, ""},
		Term{"F_c", "largest clamp force of all screws", clamp, "N"},
		Term{"N_p", "push of the member", push, "N"},
		Term{"A", "metal area of the end", e.Area, "m²"},
		Term{"M", "both bending moments added", moment, "N m"},
		Term{"W", "smallest section modulus", e.Modulus, "m³"},
		Term{"f_o", "0.2 % stress", e.Yield, "Pa"})
	return nil
}
