package structure

import (
	"math"
	"runtime"
	"unsafe"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/frame"
	"spanwright/internal/crew"
	"spanwright/machine"
)

// Study is the machine at one stiffness level, factored once for all poses, with
// what was solved so far. It may be used by several goroutines.
type Study struct {
	*solved
	m      *machine.Machine
	level  Level
	stages *stages
}

// New prepares a study.
func New(m *machine.Machine, level Level) (*Study, error) { return (*Cache)(nil).Study(m, level) }

// toolPoint is the tool point as the frame model knows it.
func (s *Study) toolPoint() frame.Point { return s.tool }

// Freedoms is the size of the base model.
func (s *Study) Freedoms() int { return s.base.Freedoms() }

// Unasked tells whether nothing about poses with the payload is known yet.
func (s *Study) Unasked() bool { return s.loaded.size() == 0 }

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
	ties  []frame.Tie

	states []*frame.PoseState // of several cases
	many   bool               // poses enough that a common basis for their modes pays
}

// worker returns an idle worker or a new one; what it was used for makes no difference.
func (s *Study) worker() *worker {
	w, ok := s.idle.Get().(*worker)
	if !ok {
		w = &worker{pose: s.base.NewPose()}
	}
	w.s = s
	return w
}

// set brings the worker to a pose, with the payload on or off.
func (w *worker) set(q []float64, loaded bool) error {
	at, err := w.s.at(q)
	if err != nil {
		return err
	}
	var extra []frame.Mass
	if loaded {
		extra = w.s.carried
	}
	w.ties = at.ties(w.ties[:0])
	return w.pose.Set(w.ties, extra)
}

func (w *worker) tool(load *frame.Prepared) (r3.Vec, error) {
	var err error
	if w.state, err = w.pose.Static(load, w.state); err != nil {
		return r3.Vec{}, err
	}
	d, err := w.state.At(w.s.toolPoint())
	return r3.Vec{X: d[0], Y: d[1], Z: d[2]}, err
}

// read reads the answers off the pose that is set; modes is the number of natural frequencies wanted.
func (w *worker) read(q []float64, modes int) (Response, error) {
	out, err := w.weights()
	out.Q = q
	if err != nil {
		return out, err
	}
	out.Accel = make([]r3.Vec, len(w.s.accel))
	for i, a := range w.s.accel {
		if out.Accel[i], err = w.tool(a); err != nil {
			return out, err
		}
	}
	if out.Unit, err = w.pushes(); err != nil || modes == 0 {
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

// weights reads what weight does at the pose that is set.
func (w *worker) weights() (out Response, err error) {
	if out.Dead, err = w.tool(w.s.dead); err != nil {
		return out, err
	}
	out.Payload, err = w.tool(w.s.payload)
	return out, err
}

// pushes reads what 1 N along world x, y, z does at the pose that is set.
func (w *worker) pushes() (out [3]r3.Vec, err error) {
	for d, u := range w.s.unit {
		if out[d], err = w.tool(u); err != nil {
			return out, err
		}
	}
	return out, nil
}

// Map solves many poses on all processors; the result does not depend on how many there are.
func (s *Study) Map(poses [][]float64, modes int) ([]Response, error) {
	what := "response"
	if len(poses) >= manyPoses {
		what = "response among many"
	}
	return s.respond(question{what: what, number: modes, loaded: true}, poses, func(w *worker) (Response, error) { return w.read(nil, modes) })
}

// SurveyError is the most by which a frequency of Survey is wrong, as a share of it; it is never too low but for rounding.
const SurveyError = 1e-4

// Survey is Map without Accel and with the lowest natural frequency alone, to within SurveyError: one inverse iteration
// from motions of the uncoupled bodies, repeated where its change says that this is not enough.
func (s *Study) Survey(poses [][]float64) ([]Response, error) {
	return s.respond(question{what: "survey", loaded: true}, poses, func(w *worker) (Response, error) {
		out, err := w.weights()
		if err != nil {
			return out, err
		}
		if out.Unit, err = w.pushes(); err != nil {
			return out, err
		}
		if w.modes, err = w.pose.Frequencies(1, SurveyError, w.modes); err != nil {
			return out, err
		}
		out.Hz = append(out.Hz, w.modes.Hz...)
		return out, nil
	})
}

// Sags is Map with what weight does alone: Dead and Payload.
func (s *Study) Sags(poses [][]float64) ([]Response, error) {
	return s.respond(question{what: "sag", loaded: true}, poses, (*worker).weights)
}

// respond asks the same about some poses, loaded.
func (s *Study) respond(about question, poses [][]float64, read func(w *worker) (Response, error)) ([]Response, error) {
	size := func(r Response) int64 { return int64(unsafe.Sizeof(r)) + 24*int64(len(r.Accel)) + 8*int64(len(r.Hz)) }
	found, err := recall(s, about, poses, size, func(w *worker, i int) (Response, error) {
		if err := w.set(poses[i], true); err != nil {
			return Response{}, err
		}
		return read(w)
	})
	for i := range found {
		found[i].Q = poses[i]
	}
	return found, err
}

// Weigh is the deflection of the tool point under all weight, with the payload,
// at many poses: what a fine map of sag needs, and nothing else.
func (s *Study) Weigh(poses [][]float64) ([]r3.Vec, error) {
	size := func(v r3.Vec) int64 { return int64(unsafe.Sizeof(v)) }
	return recall(s, question{what: "weight", loaded: true}, poses, size, func(w *worker, i int) (r3.Vec, error) {
		if err := w.set(poses[i], true); err != nil {
			return r3.Vec{}, err
		}
		return w.tool(s.weight)
	})
}

// manyPoses is the number of poses from which a common basis for their modes pays.
const manyPoses = 12

// spread shares n jobs among the processors in fixed runs, so that no job's
// result depends on another's timing. They are jobs out of asked ones, of which
// the others were known.
func (s *Study) spread(n, asked int, job func(w *worker, i int)) {
	workers := min(runtime.GOMAXPROCS(0), n)
	var all crew.Crew
	for k := range workers {
		all.Go(func() {
			w := s.worker()
			w.many = asked >= manyPoses
			for i := k * n / workers; i < (k+1)*n/workers; i++ {
				job(w, i)
			}
			w.s = nil
			s.idle.Put(w)
		})
	}
	all.Wait()
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
