package equip

import (
	"cmp"
	"math"
	"slices"

	"spanwright/given"
)

// ConductorKind is what lies in a carrier.
type ConductorKind string

// The kinds.
const (
	CarrierCable  ConductorKind = "cable" // made for carriers
	PlainCable    ConductorKind = "plain" // ordinary flexible cable, not advised
	AirHose       ConductorKind = "air"   // compressed air or vacuum
	HydraulicHose ConductorKind = "hydraulic"
	Fibre         ConductorKind = "fibre"
)

// Conductor is one cable or hose.
type Conductor struct {
	Name       string
	Kind       ConductorKind
	Diameter   float64 // outer, m
	Mass       float64 // kg/m
	BendFactor float64 // least bend radius over diameter; 0: by kind
}

// Clearance is the free space around a conductor (m): a tenth of the diameter
// and at least 1 mm for cables, a fifth and at least 2 mm for hoses and fibres.
// Source: common practice, no source.
func (c Conductor) Clearance() float64 {
	switch c.Kind {
	case AirHose, HydraulicHose, Fibre:
		return math.Max(0.20*c.Diameter, 0.002)
	}
	return math.Max(0.10*c.Diameter, 0.001)
}

// Bend is the least bend radius over the diameter; false if only the maker
// knows it (hydraulic hose). Source: the careful end of common practice, no source.
func (c Conductor) Bend() (factor float64, known bool) {
	if c.BendFactor > 0 {
		return c.BendFactor, true
	}
	switch c.Kind {
	case CarrierCable, AirHose:
		return 10, true
	case PlainCable:
		return 15, true
	case Fibre:
		return 20, true
	}
	return 0, false
}

// MostFill is the largest share of the inner area that conductors may take.
// Source: common practice, no source.
const MostFill = 0.60

// Filling is what the conductors of a carrier need.
type Filling struct {
	InnerWidth  float64  // B_i, m
	InnerHeight float64  // h_i, m
	BendRadius  float64  // of the conductors whose bend factor is known, m
	Unknown     []string // conductors whose bend factor only the maker knows
	Mass        float64  // kg/m
	Area        float64  // of the conductors, m²
}

// Fill returns the inner size that conductors need with separators between all
// neighbours.
//
//	need_i = d_i + clearance_i    h = max need_i    B = sum need_i + (n - 1) t    R = max k_i d_i
//
// Source: common practice, no source.
func Fill(conductors []Conductor, separator float64) (Filling, error) {
	if err := given.NotNegative("thickness of the separators", separator); err != nil {
		return Filling{}, err
	}
	var f Filling
	for i, c := range conductors {
		if err := cmp.Or(
			given.Positive("diameter of "+c.Name, c.Diameter), given.NotNegative("mass of "+c.Name, c.Mass),
			given.NotNegative("bend factor of "+c.Name, c.BendFactor),
		); err != nil {
			return Filling{}, err
		}
		need := c.Diameter + c.Clearance()
		f.InnerHeight = math.Max(f.InnerHeight, need)
		f.InnerWidth += need
		if i > 0 {
			f.InnerWidth += separator
		}
		f.Mass += c.Mass
		f.Area += math.Pi / 4 * c.Diameter * c.Diameter
		factor, known := c.Bend()
		if !known {
			f.Unknown = append(f.Unknown, c.Name)
			continue
		}
		f.BendRadius = math.Max(f.BendRadius, factor*c.Diameter)
	}
	return f, nil
}

// Share is the share of an inner width and height (m) that the conductors take.
func (f Filling) Share(width, height float64) float64 { return f.Area / (width * height) }

// MayShare tells whether two neighbours may lie in one compartment of inner
// height h (m) without a separator: they must not be able to climb over each
// other, nor differ much, nor be hose beside cable.
//
//	d1 + d2 > 1.2 h and d ratio <= 2
//
// Source: common practice, no source.
func MayShare(a, b Conductor, height float64) bool {
	hose := func(k ConductorKind) bool { return k == AirHose || k == HydraulicHose }
	thick, thin := math.Max(a.Diameter, b.Diameter), math.Min(a.Diameter, b.Diameter)
	return thick+thin > 1.2*height && thick <= 2*thin && hose(a.Kind) == hose(b.Kind)
}

// Arrange orders conductors from left to right: the heaviest outermost, dealt
// alternately to both sides, so that the carrier is loaded evenly. It returns
// indices. Source: common practice, no source.
func Arrange(conductors []Conductor) []int {
	order := make([]int, len(conductors))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(conductors[b].Mass, conductors[a].Mass) })
	out := make([]int, len(order))
	left, right := 0, len(order)-1
	for n, i := range order {
		if n%2 == 0 {
			out[left] = i
			left++
		} else {
			out[right] = i
			right--
		}
	}
	return out
}
