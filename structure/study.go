package structure

import (
	"fmt"
	"math"
	"runtime"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/frame"
	"spanwright/machine"
	"spanwright/quantity"
)

// Study is the machine at one stiffness level, factored once for all poses. It
// may be used by several goroutines.
type Study struct {
	m     *machine.Machine
	level Level
	model *frame.Model
	base  *frame.Base

	dead    *frame.Prepared   // weight of everything but the payload
	payload *frame.Prepared   // weight of the payload
	accel   []*frame.Prepared // each axis at +1 m/s²: d'Alembert load of what it moves, payload included
	unit    [3]*frame.Prepared
	weight  *frame.Prepared // of everything
}

// New prepares a study.
func New(m *machine.Machine, level Level) (*Study, error) {
	model, err := baseModel(m, level)
	if err != nil {
		return nil, err
	}
	s := &Study{m: m, level: level, model: model}
	if s.base, err = frame.NewBase(model); err != nil {
		return nil, err
	}
	return s, s.prepare()
}

// prepare solves the load cases on the base: every other case is a sum of them.
func (s *Study) prepare() error {
	var err error
	all := []string{bodyName(0)}
	all = append(all, bodiesFrom(s.m, 0)...)
	down := [3]float64{0, 0, -quantity.StandardGravity}
	field := func(id string, a [3]float64, bodies []string) *frame.Prepared {
		p, e := s.base.Prepare(frame.Case{ID: id, Fields: []frame.Field{{Acceleration: a, Bodies: bodies}}})
		if e != nil && err == nil {
			err = e
		}
		return p
	}
	s.dead = field("weight", down, all)
	s.payload = field("payload", down, []string{payloadBody})
	s.weight = field("all weight", down, append(all, payloadBody))
	for k, a := range s.m.Axes {
		s.accel = append(s.accel, field("acceleration "+a.Spec.ID, array(r3.Scale(-1, a.Dir)), append(bodiesFrom(s.m, k), payloadBody)))
	}
	for d := range s.unit {
		var f [3]float64
		f[d] = 1
		p, e := s.base.Prepare(frame.Case{ID: "unit " + "xyz"[d:d+1], Forces: []frame.Force{{At: s.toolPoint(), Force: f}}})
		if e != nil && err == nil {
			err = e
		}
		s.unit[d] = p
	}
	return err
}

// toolPoint is the tool point as the frame model knows it.
func (s *Study) toolPoint() frame.Point {
	return frame.Point{Node: s.m.Nodes[s.m.Flange].ID, Offset: array(s.m.Point)}
}

// Freedoms is the size of the base model.
func (s *Study) Freedoms() int { return s.base.Freedoms() }

// Response is what the tool point does at one pose.
type Response struct {
	Q       []float64
	Dead    r3.Vec    // by the weight of everything but the payload, m
	Payload r3.Vec    // more by the payload's weight, m
	Accel   []r3.Vec  // per m/s² of each axis, loaded, m/(m/s²)
	Unit    [3]r3.Vec // per N along world x, y, z, m/N
	Hz      []float64 // lowest natural frequencies, loaded
}

// Loaded is the deflection with the payload.
func (r Response) Loaded() r3.Vec { return r3.Add(r.Dead, r.Payload) }

// Compliance is the largest deflection of the tool point that 1 N can cause in
// any direction, along itself, m/N: the largest eigenvalue of the symmetric
// compliance matrix, bounded here by its largest row sum.
func (r Response) Compliance() float64 {
	most := 0.0
	for _, u := range r.Unit {
		most = math.Max(most, r3.Norm(u))
	}
	return most
}

// worker owns what a pose needs.
type worker struct {
	s     *Study
	pose  *frame.Pose
	state *frame.PoseState
	modes *frame.PoseModes
	mass  []frame.Mass
	many  bool // poses enough that a common basis for their modes pays
}

func (s *Study) worker() *worker { return &worker{s: s, pose: s.base.NewPose()} }

// set brings the worker to a pose, with the payload on or off.
func (w *worker) set(q []float64, loaded bool) error {
	ties, err := Ties(w.s.m, q)
	if err != nil {
		return err
	}
	w.mass = w.mass[:0]
	if loaded && w.s.m.Payload.Kg > 0 {
		w.mass = append(w.mass, lump(w.s.m, payloadBody, w.s.m.Payload))
	}
	return w.pose.Set(ties, w.mass)
}

func (w *worker) tool(load *frame.Prepared) (r3.Vec, error) {
	var err error
	if w.state, err = w.pose.Static(load, w.state); err != nil {
		return r3.Vec{}, err
	}
	d, err := w.state.At(w.s.toolPoint())
	return r3.Vec{X: d[0], Y: d[1], Z: d[2]}, err
}

// respond solves one pose; modes is the number of natural frequencies wanted.
func (w *worker) respond(q []float64, modes int) (Response, error) {
	if err := w.set(q, true); err != nil {
		return Response{Q: q}, err
	}
	return w.read(q, modes)
}

// read reads the answers off the pose that is set.
func (w *worker) read(q []float64, modes int) (Response, error) {
	out := Response{Q: q}
	var err error
	get := func(load *frame.Prepared) r3.Vec {
		v, e := w.tool(load)
		if e != nil && err == nil {
			err = e
		}
		return v
	}
	out.Dead, out.Payload = get(w.s.dead), get(w.s.payload)
	for _, a := range w.s.accel {
		out.Accel = append(out.Accel, get(a))
	}
	for d := range out.Unit {
		out.Unit[d] = get(w.s.unit[d])
	}
	if err != nil || modes == 0 {
		return out, err
	}
	find := w.pose.Modes
	if !w.many {
		find = w.pose.ModesOnce
	}
	if w.modes, err = find(modes, w.modes); err != nil {
		return out, err
	}
	out.Hz = append(out.Hz, w.modes.Hz...)
	return out, nil
}

// Map solves many poses on all processors; the result does not depend on how many there are.
func (s *Study) Map(poses [][]float64, modes int) ([]Response, error) {
	out := make([]Response, len(poses))
	errs := make([]error, len(poses))
	s.spread(len(poses), func(w *worker, i int) { out[i], errs[i] = w.respond(poses[i], modes) })
	for i, err := range errs {
		if err != nil {
			return nil, fmt.Errorf("pose %v: %w", poses[i], err)
		}
	}
	return out, nil
}

// Weigh is the deflection of the tool point under all weight, with the payload,
// at many poses: what a fine map of sag needs, and nothing else.
func (s *Study) Weigh(poses [][]float64) ([]r3.Vec, error) {
	out := make([]r3.Vec, len(poses))
	errs := make([]error, len(poses))
	s.spread(len(poses), func(w *worker, i int) {
		if errs[i] = w.set(poses[i], true); errs[i] == nil {
			out[i], errs[i] = w.tool(s.weight)
		}
	})
	for i, err := range errs {
		if err != nil {
			return nil, fmt.Errorf("pose %v: %w", poses[i], err)
		}
	}
	return out, nil
}

// spread shares n jobs among the processors in fixed runs, so that no job's
// result depends on another's timing.
func (s *Study) spread(n int, job func(w *worker, i int)) {
	const many = 12 // poses
	workers := min(runtime.GOMAXPROCS(0), n)
	var wait sync.WaitGroup
	for k := range workers {
		wait.Go(func() {
			w := s.worker()
			w.many = n >= many
			for i := k * n / workers; i < (k+1)*n/workers; i++ {
				job(w, i)
			}
		})
	}
	wait.Wait()
}

// Grid is a regular grid of poses over the travels, the last axis running fastest.
func Grid(m *machine.Machine, counts []int) [][]float64 {
	poses := [][]float64{nil}
	for i, a := range m.Axes {
		var next [][]float64
		for _, p := range poses {
			for k := range counts[i] {
				x := 0.5
				if counts[i] > 1 {
					x = float64(k) / float64(counts[i]-1)
				}
				next = append(next, append(append([]float64(nil), p...), x*a.Spec.Travel))
			}
		}
		poses = next
	}
	return poses
}
