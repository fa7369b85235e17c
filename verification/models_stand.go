package verification

import (
	"math"

	"spanwright/stand"
)

// standModels compute the cases of package stand.
var standModels = map[string]Model{
	"STB-01": tippingEdges, "STB-02": footLoads, "STB-04": slidingFactor,
}

func footprint(in Values) ([]stand.Point, stand.Footprint, error) {
	var feet []stand.Point
	for _, p := range in.Rows("feet_m") {
		feet = append(feet, stand.Point{X: p[0], Y: p[1]})
	}
	f, err := stand.NewFootprint(feet)
	return feet, f, err
}

func vector3(list []float64) [3]float64 { return [3]float64{list[0], list[1], list[2]} }

// horizontal is the action of the cases: a force at a height; where it stands in
// plan does not matter for a horizontal force.
func horizontal(in Values) []stand.Action {
	if !in.Has("H_N") {
		return nil
	}
	return []stand.Action{{Force: vector3(in.Nums("H_N")), At: [3]float64{0, 0, in.Num("zH_m")}}}
}

func tippingEdges(in Values) (Values, error) {
	_, f, err := footprint(in)
	if err != nil {
		return nil, err
	}
	edges, err := f.Tipping(stand.Weight{Mass: in.Num("mass_kg"), Centre: vector3(in.Nums("cg_m"))}, horizontal(in))
	var out []Values
	for _, e := range edges {
		v := Values{"edge": []int{e.From, e.To}, "M_stab_Nm": e.Stabilising, "M_tip_Nm": e.Overturning, "factor": nil}
		if !math.IsInf(e.Factor, 1) {
			v["factor"] = e.Factor
		}
		out = append(out, v)
	}
	return Values{"edges": out}, err
}

func settle(in Values, anchored bool) (stand.Loads, error) {
	places, _, err := footprint(in)
	if err != nil {
		return stand.Loads{}, err
	}
	var feet []stand.Foot
	for _, p := range places {
		feet = append(feet, stand.Foot{At: p, Stiffness: in.Num("k_N_per_m"), Anchored: anchored})
	}
	const g = 9.80665 // m/s², the cases give the weight in N
	return stand.Settle(feet, stand.Weight{Mass: in.Num("W_N") / g, Centre: vector3(in.Nums("cg_m"))}, horizontal(in))
}

func footLoads(in Values) (Values, error) {
	loads, err := settle(in, false)
	return Values{"R_N": loads.Feet}, err
}

func slidingFactor(in Values) (Values, error) {
	s := stand.Sliding{Friction: in.Num("mu"), Weight: in.Num("W_N"), Horizontal: in.Num("H_N")}
	level := s.Factor()
	s.Uplift = in.Num("uplift_N")
	return Values{"factor": level, "factor_uplift": s.Factor()}, nil
}
