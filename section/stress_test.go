package section

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Hand calculation on a 40 x 80 rectangle.
func TestStressByHand(t *testing.T) {
	p := compute(t, drawn(t, Flat{Width: 0.04, Height: 0.08}))
	const a, wy, wz = 0.04 * 0.08, 0.04 * 0.08 * 0.08 / 6, 0.08 * 0.04 * 0.04 / 6
	s, err := p.Stress(Forces{N: -3200, My: 500, Mz: -200, Vz: 1000})
	if err != nil {
		t.Fatal(err)
	}
	sigma := 3200/a + 500/wy + 200/wz
	tau := 1000 / (5. / 6 * a)
	near(t, "sigma", s.Sigma, sigma, 1e-9)
	near(t, "tau", s.Tau, tau, accuracy)
	near(t, "equivalent", s.Mises, math.Sqrt(sigma*sigma+3*tau*tau), 1e-4)
	near(t, "utilisation", s.Utilisation(160e6, 1.5), 1.5*s.Mises/160e6, 1e-15)
}

// The signs of the package comment: My pulls the upper side, Mz the side of
// negative y.
func TestSignsOfBending(t *testing.T) {
	p := compute(t, drawn(t, Flat{Width: 0.04, Height: 0.08}))
	top, right := Point{0, 0.04}, Point{0.02, 0}
	if s := p.SigmaAt(Forces{My: 1}, top); !(s > 0) {
		t.Errorf("My = 1 gives %g at the top", s)
	}
	if s := p.SigmaAt(Forces{Mz: 1}, right); !(s < 0) {
		t.Errorf("Mz = 1 gives %g on the right", s)
	}
	if s := p.SigmaAt(Forces{N: 1}, top); !(s > 0) {
		t.Errorf("tension gives %g", s)
	}
	// sigma = M/W at the edge.
	near(t, "edge stress", p.SigmaAt(Forces{My: 1}, top), 1/p.Wy, 1e-12)
}

// Stress must not be below the exact stress at any point of any section, and
// the exact stress must carry the moments it was made from.
func TestStressIsConservative(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := anyOutline(t)
		m := o.Moments()
		// Properties of bending without the torsion solution, which is not used here.
		p := Properties{Area: m.Area, Centroid: m.Centroid, Iy: m.Iy, Iz: m.Iz, Iyz: m.Iyz}
		p.I1, p.I2, p.Angle = m.Principal()
		e1, e2 := o.reach(m.Centroid, p.Angle)
		p.W1, p.W2 = p.I1/e1, p.I2/e2
		number := rapid.Float64Range(-100, 100)
		f := Forces{N: number.Draw(t, "N"), My: number.Draw(t, "My"), Mz: number.Draw(t, "Mz")}
		s, err := p.Stress(f)
		if err != nil {
			t.Fatal(err)
		}
		for _, q := range o.Outer {
			if exact := math.Abs(p.SigmaAt(f, q)); exact > s.Sigma*(1+1e-9)+1e-9 {
				t.Fatalf("exact stress %g at %v, estimate %g", exact, q, s.Sigma)
			}
		}
		// The stress is linear, so three values give its gradient.
		at := p.SigmaAt(f, p.Centroid)
		gy := p.SigmaAt(f, p.Centroid.add(Point{1, 0})) - at
		gz := p.SigmaAt(f, p.Centroid.add(Point{0, 1})) - at
		my, mz := gz*p.Iy+gy*p.Iyz, -(gy*p.Iz + gz*p.Iyz)
		scale := math.Abs(f.My) + math.Abs(f.Mz) + 1e-9
		if math.Abs(my-f.My)+math.Abs(mz-f.Mz) > 1e-6*scale {
			t.Fatalf("the stresses carry My %g, Mz %g instead of %g, %g", my, mz, f.My, f.Mz)
		}
	})
}
