// Package mathml writes formulas as MathML, the markup that browsers set as
// mathematics: fractions, powers, roots, subscripts, Greek letters, upright
// units. It reads the plain text in which workings are printed:
//
//	n = pi^2 * EI / ((K * L)^2 * N)
//
// It computes nothing and changes nothing: numbers are written with the digits
// that they have, names with their letters. What is a sentence and no formula is
// refused. Only elements and attributes of MathML Core are used, and no styles:
// columns have the classes "left" and "right".
//
// Source of the elements: MathML Core, W3C.
package mathml

import (
	"strings"
)

// Formula returns a math element for an expression, an equation or a chain of
// equations; ok is false where the text is none.
func Formula(text string) (markup string, ok bool) {
	sides, ok := parse(text)
	if !ok {
		return "", false
	}
	var b strings.Builder
	for i, s := range sides {
		if i > 0 {
			b.WriteString(equals)
		}
		s.write(&b)
	}
	return "<math>" + row(b.String()) + "</math>", true
}

const equals = "<mo>=</mo>"

// Symbol returns a math element for one name, e.g. F_V.
func Symbol(name string) string {
	if t, ok := scan(name); ok && len(t) == 1 && t[0].kind == word {
		return "<math>" + symbol(name) + "</math>"
	}
	return "<math><mtext>" + escaped(name) + "</mtext></math>"
}

// Working returns a block with a formula and below it the same with its numbers
// and what comes out: "4.2 * 2 = 8.4 N m". It returns "" if the formula is a
// sentence; a sum that cannot be read is left out.
func Working(formula, sum string) string {
	sides, ok := parse(formula)
	if !ok || len(sides) != 2 {
		return ""
	}
	rows := []string{cells(sides[0].one(), sides[1].one())}
	if sum, result, unit, ok := readSum(sum); ok {
		if sum != result {
			rows = append(rows, cells("", sum))
		}
		rows = append(rows, cells("", result+unit))
	}
	return `<math display="block"><mtable displaystyle="true">` + strings.Join(rows, "") + `</mtable></math>`
}

// cells is a line of a working: the left side, and the sign with the right side.
func cells(left, right string) string {
	return `<mtr><mtd class="right">` + left + `</mtd><mtd class="left"><mrow>` + equals + right + `</mrow></mtd></mtr>`
}

// readSum splits a sum at its last equals sign: the expression, the result and
// its unit.
func readSum(text string) (sum, result, unit string, ok bool) {
	i := strings.LastIndex(text, "=")
	if i < 0 {
		return "", "", "", false
	}
	number, name, _ := strings.Cut(strings.TrimSpace(text[i+1:]), " ")
	var sides [2]string
	for k, part := range [2]string{text[:i], number} {
		read, ok := parse(part)
		if !ok || len(read) != 1 {
			return "", "", "", false
		}
		sides[k] = read[0].one()
	}
	if name != "" {
		unit = `<mspace width="0.3em"></mspace><mtext>` + escaped(Unit(name)) + `</mtext>`
	}
	return sides[0], sides[1], unit, true
}

// Unit writes a unit as people do: N·m, m/s².
func Unit(unit string) string {
	var b strings.Builder
	letter := false
	for _, c := range unit {
		switch {
		case letter && c == '2':
			c = '²'
		case letter && c == '3':
			c = '³'
		case letter && c == '4':
			c = '⁴'
		case letter && c == ' ':
			c = '\u00a0' // unbroken
		}
		b.WriteRune(c)
		letter = c != '/' && c != '\u00a0' && !(c >= '0' && c <= '9')
	}
	return b.String()
}

func row(inner string) string { return "<mrow>" + inner + "</mrow>" }
