package parts

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"spanwright/section"
)

// Outline draws the profile's section, with local y to the right and local z
// up. A profile whose properties are given has none, and ErrNoOutline says so.
func (p *Profile) Outline() (section.Outline, error) {
	switch p.Shape {
	case "t-slot":
		if p.Slots == nil {
			return section.Outline{}, fmt.Errorf("the numbers of the T-slot outline are missing")
		}
		return p.Slots.section().Outline()
	case "rectangular tube":
		return section.RectangularHollow{
			Width: p.Size[0], Height: p.Size[1], Wall: p.Wall, OuterRadius: p.Radius, InnerRadius: max(0, p.Radius-p.Wall),
		}.Outline()
	case "round tube":
		return section.RoundTube{Diameter: p.Size[0], Wall: p.Wall}.Outline()
	case "flat":
		return section.Flat{Width: p.Size[0], Height: p.Size[1]}.Outline()
	case "angle":
		return section.Angle{LegY: p.Size[0], LegZ: p.Size[1], Thickness: p.Wall, RootRadius: p.Radius}.Outline()
	case "channel":
		return section.Channel{Height: p.Size[1], Flange: p.Size[0], Web: p.Wall, Thickness: p.Wall, RootRadius: p.Radius}.Outline()
	case "outline":
		return p.points()
	}
	return section.Outline{}, ErrNoOutline
}

// ErrNoOutline is returned for a profile that has properties and no outline.
var ErrNoOutline = fmt.Errorf("the profile has no outline, only properties")

// points draws the outline that is given point by point.
func (p *Profile) points() (section.Outline, error) {
	loop := func(points [][2]float64) section.Loop {
		l := make(section.Loop, len(points))
		for i, q := range points {
			l[i] = section.Point{Y: q[0], Z: q[1]}
		}
		return l
	}
	o := section.Outline{Outer: loop(p.Outer)}
	for _, h := range p.Holes {
		o.Holes = append(o.Holes, loop(h))
	}
	return o, o.Check()
}

// section returns the numbers as package section has them.
func (t *TSlot) section() section.TSlot {
	return section.TSlot{
		Module: t.Module, ModulesY: t.NX, ModulesZ: t.NY,
		Slot: t.Slot, Lip: t.Lip, Inner: t.Inner, Depth: t.Depth,
		Web: t.Web, Wall: t.Cell, Corner: t.Corner, Bore: t.Bore,
		HollowCorners: t.Hollow, FaceWall: t.FaceWall,
		Closed: section.Faces{
			PlusY: slices.Contains(t.Closed, "+y"), MinusY: slices.Contains(t.Closed, "-y"),
			PlusZ: slices.Contains(t.Closed, "+z"), MinusZ: slices.Contains(t.Closed, "-z"),
		},
	}
}

// complete fills in what follows from the rest of the part.
func complete(p Part) {
	switch p := p.(type) {
	case *Profile:
		p.completeSize()
	case *Screw:
		if p.Dc == 0 {
			p.Dc = p.Dr
		}
	}
}

func (p *Profile) completeSize() {
	if p.Size != [2]float64{} {
		return
	}
	switch {
	case p.Shape == "t-slot" && p.Slots != nil:
		p.Size = [2]float64{float64(p.Slots.NX) * p.Slots.Module, float64(p.Slots.NY) * p.Slots.Module}
	case p.Shape == "outline" && len(p.Outer) > 0:
		o, _ := p.points()
		lo, hi := o.Extents()
		p.Size = [2]float64{hi.Y - lo.Y, hi.Z - lo.Z}
	}
}

// sizeTolerance is how far a stated size may lie from that of the outline, m:
// half of the last figure of a drawing in tenths of a millimetre.
const sizeTolerance = 0.05e-3

func inspectProfile(p *Profile, r *review) {
	if r.broken("shape") {
		return
	}
	shape := "the shape is " + p.Shape
	sized := p.Size != [2]float64{}
	walled := p.Shape == "rectangular tube" || p.Shape == "round tube" || p.Shape == "angle" || p.Shape == "channel"
	r.need(p.Shape != "t-slot" || p.Slots != nil, "t_slot", shape)
	r.need(p.Shape != "outline" || len(p.Outer) > 0, "outer", shape)
	r.need(p.Shape != "given" || p.Given != nil, "given", shape)
	r.need(sized || p.Shape == "t-slot" || p.Shape == "outline", "size", shape)
	r.need(!walled || p.Wall > 0, "wall", shape)
	r.surplus(p.Shape != "t-slot" && p.Slots != nil, "t_slot", shape)
	r.surplus(p.Shape != "outline" && len(p.Outer) > 0, "outer", shape)
	r.surplus(p.Shape != "given" && p.Given != nil, "given", shape)
	if p.Shape == "round tube" && p.Size[0] != p.Size[1] {
		r.refuse("size", Contradiction, "has two different diameters; a round tube has one", "")
	}
	if p.Shape == "given" {
		p.inspectGiven(r)
		return
	}
	key := map[string]string{"t-slot": "t_slot", "outline": "outer"}[p.Shape]
	if key == "" {
		key = "size"
	}
	if r.broken(key) || r.broken("wall") || r.broken("holes") || p.lacksNumbers(walled, sized) {
		return
	}
	o, err := p.Outline()
	if err != nil {
		r.refuse(key, BadOutline, "gives no section: "+strings.ReplaceAll(err.Error(), "\n", "; "), "")
		return
	}
	lo, hi := o.Extents()
	if w, h := hi.Y-lo.Y, hi.Z-lo.Z; math.Abs(w-p.Size[0]) > sizeTolerance || math.Abs(h-p.Size[1]) > sizeTolerance {
		r.refuse("size", Contradiction, fmt.Sprintf("does not agree with the outline, which is %.4g mm wide and %.4g mm high", w*1e3, h*1e3), "leave size out or correct one of the two")
	}
}

// lacksNumbers tells whether a missing value, reported before, leaves nothing to draw.
func (p *Profile) lacksNumbers(walled, sized bool) bool {
	switch p.Shape {
	case "t-slot":
		return p.Slots == nil
	case "outline":
		return len(p.Outer) == 0
	}
	return !sized || walled && p.Wall <= 0
}

func (p *Profile) inspectGiven(r *review) {
	if p.Given == nil || r.broken("given") {
		return
	}
	if _, err := p.Given.sheet(p.Size).Properties(); err != nil {
		r.refuse("given", BadOutline, strings.ReplaceAll(err.Error(), "\n", "; "), "")
	}
}

// sheet returns the given properties as package section has them.
func (g *Given) sheet(size [2]float64) section.Sheet {
	return section.Sheet{Area: g.A, Iy: g.Iy, Iz: g.Iz, J: g.J, Asy: g.Asy, Asz: g.Asz, Width: size[0], Height: size[1]}
}
