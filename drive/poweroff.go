package drive

import (
	"cmp"
	"fmt"
	"math"

	"spanwright/given"
	"spanwright/quantity"
)

// PowerOff is an axis that loses its drive power (stop category 0 of
// IEC 60204-1), reduced to its travel. The positive direction is downwards, or
// any chosen one on a level axis.
type PowerOff struct {
	EquivalentMass float64 // all that moves and turns, counterweight included, kg
	Load           float64 // steady force along +, N: weight less counterbalance
	Brake          float64 // least brake force at the carriage, N; 0 without a brake
	Friction       float64 // N, always against the motion; it shortens stops and is never credited for holding
	Reaction       float64 // detection + switching + apply time, up to half the brake torque, s
	Speed          float64 // at power loss, m/s, signed
	Weight         Counterweight
}

// Stop is a stop by brake and friction alone. It is not a safety distance in
// the sense of ISO 13855.
type Stop struct {
	FreeAcceleration  float64 // right after power loss, m/s² along +
	SpeedAtBrake      float64 // when the brake takes hold, m/s along +
	Free              float64 // path until then, m
	BrakeDeceleration float64 // m/s²
	Braked            float64 // path with the brake closed, m
	BrakeTime         float64 // s
	Energy            float64 // heat in the brake, J

	Path    float64 // whole way, there and back, m
	End     float64 // where it rests, from where power was lost, m along +
	Overrun float64 // farthest in the direction of the speed at power loss, m; from rest: along the load
	Drop    float64 // farthest along the load, from where power was lost, m

	Reversed  bool // it came to rest and moved back before the brake took hold
	RopeSlack bool // the counterweight's rope goes slack while braking
}

func (p PowerOff) check() error {
	return cmp.Or(
		given.Positive("equivalent mass", p.EquivalentMass),
		given.Finite("steady load", p.Load),
		given.NotNegative("brake force", p.Brake),
		given.NotNegative("friction", p.Friction),
		given.NotNegative("reaction time", p.Reaction),
		given.Finite("speed", p.Speed),
		given.NotNegative("counterweight mass", p.Weight.Mass),
	)
}

// HoldFactor returns brake force over load, F_B/|F_g|: at least 1.5, usually 2
// (common practice). Friction and the losses of screw and gear are not
// credited. Without load it is +Inf.
func (p PowerOff) HoldFactor() (float64, error) {
	if err := p.check(); err != nil {
		return 0, err
	}
	if p.Load == 0 {
		return math.Inf(1), nil
	}
	return p.Brake / math.Abs(p.Load), nil
}

// BrakeDeceleration returns the deceleration with the brake closed while moving
// along the load, m/s²; zero or less means that it does not stop.
func (p PowerOff) BrakeDeceleration() (float64, error) {
	if err := p.check(); err != nil {
		return 0, err
	}
	return (p.Brake + p.Friction - math.Abs(p.Load)) / p.EquivalentMass, nil
}

// Stop returns how the axis comes to rest.
//
// Until the brake takes hold, load and drive inertia move freely together:
//
//	a = (F_g - F_f sgn(v))/m_eq
//
// An axis moving against its load may come to rest in that time and move back.
// Then the brake acts:
//
//	a_b = (F_B + F_f - F_g sgn(v_1))/m_eq,  s_2 = v_1²/(2 a_b),  E = F_B s_2
//
// It returns ErrNeverStops, wrapped with both forces, if the brake is not
// stronger than the load, or if nothing brakes a level axis.
//
// Source: derived, Newton's second law.
func (p PowerOff) Stop() (Stop, error) {
	if err := p.check(); err != nil {
		return Stop{}, err
	}
	if !(p.Brake > math.Abs(p.Load)) && !(p.Load == 0 && p.Friction > 0) {
		return Stop{}, fmt.Errorf("%w: brake %.4g N against a load of %.4g N", ErrNeverStops, p.Brake, math.Abs(p.Load))
	}
	path := track{speed: p.Speed, load: sign(p.Load)}
	s := Stop{FreeAcceleration: p.freeAcceleration(p.Speed)}
	p.runFree(&path)
	s.SpeedAtBrake, s.Free = path.speed, path.length
	s.Reversed = p.Speed*path.speed < 0
	if err := p.runBraked(&path, &s); err != nil {
		return Stop{}, err
	}
	s.Path, s.End, s.Drop = path.length, path.position, path.alongLoad
	switch DirectionOf(p.Speed) {
	case Forward:
		s.Overrun = path.forward
	case Backward:
		s.Overrun = path.backward
	default:
		s.Overrun = path.alongLoad
	}
	return s, nil
}

// Sag returns the stop of an axis at rest whose torque is removed a time before
// the brake holds. A brake that closes before the torque is removed does not sag.
func (p PowerOff) Sag(gap float64) (Stop, error) {
	p.Speed, p.Reaction = 0, gap
	return p.Stop()
}

// freeAcceleration is the acceleration at a speed without the brake.
func (p PowerOff) freeAcceleration(v float64) float64 {
	if v == 0 {
		if !(math.Abs(p.Load) > p.Friction) {
			return 0
		}
		return (p.Load - p.Friction*sign(p.Load)) / p.EquivalentMass
	}
	return (p.Load - p.Friction*sign(v)) / p.EquivalentMass
}

// runFree moves through the reaction time; it may come to rest once.
func (p PowerOff) runFree(path *track) {
	left := p.Reaction
	a := p.freeAcceleration(path.speed)
	if rest := -path.speed / a; path.speed != 0 && rest >= 0 && rest < left {
		path.run(a, rest)
		path.speed = 0
		left -= rest
		a = p.freeAcceleration(0)
	}
	path.run(a, left)
}

// runBraked brings the axis to rest.
func (p PowerOff) runBraked(path *track, s *Stop) error {
	way := sign(path.speed)
	if way == 0 {
		way = sign(p.Load) // at rest: the deceleration is that of the load's direction
	}
	mass, load := p.EquivalentMass, p.Load
	a := (p.Brake + p.Friction - load*way) / mass
	if p.Weight.Mass > 0 && way > 0 {
		limit, err := p.Weight.SlackAcceleration()
		if err != nil {
			return err
		}
		if a > limit { // the weight flies on; brake and load are alone
			i, m := p.Weight.Ratio, p.Weight.Mass
			mass -= i * i * m
			load += i * m * quantity.StandardGravity
			a = (p.Brake + p.Friction - load) / mass
			s.RopeSlack = true
		}
	}
	s.BrakeDeceleration = a
	if path.speed == 0 {
		return nil
	}
	if !(a > 0) {
		return fmt.Errorf("%w: brake %.4g N against a load of %.4g N", ErrNeverStops, p.Brake, load*way)
	}
	s.BrakeTime = math.Abs(path.speed) / a
	s.Braked = path.run(-a*way, s.BrakeTime)
	s.Energy = p.Brake * s.Braked
	return nil
}

// track follows a motion along a line.
type track struct {
	speed    float64 // m/s
	load     float64 // direction of the load, -1, 0, 1
	position float64 // m from where power was lost
	length   float64 // m, whole way

	forward, backward, alongLoad float64 // farthest so far, m
}

// run moves with a constant acceleration for a time in which the speed keeps
// its sign, and returns the way, m.
func (t *track) run(acceleration, time float64) float64 {
	step := t.speed*time + acceleration*time*time/2
	t.speed += acceleration * time
	t.position += step
	t.length += math.Abs(step)
	t.forward = math.Max(t.forward, t.position)
	t.backward = math.Max(t.backward, -t.position)
	t.alongLoad = math.Max(t.alongLoad, t.position*t.load)
	return math.Abs(step)
}

func sign(v float64) float64 { return float64(DirectionOf(v)) }
