package drive

import (
	"cmp"
	"fmt"

	"spanwright/given"
)

// Grade is an accuracy grade of ball screws: 0, 1, 3, 5, 7 or 10.
type Grade int

func (g Grade) check() error {
	_, err := g.Variation300()
	return err
}

// Variation300 returns v300p, the travel variation allowed in any 300 mm, m.
//
// Source: ISO 3408-3 (from memory).
func (g Grade) Variation300() (float64, error) {
	const micro = 1e-6
	switch g {
	case 0:
		return 3.5 * micro, nil
	case 1:
		return 6 * micro, nil
	case 3:
		return 12 * micro, nil
	case 5:
		return 23 * micro, nil
	case 7:
		return 52 * micro, nil
	case 10:
		return 210 * micro, nil
	default:
		return 0, fmt.Errorf("%w: screw grade %d; 0, 1, 3, 5, 7, 10 are tabulated", ErrOutsideData, int(g))
	}
}

// TransportError returns the travel error of a transport screw over a useful
// travel, e_p = 2 (l_u/300 mm) v300p, m; read as plus or minus.
//
// Source: ISO 3408-3 (from memory).
func (g Grade) TransportError(travel float64) (float64, error) {
	v, err := g.Variation300()
	if err := cmp.Or(err, given.Positive("useful travel", travel)); err != nil {
		return 0, err
	}
	return 2 * travel / 0.3 * v, nil
}

// travelRows are the tolerances of positioning screws, useful travel in mm, the
// rest in µm.
var travelRows = [...]struct{ upTo, e1, e3, e5, v5 float64 }{
	{315, 6, 12, 23, 23},
	{400, 7, 13, 25, 25},
	{500, 8, 15, 27, 26},
	{630, 9, 16, 30, 29},
	{800, 10, 18, 35, 31},
	{1000, 11, 21, 40, 35},
	{1250, 13, 24, 46, 39},
	{1600, 15, 29, 54, 44},
	{2000, 18, 35, 65, 51},
	{2500, 22, 41, 77, 59},
	{3150, 26, 50, 93, 69},
}

// PositioningError returns the tolerance e_p of the specified travel of a
// positioning screw of grade 1, 3 or 5, m; read as plus or minus.
//
// Source: ISO 3408-3 (from memory).
func (g Grade) PositioningError(travel float64) (float64, error) {
	return travelRow(travel, func(e1, e3, e5, _ float64) (float64, bool) {
		switch g {
		case 1:
			return e1, true
		case 3:
			return e3, true
		case 5:
			return e5, true
		default:
			return 0, false
		}
	})
}

// TravelBand returns the permissible travel variation v_up over the useful
// travel of a positioning screw of grade 5, m. Other grades are not tabulated
// here.
//
// Source: ISO 3408-3 (from memory).
func (g Grade) TravelBand(travel float64) (float64, error) {
	return travelRow(travel, func(_, _, _, v5 float64) (float64, bool) { return v5, g == 5 })
}

func travelRow(travel float64, pick func(e1, e3, e5, v5 float64) (float64, bool)) (float64, error) {
	if err := given.Positive("useful travel", travel); err != nil {
		return 0, err
	}
	const rounding = 1e-9 // m, a travel of 1 m must fall into the row up to 1000 mm
	for _, r := range travelRows {
		if travel > r.upTo*1e-3+rounding {
			continue
		}
		v, ok := pick(r.e1, r.e3, r.e5, r.v5)
		if !ok {
			return 0, fmt.Errorf("%w: this grade has no value for positioning screws here", ErrOutsideData)
		}
		return v * 1e-6, nil
	}
	return 0, fmt.Errorf("%w: useful travel %.4g m; tabulated to 3.15 m", ErrOutsideData, travel)
}
