package search

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"spanwright/design"
	"spanwright/equip"
	"spanwright/parts"
)

// cheapest sorts by price, then by name.
func cheapest[T any](list []T, key func(T) (cost float64, id string)) []T {
	slices.SortFunc(list, func(a, b T) int {
		costA, idA := key(a)
		costB, idB := key(b)
		return cmp.Or(cmp.Compare(costA, costB), cmp.Compare(idA, idB))
	})
	return list
}

// fitCarrier chooses the cable carrier of axis i: the lightest that holds the
// cables at their bend radius; its upper run is free if its span allows, else it
// rests on a tray; on an upright axis it hangs.
func (p *Problem) fitCarrier(c Choice, f *fitted, i int) error {
	d := p.draft(c, *f, false).d
	a := d.Axes[i]
	var cables []equip.Conductor
	sum := 0.0
	for _, cable := range d.Equipment.Cables {
		if bodyOf(d, cable.To) <= i {
			continue
		}
		k := equip.Conductor{Name: cable.Name, Kind: equip.ConductorKind(cable.Kind), Diameter: cable.Diameter, Mass: cable.Mass}
		if cable.Bend != nil {
			k.BendFactor = *cable.Bend
		}
		cables, sum = append(cables, k), sum+cable.Mass
	}
	stroke := 0.0
	if b, ok := p.Catalogue.Bumper(d.Equipment.Ends[i].Bumper); ok {
		stroke = b.Stroke
	}
	fit, ok := p.carrier(cables, sum, a.Travel+2*(d.Equipment.Ends[i].HardStop+stroke), p.axes[i].mast)
	if !ok {
		return fmt.Errorf("%w: no cable carrier holds the cables of axis %s", errNoFit, a.ID)
	}
	f.carriers[i] = fit
	return nil
}

// bodyOf is the body on which a cable ends, as in package machine.
func bodyOf(d *design.Design, to string) int {
	switch to {
	case "stand":
		return 0
	case "tool":
		return len(d.Axes)
	}
	return slices.IndexFunc(d.Axes, func(a design.Axis) bool { return a.ID == to }) + 1
}

// carrier is the lightest carrier that holds the cables; of two equal ones, the cheaper.
func (p *Problem) carrier(cables []equip.Conductor, load, travel float64, hanging bool) (carrierFit, bool) {
	var list []*parts.Carrier
	for _, part := range p.Catalogue.List("carrier") {
		list = append(list, part.(*parts.Carrier))
	}
	slices.SortFunc(list, func(a, b *parts.Carrier) int {
		return cmp.Or(cmp.Compare(a.MassPerM, b.MassPerM), cmp.Compare(a.CostPerM, b.CostPerM), cmp.Compare(a.ID, b.ID))
	})
	for _, k := range list {
		need, err := equip.Fill(cables, k.Sep)
		if err != nil || len(need.Unknown) > 0 {
			return carrierFit{}, false
		}
		if need.InnerWidth > k.Inner[0] || need.InnerHeight > k.Inner[1] || need.BendRadius > k.Radius || need.Share(k.Inner[0], k.Inner[1]) > equip.MostFill {
			continue
		}
		switch {
		case hanging:
			return carrierFit{k.ID, "hanging"}, true
		case spans(k, load, travel):
			return carrierFit{k.ID, none}, true
		}
		return carrierFit{k.ID, "tray"}, true
	}
	return carrierFit{}, false
}

// spans tells whether the upper run may hang free, with a quarter in reserve
// as the check wants above 10 m/s².
func spans(k *parts.Carrier, load, travel float64) bool {
	loop, err := equip.Carrier{Travel: travel, Radius: k.Radius, AddOn: 2 * k.Pitch, Pitch: k.Pitch, OuterHeight: k.Outer}.Loop()
	if err != nil || len(k.SpanAt) < 2 {
		return false
	}
	free := k.Span[0]
	if load >= k.SpanAt[0] {
		if free, err = (equip.SpanTable{Loads: k.SpanAt, Spans: k.Span}).At(load); err != nil {
			return false
		}
	}
	const reserve = 0.75
	return !math.IsNaN(free) && loop.UpperMax <= reserve*free
}
