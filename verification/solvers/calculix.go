package solvers

import (
	"bufio"
	"fmt"
	"strconv"
	"strings"

	"spanwright/frame"
)

// Frame is one comparison: a frame of solid rectangular beams.
//
// So that both programs mean the same body:
//   - Poisson's ratio is 0, since a clamped solid end would otherwise be stiffened across;
//   - the shear areas are 5/6 of the area (rectangle, Poisson's ratio 0; Cowper, J. Appl. Mech. 33 (1966) 335, from memory);
//   - the torsion constant is 4 Iy Iz/(Iy+Iz): one quadratic solid across a section can warp as y·z only, and that is the
//     least energy with such warping (derived), not Saint-Venant's value;
//   - members are cut into the same parts, one solid each.
type Frame struct {
	Name  string
	Model frame.Model // its one case is compared, and its modes

	Bars []Rectangle // of the sections of the model, same order
}

// Rectangle is a solid section.
type Rectangle struct {
	Width  float64 // along local y, m
	Height float64 // along local z, m
}

// Section returns the section properties of a rectangle as both programs see it.
func (r Rectangle) Section(id string) frame.Section {
	a := r.Width * r.Height
	iy, iz := a*r.Height*r.Height/12, a*r.Width*r.Width/12
	return frame.Section{ID: id, A: a, Iy: iy, Iz: iz, J: 4 * iy * iz / (iy + iz), Asy: a * 5 / 6, Asz: a * 5 / 6}
}

// Input writes the frame in CalculiX's input language: one static step, then one of natural frequencies.
func (f *Frame) Input() string {
	w := &writer{f: f, node: map[string]int{}}
	w.nodes()
	w.elements()
	w.masses()
	w.step()
	return w.String()
}

type writer struct {
	strings.Builder
	f    *Frame
	node map[string]int
	last int // highest node number
	elem int // highest element number
}

func (w *writer) line(format string, args ...any) { fmt.Fprintf(w, format+"\n", args...) }

// nodes numbers the nodes of the model from 1 and writes them.
func (w *writer) nodes() {
	w.line("*NODE, NSET=JOINTS")
	for _, n := range w.f.Model.Nodes {
		w.last++
		w.node[n.ID] = w.last
		w.line("%d, %.12g, %.12g, %.12g", w.last, n.At[0], n.At[1], n.At[2])
	}
}

func (w *writer) at(id string) [3]float64 { return w.f.Model.Nodes[w.node[id]-1].At }

// elements cuts every member into 3-node beams with the local y axis as first section direction.
func (w *writer) elements() {
	m := &w.f.Model
	for i := range m.Materials {
		w.line("*MATERIAL, NAME=%s\n*ELASTIC\n%g, 0\n*DENSITY\n%g", m.Materials[i].ID, m.Materials[i].E, m.Materials[i].Rho)
	}
	for i := range m.Members {
		b := &m.Members[i]
		from, to := w.at(b.From), w.at(b.To)
		d := [3]float64{to[0] - from[0], to[1] - from[1], to[2] - from[2]}
		n := max(b.Divide, 1)
		places := []int{w.node[b.From]}
		w.line("*NODE")
		for k := 1; k < 2*n; k++ {
			w.last++
			t := float64(k) / float64(2*n)
			w.line("%d, %.12g, %.12g, %.12g", w.last, from[0]+t*d[0], from[1]+t*d[1], from[2]+t*d[2])
			places = append(places, w.last)
		}
		places = append(places, w.node[b.To])
		w.line("*ELEMENT, TYPE=B32R, ELSET=M%d", i)
		for k := range n {
			w.elem++
			w.line("%d, %d, %d, %d", w.elem, places[2*k], places[2*k+1], places[2*k+2])
		}
		var r Rectangle
		for s := range m.Sections {
			if m.Sections[s].ID == b.Section {
				r = w.f.Bars[s]
			}
		}
		y := frame.LocalAxes(d, b.Roll)[1]
		w.line("*BEAM SECTION, ELSET=M%d, MATERIAL=%s, SECTION=RECT\n%.12g, %.12g\n%.12g, %.12g, %.12g", i, b.Material, r.Width, r.Height, y[0], y[1], y[2])
	}
}

// masses writes point masses.
func (w *writer) masses() {
	for i, m := range w.f.Model.Masses {
		w.elem++
		w.line("*ELEMENT, TYPE=MASS, ELSET=P%d\n%d, %d\n*MASS, ELSET=P%d\n%g", i, w.elem, w.node[m.At.Node], i, m.M)
	}
}

// step writes supports, loads and what is printed.
func (w *writer) step() {
	m := &w.f.Model
	w.line("*BOUNDARY")
	for _, s := range m.Supports {
		for d, fix := range s.Fix {
			if fix {
				w.line("%d, %d, %d", w.node[s.Node], d+1, d+1)
			}
		}
	}
	w.line("*STEP\n*STATIC")
	c := &m.Cases[0]
	if len(c.Forces) > 0 {
		w.line("*CLOAD")
	}
	for _, f := range c.Forces {
		for d := range 3 {
			if f.Force[d] != 0 {
				w.line("%d, %d, %.12g", w.node[f.At.Node], d+1, f.Force[d])
			}
			if f.Moment[d] != 0 {
				w.line("%d, %d, %.12g", w.node[f.At.Node], d+4, f.Moment[d])
			}
		}
	}
	for _, f := range c.Fields {
		w.line("*DLOAD")
		for d, a := range f.Acceleration {
			if a == 0 {
				continue
			}
			var unit [3]int
			unit[d] = 1
			for i := range m.Members {
				w.line("M%d, GRAV, %.12g, %d, %d, %d", i, a, unit[0], unit[1], unit[2])
			}
			for i := range m.Masses {
				w.line("P%d, GRAV, %.12g, %d, %d, %d", i, a, unit[0], unit[1], unit[2])
			}
		}
	}
	w.line("*NODE PRINT, NSET=JOINTS\nU\n*END STEP\n*STEP\n*FREQUENCY\n%d\n*END STEP", m.Modes)
}

// Output is what CalculiX prints.
type Output struct {
	Displacements [][3]float64 // of the nodes of the model, in their order, m
	Hz            []float64
}

// Read takes displacements and frequencies from a result file.
func (f *Frame) Read(text string) (Output, error) {
	var out Output
	scan := bufio.NewScanner(strings.NewReader(text))
	part := ""
	for scan.Scan() {
		words := strings.Fields(scan.Text())
		switch {
		case strings.Contains(scan.Text(), "displacements (vx,vy,vz)"):
			if part == "" {
				part = "displacements"
			}
		case strings.Contains(scan.Text(), "E I G E N V A L U E   O U T P U T"):
			part = "frequencies"
		case strings.Contains(scan.Text(), "P A R T I C I P A T I O N"):
			part = "rest"
		case part == "displacements" && len(words) == 4:
			v, err := numbers(words[1:])
			if err != nil {
				return out, err
			}
			out.Displacements = append(out.Displacements, [3]float64(v))
		case part == "frequencies" && len(words) == 5:
			if v, err := numbers(words[1:]); err == nil {
				out.Hz = append(out.Hz, v[2])
			}
		}
	}
	if len(out.Displacements) != len(f.Model.Nodes) || len(out.Hz) != f.Model.Modes {
		return out, fmt.Errorf("%d displacements and %d frequencies, want %d and %d",
			len(out.Displacements), len(out.Hz), len(f.Model.Nodes), f.Model.Modes)
	}
	return out, scan.Err()
}

func numbers(words []string) ([]float64, error) {
	v := make([]float64, len(words))
	for i, word := range words {
		x, err := strconv.ParseFloat(word, 64)
		if err != nil {
			return nil, err
		}
		v[i] = x
	}
	return v, nil
}
