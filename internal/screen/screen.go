// Package screen lays out what the program found for a terminal of 80 columns:
// summary and ledger, the working of one check, a section, a frame. It computes
// nothing.
//
// A verdict is always a word; colour only adds. Numbers are rounded to four
// digits, in a unit an engineer would choose.
package screen

import (
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"spanwright/ledger"
)

// Width is the number of columns of a terminal that everybody has.
const Width = 80

// Style says how to draw attention. The zero value is plain text.
type Style struct{ Colour bool }

// paint wraps text in the style of a verdict; the word itself always stands there too.
func (s Style) paint(v ledger.Verdict, text string) string {
	switch v {
	case ledger.Over:
		return s.wrapped("1;31", text)
	case ledger.Tight:
		return s.wrapped("33", text)
	case ledger.Unknown:
		return s.wrapped("36", text)
	}
	return s.wrapped("2", text)
}

func (s Style) strong(text string) string { return s.wrapped("1", text) }

func (s Style) wrapped(code, text string) string {
	if !s.Colour {
		return text
	}
	return "\x1b[" + code + "m" + text + "\x1b[0m"
}

// Wrap breaks a text that begins in the column and hangs there.
func Wrap(text string, column int) string { return wrap(text, column, column) }

// wrap breaks text at blanks, but never between a number and its unit; the
// first line begins in column first, every other is indented.
func wrap(text string, first, indent int) string {
	return fold(text, first, indent, Width)
}

// fold is wrap for lines of the given width.
func fold(text string, first, indent, width int) string {
	var b strings.Builder
	column := first
	for i, word := range phrases(text) {
		n := utf8.RuneCountInString(word)
		switch {
		case i == 0:
		case column+1+n > width:
			b.WriteString("\n" + strings.Repeat(" ", indent))
			column = indent
		default:
			b.WriteByte(' ')
			column++
		}
		b.WriteString(word)
		column += n
	}
	return b.String()
}

// phrases splits text into words, with numbers and their units as one.
func phrases(text string) (out []string) {
	clings := false
	for word := range strings.FieldsSeq(text) {
		if clings {
			out[len(out)-1] += " " + word
		} else {
			out = append(out, word)
		}
		_, err := strconv.ParseFloat(word, 64)
		clings = err == nil || word == "N" // of 3 N m
	}
	return out
}

// labelled prints a text beside a label, hanging.
func labelled(w io.Writer, label string, indent int, text string) {
	if text != "" {
		fmt.Fprintf(w, "%-*s%s\n", indent, label, wrap(text, indent, indent))
	}
}
