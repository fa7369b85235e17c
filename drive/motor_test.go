package drive

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"spanwright/motion"
)

func anyTrain(t *rapid.T) Train {
	eta := rapid.Float64Range(0.3, 1).Draw(t, "transmission efficiency")
	return Train{
		MotorInertia: rapid.Float64Range(1e-5, 5e-3).Draw(t, "motor inertia"),
		Gear:         Gear{Ratio: rapid.Float64Range(1, 20).Draw(t, "ratio"), Efficiency: rapid.Float64Range(0.7, 1).Draw(t, "gear efficiency"), Inertia: 1e-4},
		Transmission: Transmission{
			Gearing:    rapid.Float64Range(5, 1000).Draw(t, "gearing"),
			Inertia:    rapid.Float64Range(0, 5e-3).Draw(t, "shaft inertia"),
			Efficiency: eta, BackEfficiency: 2 - 1/eta,
			Drag: rapid.Float64Range(0, 0.5).Draw(t, "drag"),
		},
	}
}

func anyMove(t *rapid.T) motion.Curve {
	stroke := float64(rapid.IntRange(-2000, 2000).Draw(t, "stroke in mm")) / 1000
	move, err := motion.Plan(stroke, motion.Limits{
		Speed: rapid.Float64Range(0.1, 3).Draw(t, "speed"),
		Accel: rapid.Float64Range(0.5, 10).Draw(t, "acceleration"),
		Jerk:  rapid.SampledFrom([]float64{0, 20, 200}).Draw(t, "jerk"),
	})
	if err != nil {
		t.Fatal(err)
	}
	return move.Curve()
}

// The closed integrals agree with sampling the torque at many moments.
func TestDemandAgainstSampling(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		train, curve := anyTrain(t), anyMove(t)
		if len(curve) == 0 {
			return
		}
		load := motion.Load{
			Mass:     rapid.Float64Range(1, 200).Draw(t, "mass"),
			Steady:   rapid.Float64Range(-500, 500).Draw(t, "steady"),
			Friction: rapid.Float64Range(0, 100).Draw(t, "friction"),
		}
		period := curve.End() * 1.25
		d, err := train.Demand(period, Leg{curve, load})
		if err != nil {
			t.Fatal(err)
		}
		var square, turned, net, cube, most float64
		const steps = 2000
		for _, s := range curve {
			dt := s.Duration / steps
			for k := range steps {
				state := s.At(s.Start + (float64(k)+0.5)*dt)
				x, err := train.Torque(Instant{Force: load.Force(state), Acceleration: state.Accel, Direction: DirectionOf(state.Speed)})
				if err != nil {
					t.Fatal(err)
				}
				n := math.Abs(train.MotorSpeed(state.Speed))
				square += x.Motor * x.Motor * dt
				turned += n * dt
				net += x.Motor * train.MotorSpeed(state.Speed) * dt
				cube += math.Pow(math.Abs(x.Output), 3) * n * dt
				most = math.Max(most, math.Abs(x.Output))
			}
		}
		// 2000 midpoints a segment leave about 1e-6 of smooth integrands, 1e-4 where a loss changes sides
		within := func(what string, got, want, scale float64) {
			if !(math.Abs(got-want) <= 1e-4*scale) {
				t.Fatalf("%s %.8g, sampled %.8g", what, got, want)
			}
		}
		within("rms torque", d.RMSTorque, math.Sqrt(square/period), d.RMSTorque)
		within("mean speed", d.MeanSpeed, turned/period, d.MeanSpeed)
		within("net work", d.Motoring-d.Braking, net, d.Motoring+d.Braking)
		within("mean output torque", d.OutputMean, math.Cbrt(cube/turned), d.OutputMean)
		if most > d.OutputPeak*(1+1e-12) {
			t.Fatalf("output torque %g beyond the peak %g", most, d.OutputPeak)
		}
	})
}

// Without losses the motor's net work is what the load has gained, for a move
// from rest to rest: steady force times way, and friction.
func TestDemandConservesEnergy(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		train, curve := anyTrain(t), anyMove(t)
		if len(curve) == 0 {
			return
		}
		train.Gear.Efficiency = 1
		train.Transmission.Efficiency, train.Transmission.BackEfficiency, train.Transmission.Drag = 1, 1, 0
		load := motion.Load{Mass: 50, Steady: rapid.Float64Range(-500, 500).Draw(t, "steady"), Friction: rapid.Float64Range(0, 100).Draw(t, "friction")}
		d, err := train.Demand(curve.End(), Leg{curve, load})
		if err != nil {
			t.Fatal(err)
		}
		way := curve.Last().Position - curve[0].Position
		want := load.Steady*way + load.Friction*math.Abs(way)
		if !(math.Abs(d.Motoring-d.Braking-want) <= 1e-9*(d.Motoring+d.Braking)) {
			t.Fatalf("net work %g, the load gained %g", d.Motoring-d.Braking, want)
		}
	})
}

// Losses never reduce what the motor must give, and never increase what comes back.
func TestLossesCost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		train := anyTrain(t)
		at := Instant{
			Force: rapid.Float64Range(-2000, 2000).Draw(t, "force"), Acceleration: rapid.Float64Range(-10, 10).Draw(t, "acceleration"),
			Direction: Forward,
		}
		lossy, err := train.Torque(at)
		if err != nil {
			t.Fatal(err)
		}
		train.Gear.Efficiency = 1
		train.Transmission.Efficiency, train.Transmission.BackEfficiency, train.Transmission.Drag = 1, 1, 0
		ideal, err := train.Torque(at)
		if err != nil {
			t.Fatal(err)
		}
		if lossy.Motor < ideal.Motor-1e-9*(math.Abs(ideal.Motor)+math.Abs(lossy.Motor)) {
			t.Fatalf("moving forward with losses needs %g, without %g", lossy.Motor, ideal.Motor)
		}
	})
}

func TestPeakUseSeesTheCornerAtSpeed(t *testing.T) {
	train := Train{MotorInertia: 8e-4, Gear: Gear{5, 0.95, 1.5e-4}, Transmission: Transmission{Gearing: 1 / 0.0407437, Inertia: 24e-4, Efficiency: 1, BackEfficiency: 1}}
	move, err := motion.Plan(1.2, motion.Limits{Speed: 2, Accel: 5})
	if err != nil {
		t.Fatal(err)
	}
	d, err := train.Demand(1.6, Leg{move.Curve(), motion.Load{Mass: 60, Friction: 40}})
	if err != nil {
		t.Fatal(err)
	}
	within(t, "rms torque", d.RMSTorque, 2.2233, 1e-4) // D02, from other numbers of the same axis
	within(t, "braking energy", d.Braking, 130.16, 1e-4)
	m := MotorCurve{StallTorque: 4.7, RatedTorque: 3.3, RatedSpeed: 3000 * math.Pi / 30, PeakTorque: 14, KneeSpeed: 2000 * math.Pi / 30, NoLoadSpeed: 2400 * math.Pi / 30}
	use, at, err := d.PeakUse(m)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "time of the worst corner", at.Time, 0.4) // end of acceleration: torque and speed both high
	near(t, "peak use", use, at.Torque/(14*(2400-at.Speed*30/math.Pi)/400))
	if atRest := at.Torque / 14; use <= atRest {
		t.Errorf("use %g no worse than at standstill %g", use, atRest)
	}
	continuous, err := d.ContinuousUse(m)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "continuous use", continuous, 1/1.92947, 1e-4) // D02
}

// A vertical axis at rest needs torque to hold, whatever the losses are.
func TestHoldingCounts(t *testing.T) {
	train := Train{MotorInertia: 1e-4, Gear: Gear{1, 0.9, 0}, Transmission: Transmission{Gearing: 100, Efficiency: 0.9, BackEfficiency: 0.88}}
	hold := motion.Chain(0, motion.State{}, motion.Piece{Duration: 2})
	d, err := train.Demand(2, Leg{hold, motion.Load{Mass: 35, Steady: 343}})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "holding torque", d.HoldTorque, 3.43)
	near(t, "rms torque", d.RMSTorque, 3.43)
	if d.MeanSpeed != 0 || d.OutputMean != 0 || d.Motoring != 0 {
		t.Errorf("holding does not turn or work: %+v", d)
	}
}

func TestStepperUse(t *testing.T) {
	s := Stepper{PullOut: Curve{{0, 2}, {50, 1.5}, {100, 0.5}}, StepAngle: 1.8 * math.Pi / 180}
	d := MotorDemand{Points: []TorquePoint{{Speed: 0, Torque: 1}, {Speed: -75, Torque: 0.8}}}
	use, at, err := s.Use(d)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "stepper use", use, 0.8)
	near(t, "worst speed", at.Speed, -75)
	d.Points = append(d.Points, TorquePoint{Speed: 120})
	_, _, err = s.Use(d)
	wants(t, "beyond the pull-out curve", err, ErrOutsideData)
	from, to, err := s.ResonantSpeeds()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "resonance from", from, math.Pi/2)
	near(t, "resonance to", to, 2.5*math.Pi)
}

// The load stopped through the gear: all inertia decelerates together.
func TestBrakeCrashBalances(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		train, mass := anyTrain(t), rapid.Float64Range(1, 500).Draw(t, "mass")
		torque := rapid.Float64Range(0.1, 50).Draw(t, "torque")
		c, err := train.BrakeCrash(torque, mass)
		if err != nil {
			t.Fatal(err)
		}
		// brake torque = what slows the motor side + what comes back through the gear
		back := (train.MotorInertia+train.Gear.Inertia)*c.Deceleration + c.OutputTorque/train.Gear.Ratio
		if !(math.Abs(back-torque) <= 1e-12*torque) {
			t.Fatalf("brake %g, inertias take %g", torque, back)
		}
	})
}

// The least motor torque on a pure inertia is at the ratio the formula names.
func TestRatioForLeastTorque(t *testing.T) {
	const load, motor = 0.102, 9.5e-4
	best, err := RatioForLeastTorque(load, motor)
	if err != nil {
		t.Fatal(err)
	}
	torque := func(i float64) float64 { return motor*i + load/i } // per load acceleration
	for _, i := range []float64{best * 0.9, best * 1.1} {
		if torque(i) <= torque(best) {
			t.Errorf("ratio %g needs less than %g", i, best)
		}
	}
}

func TestPushingForceUndoesTorque(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		train, force := anyTrain(t), rapid.Float64Range(1, 5000).Draw(t, "force")
		x, err := train.Torque(Instant{Force: force, Direction: Forward})
		if err != nil {
			t.Fatal(err)
		}
		back, err := train.PushingForce(x.Motor)
		if err != nil || !(math.Abs(back-force) <= 1e-9*(force+train.Transmission.Drag*train.Transmission.Gearing)) {
			t.Fatalf("%g N need %g N m, which push %g N (%v)", force, x.Motor, back, err)
		}
	})
}
