package equip

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"spanwright/given"
)

// Use is how hard a machine works.
type Use struct {
	CyclesPerHour float64
	HoursPerYear  float64
}

// RelubricationTime is the running time (s) in which an axis covers the
// travel (m) between relubrications.
//
//	t = L/(distance per cycle x cycles per hour)
func RelubricationTime(interval, distancePerCycle, cyclesPerHour float64) (float64, error) {
	if err := cmp.Or(
		given.Positive("travel between relubrications", interval), given.Positive("distance per cycle", distancePerCycle),
		given.Positive("cycles per hour", cyclesPerHour),
	); err != nil {
		return 0, err
	}
	return interval / (distancePerCycle * cyclesPerHour) * hour, nil
}

const hour = 3600.0 // s

// Moving is an axis as maintenance sees it.
type Moving struct {
	Name             string
	DistancePerCycle float64 // m
	GuideInterval    float64 // travel between relubrications of the guides, m; 0: not stated
	ScrewInterval    float64 // the same of a ball screw, m; 0: no screw
	Belt             bool
	Rack             bool
	Brake            bool
	CarrierCycles    float64 // bending cycles that the carrier stands; 0: no carrier or not stated
	CyclesOfCarrier  float64 // strokes per machine cycle
	Carrier          bool
}

// Maintained is the machine as maintenance sees it.
type Maintained struct {
	Axes       []Moving
	Curtain    bool
	Vacuum     bool
	PeopleNear bool // brakes are then tested every shift instead of every month
}

// Task is one row of the maintenance plan.
type Task struct {
	Item   string
	First  float64 // running time until it is first due, s
	Every  float64 // running time between later ones, s
	Action string
	Source string
}

const practice = "common practice, no source; part data wins"

// Plan lists what a machine needs, sorted by first due. Calendar intervals are
// converted with the running hours in the year.
//
// Source: common practice, no source; part data wins.
func Plan(m Maintained, u Use) ([]Task, error) {
	if err := cmp.Or(given.Positive("cycles per hour", u.CyclesPerHour), given.Within("hours per year", u.HoursPerYear, 1, 8784)); err != nil {
		return nil, err
	}
	year := u.HoursPerYear * hour
	month, shift := year/12, 8*hour
	plan := []Task{
		{"screws and slot joints", 50 * hour, year, "retorque to the commissioning values and mark with a line; replace a screw that has turned by more than 15 degrees and look at its joint again", practice},
		{"over-travel switches and emergency stop", month, month, "function test, log it", practice},
		{"stopping times", year, year, "measure and compare with commissioning", practice},
		{"bumpers and shock absorbers", year, year, "travel and leaks; also after every hit at speed", practice},
		{"guards, anchors, levelling", year, year, "level within 0.1 mm/m of commissioning", practice},
	}
	if m.Curtain {
		plan = append(plan, Task{"light curtain", month, month, "function test with the test rod, log it", practice})
	}
	if m.Vacuum {
		plan = append(plan, Task{"filters and cups", 500 * hour, 500 * hour, "clean filters, replace worn cups, test retention", practice})
	}
	for _, a := range m.Axes {
		rows, err := a.tasks(u, month, shift, m.PeopleNear)
		if err != nil {
			return nil, err
		}
		plan = append(plan, rows...)
	}
	slices.SortStableFunc(plan, func(a, b Task) int {
		return cmp.Or(cmp.Compare(a.First, b.First), cmp.Compare(a.Item, b.Item))
	})
	return plan, nil
}

// usualScrewInterval limits the running time of a ball screw between greasings.
const usualScrewInterval = 500 * hour

func (a Moving) tasks(u Use, month, shift float64, peopleNear bool) ([]Task, error) {
	var rows []Task
	add := func(what string, every float64, action, source string) {
		rows = append(rows, Task{Item: fmt.Sprintf("axis %s: %s", a.Name, what), First: every, Every: every, Action: action, Source: source})
	}
	if a.GuideInterval > 0 {
		t, err := RelubricationTime(a.GuideInterval, a.DistancePerCycle, u.CyclesPerHour)
		if err != nil {
			return nil, fmt.Errorf("axis %s: %w", a.Name, err)
		}
		add("guides", math.Min(t, 12*month), "grease by volume, then run the full stroke", "part data, at least once a year")
	} else {
		add("guides", 6*month, "grease by volume, then run the full stroke", practice)
	}
	if a.ScrewInterval > 0 {
		t, err := RelubricationTime(a.ScrewInterval, a.DistancePerCycle, u.CyclesPerHour)
		if err != nil {
			return nil, fmt.Errorf("axis %s: %w", a.Name, err)
		}
		add("ball screw", math.Min(t, usualScrewInterval), "grease", "part data, at least every 500 h")
	}
	if a.Rack {
		add("rack and pinion", month, "check the felt wheel or lubricator", practice)
	}
	if a.Belt {
		every := math.Min(500*hour, 6*month)
		rows = append(rows, Task{fmt.Sprintf("axis %s: belt", a.Name), 50 * hour, every, "frequency of the strand within 10 % of the target tension", practice})
	}
	if a.Brake {
		every := month
		if peopleNear {
			every = shift
		}
		add("hold brake", every, "test with 1.3 times the static load, log torque and slip; look at the wear gap every year", practice)
	}
	if a.Carrier {
		add("cable carrier", month, "no cable displaced, no pile of dust", practice)
	}
	if a.CarrierCycles > 0 && a.CyclesOfCarrier > 0 {
		add("cables in the carrier", a.CarrierCycles/(a.CyclesOfCarrier*u.CyclesPerHour)*hour, "replace", "part data")
	}
	return rows, nil
}
