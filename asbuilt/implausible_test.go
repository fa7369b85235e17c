package asbuilt

import (
	"strings"
	"testing"
)

// A reading that cannot be one is refused: it would pass a test that nobody
// carried out, a negative stop among them.
func TestReadingsThatCannotBe(t *testing.T) {
	p := plan(t)
	good := map[Test]map[string]string{
		Resonance: {"frequency_hz": "6.1", "damping": "0.02", "amplitude": "1"},
		Stop:      {"distance_mm": "150", "time_s": "0.3"},
		Brake:     {"torque_Nm": "3", "duration_s": "600", "movement_mm": "0.01"},
	}
	for name, c := range map[string]struct {
		test          Test
		column, value string
		want          string // in the mistakes; "": none
	}{
		"a frequency below zero":    {Resonance, "frequency_hz", "-6.1", "frequency_hz: -6.1 is no reading"},
		"a frequency of zero":       {Resonance, "frequency_hz", "0", "frequency_hz: 0 is no reading"},
		"damping in per cent":       {Resonance, "damping", "2", "damping: 2 is no ratio"},
		"damping not read":          {Resonance, "damping", "", ""},
		"a stop backwards":          {Stop, "distance_mm", "-150", "distance_mm: -150 is no reading"},
		"a stop in no time":         {Stop, "time_s", "0", "time_s: 0 is no reading"},
		"a brake held before it is": {Brake, "duration_s", "-600", "duration_s: -600 is no reading"},
		"a stop":                    {Stop, "distance_mm", "150", ""},
	} {
		t.Run(name, func(t *testing.T) {
			text := filled(t, p, c.test, func(row int, cells map[string]string) {
				for k, v := range good[c.test] {
					cells[k] = v
				}
				if row == 0 {
					cells[c.column] = c.value
				}
			})
			_, list := Read("f.csv", []byte(text), Head{Machine: "portal", Hash: hash, Revision: "A"})
			if c.want == "" {
				if len(list) > 0 {
					t.Errorf("refused: %v", list)
				}
				return
			}
			if err := list.Err(); err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("%v, want %q", err, c.want)
			}
		})
	}
}

// The mean speed of a stop from 1.6 m/s in 0.3 s lies between 0.16 and 1.76 m/s,
// its distance between 48 and 528 mm.
func TestStopInTheWrongUnit(t *testing.T) {
	row := func(distance, time, speed float64) Row {
		return Row{Num: map[string]float64{"distance_mm": distance, "time_s": time, "speed_m_s": speed}}
	}
	for name, c := range map[string]struct {
		row  Row
		want bool
	}{
		"constant deceleration":   {row(240, 0.3, 1.6), false},
		"just enough":             {row(49, 0.3, 1.6), false},
		"metres":                  {row(0.24, 0.3, 1.6), true},
		"milliseconds":            {row(240, 300, 1.6), true},
		"farther than full speed": {row(530, 0.3, 1.6), true},
		"from standstill":         {row(240, 0.3, 0), true},
	} {
		if got := unlikelyStop(c.row); got != c.want {
			t.Errorf("%s: %v, want %v", name, got, c.want)
		}
	}
}
