package section

import (
	"fmt"
	"math"
)

// Spread is how far the properties of a fitted outline may lie from those of
// the real profile, relative. Both are judgements without a source: mass fixes
// the amount of metal, not where it sits, and J depends on how cells close.
type Spread struct {
	Inertia float64 `json:"inertia,omitempty"` // of Iy and Iz
	Torsion float64 `json:"torsion,omitempty"` // of J
}

var matchedSpread = Spread{Inertia: 0.10, Torsion: 0.30}

// Fit is a T-slot profile whose wall or web was varied until its area met a
// given one.
type Fit struct {
	Profile TSlot
	Note    string // what was varied, from where to where
}

const (
	thinnest = 0.8e-3 // thinnest wall or web tried, m (common practice, no source)
	areaFit  = 1e-6   // relative difference of area that ends the search
)

// MatchMass varies the wall, and if that is not enough the web, until the
// profile has the given mass per length, kg/m, for a density in kg/m³.
func (t TSlot) MatchMass(massPerLength, density float64) (Fit, error) {
	if !(massPerLength > 0) || !(density > 0) {
		return Fit{}, fmt.Errorf("mass per metre %g kg/m and density %g kg/m³ must both be above zero", massPerLength, density)
	}
	f, err := t.MatchArea(massPerLength / density)
	if err != nil {
		return Fit{}, fmt.Errorf("%.4g kg/m at %.4g kg/m³: %w", massPerLength, density, err)
	}
	return f, nil
}

// MatchArea varies the wall, and if that is not enough the web, until the
// profile has the given area, m².
func (t TSlot) MatchArea(area float64) (Fit, error) {
	if s := t.fits(); s.failed() {
		return Fit{}, &ShapeError{s.reasons}
	}
	if !(area > 0) {
		return Fit{}, fmt.Errorf("an area of %g m² must be above zero", area)
	}
	withWall := func(x float64) TSlot { u := t; u.Wall = x; return u }
	lo, hi := t.wallRange()
	if x, ok := bisectArea(withWall, lo, hi, area); ok {
		return Fit{withWall(x), fmt.Sprintf("wall changed from %s to %s to match the mass", mm(t.Wall), mm(x))}, nil
	}
	// The web is tried with the wall as given, then with the wall that helps most.
	extreme := lo
	if area > t.area() {
		extreme = hi
	}
	least, most := withWall(lo).area(), withWall(hi).area()
	for _, wall := range []float64{t.Wall, extreme} {
		withWeb := func(x float64) TSlot { u := withWall(wall); u.Web = x; return u }
		lo, hi := t.webRange()
		if !(hi > lo) {
			break
		}
		if x, ok := bisectArea(withWeb, lo, hi, area); ok {
			note := fmt.Sprintf("web changed from %s to %s to match the mass", mm(t.Web), mm(x))
			if wall != t.Wall {
				note += fmt.Sprintf(", wall from %s to %s", mm(t.Wall), mm(wall))
			}
			return Fit{withWeb(x), note}, nil
		}
		for _, a := range []float64{withWeb(lo).area(), withWeb(hi).area()} {
			if a < least { // not min: some combinations fit no profile and have no area
				least = a
			}
			if a > most {
				most = a
			}
		}
	}
	return Fit{}, fmt.Errorf("an area of %.1f mm² cannot be reached by wall and web, which give %.1f to %.1f mm²: correct the slot or bore", area*1e6, least*1e6, most*1e6)
}

// wallRange returns the thinnest wall tried and the one at which no cell is left.
func (t TSlot) wallRange() (lo, hi float64) {
	hi = t.block()
	if t.Closed != (Faces{}) && t.FaceWall == 0 {
		hi = min(hi, 0.99*t.TaperStart()) // the closed faces grow with the walls
	}
	return thinnest, hi
}

// webRange returns the webs between which the slot has a taper.
func (t TSlot) webRange() (lo, hi float64) {
	free := t.Module - 2*t.Depth
	// Floor > 0 and TaperStart > Lip, each with a little room.
	least := max(1e-4, t.Inner-2*(t.Depth-t.Lip)+1e-4)
	return max(thinnest, (free-t.Inner)/math.Sqrt2), (free - least) / math.Sqrt2
}

// area returns the area without checking the outline; NaN if the numbers fit
// no profile.
func (t TSlot) area() float64 {
	s := t.fits()
	if s.failed() {
		return math.NaN()
	}
	a := t.outer().area()
	for _, holes := range [][]Loop{t.bores(), t.cells(), t.chambers(), t.closedSlots()} {
		for _, h := range holes {
			a -= math.Abs(h.area())
		}
	}
	return a
}

// bisectArea finds the value between lo and hi for which the profile, whose
// area grows with it, has the given area. It reports false if the range does
// not reach the area or jumps across it, as where a cell becomes too small to
// exist.
func bisectArea(with func(float64) TSlot, lo, hi, area float64) (float64, bool) {
	if !(with(lo).area() <= area*(1+areaFit)) || !(with(hi).area() >= area*(1-areaFit)) {
		return 0, false
	}
	for range 60 { // halves the range to rounding
		mid := (lo + hi) / 2
		if with(mid).area() < area {
			lo = mid
		} else {
			hi = mid
		}
	}
	return hi, math.Abs(with(hi).area()-area) <= areaFit*area
}

// Properties computes the fitted profile and marks the result as matched.
func (f Fit) Properties() (Properties, error) {
	o, err := f.Profile.Outline()
	if err != nil {
		return Properties{}, err
	}
	p, err := Compute(o)
	if err != nil {
		return Properties{}, err
	}
	p.Origin = Matched
	p.Spread = matchedSpread
	p.Notes = append(p.Notes, f.Note, fmt.Sprintf(
		"the outline is fitted to the mass, not measured: expect Iy and Iz within %.0f %% and J within %.0f %% of the real profile (judgement)",
		100*matchedSpread.Inertia, 100*matchedSpread.Torsion))
	return p, nil
}
