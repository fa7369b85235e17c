package quantity

import (
	"errors"
	"testing"
)

func TestParseRefuses(t *testing.T) {
	tests := map[string]struct {
		text string
		kind Kind
		code Code
		want string
	}{
		"wrong kind":               {"450 kg", Length, UnitKind, `450 kg is a mass; a length is needed, e.g. "450 mm"`},
		"pound for a force":        {"5 lb", Force, UnitKind, `5 lb is a mass; a force is needed, e.g. "5 N"`},
		"joule for a torque":       {"5 J", Torque, UnitKind, `5 J is an energy; a torque is needed, e.g. "5 N m"`},
		"no unit":                  {"450", Length, UnitMissing, `450 has no unit; a length is needed, e.g. "450 mm"`},
		"zero without unit":        {"0", Length, UnitMissing, `0 has no unit; a length is needed, e.g. "0 mm"`},
		"wrong capitals":           {"450 MM", Length, UnitUnknown, `450 MM has no unit that is known; a length is needed, did you mean "450 mm"?`},
		"written out":              {"40 inches", Length, UnitUnknown, `40 inches has no unit that is known; a length is needed, did you mean "40 in"?`},
		"unheard of":               {"450 parsec", Length, UnitUnknown, `450 parsec has no unit that is known; a length is needed, known are um, mm, cm, m, km, in, ft`},
		"decimal comma":            {"1,8 m", Length, DecimalComma, `1,8 m has a comma in its number, write "1.8 m"`},
		"thousands":                {"1,800.5 mm", Length, DecimalComma, `1,800.5 mm has a comma in its number, leave it out`},
		"space within the number":  {"1 800 mm", Length, UnitUnknown, `1 800 mm has no unit that is known; a length is needed, known are um, mm, cm, m, km, in, ft`},
		"infinity":                 {"inf m", Length, NotANumber, `inf m does not begin with a number; a length, e.g. "450 mm", is needed`},
		"infinity of YAML":         {".inf", Length, NotANumber, `.inf does not begin with a number; a length, e.g. "450 mm", is needed`},
		"not a number":             {"NaN", Mass, NotANumber, `NaN does not begin with a number; a mass, e.g. "12 kg", is needed`},
		"overflow":                 {"1e400 m", Length, NotANumber, `1e400 m is beyond what can be computed; a length, e.g. "450 mm", is needed, exponents have at most two digits`},
		"hexadecimal":              {"0x1f mm", Length, NotANumber, `0x1f mm is not a decimal number, write it in decimal digits`},
		"underscore":               {"1_000 mm", Length, NotANumber, `1_000 mm has an underscore in its number, leave it out`},
		"leading zero":             {"007 mm", Length, NotANumber, `007 mm begins with a needless zero; a length, e.g. "450 mm", is needed, leave the zero out`},
		"point at the end":         {"7. mm", Length, NotANumber, `7. mm has a point without a digit after it; a length, e.g. "450 mm", is needed, leave the point out`},
		"nothing":                  {"", Length, NotANumber, `is empty; a length, e.g. "450 mm", is needed`},
		"only a unit":              {"mm", Length, NotANumber, `mm does not begin with a number; a length, e.g. "450 mm", is needed`},
		"control characters":       {"5 \x1b[31mmm", Length, UnitUnknown, `"5 \x1b[31mmm" has no unit that is known; a length is needed, known are um, mm, cm, m, km, in, ft`},
		"turns or radians":         {"5 1/s", AngularSpeed, UnitKind, `5 1/s is a frequency; an angular speed is needed, e.g. "5 rpm"`},
		"one over glued":           {"5¹/h", Rate, UnitUnknown, `5¹/h has no unit that is known; a rate is needed, known are /h, /min, /s`},
		"kind that does not exist": {"5 m", "colour", UnitKind, `no kind of quantity is called "colour"`},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			v, err := Parse(c.text, c.kind)
			var e *Error
			if !errors.As(err, &e) {
				t.Fatalf("Parse(%q, %s) = %v, %v", c.text, c.kind, v, err)
			}
			if e.Code != c.code || e.Error() != c.want {
				t.Errorf("got  %s [%s]\nwant %s [%s]", e, e.Code, c.want, c.code)
			}
		})
	}
}

func TestParseNumberRefuses(t *testing.T) {
	tests := map[string]string{
		"5 mm":  "5 mm is a length; a plain number without unit is needed, e.g. 5",
		"50 %":  "50 % is a ratio; a plain number without unit is needed, e.g. 50",
		"5 x":   "5 x is not a plain number, e.g. 5",
		"1,5":   `1,5 has a comma in its number, write "1.5"`,
		"yes":   "yes does not begin with a number; a plain number is needed",
		"1e999": "1e999 is beyond what can be computed; a plain number is needed, exponents have at most two digits",
	}
	for text, want := range tests {
		if v, err := ParseNumber(text); err == nil || err.Error() != want {
			t.Errorf("ParseNumber(%q) = %v, %v\nwant %s", text, v, err, want)
		}
	}
}

func TestFormat(t *testing.T) {
	tests := []struct {
		kind   Kind
		si     float64
		digits int
		want   string
	}{
		{Length, 0.000228, 3, "0.228 mm"},
		{Length, 1.8, 3, "1.8 m"},
		{Length, 0.99996, 3, "1 m"}, // the unit is chosen for what is shown
		{Length, -0.45, 3, "-450 mm"},
		{Length, 12e-6, 3, "12 µm"},
		{Length, 0, 3, "0 mm"},
		{Mass, 1234567, 3, "1230000 kg"},
		{Force, 1234, 3, "1.23 kN"},
		{Stiffness, 1e7, 3, "10 kN/mm"},
		{Angle, 0.5235987755982988, 3, "30°"},
		{AngularSpeed, 314.1592653589793, 4, "3000 rpm"},
		{Rate, 0.15, 3, "540 /h"},
		{Temperature, 303.15, 3, "30 °C"},
		{Ratio, 0.8537, 3, "85.4 %"},
		{Stress, 7e10, 2, "70 GPa"},
		{Inertia, 1.2e-4, 3, "1.2 kg cm²"},
		{Time, 0.03, 2, "30 ms"},
		{Torque, nan(), 3, "unknown"},
		{Torque, 1 / zero, 3, "unlimited"},
		{"count", 12345, 3, "12300"},
	}
	for _, c := range tests {
		if got := Format(c.kind, c.si, c.digits); got != c.want {
			t.Errorf("Format(%s, %v, %d) = %q, want %q", c.kind, c.si, c.digits, got, c.want)
		}
	}
}

var zero float64

func nan() float64 { return zero / zero }

func TestNumber(t *testing.T) {
	tests := []struct {
		x      float64
		digits int
		want   string
	}{
		{1234567, 3, "1230000"}, {12345678, 3, "1.23e7"}, {0.00001234, 2, "0.000012"}, {0.000001234, 2, "1.2e-6"},
		{0.1 + zero + 0.2, 0, "0.30000000000000004"}, {-2.50, 5, "-2.5"}, {0, 3, "0"}, {-0.0004, 1, "-0.0004"}, {9.999, 3, "10"},
	}
	for _, c := range tests {
		if got := Number(c.x, c.digits); got != c.want {
			t.Errorf("Number(%v, %d) = %q, want %q", c.x, c.digits, got, c.want)
		}
	}
}

func TestFormatInAndConvert(t *testing.T) {
	if got, err := FormatIn(Length, 1.8, "mm", 6); got != "1800 mm" || err != nil {
		t.Errorf("%q, %v", got, err)
	}
	if _, err := FormatIn(Length, 1.8, "kg", 6); err == nil {
		t.Error("a length was printed in kg")
	}
	if got, err := Convert(1, Stress, "MPa", "N/mm²"); got != 1 || err != nil {
		t.Errorf("1 MPa is %v N/mm², %v", got, err)
	}
	if got, err := Convert(32, Temperature, "degF", "°C"); !(abs(got) < 1e-12) || err != nil {
		t.Errorf("32 °F is %v °C, %v", got, err)
	}
}

// TestTable holds what the rest of the package relies on.
func TestTable(t *testing.T) {
	seen := map[Kind]bool{}
	for _, e := range table {
		if seen[e.kind] {
			t.Errorf("%s is listed twice", e.kind)
		}
		seen[e.kind] = true
		if _, err := Parse(e.example, e.kind); err != nil {
			t.Errorf("%s: example: %v", e.kind, err)
		}
		if _, found := find(e.kind, plain(e.home)); !found {
			t.Errorf("%s: unit %q for zero is not in the table", e.kind, e.home)
		}
		si, found := find(e.kind, plain(e.si))
		if !found || si.factor != 1 || si.offset != 0 {
			t.Errorf("%s: SI unit %q is not in the table with factor 1", e.kind, e.si)
		}
		spelled := map[string]string{}
		last := -1.0
		for _, r := range e.units {
			for _, s := range r.spellings() {
				if plain(s) != s {
					t.Errorf("%s: spelling %q is not in the plain form %q", e.kind, s, plain(s))
				}
				if was, again := spelled[s]; again {
					t.Errorf("%s: %q is spelled in both %q and %q", e.kind, s, was, r.text)
				}
				spelled[s] = r.text
			}
			if r.from != asked && r.from <= last {
				t.Errorf("%s: %q is used from %g on, but the unit before from %g", e.kind, r.text, r.from, last)
			}
			if r.from != asked {
				last = r.from
			}
		}
	}
}
