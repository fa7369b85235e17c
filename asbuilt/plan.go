package asbuilt

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/accuracy"
	"spanwright/assess"
	"spanwright/design"
	"spanwright/equip"
	"spanwright/machine"
	"spanwright/structure"
)

// Range is what the model predicts for one reading, SI.
type Range struct {
	Low     float64 `json:"low"`
	Nominal float64 `json:"nominal"`
	High    float64 `json:"high"`
	Bound   bool    `json:"bound"` // only High was computed: a sum of worst cases; Low is 0 and Nominal the middle
}

// bound is a prediction of which only the upper end is known.
func bound(high float64) *Range {
	if !(high > 0) || math.IsInf(high, 0) {
		return nil
	}
	return &Range{0, high / 2, high, true}
}

// U is half of the range: the uncertainty of the prediction.
func (r Range) U() float64 { return (r.High - r.Low) / 2 }

// Plan is the acceptance test of one machine.
type Plan struct {
	Machine *machine.Machine
	Axes    []AxisPlan
	Points  []PosePoint // the five of the pose test
	Pairs   []Pair
	Pulls   []PullPose // poses of the pull and tap tests
	Damping Range

	RepeatabilityLimit, AccuracyLimit, FrequencyLimit *float64 // targets of the task
	Repeatability, Accuracy                           *Range   // of the tool point
}

// AxisPlan is the part of one axis.
type AxisPlan struct {
	Axis     *machine.Axis
	Targets  []float64 // positions of the positioning test, m
	Agreed   bool      // travel above 2 m: the standard leaves the positions to agreement
	Reversal *Range    // lost motion: play, friction over stiffness
	Stop     *Range    // way of the controlled stop from full speed, with the reaction, m
	PowerOff *Range    // way without power from full speed (category 0), m
	StopTime float64   // s
	StopRoom float64   // way from the switch to the hard stop less the clearance, the shorter end, m; NaN: not known
	Brake    *BrakePlan
}

// BrakePlan is the static brake test of an axis.
type BrakePlan struct {
	Torque float64 // on the brake shaft, N m
	Down   float64 // torque of the motor along the load, N m
	Up     float64 // against it, N m
	Hold   float64 // s
	Most   float64 // movement, m
}

// PosePoint is a point of the pose test.
type PosePoint struct {
	Name string
	Q    []float64
	At   r3.Vec // tool point, undeformed, W
}

// Pair is a distance between two points.
type Pair struct {
	Name     string
	Distance float64
}

// PullPose is a place where forces pull and hammers tap.
type PullPose struct {
	Name      string
	Why       string
	Q         []float64
	Stiffness [3]Range   // along world x, y, z, loaded, drives held, N/m
	Frequency Range      // lowest natural frequency, loaded, Hz
	Modes     []Range    // the lowest natural frequencies, loaded, in rising order, Hz
	Force     [3]float64 // largest force to pull with, N
}

// stopClearance is left before the hard stop in a measured stop: common practice, no source.
const stopClearance = 0.005 // m

// runs is how often each target is approached from each side, cycles how often
// the points of the pose test are visited. Sources: ISO 230-2:2014 and
// ISO 9283:1998, from memory.
const (
	runs   = 5
	cycles = 30
)

// NewPlan lays the test down and solves the machine at the poses of the pull
// and tap tests at the low, nominal and high stiffness.
func NewPlan(a *assess.Assessment) (*Plan, error) {
	m := a.Machine
	p := &Plan{
		Machine: m, RepeatabilityLimit: m.Design.Task.Targets.Repeatability, AccuracyLimit: m.Design.Task.Targets.Accuracy, FrequencyLimit: m.Design.Task.Targets.FirstFreq,
		Repeatability: bound(float64(a.Results.Tool.Repeatability)), Accuracy: bound(float64(a.Results.Tool.Accuracy)),
	}
	d := m.Design.Assumptions.Damping
	p.Damping = Range{Low: d.Low, Nominal: d.Nominal, High: d.High}
	for i, x := range m.Axes {
		ax, err := axisPlan(a, i)
		if err != nil {
			return nil, fmt.Errorf("axis %s: %w", x.Spec.ID, err)
		}
		p.Axes = append(p.Axes, ax)
	}
	if err := p.points(); err != nil {
		return nil, err
	}
	return p, p.pulls(a)
}

func axisPlan(a *assess.Assessment, i int) (AxisPlan, error) {
	x := a.Machine.Axes[i]
	r := a.Results.Axes[x.Spec.ID]
	out := AxisPlan{Axis: x, Reversal: bound(float64(r.Repeatability)), PowerOff: bound(float64(r.PowerOff)), StopTime: float64(r.StopTime), StopRoom: math.NaN()}
	n, err := targetCount(x.Spec.Travel)
	if err != nil {
		return out, err
	}
	out.Agreed = x.Spec.Travel > 2
	out.Targets = targets(x.Spec.Travel, n, uint64(i))
	if s := float64(r.StopDistance); s > 0 {
		// Low: no reaction time passes at full speed. High: the margin of the design.
		c := a.Machine.Design.Equipment.Control
		out.Stop = &Range{Low: s - c.Reaction*x.Spec.Limits.Speed, Nominal: s, High: s * (1 + a.Machine.Design.Assumptions.Limits.StopMargin)}
	}
	for _, e := range r.Ends {
		room := math.Abs(float64(e.HardStop-e.Switch)) - stopClearance
		if !(out.StopRoom <= room) {
			out.StopRoom = room
		}
	}
	if x.Gravity() && x.Brake != nil && float64(r.BrakeTest) > 0 {
		test := equip.UsualBrakeTest()
		out.Brake = &BrakePlan{Torque: float64(r.BrakeTest), Down: float64(r.BrakeTestDown), Up: float64(r.BrakeTestUp), Hold: test.Hold, Most: test.MostMovement}
	}
	return out, nil
}

// targetCount is five per metre and at least five; above 2 m a position every
// 250 mm, which has to be agreed.
func targetCount(travel float64) (int, error) {
	if travel > 2 {
		return int(math.Floor(travel/0.25)) + 1, nil
	}
	return accuracy.MinimumTargets(travel)
}

// targets are P_i = (i-1) p + r_i with offsets r that differ, so that errors
// that repeat with a pitch cannot hide; the offsets are random with a fixed
// seed, up to a fifth of the interval, in tenths of a millimetre.
//
// Source: ISO 230-2:2014 (from memory); the size of the offsets is our choice.
func targets(travel float64, n int, seed uint64) []float64 {
	random := rand.New(rand.NewPCG(2302, seed))
	interval := travel / (float64(n-1) + 0.2)
	out := make([]float64, n)
	for i := range out {
		tenths := math.Floor((float64(i) + 0.2*random.Float64()) * interval * 1e4)
		out[i] = tenths / 1e4
	}
	return out
}

// points places the five points of the pose test. A machine with two axes has
// the four tenth points of its rectangle and the centre.
func (p *Plan) points() error {
	var high accuracy.Point
	for k := range high {
		high[k] = 1
	}
	shares, err := accuracy.PosePoints(accuracy.Point{}, high)
	if err != nil {
		return err
	}
	for i, s := range shares {
		q := make([]float64, len(p.Machine.Axes))
		for k, a := range p.Machine.Axes {
			q[k] = s[min(k, 2)] * a.Spec.Travel
		}
		p.Points = append(p.Points, PosePoint{Name: fmt.Sprintf("P%d", i+1), Q: q, At: p.Machine.ToolPoint(q)})
	}
	for _, ends := range [][2]int{{1, 3}, {2, 4}} {
		a, b := p.Points[ends[0]], p.Points[ends[1]]
		p.Pairs = append(p.Pairs, Pair{Name: a.Name + "-" + b.Name, Distance: r3.Norm(r3.Sub(a.At, b.At))})
	}
	return nil
}

// pulls chooses centre, a far point and the softest place of the work space.
func (p *Plan) pulls(a *assess.Assessment) error {
	p.Pulls = []PullPose{
		{Name: "P1", Why: "centre of the work space", Q: p.Points[0].Q},
		{Name: "P4", Why: "near the far corner", Q: p.Points[3].Q},
	}
	if at := a.Results.Tool.FirstFreqAt; len(at) == len(p.Machine.Axes) {
		soft := make([]float64, len(at))
		for i, x := range at {
			soft[i] = float64(x)
		}
		p.Pulls = append(p.Pulls, PullPose{Name: "soft", Why: "lowest natural frequency of the map", Q: soft})
	}
	var poses [][]float64
	for _, x := range p.Pulls {
		poses = append(poses, x.Q)
	}
	var levels [3][]structure.Response
	for l := structure.Low; l <= structure.High; l++ {
		found, err := respond(p.Machine, l, poses)
		if err != nil {
			return err
		}
		levels[l] = found
	}
	for i := range p.Pulls {
		x := &p.Pulls[i]
		for k := range min(len(levels[0][i].Hz), len(levels[1][i].Hz), len(levels[2][i].Hz)) {
			x.Modes = append(x.Modes, Range{Low: levels[0][i].Hz[k], Nominal: levels[1][i].Hz[k], High: levels[2][i].Hz[k]})
		}
		x.Frequency = x.Modes[0]
		for d := range 3 {
			x.Stiffness[d] = Range{Low: stiffness(levels[0][i], d), Nominal: stiffness(levels[1][i], d), High: stiffness(levels[2][i], d)}
			x.Force[d] = p.force(a, d)
		}
	}
	return nil
}

// modes is how many natural frequencies are found at a pose.
const modes = 3

// respond solves the machine at one level and some poses.
func respond(m *machine.Machine, l structure.Level, poses [][]float64) ([]structure.Response, error) {
	s, err := structure.New(m, l)
	if err != nil {
		return nil, err
	}
	return s.Map(poses, modes)
}

// stiffness of the tool point along a world direction, N/m.
func stiffness(r structure.Response, direction int) float64 {
	u := r.Unit[direction]
	return 1 / [3]float64{u.X, u.Y, u.Z}[direction]
}

// force is a fifth of the drive peak of the axis that moves along a direction,
// or of the weakest drive where none does, N, rounded down to two figures: no
// drive is forced and no joint slips. Source: common practice, no source.
func (p *Plan) force(a *assess.Assessment, direction int) float64 {
	least := math.Inf(1)
	for _, x := range p.Machine.Axes {
		peak := float64(a.Results.Axes[x.Spec.ID].PeakThrust)
		if math.Abs([3]float64{x.Dir.X, x.Dir.Y, x.Dir.Z}[direction]) > 0.7 {
			least = peak
			break
		}
		if peak < least {
			least = peak
		}
	}
	f := 0.2 * least
	if !(f > 0) || math.IsInf(f, 0) {
		return 0
	}
	unit := math.Pow(10, math.Floor(math.Log10(f))-1)
	return math.Floor(f/unit) * unit
}

// axis finds an axis of the plan.
func (p *Plan) axis(id string) (AxisPlan, bool) {
	i := slices.IndexFunc(p.Axes, func(a AxisPlan) bool { return a.Axis.Spec.ID == id })
	if i < 0 {
		return AxisPlan{}, false
	}
	return p.Axes[i], true
}

// with returns the machine at another joint stiffness, the same for all joints.
func with(m *machine.Machine, factor float64) *machine.Machine {
	d := *m.Design
	d.Assumptions.JointFactor = design.Range{Low: factor, Nominal: factor, High: factor}
	out := *m
	out.Design = &d
	return &out
}
