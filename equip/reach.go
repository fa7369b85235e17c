package equip

import (
	"cmp"
	"fmt"

	"spanwright/given"
)

// ReachTable is a table of horizontal distances that keep a hazard behind a
// protective structure out of reach.
type ReachTable struct {
	Source    string
	Confirmed bool    // the numbers were seen in the source, not recalled
	Unit      float64 // of all heights and distances, m
	OutOf     float64 // hazards from this height on are out of reach, in Unit
	Hazard    []int   // rows: height of the hazard, falling
	Structure []int   // columns: height of the structure, rising
	Distance  [][]int
}

// HighRiskReach is the table for high risk.
//
// Source: ISO 13857, Table 2, from memory.
func HighRiskReach() ReachTable {
	return ReachTable{
		Source: "ISO 13857, Table 2 (from memory)", Unit: 1e-3, OutOf: 2700,
		Hazard:    []int{2700, 2600, 2400, 2200, 2000, 1800, 1600, 1400, 1200, 1000, 800, 600, 400, 200, 0},
		Structure: []int{1000, 1200, 1400, 1600, 1800, 2000, 2200, 2400, 2500, 2700},
		Distance: [][]int{
			{0, 0, 0, 0, 0, 0, 0, 0, 0, 0},
			{900, 800, 700, 600, 600, 500, 400, 300, 100, 0},
			{1100, 1000, 900, 800, 700, 600, 400, 300, 100, 0},
			{1300, 1200, 1000, 900, 800, 600, 400, 300, 0, 0},
			{1400, 1300, 1100, 900, 800, 600, 400, 0, 0, 0},
			{1500, 1400, 1100, 900, 800, 600, 0, 0, 0, 0},
			{1500, 1400, 1100, 900, 800, 500, 0, 0, 0, 0},
			{1500, 1400, 1100, 900, 800, 0, 0, 0, 0, 0},
			{1500, 1400, 1100, 900, 700, 0, 0, 0, 0, 0},
			{1500, 1400, 1000, 800, 0, 0, 0, 0, 0, 0},
			{1500, 1300, 900, 600, 0, 0, 0, 0, 0, 0},
			{1400, 1300, 800, 0, 0, 0, 0, 0, 0, 0},
			{1400, 1200, 400, 0, 0, 0, 0, 0, 0, 0},
			{1200, 900, 0, 0, 0, 0, 0, 0, 0, 0},
			{1100, 500, 0, 0, 0, 0, 0, 0, 0, 0},
		},
	}
}

// LowRiskReach is the table of a public rule for fixed barricades, in inches; it
// has the same origin as the low-risk table of ISO 13857.
//
// Hazards from 2.5 m on are out of reach (ISO 13857, low risk, from memory).
//
// Source: Washington Administrative Code, WAC 296-806-20056, Table 200-2, seen.
func LowRiskReach() ReachTable {
	return ReachTable{
		Source: "WAC 296-806-20056, Table 200-2", Confirmed: true, Unit: 0.0254, OutOf: 99,
		Hazard:    []int{96, 86, 78, 71, 63, 55, 48, 40, 32, 24, 16, 8},
		Structure: []int{40, 48, 55, 63, 71, 78, 86, 96},
		Distance: [][]int{
			{4, 4, 4, 4, 4, 4, 4, 0},
			{24, 24, 20, 20, 16, 14, 10, 0},
			{43, 36, 28, 24, 20, 14, 0, 0},
			{43, 40, 36, 36, 24, 0, 0, 0},
			{51, 40, 36, 36, 20, 0, 0, 0},
			{51, 40, 36, 32, 4, 0, 0, 0},
			{55, 40, 36, 20, 0, 0, 0, 0},
			{55, 40, 36, 12, 0, 0, 0, 0},
			{51, 36, 24, 0, 0, 0, 0, 0},
			{48, 20, 0, 0, 0, 0, 0, 0},
			{48, 12, 0, 0, 0, 0, 0, 0},
			{43, 8, 0, 0, 0, 0, 0, 0},
		},
	}
}

// Reach is a distance out of a reach table.
type Reach struct {
	Least        float64 // horizontal distance from structure to hazard, m
	Source       string
	AtBestTight  bool   // the table was not seen: no verdict better than tight, with the note below
	Note         string // what to confirm, "" if nothing
	MoreMeasures bool   // a structure of 1.0 to 1.4 m needs further measures at high risk
}

// At returns the least distance for a hazard and a structure (heights, m).
// Between the table's heights nothing is interpolated: the next lower structure
// counts, and of the two neighbouring hazard heights the one that asks for more.
//
// It returns ErrOutsideTable, wrapped, for a structure lower than the table's
// lowest (not allowed) and a hazard below the table. standardAtHand says that
// the user has compared the table with the standard.
func (t ReachTable) At(hazard, structure float64, standardAtHand bool) (Reach, error) {
	if err := cmp.Or(given.NotNegative("height of the hazard", hazard), given.NotNegative("height of the structure", structure)); err != nil {
		return Reach{}, err
	}
	r := Reach{Source: t.Source}
	if !t.Confirmed && !standardAtHand {
		r.AtBestTight, r.Note = true, "the table is from memory: confirm it against the standard in force"
	}
	r.MoreMeasures = !t.Confirmed && structure < 1.4
	// Heights that were written in the table's unit meet its lines in spite of round-off.
	const onLine = 1e-6
	a, b := hazard/t.Unit, structure/t.Unit
	column := -1
	for k, s := range t.Structure {
		if float64(s) <= b+onLine {
			column = k
		}
	}
	last := len(t.Hazard) - 1
	switch {
	case column < 0:
		return Reach{}, fmt.Errorf("%w: a structure of %.4g m is lower than the least of %.4g m", ErrOutsideTable, structure, float64(t.Structure[0])*t.Unit)
	case a >= t.OutOf-onLine:
		return r, nil
	case a < float64(t.Hazard[last])-onLine:
		return Reach{}, fmt.Errorf("%w: a hazard at %.4g m lies below the table's %.4g m", ErrOutsideTable, hazard, float64(t.Hazard[last])*t.Unit)
	}
	most := 0
	for k, h := range t.Hazard {
		at := float64(h)
		above := at >= a-onLine && (k == last || float64(t.Hazard[k+1]) < a-onLine)
		below := at <= a+onLine && (k == 0 || float64(t.Hazard[k-1]) > a+onLine)
		if above || below {
			most = max(most, t.Distance[k][column])
		}
	}
	r.Least = float64(most) * t.Unit
	return r, nil
}

// Opening is the shape of an opening in a guard.
type Opening string

// The shapes.
const (
	Slot   Opening = "slot"
	Square Opening = "square"
	Round  Opening = "round"
)

// ReachThrough is the least distance behind an opening of a size e (m: slot
// width, square side, diameter) for people of 14 years and more; length is the
// length of a slot (m).
//
// Source: ISO 13857, Table 4, from memory.
func ReachThrough(shape Opening, size, length float64, standardAtHand bool) (Reach, error) {
	if err := given.Positive("size of the opening", size); err != nil {
		return Reach{}, err
	}
	rows := [...]struct{ size, slot, square, round float64 }{
		{4, 2, 2, 2}, {6, 10, 5, 5}, {8, 20, 15, 5}, {10, 80, 25, 20}, {12, 100, 80, 80},
		{20, 120, 120, 120}, {30, 850, 120, 120}, {40, 850, 200, 120}, {120, 850, 850, 850},
	}
	const onLine = 1e-6 // mm
	for _, row := range rows {
		if size*1000 > row.size+onLine {
			continue
		}
		r := Reach{Source: "ISO 13857, Table 4 (from memory)"}
		if !standardAtHand {
			r.AtBestTight, r.Note = true, "the table is from memory: confirm it against the standard in force"
		}
		switch shape {
		case Slot:
			r.Least = row.slot / 1000
			if row.size == 30 && length > 0 && length <= 0.065 {
				r.Least = 0.2
			}
		case Square:
			r.Least = row.square / 1000
		case Round:
			r.Least = row.round / 1000
		default:
			return Reach{}, fmt.Errorf("%w: opening of shape %q", given.ErrRefused, shape)
		}
		return r, nil
	}
	return Reach{}, fmt.Errorf("%w: an opening of %.4g m is wider than 0.12 m and lets people pass", ErrOutsideTable, size)
}

// Fences. Source: common practice, no source.
const (
	UsualFenceHeight = 2.0  // m
	MostFloorGap     = 0.18 // between fence and floor, m
)

// BodyPart is a part of the body that can be crushed.
type BodyPart string

// The parts.
const (
	Body   BodyPart = "body"
	Head   BodyPart = "head"
	LegOf  BodyPart = "leg"
	Foot   BodyPart = "foot"
	Toes   BodyPart = "toes"
	Arm    BodyPart = "arm"
	Hand   BodyPart = "hand"
	Finger BodyPart = "finger"
)

// LeastGap is the least gap (m) in which a part of the body is not crushed; hand
// stands for hand, wrist and fist. It applies at each end of travel where a
// person can stand inside the fence.
//
// Source: ISO 13854, Table 1, from memory: no verdict better than tight unless
// the standard is at hand.
func LeastGap(p BodyPart) (float64, error) {
	switch p {
	case Body:
		return 0.5, nil
	case Head:
		return 0.3, nil
	case LegOf:
		return 0.18, nil
	case Foot, Arm:
		return 0.12, nil
	case Toes:
		return 0.05, nil
	case Hand:
		return 0.1, nil
	case Finger:
		return 0.025, nil
	}
	return 0, fmt.Errorf("%w: part of the body %q", given.ErrRefused, p)
}
