package machine

import "spanwright/parts"

// Cost is the price of the parts that are resolved: profiles by length and
// cuts, axis parts with the drives that a design exchanges in them, motors, gears,
// brakes, joints, plates, clamps, feet, carriers, bumpers. Screws of joints, cables, controls, assembly and freight are not in it.
func (m *Machine) Cost() float64 {
	sum := 0.0
	cut, withAxis := map[string]bool{}, map[int]bool{}
	for _, a := range m.Axes {
		for _, b := range a.Beams {
			withAxis[b] = true
		}
	}
	for i, mem := range m.Members {
		if withAxis[i] {
			continue // priced with the axis part
		}
		sum += mem.Profile.CostPerM * m.Length(i)
		if !cut[mem.Bar] {
			cut[mem.Bar] = true
			sum += mem.Profile.Cost + 2*mem.Profile.CostCut
		}
		for _, j := range mem.Joints {
			if j.HasPart() {
				sum += j.Part.Cost
			}
		}
	}
	for _, a := range m.Axes {
		sum += a.cost()
		sum += m.carrierCost(a) + m.bumperCost(a)
	}
	for _, c := range m.Connections {
		sum += c.cost()
	}
	for _, f := range m.Feet {
		sum += f.Part.Cost
	}
	return sum
}

// price is what a part costs, and what its length does.
type price struct{ each, perM float64 }

// ExchangeCost is what each beam costs more because the design names another
// belt, screw or rack than the axis part comes with; below zero if it costs less.
// A belt goes there and back; an omega lies along the beam once.
func (a *Axis) ExchangeCost() float64 {
	length := a.Length
	if a.Belt != nil && a.Layout != "omega" {
		length *= 2
	}
	return a.exchange.each + a.exchange.perM*length
}

func (a *Axis) cost() float64 {
	beams := float64(len(a.Beams))
	motors := float64(a.Motors())
	sum := beams*(a.Part.Cost+a.Part.CostPerM*a.Length+a.ExchangeCost()) + motors*a.Motor.Cost
	if a.Gear != nil {
		sum += motors * a.Gear.Cost
	}
	if a.Brake != nil {
		sum += motors * a.Brake.Cost
	}
	if a.Shaft != nil {
		sum += a.Shaft.Cost + a.Shaft.CostPerM*a.Spec.Pair.Spacing
	}
	return sum
}

func (m *Machine) carrierCost(a *Axis) float64 {
	c := m.CableCarriers[a.Spec.ID]
	if c == nil {
		return 0
	}
	return c.Part.Cost + c.Part.CostPerM*c.Loop.Length
}

func (m *Machine) bumperCost(a *Axis) float64 {
	var p *parts.Bumper
	if p = m.Bumpers[a.Spec.ID]; p == nil {
		return 0
	}
	return 2 * p.Cost * float64(len(a.Beams))
}

func (c Connection) cost() float64 {
	sum := 0.0
	if c.Plate != nil {
		sum += c.Plate.Cost
	}
	if c.Clamp != nil {
		sum += c.Clamp.Cost * 2 * float64(c.Clamps)
	}
	return sum
}
