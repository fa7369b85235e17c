package view

import (
	"math"

	"spanwright/assess"
	"spanwright/wording"
)

// Map is the tool over its work space, loaded: a grid over the travels, the
// last axis running fastest.
type Map struct {
	Version int         `json:"version"`
	Axes    []string    `json:"axes"`
	Counts  []int       `json:"counts"`
	Travel  []Number    `json:"travel"`
	Values  []MapValue  `json:"values"`
	Sag     MapRange    `json:"sag"`
	U       [3]MapRange `json:"u"`
	Hz      MapRange    `json:"hz"`
	Unit    MapUnits    `json:"unit"`
}

// MapValue is one place.
type MapValue struct {
	Q    []Number `json:"q"`
	At   Vec      `json:"at"`
	Sag  Number   `json:"sag"` // positive downwards
	U    Vec      `json:"u"`
	Hz   Number   `json:"hz"`
	Text MapTexts `json:"text"`
}

// MapTexts are the numbers of one place in words.
type MapTexts struct {
	Sag string    `json:"sag"`
	U   [3]string `json:"u"`
	Hz  string    `json:"hz"`
}

// MapRange is the least and the greatest of a quantity over the map, and where:
// indices of values.
type MapRange struct {
	Least      Number    `json:"least"`
	Greatest   Number    `json:"greatest"`
	LeastAt    int       `json:"least_at"`
	GreatestAt int       `json:"greatest_at"`
	Text       [2]string `json:"text"`
}

// MapUnits are the units of the values.
type MapUnits struct {
	Sag string `json:"sag"`
	U   string `json:"u"`
	Hz  string `json:"hz"`
}

// OfMap lists the map that the judgement rests on.
func OfMap(a *assess.Assessment) *Map {
	out := &Map{Counts: a.GridCounts(), Unit: MapUnits{"m", "m", "Hz"}, Values: []MapValue{}}
	for _, x := range a.Machine.Axes {
		out.Axes = append(out.Axes, x.Spec.ID)
		out.Travel = append(out.Travel, Number(x.Spec.Travel))
	}
	for _, p := range a.Results.Tool.Map {
		u := Vec(p.Deflection)
		v := MapValue{Q: p.Q, At: Vec{p.X, p.Y, p.Z}, Sag: p.Sag(), U: u, Hz: p.Frequency}
		v.Text = MapTexts{Sag: value(float64(v.Sag), "m"), Hz: value(float64(v.Hz), "Hz")}
		for d := range u {
			v.Text.U[d] = value(float64(u[d]), "m")
		}
		out.Values = append(out.Values, v)
	}
	out.Sag = out.over("m", func(v *MapValue) Number { return v.Sag })
	out.Hz = out.over("Hz", func(v *MapValue) Number { return v.Hz })
	for d := range out.U {
		out.U[d] = out.over("m", func(v *MapValue) Number { return v.U[d] })
	}
	return out
}

func (m *Map) over(unit string, of func(v *MapValue) Number) MapRange {
	r := MapRange{Least: Number(math.Inf(1)), Greatest: Number(math.Inf(-1))}
	for i := range m.Values {
		switch v := of(&m.Values[i]); {
		case v < r.Least:
			r.Least, r.LeastAt = v, i
			if v > r.Greatest {
				r.Greatest, r.GreatestAt = v, i
			}
		case v > r.Greatest:
			r.Greatest, r.GreatestAt = v, i
		}
	}
	copy(r.Text[:], wording.Values(unit, float64(r.Least), float64(r.Greatest)))
	return r
}
