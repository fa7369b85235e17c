package mathml

import (
	"encoding/xml"
	"errors"
	"io"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestFormula(t *testing.T) {
	const times = "<mo>·</mo>"
	tests := map[string]struct{ text, want string }{
		"a fraction sheds the brackets of its parts": {
			"a = (b + c) / (2 * d)",
			"<mi>a</mi><mo>=</mo><mfrac><mrow><mi>b</mi><mo>+</mo><mi>c</mi></mrow><mrow><mn>2</mn>" + times + "<mi>d</mi></mrow></mfrac>",
		},
		"factors before a stroke are the numerator, those behind it are not under it": {
			"a*b/c*d",
			"<mfrac><mrow><mi>a</mi>" + times + "<mi>b</mi></mrow><mrow><mi>c</mi></mrow></mfrac>" + times + "<mi>d</mi>",
		},
		"a power of a name with a subscript": {"e_x^2", "<msubsup><mi>e</mi><mi>x</mi><mrow><mn>2</mn></mrow></msubsup>"},
		"a power binds before a minus":       {"-x^2", "<mo>−</mo><msup><mi>x</mi><mrow><mn>2</mn></mrow></msup>"},
		"powers are taken from the right":    {"x^y^2", "<msup><mi>x</mi><mrow><msup><mi>y</mi><mrow><mn>2</mn></mrow></msup></mrow></msup>"},
		"a root and greek":                   {"sqrt(mu + 3.0)", "<msqrt><mrow><mi>μ</mi><mo>+</mo><mn>3.0</mn></mrow></msqrt>"},
		"a subscript of digits is a number":  {"f_1", "<msub><mi>f</mi><mn>1</mn></msub>"},
		"a power of ten":                     {"2.6e-5", "<mrow><mn>2.6</mn>" + times + "<msup><mn>10</mn><mrow><mo>−</mo><mn>5</mn></mrow></msup></mrow>"},
		"a power of a power of ten keeps its bracket": {
			"4e6^2",
			`<msup><mrow><mrow><mo fence="true">(</mo><mrow><mrow><mn>4</mn>` + times + `<msup><mn>10</mn><mn>6</mn></msup></mrow></mrow><mo fence="true">)</mo></mrow></mrow><mrow><mn>2</mn></mrow></msup>`,
		},
		"a function of two": {
			"max(0, -x)",
			"<mi>max</mi><mo>\u2061</mo>" + `<mrow><mo fence="true">(</mo><mrow><mn>0</mn></mrow><mo separator="true">,</mo><mrow><mo>−</mo><mi>x</mi></mrow><mo fence="true">)</mo></mrow>`,
		},
		"rounding up": {"ceil(x)", `<mrow><mo fence="true">⌈</mo><mrow><mi>x</mi></mrow><mo fence="true">⌉</mo></mrow>`},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			got, ok := Formula(c.text)
			if want := "<math><mrow>" + c.want + "</mrow></math>"; !ok || got != want {
				t.Errorf("%s", cmp.Diff(want, got))
			}
		})
	}
}

func TestSentencesAreNoFormulas(t *testing.T) {
	for _, text := range []string{
		"", "largest vertical foot force", "cubic mean of |P_z| + |P_y|", "a = ", "(a", "a)", "f(", "f(,)", "a b", "2 3", "2x 3", "a ++", "=", "x = y; z",
		strings.Repeat("(", 1e5), strings.Repeat("-", 1e5) + "x", strings.Repeat("x^", 1e5) + "x",
	} {
		if got, ok := Formula(text); ok {
			t.Errorf("%.40q is read as %s", text, got)
		}
		if got := Working(text, text); got != "" {
			t.Errorf("%.40q is worked as %s", text, got)
		}
	}
}

func TestWorking(t *testing.T) {
	tests := map[string]struct {
		formula, sum string
		rows         int
		says         string
	}{
		"formula, numbers, result":              {"F = m * a", "2 * 3 = 6 N", 3, "<mtext>N</mtext>"},
		"a number for a name is not repeated":   {"F = F_m", "6 = 6 N", 2, "<mn>6</mn>"},
		"a sum that cannot be read is left out": {"F = m", "so it is", 1, "<mi>m</mi>"},
		"squared units":                         {"a = v / t", "4 / 2 = 2 m/s2", 3, "m/s²"},
		"a count":                               {"n = a + b", "1 + 1 = 2", 3, "<mn>2</mn>"},
		"what is no number says so":             {"n = a / b", "1 / 0 = unlimited", 3, "<mi>unlimited</mi>"},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			got := Working(c.formula, c.sum)
			if n := strings.Count(got, "<mtr>"); n != c.rows {
				t.Errorf("%d rows, want %d: %s", n, c.rows, got)
			}
			if !strings.Contains(got, c.says) {
				t.Errorf("%s does not say %s", got, c.says)
			}
			contents(t, got)
		})
	}
}

func TestUnit(t *testing.T) {
	for in, want := range map[string]string{"m/s2": "m/s²", "N m": "N\u00a0m", "kg m2": "kg\u00a0m²", "m4": "m⁴", "N m/rad": "N\u00a0m/rad", "": ""} {
		if got := Unit(in); got != want {
			t.Errorf("%q is written %q, want %q", in, got, want)
		}
	}
}

// contents reads markup as XML and lists what its numbers and names say, in
// order; names with their subscripts, powers of ten as one number.
func contents(t *testing.T, markup string) []string {
	t.Helper()
	var out []string
	d := xml.NewDecoder(strings.NewReader(markup))
	inside := ""
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return out
		}
		if err != nil {
			t.Fatalf("%s: %v", markup, err)
		}
		switch x := token.(type) {
		case xml.StartElement:
			inside = x.Name.Local
		case xml.EndElement:
			inside = ""
		case xml.CharData:
			if inside == "mi" || inside == "mn" {
				out = append(out, string(x))
			}
		}
	}
}

// FuzzFormula holds what must be true of any text: no panic, markup that is
// well-formed, and every number and name of the formula in it, in their order.
func FuzzFormula(f *testing.F) {
	for _, text := range []string{
		"n = pi^2 * EI / ((K * L)^2 * N)", "U = 1.5*max(F_V + Phi*F_A, F_A)/min(0.5*f_o*b_e*t_l^2/c, 2*b_e*t_l*f_o/sqrt(3.0))",
		"sqrt(4.1184e6^2 + 3 * 3.5272e6^2) = 7.3678e6 Pa", "x = abs(-y) + cbrt(z) - ceil(2.5e+3)", "<&>", "ä_ß = é", "_a", "a__b", "1.2.3", "١ = ٢",
	} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		contents(t, Working(text, text))
		contents(t, Symbol(text))
		markup, ok := Formula(text)
		if !ok {
			return
		}
		got := contents(t, markup)
		tokens, _ := scan(text)
		var want []string
		for _, k := range tokens {
			switch k.kind {
			case word:
				want = append(want, nameParts(k.text)...)
			case number:
				digits, exponent, has := strings.Cut(k.text, "e")
				want = append(want, digits)
				if has {
					want = append(want, "10", strings.Trim(exponent, "+-"))
				}
			}
		}
		drawn := func(s string) bool { return drawnAsSign[s] }
		got, want = slices.DeleteFunc(got, drawn), slices.DeleteFunc(want, drawn)
		if strings.Contains(text, "cbrt") { // a cube root shows a 3 of its own
			slices.Sort(got)
			slices.Sort(want)
			for _, s := range want {
				if i := slices.Index(got, s); i >= 0 {
					got = slices.Delete(got, i, i+1)
					continue
				}
				t.Errorf("%q: %s is not in the markup", text, s)
			}
			return
		}
		if d := cmp.Diff(want, got); d != "" {
			t.Errorf("%q: %s", text, d)
		}
	})
}

// drawnAsSign are functions that show as a sign around what they are of.
var drawnAsSign = map[string]bool{"sqrt": true, "cbrt": true, "abs": true, "ceil": true, "floor": true}

func nameParts(name string) []string {
	letter, below, has := strings.Cut(name, "_")
	if !has || letter == "" || below == "" {
		letter, below = name, ""
	}
	var out []string
	for _, part := range []string{letter, below} {
		if g, is := greek[part]; is {
			part = g
		}
		if part != "" {
			out = append(out, part)
		}
	}
	return out
}
