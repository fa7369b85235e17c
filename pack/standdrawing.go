package pack

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/drawing"
	"spanwright/machine"
)

var memberColumns = []drawing.Column{
	{Title: "item", Width: 10}, {Title: "member", Width: 40}, {Title: "profile", Width: 38}, {Title: "length", Width: 16, Right: true},
	{Title: "starts at x, y, z", Width: 38}, {Title: "ends at x, y, z", Width: 38}, {Title: "sawn", Width: 36},
}

// mostMembers is how many rows the table of members keeps where even the largest
// sheet has no room for all of them.
const mostMembers = 100

// standDrawing is the stand alone: three views, an isometric view with item
// balloons, and the table of its members.
func (s Source) standDrawing(rows []Row, cuts []Cut, number string) (*drawing.Sheet, error) {
	m := s.Assessment.Machine
	solids := choose(m.Solids(), func(s machine.Solid) bool { return s.Group == "stand" })
	e := noExtent()
	e.addBodies(bodiesAt(m, solids, pose(m, 0)))
	e.add(r3.Vec{X: e.min.X, Y: e.min.Y})
	make := func(title string, v drawing.View, ladders func(drawing.Placed) []drawing.Ladder) panel {
		return panel{title: title, view: v, bounds: e.on(v), ladders: ladders, draw: func(sheet *drawing.Sheet, p drawing.Placed) {
			segments(sheet, drawing.Visible, p, bodiesAt(m, solids, pose(m, 0)))
		}}
	}
	d := standDimensions{m: m, solids: solids, e: e}
	front, top, left := make("Front", drawing.Front, d.front), make("Top", drawing.Top, d.top), make("From the left", drawing.FromLeft, d.left)
	members := memberRows(m, cuts)
	notes := []string{
		"Lengths in mm; places seen from the floor under the middle of the stand: x to the right, y to the rear, z up.",
		"Members start and end on their centre lines at the sawn faces; sawn to ±0.2 unless the cut list says otherwise.",
		"Profiles are drawn as boxes. Joints are in the parts list; their screws and torques in the commissioning sheet.",
		fmt.Sprintf("Mass of the stand with what is fixed to it: %.1f kg.", float64(s.Assessment.Results.Stand.Mass)),
	}
	width := 0.0
	for _, c := range memberColumns {
		width += c.Width
	}
	column := func(rows int) float64 { return titleRoom + drawing.TableHeight(rows) + notesHeight(notes) }
	l, err := arrange(front, top, left, width, column(len(members)), 100, s.cornerTop)
	if errors.Is(err, errNoRoom) && len(members) > mostMembers {
		notes = append(notes, fmt.Sprintf("The table has room for %d of %d members: the cut list has all of them.", mostMembers, len(members)))
		members = members[:mostMembers]
		l, err = arrange(front, top, left, width, column(mostMembers), 100, s.cornerTop)
	}
	if err != nil {
		return nil, err
	}
	sheet := s.newSheet(l.format, "Stand drawing", number, l.denominator, float64(s.Assessment.Results.Stand.Mass))
	over := drawPanels(sheet, []panel{front, top, left}, []drawing.Placed{l.front, l.top, l.left})
	without, err := drawPicture(sheet, l.picture, m, solids, choiceOf(rows, solids))
	if err != nil {
		return nil, err
	}
	if len(without) > 0 {
		notes = append(notes, "Items without a balloon: "+itemNumbers(without)+".")
	}
	for _, d := range over {
		notes = append(notes, "Dimension without room in the views: "+d.Text+".")
	}
	at := drawing.Point{X: l.column.Min.X, Y: l.column.Max.Y}
	sheet.ViewTitle(at.Add(0, -drawing.Large-1), "Members")
	table := sheet.Table(at.Add(0, -titleRoom), memberColumns, members)
	writeNotes(sheet, table.Min.Add(0, -4), width, notes)
	return sheet, nil
}

// choiceOf are the items that some of the solids show.
func choiceOf(rows []Row, solids []machine.Solid) []Row {
	var out []Row
	for _, r := range rows {
		for _, s := range solids {
			if drawnBy(r, s) {
				out = append(out, r)
				break
			}
		}
	}
	return out
}

// memberRows are the stand's members with where they lie.
func memberRows(m *machine.Machine, cuts []Cut) [][]string {
	item, ends := map[string]int{}, map[string][2]string{}
	for _, c := range cuts {
		item[c.ID], ends[c.ID] = c.Item, c.Ends
	}
	var out [][]string
	bars := m.Bars()
	slices.SortStableFunc(bars, func(a, b machine.Bar) int { return cmp.Compare(item[a.ID], item[b.ID]) })
	for _, b := range bars {
		if b.Axis >= 0 {
			continue
		}
		sawn := cutOnly(ends[b.ID][0])
		if other := cutOnly(ends[b.ID][1]); other != sawn {
			sawn += " / " + other
		}
		out = append(out, []string{fmt.Sprint(item[b.ID]), b.ID, b.Profile.ID, inMM(b.Length()), place3(b.From), place3(b.To), sawn})
	}
	return out
}

// cutOnly is how an end is sawn, without which joint comes on it.
func cutOnly(end string) string {
	cut, _, _ := strings.Cut(end, ", for ")
	return cut
}

func place3(p r3.Vec) string {
	return inMM(p.X) + ", " + inMM(p.Y) + ", " + inMM(p.Z)
}

// standDimensions are the dimensions of a stand's views.
type standDimensions struct {
	m      *machine.Machine
	solids []machine.Solid
	e      extent
}

// centres are the distinct places of the centre lines of the bars that run along
// a direction, by one coordinate.
func (d standDimensions) centres(runs, coordinate func(r3.Vec) float64) []float64 {
	var out []float64
	for _, s := range d.solids {
		if s.Kind == machine.Prism && math.Abs(runs(s.X)) > parallel {
			out = append(out, coordinate(s.Origin))
		}
	}
	return distinct(out)
}

// feet are the distinct places of the feet across the stand.
func (d standDimensions) feet() []float64 {
	var out []float64
	for _, s := range d.solids {
		if s.Thing == machine.ThingFoot && s.Of == "" {
			out = append(out, s.Origin.Y)
		}
	}
	return distinct(out)
}

func alongX(v r3.Vec) float64 { return v.X }
func alongY(v r3.Vec) float64 { return v.Y }
func alongZ(v r3.Vec) float64 { return v.Z }

func (d standDimensions) front(p drawing.Placed) []drawing.Ladder {
	r := p.Rect()
	below := drawing.Ladder{Side: drawing.Below, Base: r.Min.Y, Measures: append(
		chain(p, drawing.Below, d.centres(alongZ, alongX), 0),
		span(p, drawing.Below, d.e.min, r3.Vec{X: d.e.max.X, Z: d.e.min.Z}, ""),
	)}
	left := drawing.Ladder{Side: drawing.LeftOf, Base: r.Min.X, Measures: []drawing.Measure{
		span(p, drawing.LeftOf, r3.Vec{X: d.e.min.X}, r3.Vec{X: d.e.min.X, Z: d.e.max.Z}, ""),
	}}
	for _, z := range d.centres(alongX, alongZ) {
		left.Measures = append(left.Measures, span(p, drawing.LeftOf, r3.Vec{X: d.e.min.X}, r3.Vec{X: d.e.min.X, Z: z}, "centre"))
	}
	return []drawing.Ladder{below, left}
}

func (d standDimensions) left(p drawing.Placed) []drawing.Ladder {
	r := p.Rect()
	below := drawing.Ladder{Side: drawing.Below, Base: r.Min.Y, Measures: []drawing.Measure{
		span(p, drawing.Below, d.e.min, r3.Vec{Y: d.e.max.Y}, ""),
	}}
	for i, ys := 1, d.feet(); i < len(ys); i++ {
		below.Measures = append(below.Measures, span(p, drawing.Below, r3.Vec{Y: ys[i-1]}, r3.Vec{Y: ys[i]}, ""))
	}
	right := drawing.Ladder{Side: drawing.RightOf, Base: r.Max.X}
	shown := d.centres(alongX, alongZ)
	for _, z := range d.centres(alongY, alongZ) {
		known := false
		for _, o := range shown {
			known = known || math.Abs(o-z) < 1e-4
		}
		if !known {
			right.Measures = append(right.Measures, span(p, drawing.RightOf, r3.Vec{Y: d.e.min.Y}, r3.Vec{Y: d.e.min.Y, Z: z}, "centre"))
		}
	}
	return []drawing.Ladder{below, right}
}

// top repeats nothing of the other views: cross members are where the legs are.
func (d standDimensions) top(drawing.Placed) []drawing.Ladder { return nil }
