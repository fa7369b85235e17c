package design

import (
	"slices"
	"strconv"
	"strings"

	"spanwright/decode"
)

// task checks points, cycle and surroundings.
func (c *checker) task() {
	for _, p := range c.Task.Points {
		c.point(p)
	}
	var points []string
	for _, p := range c.Task.Points {
		points = append(points, p.ID)
	}
	for i, s := range c.Task.Cycle {
		at := decode.Item("task.cycle", i) + ".to"
		if c.sound(at) && c.File.Given("task.points") && !slices.Contains(points, s.To) {
			message, hint := unknown(s.To, "point of the task", points)
			c.add(UnknownPoint, at, message, hint)
		}
	}
	if t := c.Task.Surroundings.Temperature; c.sound("task.surroundings.temperature") && !(t[0] <= t[1]) {
		c.add(RangeOrder, "task.surroundings.temperature", "the first temperature is above the second", "write the lowest first")
	}
}

// point checks that there is one coordinate for each axis. Whether it lies
// within the travel is for the ledger to judge.
func (c *checker) point(p Point) {
	at := decode.Join("task.points", p.ID)
	axes := c.axisIDs()
	if len(axes) == 0 || !c.sound(at) {
		return
	}
	var given []string
	for id := range p.At {
		given = append(given, id)
	}
	slices.Sort(given)
	for _, id := range given {
		if !slices.Contains(axes, id) {
			message, hint := unknown(id, "axis", axes)
			c.addKey(UnknownAxis, decode.Join(at, id), message, hint)
		}
	}
	var missing []string
	for _, id := range axes {
		if _, found := p.At[id]; !found {
			missing = append(missing, id)
		}
	}
	if len(missing) > 0 {
		c.addKey(Coordinate, at, "has no coordinate for axis "+strings.Join(missing, ", "), "add "+strconv.Quote(missing[0]+": 0 mm"))
	}
}
