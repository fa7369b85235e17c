package search

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"spanwright/design"
	"spanwright/diag"
	"spanwright/parts"
)

// Codes of the mistakes of a task that stand in the way of a search.
const (
	AxisUnclear  diag.Code = "search-axis"   // where an axis runs is not known
	NoLayout     diag.Code = "search-layout" // no layout is known for these axes
	StandWritten diag.Code = "search-stand"  // the stand is written out: there is nothing to choose
	PointOutside diag.Code = "search-point"  // a coordinate below 0
	PinnedPart   diag.Code = "unknown-part"  // a part that is not in the catalogue; as of a whole design
)

// Problem is a task with what the user has settled, ready to be searched.
type Problem struct {
	Task      *design.Design // as read by design.LoadTask
	Catalogue *parts.Catalogue

	axes  []role         // from the stand to the tool
	blank *design.Design // every default of what a search writes
}

// role is what an axis is for.
type role struct {
	id     string
	index  int
	dir    [3]float64
	facing [3]float64
	stroke float64 // longest in the cycle, m
	travel float64 // m
	mast   bool    // the body moves
	pair   bool
}

// NewProblem finds the layout for the task: a portal for a level and an upright
// axis, a gantry with two runways for two level ones and an upright one.
func NewProblem(task *design.Design, catalogue *parts.Catalogue) (*Problem, diag.List) {
	p := &Problem{Task: task, Catalogue: catalogue}
	p.blank, _ = design.Parse("skeleton", []byte(skeleton))
	var list diag.List
	refuse := func(code diag.Code, path, message, hint string) {
		list.Add(diag.Diagnostic{Pos: task.File.Where(path), Code: code, Path: path, Message: message, Hint: hint})
	}
	if len(task.Stand.Nodes)+len(task.Stand.Members) > 0 {
		refuse(StandWritten, "stand", "the stand is written out in nodes and members; a search chooses generated stands", "remove nodes and members, or use improve")
	}
	for i, id := range axisIDs(task) {
		r := role{id: id, index: i, dir: direction(task, id)}
		if strings.Contains(id, ".") {
			refuse(AxisUnclear, "task.points", fmt.Sprintf("the dot in the name of axis %q would end a key in the paths that a search writes", id), "name it without dots")
			continue
		}
		if r.dir == ([3]float64{}) {
			refuse(AxisUnclear, "task.points", fmt.Sprintf("where axis %q runs is not known: only x, y and z say it by their name", id), fmt.Sprintf("name all axes under axes:, with %s: {direction: ...}", id))
		}
		most, least := 0.0, math.Inf(1)
		for _, point := range task.Task.Points {
			at, ok := point.At[id]
			if !ok {
				refuse(design.Coordinate, "task.points."+point.ID, "has no coordinate for axis "+id, `add "`+id+`: 0 mm"`)
			}
			if at < 0 {
				refuse(PointOutside, "task.points."+point.ID+"."+id, "lies below 0, where no axis comes", "measure coordinates from the minus end of the travel")
			}
			most, least = math.Max(most, at), math.Min(least, at)
		}
		r.travel = ceil(most+math.Min(least, mostRoom), 0.010)
		r.stroke = longestStroke(task, id)
		p.axes = append(p.axes, r)
	}
	if len(list) == 0 && !p.layout() {
		refuse(NoLayout, "task.points", "no layout is known for these axes; there are portals (one level, one upright axis) and gantries (two level, one upright), the upright one last", "list them in this order under axes:")
	}
	return p, list.Sorted()
}

// mostRoom is the most that the plus end keeps beyond the last point: as much
// as the task keeps at the minus end, but not more than this; own choice.
const mostRoom = 0.2 // m

// axisIDs are the axes that are named or, if none is, those of the points in the order x, y, z.
func axisIDs(d *design.Design) (ids []string) {
	for _, a := range d.Axes {
		ids = append(ids, a.ID)
	}
	if len(ids) > 0 {
		return ids
	}
	for _, point := range d.Task.Points {
		for id := range point.At {
			if !slices.Contains(ids, id) {
				ids = append(ids, id)
			}
		}
	}
	slices.Sort(ids) // x, y, z
	return ids
}

// direction is where an axis runs: as settled or by its name; zero if neither says.
func direction(d *design.Design, id string) [3]float64 {
	for _, a := range d.Axes {
		if a.ID == id && a.Direction != ([3]float64{}) {
			return a.Direction
		}
	}
	switch id {
	case "x":
		return [3]float64{1, 0, 0}
	case "y":
		return [3]float64{0, 1, 0}
	case "z":
		return [3]float64{0, 0, 1}
	}
	return [3]float64{}
}

func longestStroke(d *design.Design, id string) float64 {
	at := map[string]float64{}
	for _, point := range d.Task.Points {
		at[point.ID] = point.At[id]
	}
	most, n := 0.0, len(d.Task.Cycle)
	for i, s := range d.Task.Cycle {
		most = math.Max(most, math.Abs(at[s.To]-at[d.Task.Cycle[(i+n-1)%n].To]))
	}
	return most
}

// level and upright are the cosines of the slope up to which an axis counts as
// one or the other.
const (
	level   = 0.01
	upright = 0.99
)

// layout says for every axis on which side its carriage sits. It tells false
// for a chain that it does not know.
func (p *Problem) layout() bool {
	n := len(p.axes)
	if n < 2 || n > 3 || math.Abs(p.axes[n-1].dir[2]) < upright {
		return false
	}
	for _, a := range p.axes[:n-1] {
		if math.Abs(a.dir[2]) > level {
			return false
		}
	}
	carrier, mast := &p.axes[n-2], &p.axes[n-1]
	mast.mast = true
	// The mast hangs on the side of the last level beam, the carriages of the
	// runways run on top of them.
	side := [3]float64{-carrier.dir[1], carrier.dir[0], 0} // z x direction
	if n == 2 {
		side = [3]float64{-side[0], -side[1], 0} // the front of a portal looks to -y
	} else {
		p.axes[0].pair = true
		p.axes[0].facing = [3]float64{0, 0, 1}
	}
	carrier.facing = side
	mast.facing = [3]float64{-side[0], -side[1], 0}
	return true
}

// gantry tells whether the first axis is a pair of runways.
func (p *Problem) gantry() bool { return p.axes[0].pair }

// ceil rounds up to a whole number of steps, with a hair of a step for round-off.
func ceil(x, step float64) float64 {
	n := math.Ceil(x/step - 1e-6)
	return math.Round(n*step*1e6) / 1e6
}
