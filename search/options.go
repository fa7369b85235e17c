package search

import (
	"fmt"
	"math"
	"slices"

	"spanwright/assess"
	"spanwright/search/front"
)

// Objective is a number by which machines are compared; less is better.
type Objective string

// The objectives.
const (
	Cost      Objective = "cost"
	Mass      Objective = "mass"
	Cycle     Objective = "cycle"
	Sag       Objective = "sag"
	Frequency Objective = "frequency"
)

// Objectives are all objectives in the order of tables.
var Objectives = []Objective{Cost, Mass, Cycle, Sag, Frequency}

// ParseObjective finds an objective by its name.
func ParseObjective(name string) (Objective, error) {
	if o := Objective(name); slices.Contains(Objectives, o) {
		return o, nil
	}
	return "", fmt.Errorf("%q is no objective; there are cost, mass, cycle, sag, frequency", name)
}

// steps are the differences below which two machines count as equal: own
// choice. The stiffness of joints and floor is known far less well than 5 %.
var steps = map[Objective]float64{Cost: 0.01, Mass: 0.01, Cycle: 0.01, Sag: 0.05, Frequency: 0.05}

// Values are what a machine is compared by.
type Values struct {
	Cost      assess.Number `json:"cost"`
	Mass      assess.Number `json:"mass_kg"`
	Cycle     assess.Number `json:"cycle_time_s"`
	Sag       assess.Number `json:"sag_variation_m"`
	Frequency assess.Number `json:"first_frequency_hz"`
}

func valuesOf(a *assess.Assessment) Values {
	r := a.Results
	return Values{r.Cost, r.Mass, r.CycleTime, r.Tool.SagVariation, r.Tool.FirstFreq}
}

// Of is the value of an objective as a number of which less is better: the
// frequency counts by its inverse.
func (v Values) Of(o Objective) float64 {
	switch o {
	case Cost:
		return float64(v.Cost)
	case Mass:
		return float64(v.Mass)
	case Cycle:
		return float64(v.Cycle)
	case Sag:
		return float64(v.Sag)
	case Frequency:
		if !(v.Frequency > 0) {
			return math.Inf(1)
		}
		return 1 / float64(v.Frequency)
	}
	return math.NaN()
}

// Options of a search. The zero value judges everything without bounds on the
// number; Usual is what the command uses.
type Options struct {
	Objectives []Objective // by which machines are compared; none: all
	Drives     int         // classes of like drives kept for an axis part, the cheapest; 0: all
	Joins      int         // plates or clamps kept for an axis, the cheapest of its size; 0: all
	Most       int         // machines judged as a whole; 0: no limit

	Known    map[string]Outcome // what was judged before, by key
	Learned  func(Outcome)      // called in order for every new outcome; may be nil
	Progress func(Progress)     // called now and then from one goroutine; may be nil
}

// Progress says how far a search is.
type Progress struct {
	What   string
	Done   int
	Total  int // 0: not known
	Judged int // as a whole
	Front  int
}

// Usual are the options of the command for a number of axes: own choice, for an
// answer within about a minute on two processors.
func Usual(axes int) Options {
	o := Options{Drives: 2, Joins: 3, Most: 400}
	if axes > 2 {
		o.Joins = 2
	}
	return o
}

func (o Options) objectives() []Objective {
	if len(o.Objectives) == 0 {
		return Objectives
	}
	return o.Objectives
}

func (o Options) axes() (out []front.Axis) {
	for _, k := range o.objectives() {
		out = append(out, front.Axis{Step: steps[k]})
	}
	return out
}

func (o Options) vector(v Values) (out []float64) {
	for _, k := range o.objectives() {
		out = append(out, v.Of(k))
	}
	return out
}

// bound is the vector of the best that a machine can come to before its
// structure is known: price and mass are known, the cycle takes at least its
// moves and dwells, of sag and frequency nothing is known.
func (o Options) bound(cost, mass, cycle float64) (out []float64) {
	v := Values{Cost: assess.Number(cost), Mass: assess.Number(mass), Cycle: assess.Number(cycle), Sag: 0, Frequency: assess.Number(math.Inf(1))}
	return o.vector(v)
}
