package assess

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/clearance"
	"spanwright/ledger"
	"spanwright/machine"
)

const roomCaution = "Parts that clear each other still crush and shear what gets between them: the distances of ISO 13854 and ISO 13857 are another matter, see the risk assessment (ISO 12100)."

// encounter is two parts where they come nearest.
type encounter struct {
	a, b  *machine.Extent
	place clearance.Nearest
	when  string // in which move, "" anywhere
}

// class is a class of pairs of parts that is judged together.
type class int

// A pair belongs to the first class that holds one of its parts.
const (
	withPayload class = iota
	withTool
	withCarrier
	withStand
	amongAxes
	classes
)

var classText = [classes]struct{ kind, title string }{
	{"build.collision.payload", "least distance of the payload from all parts on its way"},
	{"build.collision.tool", "least distance of the tool from all parts"},
	{"build.collision.carriers", "least distance of cable carriers and their supports from all parts"},
	{"build.collision.stand", "least distance of moving parts from the stand and what stands on it"},
	{"build.collision.axes", "least distance of moving parts of different axes from each other"},
}

func classOf(e *machine.Extent) class {
	switch e.Solid.Thing {
	case machine.ThingPayload:
		return withPayload
	case machine.ThingTool:
		return withTool
	case machine.ThingCarrier, machine.ThingTray:
		return withCarrier
	}
	if e.Solid.Body == 0 {
		return withStand
	}
	return amongAxes
}

// collisionChecks look for parts that run into each other: every pair of which
// one moves past the other, over all places that the axes can take up to their
// compressed hard stops; the payload on the moves that carry it; and parts that
// are fixed to the same body and take up the same place.
func (r *run) collisionChecks() error {
	parts, err := r.m.Extents()
	if err != nil {
		return err
	}
	whole := r.wholeTravels()
	moving := search{r.m, r.m.Design.Assumptions.Limits.Clearance}
	fixed := search{r.m, -touching}
	t := moving.shifts(whole)
	var lists [classes]shortlist
	for c := range lists {
		lists[c] = newShortlist()
	}
	shared := shortlist{best: -touching}
	for i := range parts {
		a := &parts[i]
		of := classOf(a)
		for k := i + 1; k < len(parts); k++ {
			b := &parts[k]
			p := pair{a, b, t.apart(a, b, whole)}
			if a.Bodies == b.Bodies && a.Rigid() {
				shared.offer(fixed, p, whole)
				continue
			}
			lists[min(of, classOf(b))].offer(moving, p, whole)
		}
	}
	for c := range lists {
		found := lists[c].nearest(moving, whole, "")
		if class(c) == withPayload {
			r.payloadClear(moving, parts, found)
			continue
		}
		check := newCheck(classText[c].kind, "stand", classText[c].title)
		check.Note = "at all places of the axes up to their compressed hard stops"
		r.clear(check, found)
	}
	r.sharedPlaces(shared.nearest(fixed, whole, ""))
	r.skip("joint hardware among the bars that it joins", "the part data give width and thickness of brackets, gussets and plates and no outline: whether neighbours meet shows when they are ordered")
	r.skip("clamps beside their carriage", "the part data give no height of clamps: they are drawn as high as the carriage leaves room; see that one of the maker's fits there")
	r.skip("collisions with what is around the machine", "conveyors, tables, walls and fences are not in the design; the tool counts as a box up to its point, covers, hoses, switches and cams are not drawn")
	return nil
}

// wholeTravels are the places that the axes can take: the programmed travel and,
// where the design states a hard stop, the way until its bumper is compressed.
func (r *run) wholeTravels() []clearance.Range {
	out := make([]clearance.Range, len(r.m.Axes))
	for i, a := range r.m.Axes {
		out[i].High = a.Spec.Travel
		if end, stroke, has := r.endOf(a); has {
			ends := travelEnds(end, stroke)
			out[i] = clearance.Range{Low: -ends[0].last, High: a.Spec.Travel + ends[1].last}
		}
	}
	return out
}

// payloadClear judges the payload on the moves that carry it; what it would meet
// elsewhere in the travels is said, not judged.
func (r *run) payloadClear(s search, parts []machine.Extent, anywhere []encounter) {
	text := classText[withPayload]
	c := newCheck(text.kind, "task.payload", text.title)
	var found []encounter
	payload := slices.IndexFunc(parts, func(e machine.Extent) bool { return e.Solid.Thing == machine.ThingPayload })
	for i := range r.legs {
		if r.legs[i].loaded && payload >= 0 {
			found = append(found, s.along(&parts[payload], parts, &r.legs[i])...)
		}
	}
	if len(found) == 0 {
		r.skip(text.kind, "no move of the cycle carries the payload")
		return
	}
	slices.SortStableFunc(found, closer)
	c.Note = "on the loaded moves of the cycle"
	if len(anywhere) > 0 && anywhere[0].place.Distance < min(s.limit, found[0].place.Distance) {
		c.Note += fmt.Sprintf("; not judged: elsewhere in the travels, up to the hard stops, %s", r.tells(anywhere[0]))
	}
	r.clear(c, found)
}

func closer(p, q encounter) int { return cmp.Compare(p.place.Distance, q.place.Distance) }

// clear judges the nearest of the pairs found, nearest first.
func (r *run) clear(c ledger.Check, found []encounter) {
	if len(found) == 0 {
		r.skip(c.ID, "there are no such parts")
		return
	}
	n := found[0]
	limit := r.m.Design.Assumptions.Limits.Clearance
	c.Caution = roomCaution
	c.Subject = subjectOf(n.a, n.b)
	c.Note = r.tells(n) + "; " + c.Note
	if more := others(found, limit); more != "" {
		c.Note += "; " + more
	}
	w := ledger.Working{
		Formula: "least distance of two parts over all places of the axes that are looked at, each its own; below zero the shift that would part them", Solver: true,
		Source: "geometry: the room that one convex part takes up, seen from another, is convex; its nearest point by Wolfe's method (Mathematical Programming 11 (1976) 128, from memory); limit " + practice,
	}
	for i, a := range r.m.Axes {
		w.Inputs = append(w.Inputs, in(a.Spec.ID, "coordinate of axis "+a.Spec.ID+" there", n.place.At[i], "m", "search"))
	}
	w.Inputs = append(w.Inputs, n.points()...)
	r.decidedBy(c.ID, Decisive{Axis: -1, Feet: [2]int{-1, -1}, Member: -1, Meet: [2]string{n.a.Solid.Group, n.b.Solid.Group}})
	r.add(atLeast(c, n.place.Distance, limit, "m", w), nil)
}

// points are the nearest points of the two parts as inputs of a working.
func (n encounter) points() []ledger.Input {
	var out []ledger.Input
	for _, p := range [2]struct {
		symbol string
		of     *machine.Extent
		at     r3.Vec
	}{{"a", n.a, n.place.A}, {"b", n.b, n.place.B}} {
		for k, v := range [3]float64{p.at.X, p.at.Y, p.at.Z} {
			axis := [3]string{"x", "y", "z"}[k]
			out = append(out, in(p.symbol+"_"+axis, "point of "+p.of.Solid.ID+", world "+strings.ToUpper(axis), v, "m", "geometry"))
		}
	}
	return out
}

// speaks is the order in which the parts of a pair give it its place in the design.
var speaks = [classes]int{withPayload: 0, withTool: 1, withCarrier: 2, amongAxes: 3, withStand: 4}

// subjectOf is the place in the design of that of some parts which speaks first; of
// equal ones, of what moves with more axes.
func subjectOf(parts ...*machine.Extent) string {
	of := slices.MinFunc(parts, func(p, q *machine.Extent) int {
		return cmp.Or(cmp.Compare(speaks[classOf(p)], speaks[classOf(q)]), cmp.Compare(q.Solid.Body, p.Solid.Body))
	})
	group := of.Solid.Group
	switch classOf(of) {
	case withPayload:
		return "task.payload"
	case withTool:
		return "task.tool"
	case withCarrier:
		return "equipment.carriers." + group
	case withStand:
		if group == "stand" {
			return "stand"
		}
	}
	return "axes." + group
}

// tells says which parts come how near where.
func (r *run) tells(n encounter) string {
	how := fmt.Sprintf("%s and %s come within %s mm", n.a.Solid.ID, n.b.Solid.ID, ledger.Number(n.place.Distance*1e3))
	if n.place.Distance <= 0 {
		how = fmt.Sprintf("%s and %s run into each other, by %s mm", n.a.Solid.ID, n.b.Solid.ID, ledger.Number(-n.place.Distance*1e3))
	}
	var at []string
	for i, a := range r.m.Axes {
		at = append(at, fmt.Sprintf("%s %.3f m", a.Spec.ID, n.place.At[i]))
	}
	how += " at " + strings.Join(at, ", ")
	if n.when != "" {
		how += ", " + n.when
	}
	return how
}

// others names what else is too near.
func others(found []encounter, limit float64) string {
	var names []string
	for _, n := range found[1:] {
		if !(n.place.Distance < limit) {
			break
		}
		name := n.a.Solid.ID + " and " + n.b.Solid.ID
		if !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	const most = 3
	switch n := len(names); {
	case n == 0:
		return ""
	case n > most:
		return fmt.Sprintf("too near as well: %s and %d pairs more", strings.Join(names[:most], ", "), n-most)
	}
	return "too near as well: " + strings.Join(names, ", ")
}

// sharedPlaces judges parts of one body: they may touch, they are bolted, but
// not take up the same place.
func (r *run) sharedPlaces(found []encounter) {
	c := newCheck("build.collision.fixed", "stand", "deepest overlap of parts that are fixed to each other")
	c.Note = "none overlap; parts that touch are bolted"
	depth := 0.0
	var points []ledger.Input
	if len(found) > 0 && found[0].place.Distance < -touching {
		n := found[0]
		depth, points = -n.place.Distance, n.points()
		c.Subject = subjectOf(n.b)
		c.Note = fmt.Sprintf("%s and %s take up the same place near world X %.0f, Y %.0f, Z %.0f mm with all axes at 0", n.a.Solid.ID, n.b.Solid.ID, n.place.A.X*1e3, n.place.A.Y*1e3, n.place.A.Z*1e3)
		if more := others(found, -touching); more != "" {
			c.Note += "; " + strings.Replace(more, "too near", "overlapping", 1)
		}
	}
	r.add(atMost(c, depth, touching, "m", ledger.Working{
		Formula: "deepest overlap of two parts of one body", Inputs: points, Solver: true, Source: "geometry", Counted: true,
	}), nil)
}

// touching is how far drawn parts that touch may overlap by rounding, m.
const touching = 1e-6
