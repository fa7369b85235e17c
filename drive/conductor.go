package drive

import (
	"cmp"
	"fmt"
	"math"

	"spanwright/given"
)

// ThreePhase is a three-phase supply of a drive.
type ThreePhase struct {
	ShaftPower  float64 // mechanical, W
	Efficiency  float64 // motor and drive
	PowerFactor float64 // cos(phi); 0.6 to 0.9 with diode inputs (common practice)
	Voltage     float64 // between phases, V
}

// Current returns the input current per phase, A.
//
//	I = P/(sqrt3 V cos(phi) eta)
//
// Source: published, three-phase power.
func (t ThreePhase) Current() (float64, error) {
	if err := cmp.Or(
		given.NotNegative("shaft power", t.ShaftPower),
		given.Share("efficiency", t.Efficiency),
		given.Share("power factor", t.PowerFactor),
		given.Positive("voltage", t.Voltage),
	); err != nil {
		return 0, err
	}
	return t.ShaftPower / (math.Sqrt(3) * t.Voltage * t.PowerFactor * t.Efficiency), nil
}

// Annealed copper.
//
// Source: published, IEC 60028; temperatures counted from 20 degC.
const (
	CopperResistivity = 1.7241e-8 // at 20 degC, ohm m
	copperPerKelvin   = 0.00393   // 1/K
	copperReference   = 293.15    // K
)

// CopperResistivityAt returns the resistivity of annealed copper at a
// temperature in K, ohm m.
func CopperResistivityAt(temperature float64) (float64, error) {
	if err := given.Within("conductor temperature", temperature, 200, 500); err != nil {
		return 0, err
	}
	return CopperResistivity * (1 + copperPerKelvin*(temperature-copperReference)), nil
}

// Line is a run of three-phase cable.
type Line struct {
	Length      float64 // one way, m
	Section     float64 // of one conductor, m²
	Temperature float64 // of the conductor in operation, K
}

// VoltageDrop returns the drop between phases, V; the reactance is neglected,
// as it may be up to about 16 mm².
//
//	dU = sqrt3 I l rho cos(phi)/A
//
// Keep it below 5 % of the voltage.
//
// Source: published, ohmic drop of a three-phase line; 5 % from memory of
// IEC 60204-1, clause 12.5.
func (l Line) VoltageDrop(current, powerFactor float64) (float64, error) {
	rho, err := CopperResistivityAt(l.Temperature)
	if err := cmp.Or(err,
		given.Positive("line length", l.Length),
		given.Positive("conductor section", l.Section),
		given.NotNegative("current", current),
		given.Share("power factor", powerFactor),
	); err != nil {
		return 0, err
	}
	return math.Sqrt(3) * current * l.Length * rho * powerFactor / l.Section, nil
}

// Laying is how a cable is installed, by the letters of IEC 60204-1.
type Laying string

// The four ways of the table: in conduit, multicore in conduit, on walls or open
// trays, on ladders and in carriers with free air.
const (
	LayingB1 Laying = "B1"
	LayingB2 Laying = "B2"
	LayingC  Laying = "C"
	LayingE  Laying = "E"
)

func (l Laying) column() (int, error) {
	for i, known := range []Laying{LayingB1, LayingB2, LayingC, LayingE} {
		if l == known {
			return i, nil
		}
	}
	return 0, fmt.Errorf("%w: way of laying %q; B1, B2, C, E are tabulated", ErrOutsideData, string(l))
}

// ConductorSize is a standard section and what it carries.
type ConductorSize struct {
	Section float64 // m²
	Rating  float64 // A, copper with PVC, steady, 40 degC around it
}

// conductorRows are mm² and A for B1, B2, C, E.
var conductorRows = [...]struct {
	section float64
	rating  [4]float64
}{
	{0.75, [4]float64{8.6, 8.5, 9.8, 10.4}},
	{1.0, [4]float64{10.3, 10.1, 11.7, 12.4}},
	{1.5, [4]float64{13.5, 13.1, 15.2, 16.1}},
	{2.5, [4]float64{18.3, 17.4, 21, 22}},
	{4, [4]float64{24, 23, 28, 30}},
	{6, [4]float64{31, 30, 36, 37}},
	{10, [4]float64{44, 40, 50, 52}},
	{16, [4]float64{59, 54, 66, 70}},
	{25, [4]float64{77, 70, 84, 88}},
}

// Conductor is what a conductor must carry and how it is laid.
type Conductor struct {
	Current  float64 // rms, A
	Ambient  float64 // factor for the surroundings, see AmbientFactor
	Grouping float64 // factor for neighbours, see GroupingFactor
	Laying   Laying
}

// RequiredRating returns I/(k_T k_group), A.
//
// Source: IEC 60204-1 (from memory).
func (c Conductor) RequiredRating() (float64, error) {
	if err := cmp.Or(
		given.NotNegative("current", c.Current),
		given.Within("ambient factor", c.Ambient, 0.1, 2),
		given.Share("grouping factor", c.Grouping),
	); err != nil {
		return 0, err
	}
	return c.Current / (c.Ambient * c.Grouping), nil
}

// Smallest returns the smallest tabulated section that carries the current. It
// is a proposal: protection, earthing and the edition in force are the
// electrical designer's.
//
// Source: IEC 60204-1, Table 6 (from memory).
func (c Conductor) Smallest() (ConductorSize, error) {
	need, err := c.RequiredRating()
	if err != nil {
		return ConductorSize{}, err
	}
	column, err := c.Laying.column()
	if err != nil {
		return ConductorSize{}, err
	}
	for _, row := range conductorRows {
		if row.rating[column] >= need {
			return ConductorSize{Section: row.section * 1e-6, Rating: row.rating[column]}, nil
		}
	}
	return ConductorSize{}, fmt.Errorf("%w: %.4g A needs more than 25 mm²", ErrOutsideData, need)
}

// Least copper sections outside enclosures, m².
//
// Source: IEC 60204-1 (from memory).
const (
	LeastPowerSection   = 1.0e-6
	LeastControlSection = 0.75e-6
	LeastDataSection    = 0.2e-6
)

// AmbientFactor returns k_T of PVC cables for the temperature around them in K.
// Between the rows the next warmer one holds; below 30 degC its value does.
//
// Source: IEC 60204-1 (from memory).
func AmbientFactor(temperature float64) (float64, error) {
	if err := given.Positive("ambient temperature", temperature); err != nil {
		return 0, err
	}
	const rounding = 1e-6 // K
	celsius := temperature - 273.15
	for _, row := range [...]struct{ upTo, factor float64 }{{30, 1.15}, {40, 1}, {45, 0.91}, {50, 0.82}, {55, 0.71}, {60, 0.58}} {
		if celsius <= row.upTo+rounding {
			return row.factor, nil
		}
	}
	return 0, fmt.Errorf("%w: PVC cables in %.4g degC; tabulated to 60 degC", ErrOutsideData, celsius)
}

// GroupingFactor returns the factor for loaded circuits side by side. Between
// the rows the next larger number holds.
//
// Source: IEC 60204-1 (from memory).
func GroupingFactor(laying Laying, circuits int) (float64, error) {
	column, err := laying.column()
	if err := cmp.Or(err, given.AtLeast("loaded circuits", circuits, 1)); err != nil {
		return 0, err
	}
	if circuits == 1 {
		return 1, nil
	}
	for _, row := range [...]struct {
		upTo   int
		factor [4]float64
	}{
		{2, [4]float64{0.80, 0.80, 0.85, 0.88}},
		{4, [4]float64{0.65, 0.65, 0.75, 0.77}},
		{6, [4]float64{0.57, 0.57, 0.72, 0.73}},
		{9, [4]float64{0.50, 0.50, 0.70, 0.72}},
	} {
		if circuits <= row.upTo {
			return row.factor[column], nil
		}
	}
	return 0, fmt.Errorf("%w: %d loaded circuits; tabulated to 9", ErrOutsideData, circuits)
}
