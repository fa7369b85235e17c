package drive

import (
	"cmp"
	"fmt"
	"math"

	"spanwright/given"
)

// Bus is the DC link of a drive or of several drives together.
type Bus struct {
	Capacitance float64 // F
	Nominal     float64 // voltage at rest, V
	Limit       float64 // voltage at which the brake resistor switches on, V
	Resistance  float64 // of the brake resistor, ohm; 0 unknown or none
}

func (b Bus) check() error {
	if err := cmp.Or(
		given.NotNegative("bus capacitance", b.Capacitance),
		given.Positive("bus voltage", b.Nominal),
		given.Positive("bus voltage limit", b.Limit),
	); err != nil {
		return err
	}
	if !(b.Limit > b.Nominal) {
		return fmt.Errorf("%w: the bus limit %.5g V must lie above its voltage %.5g V", given.ErrRefused, b.Limit, b.Nominal)
	}
	return nil
}

// Storage returns what the capacitors take up to the limit,
// C (V_limit² - V_0²)/2, J.
//
// Source: published, energy of a capacitor.
func (b Bus) Storage() (float64, error) {
	if err := b.check(); err != nil {
		return 0, err
	}
	return b.Capacitance * (b.Limit - b.Nominal) * (b.Limit + b.Nominal) / 2, nil
}

// ResistorPeak returns V_limit²/R, W: it must exceed the peak braking power.
func (b Bus) ResistorPeak() (float64, error) {
	if err := cmp.Or(b.check(), given.Positive("brake resistance", b.Resistance)); err != nil {
		return 0, err
	}
	return b.Limit * b.Limit / b.Resistance, nil
}

// Regeneration is one braking event.
type Regeneration struct {
	Bus      float64 // energy that reaches the bus, J
	Storage  float64 // what the capacitors could take, J
	Resistor float64 // energy the resistor must burn, J
}

// Regenerate returns where the braking energy of one event goes.
//
//	E_bus = eta E_shaft,  E_R = max(0, E_bus - E_C)
//
// shaft is the energy at the motor shaft in J, efficiency that of motor and
// drive. Emergency stops of all axes on one bus at once are the sizing event:
// add their shaft energies.
//
// Source: derived, energy balance.
func (b Bus) Regenerate(shaft, efficiency float64) (Regeneration, error) {
	storage, err := b.Storage()
	if err := cmp.Or(err, given.NotNegative("braking energy", shaft), given.Share("drive efficiency", efficiency)); err != nil {
		return Regeneration{}, err
	}
	bus := efficiency * shaft
	return Regeneration{Bus: bus, Storage: storage, Resistor: math.Max(0, bus-storage)}, nil
}

// MeanPower returns energy over period, W.
func MeanPower(energy, period float64) (float64, error) {
	if err := cmp.Or(given.Finite("energy", energy), given.Positive("period", period)); err != nil {
		return 0, err
	}
	return energy / period, nil
}

// CycleEnergy is the mechanical energy of an axis over one cycle; motion.Demand
// and MotorDemand give it.
type CycleEnergy struct {
	Motoring   float64 // work of the drive, J
	Braking    float64 // work of the load on the drive, J
	Efficiency float64 // of what lies between there and the bus, both ways
	Period     float64 // s
}

// Electrical is the electrical side of a cycle.
type Electrical struct {
	Drawn           float64 // E+ = motoring/eta, J
	Returned        float64 // E- = braking eta, J
	MeanNoRecovery  float64 // E+/T, W: all braking energy is burnt
	MeanAllRecovery float64 // (E+ - E-)/T, W: other axes take all of it
}

// Electrical returns what the cycle draws from and returns to the bus.
//
// Source: derived, energy balance.
func (c CycleEnergy) Electrical() (Electrical, error) {
	if err := cmp.Or(
		given.NotNegative("motoring energy", c.Motoring),
		given.NotNegative("braking energy", c.Braking),
		given.Share("efficiency", c.Efficiency),
		given.Positive("period", c.Period),
	); err != nil {
		return Electrical{}, err
	}
	e := Electrical{Drawn: c.Motoring / c.Efficiency, Returned: c.Braking * c.Efficiency}
	e.MeanNoRecovery = e.Drawn / c.Period
	e.MeanAllRecovery = (e.Drawn - e.Returned) / c.Period
	return e, nil
}

// PeakDraw is an axis at its most powerful moment.
type PeakDraw struct {
	Mechanical float64 // largest F v, W
	Efficiency float64 // of what lies between there and the bus, without copper loss
	Current    float64 // rms phase current at that moment, A; 0 leaves copper loss out
	Resistance float64 // of one phase, warm, ohm
}

// Power returns the peak electrical power, P/eta + 3 I² R, W.
//
// Source: derived, power balance; three phases.
func (p PeakDraw) Power() (float64, error) {
	if err := cmp.Or(
		given.NotNegative("mechanical power", p.Mechanical), given.Share("efficiency", p.Efficiency),
		given.NotNegative("phase current", p.Current), given.NotNegative("phase resistance", p.Resistance),
	); err != nil {
		return 0, err
	}
	return p.Mechanical/p.Efficiency + 3*p.Current*p.Current*p.Resistance, nil
}

// Supply is the power of several axes together over one cycle.
type Supply struct {
	Peak float64 // largest power drawn at one time, W, >= 0
	Mean float64 // W, returned power counted against drawn power
	RMS  float64 // of the drawn power, W: heats transformer and line
	Sum  float64 // sum of the axes' own peaks, W: what the machine would need if they coincided
}

// TogetherSupply adds the electrical power of axes sampled at the same, evenly
// spaced times of the cycle, W, negative where power is returned. All series
// have the same length.
//
// Source: derived; the peaks of axes rarely coincide, so their sum is no
// sizing value.
func TogetherSupply(axes ...[]float64) (Supply, error) {
	if len(axes) == 0 || len(axes[0]) == 0 {
		return Supply{}, fmt.Errorf("%w: no power samples", given.ErrRefused)
	}
	var s Supply
	for i, axis := range axes {
		if len(axis) != len(axes[0]) {
			return Supply{}, fmt.Errorf("%w: axis %d has %d power samples, axis 1 has %d", given.ErrRefused, i+1, len(axis), len(axes[0]))
		}
		peak := 0.0
		for _, p := range axis {
			if err := given.Finite("power sample", p); err != nil {
				return Supply{}, err
			}
			peak = math.Max(peak, p)
		}
		s.Sum += peak
	}
	n := float64(len(axes[0]))
	var square float64
	for k := range axes[0] {
		var total float64
		for _, axis := range axes {
			total += axis[k]
		}
		drawn := math.Max(0, total)
		s.Peak = math.Max(s.Peak, drawn)
		s.Mean += total / n
		square += drawn * drawn / n
	}
	s.RMS = math.Sqrt(square)
	return s, nil
}
