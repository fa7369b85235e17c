package rolling

import (
	"fmt"
	"math"
)

// Edition says which table of reliability factors holds.
type Edition uint8

const (
	// Edition2007 is the table of ISO 281:2007 (from memory).
	Edition2007 Edition = iota + 1
	// Edition1990 is the table of ISO 281:1990 (from memory), still in use for
	// linear guides; it is the more cautious one.
	Edition1990
)

// String names the edition.
func (e Edition) String() string {
	switch e {
	case Edition2007:
		return "ISO 281:2007"
	case Edition1990:
		return "ISO 281:1990"
	default:
		return "no edition"
	}
}

var reliabilities = [...]struct {
	share      float64
	now, older float64
}{
	{0.90, 1, 1},
	{0.95, 0.64, 0.62},
	{0.96, 0.55, 0.53},
	{0.97, 0.47, 0.44},
	{0.98, 0.37, 0.33},
	{0.99, 0.25, 0.21},
}

// Reliability returns the life factor a_1 for the share of elements that shall
// survive: 0.90, 0.95, 0.96, 0.97, 0.98 or 0.99. Between the rows nothing is
// interpolated; it returns ErrNotTabulated.
//
// Source: ISO 281:2007 and ISO 281:1990 (from memory).
func Reliability(edition Edition, share float64) (float64, error) {
	const rounding = 1e-9 // a share typed as 0.95 or divided as 95/100
	for _, r := range reliabilities {
		if !(math.Abs(share-r.share) <= rounding) {
			continue
		}
		switch edition {
		case Edition2007:
			return r.now, nil
		case Edition1990:
			return r.older, nil
		}
	}
	return 0, fmt.Errorf("%w: reliability %.4g in %v; 0.90, 0.95, 0.96, 0.97, 0.98, 0.99 of ISO 281:2007 or ISO 281:1990 are", ErrNotTabulated, share, edition)
}
