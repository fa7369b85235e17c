package view

import (
	"spanwright/assess"
	"spanwright/wording"
)

// Map is the tool over its work space, loaded: a grid over the travels, the
// last axis running fastest. The ends of each quantity stand under sag, x, y, z
// (of u) and hz; where they are is an index of Values.
type Map struct {
	Version      int               `json:"version"`
	Axes         []string          `json:"axes"`
	Counts       []int             `json:"counts"`
	Travel       []Number          `json:"travel"`
	Values       []MapValue        `json:"values"`
	Least        map[string]Number `json:"least"`
	Greatest     map[string]Number `json:"greatest"`
	LeastAt      map[string]int    `json:"least_at"`
	GreatestAt   map[string]int    `json:"greatest_at"`
	LeastText    map[string]string `json:"least_text"`
	GreatestText map[string]string `json:"greatest_text"`
	Unit         map[string]string `json:"unit"`
}

// MapValue is one place. Its frequency is good to structure.SurveyError, that of
// the lowest place to all its digits.
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

// mapped are the quantities of a map.
var mapped = []struct {
	name, unit string
	of         func(v *MapValue) Number
}{
	{"sag", "m", func(v *MapValue) Number { return v.Sag }},
	{"x", "m", func(v *MapValue) Number { return v.U[0] }},
	{"y", "m", func(v *MapValue) Number { return v.U[1] }},
	{"z", "m", func(v *MapValue) Number { return v.U[2] }},
	{"hz", "Hz", func(v *MapValue) Number { return v.Hz }},
}

// OfMap lists the map that the judgement rests on.
func OfMap(a *assess.Assessment) *Map {
	out := &Map{
		Counts: a.GridCounts(), Unit: map[string]string{}, Values: []MapValue{},
		Least: map[string]Number{}, LeastAt: map[string]int{}, LeastText: map[string]string{},
		Greatest: map[string]Number{}, GreatestAt: map[string]int{}, GreatestText: map[string]string{},
	}
	for _, x := range a.Machine.Axes {
		out.Axes = append(out.Axes, x.Spec.ID)
		out.Travel = append(out.Travel, Number(x.Spec.Travel))
	}
	for _, p := range a.Results.Tool.Map {
		v := MapValue{Q: p.Q, At: Vec{p.X, p.Y, p.Z}, Sag: p.Sag(), U: p.Deflection, Hz: p.Frequency}
		v.Text = MapTexts{Sag: value(float64(v.Sag), "m"), Hz: value(float64(v.Hz), "Hz")}
		for d, u := range v.U {
			v.Text.U[d] = value(float64(u), "m")
		}
		out.Values = append(out.Values, v)
	}
	for _, k := range mapped {
		least, greatest := 0, 0
		for i := range out.Values {
			if k.of(&out.Values[i]) < k.of(&out.Values[least]) {
				least = i
			}
			if k.of(&out.Values[i]) > k.of(&out.Values[greatest]) {
				greatest = i
			}
		}
		low, high := k.of(&out.Values[least]), k.of(&out.Values[greatest])
		words := wording.Values(k.unit, float64(low), float64(high))
		out.Unit[k.name] = k.unit
		out.Least[k.name], out.LeastAt[k.name], out.LeastText[k.name] = low, least, words[0]
		out.Greatest[k.name], out.GreatestAt[k.name], out.GreatestText[k.name] = high, greatest, words[1]
	}
	return out
}
