package drive

import (
	"cmp"
	"fmt"
	"math"

	"spanwright/given"
	"spanwright/section"
)

// Ends is how a screw shaft is held at the two ends of its free length. A nut
// counts as supported, not as fixed, unless data say otherwise.
type Ends uint8

// The four ways to hold a shaft.
const (
	FixedFree Ends = iota + 1
	SupportedSupported
	FixedSupported
	FixedFixed
)

// String names the ends.
func (e Ends) String() string {
	switch e {
	case FixedFree:
		return "fixed-free"
	case SupportedSupported:
		return "supported-supported"
	case FixedSupported:
		return "fixed-supported"
	case FixedFixed:
		return "fixed-fixed"
	default:
		return "ends unknown"
	}
}

func (e Ends) check() error {
	if e < FixedFree || e > FixedFixed {
		return fmt.Errorf("%w: the end fixity of the screw is missing", given.ErrRefused)
	}
	return nil
}

// BendingRoot returns beta, the first root of the frequency equation of a
// uniform beam:
//
//	fixed-free        cos b cosh b = -1
//	supported         sin b = 0
//	fixed-supported   tan b = tanh b
//	fixed-fixed       cos b cosh b = 1
//
// Some trade tables round the resulting speed ratios; these are the exact roots.
//
// Source: published, Blevins, Formulas for Natural Frequency and Mode Shape,
// uniform Euler-Bernoulli beam.
func (e Ends) BendingRoot() (float64, error) {
	switch e {
	case FixedFree:
		return 1.8751040687119611, nil
	case SupportedSupported:
		return math.Pi, nil
	case FixedSupported:
		return 3.9266023120479188, nil
	case FixedFixed:
		return 4.7300407448627040, nil
	default:
		return 0, e.check()
	}
}

// BucklingFactor returns C of the Euler load: 0.25, 1, 2.0457, 4. The third is
// (x/pi)² with tan x = x; handbooks print 2.
//
// Source: published, Euler columns.
func (e Ends) BucklingFactor() (float64, error) {
	switch e {
	case FixedFree:
		return 0.25, nil
	case SupportedSupported:
		return 1, nil
	case FixedSupported:
		const x = 4.4934094579090642 // first root of tan x = x above zero
		return x * x / (math.Pi * math.Pi), nil
	case FixedFixed:
		return 4, nil
	default:
		return 0, e.check()
	}
}

// ScrewSteel returns the usual values of screw steel.
//
// Source: handbook values for steel, common practice.
func ScrewSteel() ShaftMaterial {
	return ShaftMaterial{Modulus: 2.06e11, ShearModulus: 8.0e10, Density: 7850, Expansion: 11.5e-6}
}

// ShaftMaterial are the properties of a shaft's material.
type ShaftMaterial struct {
	Modulus      float64 // E, Pa
	ShearModulus float64 // G, Pa
	Density      float64 // kg/m³
	Expansion    float64 // alpha, 1/K
}

// Shaft is the free length of a screw shaft.
type Shaft struct {
	RootDiameter float64 // of the thread, m; the outer diameter would be 15 to 20 % unsafe
	Length       float64 // longest free length between bearing and nut, or bearing and bearing, m
	Ends         Ends
	Material     ShaftMaterial
}

func (s Shaft) check() error {
	return cmp.Or(
		given.Positive("root diameter", s.RootDiameter),
		given.Positive("free shaft length", s.Length),
		s.Ends.check(),
		given.Positive("elastic modulus", s.Material.Modulus),
	)
}

// CriticalSpeedShare is the part of the critical speed that may be used.
//
// Source: common practice, no source.
const CriticalSpeedShare = 0.8

// CriticalSpeed returns the speed at which the shaft whirls, rad/s.
//
//	w_cr = (beta/L)² sqrt(E I/(rho A)),  sqrt(I/A) = d_r/4 for a round shaft
//
// Source: published, Blevins, uniform Euler-Bernoulli beam.
func (s Shaft) CriticalSpeed() (float64, error) {
	if err := cmp.Or(s.check(), given.Positive("density", s.Material.Density)); err != nil {
		return 0, err
	}
	beta, err := s.Ends.BendingRoot()
	if err != nil {
		return 0, err
	}
	q := beta / s.Length
	return q * q * s.RootDiameter / 4 * math.Sqrt(s.Material.Modulus/s.Material.Density), nil
}

// ColumnLaw says which formula gives a buckling load.
type ColumnLaw uint8

// Euler holds for slender columns, Johnson for short ones.
const (
	EulerLaw ColumnLaw = iota + 1
	JohnsonLaw
)

// String names the law.
func (l ColumnLaw) String() string {
	switch l {
	case EulerLaw:
		return "Euler"
	case JohnsonLaw:
		return "Johnson"
	default:
		return "no law"
	}
}

// EulerLoad returns C pi² E I/L², N: the buckling load of a slender shaft. Far
// above the real one for a short shaft; see Buckling.
//
// Source: published, Euler columns.
func (s Shaft) EulerLoad() (float64, error) {
	if err := s.check(); err != nil {
		return 0, err
	}
	c, err := s.Ends.BucklingFactor()
	if err != nil {
		return 0, err
	}
	inertia := math.Pi * math.Pow(s.RootDiameter, 4) / 64
	return section.EulerLoad(s.Material.Modulus*inertia, s.Length/math.Sqrt(c)), nil
}

// Buckling is the buckling load of a shaft under compression.
type Buckling struct {
	Slenderness float64 // L/(d_r/4)
	Limit       float64 // slenderness from which Euler holds
	Euler       float64 // N
	Critical    float64 // N, by the law that holds
	Law         ColumnLaw
}

// Buckling returns the buckling load for a yield strength S_y in Pa.
//
//	Euler:    F = C pi² E I/L²                          if L/i > sqrt(2 pi² C E/S_y)
//	Johnson:  F = A [ S_y - (S_y (L/i)/(2 pi))²/(C E) ]  else
//
// Only compression buckles a screw; the load is the largest compressive one
// with the nut farthest from the fixed bearing.
//
// Source: published, Shigley, Mechanical Engineering Design, columns
// (Eq. 4-42 to 4-48, numbers from memory).
func (s Shaft) Buckling(yield float64) (Buckling, error) {
	if err := given.Positive("yield strength", yield); err != nil {
		return Buckling{}, err
	}
	euler, err := s.EulerLoad()
	if err != nil {
		return Buckling{}, err
	}
	c, err := s.Ends.BucklingFactor()
	if err != nil {
		return Buckling{}, err
	}
	d, e := s.RootDiameter, s.Material.Modulus
	b := Buckling{
		Slenderness: s.Length / (d / 4),
		Limit:       math.Sqrt(2 * math.Pi * math.Pi * c * e / yield),
		Euler:       euler, Critical: euler, Law: EulerLaw,
	}
	if !(b.Slenderness > b.Limit) {
		bend := yield * b.Slenderness / (2 * math.Pi)
		b.Critical = math.Pi * d * d / 4 * (yield - bend*bend/(c*e))
		b.Law = JohnsonLaw
	}
	return b, nil
}

// EulerDiameter returns the root diameter at which Euler's load equals a load
// times its safety, m; other values of the shaft are used, its diameter is not.
//
//	d = ( 64 F n L²/(pi³ C E) )^(1/4)
func (s Shaft) EulerDiameter(load, safety float64) (float64, error) {
	s.RootDiameter = 1 // not used; anything that passes the check
	if err := cmp.Or(s.check(), given.Positive("axial load", load), given.Positive("safety", safety)); err != nil {
		return 0, err
	}
	c, err := s.Ends.BucklingFactor()
	if err != nil {
		return 0, err
	}
	return math.Pow(64*load*safety*s.Length*s.Length/(math.Pow(math.Pi, 3)*c*s.Material.Modulus), 0.25), nil
}
