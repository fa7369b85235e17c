package joint

import (
	"fmt"
	"math"

	"spanwright/given"
)

// Strip is the part of a plate that bends between where it is held and where
// the load comes in.
type Strip struct {
	Thickness float64 // t, m
	Width     float64 // working width b, m
	Arm       float64 // free length c, m
	Young     float64 // E, Pa
	Yield     float64 // 0.2 % stress, Pa
}

func (s Strip) validate() error {
	if !(s.Thickness > 0) || !(s.Width > 0) || !(s.Arm >= 0) || !(s.Young > 0) || !(s.Yield > 0) {
		return fmt.Errorf("%w: plate strip %g x %g m, free length %g m, E %g Pa, yield %g Pa", given.ErrRefused,
			s.Width, s.Thickness, s.Arm, s.Young, s.Yield)
	}
	return nil
}

// Modulus is the section modulus W = b t²/6, m³.
func (s Strip) Modulus() float64 { return s.Width * s.Thickness * s.Thickness / 6 }

// Inertia is the second moment I = b t³/12, m⁴.
func (s Strip) Inertia() float64 { return s.Width * math.Pow(s.Thickness, 3) / 12 }

// Bent is a strip under an end moment.
type Bent struct {
	Stress    float64 // Pa
	Rotation  float64 // of the loaded end, rad
	Stiffness float64 // moment over rotation, N m/rad
}

// Bend returns stress and rotation of the strip as a cantilever under an end moment (N m).
//
//	sigma = 6 M/(b t²)      phi = M c/(E I)      k = E I/c
//
// Source: beam strip, closed form.
func (s Strip) Bend(moment float64) (Bent, error) {
	if err := s.validate(); err != nil {
		return Bent{}, err
	}
	return Bent{
		Stress:    moment / s.Modulus(),
		Rotation:  moment * s.Arm / (s.Young * s.Inertia()),
		Stiffness: s.Young * s.Inertia() / s.Arm,
	}, nil
}

// WorkingWidth is the width of plate (m) that works between two screws: their
// pitch and the distance to the support on each side, at most the plate's width.
// Source: common practice, no source.
func WorkingWidth(pitch, distance, plate float64) float64 {
	return math.Min(pitch+2*distance, plate)
}

// judge compares the bending stress of the strip with its yield.
func (s Strip) judge(m Mechanism, where string, moment, safety float64, on *Sheet) error {
	if err := s.validate(); err != nil {
		return err
	}
	if !(safety >= 1) {
		return fmt.Errorf("%w: safety on yield %g", given.ErrRefused, safety)
	}
	on.judged(Check{
		Mechanism: m, Number: "J7", Where: where, Unit: "N m", Demand: math.Abs(moment),
		Capacity: s.Yield / safety * s.Modulus(),
		Formula:  "U = S*6*M/(b*t^2)/R_p",
		Source:   "beam strip, closed form; factor: common practice, no source",
	},
		Term{"S", "factor on yield", safety, ""},
		Term{"M", "bending moment of the plate", math.Abs(moment), "N m"},
		Term{"b", "working width of the plate", s.Width, "m"},
		Term{"t", "plate thickness", s.Thickness, "m"},
		Term{"R_p", "0.2 % stress of the plate", s.Yield, "Pa"})
	return nil
}

// Ribbed is a plate with like ribs on one side.
type Ribbed struct {
	PlateWidth     float64 // m
	PlateThickness float64 // m
	RibThickness   float64 // of one rib, m
	RibHeight      float64 // above the plate, m
	Ribs           int
}

// RibbedSection is the bending section of a ribbed plate.
type RibbedSection struct {
	Centroid float64 // above the free face of the plate, m
	Inertia  float64 // about its own centroid, m⁴
	Gain     float64 // over the bare plate
	Modulus  float64 // for the edge furthest from the centroid, m³
}

// Section returns the section of plate and ribs about their common centroid.
// Source: parallel axis theorem.
func (r Ribbed) Section() (RibbedSection, error) {
	if !(r.PlateWidth > 0) || !(r.PlateThickness > 0) || r.Ribs < 0 ||
		(r.Ribs > 0 && (!(r.RibThickness > 0) || !(r.RibHeight > 0))) ||
		!(float64(r.Ribs)*r.RibThickness <= r.PlateWidth) {
		return RibbedSection{}, fmt.Errorf("%w: plate %g x %g m with %d ribs %g x %g m", given.ErrRefused,
			r.PlateWidth, r.PlateThickness, r.Ribs, r.RibThickness, r.RibHeight)
	}
	t, h := r.PlateThickness, r.RibHeight
	plate, ribs := r.PlateWidth*t, float64(r.Ribs)*r.RibThickness*h
	height := t
	if r.Ribs > 0 {
		height += h
	}
	zc := (plate*t/2 + ribs*(t+h/2)) / (plate + ribs)
	bare := plate * t * t / 12
	inertia := bare + plate*(zc-t/2)*(zc-t/2) + ribs*h*h/12 + ribs*(t+h/2-zc)*(t+h/2-zc)
	return RibbedSection{
		Centroid: zc, Inertia: inertia, Gain: inertia / bare,
		Modulus: inertia / math.Max(zc, height-zc),
	}, nil
}

// DirectFlatness is the flatness wanted over a carriage that is bolted directly
// to another part, m: more adds to the preload of its guides.
// Source: common practice, no source.
const DirectFlatness = 0.02e-3

// RibAdvice says how many ribs a plate should have and why.
type RibAdvice struct {
	Least  int
	Reason string
}

// AdviseRibs returns the least number of ribs under a load line: one where the
// free length is more than four plate thicknesses or the bending stress more
// than a tenth of the 0.2 % stress, two where the load is also eccentric.
// Source: common practice, no source.
func AdviseRibs(s Strip, moment float64, eccentric bool) (RibAdvice, error) {
	bent, err := s.Bend(math.Abs(moment))
	if err != nil {
		return RibAdvice{}, err
	}
	var a RibAdvice
	switch {
	case s.Arm > 4*s.Thickness:
		a = RibAdvice{1, "the free length is more than four plate thicknesses"}
	case bent.Stress > 0.1*s.Yield:
		a = RibAdvice{1, "the bending stress is more than a tenth of the 0.2 % stress"}
	default:
		return RibAdvice{0, "short and lightly stressed"}, nil
	}
	if eccentric {
		a = RibAdvice{2, a.Reason + " and the load is eccentric"}
	}
	return a, nil
}
