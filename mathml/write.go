package mathml

import (
	"encoding/xml"
	"strings"
)

// times stands between factors.
const times = "<mo>·</mo>"

// write appends the markup of an expression.
func (e *expression) write(b *strings.Builder) {
	switch e.op {
	case "number":
		b.WriteString(numeral(e.text))
	case "name":
		b.WriteString(symbol(e.text))
	case "group":
		fenced(b, "(", ")", e.in[0])
	case "negative":
		b.WriteString("<mo>−</mo>")
		e.in[0].write(b)
	case "+":
		e.infix(b, "<mo>+</mo>")
	case "-":
		e.infix(b, "<mo>−</mo>")
	case "*":
		e.infix(b, times)
	case "/":
		b.WriteString("<mfrac>" + e.in[0].bare() + e.in[1].bare() + "</mfrac>")
	case "^":
		e.raised(b)
	case "call":
		e.function(b)
	}
}

func (e *expression) infix(b *strings.Builder, op string) {
	e.in[0].write(b)
	b.WriteString(op)
	e.in[1].write(b)
}

// one is the expression as a single element.
func (e *expression) one() string {
	var b strings.Builder
	e.write(&b)
	return row(b.String())
}

// bare is the same without the brackets around it, which a fraction bar, a root
// or the raised place makes needless.
func (e *expression) bare() string {
	for e.op == "group" {
		e = e.in[0]
	}
	return e.one()
}

// raised writes a power. A power of ten or a fraction under it needs brackets.
func (e *expression) raised(b *strings.Builder) {
	base, exponent := e.in[0], e.in[1].bare()
	switch {
	case base.op == "name":
		if letter, below, has := strings.Cut(base.text, "_"); has && letter != "" && below != "" {
			b.WriteString("<msubsup>" + identifier(letter) + subscript(below) + exponent + "</msubsup>")
			return
		}
		b.WriteString("<msup>" + symbol(base.text) + exponent + "</msup>")
	case base.op == "number" && strings.Contains(base.text, "e"):
		var inner strings.Builder
		fenced(&inner, "(", ")", base)
		b.WriteString("<msup>" + row(inner.String()) + exponent + "</msup>")
	default:
		b.WriteString("<msup>" + base.one() + exponent + "</msup>")
	}
}

// fenced writes an expression between brackets.
func fenced(b *strings.Builder, open, shut string, inner ...*expression) {
	b.WriteString(`<mrow><mo fence="true">` + open + `</mo>`)
	for i, e := range inner {
		if i > 0 {
			b.WriteString(`<mo separator="true">,</mo>`)
		}
		b.WriteString(e.one())
	}
	b.WriteString(`<mo fence="true">` + shut + `</mo></mrow>`)
}

// function writes a call: roots, magnitudes and roundings with their signs,
// others by name.
func (e *expression) function(b *strings.Builder) {
	if len(e.in) == 1 {
		switch inner := e.in[0]; e.text {
		case "sqrt":
			b.WriteString("<msqrt>" + inner.bare() + "</msqrt>")
			return
		case "cbrt":
			b.WriteString("<mroot>" + inner.bare() + "<mn>3</mn></mroot>")
			return
		case "abs":
			fenced(b, "|", "|", inner)
			return
		case "ceil":
			fenced(b, "⌈", "⌉", inner)
			return
		case "floor":
			fenced(b, "⌊", "⌋", inner)
			return
		}
	}
	b.WriteString(symbol(e.text) + "<mo>\u2061</mo>") // function application
	fenced(b, "(", ")", e.in...)
}

// numeral writes a number with the digits it has; 2.6e5 as 2.6·10⁵.
func numeral(value string) string {
	digits, exponent, has := strings.Cut(value, "e")
	if !has {
		return "<mn>" + value + "</mn>"
	}
	raised := "<mn>" + strings.TrimPrefix(exponent, "+") + "</mn>"
	if power, negative := strings.CutPrefix(exponent, "-"); negative {
		raised = row("<mo>−</mo><mn>" + power + "</mn>")
	}
	return row("<mn>" + digits + "</mn>" + times + "<msup><mn>10</mn>" + raised + "</msup>")
}

// symbol writes a name with what follows its first low line as a subscript.
func symbol(name string) string {
	letter, below, has := strings.Cut(name, "_")
	if !has || letter == "" || below == "" {
		return identifier(name)
	}
	return "<msub>" + identifier(letter) + subscript(below) + "</msub>"
}

func subscript(name string) string {
	if strings.Trim(name, "0123456789") == "" {
		return "<mn>" + name + "</mn>"
	}
	return identifier(name)
}

// identifier writes a name; one letter is set slanted, more are upright.
func identifier(name string) string {
	if letter, is := greek[name]; is {
		name = letter
	}
	return "<mi>" + escaped(name) + "</mi>"
}

// escaped is what is between elements; what XML cannot hold becomes U+FFFD.
func escaped(s string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(s)) // a Builder does not fail
	return b.String()
}

// greek are the letters that formulas spell out.
var greek = map[string]string{
	"alpha": "α", "beta": "β", "gamma": "γ", "delta": "δ", "epsilon": "ε", "zeta": "ζ", "eta": "η", "theta": "θ", "kappa": "κ",
	"lambda": "λ", "mu": "μ", "nu": "ν", "xi": "ξ", "pi": "π", "rho": "ρ", "sigma": "σ", "tau": "τ", "phi": "φ", "chi": "χ", "psi": "ψ", "omega": "ω",
	"Gamma": "Γ", "Delta": "Δ", "Theta": "Θ", "Lambda": "Λ", "Xi": "Ξ", "Pi": "Π", "Sigma": "Σ", "Phi": "Φ", "Psi": "Ψ", "Omega": "Ω",
}
