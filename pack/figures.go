package pack

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/machine"
	"spanwright/report"
	"spanwright/wording"
)

// Colours of figures: ink on paper, one accent.
const (
	ink    = "#1f2623"
	paper  = "#fbfaf6"
	shade  = "#e8e6dc"
	accent = "#9c4a1a"
	faint  = "#9aa39c"
)

// machineFigure draws the machine as seen from above its front left corner:
// faces from the farthest to the nearest, so that near ones hide far ones.
func (s Source) machineFigure() report.Figure {
	m := s.Assessment.Machine
	q := make([]float64, len(m.Axes))
	for i, a := range m.Axes {
		q[i] = a.Spec.Travel / 2
	}
	type face struct {
		depth  float64
		points [][2]float64
		fill   string
	}
	var faces []face
	lowX, lowY, highX, highY := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, solid := range m.Solids() {
		for _, f := range boxFaces(solid, m.Displacement(solid.Body, q)) {
			if r3.Dot(f.normal, view.toEye) <= 0 {
				continue
			}
			out := face{fill: paper}
			if f.normal.Z > 0.5 {
				out.fill = shade
			}
			for _, p := range f.points {
				x, y := view.project(p)
				out.points = append(out.points, [2]float64{x, y})
				lowX, lowY, highX, highY = math.Min(lowX, x), math.Min(lowY, y), math.Max(highX, x), math.Max(highY, y)
				out.depth += r3.Dot(p, view.toEye) / 4
			}
			faces = append(faces, out)
		}
	}
	slices.SortStableFunc(faces, func(a, b face) int { return cmp.Compare(a.depth, b.depth) })
	const wide, high = 170.0, 110.0
	scale := math.Min(wide/(highX-lowX), high/(highY-lowY))
	fig := report.Figure{Width: wide, Height: (highY - lowY) * scale, Caption: fmt.Sprintf("%s, all axes at mid travel; simplified solids", m.Design.Name)}
	shift := (wide - (highX-lowX)*scale) / 2
	for _, f := range faces {
		sh := report.Shape{Fill: f.fill, Stroke: ink, Wide: 0.18}
		for _, p := range f.points {
			sh.Points = append(sh.Points, [2]float64{(p[0]-lowX)*scale + shift, (highY - p[1]) * scale})
		}
		fig.Shapes = append(fig.Shapes, sh)
	}
	return fig
}

// eye looks along a direction; x to the right, y up.
type eye struct{ toEye, right, up r3.Vec }

func (e eye) project(p r3.Vec) (x, y float64) { return r3.Dot(p, e.right), r3.Dot(p, e.up) }

// view is an axonometric view from the front, the left and above.
var view = newEye(r3.Vec{X: -0.55, Y: -1, Z: 0.5})

func newEye(to r3.Vec) eye {
	to = r3.Unit(to)
	right := r3.Unit(r3.Cross(r3.Vec{Z: 1}, to))
	return eye{to, right, r3.Cross(to, right)}
}

type boxFace struct {
	normal r3.Vec
	points []r3.Vec
}

// boxFaces are the six faces of the box around a solid.
func boxFaces(s machine.Solid, shift r3.Vec) []boxFace {
	centre, half := s.Origin, r3.Scale(0.5, s.Size)
	switch s.Kind {
	case machine.Prism:
		centre = r3.Add(s.Origin, r3.Scale(s.Length/2, s.X))
		half = r3.Vec{X: s.Length / 2, Y: s.Profile.Size[0] / 2, Z: s.Profile.Size[1] / 2}
	case machine.Cylinder:
		centre = r3.Add(s.Origin, r3.Scale(s.Length/2, s.X))
		half = r3.Vec{X: s.Length / 2, Y: s.Size.X / 2, Z: s.Size.X / 2}
	}
	centre = r3.Add(centre, shift)
	axes := [3]r3.Vec{r3.Scale(half.X, s.X), r3.Scale(half.Y, s.Y), r3.Scale(half.Z, s.Z)}
	var out []boxFace
	for k := range axes {
		u, v := axes[(k+1)%3], axes[(k+2)%3]
		for _, sign := range [2]float64{1, -1} {
			mid := r3.Add(centre, r3.Scale(sign, axes[k]))
			corner := func(a, b float64) r3.Vec { return r3.Add(mid, r3.Add(r3.Scale(a, u), r3.Scale(b, v))) }
			n := r3.Scale(sign, axes[k])
			if r3.Norm(n) > 0 {
				n = r3.Unit(n)
			}
			out = append(out, boxFace{n, []r3.Vec{corner(1, 1), corner(-1, 1), corner(-1, -1), corner(1, -1)}})
		}
	}
	return out
}

// chart is a plot area in a figure.
type chart struct {
	fig                    *report.Figure
	x, y, w, h             float64 // mm
	lowX, highX, lowY, top float64
}

func (c chart) at(x, y float64) [2]float64 {
	return [2]float64{c.x + (x-c.lowX)/(c.highX-c.lowX)*c.w, c.y + c.h - (y-c.lowY)/(c.top-c.lowY)*c.h}
}

func (c chart) frame(title string) {
	c.fig.Shapes = append(c.fig.Shapes,
		report.Shape{Points: [][2]float64{{c.x, c.y}, {c.x + c.w, c.y}, {c.x + c.w, c.y + c.h}, {c.x, c.y + c.h}}, Fill: paper, Stroke: faint, Wide: 0.15},
		report.Shape{Points: [][2]float64{{c.x, c.y - 1}}, Text: title, Size: 2.8},
		report.Shape{Points: [][2]float64{{c.x - 1.5, c.y + 2.2}}, Text: fmt.Sprintf("%.3g", c.top), Size: 2.4, Anchor: "end"},
		report.Shape{Points: [][2]float64{{c.x - 1.5, c.y + c.h}}, Text: fmt.Sprintf("%.3g", c.lowY), Size: 2.4, Anchor: "end"},
	)
}

// cycleFigure plots position and speed of every axis over the cycle.
func (s Source) cycleFigure() report.Figure {
	m, line := s.Assessment.Machine, s.Assessment.Timeline
	const high, gap, left, wide = 20.0, 8.0, 16.0, 150.0
	fig := report.Figure{Width: 170, Height: float64(2*len(m.Axes))*(high+gap) + 8, Caption: fmt.Sprintf("Position and speed of the axes over one cycle of %.3f s", line.Duration)}
	y := 5.0
	for _, a := range m.Axes {
		curve := line.Curve(a.Spec.ID)
		var place, speed [][2]float64
		const samples = 300
		most := 0.0
		for k := range samples + 1 {
			t := line.Duration * float64(k) / samples
			st := curve.At(math.Min(t, line.Duration*(1-1e-9)))
			place, speed = append(place, [2]float64{t, st.Position}), append(speed, [2]float64{t, st.Speed})
			most = math.Max(most, math.Abs(st.Speed))
		}
		for _, p := range []struct {
			title    string
			values   [][2]float64
			low, top float64
		}{{a.Spec.ID + " position, m", place, 0, a.Spec.Travel}, {a.Spec.ID + " speed, m/s", speed, -most - 1e-9, most + 1e-9}} {
			c := chart{&fig, left, y, wide, high, 0, line.Duration, p.low, p.top}
			c.frame(p.title)
			sh := report.Shape{Stroke: ink, Wide: 0.3}
			for _, v := range p.values {
				sh.Points = append(sh.Points, c.at(v[0], v[1]))
			}
			fig.Shapes = append(fig.Shapes, sh)
			y += high + gap
		}
	}
	fig.Shapes = append(fig.Shapes, report.Shape{Points: [][2]float64{{left + wide, y}}, Text: fmt.Sprintf("0 to %.3f s", line.Duration), Size: 2.6, Anchor: "end"})
	return fig
}

// sagFigure shows the sag over the first axis and the last, at the middle of one between.
func (s Source) sagFigure() report.Figure {
	m := s.Assessment.Machine
	points := s.Assessment.Results.Tool.Map
	last := len(m.Axes) - 1
	mid := math.NaN()
	if last == 2 {
		mid = m.Axes[1].Spec.Travel / 2
	}
	var xs, ys []float64
	low, high := math.Inf(1), math.Inf(-1)
	type cell struct{ x, y, sag float64 }
	var cells []cell
	for _, p := range points {
		if last == 2 && math.Abs(float64(p.Q[1])-mid) > 1e-9 {
			continue
		}
		c := cell{float64(p.Q[0]), float64(p.Q[last]), -float64(p.Deflection[2])}
		cells = append(cells, c)
		low, high = math.Min(low, c.sag), math.Max(high, c.sag)
		if !slices.Contains(xs, c.x) {
			xs = append(xs, c.x)
		}
		if !slices.Contains(ys, c.y) {
			ys = append(ys, c.y)
		}
	}
	slices.Sort(xs)
	slices.Sort(ys)
	w, h := 150/float64(len(xs)), 9.0
	fig := report.Figure{Width: 170, Height: h*float64(len(ys)) + 14, Caption: fmt.Sprintf("Sag of the tool point with the payload, soft joints and floor: %s (light) to %s (dark), micrometres in the cells; across %s, upwards %s",
		wording.Value(low, "m"), wording.Value(high, "m"), m.Axes[0].Spec.ID, m.Axes[last].Spec.ID)}
	for _, c := range cells {
		x, y := 16+w*float64(slices.Index(xs, c.x)), 4+h*float64(len(ys)-1-slices.Index(ys, c.y))
		share := 0.0
		if high > low {
			share = (c.sag - low) / (high - low)
		}
		fig.Shapes = append(fig.Shapes,
			report.Shape{Points: [][2]float64{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}}, Fill: tone(share), Stroke: paper, Wide: 0.2},
			report.Shape{Points: [][2]float64{{x + w/2, y + h/2 + 1}}, Text: fmt.Sprintf("%.0f", c.sag*1e6), Size: 2.3, Anchor: "middle"})
	}
	for i, x := range xs {
		if i%2 == 0 {
			fig.Shapes = append(fig.Shapes, report.Shape{Points: [][2]float64{{16 + w*(float64(i)+0.5), 4 + h*float64(len(ys)) + 4}}, Text: fmt.Sprintf("%.2f", x), Size: 2.3, Anchor: "middle"})
		}
	}
	for i, y := range ys {
		fig.Shapes = append(fig.Shapes, report.Shape{Points: [][2]float64{{14.5, 4 + h*(float64(len(ys)-1-i)+0.6)}}, Text: fmt.Sprintf("%.2f", y), Size: 2.3, Anchor: "end"})
	}
	return fig
}

// tone runs from light to a darker sand, dark enough to tell and light enough for ink on it.
func tone(share float64) string {
	mix := func(a, b float64) int { return int(math.Round(a + (b-a)*share)) }
	return fmt.Sprintf("#%02x%02x%02x", mix(250, 201), mix(246, 140), mix(235, 84))
}

// splitFigure shows who contributes to the sag as bars.
func (s Source) splitFigure() (report.Figure, bool) {
	for _, c := range s.Assessment.Checks {
		if c.ID != "tool.sag.variation" || len(c.Parts) == 0 {
			continue
		}
		most := 0.0
		for _, p := range c.Parts {
			most = math.Max(most, math.Abs(p.Value))
		}
		fig := report.Figure{Width: 170, Height: 6*float64(len(c.Parts)) + 2, Caption: "Shares of the largest sag, exact by virtual work; they add up to it"}
		for i, p := range c.Parts {
			y := 6 * float64(i)
			l := 90 * math.Abs(p.Value) / most
			fig.Shapes = append(fig.Shapes,
				report.Shape{Points: [][2]float64{{48, y + 4}}, Text: p.Name, Size: 2.8, Anchor: "end"},
				report.Shape{Points: [][2]float64{{50, y + 1}, {50 + l, y + 1}, {50 + l, y + 5}, {50, y + 5}}, Fill: shade, Stroke: ink, Wide: 0.15},
				report.Shape{Points: [][2]float64{{52 + l, y + 4}}, Text: wording.Value(p.Value, p.Unit), Size: 2.8})
		}
		return fig, true
	}
	return report.Figure{}, false
}
