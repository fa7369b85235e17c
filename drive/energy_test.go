package drive

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestRegenerationBalances(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := Bus{Capacitance: rapid.Float64Range(0, 5e-3).Draw(t, "capacitance"), Nominal: 560, Limit: 780, Resistance: 60}
		shaft, eta := rapid.Float64Range(0, 2000).Draw(t, "energy"), rapid.Float64Range(0.5, 1).Draw(t, "efficiency")
		r, err := b.Regenerate(shaft, eta)
		if err != nil {
			t.Fatal(err)
		}
		if r.Bus > shaft || r.Resistor < 0 || r.Resistor > r.Bus || !(r.Bus-r.Resistor <= r.Storage*(1+1e-12)+1e-12) {
			t.Fatalf("%g J at the shaft: %+v", shaft, r)
		}
	})
}

func TestTogetherSupply(t *testing.T) {
	s, err := TogetherSupply([]float64{100, 0, -50, 0}, []float64{0, 200, 0, -80})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "peak", s.Peak, 200)
	near(t, "sum of peaks", s.Sum, 300)
	near(t, "mean", s.Mean, 42.5)
	near(t, "rms", s.RMS, math.Sqrt((100*100+200*200)/4.0))
	if _, err := TogetherSupply([]float64{1, 2}, []float64{1}); err == nil {
		t.Error("series of different length add up")
	}
}

// Recovery never costs, and a lossless axis draws what it moves.
func TestElectrical(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := CycleEnergy{
			Motoring: rapid.Float64Range(0, 1000).Draw(t, "motoring"), Braking: rapid.Float64Range(0, 1000).Draw(t, "braking"),
			Efficiency: rapid.Float64Range(0.5, 1).Draw(t, "efficiency"), Period: 3,
		}
		e, err := c.Electrical()
		if err != nil {
			t.Fatal(err)
		}
		if e.MeanAllRecovery > e.MeanNoRecovery || e.Drawn < c.Motoring || e.Returned > c.Braking {
			t.Fatalf("%+v of %+v", e, c)
		}
	})
}

// The tabulated section is the smallest that carries the current.
func TestSmallestConductor(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := Conductor{
			Current: rapid.Float64Range(0.1, 60).Draw(t, "current"), Ambient: 0.91, Grouping: 0.88,
			Laying: rapid.SampledFrom([]Laying{LayingB1, LayingB2, LayingC, LayingE}).Draw(t, "laying"),
		}
		size, err := c.Smallest()
		need, errNeed := c.RequiredRating()
		if errNeed != nil {
			t.Fatal(errNeed)
		}
		if err != nil {
			if need <= 70 {
				t.Fatalf("%g A: %v", need, err)
			}
			return
		}
		if size.Rating < need {
			t.Fatalf("%g A need %g, get %+v", c.Current, need, size)
		}
	})
}

func TestConductorFactors(t *testing.T) {
	for celsius, want := range map[float64]float64{20: 1.15, 30: 1.15, 31: 1, 40: 1, 45: 0.91, 60: 0.58} {
		got, err := AmbientFactor(celsius + 273.15)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "k_T", got, want)
	}
	for circuits, want := range map[int]float64{1: 1, 2: 0.88, 3: 0.77, 6: 0.73, 9: 0.72} {
		got, err := GroupingFactor(LayingE, circuits)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "grouping", got, want)
	}
}

// Losses in the line: drop times current is what the copper turns into heat,
// for a resistive load.
func TestVoltageDropIsHeat(t *testing.T) {
	line := Line{Length: 25, Section: 1.5e-6, Temperature: 343.15}
	const current = 5.66
	drop, err := line.VoltageDrop(current, 1)
	if err != nil {
		t.Fatal(err)
	}
	rho, err := CopperResistivityAt(line.Temperature)
	if err != nil {
		t.Fatal(err)
	}
	heat := 3 * current * current * rho * line.Length / line.Section
	near(t, "heat", math.Sqrt(3)*drop*current, heat)
}
