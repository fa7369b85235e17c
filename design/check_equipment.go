package design

import (
	"slices"

	"spanwright/decode"
)

// equipment checks that everything is on an axis that there is.
func (c *checker) equipment() {
	axes := c.axisIDs()
	if len(axes) == 0 {
		return
	}
	for _, e := range c.Equipment.Ends {
		c.onAxis(decode.Join("equipment.ends", e.Axis), e.Axis, axes)
	}
	for _, e := range c.Equipment.Carriers {
		c.onAxis(decode.Join("equipment.carriers", e.Axis), e.Axis, axes)
	}
	for i, id := range c.Equipment.NoCables {
		if at := decode.Item("equipment.no_cables", i); c.sound(at) && !slices.Contains(axes, id) {
			message, hint := unknown(id, "axis", axes)
			c.add(UnknownAxis, at, message, hint)
		}
	}
	c.twice("equipment.no_cables", c.Equipment.NoCables)
	ends := append([]string{"stand", "tool"}, axes...)
	for i, cable := range c.Equipment.Cables {
		if at := decode.Item("equipment.cables", i) + ".to"; c.sound(at) && !slices.Contains(ends, cable.To) {
			message, hint := unknown(cable.To, "place where a cable can end", ends)
			c.add(CableEnd, at, message, hint)
		}
	}
}

func (c *checker) onAxis(path, id string, axes []string) {
	if c.File.Given(path) && !slices.Contains(axes, id) {
		message, hint := unknown(id, "axis", axes)
		c.addKey(UnknownAxis, path, message, hint)
	}
}
