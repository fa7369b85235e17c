package pack

import (
	"fmt"
	"math"

	"spanwright/assess"
	"spanwright/drawing"
	"spanwright/machine"
)

// travelLine is one limit of an axis, both ends, in its coordinate, m.
type travelLine struct {
	name        string
	minus, plus float64
}

// Names of limits that notes speak of.
const (
	overSwitch = "over-travel switch"
	hardStop   = "hard stop, contact"
	compressed = "bumper compressed"
)

func byName(lines []travelLine) map[string]*travelLine {
	out := map[string]*travelLine{}
	for i := range lines {
		out[lines[i].name] = &lines[i]
	}
	return out
}

// travelLines are the limits from the programmed travel outward; those that the
// assessment does not know are left out.
func travelLines(a *machine.Axis, ends []assess.EndPlaces) []travelLine {
	lines := []travelLine{{"programmed travel", 0, a.Spec.Travel}}
	if len(ends) != 2 {
		return lines
	}
	m, p := ends[0], ends[1]
	for _, l := range []travelLine{
		{"software limit", float64(m.Soft), float64(p.Soft)}, {overSwitch, float64(m.Switch), float64(p.Switch)},
		{hardStop, float64(m.HardStop), float64(p.HardStop)}, {compressed, float64(m.Last), float64(p.Last)},
	} {
		if !math.IsNaN(l.minus) && !math.IsNaN(l.plus) {
			lines = append(lines, l)
		}
	}
	return lines
}

// travelSheet draws the stroke budget of an axis: all limits as bars to scale,
// both ends larger, and a table.
func (s Source) travelSheet(a *machine.Axis, number string) *drawing.Sheet {
	f := drawing.Formats[1] // A3
	lines := travelLines(a, s.Assessment.Results.Axes[a.Spec.ID].Ends)
	last := lines[len(lines)-1]
	area := f.Area().Grow(-inset)
	const names = 48.0 // mm, for the names of the bars
	d := fitScale(last.plus-last.minus, area.Width()-names-20)
	sheet := s.newSheet(f, "Travel of axis "+a.Spec.ID, number, d, 0)
	sheet.ViewTitle(drawing.Point{X: area.Min.X, Y: area.Max.Y - 8}, fmt.Sprintf("Axis %s: travel and limits %s", a.Spec.ID, drawing.ScaleName(d)))
	p := drawing.Placed{
		Model: drawing.Rect{Min: drawing.Point{X: last.minus}, Max: drawing.Point{X: last.plus}}, Scale: 1000 / d,
		Corner: drawing.Point{X: area.Min.X + names, Y: area.Max.Y - 20},
	}
	bottom := bars(sheet, p, area.Min.X, lines)
	sheet.Ladder(drawing.Ladder{Side: drawing.Below, Base: bottom, Measures: []drawing.Measure{
		measure(p, drawing.Below, drawing.Point{X: 0}, drawing.Point{X: a.Spec.Travel}, a.Spec.ID+" travel"),
		measure(p, drawing.Below, drawing.Point{X: last.minus}, drawing.Point{X: last.plus}, last.name),
	}})
	if len(lines) > 1 {
		endDetails(sheet, area, bottom-38, lines)
	}
	table := sheet.Table(drawing.Point{X: area.Min.X, Y: area.Min.Y + 4 + drawing.TableHeight(len(lines))}, travelColumns, travelRows(a, lines))
	writeTravelNotes(sheet, table, a, lines)
	return sheet
}

// fitScale is the largest scale at which a length fits into a width, mm.
func fitScale(length, width float64) float64 {
	d, ok := drawing.Views{Widths: []float64{length * 1000}, AreaWidth: width, AreaHeight: 1}.Denominator()
	if !ok {
		return drawing.Denominators[len(drawing.Denominators)-1]
	}
	return d
}

// bars draws each limit's range as a bar, with its name on the left, and
// returns the bottom.
func bars(sheet *drawing.Sheet, p drawing.Placed, left float64, lines []travelLine) float64 {
	const height, step = 4.0, 8.0 // mm
	y := p.Corner.Y
	for i, l := range lines {
		y = p.Corner.Y - float64(i+1)*step
		layer := drawing.Thin
		if i == 0 {
			layer = drawing.Visible
		}
		r := drawing.Rect{Min: drawing.Point{X: p.At(drawing.Point{X: l.minus}).X, Y: y}, Max: drawing.Point{X: p.At(drawing.Point{X: l.plus}).X, Y: y + height}}
		sheet.Rect(layer, r)
		sheet.Write(drawing.Text{At: drawing.Point{X: left, Y: y + 0.7}, Height: drawing.Small, String: l.name})
		sheet.Write(drawing.Text{At: drawing.Point{X: r.Centre().X, Y: y + 0.8}, Height: drawing.Small, Align: drawing.Middle, String: inMM(l.minus) + " to " + inMM(l.plus)})
	}
	return y
}

// endDetails draws both ends of travel at a larger scale, with the way from the
// end of the programmed travel to each limit.
func endDetails(sheet *drawing.Sheet, area drawing.Rect, top float64, lines []travelLine) {
	last := lines[len(lines)-1]
	half := area.Width()/2 - 5
	const words = 62.0 // mm, for texts beside short dimensions
	way := math.Max(-last.minus, last.plus-lines[0].plus)
	d := fitScale(way, half-words-4)
	for _, end := range []string{"Minus", "Plus"} {
		left := area.Min.X
		if end == "Plus" {
			left += half + 10
		}
		sheet.ViewTitle(drawing.Point{X: left, Y: top - 6}, fmt.Sprintf("%s end %s", end, drawing.ScaleName(d)))
		outward := func(l travelLine) float64 {
			if end == "Plus" {
				return l.plus - lines[0].plus
			}
			return -l.minus
		}
		p := drawing.Placed{Scale: 1000 / d, Corner: drawing.Point{X: left + 4, Y: top - 14}}
		zero := 0.0 // where the programmed travel ends, on the sheet of the detail, m
		sign := 1.0
		if end == "Minus" {
			zero, sign = outward(last), -1
		}
		ladder := drawing.Ladder{Side: drawing.Below, Base: p.Corner.Y - 6}
		for i, l := range lines {
			x := zero + sign*outward(l)
			at := p.At(drawing.Point{X: x}).X
			sheet.Line(drawing.Visible, drawing.Point{X: at, Y: p.Corner.Y}, drawing.Point{X: at, Y: p.Corner.Y - 6})
			if i > 0 {
				m := measure(p, drawing.Below, drawing.Point{X: zero}, drawing.Point{X: x}, l.name)
				m.Start, m.Stop = p.Corner.Y-6, p.Corner.Y-6
				ladder.Measures = append(ladder.Measures, m)
			}
		}
		from, to := p.At(drawing.Point{X: zero}).X, p.At(drawing.Point{X: zero + sign*outward(last)}).X
		sheet.Line(drawing.Thin, drawing.Point{X: from, Y: p.Corner.Y - 3}, drawing.Point{X: to, Y: p.Corner.Y - 3})
		sheet.Ladder(ladder)
	}
}

var travelColumns = []drawing.Column{
	{Title: "limit", Width: 44}, {Title: "minus end", Width: 26, Right: true}, {Title: "plus end", Width: 26, Right: true},
	{Title: "beyond, minus", Width: 30, Right: true}, {Title: "beyond, plus", Width: 30, Right: true}, {Title: "length", Width: 26, Right: true},
}

func travelRows(a *machine.Axis, lines []travelLine) [][]string {
	var out [][]string
	for _, l := range lines {
		out = append(out, []string{l.name, inMM(l.minus), inMM(l.plus), inMM(-l.minus), inMM(l.plus - a.Spec.Travel), inMM(l.plus - l.minus)})
	}
	return out
}

func writeTravelNotes(sheet *drawing.Sheet, table drawing.Rect, a *machine.Axis, lines []travelLine) {
	notes := []string{
		fmt.Sprintf("Lengths in mm, places in the coordinate of axis %s. Beam %s long.", a.Spec.ID, inMM(a.Length)),
		"Stopping distances are in the calculation report. They are not safety distances: guards by the risk assessment and local codes.",
	}
	if at := byName(lines); at[overSwitch] != nil && at[hardStop] != nil && at[compressed] != nil {
		s, h, c := at[overSwitch], at[hardStop], at[compressed]
		notes = append(notes, fmt.Sprintf("From the switch to the hard stop: %s at the minus end, %s at the plus end; bumper stroke %s.",
			inMM(s.minus-h.minus), inMM(h.plus-s.plus), inMM(c.plus-h.plus)))
	}
	if len(lines) == 1 {
		notes = append(notes, "Software limits, switches and hard stops are unknown: the design states none for this axis.")
	}
	writeNotes(sheet, drawing.Point{X: table.Min.X, Y: table.Max.Y + 40}, table.Width(), notes)
}
