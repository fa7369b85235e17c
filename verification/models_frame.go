package verification

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"spanwright/frame"
	"spanwright/motion"
)

// frameModels compute the cases of package frame.
var frameModels = map[string]Model{
	"FRM-01": statics("2.uz 2.ry", "1.uz 1.ry"), "FRM-02": statics("2.uz 2.ry", ""), "FRM-03": statics("2.ux 2.uy", ""),
	"FRM-04": statics("2.uz 2.uy", ""), "FRM-05": statics("3.uz 3.rx 3.ry", "1.rx 1.ry"),
	"FRM-06": statics("2.uz 1.ry", "1.uz 3.uz"), "FRM-07": statics("2.uz", "1.uz 1.ry 3.ry"),
	"FRM-08": statics("", "2.uz 1.uz 1.ry"), "FRM-09": statics("", "2.uz 1.uz 1.ry"), "FRM-10": statics("3.uz", "1.ry 2.ry"),
	"FRM-11": statics("2.uz 2.ry", ""), "FRM-12": statics("", "1.ux 2.ux"), "FRM-13": statics("2.ux", ""),
	"FRM-14": statics("3.ux 3.uy 3.uz 3.ry 3.rz", ""), "FRM-15": statics("2.uz", "1.uz"), "FRM-16": statics("2.ux 2.ry", "1.ux 1.ry"),
	"FRM-20": portal, "FRM-21": portal, "FRM-22": portal, "FRM-23": portal, "FRM-24": portal, "FRM-25": portal,
	"MEC-01": freeRotation, "MEC-02": freeSway,
	"NAF-01": frequencies, "NAF-02": frequencies, "NAF-03": frequencies, "NAF-04": frequencies, "NAF-05": frequencies,
	"BLV-01": bendingFrequencies, "BLV-02": bendingFrequencies, "BLV-03": bendingFrequencies, "BLV-04": bendingFrequencies,
	"BLV-05": bendingFrequencies, "BLV-06": frequencies, "BLV-07": frequencies, "BLV-08": tipMass, "BLV-09": deepBeam,
	"DYN-01": sagRule, "DYN-02": resonance, "DYN-03": decay, "DYN-04": pulses, "DYN-05": recurrence, "DYN-06": sturmCount,
	"DYN-07": swayEstimate, "DYN-08": suddenStop, "DYN-10": carriageOnBeam,
	"BCK-01": euler, "BCK-02": euler, "BCK-03": euler, "BCK-04": euler, "BCK-08": swayAmplification,
	"STD-01": standOf, "STD-02": standOf, "STD-03": standOf, "STD-04": standOf, "STD-06": standOf, "STD-07": standOf,
	"BRC-01": energyShares, "BRC-02": addedBrace, "BRC-03": diagonal,
	"ERR-01": swaySplit,
	"STB-03": oneSidedFeet, "STB-06": tippingStand,
	"UNC-01": jointRange, "UNC-02": tapTest, "UNC-03": pullTest,
}

// solveCase assembles a model and solves its only case.
func solveCase(in Values) (*frame.System, *frame.State, error) {
	m, err := neutralFrame(in.Values("model"))
	if err != nil {
		return nil, nil, err
	}
	s, err := frame.Assemble(m)
	if err != nil {
		return nil, nil, err
	}
	states, err := s.Statics()
	if err != nil {
		return nil, nil, err
	}
	return s, states[0], nil
}

// statics reports displacements and reactions at places like "2.uz 2.ry", and the axial force of member 1.
func statics(displacements, reactions string) Model {
	return func(in Values) (Values, error) {
		_, st, err := solveCase(in)
		if err != nil {
			return nil, err
		}
		list := func(words string, at func(string) ([6]float64, bool)) []Values {
			var out []Values
			nodes, dofs := places(words)
			for i, node := range nodes {
				v, _ := at(node)
				id, _ := strconv.Atoi(node)
				out = append(out, Values{"node": id, "dof": dofs[i], "value": v[freedom(dofs[i])]})
			}
			return out
		}
		_, to, _ := st.MemberForces("1")
		return Values{"displacements": list(displacements, st.Displacement), "reactions": list(reactions, st.Reaction), "axial_force_N": to[0]}, nil
	}
}

// portal reports a portal with nodes 1 to 4 and members left leg, beam, right leg. Moments are magnitudes at the left.
func portal(in Values) (Values, error) {
	_, st, err := solveCase(in)
	if err != nil {
		return nil, err
	}
	sway, _ := st.Displacement("2")
	base, _ := st.Reaction("1")
	_, knee, _ := st.MemberForces("1")
	return Values{"sway_m": sway[frame.UX], "base_moment_Nm": math.Abs(base[frame.RY]), "knee_moment_Nm": math.Abs(knee[frame.RY]),
		"thrust_N": math.Abs(base[frame.UX])}, nil
}

func refusal(in Values) (*frame.MechanismError, error) {
	_, _, err := solveCase(in)
	var free *frame.MechanismError
	if !errors.As(err, &free) {
		return nil, fmt.Errorf("not refused as a mechanism: %v", err)
	}
	return free, nil
}

func freeRotation(in Values) (Values, error) {
	free, err := refusal(in)
	if err != nil {
		return nil, err
	}
	node, err := strconv.Atoi(free.Node)
	return Values{"singular": true, "node": node, "dof": freedoms[free.Direction]}, err
}

// freeSway lists the translations of the mechanism.
func freeSway(in Values) (Values, error) {
	free, err := refusal(in)
	if err != nil {
		return nil, err
	}
	var dofs []Values
	var amounts []float64
	for _, m := range free.Moves {
		if m.Direction < frame.RX {
			node, _ := strconv.Atoi(m.Node)
			dofs = append(dofs, Values{"node": node, "dof": freedoms[m.Direction]})
			amounts = append(amounts, m.Amount)
		}
	}
	if len(amounts) != 2 {
		return nil, fmt.Errorf("%d translations, want 2: %v", len(amounts), free)
	}
	return Values{"singular": true, "dofs": dofs, "null_vector_ratio_ux2_ux3": amounts[0] / amounts[1]}, nil
}

func modesOf(in Values, n int) (*frame.Modes, error) {
	m, err := neutralFrame(in.Values("model"))
	if err != nil {
		return nil, err
	}
	s, err := frame.Assemble(m)
	if err != nil {
		return nil, err
	}
	return s.Modes(n)
}

func frequencies(in Values) (Values, error) {
	modes, err := modesOf(in, int(in.Num("modes")))
	if err != nil {
		return nil, err
	}
	return Values{"frequencies_Hz": modes.Hz}, nil
}

// bending returns the first n modes of a beam along X in the x-z plane whose tip or middle moves more across than along.
// Rigid-body modes count whatever they do.
func bending(in Values, n int) ([]float64, error) {
	const spare = 6 // axial modes among the lowest
	modes, err := modesOf(in, n+spare)
	if err != nil {
		return nil, err
	}
	m, err := neutralFrame(in.Values("model"))
	if err != nil {
		return nil, err
	}
	var hz []float64
	for i, f := range modes.Hz {
		along, across := 0.0, 0.0
		for _, node := range m.Nodes {
			u, err := modes.Shape(i, frame.Point{Node: node.ID})
			if err != nil {
				return nil, err
			}
			along, across = math.Max(along, math.Abs(u[frame.UX])), math.Max(across, math.Abs(u[frame.UZ]))
		}
		const rigid = 1e-2 // Hz, far below any elastic mode of the cases
		if f < rigid || across > along {
			hz = append(hz, f)
		}
	}
	return hz[:min(n, len(hz))], nil
}

func bendingFrequencies(in Values) (Values, error) {
	hz, err := bending(in, int(in.Num("modes")))
	for i := range hz {
		if hz[i] < 1e-5 { // rigid-body modes, exactly 0 in the case
			hz[i] = 0
		}
	}
	return Values{"frequencies_Hz": hz}, err
}

// oscillator is a mass on a spring along X.
func oscillator(k, m float64) *frame.Model {
	return &frame.Model{
		Nodes:    []frame.Node{{ID: "n"}},
		Supports: []frame.Support{{Node: "n", Fix: [6]bool{false, true, true, true, true, true}}},
		Springs:  []frame.Spring{{From: "n", K: [6]float64{k}}},
		Masses:   []frame.Mass{{At: frame.Point{Node: "n"}, M: m}},
	}
}

func oscillatorModes(k, m float64) (*frame.System, *frame.Modes, error) {
	s, err := frame.Assemble(oscillator(k, m))
	if err != nil {
		return nil, nil, err
	}
	modes, err := s.Modes(1)
	return s, modes, err
}

// tipMass compares the first mode of a cantilever with that of its end stiffness and mass plus 33/140 of the beam.
func tipMass(in Values) (Values, error) {
	hz, err := bending(in, 1)
	if err != nil {
		return nil, err
	}
	m, err := neutralFrame(in.Values("model"))
	if err != nil {
		return nil, err
	}
	tip := frame.Point{Node: "2"}
	m.Cases = []frame.Case{{ID: "unit", Forces: []frame.Force{{At: tip, Force: [3]float64{0, 0, 1}}}}}
	s, err := frame.Assemble(m)
	if err != nil {
		return nil, err
	}
	states, err := s.Statics()
	if err != nil {
		return nil, err
	}
	u, _ := states[0].Displacement("2")
	end := m.Masses[0].M
	_, lumped, err := oscillatorModes(1/u[frame.UZ], end+33./140*(s.Mass()-end))
	if err != nil {
		return nil, err
	}
	return Values{"frequencies_Hz": hz, "rayleigh_Hz": lumped.Hz[0]}, nil
}

// deepBeam compares the beam with the same beam without shear areas.
func deepBeam(in Values) (Values, error) {
	n := int(in.Num("modes"))
	hz, err := bending(in, n)
	if err != nil {
		return nil, err
	}
	slender := Values{}
	for k, v := range in.Values("model") {
		slender[k] = v
	}
	var members []any
	for _, m := range in.Values("model").List("members") {
		thin := map[string]any{}
		for k, v := range m {
			thin[k] = v
		}
		thin["Asy"], thin["Asz"] = 0.0, 0.0
		members = append(members, thin)
	}
	slender["members"] = members
	plain, err := bending(Values{"model": map[string]any(slender)}, n)
	return Values{"frequencies_Hz": hz, "euler_bernoulli_Hz": plain}, err
}

func sagRule(in Values) (Values, error) {
	var hz []float64
	const mass = 1.0 // kg; any
	for _, sag := range in.Nums("delta_m") {
		_, modes, err := oscillatorModes(mass*in.Num("g")/sag, mass)
		if err != nil {
			return nil, err
		}
		hz = append(hz, modes.Hz[0])
	}
	return Values{"f_Hz": hz}, nil
}

func resonance(in Values) (Values, error) {
	w := 2 * math.Pi * in.Num("f_Hz")
	_, modes, err := oscillatorModes(in.Num("m_kg")*w*w, in.Num("m_kg"))
	if err != nil {
		return nil, err
	}
	along := frame.Direction(frame.Point{Node: "n"}, frame.UX)
	r := frame.Response{Modes: modes, Zeta: []float64{in.Num("zeta")}}
	h, err := r.Receptance(along, along, math.NaN(), in.Nums("f_eval_Hz"))
	var size []float64
	for _, x := range h {
		size = append(size, math.Hypot(real(x), imag(x)))
	}
	return Values{"compliance_m_per_N": size}, err
}

func decay(in Values) (Values, error) {
	var t []float64
	for _, z := range in.Nums("zeta") {
		m := motion.Mode{Frequency: in.Num("f_Hz"), Damping: z}
		s, settles := m.SettleTime(in.Num("A0_m"), in.Num("eps_m"))
		if !settles {
			return nil, fmt.Errorf("does not settle with damping %g", z)
		}
		t = append(t, s)
	}
	return Values{"t_s": t}, nil
}

func pulses(in Values) (Values, error) {
	m := motion.Mode{Frequency: in.Num("f_Hz")}
	var x []float64
	for _, t := range in.Nums("T_s") {
		x = append(x, m.Residual(motion.Chain(0, motion.State{}, motion.Piece{Duration: t, Accel: in.Num("a_m_s2")})))
	}
	return Values{"X_m": x}, m.Check()
}

// recurrence drives a mass of 1 kg by the polyline as a force and reports the coefficients of one step.
func recurrence(in Values) (Values, error) {
	w := 2 * math.Pi * in.Num("f_Hz")
	s, modes, err := oscillatorModes(w*w, 1)
	if err != nil {
		return nil, err
	}
	at := frame.Point{Node: "n"}
	r := frame.Response{Modes: modes, Zeta: []float64{in.Num("zeta")}}
	force := frame.Input{
		Pattern: frame.Case{ID: "force", Forces: []frame.Force{{At: at, Force: [3]float64{1, 0, 0}}}},
		Value:   frame.Polyline{T: in.Nums("p_t_s"), Y: in.Nums("p_value")},
	}
	times := []float64{0, 0.10, 0.30, 0.75, 0.80, 1.00, 1.20} // the case's description; the first is the start
	traces, err := r.Transient(s, []frame.Input{force}, []frame.Measure{frame.Direction(at, frame.UX)}, times, false)
	if err != nil {
		return nil, err
	}
	c := frame.NewRecurrence(w, in.Num("zeta"), in.Num("dt_s"))
	return Values{"t_s": times[1:], "q": traces[0].Y[1:], "coefficients": Values{
		"A": c.A, "B": c.B, "C": c.C, "D": c.D, "A1": c.A1, "B1": c.B1, "C1": c.C1, "D1": c.D1}}, nil
}

func sturmCount(in Values) (Values, error) {
	m, err := neutralFrame(in.Values("model"))
	if err != nil {
		return nil, err
	}
	s, err := frame.Assemble(m)
	if err != nil {
		return nil, err
	}
	var counts []int
	for _, hz := range in.Nums("f_Hz") {
		n, err := s.CountBelow(hz)
		if err != nil {
			return nil, err
		}
		counts = append(counts, n)
	}
	return Values{"negative_pivots": counts}, nil
}

func suddenStop(in Values) (Values, error) {
	var factors []float64
	for _, r := range in.Nums("tr_over_T") {
		factors = append(factors, motion.StepRatio(r))
	}
	return Values{"factor": factors}, nil
}

// carriageOnBeam puts a mass at a position of a simply supported beam; node and spans as the case describes them.
func carriageOnBeam(in Values) (Values, error) {
	sec := in.Values("section")
	length := in.Num("L_m")
	var hz []float64
	for _, a := range in.Nums("a_m") {
		m := frame.Model{
			Nodes: []frame.Node{{ID: "1"}, {ID: "c", At: [3]float64{a, 0, 0}}, {ID: "2", At: [3]float64{length, 0, 0}}},
			Sections: []frame.Section{{ID: "s", A: sec.Num("A"), Iy: sec.Num("Iy"), Iz: sec.Num("Iz"), J: sec.Num("J"),
				Asy: sec.Num("Asy"), Asz: sec.Num("Asz")}},
			Materials: []frame.Material{{ID: "m", E: sec.Num("E"), G: sec.Num("G"), Rho: sec.Num("rho")}},
			Members: []frame.Member{
				{ID: "left", From: "1", To: "c", Section: "s", Material: "m", Divide: int(in.Num("subdivide_each_span"))},
				{ID: "right", From: "c", To: "2", Section: "s", Material: "m", Divide: int(in.Num("subdivide_each_span"))},
			},
			Supports: []frame.Support{{Node: "1", Fix: [6]bool{true, true, true, true}}, {Node: "2", Fix: [6]bool{false, true, true}}},
			Masses:   []frame.Mass{{At: frame.Point{Node: "c"}, M: in.Num("carriage_kg")}},
		}
		s, err := frame.Assemble(&m)
		if err != nil {
			return nil, err
		}
		modes, err := s.Modes(1)
		if err != nil {
			return nil, err
		}
		hz = append(hz, modes.Hz[0])
	}
	return Values{"f1_Hz": hz}, nil
}

// euler finds the load under which a column along X buckles: factor of a compression of 1 N.
func euler(in Values) (Values, error) {
	m, err := neutralFrame(in.Values("model"))
	if err != nil {
		return nil, err
	}
	m.Cases = []frame.Case{{ID: "unit", Forces: []frame.Force{{At: frame.Point{Node: "2"}, Force: [3]float64{-1, 0, 0}}}}}
	s, err := frame.Assemble(m)
	if err != nil {
		return nil, err
	}
	states, err := s.Statics()
	if err != nil {
		return nil, err
	}
	b, err := s.Buckling(states[0], 1)
	if err != nil {
		return nil, err
	}
	if !b.Proven || len(b.Factors) == 0 {
		return nil, errors.New("no proven buckling factor")
	}
	load := b.Factors[0]
	sec, mat, length := m.Sections[0], m.Materials[0], m.Nodes[1].At[0]
	return Values{"P_cr_N": load, "K": math.Sqrt(math.Pi*math.Pi*mat.E*sec.Iy/load) / length}, nil
}

func swayAmplification(in Values) (Values, error) {
	a := frame.SwayFactor(in.Num("H_N"), in.Num("V_N"), in.Num("h_m"), in.Num("delta_m"))
	return Values{"alpha_cr": a, "amplification": frame.SwayAmplification(a)}, nil
}

// diagonal is one bar to a node that can only move sideways.
func diagonal(in Values) (Values, error) {
	m := frame.Model{
		Nodes:     []frame.Node{{ID: "foot"}, {ID: "knee", At: [3]float64{in.Num("L"), 0, in.Num("h")}}},
		Sections:  []frame.Section{{ID: "bar", A: in.Num("A"), Iy: 1e-8, Iz: 1e-8, J: 1e-8}}, // bending is hinged away
		Materials: []frame.Material{{ID: "m", E: in.Num("E"), G: in.Num("E") / 2.6}},
		Members: []frame.Member{{ID: "bar", From: "foot", To: "knee", Section: "bar", Material: "m",
			FromEnd: frame.End{{}, frame.Free(), frame.Free()}, ToEnd: frame.End{{}, frame.Free(), frame.Free()}}},
		Supports: []frame.Support{{Node: "foot", Fix: [6]bool{true, true, true, true, true, true}},
			{Node: "knee", Fix: [6]bool{false, true, true, true, true, true}}},
		Cases: []frame.Case{{ID: "push", Forces: []frame.Force{{At: frame.Point{Node: "knee"}, Force: [3]float64{1, 0, 0}}}}},
	}
	a, err := frame.Solve(&m)
	if err != nil {
		return nil, err
	}
	u, _ := a.States[0].Displacement("knee")
	return Values{"k_N_per_m": 1 / u[frame.UX]}, nil
}

// swaySplit splits the sway at the knee of a portal.
func swaySplit(in Values) (Values, error) {
	s, st, err := solveCase(in)
	if err != nil {
		return nil, err
	}
	split, err := s.Split(st, frame.Direction(frame.Point{Node: "2"}, frame.UX))
	if err != nil {
		return nil, err
	}
	out := Values{"sway_m": split.Total}
	var axial, bent, shear, joints float64
	by := Values{}
	for _, m := range split.Members {
		axial += m.Axial
		bent += m.BendingY + m.BendingZ
		shear += m.ShearY + m.ShearZ
		joints += m.Ends
		by[strings.TrimSpace(m.Member)] = m.Sum()
	}
	out["axial_m"], out["bending_m"], out["shear_m"], out["joints_m"], out["by_member"] = axial, bent, shear, joints, by
	return out, nil
}
