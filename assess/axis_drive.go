package assess

import (
	"fmt"
	"math"

	"spanwright/drive"
	"spanwright/ledger"
	"spanwright/rolling"
	"spanwright/structure"
)

// driveChecks judge belt, screw or rack.
func (r *run) driveChecks(d *axisDuty) {
	switch {
	case d.axis.Belt != nil:
		r.beltChecks(d)
	case d.axis.Screw != nil:
		r.screwChecks(d)
	case d.axis.Rack != nil:
		r.rackChecks(d)
	}
}

// pull is the largest drive force on one belt or rack, N, over cycle and controlled emergency stop.
func (d *axisDuty) pull() float64 { return d.share * math.Abs(d.largest().force) }

func (r *run) beltChecks(d *axisDuty) {
	id, b, limits := d.axis.Spec.ID, d.axis.Belt, r.m.Design.Assumptions.Limits
	part := "part " + b.ID
	pulley := drive.Pulley{Teeth: d.axis.Teeth, Pitch: b.Pitch}
	n := r.timeline.Curve(id).PeakSpeed() * d.train.Transmission.Gearing

	mesh, err := pulley.TeethInMesh(math.Pi)
	var line drive.Curve
	for i := range b.ToothAt {
		line = append(line, drive.CurvePoint{X: b.ToothAt[i], Y: b.Tooth[i]})
	}
	perTooth, errLine := line.At(n)
	allowed, errMesh := drive.Mesh{Specific: perTooth / b.Width, Teeth: mesh, Cap: b.ToothCap, Width: b.Width, Service: 1}.AllowedForce()
	r.add(atMost(axisCheck(id, "axis.belt.tooth", ".drive.belt", "belt tooth force with service factor"), limits.BeltService*d.pull(), allowed, "N", ledger.Working{
		Formula: "F = S_B * share * F_u",
		Inputs: []ledger.Input{
			in("S_B", "service factor", limits.BeltService, "", "assumptions.limits.belt_service"),
			in("share", "share of one belt", d.share, "", "load split of the driven sides"),
			in("F_u", "largest drive force: "+d.largest().where.String(), math.Abs(d.largest().force), "N", "cycle"),
			in("f_t", fmt.Sprintf("allowed force of one tooth at %.4g rad/s; %d teeth in mesh, at most %d count", n, mesh, b.ToothCap), perTooth, "N", part),
		},
		Source: "tooth forces from part data; service factor and counted teeth " + practice,
	}), first(err, errLine, errMesh))

	ex, errEx := r.beltExtremes(d)
	r.add(atMost(axisCheck(id, "axis.belt.cord", ".drive.belt", "tension of the tight run"), ex.Tight, b.Cord, "N", ledger.Working{
		Formula: "largest of F_v + F_u L_s/(L_t + L_s) over the travel and both directions", Solver: true,
		Inputs: []ledger.Input{
			in("F_v", "tension at rest", d.axis.Pretension, "N", "axes."+id+".drive.pretension"),
			in("F_u", "largest drive force on one belt", d.pull(), "N", "cycle"),
			in("x", "worst carriage place on the belt", ex.TightAt, "m", "travel"),
		},
		Source: "derived, two taut runs of fixed total length; limit from " + part,
	}), errEx)
	slack := axisCheck(id, "axis.belt.slack", ".drive.pretension", "least tension of the slack run")
	slack.Note = "a slack run lets the belt jump teeth; raise the tension at rest, within what cord and bearings bear"
	r.add(atLeast(slack, ex.Slack, limits.BeltSlack*d.pull(), "N", ledger.Working{
		Formula: "least of F_v - F_u L_t/(L_t + L_s) over the travel and both directions", Solver: true,
		Inputs: []ledger.Input{
			in("F_v", "tension at rest", d.axis.Pretension, "N", "axes."+id+".drive.pretension"),
			in("F_u", "largest drive force on one belt", d.pull(), "N", "cycle"),
			in("x", "worst carriage place on the belt", ex.SlackAt, "m", "travel"),
			in("s", "least share of the largest force", limits.BeltSlack, "", "assumptions.limits.belt_slack"),
		},
		Source: "derived, two taut runs of fixed total length; least share " + practice,
	}), errEx)
	if b.MinTeeth > 0 {
		c := atLeast(axisCheck(id, "axis.belt.pulley", ".drive.pulley_teeth", "teeth of the pulley"), float64(d.axis.Teeth), float64(b.MinTeeth), "", ledger.Working{
			Formula: "z = z_p", Counted: true, Inputs: []ledger.Input{in("z_p", "pulley teeth", float64(d.axis.Teeth), "", "axes."+id+".drive.pulley_teeth")}, Source: "least number from " + part,
		})
		r.add(c, nil)
	}
}

func (r *run) beltExtremes(d *axisDuty) (drive.Extremes, error) {
	belt, from := structure.BeltOf(d.axis, 0)
	_, to := structure.BeltOf(d.axis, d.axis.Spec.Travel)
	stroke := drive.Stroke{
		From: math.Min(from, to), To: math.Max(from, to),
		Forward: d.share * math.Max(0, d.peak.force), Backward: d.share * math.Max(0, -d.least.force),
	}
	return belt.Extremes(d.axis.Pretension, stroke)
}

// screwYield is the yield stress of the screw shaft: quenched and tempered steel, common practice, no source.
const screwYield = 550e6 // Pa

func (r *run) screwChecks(d *axisDuty) {
	id, s, limits := d.axis.Spec.ID, d.axis.Screw, r.m.Design.Assumptions.Limits
	part := "part " + s.ID
	n := r.timeline.Curve(id).PeakSpeed() * d.train.Transmission.Gearing

	whirl, err := r.slowestWhirl(d)
	speed, errSpeed := whirl.CriticalSpeed()
	c := axisCheck(id, "axis.screw.whirl", ".drive.screw", "screw speed")
	c.Note = "a longer lead, a thicker shaft or a shorter free length raises the margin"
	r.add(atMost(c, n, limits.ScrewSpeed*speed, "rad/s", ledger.Working{
		Formula: "n = v * q",
		Inputs: []ledger.Input{
			in("v", "peak speed in the cycle", r.timeline.Curve(id).PeakSpeed(), "m/s", "cycle"),
			in("q", "screw angle per travel", d.train.Transmission.Gearing, "rad/m", part),
			in("n_cr", "critical speed (beta/L)^2 sqrt(E I/(rho A)), "+whirl.Ends.String(), speed, "rad/s", "derived from part data"),
			in("L", "longest free length, the nut counting as a support", whirl.Length, "m", "machine"),
			in("d_r", "root diameter", s.Dr, "m", part),
			in("k", "share that may be used", limits.ScrewSpeed, "", "assumptions.limits.screw_speed"),
		},
		Source: "Blevins, uniform Euler-Bernoulli beam; share " + practice,
	}), first(err, errSpeed))

	r.screwBuckling(d)
	dn, err := drive.DN(s.D0, n)
	const perMinute = 1000 * 60 / (2 * math.Pi) // the trade's mm/min from m rad/s
	r.add(atMost(axisCheck(id, "axis.screw.dn", ".drive.screw", "diameter times speed"), dn*perMinute, s.DN, "mm/min", ledger.Working{
		Formula: "DN = d_0 * 1000 * n * 60 / (2 * pi)",
		Inputs:  []ledger.Input{in("d_0", "nominal diameter", s.D0, "m", part), in("n", "peak screw speed", n, "rad/s", "cycle")},
		Source:  "definition of the trade; limit from " + part,
	}), err)
	static, err := drive.StaticSafety(s.C0a, math.Abs(d.largest().force)+s.Preload)
	r.add(atLeast(axisCheck(id, "axis.screw.static", ".drive.screw", "static safety of the nut"), static, limits.ScrewStatic, "", ledger.Working{
		Formula: "s_0 = C_0a / (F + F_pr)",
		Inputs: []ledger.Input{
			in("C_0a", "static rating", s.C0a, "N", part),
			in("F", "largest drive force: "+d.largest().where.String(), math.Abs(d.largest().force), "N", "cycle"),
			in("F_pr", "preload", s.Preload, "N", part),
		},
		Source: "definition, ISO 3408-5; limit " + practice,
	}), err)
	r.screwLife(d)
}

// slowestWhirl is the free length of the screw with the lowest critical speed
// over the travel. Between bearing and nut the nut counts as supported: its
// tilt stiffness is rarely known and the other choice is unsafe.
func (r *run) slowestWhirl(d *axisDuty) (drive.Shaft, error) {
	a := d.axis
	ends, err := structure.ScrewEnds(a.ScrewEnds)
	if err != nil {
		return drive.Shaft{}, err
	}
	shaft := func(l float64, e drive.Ends) drive.Shaft {
		return drive.Shaft{RootDiameter: a.Screw.Dr, Length: l, Ends: e, Material: drive.ScrewSteel()}
	}
	if ends == drive.FixedFree {
		return shaft(a.Length, drive.FixedFree), nil
	}
	near, far := math.Inf(-1), math.Inf(-1)
	for _, q := range [2]float64{0, a.Spec.Travel} {
		l := structure.FixedEnd(a, q)
		near, far = math.Max(near, l), math.Max(far, a.Length-l)
	}
	atMotor, atFar := drive.SupportedSupported, drive.SupportedSupported
	if ends == drive.FixedSupported || ends == drive.FixedFixed {
		atMotor = drive.FixedSupported
	}
	if ends == drive.FixedFixed {
		atFar = drive.FixedSupported
	}
	one, two := shaft(near, atMotor), shaft(far, atFar)
	n1, err1 := one.CriticalSpeed()
	n2, err2 := two.CriticalSpeed()
	if n2 < n1 {
		return two, first(err1, err2)
	}
	return one, first(err1, err2)
}

func (r *run) screwBuckling(d *axisDuty) {
	a, limits := d.axis, r.m.Design.Assumptions.Limits
	c := axisCheck(a.Spec.ID, "axis.screw.buckling", ".drive.screw", "compression in the screw")
	c.Note = "the largest drive force is taken as compression in the longest free length, whichever way it points"
	far := math.Max(structure.FixedEnd(a, 0), structure.FixedEnd(a, a.Spec.Travel))
	ends := drive.FixedSupported
	if a.ScrewEnds == drive.SupportedSupported.String() {
		ends = drive.SupportedSupported
	}
	shaft := drive.Shaft{RootDiameter: a.Screw.Dr, Length: far, Ends: ends, Material: drive.ScrewSteel()}
	b, err := shaft.Buckling(screwYield)
	f := math.Abs(d.largest().force)
	r.add(atMost(c, f, b.Critical/limits.Buckling, "N", ledger.Working{
		Formula: "F = F_max",
		Inputs: []ledger.Input{
			in("F_max", "largest drive force: "+d.largest().where.String(), f, "N", "cycle"),
			in("F_cr", "buckling load, "+b.Law.String()+", bearing to nut, "+ends.String(), b.Critical, "N", "derived from part data"),
			in("L", "longest distance from the fixed bearing to the nut", far, "m", "machine"),
			in("d_r", "root diameter", a.Screw.Dr, "m", "part "+a.Screw.ID),
			in("S_b", "safety", limits.Buckling, "", "assumptions.limits.screw_buckling"),
		},
		Source: "Euler and Johnson columns, Shigley, Mechanical Engineering Design; safety " + practice,
	}), err)
}

// screwLife follows the nut through the cycle.
func (r *run) screwLife(d *axisDuty) {
	a := d.axis
	c := axisCheck(a.Spec.ID, "axis.screw.life", ".drive.screw", "life of screw and nut in years")
	if a.Screw.Kind == "slide" {
		r.skip(c.ID, "a slide screw wears: no rating life; follow the supplier's pressure-velocity limit")
		return
	}
	var cycle drive.ScrewCycle
	for _, leg := range d.legs {
		for _, s := range leg.Curve {
			if s.Duration <= 0 {
				continue
			}
			from, to := s.At(s.Start), s.Last()
			mean := math.Abs(to.Position-from.Position) / s.Duration
			mid := s.At(s.Start + s.Duration/2)
			cycle = append(cycle, drive.ScrewStep{Force: leg.Load.Force(mid), Speed: mean * d.train.Transmission.Gearing, Share: s.Duration / r.timeline.Duration})
		}
	}
	one, two, err := cycle.NutLoads(a.Screw.Preload)
	n, errN := cycle.MeanSpeed()
	rating := drive.ScrewRating{Dynamic: a.Screw.Ca, Lead: a.Screw.Lead, Reliability: 1}
	life1, err1 := rating.Life(one, n)
	life2, err2 := rating.Life(two, n)
	both, errBoth := rolling.Combine(life1.Turns, life2.Turns)
	if e := first(err, errN, err1, err2, errBoth); e != nil {
		r.add(c, e)
		return
	}
	a1 := r.reliability()
	wanted := r.m.Design.Task.Duty
	years := a1 * both / (n / (2 * math.Pi)) / wanted.HoursPerYear
	r.add(atLeast(c, years, wanted.Years, "years", ledger.Working{
		Formula: "Y = a_1 * L_rev * 2 * pi / (n_m * H)",
		Inputs: []ledger.Input{
			in("a_1", "reliability factor", a1, "", "assumptions.reliability"),
			in("L_rev", "both half-nuts together, (L_1^(-10/9) + L_2^(-10/9))^(-9/10), revolutions", both, "", "cycle"),
			in("n_m", "mean screw speed over the cycle", n, "rad/s", "cycle"),
			in("H", "running time a year", wanted.HoursPerYear, "s", "task.duty.hours_per_year"),
			in("F_1", "cubic mean load of the one half-nut", one, "N", "cycle"), in("F_2", "of the other", two, "N", "cycle"),
			in("C_a", "dynamic rating", a.Screw.Ca, "N", "part "+a.Screw.ID),
		},
		Source: "ISO 3408-5:2006, 7 (formulas from memory)",
	}), nil)
}

func (r *run) rackChecks(d *axisDuty) {
	id, k := d.axis.Spec.ID, d.axis.Rack
	part := "part " + k.ID
	f := d.pull()
	inputs := []ledger.Input{
		in("K_A", "application factor", rackApplication, "", practice),
		in("share", "share of one rack", d.share, "", "load split of the driven sides"),
		in("F_t", "largest drive force: "+d.largest().where.String(), math.Abs(d.largest().force), "N", "cycle"),
	}
	if k.Force > 0 {
		r.add(atMost(axisCheck(id, "axis.rack.force", ".drive.rack", "rack force with application factor"), rackApplication*f, k.Force, "N", ledger.Working{
			Formula: "F = K_A * share * F_t", Inputs: inputs, Source: "rated force from " + part,
		}), nil)
	}
	tooth := drive.ToothScreening{
		Pinion: drive.Pinion{Module: k.Module, Teeth: k.Teeth, Helix: k.Helix, PressureAngle: 20 * math.Pi / 180},
		Width:  k.Width, Force: f, Form: drive.ToothForm, Modulus: drive.ScrewSteel().Modulus, Poisson: 0.3,
		Factors: drive.ToothFactors{Application: rackApplication, Dynamic: rackDynamic, Spread: rackSpread},
	}
	s, err := tooth.Stresses()
	for _, t := range []struct {
		kind, title string
		value, lim  float64
		safety      float64
	}{
		{"axis.rack.root", "tooth root stress (screening)", s.Root, k.RootLim, drive.RootSafety},
		{"axis.rack.flank", "tooth flank pressure (screening)", s.Flank, k.FlankLim, drive.FlankSafety},
	} {
		c := axisCheck(id, t.kind, ".drive.rack", t.title)
		c.Note = "a simplified form of ISO 6336; the maker's rated force governs where it is given"
		r.add(atMost(c, t.value, t.lim/t.safety, "Pa", ledger.Working{
			Formula: "simplified ISO 6336-2/-3 stress at the largest drive force", Solver: true,
			Inputs: append([]ledger.Input{in("m_n", "module", k.Module, "m", part), in("b", "face width", k.Width, "m", part), in("S", "safety", t.safety, "", practice)}, inputs...),
			Source: "ISO 6336-2 and -3, simplified: no contact ratio, helix, life and roughness factors",
		}), err)
	}
}

// Factors of the tooth screening for servo drives with smooth handling loads:
// common practice, no source.
const (
	rackApplication = 1.25
	rackDynamic     = 1.1
	rackSpread      = 1.3
)
