package drive

import (
	"errors"
	"math"
	"testing"

	"spanwright/quantity"

	"pgregory.net/rapid"
)

func anyPowerOff(t *rapid.T) PowerOff {
	return PowerOff{
		EquivalentMass: rapid.Float64Range(1, 2000).Draw(t, "mass"),
		Load:           rapid.Float64Range(-2000, 2000).Draw(t, "load"),
		Brake:          rapid.Float64Range(0, 5000).Draw(t, "brake"),
		Friction:       rapid.Float64Range(0, 100).Draw(t, "friction"),
		Reaction:       rapid.Float64Range(0, 0.3).Draw(t, "reaction"),
		Speed:          rapid.Float64Range(-3, 3).Draw(t, "speed"),
	}
}

// marginOf is how many digits the braking force keeps: it is a difference.
func (p PowerOff) marginOf() float64 {
	return (p.Brake + p.Friction) / (p.Brake + p.Friction - math.Abs(p.Load))
}

// Energy in equals energy out: motion and load give what brake and friction take.
func TestStopConservesEnergy(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPowerOff(t)
		s, err := p.Stop()
		if errors.Is(err, ErrNeverStops) {
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		in := p.EquivalentMass*p.Speed*p.Speed/2 + p.Load*s.End
		out := s.Energy + p.Friction*s.Path
		scale := p.EquivalentMass*p.Speed*p.Speed/2 + (math.Abs(p.Load)+p.Friction)*s.Path + s.Energy
		const denormal = 1e-300 // J; below, float64 itself loses digits
		if !(math.Abs(in-out) <= 1e-12*p.marginOf()*scale+denormal) {
			t.Fatalf("load and motion give %.15g J, brake and friction take %.15g J", in, out)
		}
	})
}

// The closed form agrees with walking through the motion in small steps.
func TestStopAgainstTimeStepping(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPowerOff(t)
		p.Brake = math.Abs(p.Load)*1.2 + 100 + p.Brake // stops within a short time
		p.Reaction = rapid.Float64Range(0.01, 0.2).Draw(t, "reaction time")
		s, err := p.Stop()
		if err != nil {
			t.Fatal(err)
		}
		path, overrun := walk(p)
		// the walk is of first order: errors of step times speed and step² times acceleration
		tol := 2e-3*s.Path + 1e-4*(1+math.Abs(p.Load)/p.EquivalentMass)
		if !(math.Abs(path-s.Path) <= tol && math.Abs(overrun-s.Overrun) <= tol) {
			t.Fatalf("path %g and overrun %g, walked %g and %g (%+v)", s.Path, s.Overrun, path, overrun, s)
		}
	})
}

// walk integrates with explicit steps, friction and brake as Coulomb forces that
// hold an axis at rest.
func walk(p PowerOff) (path, overrun float64) {
	const step = 1e-5
	v, x := p.Speed, 0.0
	way := sign(p.Speed)
	if way == 0 {
		way = sign(p.Load)
	}
	for time := 0.0; time < 60; time += step {
		against := p.Friction
		if time >= p.Reaction {
			against += p.Brake
		}
		if v == 0 && math.Abs(p.Load) <= against {
			if time >= p.Reaction {
				break
			}
			continue
		}
		dir := sign(v)
		if dir == 0 {
			dir = sign(p.Load)
		}
		next := v + (p.Load-against*dir)/p.EquivalentMass*step
		if v*next < 0 {
			next = 0
		}
		dx := (v + next) / 2 * step
		v = next
		x += dx
		path += math.Abs(dx)
		overrun = math.Max(overrun, x*way)
	}
	return path, overrun
}

func TestStrongerBrakeNeverStopsLater(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPowerOff(t)
		weak, errWeak := p.Stop()
		p.Brake *= rapid.Float64Range(1, 5).Draw(t, "factor")
		strong, errStrong := p.Stop()
		if errWeak != nil {
			return
		}
		if errStrong != nil {
			t.Fatalf("the stronger brake fails: %v", errStrong)
		}
		if strong.Path > weak.Path*(1+1e-12) || strong.BrakeTime > weak.BrakeTime*(1+1e-12) {
			t.Fatalf("stronger brake: %+v, weaker: %+v", strong, weak)
		}
	})
}

// A mirrored axis stops in the mirrored way.
func TestStopIsTheSameBothWays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPowerOff(t)
		a, errA := p.Stop()
		p.Load, p.Speed = -p.Load, -p.Speed
		b, errB := p.Stop()
		if (errA == nil) != (errB == nil) || a.Path != b.Path || a.Energy != b.Energy || a.Overrun != b.Overrun || a.Drop != b.Drop {
			t.Fatalf("%+v (%v), mirrored %+v (%v)", a, errA, b, errB)
		}
	})
}

// Later brakes let the load fall farther; a spring helps; its loss is the worse case.
func TestDropGrowsWithReactionTime(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPowerOff(t)
		p.Speed = math.Abs(p.Speed)
		p.Load = math.Abs(p.Load)
		first, err := p.Stop()
		if err != nil {
			return
		}
		p.Reaction += rapid.Float64Range(0, 0.2).Draw(t, "later")
		later, err := p.Stop()
		if err != nil || later.Drop < first.Drop*(1-1e-12) {
			t.Fatalf("drop %g, later brake %g (%v)", first.Drop, later.Drop, err)
		}
	})
}

func TestStopTable(t *testing.T) {
	tests := map[string]struct {
		in                  PowerOff
		path, overrun, drop float64 // m
		reversed            bool
		err                 error
	}{
		// numbers a child can follow: 10 kg, 100 N load, so free fall at 10 m/s²
		"lowering":             {PowerOff{EquivalentMass: 10, Load: 100, Brake: 200, Reaction: 0.1, Speed: 1}, 0.15 + 0.2, 0.35, 0.35, false, nil},
		"raising":              {PowerOff{EquivalentMass: 10, Load: 100, Brake: 200, Reaction: 0.1, Speed: -2}, 0.15 + 1.0/60, 0.15 + 1.0/60, 0, false, nil},
		"raising, falls back":  {PowerOff{EquivalentMass: 10, Load: 100, Brake: 200, Reaction: 0.3, Speed: -1}, 0.05 + 0.2 + 0.2, 0.05, 0.35, true, nil},
		"at rest":              {PowerOff{EquivalentMass: 10, Load: 100, Brake: 200, Reaction: 0.1}, 0.05 + 0.05, 0.1, 0.1, false, nil},
		"friction holds":       {PowerOff{EquivalentMass: 10, Load: 100, Brake: 200, Friction: 120, Reaction: 0.1}, 0, 0, 0, false, nil},
		"brake at once":        {PowerOff{EquivalentMass: 10, Load: 100, Brake: 200, Speed: 1}, 0.05, 0.05, 0.05, false, nil},
		"level axis, friction": {PowerOff{EquivalentMass: 10, Friction: 20, Speed: -2}, 1, 1, 0, false, nil},
		"level, nothing":       {PowerOff{EquivalentMass: 10, Speed: 1}, 0, 0, 0, false, ErrNeverStops},
		"brake too weak":       {PowerOff{EquivalentMass: 10, Load: 100, Brake: 100, Speed: 1}, 0, 0, 0, false, ErrNeverStops},
		"friction is no brake": {PowerOff{EquivalentMass: 10, Load: 100, Brake: 90, Friction: 50, Speed: 1}, 0, 0, 0, false, ErrNeverStops},
	}
	for name, tc := range tests {
		s, err := tc.in.Stop()
		if !errors.Is(err, tc.err) {
			t.Errorf("%s: %v, want %v", name, err, tc.err)
		}
		if tc.err != nil {
			continue
		}
		near(t, name+": path", s.Path, tc.path)
		near(t, name+": overrun", s.Overrun, tc.overrun)
		near(t, name+": drop", s.Drop, tc.drop)
		if s.Reversed != tc.reversed {
			t.Errorf("%s: reversed %v", name, s.Reversed)
		}
	}
}

func TestSagIsAFallFromRest(t *testing.T) {
	p := PowerOff{EquivalentMass: 10, Load: 100, Brake: 200, Speed: 3, Reaction: 9}
	s, err := p.Sag(0.1)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "sag", s.Drop, 0.1)
	if none, err := p.Sag(0); err != nil || none.Drop != 0 {
		t.Errorf("a brake that closes in time sags %g m (%v)", none.Drop, err)
	}
}

// With the rope slack the weight neither brakes nor pulls.
func TestCounterweightInAHardStop(t *testing.T) {
	g := GravityAxis{
		Mass: 10, Incline: math.Pi / 2, Gearing: 1, BrakeTorque: 5000, Speed: 1,
		Weight: Counterweight{Mass: 8, Ratio: 1},
	}
	s, err := g.Stop()
	if err != nil {
		t.Fatal(err)
	}
	if !s.RopeSlack {
		t.Fatal("500 m/s² upwards leave the rope taut")
	}
	g.Weight = Counterweight{}
	alone, err := g.Stop()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "brake path", s.Braked, alone.Braked)

	g.Weight, g.BrakeTorque = Counterweight{Mass: 8, Ratio: 1}, 40 // gentle: the rope stays taut
	gentle, err := g.Stop()
	if err != nil || gentle.RopeSlack {
		t.Fatalf("%+v (%v)", gentle, err)
	}
	near(t, "brake path with weight", gentle.Braked, 18/(2*(40-2*quantity.StandardGravity)))
}

func TestInclineLightensTheLoad(t *testing.T) {
	g := GravityAxis{Mass: 35, Incline: math.Pi / 6, Gearing: 100, BrakeTorque: 9}
	p, err := g.PowerOff()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "load on 30 degrees", p.Load, 35*quantity.StandardGravity/2)
	torque, err := g.StaticTorque()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "static torque", torque, 35*quantity.StandardGravity/200)
	hold, err := p.HoldFactor()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "hold factor", hold, 9/torque)
	test, err := g.Test(1.3)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "motor along plus gravity", test.MotorAlong+torque, test.OnBrake)
	near(t, "motor against less gravity", test.MotorAgainst-torque, test.OnBrake)
	p.Load, p.Brake = 0, 0
	if free, err := p.HoldFactor(); err != nil || !math.IsInf(free, 1) {
		t.Errorf("nothing to hold: %v (%v)", free, err)
	}
}

func TestStopDoesNotAllocate(t *testing.T) {
	g := GravityAxis{Mass: 35, Incline: math.Pi / 2, Inertia: 1.7e-3, Gearing: 200 * math.Pi, BrakeTorque: 4, Speed: 0.5, Reaction: 0.08}
	p, err := g.PowerOff()
	if err != nil {
		t.Fatal(err)
	}
	if n := testing.AllocsPerRun(100, func() { _, _ = p.Stop() }); n != 0 {
		t.Errorf("%v allocations, want 0", n)
	}
}

func FuzzStop(f *testing.F) {
	f.Fuzz(rapid.MakeFuzz(func(t *rapid.T) {
		p := PowerOff{
			EquivalentMass: rapid.Float64().Draw(t, "mass"), Load: rapid.Float64().Draw(t, "load"), Brake: rapid.Float64().Draw(t, "brake"),
			Friction: rapid.Float64().Draw(t, "friction"), Reaction: rapid.Float64().Draw(t, "reaction"), Speed: rapid.Float64().Draw(t, "speed"),
		}
		if s, err := p.Stop(); err == nil && !(s.Path >= 0) && !math.IsNaN(s.Path) {
			t.Fatalf("%+v stops after %g m", p, s.Path)
		}
	}))
}
