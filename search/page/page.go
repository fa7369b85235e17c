// Package page draws the front of a search as one HTML file that needs nothing
// else: a picture whose two axes can be chosen, beside a table that says the
// same. It computes nothing.
package page

import (
	_ "embed"
	"html/template"
	"io"

	"spanwright/quantity"
	"spanwright/search"
)

//go:embed page.html
var text string

var form = template.Must(template.New("front").Parse(text))

// Point is one machine as the page shows it.
type Point struct {
	Name    string    // of its file, beside the page
	Numbers []float64 // in the order of Measures
	Texts   []string  // the same with their units
	Axes    string
	Stand   string
	Margin  string
	Chance  string // empty if it was not sampled
}

// Measure is one number of every machine.
type Measure struct {
	Name  string
	Unit  string // empty for money
	Scale float64
	Good  string // which end is better
}

// Measures are the numbers in the order of Point.Numbers; Scale turns SI into Unit.
var Measures = []Measure{
	{"cost", "", 1, "less is better"}, {"mass", "kg", 1, "less is better"}, {"cycle time", "s", 1, "less is better"},
	{"sag variation", "mm", 1e3, "less is better"}, {"first frequency", "Hz", 1, "more is better"},
}

// Front is what the page shows.
type Front struct {
	Machine  string
	Points   []Point
	Measures []Measure
	About    []string // how the front came about, a sentence each
}

// Of collects the machines that were found.
func Of(machine string, found []search.Found, names, about []string) Front {
	out := Front{Machine: machine, Measures: Measures, About: about}
	for i, f := range found {
		v := f.Values
		p := Point{Name: names[i], Axes: axesOf(f), Stand: f.Choice.Frame.Leg + ", " + f.Choice.Frame.TopRail, Margin: quantity.Number(100*float64(f.Margin), 2) + " %"}
		for k, x := range []float64{float64(v.Cost), float64(v.Mass), float64(v.Cycle), float64(v.Sag), float64(v.Frequency)} {
			m := Measures[k]
			p.Numbers = append(p.Numbers, x*m.Scale)
			text := quantity.Number(x*m.Scale, 4)
			if m.Unit != "" {
				text += " " + m.Unit
			}
			p.Texts = append(p.Texts, text)
		}
		if f.Chance != nil {
			p.Chance = quantity.Number(100*f.Chance.Share(), 3) + " %"
			if f.Chance.Worst != "" {
				p.Chance += "; most often over: " + f.Chance.Worst
			}
		}
		out.Points = append(out.Points, p)
	}
	return out
}

func axesOf(f search.Found) (text string) {
	for i, a := range f.Choice.Axes {
		if i > 0 {
			text += "; "
		}
		text += a.Part + ", " + a.Motor
		if a.Gear != "none" {
			text += ", " + a.Gear
		}
	}
	return text
}

// Write writes the page.
func (f Front) Write(w io.Writer) error { return form.Execute(w, f) }
