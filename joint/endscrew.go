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

// Checks returns the checks of the pressed face and the pressure under the end.
func (e EndScrew) Checks(d Demand) ([]Check, error) {
	if !(e.Area > 0) || !(e.Modulus > 0) || !(e.Yield > 0) {
		return nil, fmt.Errorf("%w: end area %g m², section modulus %g m³, yield %g Pa", given.ErrRefused, e.Area, e.Modulus, e.Yield)
	}
	onFace := d
	if e.Dowel {
		onFace.T = 0
	}
	checks, err := e.Bolt.Checks(onFace)
	if err != nil {
		return nil, err
	}
	p, err := e.Bolt.Screw.Preload()
	if err != nil {
		return nil, err
	}
	n := float64(len(e.Bolt.Face.Screws))
	clamp, push := n*e.Bolt.Share*p.Most, math.Max(0, -d.N)
	moment := math.Abs(d.My) + math.Abs(d.Mz)
	return append(checks, finish(Check{
		Mechanism: EndPressure, Number: "J9", Where: e.Bolt.Where, Unit: "Pa",
		Demand: (clamp+push)/e.Area + moment/e.Modulus, Capacity: e.Yield / e.Bolt.Safety.Yield,
		Formula: "U = S*((F_c + N_p)/A + M/W)/f_o",
		Terms: []Term{
			{"S", "factor on yield", e.Bolt.Safety.Yield, ""},
			{"F_c", "largest clamp force of all screws", clamp, "N"},
			{"N_p", "push of the member", push, "N"},
			{"A", "metal area of the end", e.Area, "m²"},
			{"M", "both bending moments added", moment, "N m"},
			{"W", "smallest section modulus", e.Modulus, "m³"},
			{"f_o", "0.2 % stress", e.Yield, "Pa"},
		},
		Source: "elastic pressure on the end face, derived; on the safe side where both moments act",
	})), nil
}
