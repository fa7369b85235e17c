package structure

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/motion"
)

// Swing is what one mode does to the tool point after a move.
type Swing struct {
	Hz        float64
	Amplitude float64 // of the tool point when the command ends, m (envelope)
	Direction r3.Vec  // unit vector of the tool's movement
}

// Arrival is a move that ends at a pose.
type Arrival struct {
	Q        []float64
	Loaded   bool
	Profiles []motion.Profile // one an axis; a zero profile for an axis at rest
	Shapers  []motion.Shaper  // one an axis, nil for none; the whole may be nil
}

// swingModes is the number of modes that are followed after a move: those above
// carry little of a motion that lasts tenths of a second.
const swingModes = 10

// After returns, for each of some moves, the swings of the tool point when its command ends,
// by modal superposition at the end pose: each axis's acceleration drives each
// mode by the d'Alembert load of what the axis moves. The amplitude is the
// envelope over the interference of speeding up and slowing down; that of
// several axes adds up.
//
// The frequencies are those of the end pose; a belt that is stiffer on the way
// is taken as at the end.
//
// Source: modal superposition, Chopra, Dynamics of Structures; the mode's
// response to the acceleration is exact.
func (s *Study) After(arrivals []Arrival, damping float64) ([][]Swing, error) {
	out := make([][]Swing, len(arrivals))
	for _, loaded := range []bool{false, true} {
		var poses [][]float64
		var of []int
		for i, a := range arrivals {
			if a.Loaded == loaded {
				poses, of = append(poses, a.Q), append(of, i)
			}
		}
		modes, err := s.driven(poses, loaded)
		if err != nil {
			return nil, err
		}
		for k, i := range of {
			if out[i], err = modes[k].swings(&arrivals[i], damping); err != nil {
				return nil, err
			}
		}
	}
	return out, nil
}

// driven are modes as the axes drive them and the tool point feels them.
type driven struct {
	hz    []float64
	shape []r3.Vec    // movement of the tool point, the modal mass being 1 kg
	work  [][]float64 // of each mode: of each axis at 1 m/s²
}

func (d *driven) size() int64 { return int64(len(d.hz)) * 8 * int64(8+len(d.work[0])) }

// driven finds the modes at some poses.
func (s *Study) driven(poses [][]float64, loaded bool) ([]*driven, error) {
	about := question{what: "driven modes", number: swingModes, loaded: loaded}
	return recall(s, about, poses, (*driven).size, func(w *worker, i int) (*driven, error) { return w.driven(poses[i], loaded) })
}

func (w *worker) driven(q []float64, loaded bool) (*driven, error) {
	s := w.s
	if err := w.set(q, loaded); err != nil {
		return nil, err
	}
	var err error
	if w.modes, err = w.pose.ModesOnce(min(swingModes, s.base.Freedoms()), w.modes); err != nil {
		return nil, err
	}
	out := &driven{hz: slices.Clone(w.modes.Hz)}
	for i := range out.hz {
		d, err := w.modes.Shape(i, s.toolPoint())
		if err != nil {
			return nil, err
		}
		out.shape = append(out.shape, vector(d[:3]))
		work := make([]float64, len(s.accel))
		for k, load := range s.accel {
			work[k] = w.modes.Work(i, load)
		}
		out.work = append(out.work, work)
	}
	return out, nil
}

// swings are those of all modes when the command of a move ends.
func (d *driven) swings(a *Arrival, damping float64) ([]Swing, error) {
	out := make([]Swing, len(d.hz))
	for i, hz := range d.hz {
		mode := motion.Mode{Frequency: hz, Damping: damping}
		if err := mode.Check(); err != nil {
			return nil, err
		}
		sum := 0.0
		for k := range a.Profiles {
			if !(a.Profiles[k].Duration() > 0) {
				continue
			}
			left := math.Abs(d.work[i][k]) * mode.Envelope(&a.Profiles[k])
			if a.Shapers != nil && a.Shapers[k] != nil {
				left *= a.Shapers[k].Residual(mode)
			}
			sum += left
		}
		n := r3.Norm(d.shape[i])
		out[i] = Swing{Hz: hz, Amplitude: sum * n}
		if n > 0 {
			out[i].Direction = r3.Scale(1/n, d.shape[i])
		}
	}
	return out, nil
}

// Later returns what is left of free swings after a time in s:
//
//	Y exp(-2 pi f zeta t)
//
// The mode is taken as it was when the swing began, also if the machine moves on.
//
// Source: free damped vibration, Chopra, Dynamics of Structures.
func Later(swings []Swing, t, damping float64) []Swing {
	out := make([]Swing, len(swings))
	for i, s := range swings {
		s.Amplitude *= math.Exp(-2 * math.Pi * s.Hz * damping * t)
		out[i] = s
	}
	return out
}

// Together is the most that swings can add up to, m: the sum of their envelopes.
func Together(swings []Swing) float64 {
	sum := 0.0
	for _, s := range swings {
		sum += s.Amplitude
	}
	return sum
}

// SettleTime is how long the swings together stay outside the band, s: the time
// after which the sum of their envelopes is inside. settles is false if it
// never is.
func SettleTime(swings []Swing, band, damping float64) (t float64, settles bool) {
	if !(band > 0) || !(damping > 0) {
		return 0, false
	}
	sum := func(t float64) float64 { return Together(Later(swings, t, damping)) }
	if sum(0) <= band {
		return 0, true
	}
	low, high := 0.0, 0.1
	for sum(high) > band {
		if low, high = high, 2*high; high > longest {
			return 0, false
		}
	}
	for high-low > 1e-6*high {
		if mid := (low + high) / 2; sum(mid) > band {
			low = mid
		} else {
			high = mid
		}
	}
	return high, true
}

// longest is the settle time beyond which a machine counts as never settling.
const longest = 3600.0 // s
