package verification

import (
	"math"

	"spanwright/accuracy"
	"spanwright/joint"
)

// jointModels compute the cases of package joint, and the parts of the error
// budget and of uncertain stiffness that need no frame.
var jointModels = map[string]Model{
	"JNT-01": torquePreload, "JNT-02": assemblyPreload, "JNT-03": bracketSlip, "JNT-04": slipUnderTension,
	"JNT-05": shearGroup, "JNT-06": tensionGroup, "JNT-07": lipPullOut, "JNT-08": coreThread,
	"JNT-09": componentStiffness, "JNT-10": rigidity, "JNT-11": loadSplit,
	"PLT-01": plateStrip, "PLT-02": clampSlip, "PLT-03": ribbedPlate,
	"STB-05": baseAnchors,
	"ERR-02": errorChain, "ERR-03": sagVariation, "ERR-04": thermalErrors,
	"UNC-04":   seriesRange,
	"HO-CM-07": tighteningTorque,
}

func torquePreload(in Values) (Values, error) {
	thread := joint.Thread{Diameter: in.Num("d_m"), StressArea: in.Num("As_m2")}
	proof := joint.ProofLoad(thread, joint.Class{Proof: in.Num("proof_Pa")})
	var forces, used []float64
	for _, k := range in.Nums("K") {
		p, err := joint.Tightening{Torque: in.Num("T_Nm"), NutFactor: k, Scatter: 1}.Preload(thread.Diameter)
		if err != nil {
			return nil, err
		}
		forces, used = append(forces, p.Nominal), append(used, p.Nominal/proof)
	}
	return Values{"F_N": forces, "proof_load_N": proof, "utilisation": used}, nil
}

func assemblyPreload(in Values) (Values, error) {
	thread, mu := joint.Thread{Diameter: in.Num("d_m"), Pitch: in.Num("P_m")}, in.Num("mu")
	preload := joint.AssemblyPreload(thread, in.Num("Rp02_Pa"), in.Num("nu"), mu)
	friction := joint.Friction{Thread: mu, Head: mu, HeadDiameter: (in.Num("dw_m") + in.Num("dh_m")) / 2}
	return Values{
		"d2_m": thread.PitchDiameter(), "d3_m": thread.MinorDiameter(), "A0_m2": thread.TensileArea(),
		"F_M_N": preload, "M_A_Nm": joint.TighteningTorque(thread, preload, friction, joint.TwoDigits),
	}, nil
}

func tighteningTorque(in Values) (Values, error) {
	thread, err := joint.CoarseThread(in.Text("thread"))
	if err != nil {
		return nil, err
	}
	friction := joint.Friction{
		Thread: in.Num("friction_thread"), Head: in.Num("friction_head"), HeadDiameter: in.Num("mean_head_diameter_mm") / 1000,
	}
	return Values{"torque_Nm": joint.TighteningTorque(thread, in.Num("preload_N"), friction, joint.ThreeDigits)}, nil
}

func bracketSlip(in Values) (Values, error) {
	// A screw of 1 m and K = 1 turns the given preload into a torque of the same number.
	p, err := joint.Tightening{Torque: in.Num("F_nom_N"), NutFactor: 1, Scatter: in.Num("alpha_A"), Loss: in.Num("loss")}.Preload(1)
	if err != nil {
		return nil, err
	}
	each := joint.SlipResistance(int(in.Num("faces")), in.Num("mu"), p.Least, 0, in.Num("safety"))
	return Values{"F_min_N": p.Least, "F_slip_N": in.Num("n") * each}, nil
}

func slipUnderTension(in Values) (Values, error) {
	return Values{"FsRd_N": joint.SlipResistance(int(in.Num("n")), in.Num("ks")*in.Num("mu"), in.Num("Fp_N"), in.Num("Ft_N"), in.Num("gM3"))}, nil
}

func shearGroup(in Values) (Values, error) {
	var screws []joint.Point
	for _, p := range in.Rows("bolts_m") {
		screws = append(screws, joint.Point{U: p[0], V: p[1]})
	}
	v := in.Nums("V_N")
	shares, err := joint.ShareShear(screws, joint.Shear{U: v[0], V: v[1], Moment: in.Num("Mz_Nm")}, 0)
	if err != nil {
		return nil, err
	}
	var forces [][]float64
	most := 0.0
	for _, s := range shares {
		forces = append(forces, []float64{s.U, s.V})
		most = math.Max(most, s.Total(0))
	}
	return Values{"forces_N": forces, "max_N": most}, nil
}

func tensionGroup(in Values) (Values, error) {
	levers := in.Nums("z_m")
	edge, err := joint.Rocking{Levers: levers}.Tensions(in.Num("M_Nm"), 0)
	if err != nil {
		return nil, err
	}
	for i := range levers {
		levers[i] -= in.Num("heel_shift_m")
	}
	shifted, err := joint.Rocking{Levers: levers}.Tensions(in.Num("M_Nm"), 0)
	return Values{"F_N": edge, "F_shifted_N": shifted}, err
}

func lipPullOut(in Values) (Values, error) {
	lip := joint.Lip{
		Thickness: in.Num("lip_m"), Opening: in.Num("slot_m"), Inner: in.Num("inner_m"),
		NutWidth: in.Num("nut_width_m"), NutLength: in.Num("nut_length_m"), Yield: in.Num("fo_Pa"),
	}
	s, err := lip.Strength()
	if err != nil {
		return nil, err
	}
	stress, err := lip.Stress(in.Num("F_N"))
	return Values{
		"c_m": s.Lever, "b_eff_m": s.Strip, "sigma_bending_Pa": stress.Bending, "tau_max_Pa": stress.Shear,
		"F_elastic_N": s.Elastic, "F_plastic_bending_N": s.Plastic, "F_shear_N": s.Shear,
	}, err
}

func coreThread(in Values) (Values, error) {
	thread, err := joint.CoarseThread("M8") // the case gives its pitch diameter, that of M8
	if err != nil {
		return nil, err
	}
	strip, err := joint.TappedHole{Engagement: in.Num("m_m"), Yield: in.Num("fo_Pa"), Share: in.Num("k")}.Strip(thread)
	return Values{"F_strip_N": strip}, err
}

func componentStiffness(in Values) (Values, error) {
	lip := in.Values("lip")
	c := joint.Component{
		Screw: in.Num("bolt_EA_over_L"), Young: lip.Num("E"), Shear: lip.Num("G"),
		// Nut and slot of the case on pull-out, which has the same lever and strip.
		Lip: joint.Lip{Thickness: lip.Num("t_m"), Opening: 0.008, Inner: 0.02, NutWidth: 0.0135, NutLength: 0.022, Yield: 1},
	}
	k, err := c.Stiffness()
	return Values{
		"k_lip_bending": k.LipBending, "k_lip_shear": k.LipShear, "k_t": k.Total,
		"S_Nm_per_rad": joint.RotationalUpperBound(k.Total, in.Nums("z_m")),
	}, err
}

func rigidity(in Values) (Values, error) {
	limits := joint.ClassLimits(in.Num("EI_Nm2"), in.Num("L_m"))
	var classes []string
	for _, s := range in.Nums("S_Nm_per_rad") {
		classes = append(classes, string(limits.Classify(s, false)))
	}
	return Values{
		"S_rigid_unbraced": limits.RigidUnbraced, "S_rigid_braced": limits.RigidBraced, "S_pinned": limits.Pinned,
		"class_unbraced": classes,
	}, nil
}

func loadSplit(in Values) (Values, error) {
	phi := joint.Split{Screw: in.Num("kS"), Parts: in.Num("kP"), Intro: in.Num("n")}.Factor()
	s := joint.Share(phi, in.Num("FV_N"), in.Num("FA_N"))
	return Values{"Phi": phi, "F_SA_N": s.Extra, "F_KR_N": s.Residual, "F_open_N": s.Opening}, nil
}

func plateStrip(in Values) (Values, error) {
	strip := joint.Strip{Thickness: in.Num("t_m"), Width: in.Num("b_m"), Arm: in.Num("c_m"), Young: in.Num("E"), Yield: 1}
	bent, err := strip.Bend(in.Num("M_Nm"))
	if err != nil {
		return nil, err
	}
	strip.Thickness *= 2
	double, err := strip.Bend(in.Num("M_Nm"))
	return Values{"sigma_Pa": bent.Stress, "rotation_rad": bent.Rotation, "k_ratio_double_t": double.Stiffness / bent.Stiffness}, err
}

func clampSlip(in Values) (Values, error) {
	return Values{"F_slip_N": joint.ClampSlip(int(in.Num("n")), in.Num("F_bolt_N"), in.Num("lever"), in.Num("mu"), int(in.Num("faces")), in.Num("safety"))}, nil
}

func ribbedPlate(in Values) (Values, error) {
	s, err := joint.Ribbed{
		PlateWidth: in.Num("plate_b_m"), PlateThickness: in.Num("plate_t_m"),
		RibThickness: in.Num("rib_b_m"), RibHeight: in.Num("rib_h_m"), Ribs: int(in.Num("n_ribs")),
	}.Section()
	return Values{"zc_m": s.Centroid, "I_m4": s.Inertia, "gain": s.Gain}, err
}

// baseAnchors puts two anchors on each of the two lines of the case.
func baseAnchors(in Values) (Values, error) {
	z, half := in.Nums("z_m"), in.Num("half_plate_m")
	face := joint.Face{
		Screws: joint.Grid(2, 2, z[1]-z[0], z[1]-z[0]),
		MinY:   -half, MaxY: half, MinZ: -half, MaxZ: half, Faces: 1,
	}
	loads, err := face.Resolve(joint.Demand{N: -in.Num("N_N"), Vz: in.Num("V_N"), My: in.Num("M_Nm")})
	if err != nil {
		return nil, err
	}
	far := loads[len(loads)-1]
	return Values{
		"M_net_Nm":     joint.Rocking{Relief: half}.Net(in.Num("M_Nm"), in.Num("N_N")),
		"T_far_each_N": far.Tension, "V_each_N": far.Shear.Total(0),
	}, nil
}

func errorChain(in Values) (Values, error) {
	vector := func(list []float64) [3]float64 { return [3]float64{list[0], list[1], list[2]} }
	var links []accuracy.Link
	for _, l := range in.List("chain") {
		links = append(links, accuracy.Link{
			Name: l.Text("name"), Angles: vector(l.Nums("eps")), Shift: vector(l.Nums("lin")), At: vector(l.Nums("at")),
		})
	}
	e, err := accuracy.Chain(links, vector(in.Nums("tool_m")))
	return Values{"per_axis_m": e.ByLink, "total_m": e.Signed, "rss_m": e.Random, "worst_case_m": e.Largest}, err
}

func sagVariation(in Values) (Values, error) {
	beam := accuracy.Beam{Span: in.Num("L_m"), Bending: in.Num("EI_Nm2")}
	var sags []float64
	taught := 0
	for i, a := range in.Nums("positions_m") {
		sag, err := beam.Sag(in.Num("P_N"), a)
		if err != nil {
			return nil, err
		}
		if a == beam.Span/2 {
			taught = i
		}
		sags = append(sags, sag)
	}
	v, err := accuracy.Vary(sags, taught)
	return Values{"delta_m": sags, "variation_from_mid_m": v.FromTaught, "peak_to_peak_m": v.PeakToPeak}, err
}

func thermalErrors(in Values) (Values, error) {
	scale := accuracy.ScaleGrowth{Length: in.Num("L_m"), Rise: in.Num("dT_K"), Machine: in.Num("alpha_al"), Scale: in.Num("alpha_st")}
	beam, difference, err := scale.Growth()
	if err != nil {
		return nil, err
	}
	bow, err := accuracy.Bow{Expansion: scale.Machine, Difference: in.Num("gradient_K"), Height: in.Num("h_m"), Length: scale.Length}.Rise()
	return Values{"growth_al_m": beam, "growth_st_m": beam - difference, "differential_m": difference, "bow_m": bow}, err
}

func seriesRange(in Values) (Values, error) {
	k1, k2 := in.Nums("k1"), in.Num("k2")
	r := joint.Range{Low: k1[0], Nominal: k1[0], High: k1[1]}.Series(joint.Range{Low: k2, Nominal: k2, High: k2})
	return Values{"k": []float64{r.Low, r.High}, "f_ratio": r.FrequencyRatio()}, nil
}
