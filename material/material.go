// Package material holds the properties of the metals that machine frames are
// made of, each number with its source and how far that source is confirmed.
//
// It holds least values of standards, which a mill guarantees, not what a
// particular bar has. It knows no fatigue, fracture or temperature dependence.
// SI units: Pa, kg/m³, 1/K, m.
package material

import (
	"fmt"
	"math"
)

// Status tells how far a number is confirmed.
type Status string

const (
	Published      Status = "published"                  // in the named source, confirmed there or in a publication that quotes it
	FromMemory     Status = "published, from memory"     // recalled, not confirmed again
	CommonPractice Status = "common practice, no source" // usual in the trade
)

// Value is a number with the range that sources give for it.
type Value struct {
	Low, Nominal, High float64
	Source             string
	Status             Status
}

// Form of a product; strengths of some alloys differ between them.
type Form string

const (
	AnyForm Form = ""
	Solid   Form = "solid"
	Hollow  Form = "hollow"
)

// Strength holds the least strengths for a range of wall thickness.
type Strength struct {
	Form     Form    // AnyForm: holds for all
	Over     float64 // thickness above which it holds, m
	UpTo     float64 // largest thickness for which it holds, m
	Proof    float64 // least 0.2 % proof stress Rp0.2, or upper yield strength ReH of steel, Pa
	Ultimate float64 // least tensile strength Rm, Pa
	Source   string
	Status   Status
}

// Material is one alloy in one temper, or one grade of steel.
type Material struct {
	ID          string
	Name        string
	Family      Family
	HeatTreated bool    // buckling class A of EN 1999-1-1 instead of B; only for aluminium
	Modulus     Value   // Young's modulus, Pa
	Shear       Value   // shear modulus, Pa
	Poisson     float64 // from the same sources as Modulus
	Density     Value   // kg/m³
	Expansion   Value   // coefficient of linear expansion, 1/K
	Strengths   []Strength
	Welded      Value // proof stress beside a weld over that of the base metal; 0: not given
}

// Family groups metals that share rules of design.
type Family string

const (
	Aluminium Family = "aluminium"
	Steel     Family = "steel"
)

// UnknownStrengthError says that no strength is listed for what was asked.
type UnknownStrengthError struct {
	Material  string
	Thickness float64 // m
	Form      Form
}

func (e *UnknownStrengthError) Error() string {
	what := "wall"
	if e.Form != AnyForm {
		what = string(e.Form) + " wall"
	}
	return fmt.Sprintf("%s: no least strength is listed for a %s of %.4g mm", e.Material, what, e.Thickness*1e3)
}

// StrengthAt returns the least strengths for a wall of the given thickness, m.
// With AnyForm the weakest listed form counts. It returns an
// *UnknownStrengthError where the table says nothing.
func (m Material) StrengthAt(thickness float64, form Form) (Strength, error) {
	best := Strength{Proof: math.Inf(1)}
	for _, s := range m.Strengths {
		if thickness > s.Over && thickness <= s.UpTo && (form == AnyForm || s.Form == AnyForm || s.Form == form) && s.Proof < best.Proof {
			best = s
		}
	}
	if math.IsInf(best.Proof, 1) {
		return Strength{}, &UnknownStrengthError{m.Name, thickness, form}
	}
	return best, nil
}

// ByID returns the material with the given id.
func ByID(id string) (Material, bool) {
	for _, m := range All() {
		if m.ID == id {
			return m, true
		}
	}
	return Material{}, false
}
