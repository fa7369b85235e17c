package asbuilt

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/stat"

	"spanwright/design"
	"spanwright/given"
	"spanwright/machine"
	"spanwright/structure"
	"spanwright/uncertain"
)

// Calibration is what the measurements say about the uncertain inputs.
type Calibration struct {
	Joint    *design.Range `json:"joint_stiffness"` // nil: not to be found from these data
	Damping  *design.Range `json:"damping"`
	Evidence []Explained   `json:"evidence"`
	Notes    []string      `json:"notes"`  // why something could not be found, what else could explain it
	Wanted   bool          `json:"wanted"` // at least two independent measurements disagree with the model
}

// Explained is what one measurement says about the joint stiffness.
type Explained struct {
	Subject  string `json:"subject"`
	Measured Number `json:"measured"`
	U        Number `json:"U"`
	Exponent Number `json:"exponent"` // per cent of response for one per cent of joint stiffness, at the nominal
	Factor   Number `json:"factor"`   // null: cannot be told
	ULog     Number `json:"U_ln"`     // expanded uncertainty of its logarithm
	Why      string `json:"why,omitempty"`

	impossible bool // with joints of any stiffness
}

// Bounds and criteria of the search.
const (
	leastFactor = 0.01
	mostFactor  = 100
	// tellable is the largest expanded uncertainty of ln S: a factor that is not
	// known within 3 up or down is not worth writing. Our choice.
	tellable = 1.0986122886681098
	// stepOfSearch is the step of ln S to which the machine is solved anew: a
	// tenth of a per cent of the stiffness.
	stepOfSearch = 1e-3
	// unexplainedShare: joints are not calibrated if more than one measurement in
	// so many fits no joint stiffness. Own choice.
	unexplainedShare = 4
	// disagreeing measurements call for a calibration. Common practice, no source.
	disagreements = 2
)

// Calibrate finds the factor on the nominal stiffness of all joints for which
// the model gives what was measured: for every measurement by bisection in its
// logarithm over whole-machine models solved anew, with floor and interfaces at
// their nominal stiffness; then the mean weighted with the uncertainties.
//
// A measurement counts only if the factor can be told from it: with the
// exponent p = d ln(response)/d ln S the uncertainty of ln S is that of the
// measurement over p. The damping is the mean of the tap tests.
func Calibrate(p *Plan, r *Report) (*Calibration, error) {
	c := &Calibration{Evidence: []Explained{}, Notes: []string{}}
	c.Wanted = CallsForCalibration(r)
	if err := c.joints(p.Machine, r.evidence); err != nil {
		return nil, err
	}
	c.damp(r.damping)
	return c, nil
}

// CallsForCalibration tells whether at least two independent measurements in
// which the joints have a part disagree with the model.
func CallsForCalibration(r *Report) bool {
	differing := 0
	for _, e := range r.evidence {
		if e.differs {
			differing++
		}
	}
	return differing >= disagreements
}

// model answers what the measurements would read at a joint stiffness; every
// stiffness is solved once.
type model struct {
	m        *machine.Machine
	level    structure.Level
	evidence []evidence
	solved   map[int][]float64
}

func (m *model) at(factor float64) ([]float64, error) {
	key := int(math.Round(math.Log(factor) / stepOfSearch))
	if known, ok := m.solved[key]; ok {
		return known, nil
	}
	var poses [][]float64
	for _, e := range m.evidence {
		poses = append(poses, e.q)
	}
	found, err := respond(with(m.m, math.Exp(float64(key)*stepOfSearch)), m.level, poses)
	if err != nil {
		return nil, err
	}
	out := make([]float64, len(found))
	for i, e := range m.evidence {
		if e.direction < 0 {
			out[i] = found[i].Hz[0]
		} else {
			out[i] = stiffness(found[i], e.direction)
		}
	}
	m.solved[key] = out
	return out, nil
}

func (c *Calibration) joints(m *machine.Machine, list []evidence) error {
	if len(list) == 0 {
		c.Notes = append(c.Notes, "joint stiffness: no pull test and no tap test is there")
		return nil
	}
	nominal := &model{m: m, level: structure.Nominal, evidence: list, solved: map[int][]float64{}}
	var logs, us []float64
	for i, e := range list {
		x, err := nominal.explain(i, e)
		if err != nil {
			return err
		}
		c.Evidence = append(c.Evidence, x)
		if x.Why == "" {
			logs, us = append(logs, math.Log(float64(x.Factor))), append(us, float64(x.ULog))
		}
	}
	impossible := 0
	for _, x := range c.Evidence {
		if x.impossible {
			impossible++
		}
	}
	if impossible*unexplainedShare > len(list) {
		c.Notes = append(c.Notes, fmt.Sprintf("joint stiffness: %d of %d measurements fit joints of no stiffness at all; find what else differs (units of the readings, supports, floor, drives) before calibrating", impossible, len(list)))
		return nil
	}
	if len(logs) == 0 {
		c.Notes = append(c.Notes, "joint stiffness: none of the measurements tells it; see each of them")
		return nil
	}
	middle, u, consistent := combine(logs, us)
	if !consistent {
		c.Notes = append(c.Notes, "the measurements ask for different joint stiffness: something else than the joints differs too (interfaces, floor, guides, drives); the range was widened to their scatter")
	}
	c.Joint = &design.Range{Low: figures(math.Exp(middle - u)), Nominal: figures(math.Exp(middle)), High: figures(math.Exp(middle + u))}
	return c.others(m, list)
}

// explain finds the factor that explains the i-th measurement.
func (m *model) explain(i int, e evidence) (Explained, error) {
	x := Explained{Subject: e.subject, Measured: Number(e.value), U: Number(e.u), Factor: Number(math.NaN()), ULog: Number(math.NaN()), Exponent: Number(math.NaN())}
	response := func(s float64) (float64, error) {
		all, err := m.at(s)
		if err != nil {
			return 0, err
		}
		return all[i], nil
	}
	s, err := uncertain.Explain(response, e.value, leastFactor, mostFactor)
	if errors.Is(err, given.ErrRefused) {
		low, _ := response(leastFactor)
		high, _ := response(mostFactor)
		x.Why = fmt.Sprintf("no joint stiffness explains it: with joints 0.01 to 100 times the nominal the model gives %.4g to %.4g", low, high)
		s, x.impossible = 1, true
	} else if err != nil {
		return x, err
	}
	const step = 1.25
	below, errBelow := response(s / step)
	above, errAbove := response(s * step)
	if err := errors.Join(errBelow, errAbove); err != nil {
		return x, err
	}
	p := math.Log(above/below) / (2 * math.Log(step))
	x.Exponent = Number(p)
	if x.Why != "" {
		return x, nil
	}
	u := math.Hypot(e.u/e.value/math.Abs(p), stepOfSearch)
	if !(u <= tellable) {
		x.Why = fmt.Sprintf("it hardly depends on the joints (1 %% of stiffness changes it by %.2g %%), so that its uncertainty of %.2g %% leaves the factor open", p, 100*e.u/e.value)
		return x, nil
	}
	x.Factor, x.ULog = Number(s), Number(u)
	return x, nil
}

// combine is the weighted mean with its expanded uncertainty; if the values
// scatter more than their uncertainties say, the uncertainty is widened by the
// square root of chi square over the degrees of freedom (Birge ratio, Physical
// Review 40 (1932), from memory).
func combine(values, us []float64) (mean, u float64, consistent bool) {
	weights := make([]float64, len(us))
	sum := 0.0
	for i, x := range us {
		weights[i] = 1 / (x * x)
		sum += weights[i]
	}
	mean = stat.Mean(values, weights)
	u = 1 / math.Sqrt(sum)
	if len(values) < 2 {
		return mean, u, true
	}
	chi := 0.0
	for i, v := range values {
		chi += 4 * (v - mean) * (v - mean) * weights[i] // us are expanded, k = 2
	}
	ratio := math.Sqrt(chi / float64(len(values)-1))
	return mean, u * math.Max(1, ratio), ratio <= 2
}

// others says what the joints would have to be if floor and interfaces were at
// the ends of their ranges.
func (c *Calibration) others(m *machine.Machine, list []evidence) error {
	best := -1
	for i, x := range c.Evidence {
		if x.Why == "" && (best < 0 || x.ULog < c.Evidence[best].ULog) {
			best = i
		}
	}
	var at []string
	for _, l := range []structure.Level{structure.Low, structure.High} {
		end := &model{m: m, level: l, evidence: list, solved: map[int][]float64{}}
		x, err := end.explain(best, list[best])
		if err != nil {
			return err
		}
		if x.Why != "" {
			at = append(at, fmt.Sprintf("with both at their %s end no factor can be told", l))
			continue
		}
		at = append(at, fmt.Sprintf("%.3g with both at their %s end", float64(x.Factor), l))
	}
	c.Notes = append(c.Notes, fmt.Sprintf("floor and interfaces were held at their nominal stiffness; the clearest measurement (%s) would ask for a factor of %s", c.Evidence[best].Subject, strings.Join(at, ", ")))
	return nil
}

// damp takes the damping from the tap tests.
func (c *Calibration) damp(list []reading) {
	var values []float64
	for _, r := range list {
		values = append(values, r.value)
	}
	const least = 3
	if len(values) < least {
		c.Notes = append(c.Notes, fmt.Sprintf("damping: %d records tell it; at least %d are needed", len(values), least))
		return
	}
	slices.Sort(values)
	c.Damping = &design.Range{Low: figures(values[0]), Nominal: figures(stat.Mean(values, nil)), High: figures(values[len(values)-1])}
}

// figures rounds to three significant figures.
func figures(v float64) float64 {
	unit := math.Pow(10, math.Floor(math.Log10(v))-2)
	return math.Round(v/unit) * unit
}

// Apply writes what was found into the design's text: the ranges, one sentence in
// meta.note that says where they come from, everything else as it stood.
func (c *Calibration) Apply(f *design.File, note string, from string) ([]byte, error) {
	var edits []design.Edit
	var what []string
	span := func(r design.Range) string { return fmt.Sprintf("%.4g..%.4g..%.4g", r.Low, r.Nominal, r.High) }
	add := func(path, name string, r *design.Range) {
		if r == nil {
			return
		}
		edits = append(edits, design.Edit{Path: "assumptions." + path, Value: span(*r)})
		what = append(what, name)
	}
	add("joint_stiffness", "joint stiffness", c.Joint)
	add("damping", "damping", c.Damping)
	if len(edits) == 0 {
		return nil, ErrNothingFound
	}
	said := strings.Join(what, " and ") + " measured on the built machine (" + from + ")"
	if note != "" {
		said = note + "; " + said
	}
	edits = append(edits, design.Edit{Path: "meta.note", Value: design.TextValue(said)})
	return f.Apply(edits...)
}

// ErrNothingFound is returned where no input can be told from the data.
var ErrNothingFound = errors.New("the measurements tell neither joint stiffness nor damping")
