package quantity

import (
	"errors"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func anyKind() *rapid.Generator[Kind] { return rapid.SampledFrom(Kinds()) }

// anySI stays where two digits of exponent suffice.
func anySI() *rapid.Generator[float64] {
	return rapid.Custom(func(t *rapid.T) float64 {
		mantissa := rapid.Float64Range(-10, 10).Draw(t, "mantissa")
		if math.Abs(mantissa) < 1e-20 {
			mantissa = 0
		}
		return mantissa * math.Pow10(rapid.IntRange(-30, 30).Draw(t, "exponent"))
	})
}

func TestExactReadsBackTheSameNumber(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kind, si := anyKind().Draw(t, "kind"), anySI().Draw(t, "si")
		text := Exact(kind, si)
		if back, err := Parse(text, kind); err != nil || back != si {
			t.Fatalf("%s: %.17g printed %q reads %.17g, %v", kind, si, text, back, err)
		}
	})
}

func TestFormatReadsBackWithinItsDigits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kind, si := anyKind().Draw(t, "kind"), anySI().Draw(t, "si")
		digits := rapid.IntRange(1, 12).Draw(t, "digits")
		text := Format(kind, si, digits)
		back, err := Parse(text, kind)
		size := math.Abs(si)
		if kind == Temperature {
			size = math.Abs(si - 273.15)
			size += 1e-12 * (math.Abs(si) + 273.15) // the offset cancels leading digits
		}
		// Half a unit of the last digit, where the first digit may be 1.
		if err != nil || !(math.Abs(back-si) <= 0.5001*math.Pow10(1-digits)*size+1e-12*size) {
			t.Fatalf("%s: %.17g with %d digits printed %q reads %.17g, %v", kind, si, digits, text, back, err)
		}
	})
}

func TestConvertThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kind, x := anyKind().Draw(t, "kind"), rapid.Float64Range(1e-9, 1e6).Draw(t, "x")
		from, to := rapid.SampledFrom(kind.Units()).Draw(t, "from"), rapid.SampledFrom(kind.Units()).Draw(t, "to")
		there, err := Convert(x, kind, from, to)
		if err != nil {
			t.Fatal(err)
		}
		back, err := Convert(there, kind, to, from)
		tol := 1e-15 * math.Abs(x) * 8 // four roundings each way
		if kind == Temperature {
			tol += 1e-12 // offsets of up to 460 cancel
		}
		if err != nil || !(math.Abs(back-x) <= tol) {
			t.Fatalf("%g %s is %g %s is %g again, %v", x, from, there, to, back, err)
		}
	})
}

// written is a text and the kind that it means, or nearly.
type written struct {
	text string
	kind Kind
}

// nearly draws texts that are quantities or just miss.
func nearly() *rapid.Generator[written] {
	pieces := rapid.SampledFrom([]string{"", "", "", "", "", "", "", "", " ", " ", " ", "·", "*", "^", "2", "²", "/", "m", "u", "µ", "deg", "°", "-", ".", "e3", "1", "0", "\u00a0", "−", "⁻¹"})
	number := rapid.SampledFrom([]string{"1", "-0.5", "1e7", ".5", "+3", "−2", "12345678901234567890", "007", "1.", "1e400", "1,5", "123456789012345678901", "0x1f", "1_000", "inf", "NaN", ""})
	return rapid.Custom(func(t *rapid.T) written {
		kind := anyKind().Draw(t, "kind")
		e := kind.entry()
		unit := rapid.SampledFrom(rapid.SampledFrom(e.units).Draw(t, "row").spellings()).Draw(t, "unit")
		if rapid.Bool().Draw(t, "typeset") {
			unit = strings.NewReplacer(" ", "·", "2", "²", "u", "μ", "deg", "°").Replace(unit)
		}
		if rapid.Bool().Draw(t, "clean") {
			return written{number.Draw(t, "number") + " " + unit, kind}
		}
		r := []rune(unit)
		at := rapid.IntRange(0, len(r)).Draw(t, "at")
		if rapid.IntRange(0, 9).Draw(t, "other") == 0 {
			kind = anyKind().Draw(t, "other kind")
		}
		return written{number.Draw(t, "number") + pieces.Draw(t, "a") + string(r[:at]) + pieces.Draw(t, "b") + string(r[at:]) + pieces.Draw(t, "c"), kind}
	})
}

func TestPatternAcceptsWhatParseAccepts(t *testing.T) {
	patterns := map[Kind]*regexp.Regexp{}
	for _, k := range Kinds() {
		patterns[k] = regexp.MustCompile("^(?:" + Pattern(k) + ")$")
	}
	accepted := 0
	rapid.Check(t, func(t *rapid.T) {
		w := nearly().Draw(t, "written")
		text, kind := w.text, w.kind
		_, err := Parse(text, kind)
		if err == nil {
			accepted++
		}
		if matches := patterns[kind].MatchString(text); matches != (err == nil) {
			t.Fatalf("%q as %s: pattern says %v, Parse says %v", text, kind, matches, err)
		}
	})
	if accepted == 0 {
		t.Error("no text was accepted: the generator proves nothing")
	}
}

func parseAnything(t *rapid.T) {
	w := nearly().Draw(t, "written")
	text := rapid.OneOf(rapid.String(), rapid.Just(w.text)).Draw(t, "text")
	v, err := Parse(text, w.kind)
	if err == nil && (math.IsNaN(v) || math.IsInf(v, 0)) {
		t.Fatalf("%q reads %v", text, v)
	}
	var e *Error
	if err != nil && (!errors.As(err, &e) || e.Code == "" || e.Message == "") {
		t.Fatalf("%q: %v has no code or message", text, err)
	}
}

func TestParseAnythingIsFiniteOrRefused(t *testing.T) { rapid.Check(t, parseAnything) }

func FuzzParse(f *testing.F) { f.Fuzz(rapid.MakeFuzz(parseAnything)) }

func TestNumbersAreRoundedAsTheLibraryDoes(t *testing.T) {
	number := rapid.StringMatching(`-?(0|[1-9][0-9]{0,18})(\.[0-9]{1,19})?(e-?[0-9]{1,2})?`)
	rapid.Check(t, func(t *rapid.T) {
		text := number.Draw(t, "number")
		got, err := ParseNumber(text)
		want, _ := strconv.ParseFloat(text, 64)
		if err != nil || got != want {
			t.Fatalf("%s reads %.17g, %v; want %.17g", text, got, err, want)
		}
	})
}
