package assess

import (
	"context"
	"math"
	"slices"

	"spanwright/motion"
	"spanwright/structure"
)

// structureStudy is the whole machine solved at its poses and stiffness levels.
type structureStudy struct {
	levels   [3]*structure.Study
	grid     [][]float64
	maps     [3][]structure.Response // over grid: a survey at the low level, sags at the others
	worst    int                     // grid pose with the lowest frequency at the low level
	freq     [3]float64              // lowest frequency of each level, Hz
	forces   *structure.Forces       // at the high level, which draws most force to the joints
	settle   map[int]settled         // by leg index; the worst one at all levels
	worstLeg int                     // of those that settle
}

// settled is how the tool comes to rest after a leg.
type settled struct {
	swings []structure.Swing // when the command of the leg ends
	of     []int             // the leg that set each swing going
	times  [3]float64        // at low, nominal and high damping with the low, nominal and high stiffness; the worst leg only beyond low
	ok     bool
}

// worseThan tells which of two legs decides at the low end of stiffness and
// damping: the one that settles later, and among equals the one that swings more.
func (s settled) worseThan(other settled) bool {
	switch {
	case s.ok != other.ok:
		return other.ok
	case s.times[structure.Low] != other.times[structure.Low]:
		return s.times[structure.Low] > other.times[structure.Low]
	}
	return structure.Together(s.swings) > structure.Together(other.swings)
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
	for l := structure.Low; l <= structure.High; l++ {
		err := ctx.Err()
		if err != nil {
			return err
		}
		if s.levels[l], err = r.opts.Studies.Study(r.m, l); err != nil {
			return err
		}
		look := s.levels[l].Sags
		if l == structure.Low {
			look = s.levels[l].Survey
		}
		if s.maps[l], err = look(s.grid); err != nil {
			return err
		}
	}
	if err := r.frequencies(); err != nil {
		return err
	}
	if err := r.settleLegs(); err != nil {
		return err
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	var err error
	s.forces, err = s.levels[structure.High].Forces(r.forcePoses(), r.combinations())
	return err
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
	for _, l := range []structure.Level{structure.Nominal, structure.High} {
		out, err := s.levels[l].Map(s.grid[s.worst:s.worst+1], 1)
		if err != nil {
			return err
		}
		s.freq[l] = out[0].Hz[0]
	}
	return nil
}

// settleLegs finds the settle time of every leg that has to settle, at the low
// end of stiffness and damping, and of the worst one at the other ends.
func (r *run) settleLegs() error {
	swings, err := r.swingsAfter(structure.Low, func(int) bool { return true })
	if err != nil {
		return err
	}
	worst := -1
	for i := range r.legs {
		l := &r.legs[i]
		if !l.settles {
			continue
		}
		out := r.settleAt(l, structure.Low, swings)
		if out.ok {
			l.settle = out.times[structure.Low]
		}
		r.study.settle[i] = out
		if worst < 0 || out.worseThan(r.study.settle[worst]) {
			worst = i
		}
	}
	if worst < 0 {
		return nil
	}
	out := r.study.settle[worst]
	for _, level := range []structure.Level{structure.Nominal, structure.High} {
		counted := r.swinging(&r.legs[worst])
		if swings, err = r.swingsAfter(level, func(leg int) bool { return slices.Contains(counted, leg) }); err != nil {
			return err
		}
		out.times[level] = r.settleAt(&r.legs[worst], level, swings).times[level]
	}
	r.study.settle[worst], r.study.worstLeg = out, worst
	return nil
}

// damping is the ratio that goes with a level of stiffness.
func (r *run) damping(level structure.Level) float64 {
	d := r.m.Design.Assumptions.Damping
	return [3]float64{d.Low, d.Nominal, d.High}[level]
}

// swingsAfter are the swings that the chosen legs set going, by leg; none if no
// leg has to settle.
func (r *run) swingsAfter(level structure.Level, chosen func(leg int) bool) ([][]structure.Swing, error) {
	if !slices.ContainsFunc(r.legs, func(l leg) bool { return l.settles }) {
		return nil, nil
	}
	var arrivals []structure.Arrival
	var legs []int
	for i := range r.legs {
		if l := &r.legs[i]; chosen(i) {
			legs = append(legs, i)
			arrivals = append(arrivals, structure.Arrival{Q: l.to, Loaded: l.loaded, Profiles: l.move.Profiles, Shapers: r.shapers(l)})
		}
	}
	found, err := r.study.levels[level].After(arrivals, r.damping(level))
	if err != nil {
		return nil, err
	}
	out := make([][]structure.Swing, len(r.legs))
	for k, i := range legs {
		out[i] = found[k]
	}
	return out, nil
}

// swinging are the legs whose swings the tool may still feel at the end of a
// leg: itself, and those before it back to the last one that has settled. A leg
// between does not wait for its swings to die out.
func (r *run) swinging(l *leg) []int {
	out := []int{l.index}
	for back := 1; back < len(r.legs); back++ {
		i := (l.index - back + len(r.legs)) % len(r.legs)
		if r.legs[i].settles {
			break
		}
		out = append(out, i)
	}
	return out
}

// settleAt follows the swings after a leg at one level of stiffness and damping:
// its own, and what is left of those of the legs before it.
func (r *run) settleAt(l *leg, level structure.Level, swings [][]structure.Swing) settled {
	var out settled
	since, zeta := 0.0, r.damping(level) // s from the end of the followed leg's command to the end of this one's
	for k, i := range r.swinging(l) {
		before := &r.legs[i]
		if k > 0 {
			since += before.step.Dwell
		}
		for _, s := range structure.Later(swings[i], since, zeta) {
			out.swings, out.of = append(out.swings, s), append(out.of, i)
		}
		since += before.move.Duration + before.shaped
	}
	if band := r.m.Design.Task.Targets.SettleBand; band != nil {
		out.times[level], out.ok = structure.SettleTime(out.swings, *band, zeta)
	}
	return out
}

// shapers are the input shapers of the axes that move in a leg, tuned to the
// lowest natural frequency at nominal stiffness and damping; the longest delays
// the leg.
func (r *run) shapers(l *leg) []motion.Shaper {
	tuned := motion.Mode{Frequency: r.study.freq[structure.Nominal], Damping: r.m.Design.Assumptions.Damping.Nominal}
	out := make([]motion.Shaper, len(r.m.Axes))
	for i, a := range r.m.Axes {
		if l.to[i] == l.from[i] {
			continue
		}
		switch a.Spec.Shaper {
		case "zv":
			out[i] = motion.ZV(tuned)
		case "zvd":
			out[i] = motion.ZVD(tuned)
		}
		if out[i] != nil {
			l.shaped = math.Max(l.shaped, out[i].Delay())
		}
	}
	return out
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
