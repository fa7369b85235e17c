package assess

import "spanwright/equip"

// screwInterval is the travel between greasings of a ball screw whose part data
// give none: common practice 100 to 200 km, no source.
const screwInterval = 100e3 // m

// maintenance makes the plan for what the machine has, from its duty.
func (r *run) maintenance() {
	const hour = 3600 // s
	m := equip.Maintained{
		Curtain: r.m.Design.Equipment.Guards.Curtain != nil, Vacuum: r.m.Design.Task.Payload.Grip.By == "vacuum",
		PeopleNear: r.m.Design.Task.PeopleNear,
	}
	for i := range r.axes {
		d := &r.axes[i]
		a := d.axis
		row := equip.Moving{
			Name: a.Spec.ID, DistancePerCycle: d.travel, Belt: a.Belt != nil, Rack: a.Rack != nil, Brake: a.Brake != nil,
			CyclesOfCarrier: r.strokes(a.Index),
		}
		if d.travel > 0 {
			row.GuideInterval = a.Block.Relube
			if a.Screw != nil && a.Screw.Kind == "ball" {
				row.ScrewInterval = screwInterval
			}
		}
		if c := r.m.CableCarriers[a.Spec.ID]; c != nil {
			row.Carrier, row.CarrierCycles = true, c.Part.Cycles
		}
		m.Axes = append(m.Axes, row)
	}
	plan, err := equip.Plan(m, equip.Use{CyclesPerHour: r.timeline.PerHour(), HoursPerYear: r.m.Design.Task.Duty.HoursPerYear / hour})
	if err != nil {
		r.skip("maintenance plan", err.Error())
		return
	}
	for _, t := range plan {
		r.results.Maintained = append(r.results.Maintained, MaintenanceTask{Item: t.Item, First: Number(t.First), Every: Number(t.Every), Action: t.Action, Source: t.Source})
	}
}
