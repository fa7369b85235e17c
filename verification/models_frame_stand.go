package verification

import (
	"errors"
	"fmt"
	"math"

	"spanwright/frame"
	"spanwright/stand"
)

// legTops are the nodes on which the stand cases push and measure.
var legTops = []string{"3", "6", "9", "12"}

// push is a force of 1 N shared by the leg tops, and topMean their mean displacement, along a direction.
func push(id string, direction int, force float64) frame.Case {
	c := frame.Case{ID: id}
	for _, node := range legTops {
		f := frame.Force{At: frame.Point{Node: node}}
		f.Force[direction] = force / float64(len(legTops))
		c.Forces = append(c.Forces, f)
	}
	return c
}

func topMean(direction int) frame.Measure {
	var q frame.Measure
	for _, node := range legTops {
		w := frame.Weight{At: frame.Point{Node: node}}
		w.Along[direction] = 1 / float64(len(legTops))
		q = append(q, w)
	}
	return q
}

// refit gives every semi-rigid member end of a model the same rotational stiffness, N m/rad.
func refit(m *frame.Model, stiffness float64) {
	for i := range m.Members {
		for _, end := range []*frame.End{&m.Members[i].FromEnd, &m.Members[i].ToEnd} {
			for k := range end {
				if end[k].Stiffness > 0 {
					end[k].Stiffness = stiffness
				}
			}
		}
	}
}

// standSystem assembles a stand, with other joints where stiffness is above 0.
func standSystem(in Values, stiffness float64) (*frame.System, error) {
	m, err := neutralFrame(in.Values("model"))
	if err != nil {
		return nil, err
	}
	m.Cases = nil
	if stiffness > 0 {
		refit(m, stiffness)
	}
	return frame.Assemble(m)
}

// sway returns the mean displacement of the leg tops under a shared force, m.
func sway(s *frame.System, direction int, force float64) (float64, error) {
	st, err := s.Static(push("push", direction, force))
	if err != nil {
		return 0, err
	}
	return topMean(direction).Of(st)
}

func standOf(in Values) (Values, error) {
	s, err := standSystem(in, 0)
	if err != nil {
		return nil, err
	}
	x, err := sway(s, frame.UX, 1)
	if err != nil {
		return nil, err
	}
	y, err := sway(s, frame.UY, 1)
	if err != nil {
		return nil, err
	}
	modes, err := s.Modes(4)
	if err != nil {
		return nil, err
	}
	const lumps = 80 // kg, the two masses of 40 kg that every stand of the cases carries
	return Values{"kx_N_per_m": 1 / x, "ky_N_per_m": 1 / y, "frequencies_Hz": modes.Hz, "member_mass_kg": s.Mass() - lumps}, nil
}

// swayEstimate is a mass on the sway stiffness: the lumps, the beams and a third of the legs (members 1 to 8).
func swayEstimate(in Values) (Values, error) {
	m, err := neutralFrame(in.Values("model"))
	if err != nil {
		return nil, err
	}
	m.Cases = nil
	for i := range m.Members {
		if i < 8 {
			m.Members[i].Body = "leg"
		}
	}
	s, err := frame.Assemble(m)
	if err != nil {
		return nil, err
	}
	u, err := sway(s, frame.UX, 1)
	if err != nil {
		return nil, err
	}
	legs := s.Mass("leg")
	_, lumped, err := oscillatorModes(1/u, s.Mass()-legs+legs/3)
	if err != nil {
		return nil, err
	}
	modes, err := s.Modes(3)
	if err != nil {
		return nil, err
	}
	return Values{"f_rayleigh_Hz": lumped.Hz[0], "f_fe_Hz": modes.Hz}, nil
}

// energyShares splits the sway of the stand under its own push: legs are members 1 to 8, beams along X 9 to 16.
func energyShares(in Values) (Values, error) {
	stiffness := in.Num("S_Nm_per_rad")
	s, err := standSystem(in, stiffness)
	if err != nil {
		return nil, err
	}
	st, err := s.Static(push("push", frame.UX, 1))
	if err != nil {
		return nil, err
	}
	split, err := s.Split(st, topMean(frame.UX))
	if err != nil {
		return nil, err
	}
	var joints, legs, beams float64
	for i, m := range split.Members {
		joints += m.Ends
		switch {
		case i < 8:
			legs += m.Sum() - m.Ends
		case i < 16:
			beams += m.Sum() - m.Ends
		}
	}
	return Values{"compliance_m_per_N": split.Total, "share_joint_springs": joints / split.Total, "share_legs": legs / split.Total,
		"share_x_beams": beams / split.Total, "d_compliance_dS": -joints / stiffness}, nil
}

// addedBrace adds one hinged bar between the leg at (0, 0, 1.2) and the beam at (0.4, 0, 1.6).
func addedBrace(in Values) (Values, error) {
	s, err := standSystem(in, 0)
	if err != nil {
		return nil, err
	}
	st, err := s.Static(push("push", frame.UX, 1))
	if err != nil {
		return nil, err
	}
	bar := frame.Bar("brace", frame.Point{Node: "2"}, frame.Point{Node: "13"}, [3]float64{0, 0, 1.2}, [3]float64{0.4, 0, 1.6}, in.Num("brace_k_N_per_m"))
	g, err := s.Gain(st, topMean(frame.UX), bar)
	return Values{"compliance_before": g.Before, "compliance_after": g.After, "linear_adjoint_reduction": -g.Linear,
		"exact_reduction": g.Before - g.After}, err
}

func jointRange(in Values) (Values, error) {
	var k []float64
	var hz [][]float64
	for _, stiffness := range in.Nums("S_Nm_per_rad") {
		s, err := standSystem(in, stiffness)
		if err != nil {
			return nil, err
		}
		u, err := sway(s, frame.UX, 1)
		if err != nil {
			return nil, err
		}
		modes, err := s.Modes(3)
		if err != nil {
			return nil, err
		}
		k, hz = append(k, 1/u), append(hz, modes.Hz)
	}
	return Values{"kx_N_per_m": k, "f_Hz": hz}, nil
}

// calibrate finds the joint stiffness at which a rising result of the stand reaches a value, by bisection in its
// logarithm between 1e-2 and 1e2 of 30 kN m/rad.
func calibrate(in Values, target float64, result func(*frame.System) (float64, error)) (Values, error) {
	lo, hi := math.Log(300), math.Log(3e6)
	for range 60 {
		mid := (lo + hi) / 2
		s, err := standSystem(in, math.Exp(mid))
		if err != nil {
			return nil, err
		}
		got, err := result(s)
		if err != nil {
			return nil, err
		}
		if got < target {
			lo = mid
		} else {
			hi = mid
		}
	}
	return Values{"S_Nm_per_rad": math.Exp((lo + hi) / 2)}, nil
}

func tapTest(in Values) (Values, error) {
	return calibrate(in, in.Num("f1_measured_Hz"), func(s *frame.System) (float64, error) {
		modes, err := s.Modes(1)
		if err != nil {
			return 0, err
		}
		return modes.Hz[0], nil
	})
}

func pullTest(in Values) (Values, error) {
	return calibrate(in, 1/in.Num("sway_m"), func(s *frame.System) (float64, error) {
		u, err := sway(s, frame.UX, in.Num("F_N"))
		return 1 / u, err
	})
}

// footedBody is a rigid body at the origin, held sideways at floor level, on feet that push or hold.
func footedBody(in Values, oneSided bool) *frame.Model {
	m := &frame.Model{
		Nodes:    []frame.Node{{ID: "body"}},
		Supports: []frame.Support{{Node: "body", Fix: [6]bool{true, true, false, false, false, true}}},
	}
	for i, p := range in.Rows("feet_m") {
		foot := frame.Tie{ID: fmt.Sprint(i), From: frame.Point{Node: "body", Offset: [3]float64{p[0], p[1], 0}},
			K: [6]float64{0, 0, in.Num("k_N_per_m")}}
		if oneSided {
			foot.Contact = &frame.Contact{Normal: [3]float64{0, 0, 1}}
		}
		m.Ties = append(m.Ties, foot)
	}
	m.Cases = []frame.Case{{ID: "case", Forces: []frame.Force{
		{At: frame.Point{Node: "body", Offset: vector3(in.Nums("cg_m"))}, Force: [3]float64{0, 0, -in.Num("W_N")}},
		{At: frame.Point{Node: "body", Offset: [3]float64{0, 0, in.Num("zH_m")}}, Force: vector3(in.Nums("H_N"))},
	}}}
	return m
}

func oneSidedFeet(in Values) (Values, error) {
	out := Values{}
	for key, oneSided := range map[string]bool{"R_linear_N": false, "R_unilateral_N": true} {
		m := footedBody(in, oneSided)
		a, err := frame.Solve(m)
		if err != nil {
			return nil, err
		}
		var r []float64
		sum := 0.0
		for _, t := range m.Ties {
			f, _ := a.States[0].JointForces(t.ID)
			r = append(r, -f[frame.UZ])
			sum -= f[frame.UZ]
		}
		out[key] = r
		if oneSided {
			out["sum_N"] = sum
		}
	}
	return out, nil
}

// tippingStand must be refused as tipping about an edge of two feet; the moments about that edge come from package stand.
func tippingStand(in Values) (Values, error) {
	_, err := frame.Solve(footedBody(in, true))
	var tip *frame.TipError
	if !errors.As(err, &tip) {
		return nil, fmt.Errorf("does not tip: %v", err)
	}
	if len(tip.On) != 2 {
		return nil, fmt.Errorf("tips on %v, want an edge", tip.On)
	}
	feet := in.Rows("feet_m")
	x := [2]float64{}
	for k, id := range tip.On {
		var i int
		if _, err := fmt.Sscan(id, &i); err != nil {
			return nil, err
		}
		x[k] = feet[i][0]
	}
	if x[0] != x[1] {
		return nil, fmt.Errorf("the edge %v is not one of constant x", tip.On)
	}
	_, f, err := footprint(in)
	if err != nil {
		return nil, err
	}
	const g = 9.80665 // m/s², the case gives the weight in N
	edges, err := f.Tipping(stand.Weight{Mass: in.Num("W_N") / g, Centre: vector3(in.Nums("cg_m"))}, horizontal(in))
	if err != nil {
		return nil, err
	}
	worst := edges[0]
	for _, e := range edges {
		if e.Factor < worst.Factor {
			worst = e
		}
	}
	return Values{"tips": true, "edge_x_m": x[0], "M_tip_Nm": worst.Overturning, "M_stab_Nm": worst.Stabilising, "factor": worst.Factor}, nil
}
