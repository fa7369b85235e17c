package drive

import (
	"cmp"
	"fmt"
	"math"

	"spanwright/given"
)

// Pulley is a toothed belt pulley.
type Pulley struct {
	Teeth int
	Pitch float64 // belt pitch, m
}

func (p Pulley) check() error {
	return cmp.Or(given.AtLeast("pulley teeth", p.Teeth, 3), given.Positive("belt pitch", p.Pitch))
}

// TravelPerTurn returns z p, m.
func (p Pulley) TravelPerTurn() (float64, error) {
	if err := p.check(); err != nil {
		return 0, err
	}
	return float64(p.Teeth) * p.Pitch, nil
}

// PitchDiameter returns z p/pi, m: the diameter on which the cords run.
func (p Pulley) PitchDiameter() (float64, error) {
	travel, err := p.TravelPerTurn()
	return travel / math.Pi, err
}

// Gearing returns the pulley angle per travel, 1/r = 2 pi/(z p), rad/m.
func (p Pulley) Gearing() (float64, error) {
	travel, err := p.TravelPerTurn()
	if err != nil {
		return 0, err
	}
	return 2 * math.Pi / travel, nil
}

// TeethInMesh returns the whole teeth engaged over a wrap angle in rad,
// floor(z beta/2 pi).
func (p Pulley) TeethInMesh(wrap float64) (int, error) {
	if err := cmp.Or(p.check(), given.Within("wrap angle", wrap, 0, 2*math.Pi)); err != nil {
		return 0, err
	}
	const rounding = 1e-9 // a tooth that is just in mesh must not be lost to the last digit
	return int(math.Floor(float64(p.Teeth)*wrap/(2*math.Pi) + rounding)), nil
}

// ImperialPitch returns the pitch of the imperial trapezoidal tooth forms MXL,
// XXL, XL, L, H, XH, XXH, m.
//
// Source: published, ISO 5296 (synchronous belt drives); XXL from memory.
func ImperialPitch(code string) (float64, error) {
	const inch = 0.0254 // m, published: exact since 1959
	switch code {
	case "MXL":
		return 0.080 * inch, nil
	case "XXL":
		return 0.125 * inch, nil
	case "XL":
		return 0.200 * inch, nil
	case "L":
		return 0.375 * inch, nil
	case "H":
		return 0.500 * inch, nil
	case "XH":
		return 0.875 * inch, nil
	case "XXH":
		return 1.250 * inch, nil
	default:
		return 0, fmt.Errorf("%w: belt form %q; MXL, XXL, XL, L, H, XH, XXH are known", ErrOutsideData, code)
	}
}

// Layout is how a belt moves its carriage.
type Layout uint8

const (
	// Loop: the belt is clamped to the carriage and runs round a drive pulley at
	// x = 0 and an idler at x = L.
	Loop Layout = iota + 1
	// Omega: the belt is fixed to the frame at x = 0 and x = L and loops over
	// the drive pulley on the carriage.
	Omega
)

// String names the layout.
func (l Layout) String() string {
	switch l {
	case Loop:
		return "loop"
	case Omega:
		return "omega"
	default:
		return "no layout"
	}
}

// Belt is a toothed belt in its axis.
type Belt struct {
	Layout    Layout
	Length    float64 // m; Loop: distance of the pulley centres; Omega: belt length between its fixings, without the wrap
	Stiffness float64 // c = EA of the chosen width, N: stretch force per unit strain
}

func (b Belt) check() error {
	if b.Layout != Loop && b.Layout != Omega {
		return fmt.Errorf("%w: the belt layout is missing; loop or omega is needed", given.ErrRefused)
	}
	return cmp.Or(given.Positive("belt length", b.Length), given.Positive("specific belt stiffness", b.Stiffness))
}

// Runs are the belt lengths on both sides of the carriage, m.
//
// Near is the run that pulls the carriage toward x = 0. Far pulls it toward
// +x; in the loop layout it goes round the idler and so reaches the drive
// pulley the long way.
type Runs struct{ Near, Far float64 }

// Runs returns the belt lengths with the carriage at x.
//
//	loop:   L_near = x,  L_far = 2 L - x
//	omega:  L_near = x,  L_far = L - x
//
// Source: derived, geometry.
func (b Belt) Runs(x float64) (Runs, error) {
	if err := cmp.Or(b.check(), given.Within("carriage place on the belt", x, 0, b.Length)); err != nil {
		return Runs{}, err
	}
	far := b.Length - x
	if b.Layout == Loop {
		far += b.Length
	}
	return Runs{Near: x, Far: far}, nil
}

// StiffnessAt returns the belt stiffness at the carriage with both runs taut, N/m.
//
//	k = c (1/L_near + 1/L_far)
//
// Teeth, gear and shaft come in series, see InSeries. At a pulley, where a run
// has no length, the belt counts as rigid and the result is +Inf.
//
// Source: derived, two springs in parallel.
func (b Belt) StiffnessAt(x float64) (float64, error) {
	r, err := b.Runs(x)
	if err != nil {
		return 0, err
	}
	return b.Stiffness * (1/r.Near + 1/r.Far), nil
}

// Softest returns the place between two carriage places where the belt is
// softest, m, and its stiffness there, N/m: the idler end of a loop, the middle
// of an omega (2 c/L and 4 c/L if the stroke reaches there).
func (b Belt) Softest(from, to float64) (x, stiffness float64, err error) {
	if !(from <= to) {
		return 0, 0, fmt.Errorf("%w: the stroke goes from %.6g to %.6g", given.ErrRefused, from, to)
	}
	x = to
	if b.Layout == Omega {
		x = math.Max(from, math.Min(to, b.Length/2))
	}
	if _, err := b.Runs(from); err != nil {
		return 0, 0, err
	}
	stiffness, err = b.StiffnessAt(x)
	return x, stiffness, err
}
