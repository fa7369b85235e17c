package search

import (
	"math"
	"strconv"
	"strings"

	"spanwright/decode"
	"spanwright/design"
	"spanwright/parts"
	"spanwright/quantity"
)

// skeleton holds every default of what a search writes; its own values are
// placeholders that every draft overwrites.
const skeleton = `spanwright: 1
machine: skeleton
task: {payload: {mass: 1 kg}, tool: {mass: 1 kg}, points: {a: {x: 0 mm, z: 0 mm}}, cycle: [{to: a}], rate: 1 /h}
axes:
  x: {direction: x, part: p, travel: 1 m, facing: z, motor: m, limits: {speed: 1 m/s, acceleration: 1 m/s2}, pair: {spacing: 1 m, driven: one}}
  z: {direction: z, part: p, travel: 1 m, facing: x, motor: m, limits: {speed: 1 m/s, acceleration: 1 m/s2}}
stand:
  generate: {span: 1 m, depth: 1 m, height: 1 m, legs: {count: 4, profile: p}, top_rail: p, joint: j, brace_joint: j, braces: [{plane: along, profile: p}]}
  foot: f
equipment:
  ends: {x: {switch: 1 mm, hard_stop: 1 mm, bumper: b}}
  carriers: {x: {part: c}}
  cables: [{name: a, to: tool, diameter: 5 mm, mass: 0.1 kg/m}]
`

// draft writes the machine of a choice over the task. With notes, the edits
// that make the same of the text are kept in the pen.
func (p *Problem) draft(c Choice, f fitted, notes bool) *pen {
	d := *p.Task
	w := &pen{d: &d, notes: notes}
	d.Axes = nil
	for i, r := range p.axes {
		a := p.blank.Axes[1]
		if i < len(p.Task.Axes) {
			a = p.Task.Axes[i]
		}
		a.ID = r.id
		w.axis(p, i, &a, c, f)
		d.Axes = append(d.Axes, a)
	}
	w.stand(p, c, f)
	w.equipment(p, f)
	return w
}

func (w *pen) axis(p *Problem, i int, a *design.Axis, c Choice, f fitted) {
	r, choice, at := p.axes[i], c.Axes[i], "axes."+p.axes[i].id+"."
	w.direction(at+"direction", &a.Direction, r.dir)
	w.word(at+"part", &a.Part, choice.Part)
	w.number(at+"travel", quantity.Length, &a.Travel, r.travel)
	if r.mast {
		w.word(at+"moves", &a.Moves, "body")
	}
	w.direction(at+"facing", &a.Facing, r.facing)
	if p.gantry() && i == 1 {
		w.maybe(at+"length", quantity.Length, &a.Length, f.bridge)
	}
	if r.mast && f.drop > 0 {
		w.maybe(at+"overhang", quantity.Length, &a.Overhang, ceil(f.overhang+f.drop, 0.001))
	}
	if r.pair {
		w.pair(p, at+"pair.", a, f)
	}
	if choice.Screw != "" {
		w.word(at+"drive.screw", &a.Drive.Screw, choice.Screw)
	}
	w.word(at+"motor", &a.Motor, choice.Motor)
	if choice.Gear != none {
		w.word(at+"gear", &a.Gear, choice.Gear)
	}
	if choice.Brake != none {
		w.word(at+"brake", &a.Brake, choice.Brake)
	}
	l := f.limits[i]
	w.number(at+"limits.speed", quantity.Speed, &a.Limits.Speed, l.speed)
	w.number(at+"limits.acceleration", quantity.Acceleration, &a.Limits.Acceleration, l.accel)
	w.maybe(at+"limits.jerk", quantity.Jerk, &a.Limits.Jerk, l.jerk)
	w.maybe(at+"limits.stop_deceleration", quantity.Acceleration, &a.Limits.Stop, f.stops[i])
	w.maybe(at+"limits.stop_jerk", quantity.Jerk, &a.Limits.StopJerk, ceil(f.stops[i]/stopRise, 1))
	w.join(p, i, a, choice.Join)
	if choice.UnderBeam != none {
		w.word(at+"under_beam", &a.UnderBeam, choice.UnderBeam)
	}
}

// none is the word for a part that is not there.
const none = "none"

// stopRise is the time in which an emergency stop reaches its deceleration, s; own choice.
const stopRise = 0.1

func (w *pen) pair(p *Problem, at string, a *design.Axis, f fitted) {
	if a.Pair == nil {
		a.Pair = p.blank.Axes[0].Pair
	}
	own := *a.Pair // whoever it comes from keeps his
	a.Pair = &own
	w.number(at+"spacing", quantity.Length, &a.Pair.Spacing, f.spacing)
	w.word(at+"driven", &a.Pair.Driven, "two-motors")
	w.maybe(at+"float", quantity.Length, &a.Pair.Float, pairFloat)
}

// pairFloat is the sideways travel of the floating mount, m; own choice, judged by a check.
const pairFloat = 0.005

func (w *pen) join(p *Problem, i int, a *design.Axis, part string) {
	at := "axes." + a.ID + ".join."
	switch {
	case i == 0:
		w.word(at+"by", &a.Join.By, "clamps")
		w.word(at+"part", &a.Join.Part, part)
		w.some(at+"clamps_per_side", &a.Join.ClampsPerSide, clampsPerSide)
		w.maybe(at+"support_spacing", quantity.Length, &a.Join.Spacing, supportSpacing)
	case ribbed(p.Catalogue, part):
		w.word(at+"by", &a.Join.By, "gussets")
		w.word(at+"part", &a.Join.Part, part)
		w.some(at+"gussets", &a.Join.Gussets, 2)
	default:
		w.word(at+"by", &a.Join.By, "plate")
		w.word(at+"part", &a.Join.Part, part)
	}
}

// How a beam is clamped to its rail; own choice within common practice.
const (
	clampsPerSide  = 2
	supportSpacing = 0.6 // m
)

func ribbed(catalogue *parts.Catalogue, id string) bool {
	plate, ok := catalogue.Plate(id)
	return ok && plate.RibThick > 0
}

// some sets a count that may be absent.
func (w *pen) some(path string, to **int, value int) {
	if w.open(path) {
		*to = &value
		w.note(path, strconv.Itoa(value))
	}
}

func (w *pen) stand(p *Problem, c Choice, f fitted) {
	s, fr := &w.d.Stand, c.Frame
	g := *p.blank.Stand.Generate
	g.Braces = nil
	if own := p.Task.Stand.Generate; own != nil {
		g = *own
	}
	if !p.Task.File.Given("stand") {
		*s = p.blank.Stand
	}
	s.Generate = &g
	const at = "stand.generate."
	if p.axes[0].dir[0] == 0 {
		w.word(at+"along", &g.Along, "y")
	}
	w.number(at+"span", quantity.Length, &g.Span, f.span)
	w.number(at+"depth", quantity.Length, &g.Depth, f.depth)
	w.number(at+"height", quantity.Length, &g.Height, f.height)
	w.count(at+"legs.count", &g.Legs.Count, fr.Legs)
	w.word(at+"legs.profile", &g.Legs.Profile, fr.Leg)
	w.word(at+"top_rail", &g.TopRail, fr.TopRail)
	if fr.Legs >= 4 {
		w.word(at+"cross_rail", &g.CrossRail, fr.CrossRail)
	}
	if fr.Legs > 4 {
		w.word(at+"cross_rail_at", &g.CrossAt, "ends") // the mast passes the middle legs
	}
	w.word(at+"bottom_rail", &g.BottomRail, fr.BottomRail)
	w.number(at+"bottom_rail_height", quantity.Length, &g.BottomAt, p.bottomRail(fr))
	w.word(at+"foot_rail", &g.FootRail, fr.FootRail)
	w.word(at+"joint", &g.Joint, fr.Joint)
	w.word(at+"brace_joint", &g.BraceJoint, fr.BraceJoint)
	w.braces(at+"braces", &g, fr)
	w.word("stand.foot", &s.Foot, fr.Foot)
}

// Heights of the bottom rails, m: clear of cleaning and pallet trucks, and above the
// foot rails of one row of legs by some room for hardware; own choice.
const (
	bottomRailAt   = 0.25
	bottomRailRoom = 0.02
	bottomRailStep = 0.01 // to which it is rounded up
)

// bottomRail is the height of the bottom rails of a frame, m.
func (p *Problem) bottomRail(fr Frame) float64 {
	foot, has := p.Catalogue.Foot(fr.Foot)
	floor, low := p.Catalogue.Profile(fr.FootRail)
	rail, along := p.Catalogue.Profile(fr.BottomRail)
	if fr.Legs >= 4 || !has || !low || !along {
		return bottomRailAt
	}
	clear := foot.Height + floor.Size[1] + bottomRailRoom + rail.Size[1]/2
	return max(bottomRailAt, bottomRailStep*math.Ceil(clear/bottomRailStep-1e-9))
}

// braces are knees in both vertical planes: the rule of the trade that every
// plane is braced. What they do is computed.
func (w *pen) braces(path string, g *design.Generated, fr Frame) {
	if !w.open(path) {
		return
	}
	across := "foot" // one row of legs stands on foot rails
	if fr.Legs >= 4 {
		across = "both"
	}
	g.Braces = []design.Brace{
		{Plane: "along", Kind: "knee", At: "top", Reach: fr.Reach, Profile: fr.Brace},
		{Plane: "across", Kind: "knee", At: across, Reach: fr.Reach, Profile: fr.Brace},
	}
	if fr.Legs > 4 { // no rail on top across the middle, where the mast passes
		g.Braces[1].Bays = []string{"left", "right"}
		g.Braces = append(g.Braces, design.Brace{Plane: "across", Kind: "knee", At: "foot", Reach: fr.Reach, Profile: fr.Brace, Bays: []string{"middle"}})
	}
	var items []string
	for _, b := range g.Braces {
		if !w.notes {
			break
		}
		bays := ""
		if b.Bays != nil {
			bays = "[" + strings.Join(b.Bays, ", ") + "]"
		}
		items = append(items, flow("plane", b.Plane, "at", b.At, "reach", quantity.Exact(quantity.Length, b.Reach), "profile", b.Profile, "bays", bays))
	}
	w.list(path, items)
}

// list notes a whole list.
func (w *pen) list(path string, items []string) {
	for i, item := range items {
		w.note(decode.Item(path, i), item)
	}
}

// flow is a group on one line.
func flow(pairs ...string) string {
	var out []string
	for i := 0; i+1 < len(pairs); i += 2 {
		if pairs[i+1] != "" {
			out = append(out, pairs[i]+": "+pairs[i+1])
		}
	}
	return "{" + strings.Join(out, ", ") + "}"
}
