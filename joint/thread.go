package joint

import (
	"errors"
	"fmt"
	"math"
)

// ErrUnknownThread is returned, wrapped, for a thread that is not in the table.
var ErrUnknownThread = errors.New("thread is not in the table")

// ErrUnknownClass is returned, wrapped, for a property class that is not in the table.
var ErrUnknownClass = errors.New("property class is not in the table")

// Thread is a metric screw thread.
type Thread struct {
	Name       string
	Diameter   float64 // nominal diameter d, m
	Pitch      float64 // P, m
	StressArea float64 // nominal stress area As as tabulated, m²
}

// coarseThreads are the coarse pitches of ISO 261 with the stress areas of
// ISO 898-1, both from memory; M5 to M16 were compared with a second list.
var coarseThreads = []Thread{
	{"M3", 3e-3, 0.5e-3, 5.03e-6},
	{"M4", 4e-3, 0.7e-3, 8.78e-6},
	{"M5", 5e-3, 0.8e-3, 14.2e-6},
	{"M6", 6e-3, 1.0e-3, 20.1e-6},
	{"M8", 8e-3, 1.25e-3, 36.6e-6},
	{"M10", 10e-3, 1.5e-3, 58.0e-6},
	{"M12", 12e-3, 1.75e-3, 84.3e-6},
	{"M14", 14e-3, 2.0e-3, 115e-6},
	{"M16", 16e-3, 2.0e-3, 157e-6},
	{"M20", 20e-3, 2.5e-3, 245e-6},
	{"M24", 24e-3, 3.0e-3, 353e-6},
}

// CoarseThread looks up a coarse metric thread by its name, e.g. "M8".
func CoarseThread(name string) (Thread, error) {
	for _, t := range coarseThreads {
		if t.Name == name {
			return t, nil
		}
	}
	return Thread{}, fmt.Errorf("%w: %q; known are %s to %s", ErrUnknownThread, name,
		coarseThreads[0].Name, coarseThreads[len(coarseThreads)-1].Name)
}

// PitchDiameter is d2 = d - 0.649519 P, m. Source: ISO 724, from memory.
func (t Thread) PitchDiameter() float64 { return t.Diameter - 0.649519*t.Pitch }

// MinorDiameter is d3 = d - 1.226869 P, m. Source: ISO 898-1, from memory.
func (t Thread) MinorDiameter() float64 { return t.Diameter - 1.226869*t.Pitch }

// TensileArea is A0 = pi/4 ((d2 + d3)/2)², m². The tabulated stress area is the
// same number, rounded. Source: ISO 898-1, from memory.
func (t Thread) TensileArea() float64 {
	d0 := (t.PitchDiameter() + t.MinorDiameter()) / 2
	return math.Pi / 4 * d0 * d0
}

// Class is a property class of a screw.
type Class struct {
	Name     string
	Proof    float64 // proof stress, Pa
	Yield    float64 // stress at 0.2 % non-proportional elongation, least, Pa
	Ultimate float64 // tensile strength, least, Pa
}

// PropertyClass looks up a property class for a thread: the values of 8.8
// depend on the diameter.
//
// Sources: ISO 898-1 (proof and 0.2 % stress confirmed, tensile strength from
// memory). ISO 3506-1 for the stainless A2-70 and A4-80, from memory; that
// standard has no proof stress, so the 0.2 % stress stands in for it.
func PropertyClass(name string, t Thread) (Class, error) {
	const mega = 1e6
	switch name {
	case "8.8":
		if t.Diameter > 16e-3 {
			return Class{name, 600 * mega, 660 * mega, 830 * mega}, nil
		}
		return Class{name, 580 * mega, 640 * mega, 800 * mega}, nil
	case "10.9":
		return Class{name, 830 * mega, 940 * mega, 1040 * mega}, nil
	case "12.9":
		return Class{name, 970 * mega, 1100 * mega, 1220 * mega}, nil
	case "A2-70":
		return Class{name, 450 * mega, 450 * mega, 700 * mega}, nil
	case "A4-80":
		return Class{name, 600 * mega, 600 * mega, 800 * mega}, nil
	}
	return Class{}, fmt.Errorf("%w: %q; known are 8.8, 10.9, 12.9, A2-70, A4-80", ErrUnknownClass, name)
}

// ProofLoad is the proof stress times the stress area, N. Source: ISO 898-1.
func ProofLoad(t Thread, c Class) float64 { return c.Proof * t.StressArea }
