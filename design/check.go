package design

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"spanwright/decode"
	"spanwright/diag"
)

// check finds the mistakes that show only when the values are seen together.
// A value that was refused as such is left out, so that one mistake is not
// reported twice.
func (d *Design) check() diag.List {
	c := checker{Design: d}
	if !d.File.Given("") {
		return nil
	}
	c.axes()
	c.task()
	c.stand()
	c.equipment()
	c.partFiles()
	return c.list
}

// checker is one run of check.
type checker struct {
	*Design
	list diag.List
}

// add reports a mistake at the value of the path.
func (c *checker) add(code diag.Code, path, message, hint string) {
	c.list.Add(diag.Diagnostic{Pos: c.File.Where(path), Code: code, Path: path, Value: c.File.Written(path), Message: message, Hint: hint})
}

// addKey reports a mistake at the key of the path.
func (c *checker) addKey(code diag.Code, path, message, hint string) {
	c.list.Add(diag.Diagnostic{Pos: c.File.WhereKey(path), Code: code, Path: path, Message: message, Hint: hint})
}

// sound tells whether every value stands in the file and was accepted.
func (c *checker) sound(paths ...string) bool {
	for _, p := range paths {
		if !c.File.Sound(p) {
			return false
		}
	}
	return true
}

// unknown returns what is wrong with a name that is not among those known.
func unknown(name, what string, known []string) (message, hint string) {
	message = strconv.Quote(name) + " is no " + what
	if near := decode.Nearest(name, known); near != "" {
		return message, "did you mean " + strconv.Quote(near) + "?"
	}
	if len(known) == 0 {
		return message, ""
	}
	const shown = 8
	hint = "known are " + strings.Join(known[:min(shown, len(known))], ", ")
	if len(known) > shown {
		hint += ", ..."
	}
	return message, hint
}

// twice reports names that stand in a list again.
func (c *checker) twice(path string, names []string) {
	for i, name := range names {
		if first := slices.Index(names, name); first < i && c.sound(decode.Item(path, i)) {
			c.add(NamedTwice, decode.Item(path, i), strconv.Quote(name)+" is named twice", "remove one of the two")
		}
	}
}

func (d *Design) axisIDs() []string {
	var out []string
	for _, a := range d.Axes {
		out = append(out, a.ID)
	}
	return out
}

// squareWithin is the cosine up to which two directions count as square: far
// above rounding, far below what can be built.
const squareWithin = 1e-6

func dot(a, b [3]float64) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

// axes checks the chain of axes.
func (c *checker) axes() {
	if n := len(c.Axes); n != 0 && (n < 2 || n > 3) {
		c.addKey(AxisCount, "axes", fmt.Sprintf("has %d axes; 2 or 3 are needed", n), "list them from the stand to the tool")
	}
	for i, a := range c.Axes {
		at := decode.Join("axes", a.ID)
		if a.ID == "stand" || a.ID == "tool" {
			c.addKey(AxisName, at, strconv.Quote(a.ID)+" has a meaning of its own and cannot name an axis", "choose another name, e.g. x")
		}
		if c.sound(at+".direction", at+".facing") && !(math.Abs(dot(a.Direction, a.Facing)) <= squareWithin) {
			c.add(Facing, at+".facing", "is not square to the direction of the axis", "name the side of the beam on which the carriage sits, e.g. "+sideOf(a.Direction))
		}
		for _, b := range c.Axes[:i] {
			if c.sound(at+".direction", "axes."+b.ID+".direction") && !(math.Abs(dot(a.Direction, b.Direction)) <= squareWithin) {
				c.add(AxisSquare, at+".direction", "is not square to axis "+b.ID, "the axes of a gantry are square to each other")
			}
		}
		c.pair(i, a, at+".pair")
		c.counter(a.Counter, at+".counterbalance")
	}
}

// sideOf names a direction that is square to the given one.
func sideOf(direction [3]float64) string {
	if math.Abs(direction[2]) <= squareWithin {
		return "z"
	}
	if math.Abs(direction[1]) <= squareWithin {
		return "-y"
	}
	return "x"
}

func (c *checker) pair(i int, a Axis, at string) {
	if a.Pair == nil {
		return
	}
	if i > 0 {
		c.addKey(PairPlace, at, "only the first axis can be a pair of runways", "remove it, or list the runways' axis first")
	}
	switch shaft := a.Pair.Shaft != "none"; {
	case !c.sound(at + ".driven"):
	case a.Pair.Driven == "shaft" && !shaft:
		c.add(PairShaft, at+".driven", "both sides are driven by a line shaft, but none is named", `add "shaft:" with the id of a shaft`)
	case a.Pair.Driven != "shaft" && shaft:
		c.add(PairShaft, at+".shaft", "a line shaft is named, but driven is "+a.Pair.Driven, "write driven: shaft, or remove the shaft")
	}
}

func (c *checker) counter(b *Counter, at string) {
	switch {
	case b == nil:
	case !c.sound(at):
	case b.Weight == nil && b.Spring == nil:
		c.addKey(CounterEmpty, at, "names neither a weight nor a gas spring", "add weight: or gas_spring:, or remove it")
	case b.Spring == nil && b.Most != nil:
		c.add(CounterEmpty, at+".gas_spring_most", "there is no gas_spring that it could belong to", "add the smallest force as gas_spring:")
	case b.Spring != nil && b.Most != nil && !(*b.Spring <= *b.Most):
		c.add(RangeOrder, at+".gas_spring_most", "is smaller than gas_spring", "exchange the two")
	}
}
