package pack

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/assess"
	"spanwright/drawing"
	"spanwright/machine"
)

// arrangement draws one machine's general arrangement.
type arrangement struct {
	m       *machine.Machine
	solids  []machine.Solid
	overall extent
	space   extent // of the tool point
	shown   extent // of everything drawn
}

const columnWidth = 116.0 // mm, of tables and notes

// arrangement is the general arrangement: three views at mid travel with the
// ends of travel as ghosts, an isometric view with item balloons, foot plan and
// loads, notes.
func (s Source) arrangement(rows []Row, number string) (*drawing.Sheet, error) {
	m := s.Assessment.Machine
	a := arrangement{m: m, solids: m.Solids(), overall: overall(m), space: workSpace(m)}
	a.shown = a.overall
	a.shown.addBodies(bodiesAt(m, a.solids, pose(m, 0.5)))
	front, top, left := a.panels()
	loads := s.Assessment.Results.Stand.FootLoads
	notes := a.notes(s)
	const planRoom = 95.0 // foot plan with its dimensions and title
	columnHeight := planRoom + drawing.TableHeight(len(loads)) + 20 + notesHeight(notes)
	l, err := arrange(front, top, left, columnWidth, columnHeight, 120, s.cornerTop)
	if err != nil {
		return nil, err
	}
	sheet := s.newSheet(l.format, "General arrangement", number, l.denominator, m.Mass())
	over := drawPanels(sheet, []panel{front, top, left}, []drawing.Placed{l.front, l.top, l.left})
	without, err := drawPicture(sheet, l.picture, m, a.solids, rows)
	if err != nil {
		return nil, err
	}
	at := drawing.Point{X: l.column.Min.X, Y: l.column.Max.Y}
	at.Y = a.footPlan(sheet, drawing.Rect{Min: at.Add(0, -planRoom), Max: at.Add(columnWidth, 0)}, loads) - 8
	sheet.ViewTitle(at.Add(0, 2), "Foot loads")
	at = sheet.Table(at, footColumns, footRows(loads)).Min.Add(0, -4)
	notes = append(notes, "Balloons carry the item numbers of the parts list. Not drawn as bodies: items "+itemNumbers(without)+".")
	for _, d := range over {
		notes = append(notes, "Dimension without room in the views: "+d.Text+".")
	}
	writeNotes(sheet, at, columnWidth, notes)
	return sheet, nil
}

// panels are the three views.
func (a arrangement) panels() (front, top, left panel) {
	make := func(title string, v drawing.View, ladders func(drawing.Placed) []drawing.Ladder) panel {
		return panel{
			title: title, view: v, bounds: a.shown.on(v), ladders: ladders,
			draw: func(sheet *drawing.Sheet, p drawing.Placed) { a.drawView(sheet, p) },
		}
	}
	return make("Front", drawing.Front, a.frontLadders), make("Top", drawing.Top, a.topLadders), make("From the left", drawing.FromLeft, a.leftLadders)
}

// drawView draws the machine at mid travel, the ghosts and the work space. What
// fails to close as a body has been refused by the isometric view before.
func (a arrangement) drawView(sheet *drawing.Sheet, p drawing.Placed) {
	isLoad := func(s machine.Solid) bool { return s.Group == "payload" }
	mid := pose(a.m, 0.5)
	fixed := choose(a.solids, func(s machine.Solid) bool { return !isLoad(s) })
	segments(sheet, drawing.Visible, p, bodiesAt(a.m, fixed, mid))
	segments(sheet, drawing.Ghost, p, bodiesAt(a.m, choose(a.solids, isLoad), mid))
	moving := choose(fixed, func(s machine.Solid) bool { return s.Body > 0 })
	for _, share := range []float64{0, 1} {
		segments(sheet, drawing.Ghost, p, bodiesAt(a.m, moving, pose(a.m, share)))
	}
	sheet.Rect(drawing.Space, onSheet(p, a.space))
	if p.View == drawing.Front || p.View == drawing.FromLeft {
		r := p.Rect()
		floor := p.On(r3.Vec{}).Y
		sheet.Line(drawing.Thin, drawing.Point{X: r.Min.X - 4, Y: floor}, drawing.Point{X: r.Max.X + 4, Y: floor})
	}
}

func onSheet(p drawing.Placed, e extent) drawing.Rect {
	r := e.on(p.View)
	return drawing.Rect{Min: p.At(r.Min), Max: p.At(r.Max)}
}

func segments(sheet *drawing.Sheet, l drawing.Layer, p drawing.Placed, bodies []drawing.Body) {
	if scene, err := drawing.NewScene(p.View, bodies); err == nil {
		sheet.Segments(l, p, scene.Edges())
	}
}

// span is a dimension of a view between two points of the world.
func span(p drawing.Placed, side drawing.Side, from, to r3.Vec, label string) drawing.Measure {
	return measure(p, side, p.View.On(from), p.View.On(to), label)
}

func (a arrangement) frontLadders(p drawing.Placed) []drawing.Ladder {
	o := a.overall
	r := p.Rect()
	below := drawing.Ladder{Side: drawing.Below, Base: r.Min.Y, Measures: []drawing.Measure{
		span(p, drawing.Below, o.min, r3.Vec{X: o.max.X, Z: o.min.Z}, ""),
	}}
	if b, ok := a.standExtent(); ok && b.max.X-b.min.X < o.max.X-o.min.X-1e-6 {
		below.Measures = append(below.Measures, span(p, drawing.Below, r3.Vec{X: b.min.X}, r3.Vec{X: b.max.X}, "stand"))
	}
	left := drawing.Ladder{Side: drawing.LeftOf, Base: r.Min.X, Measures: []drawing.Measure{
		span(p, drawing.LeftOf, r3.Vec{X: o.min.X}, r3.Vec{X: o.min.X, Z: o.max.Z}, ""),
	}}
	if top, ok := a.runwayTop(); ok {
		left.Measures = append(left.Measures, span(p, drawing.LeftOf, r3.Vec{X: top.X}, top, "runway"))
	}
	right := drawing.Ladder{Side: drawing.RightOf, Base: r.Max.X}
	low, high := a.space.min.Z, a.space.max.Z
	edge := a.space.max.X
	right.Measures = append(right.Measures, span(p, drawing.RightOf, r3.Vec{X: o.max.X}, r3.Vec{X: edge, Z: low}, "tool min"))
	if high > low {
		right.Measures = append(right.Measures, span(p, drawing.RightOf, r3.Vec{X: o.max.X}, r3.Vec{X: edge, Z: high}, "tool max"))
	}
	right.Measures = append(right.Measures, a.travels(p, drawing.RightOf, func(d r3.Vec) bool { return math.Abs(d.Z) > parallel })...)
	return []drawing.Ladder{below, left, right}
}

func (a arrangement) topLadders(p drawing.Placed) []drawing.Ladder {
	r := p.Rect()
	below := drawing.Ladder{Side: drawing.Below, Base: r.Min.Y}
	below.Measures = append(below.Measures, a.travels(p, drawing.Below, func(d r3.Vec) bool { return math.Abs(d.X) > parallel })...)
	left := drawing.Ladder{Side: drawing.LeftOf, Base: r.Min.X}
	left.Measures = append(left.Measures, a.travels(p, drawing.LeftOf, func(d r3.Vec) bool { return math.Abs(d.Y) > parallel })...)
	if b, ok := a.standExtent(); ok {
		from := r3.Vec{X: b.min.X, Y: b.min.Y}
		below.Measures = append(below.Measures, span(p, drawing.Below, from, a.space.min, ""))
		left.Measures = append(left.Measures, span(p, drawing.LeftOf, from, a.space.min, ""))
	}
	return []drawing.Ladder{below, left}
}

func (a arrangement) leftLadders(p drawing.Placed) []drawing.Ladder {
	o := a.overall
	below := drawing.Ladder{Side: drawing.Below, Base: p.Rect().Min.Y, Measures: []drawing.Measure{
		span(p, drawing.Below, o.min, r3.Vec{Y: o.max.Y, Z: o.min.Z}, ""),
	}}
	if b, ok := a.standExtent(); ok && b.max.Y-b.min.Y < o.max.Y-o.min.Y-1e-6 {
		below.Measures = append(below.Measures, span(p, drawing.Below, r3.Vec{Y: b.min.Y}, r3.Vec{Y: b.max.Y}, "stand"))
	}
	for _, x := range a.m.Axes {
		if len(x.Beams) == 2 && math.Abs(x.Side.Y) > parallel {
			from := a.m.Nodes[a.m.Members[x.Beams[0]].From].At
			to := a.m.Nodes[a.m.Members[x.Beams[1]].From].At
			below.Measures = append(below.Measures, span(p, drawing.Below, from, to, "runways"))
		}
	}
	return []drawing.Ladder{below}
}

// parallel is the cosine above which an axis is seen in true length.
const parallel = 0.9999

// travels are the dimensions of the travels of the axes that a view shows.
func (a arrangement) travels(p drawing.Placed, side drawing.Side, shows func(r3.Vec) bool) []drawing.Measure {
	var out []drawing.Measure
	for _, x := range a.m.Axes {
		if shows(x.Dir) {
			at := a.space.min
			if side == drawing.RightOf {
				at.X = a.space.max.X
			}
			to := r3.Add(at, r3.Scale(x.Spec.Travel, r3.Vec{X: math.Abs(x.Dir.X), Y: math.Abs(x.Dir.Y), Z: math.Abs(x.Dir.Z)}))
			out = append(out, span(p, side, at, to, x.Spec.ID+" travel"))
		}
	}
	return out
}

// runwayTop is the left end of the top of the first axis's beams.
func (a arrangement) runwayTop() (r3.Vec, bool) {
	first := a.m.Axes[0].Spec.ID
	e := noExtent()
	e.addBodies(bodiesAt(a.m, choose(a.solids, func(s machine.Solid) bool { return s.Group == first && s.Body == 0 && s.Kind == machine.Prism }), pose(a.m, 0)))
	return r3.Vec{X: e.min.X, Y: e.min.Y, Z: e.max.Z}, e.max.Z > 0
}

// standExtent is what the stand covers.
func (a arrangement) standExtent() (extent, bool) {
	stand := choose(a.solids, func(s machine.Solid) bool { return s.Group == "stand" })
	e := noExtent()
	e.addBodies(bodiesAt(a.m, stand, pose(a.m, 0)))
	return e, len(stand) > 0
}

// drawPicture draws the isometric view with balloons and returns the items that
// have none.
func drawPicture(sheet *drawing.Sheet, r drawing.Rect, m *machine.Machine, solids []machine.Solid, rows []Row) ([]int, error) {
	scene, err := drawing.NewScene(drawing.Isometric, bodiesAt(m, solids, pose(m, 0.5)))
	if err != nil {
		return nil, err
	}
	items, without := balloonItems(scene, solids, rows)
	most := 1
	for _, it := range items {
		most = max(most, len(it.Labels))
	}
	p := picturePlace(r, scene.Bounds(), drawing.BalloonMargin(most))
	for i := range items {
		items[i].At = p.At(items[i].At)
	}
	sheet.Segments(drawing.Visible, p, scene.Edges())
	for _, it := range sheet.Balloons(p.Rect(), items) {
		for _, label := range it.Labels {
			if n, err := strconv.Atoi(label); err == nil {
				without = append(without, n)
			}
		}
	}
	around := p.Rect().Grow(drawing.BalloonMargin(most))
	sheet.ViewTitle(drawing.Point{X: around.Min.X, Y: around.Max.Y + 1}, "Isometric view, not to scale")
	slices.Sort(without)
	return without, nil
}

// notes are the words beside the views.
func (a arrangement) notes(s Source) []string {
	m := a.m
	o := a.overall
	out := []string{
		"Lengths in mm. First angle. Drawn at mid travel; ends of travel with double-dotted chain lines, tool point's work space with dotted chain lines.",
		fmt.Sprintf("Overall %s x %s x %s (X x Y x Z) with all axes at their ends, without payload.", inMM(o.max.X-o.min.X), inMM(o.max.Y-o.min.Y), inMM(o.max.Z-o.min.Z)),
		fmt.Sprintf("Mass %.1f kg without payload; payload %.1f kg.", m.Mass(), m.Payload.Kg),
		"\"tool min\" and \"tool max\": clear height under the tool point at the ends of its travel; \"runway\": top of the first axis's beam.",
		"Bought parts are drawn by their envelope. Wiring, switches and guards are not drawn: keep room for them.",
		"Foot loads cover all poses and load cases of the assessment. Floor, anchors and guards: by local codes and a qualified person.",
	}
	for _, x := range m.Axes {
		if d := x.Dir; math.Max(math.Abs(d.X), math.Max(math.Abs(d.Y), math.Abs(d.Z))) <= parallel {
			out = append(out, fmt.Sprintf("Axis %s is oblique: travel %s along its own direction.", x.Spec.ID, inMM(x.Spec.Travel)))
		}
	}
	if n := s.Assessment.RepresentativeParts(); n > 0 {
		out = append(out, fmt.Sprintf("%d of %d parts carry representative data: replace by supplier data, then issue this drawing again.", n, len(m.Used)))
	}
	return out
}

// notesHeight is the room for notes, with two more lines for what only the layout tells.
func notesHeight(notes []string) float64 {
	h := titleRoom
	for _, n := range notes {
		h += float64(len(drawing.Wrap("9 "+n, drawing.Small, columnWidth-6)))*1.7*drawing.Small + 1
	}
	return h + 4*1.7*drawing.Small
}

// writeNotes numbers and writes notes downward from the top left corner.
func writeNotes(sheet *drawing.Sheet, at drawing.Point, width float64, notes []string) {
	sheet.ViewTitle(at.Add(0, -drawing.Large-1), "Notes")
	at = at.Add(0, -drawing.Large-3)
	for i, n := range notes {
		sheet.Write(drawing.Text{At: at.Add(0, -1.2*drawing.Small), Height: drawing.Small, String: strconv.Itoa(i + 1)})
		at.Y -= sheet.Paragraph(at.Add(6, 0), width-6, drawing.Small, n) + 1
	}
}

var footColumns = []drawing.Column{
	{Title: "no.", Width: 9}, {Title: "foot", Width: 39}, {Title: "x", Width: 17, Right: true}, {Title: "y", Width: 17, Right: true},
	{Title: "min N", Width: 17, Right: true}, {Title: "max N", Width: 17, Right: true},
}

func footRows(loads []assess.FootLoad) [][]string {
	var out [][]string
	for i, f := range loads {
		out = append(out, []string{
			footNumber(i), strings.TrimSuffix(f.Foot, ".foot"), inMM(float64(f.X)), inMM(float64(f.Y)), newtons(f.Min), newtons(f.Max),
		})
	}
	return out
}

func footNumber(i int) string { return "F" + strconv.Itoa(i+1) }

// newtons prints a force; what was not computed is unknown.
func newtons(n assess.Number) string {
	if math.IsNaN(float64(n)) || math.IsInf(float64(n), 0) {
		return "unknown"
	}
	return strconv.FormatFloat(math.Round(float64(n)), 'f', -1, 64)
}
