package pack

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/drawing"
	"spanwright/machine"
)

// sheetFile is one drawing and where it goes.
type sheetFile struct {
	name  string // without extension
	about string
	sheet *drawing.Sheet
}

// Drawings are the general arrangement, the stand, and one travel sheet for each
// axis, each as PDF, SVG and DXF.
func Drawings(s Source, rows []Row, cuts []Cut) ([]File, error) {
	sheets, err := s.sheets(rows, cuts)
	if err != nil {
		return nil, err
	}
	var out []File
	for _, f := range sheets {
		for _, format := range []struct {
			ext   string
			write func(io.Writer) error
		}{{"pdf", f.sheet.WritePDF}, {"svg", f.sheet.WriteSVG}, {"dxf", f.sheet.WriteDXF}} {
			out = append(out, File{Name: "drawings/" + f.name + "." + format.ext, About: f.about, Write: format.write})
		}
	}
	return out, nil
}

func (s Source) sheets(rows []Row, cuts []Cut) ([]sheetFile, error) {
	m := s.Assessment.Machine
	of := 2 + len(m.Axes)
	arrangement, err := s.arrangement(rows, sheetNumber(1, of))
	if err != nil {
		return nil, fmt.Errorf("general arrangement: %w", err)
	}
	stand, err := s.standDrawing(rows, cuts, sheetNumber(2, of))
	if err != nil {
		return nil, fmt.Errorf("stand drawing: %w", err)
	}
	out := []sheetFile{
		{"general-arrangement", "views, main dimensions, items, foot plan and loads", arrangement},
		{"stand", "the stand with its members", stand},
	}
	for i, a := range m.Axes {
		out = append(out, sheetFile{"travel-" + a.Spec.ID, "travel of axis " + a.Spec.ID + ": limits, switches, hard stops", s.travelSheet(a, sheetNumber(3+i, of))})
	}
	return out, nil
}

func sheetNumber(n, of int) string { return fmt.Sprintf("%d / %d", n, of) }

// newSheet is a sheet with its title block (the mass of what it shows, 0 for none), and the stamp of a design that is
// not released above it.
func (s Source) newSheet(f drawing.Format, kind, number string, scale, kg float64) *drawing.Sheet {
	d := s.Assessment.Machine.Design
	sheet := drawing.NewSheet(f)
	sheet.Maker = s.Tool
	t := drawing.TitleBlock{
		Owner: d.Meta.Owner, Number: d.Meta.Number, Date: d.Meta.Date, SheetNumber: number, Title: d.Name, Approver: d.Meta.Approver, Creator: d.Meta.Creator,
		DocumentType: kind, Reference: d.Meta.Customer, Supplement: "design " + s.Hash[:min(12, len(s.Hash))], Revision: d.Meta.Revision, Language: "en",
		Status: s.status(), Tolerance: "none stated; lengths in mm",
	}
	if kg > 0 {
		t.Mass = fmt.Sprintf("%.0f kg", kg)
	}
	if scale > 0 {
		t.Scale = drawing.ScaleName(scale)
	}
	sheet.TitleBlock(t)
	if !s.Released() {
		r := stampRect(sheet)
		sheet.Rect(drawing.Visible, r)
		sheet.Take(r)
		sheet.Write(drawing.Text{At: r.Min.Add(4, 3.5), Height: drawing.Huge, String: NotReleased})
		sheet.Write(drawing.Text{At: r.Min.Add(10+drawing.TextWidth(NotReleased, drawing.Huge), 5), Height: drawing.Normal, String: fmt.Sprintf("checks over their limits: %d", s.Assessment.Counts.Over)})
	}
	return sheet
}

func stampRect(sheet *drawing.Sheet) drawing.Rect {
	t := sheet.TitleRect()
	return drawing.Rect{Min: drawing.Point{X: t.Min.X, Y: t.Max.Y + 3}, Max: drawing.Point{X: t.Max.X, Y: t.Max.Y + 17}}
}

// cornerTop is the top of title block and stamp.
func (s Source) cornerTop(f drawing.Format) float64 {
	sheet := drawing.Sheet{Format: f}
	if s.Released() {
		return sheet.TitleRect().Max.Y
	}
	return stampRect(&sheet).Max.Y
}

func (s Source) status() string {
	if s.Assessment.RepresentativeParts() > 0 {
		return "not for manufacture: representative data"
	}
	if !s.Released() {
		return "not for manufacture: checks over"
	}
	return "for approval"
}

// inMM prints a length in mm to a tenth, without a trailing zero.
func inMM(metres float64) string {
	return strconv.FormatFloat(round(metres*1000, 1)+0, 'f', -1, 64) // + 0: no minus zero
}

// solidBody is a solid as the box, prism or cylinder that drawings show, shifted.
// Profiles are drawn as the box round their outline.
func solidBody(s machine.Solid, by r3.Vec) drawing.Body {
	x, z := r3.Unit(s.X), r3.Unit(s.Z)
	y := r3.Cross(z, x)
	origin := r3.Add(s.Origin, by)
	switch s.Kind {
	case machine.Cylinder:
		return drawing.Cylinder(origin, x, y, z, s.Length, s.Size.X)
	case machine.Prism:
		return drawing.Box(origin, x, y, z, r3.Vec{X: s.Length, Y: s.Profile.Size[0], Z: s.Profile.Size[1]})
	}
	return drawing.Box(r3.Sub(origin, r3.Scale(s.Size.X/2, x)), x, y, z, s.Size)
}

// bodiesAt is the bodies of solids at a pose.
func bodiesAt(m *machine.Machine, solids []machine.Solid, q []float64) []drawing.Body {
	var out []drawing.Body
	for _, s := range solids {
		out = append(out, solidBody(s, m.Displacement(s.Body, q)))
	}
	return out
}

// choose keeps the solids that a test accepts.
func choose(solids []machine.Solid, keep func(machine.Solid) bool) []machine.Solid {
	var out []machine.Solid
	for _, s := range solids {
		if keep(s) {
			out = append(out, s)
		}
	}
	return out
}

// pose is all axes at a share of their travel.
func pose(m *machine.Machine, share float64) []float64 {
	var q []float64
	for _, a := range m.Axes {
		q = append(q, share*a.Spec.Travel)
	}
	return q
}

// corners are all poses with every axis at one of its ends.
func corners(m *machine.Machine) [][]float64 {
	var out [][]float64
	for k := range 1 << len(m.Axes) {
		q := pose(m, 0)
		for i, a := range m.Axes {
			if k>>i&1 == 1 {
				q[i] = a.Spec.Travel
			}
		}
		out = append(out, q)
	}
	return out
}

// extent is the upright box round points.
type extent struct{ min, max r3.Vec }

func noExtent() extent {
	inf := math.Inf(1)
	return extent{r3.Vec{X: inf, Y: inf, Z: inf}, r3.Vec{X: -inf, Y: -inf, Z: -inf}}
}

func (e *extent) add(p r3.Vec) {
	e.min = r3.Vec{X: min(e.min.X, p.X), Y: min(e.min.Y, p.Y), Z: min(e.min.Z, p.Z)}
	e.max = r3.Vec{X: max(e.max.X, p.X), Y: max(e.max.Y, p.Y), Z: max(e.max.Z, p.Z)}
}

func (e *extent) addBodies(bodies []drawing.Body) {
	for _, b := range bodies {
		for _, p := range b.Points {
			e.add(p)
		}
	}
}

// on is the extent as a view shows it.
func (e extent) on(v drawing.View) drawing.Rect {
	a, b := v.On(e.min), v.On(e.max)
	return drawing.Rect{
		Min: drawing.Point{X: min(a.X, b.X), Y: min(a.Y, b.Y)}, Max: drawing.Point{X: max(a.X, b.X), Y: max(a.Y, b.Y)},
	}
}

// workSpace is the extent of the tool point over the programmed travels.
func workSpace(m *machine.Machine) extent {
	e := noExtent()
	for _, q := range corners(m) {
		e.add(m.ToolPoint(q))
	}
	return e
}

// overall is the extent of the machine with all axes run to every end of their
// programmed travel, without the payload.
func overall(m *machine.Machine) extent {
	solids := choose(m.Solids(), func(s machine.Solid) bool { return s.Group != "payload" })
	e := noExtent()
	for _, q := range corners(m) {
		e.addBodies(bodiesAt(m, solids, q))
	}
	e.add(r3.Vec{X: e.min.X, Y: e.min.Y}) // the floor
	return e
}

// thingOf says what solids show an item of the parts list.
var thingOf = map[string]machine.Thing{
	"foot": machine.ThingFoot, "joint": machine.ThingJoint, "clamp": machine.ThingClamp, "plate": machine.ThingMate,
	"carrier": machine.ThingCarrier, "bumper": machine.ThingStop, "motor": machine.ThingMotor, "gear": machine.ThingGear, "shaft": machine.ThingShaft,
}

// drawnBy tells which solids show an item of the parts list. An axis is shown by
// its beam, a brake by the motor that it sits in.
func drawnBy(r Row, s machine.Solid) bool {
	switch r.Kind {
	case "profile":
		return slices.Contains(r.UsedIn, s.ID)
	case "axis":
		return s.Thing == machine.ThingProfile && slices.Contains(r.UsedIn, s.Group)
	case "brake":
		return s.Thing == machine.ThingMotor && slices.Contains(r.UsedIn, s.Group)
	}
	return s.Thing != "" && s.Thing == thingOf[r.Kind] && s.Part == r.ID
}

// balloonItems are the items that a scene shows: one balloon each where it can be
// seen, in the plane of the view; items of one body share a leader. The numbers
// of those without are returned too.
func balloonItems(scene *drawing.Scene, solids []machine.Solid, rows []Row) (items []drawing.Item, without []int) {
	at := map[int]int{} // solid -> balloon
	for _, r := range rows {
		label := strconv.Itoa(r.Item)
		best, found := drawing.Point{}, -1
		for i, s := range solids {
			if !drawnBy(r, s) {
				continue
			}
			if k, shared := at[i]; shared && r.Kind != "profile" {
				items[k].Labels = append(items[k].Labels, label)
				found = i
				break
			}
			if mark, ok := scene.Mark(i); ok {
				best, found = mark, i
				break
			}
		}
		switch _, shared := at[found]; {
		case found < 0:
			without = append(without, r.Item)
		case !shared:
			at[found] = len(items)
			items = append(items, drawing.Item{At: best, Labels: []string{label}})
		}
	}
	return items, without
}

// itemNumbers prints numbers with runs drawn together: 3, 5 to 8.
func itemNumbers(numbers []int) string {
	var out []string
	for i := 0; i < len(numbers); {
		j := i
		for j+1 < len(numbers) && numbers[j+1] == numbers[j]+1 {
			j++
		}
		switch {
		case j > i+1:
			out = append(out, fmt.Sprintf("%d to %d", numbers[i], numbers[j]))
		default:
			for k := i; k <= j; k++ {
				out = append(out, strconv.Itoa(numbers[k]))
			}
		}
		i = j + 1
	}
	return strings.Join(out, ", ")
}
