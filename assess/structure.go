package assess

import (
	"context"
	"math"

	"spanwright/internal/crew"
	"spanwright/motion"
	"spanwright/structure"
)

// structureStudy is the whole machine solved at its poses and stiffness levels.
type structureStudy struct {
	levels   [structure.Levels]*structure.Study
	grid     [][]float64
	maps     [3][]structure.Response // a survey over grid at the low level, sags where they decide at the others
	fresh    bool                    // nothing of it was known before
	worst    int                     // grid pose with the lowest frequency at the low level
	freq     [3]float64              // lowest frequency of each level, Hz
	forces   *structure.Forces       // at the high level, which draws most force to the joints
	settle   map[int]settled         // by leg index; the worst one at all levels
	worstLeg int                     // of those that settle
}

// Modes wanted where the lowest frequency is lowest.
const mapModes = 3

// gridCounts is the number of poses along each axis: 75 in all for two or three axes.
func gridCounts(axes int) []int {
	if axes == 2 {
		return []int{15, 5}
	}
	return []int{5, 5, 3}
}

func (r *run) solveStructure(ctx context.Context) error {
	s := &r.study
	s.grid = structure.Grid(r.m, gridCounts(len(r.m.Axes)))
	s.settle = map[int]settled{}
	var err error
	if s.levels, err = r.opts.Studies.Levels(r.m); err != nil {
		return err
	}
	var beside crew.Crew
	if s.fresh = s.levels[structure.High].Unasked(); s.fresh {
		beside.Go(r.askBeside)
	}
	err = r.mapSpace(ctx)
	beside.Wait()
	if err != nil {
		return err
	}
	if err := r.settleLegs(); err != nil {
		return err
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	s.forces, err = s.levels[structure.High].Forces(r.forcePoses(), r.combinations())
	return err
}

// mapSpace maps the work space, all of it at the low level, at the others the
// poses that decide its sag, and finds the lowest frequency.
func (r *run) mapSpace(ctx context.Context) error {
	s := &r.study
	var err error
	if s.maps[structure.Low], err = s.levels[structure.Low].Survey(s.grid); err != nil {
		return err
	}
	deciding := decidingSag(s.maps[structure.Low])
	for _, l := range []structure.Level{structure.Nominal, structure.High} {
		if err := ctx.Err(); err != nil {
			return err
		}
		if s.maps[l], err = s.levels[l].Sags(deciding); err != nil {
			return err
		}
	}
	return r.frequencies()
}

// decidingSag are the poses whose sag is within a tenth of the range of the largest
// or the smallest: joints that all become stiffer by like factors may change the
// order of poses that are close, not that of the whole map (held by a test).
func decidingSag(low []structure.Response) [][]float64 {
	const close = 0.1 // of the range
	most, variation, _, _ := sags(low)
	var out [][]float64
	for _, p := range low {
		if from := most - sag(p); !(from > close*variation && from < (1-close)*variation) {
			out = append(out, p.Q)
		}
	}
	return out
}

// frequencies finds the worst pose and solves it at the other levels too. The map
// is a survey: what may be lowest in it is solved to the end.
func (r *run) frequencies() error {
	s := &r.study
	least := math.Inf(1)
	for _, p := range s.maps[structure.Low] {
		least = math.Min(least, p.Hz[0])
	}
	var near [][]float64
	var of []int
	for i, p := range s.maps[structure.Low] {
		if p.Hz[0] <= least*(1+2*structure.SurveyError) {
			near, of = append(near, s.grid[i]), append(of, i)
		}
	}
	found, err := s.levels[structure.Low].Map(near, mapModes)
	if err != nil {
		return err
	}
	s.freq[structure.Low] = math.Inf(1)
	for k, i := range of {
		s.maps[structure.Low][i].Hz = found[k].Hz
		if f := found[k].Hz[0]; f < s.freq[structure.Low] {
			s.freq[structure.Low], s.worst = f, i
		}
	}
	if s.fresh {
		r.askAhead()
	}
	for _, l := range []structure.Level{structure.Nominal, structure.High} {
		out, err := s.levels[l].Map(s.grid[s.worst:s.worst+1], 1)
		if err != nil {
			return err
		}
		s.freq[l] = out[0].Hz[0]
	}
	return nil
}

// askBeside asks what does not wait for the map, so that no processor is idle.
// The studies remember the answers; what cannot be answered is said where it is
// asked for again.
func (r *run) askBeside() {
	s := &r.study
	poses := r.forcePoses()
	_, _ = s.levels[structure.High].Forces(poses, nil)
	var arrivals []structure.Arrival
	for _, i := range r.felt() {
		arrivals = append(arrivals, structure.Arrival{Q: r.legs[i].to, Loaded: r.legs[i].loaded})
	}
	_, _ = s.levels[structure.Low].After(arrivals, r.damping(structure.Low))
	for _, a := range r.m.Axes {
		if a.Spec.Pair == nil {
			continue
		}
		_, _ = s.levels[level].Skews(a, poses)
	}
}

// askAhead asks side by side what takes one processor each, see askBeside.
func (r *run) askAhead() {
	s := &r.study
	var all crew.Crew
	for _, l := range []structure.Level{structure.Nominal, structure.High} {
		all.Go(func() { _, _ = s.levels[l].Map(s.grid[s.worst:s.worst+1], 1) })
	}
	all.Go(func() {
		_, _ = s.levels[structure.Nominal].Receptances(s.grid[s.worst], r.m.Design.Assumptions.Damping.Nominal, responsePoints)
	})
	all.Go(func() {
		_, _, at, _ := sags(s.maps[level])
		_, _ = s.levels[level].SagSplit(s.maps[level][at].Q)
	})
	all.Wait()
}

// forcePoses are the task's points and the corners of the work space.
func (r *run) forcePoses() [][]float64 {
	corners := make([]int, len(r.m.Axes))
	for i := range corners {
		corners[i] = 2
	}
	corners[0] = 3
	poses := structure.Grid(r.m, corners)
	for _, l := range r.legs {
		poses = append(poses, l.to)
	}
	return distinctPoses(poses)
}

func distinctPoses(poses [][]float64) [][]float64 {
	var out [][]float64
	for _, p := range poses {
		known := false
		for _, o := range out {
			same := true
			for i := range p {
				same = same && p[i] == o[i]
			}
			known = known || same
		}
		if !known {
			out = append(out, p)
		}
	}
	return out
}

// combinations are the cycle at full acceleration and the emergency stop of all
// axes, each with the dynamic factor of its rise time.
func (r *run) combinations() []structure.Combination {
	work := structure.Combination{Name: "working accelerations", Working: true}
	stop := structure.Combination{Name: "emergency stop of all axes"}
	for _, a := range r.m.Axes {
		l := a.Spec.Limits
		work.Accel = append(work.Accel, workingAccel(l)*r.dynamic(workingAccel(l), l.Jerk))
		stop.Accel = append(stop.Accel, stopDecel(l)*r.dynamic(stopDecel(l), stopJerk(l)))
	}
	return []structure.Combination{work, stop}
}

// dynamic is how much more the structure feels of an acceleration that rises
// within a time than of a lasting one: 1 + |sin(pi r)/(pi r)| with r the rise
// time over the period of the lowest mode, at most 2, and 2 without a jerk limit.
func (r *run) dynamic(accel float64, jerk *float64) float64 {
	if jerk == nil {
		return motion.StepRatio(0)
	}
	return motion.StepRatio(accel / *jerk * r.study.freq[structure.Nominal])
}

// sag is the downward deflection of the tool point with the payload, m.
func sag(p structure.Response) float64 { return -p.Loaded().Z }

// sags returns the largest sag of a map, its range, and where both ends are.
func sags(maps []structure.Response) (most, variation float64, mostAt, leastAt int) {
	for i, p := range maps {
		if sag(p) > sag(maps[mostAt]) {
			mostAt = i
		}
		if sag(p) < sag(maps[leastAt]) {
			leastAt = i
		}
	}
	return sag(maps[mostAt]), sag(maps[mostAt]) - sag(maps[leastAt]), mostAt, leastAt
}

// toolMap lists the map for the results.
func (r *run) toolMap() []MapPoint {
	out := make([]MapPoint, len(r.study.grid))
	for i, p := range r.study.maps[structure.Low] {
		at := r.m.ToolPoint(p.Q)
		u := p.Loaded()
		out[i] = MapPoint{X: Number(at.X), Y: Number(at.Y), Z: Number(at.Z), Deflection: [3]Number{Number(u.X), Number(u.Y), Number(u.Z)}, Frequency: Number(p.Hz[0])}
		for _, q := range p.Q {
			out[i].Q = append(out[i].Q, Number(q))
		}
	}
	return out
}

// worstCompliance is the largest tool compliance over the map, m/N.
func (r *run) worstCompliance() float64 {
	most := 0.0
	for _, p := range r.study.maps[structure.Low] {
		most = math.Max(most, p.Compliance())
	}
	return most
}
