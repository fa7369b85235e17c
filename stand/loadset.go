package stand

import (
	"fmt"
	"math"

	"spanwright/given"
	"spanwright/quantity"
)

// Kind is what a load set stands for.
type Kind string

// The kinds of load sets.
const (
	Operating     Kind = "operating"
	EmergencyStop Kind = "emergency stop"
	Push          Kind = "accidental push"
	Tilt          Kind = "tilt"
)

// Limits are the least tipping factors.
type Limits struct {
	Operating     float64
	EmergencyStop float64
	Push          float64
	Tilt          float64
}

// UsualLimits are 1.5 in operation, 1.2 in an emergency stop and under an
// accidental push, and 1 (it must not fall) on a tilted floor.
// Source: common practice, no source.
func UsualLimits() Limits { return Limits{Operating: 1.5, EmergencyStop: 1.2, Push: 1.2, Tilt: 1} }

// Accidental push and tilt. Source: the form used by electrical product safety
// standards such as IEC 61010-1, 7.4, from memory.
const (
	pushForce  = 250.0 // N
	pushShare  = 0.20  // of the weight
	pushHeight = 2.0   // m
	tiltAngle  = 10 * math.Pi / 180
)

// Acceleration is what an axis, or several at the same time, does to its masses.
type Acceleration struct {
	Name    string // e.g. "x and y at full acceleration"
	Parts   []Weight
	Of      [][3]float64 // acceleration of each part, m/s², W
	Dynamic float64      // factor on the forces, >= 1; 2 for a stop without any rise time
}

// Standing is a machine in one pose with what may act on it.
type Standing struct {
	Name   string         // of the pose
	Weight Weight         // the whole machine in this pose
	Height float64        // of the machine, m
	Moves  []Acceleration // operating accelerations; both senses are tried
	Stops  []Acceleration // emergency stops; both senses are tried
}

// Judged is the outcome of one load set.
type Judged struct {
	Name     string
	Kind     Kind
	Edges    []Tipping // every edge of the footprint
	Critical Tipping   // the edge with the smallest factor
	Limit    float64   // least factor
	By       int       // place of the acceleration among Moves or Stops; -1 for push and tilt
}

// Utilisation is the limit over the factor; +Inf where the machine falls by itself.
func (j Judged) Utilisation() float64 {
	switch {
	case math.IsInf(j.Critical.Factor, 1):
		return 0
	case j.Critical.Factor <= 0:
		return math.Inf(1)
	}
	return j.Limit / j.Critical.Factor
}

// EdgeName names the critical edge by its feet.
func (j Judged) EdgeName() string {
	return fmt.Sprintf("feet %d-%d", j.Critical.From+1, j.Critical.To+1)
}

// Judge runs every load set of a pose: each acceleration and each emergency
// stop in both senses, the accidental push and the tilted floor over every edge.
func (f Footprint) Judge(s Standing, l Limits) ([]Judged, error) {
	out := make([]Judged, 0, 2*(len(s.Moves)+len(s.Stops)+1))
	add := func(name string, kind Kind, by int, limit float64, edges []Tipping, err error) error {
		if err != nil {
			return fmt.Errorf("%s, %s: %w", s.Name, name, err)
		}
		if !(limit > 0) {
			return fmt.Errorf("%w: least tipping factor %g", given.ErrRefused, limit)
		}
		out = append(out, Judged{Name: s.Name + ", " + name, Kind: kind, Edges: edges, Critical: critical(edges), Limit: limit, By: by})
		return nil
	}
	for _, g := range [...]struct {
		kind  Kind
		limit float64
		list  []Acceleration
	}{{Operating, l.Operating, s.Moves}, {EmergencyStop, l.EmergencyStop, s.Stops}} {
		for i, a := range g.list {
			for _, sense := range [...]float64{1, -1} {
				actions, err := a.actions(sense)
				if err != nil {
					return nil, err
				}
				edges, err := f.Tipping(s.Weight, actions)
				name := a.Name + " +"
				if sense < 0 {
					name = a.Name + " -"
				}
				if err := add(name, g.kind, i, g.limit, edges, err); err != nil {
					return nil, err
				}
			}
		}
	}
	force, height := AccidentalPush(s.Weight.Mass, s.Height)
	edges, err := f.Pushed(s.Weight, force, height)
	if err := add(string(Push), Push, -1, l.Push, edges, err); err != nil {
		return nil, err
	}
	edges, err = f.Tilted(s.Weight, tiltAngle)
	return out, add(string(Tilt), Tilt, -1, l.Tilt, edges, err)
}

// AccidentalPush is 250 N or a fifth of the weight, whichever is less (N), at
// 2 m or at the machine's height, whichever is lower (m).
func AccidentalPush(mass, height float64) (force, at float64) {
	return math.Min(pushForce, pushShare*mass*quantity.StandardGravity), math.Min(pushHeight, height)
}

func (a Acceleration) actions(sense float64) ([]Action, error) {
	if len(a.Parts) != len(a.Of) || !(a.Dynamic >= 1) {
		return nil, fmt.Errorf("%w: %s: %d parts, %d accelerations, dynamic factor %g", given.ErrRefused, a.Name, len(a.Parts), len(a.Of), a.Dynamic)
	}
	out := make([]Action, len(a.Parts))
	for i, p := range a.Parts {
		by := a.Of[i]
		for k := range by {
			by[k] *= sense * a.Dynamic
		}
		out[i] = Reaction(p, by)
	}
	return out, nil
}

// critical is the edge with the smallest factor, the first of equals.
func critical(edges []Tipping) Tipping {
	worst := edges[0]
	for _, e := range edges[1:] {
		if e.Factor < worst.Factor {
			worst = e
		}
	}
	return worst
}
