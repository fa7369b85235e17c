package quantity

import (
	"testing"
)

func TestParse(t *testing.T) {
	tests := map[string]struct {
		text string
		kind Kind
		want float64
	}{
		"metres":                         {"1.8 m", Length, 1.8},
		"millimetres are rounded once":   {"0.228 mm", Length, 0.000228},
		"inches":                         {"40 in", Length, 1.016},
		"no space":                       {"450mm", Length, 0.45},
		"micro sign":                     {"12 µm", Length, 12e-6},
		"greek mu":                       {"12 μm", Length, 12e-6},
		"kilograms":                      {"12 kg", Mass, 12},
		"g is a gram for a mass":         {"1.5 g", Mass, 0.0015},
		"g is gravity for acceleration":  {"1.5 g", Acceleration, 1.5 * 9.80665},
		"rate an hour":                   {"540 /h", Rate, 0.15},
		"rate with one over":             {"9 1/min", Rate, 0.15},
		"rate with one over alone":       {"1/min", Rate, 1.0 / 60},
		"celsius":                        {"30 degC", Temperature, 303.15},
		"celsius sign":                   {"30 °C", Temperature, 303.15},
		"difference has no offset":       {"30 degC", TemperatureSpan, 30},
		"fahrenheit":                     {"50 degF", Temperature, 283.15},
		"torque closed":                  {"2.5 Nm", Torque, 2.5},
		"torque with dot":                {"2.5 N·m", Torque, 2.5},
		"torque with star and spaces":    {"2.5 N * m", Torque, 2.5},
		"powers as they are typed":       {"3 kg m^2", Inertia, 3},
		"powers raised":                  {"3 kg m²", Inertia, 3},
		"spaces round the slash":         {"3 N / mm", Stiffness, 3000},
		"stiffness per arc minute":       {"1 Nm/arcmin", RotationalStiffness, 1 / arcMinute},
		"per cent":                       {"85 %", Ratio, 0.85},
		"bare ratio":                     {"0.85", Ratio, 0.85},
		"rpm":                            {"60 rpm", AngularSpeed, 2 * 3.141592653589793},
		"minus sign of typesetting":      {"−5 mm", Length, -0.005},
		"exponent":                       {"1e7 N/m", Stiffness, 1e7},
		"exponent with e unit unharmed":  {"2 1/K", Expansion, 2},
		"narrow space":                   {"5\u202fmm", Length, 0.005},
		"psi":                            {"1 psi", Stress, 6894.757293168361}, // pound force over square inch, derived
		"second moment in quartic inch":  {"1 in4", SecondMoment, 4.162314256e-7},
		"microfarad":                     {"560 uF", Capacitance, 560e-6},
		"leading point":                  {".5 m", Length, 0.5},
		"zero":                           {"0 mm", Length, 0},
		"energy in newton metre of data": {"12 Nm", Energy, 12},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			got, err := Parse(c.text, c.kind)
			// One rounding in the factor, one in the product.
			if err != nil || !(abs(got-c.want) <= 4e-16*abs(c.want)) {
				t.Errorf("Parse(%q, %s) = %.17g, %v; want %.17g", c.text, c.kind, got, err, c.want)
			}
		})
	}
}

func abs(x float64) float64 { return max(x, -x) }

func TestUsualQuantitiesDoNotAllocate(t *testing.T) {
	if n := testing.AllocsPerRun(100, func() { _, _ = Parse("450.5 mm", Length) }); n != 0 {
		t.Errorf("%v allocations, want 0", n)
	}
}
