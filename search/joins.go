package search

import (
	"math"
	"slices"

	"spanwright/parts"
)

// suited are the plates or clamps of a size that goes with an axis part, the
// cheapest first, at most so many (0: all of that size). Of plates, plain and
// ribbed ones take turns.
func (p *Problem) suited(i int, part *parts.Axis, offered []string, most int) []string {
	if len(offered) == 1 {
		return offered
	}
	var out []string
	if i == 0 {
		out = p.suitedClamps(part, offered)
	} else {
		out = p.suitedPlates(part, offered)
	}
	if len(out) == 0 {
		return offered[:1]
	}
	if most > 0 && len(out) > most {
		out = out[:most]
	}
	return out
}

// suitedClamps are the clamps not wider than the beam, the widest first: a wider
// one reaches past it, a narrower one holds less.
func (p *Problem) suitedClamps(part *parts.Axis, offered []string) []string {
	beam := size(p.Catalogue, part.Profile)
	var list []*parts.Clamp
	for _, id := range offered {
		if c, ok := p.Catalogue.Clamp(id); ok && c.Width <= beam+1e-9 {
			list = append(list, c)
		}
	}
	cheapest(list, func(c *parts.Clamp) (float64, string) { return -c.Width + c.Cost*1e-6, c.ID })
	return idsOf(list)
}

// suitedPlates are the plates from somewhat smaller than the carriage to twice its size.
func (p *Problem) suitedPlates(part *parts.Axis, offered []string) []string {
	carriage := math.Max(part.PlateWidth, part.Plate)
	var plain, ribs []*parts.Plate
	for _, id := range offered {
		plate, ok := p.Catalogue.Plate(id)
		if side := plateSide(plate); !ok || side < 0.5*carriage || side > 2*carriage {
			continue
		}
		if plate.RibThick > 0 {
			ribs = append(ribs, plate)
		} else {
			plain = append(plain, plate)
		}
	}
	price := func(k *parts.Plate) (float64, string) { return k.Cost, k.ID }
	cheapest(plain, price)
	cheapest(ribs, price)
	var out []*parts.Plate
	for k := range max(len(plain), len(ribs)) {
		if k < len(plain) {
			out = append(out, plain[k])
		}
		if k < len(ribs) {
			out = append(out, ribs[k])
		}
	}
	return idsOf(out)
}

// joinMass is the mass of a plate, or of a clamp, kg.
func (p *Problem) joinMass(id string) float64 {
	if plate, ok := p.Catalogue.Plate(id); ok {
		return plate.Mass
	}
	if clamp, ok := p.Catalogue.Clamp(id); ok {
		return clamp.Mass
	}
	return 0
}

func plateSide(k *parts.Plate) float64 {
	if k == nil {
		return 0
	}
	return math.Min(k.Width, k.Length)
}

func idsOf[P parts.Part](list []P) (out []string) {
	for _, x := range list {
		out = append(out, x.Base().ID)
	}
	return slices.Clip(out)
}

// underBeam is the second profile under a beam that carries more than the limit
// of a light axis; a beam on the rail of the stand needs none.
func (p *Problem) underBeam(i int, part *parts.Axis, moved float64) string {
	if i == 0 || p.axes[i].mast || moved <= p.Task.Assumptions.Limits.HeavyAxis {
		return none
	}
	return part.Profile
}
