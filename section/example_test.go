package section_test

import (
	"fmt"

	"spanwright/section"
)

// A square hollow section: properties, the stress under a bending moment and a
// torque, and the load under which a leg of it buckles.
func Example() {
	o, err := section.HotFinished(80e-3, 80e-3, 5e-3).Outline()
	if err != nil {
		fmt.Println(err)
		return
	}
	p, err := section.Compute(o)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("A %.0f mm², Iy %.1f cm⁴, J %.0f cm⁴, known to 0.1 %%: %v\n", p.Area*1e6, p.Iy*1e8, p.J*1e8, p.JError() <= 1e-3)

	s, err := p.Stress(section.Forces{My: 1000, T: 500})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("sigma %.1f MPa, tau %.1f MPa, utilisation %.2f\n", s.Sigma/1e6, s.Tau/1e6, s.Utilisation(235e6, 1.5))

	b, err := section.Column{
		Area: p.Area, Inertia: p.Iy, Modulus: 210e9, Strength: 235e6,
		BucklingLength: section.FixedFree * 1.5, Curve: section.SteelCurveA, Partial: 1,
	}.Resistance()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("buckling at %.0f kN\n", b.Resistance/1e3)

	// Output:
	// A 1473 mm², Iy 136.6 cm⁴, J 222 cm⁴, known to 0.1 %: true
	// sigma 29.3 MPa, tau 10.0 MPa, utilisation 0.22
	// buckling at 219 kN
}
