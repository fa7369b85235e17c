package improve

import (
	"fmt"
	"math"

	"spanwright/ledger"
	"spanwright/machine"
	"spanwright/parts"
	"spanwright/quantity"
)

// brakes proposes a hold brake that holds, or a better one.
func brakes(s *situation, c ledger.Check) []proposal {
	a := s.axis(c)
	if a == nil {
		return nil
	}
	w := swap[*parts.Brake]{path: axisPath(a, "brake"), noun: "hold brake", pieces: float64(a.Motors()), why: "closes when power is off and holds the load"}
	if a.Brake != nil {
		w.now, w.cost = a.Brake.ID, a.Brake.Cost
	}
	switch c.Kind {
	case "safety.gravity_brake":
		need := s.holdTorque(a)
		w.by = "holds T = S m g / (q i n)"
		w.spoils = func(p *parts.Brake) bool {
			heat := s.stopHeat(a, p)
			duty := s.design.Task.Duty
			const days = 365
			return heat > p.Energy || p.Wear > 0 && heat*duty.Stops*days*duty.Years > p.Wear
		}
		w.factor = func(p *parts.Brake) float64 {
			if u := need / p.Torque; u <= s.goal() {
				return 0
			}
			return never()
		}
		out := swaps(s, c, listed[*parts.Brake](s, "brake"), w)
		for i := range out {
			out[i].Estimate = 0 // a rule: met or not
		}
		return out
	case "axis.brake.energy":
		w.by = "heat over what the part allows"
		w.factor = func(p *parts.Brake) float64 { return bigger(a.Brake.Energy, p.Energy) }
	case "axis.brake.wear":
		w.by = "wear energy of the part"
		w.factor = func(p *parts.Brake) float64 { return bigger(a.Brake.Wear, p.Wear) }
	default:
		w.by = "torque of the part"
		w.factor = func(p *parts.Brake) float64 { return bigger(a.Brake.Torque, p.Torque) }
	}
	if a.Brake == nil {
		return nil
	}
	return swaps(s, c, listed[*parts.Brake](s, "brake"), w)
}

// holdTorque is what one brake must have to hold with its safety, N m, by the
// numbers in the workings of the motor checks.
func (s *situation) holdTorque(a *machine.Axis) float64 {
	id := "axis." + a.Spec.ID + ".motor."
	q, i, m := s.of(id+"speed", "q"), s.of(id+"speed", "i"), s.of(id+"inertia", "m")
	return s.design.Assumptions.Limits.BrakeHold * m * quantity.StandardGravity * math.Abs(a.Vertical()) / (q * i * float64(a.Motors()))
}

// stopHeat is what a power-off stop at full speed downward turns into heat in one
// brake, J, by the numbers of the motor checks: the load falls until the brake has
// closed, and its weight goes on working until it stands,
//
//	E = m_eq (v + a_f t)²/2 / (1 - F_g/F_B)
//
// Derived from the balance of energy; losses are left out.
func (s *situation) stopHeat(a *machine.Axis, p *parts.Brake) float64 {
	id := "axis." + a.Spec.ID + ".motor."
	q, i := s.of(id+"speed", "q"), s.of(id+"speed", "i")
	m, j, jm := s.of(id+"inertia", "m"), s.of(id+"inertia", "J"), s.of(id+"inertia", "J_M")
	n := float64(a.Motors())
	moving := m + q*q*(j+i*i*(jm+n*p.J))
	weight, braking := m*quantity.StandardGravity*math.Abs(a.Vertical()), n*p.Torque*q*i
	v := a.Spec.Limits.Speed + weight/moving*(s.design.Equipment.Control.Reaction+p.Apply)
	if !(braking > weight) {
		return math.Inf(1)
	}
	return moving * v * v / 2 / (1 - weight/braking) / n
}

// inertiaUse is the utilisation of the inertia check with other numbers of
// screw lead, shaft inertia and motor inertia; NaN keeps the one at hand.
func (s *situation) inertiaUse(a *machine.Axis, lead, shaft, motor float64) float64 {
	c := s.checks["axis."+a.Spec.ID+".motor.inertia"]
	q, j, i, jm := input(c, "q"), input(c, "J"), input(c, "i"), input(c, "J_M")
	if lead > 0 {
		q = 2 * math.Pi / lead
	}
	return (input(c, "m")/(q*q) + j + shaft) / (i * i * (jm + motor)) / c.Limit
}

// motorFactor is the factor of another motor on the utilisation of a motor check.
func (s *situation) motorFactor(a *machine.Axis, kind string, p *parts.Motor) float64 {
	now := a.Motor
	same := now.Kind == p.Kind
	switch kind {
	case "axis.motor.peak":
		if same {
			return bigger(now.Tmax, p.Tmax)
		}
	case "axis.motor.rms":
		if same {
			return bigger(now.Tn, p.Tn)
		}
	case "axis.motor.hold":
		if same {
			return bigger(now.T0, p.T0)
		}
	case "axis.motor.speed":
		if same {
			return bigger(now.Nmax, p.Nmax)
		}
	case "axis.motor.inertia":
		if !same {
			return never()
		}
		j := s.of("axis."+a.Spec.ID+".motor.inertia", "J_M")
		return bigger(j, j+float64(a.Motors())*(p.J-now.J))
	case "axis.motor.pull_out":
		if p.Kind == "servo" {
			c := s.checks["axis."+a.Spec.ID+".motor.pull_out"]
			return bigger(c.Limit, p.Tmax)
		}
		if len(p.Pull) > 0 && len(now.Pull) > 0 {
			return bigger(now.Pull[len(now.Pull)-1], p.Pull[len(p.Pull)-1])
		}
	}
	return never()
}

func motors(s *situation, c ledger.Check) []proposal {
	a := s.axis(c)
	if a == nil {
		return nil
	}
	return swaps(s, c, listed[*parts.Motor](s, "motor"), swap[*parts.Motor]{
		path: axisPath(a, "motor"), noun: "motor", now: a.Motor.ID, cost: a.Motor.Cost, pieces: float64(a.Motors()),
		factor: func(p *parts.Motor) float64 { return s.motorFactor(a, c.Kind, p) },
		spoils: func(p *parts.Motor) bool {
			return s.inertiaUse(a, 0, 0, float64(a.Motors())*(p.J-a.Motor.J)) > 1
		},
		why: "the motor decides this check", by: "ratio of the motors' torque, speed or inertia",
	})
}

// gears proposes another ratio or size. Torque at the motor goes with 1/i, its
// speed with i, the load's inertia with 1/i².
func gears(s *situation, c ledger.Check) []proposal {
	a := s.axis(c)
	if a == nil {
		return nil
	}
	id := "axis." + a.Spec.ID + ".motor."
	ratio, speedUse := 1.0, s.checks[id+"speed"].Utilisation
	w := swap[*parts.Gear]{path: axisPath(a, "gear"), noun: "gear", pieces: float64(a.Motors()), why: "the ratio shares the work between torque and speed", by: "torque 1/i, speed i, inertia 1/i2"}
	if a.Gear != nil {
		w.now, w.cost, ratio = a.Gear.ID, a.Gear.Cost, a.Gear.Ratio
	}
	w.factor = func(p *parts.Gear) float64 {
		k := p.Ratio / ratio
		if c.Kind != "axis.motor.speed" && speedUse*k > 1 || a.Gear != nil && a.Gear.Kind != p.Kind {
			return never()
		}
		switch c.Kind {
		case "axis.motor.inertia":
			return 1 / (k * k)
		case "axis.motor.peak", "axis.motor.rms":
			return 1 / k
		case "axis.motor.speed":
			return k
		}
		if a.Gear == nil {
			return never()
		}
		switch c.Kind {
		case "axis.gear.peak":
			return bigger(a.Gear.T2B, p.T2B)
		case "axis.gear.mean":
			return bigger(a.Gear.T2N, p.T2N)
		case "axis.gear.speed_peak":
			return k * bigger(a.Gear.N1Max, p.N1Max)
		case "axis.gear.speed_mean":
			return k * bigger(a.Gear.N1N, p.N1N)
		case "axis.gear.brake":
			return bigger(a.Gear.T2Not, p.T2Not)
		}
		return never()
	}
	return swaps(s, c, listed[*parts.Gear](s, "gear"), w)
}

// screws: critical speed goes with the diameter, screw speed with 1/lead,
// buckling with the fourth power of the diameter, life with the cube of the
// rating and, in time, with the lead.
func screws(s *situation, c ledger.Check) []proposal {
	a := s.axis(c)
	if a == nil || a.Screw == nil {
		return nil
	}
	now := a.Screw
	w := swap[*parts.Screw]{path: axisPath(a, "drive.screw"), noun: "screw", now: now.ID, cost: now.Cost, pieces: float64(len(a.Beams)), why: "a longer lead turns slower, a thicker shaft bends less", by: "n ~ 1/lead, n_cr ~ d, F_cr ~ d4, life ~ C3 lead"}
	w.spoils = func(p *parts.Screw) bool {
		const density = 7850 // kg/m³, steel
		more := math.Pi / 32 * density * a.Length * (math.Pow(p.D0, 4) - math.Pow(now.D0, 4))
		return s.inertiaUse(a, p.Lead, more, 0) > 1
	}
	w.factor = func(p *parts.Screw) float64 {
		if p.Kind != now.Kind {
			return never()
		}
		lead := now.Lead / p.Lead
		switch c.Kind {
		case "axis.screw.whirl":
			return lead * now.Dr / p.Dr
		case "axis.screw.dn":
			return lead * p.D0 / now.D0 * now.DN / p.DN
		case "axis.screw.buckling":
			return math.Pow(now.Dr/p.Dr, 4)
		case "axis.screw.static":
			return bigger(now.C0a, p.C0a)
		case "axis.screw.life":
			return math.Pow(now.Ca/p.Ca, 3) * lead
		}
		return never()
	}
	return swaps(s, c, listed[*parts.Screw](s, "screw"), w)
}

// endFactors are beta L of the first bending mode of a bar by its ends (Blevins,
// Formulas for Natural Frequency and Mode Shape).
var endFactors = map[string]float64{"fixed-free": 1.8751, "supported-supported": math.Pi, "fixed-supported": 3.9266, "fixed-fixed": 4.7300}

// screwEnds proposes stiffer bearings.
func screwEnds(s *situation, c ledger.Check) []proposal {
	a := s.axis(c)
	if a == nil || a.Screw == nil || a.ScrewEnds == "fixed-fixed" {
		return nil
	}
	ratio := endFactors[a.ScrewEnds] / endFactors["fixed-fixed"]
	return []proposal{{
		Title: "screw of axis " + a.Spec.ID + " with a fixed bearing at both ends", Why: "stiffer ends raise the critical speed and the buckling load",
		Edits: []Edit{{Path: axisPath(a, "drive.screw_ends"), Value: "fixed-fixed"}}, Estimate: c.Utilisation * ratio * ratio, By: "(beta L)2 of the ends", cost: free,
	}}
}

func racks(s *situation, c ledger.Check) []proposal {
	a := s.axis(c)
	if a == nil || a.Rack == nil {
		return nil
	}
	now := a.Rack
	return swaps(s, c, listed[*parts.Rack](s, "rack"), swap[*parts.Rack]{
		path: axisPath(a, "drive.rack"), noun: "rack", now: now.ID, cost: now.Cost, pieces: float64(len(a.Beams)),
		factor: func(p *parts.Rack) float64 {
			force := bigger(now.Force, p.Force)
			switch c.Kind {
			case "axis.rack.root": // sigma_F ~ 1/(b m)
				return now.Width * now.Module / (p.Width * p.Module) * bigger(now.RootLim, p.RootLim)
			case "axis.rack.flank": // sigma_H ~ 1/sqrt(b d)
				return math.Sqrt(now.Width*now.Module*float64(now.Teeth)/(p.Width*p.Module*float64(p.Teeth))) * bigger(now.FlankLim, p.FlankLim)
			}
			return force
		},
		why: "wider, larger or hardened teeth carry more", by: "root ~ 1/(b m), flank ~ 1/sqrt(b d), rated force of the part",
	})
}

// belts proposes a wider belt, more tension at rest, or more teeth.
func belts(s *situation, c ledger.Check) []proposal {
	a := s.axis(c)
	if a == nil || a.Belt == nil {
		return nil
	}
	now := a.Belt
	switch c.Kind {
	case "axis.belt.slack":
		more := c.Limit/s.goal() - c.Value
		if !(more > 0) {
			return nil
		}
		rest := upTwo(a.Pretension + more)
		return []proposal{{
			Title: fmt.Sprintf("belt of axis %s at %s of tension at rest", a.Spec.ID, force(rest)), Why: "a belt that goes slack jumps teeth",
			Edits: []Edit{{Path: axisPath(a, "drive.pretension"), Value: force(rest)}}, Estimate: s.goal(), By: "the slack run rises with the tension at rest",
		}}
	case "axis.belt.cord":
		if p, ok := s.looserBelt(a, c); ok {
			return append([]proposal{p}, s.widerBelts(a, c)...)
		}
	case "axis.belt.pulley":
		return []proposal{{
			Title: fmt.Sprintf("pulley of axis %s with %d teeth", a.Spec.ID, now.MinTeeth), Why: "the belt's least bend",
			Edits: []Edit{{Path: axisPath(a, "drive.pulley_teeth"), Value: fmt.Sprint(now.MinTeeth)}}, Estimate: 1, By: "count",
		}}
	}
	return s.widerBelts(a, c)
}

// looserBelt lowers the tension at rest as far as the slack run allows.
func (s *situation) looserBelt(a *machine.Axis, c ledger.Check) (proposal, bool) {
	slack := s.checks["axis."+a.Spec.ID+".belt.slack"]
	spare := slack.Value - slack.Limit/s.goal()
	rest := downTwo(math.Max(a.Pretension-spare, a.Pretension-(c.Value-c.Limit*s.goal())))
	if !(spare > 0) || !(rest < a.Pretension) {
		return proposal{}, false
	}
	return proposal{
		Title: fmt.Sprintf("belt of axis %s at %s of tension at rest instead of %s", a.Spec.ID, force(rest), force(a.Pretension)), Why: "the tight run carries the tension at rest too; the slack run has some to spare",
		Edits: []Edit{{Path: axisPath(a, "drive.pretension"), Value: force(rest)}}, Estimate: (c.Value - (a.Pretension - rest)) / c.Limit, By: "both runs follow the tension at rest",
	}, true
}

func (s *situation) widerBelts(a *machine.Axis, c ledger.Check) []proposal {
	now := a.Belt
	return swaps(s, c, listed[*parts.Belt](s, "belt"), swap[*parts.Belt]{
		path: axisPath(a, "drive.belt"), noun: "belt", now: now.ID, pieces: a.Length * 2, cost: now.CostPerM, price: metreOfBelt,
		factor: func(p *parts.Belt) float64 {
			if p.Pitch != now.Pitch {
				return never()
			}
			if c.Kind == "axis.belt.cord" {
				return bigger(now.Cord, p.Cord)
			}
			return bigger(now.Width, p.Width)
		},
		why: "a wider belt carries more", by: "force ~ width",
	})
}

// axisParts proposes a larger axis with the same kind of drive.
func axisParts(s *situation, c ledger.Check) []proposal {
	a := s.axis(c)
	if a == nil {
		return nil
	}
	now := a.Part
	return swaps(s, c, listed[*parts.Axis](s, "axis"), swap[*parts.Axis]{
		path: axisPath(a, "part"), noun: "axis part", now: now.ID, pieces: float64(len(a.Beams)), cost: priceOfAxis(a)(now), price: priceOfAxis(a),
		factor: func(p *parts.Axis) float64 { return s.axisFactor(a, c.Kind, p) },
		why:    "larger blocks and beam carry more", by: "C_0, C, C3 of the blocks, 1/I of the beam",
	})
}

// axisFactor is the factor of another axis part on the utilisation of a check.
// Static safety goes with C_0, mean load with C, life with its cube, sag with 1/I.
func (s *situation) axisFactor(a *machine.Axis, kind string, p *parts.Axis) float64 {
	now := a.Part
	block, ok := s.parts.Block(p.Block)
	if !ok || p.Drive != now.Drive {
		return never()
	}
	switch kind {
	case "axis.guide.static":
		return bigger(a.Block.C0, block.C0)
	case "axis.guide.load":
		return bigger(a.Block.C, block.C)
	case "axis.guide.life":
		return math.Pow(bigger(a.Block.C, block.C), 3)
	case "axis.length":
		return bigger(now.MaxLength, p.MaxLength)
	case "axis.speed":
		return bigger(now.VMax, p.VMax)
	case "axis.acceleration":
		return bigger(now.AMax, p.AMax)
	case "axis.support.sag":
		return bigger(s.stiffness(now.Profile), s.stiffness(p.Profile))
	}
	return never()
}

// stiffness is the larger bending stiffness EI of a profile, N m²; NaN if unknown.
func (s *situation) stiffness(id string) float64 {
	p, ok := s.parts.Profile(id)
	if !ok {
		return math.NaN()
	}
	v, err := s.parts.Properties(p)
	m, known := s.parts.Material(p.Material)
	if err != nil || !known {
		return math.NaN()
	}
	return m.E * math.Max(v.Iy, v.Iz)
}
