package search

import (
	"slices"

	"spanwright/design"
	"spanwright/parts"
	"spanwright/quantity"
)

// Places at the ends of travel: common practice, no source; judged by checks.
const (
	softLimit = 0.005 // software limit beyond the travel, m
	switchAt  = 0.015 // over-travel switch beyond the travel, m
)

func (w *pen) equipment(p *Problem, f fitted) {
	e := &w.d.Equipment
	own := p.Task.Equipment
	e.Ends, e.Carriers = nil, nil
	for i, r := range p.axes {
		end := p.blank.Equipment.Ends[0]
		if k := slices.IndexFunc(own.Ends, func(x design.End) bool { return x.Axis == r.id }); k >= 0 {
			end = own.Ends[k]
		}
		end.Axis = r.id
		w.end("equipment.ends."+r.id+".", p, &end, f, i)
		e.Ends = append(e.Ends, end)
	}
	for i, r := range p.axes {
		k := slices.IndexFunc(own.Carriers, func(x design.Carrier) bool { return x.Axis == r.id })
		if k < 0 && slices.Contains(own.NoCables, r.id) {
			continue
		}
		carrier := p.blank.Equipment.Carriers[0]
		if k >= 0 {
			carrier = own.Carriers[k]
		}
		carrier.Axis = r.id
		at := "equipment.carriers." + r.id + "."
		w.word(at+"part", &carrier.Part, f.carriers[i].part)
		if f.carriers[i].support != none {
			w.word(at+"support", &carrier.Support, f.carriers[i].support)
		}
		e.Carriers = append(e.Carriers, carrier)
	}
	if w.open("equipment.cables") {
		e.Cables = p.cables(w.d)
		if w.notes {
			w.list("equipment.cables", cableTexts(e.Cables))
		}
	}
	w.guards(p, f)
}

func (w *pen) end(at string, p *Problem, end *design.End, f fitted, i int) {
	w.number(at+"switch", quantity.Length, &end.Switch, switchAt)
	w.number(at+"hard_stop", quantity.Length, &end.HardStop, f.hard[i])
	w.word(at+"bumper", &end.Bumper, f.bumpers[i])
	stroke := 0.0
	if bumper, ok := p.Catalogue.Bumper(end.Bumper); ok {
		stroke = bumper.Stroke
	}
	w.maybe(at+"cam", quantity.Length, &end.Cam, ceil(end.HardStop+stroke-end.Switch, 0.010))
}

// cables are the cables that such a machine needs if the user names none:
// motor, feedback and switches of every axis that travels, power and bus of the
// tool. Diameters and masses are representative: common practice, no source.
func (p *Problem) cables(d *design.Design) (out []design.Cable) {
	add := func(name, to string, diameter, mass, bend float64) {
		c := p.blank.Equipment.Cables[0]
		c.Name, c.To, c.Diameter, c.Mass = name, to, diameter, mass
		if bend > 0 {
			c.Bend = &bend
		}
		out = append(out, c)
	}
	for i, a := range d.Axes[1:] {
		to := d.Axes[i].ID // on the body that the axis before moves
		name := a.ID + " motor"
		if a.Brake != none {
			name += " and brake"
		}
		motor, _ := p.Catalogue.Motor(a.Motor)
		diameter, mass := motorCable(motor)
		add(name, to, diameter, mass, 7.5)
		add(a.ID+" feedback", to, 0.0072, 0.07, 0)
		add(a.ID+" switches", to, 0.005, 0.04, 0)
	}
	add("tool power", "tool", 0.0065, 0.06, 0)
	add("tool bus", "tool", 0.0062, 0.05, 0)
	return out
}

// motorCable is the diameter (m) and mass (kg/m) of a shielded motor cable by
// the continuous torque of the motor: representative, common practice, no source.
func motorCable(motor *parts.Motor) (diameter, mass float64) {
	switch {
	case motor == nil || motor.T0 > 6:
		return 0.0125, 0.26
	case motor.T0 > 1.5:
		return 0.0115, 0.22
	case motor.T0 > 0.5:
		return 0.0085, 0.12
	}
	return 0.0055, 0.05
}

func cableTexts(cables []design.Cable) (out []string) {
	for _, c := range cables {
		bend := ""
		if c.Bend != nil {
			bend = quantity.Number(*c.Bend, 0)
		}
		out = append(out, flow("name", c.Name, "to", c.To, "diameter", quantity.Exact(quantity.Length, c.Diameter), "mass", quantity.Exact(quantity.MassPerLength, c.Mass), "bend_factor", bend))
	}
	return out
}

// What a light curtain across the way in and a fence elsewhere need; own choice
// of usual hardware, whose distances are judged. The risk assessment decides.
const (
	resolution = 0.030 // detection capability of the curtain, m
	sensorTime = 0.030 // response of the curtain and its logic, s
	fenceHigh  = 2.0   // m
	fenceGap   = 1.1   // m, at least what the table asks at these heights
	hazardAt   = 1.8   // m
)

// guards proposes a curtain and a fence where people may be near and nothing is declared.
func (w *pen) guards(p *Problem, f fitted) {
	if !p.Task.Task.PeopleNear || !w.open("equipment.guards") || f.curtain == 0 {
		return
	}
	g, c := &w.d.Equipment.Guards, &w.d.Equipment.Control
	w.maybe("equipment.guards.curtain_distance", quantity.Length, &g.Curtain, f.curtain)
	w.maybe("equipment.guards.curtain_resolution", quantity.Length, &g.Detect, resolution)
	w.maybe("equipment.guards.fence_height", quantity.Length, &g.Fence, fenceHigh)
	w.maybe("equipment.guards.fence_distance", quantity.Length, &g.FenceGap, fenceGap)
	w.maybe("equipment.guards.hazard_height", quantity.Length, &g.Hazard, hazardAt)
	w.maybe("equipment.control.sensor_time", quantity.Time, &c.Sensor, sensorTime)
}
