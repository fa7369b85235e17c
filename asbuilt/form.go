package asbuilt

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

// Test names one form.
type Test string

// The tests, in the order in which they are carried out.
const (
	Geometry    Test = "geometry"
	Brake       Test = "brake"
	Stop        Test = "stop"
	Warmup      Test = "warmup"
	Positioning Test = "positioning"
	PoseTest    Test = "pose"
	Distance    Test = "distance"
	Stiffness   Test = "stiffness"
	Resonance   Test = "resonance"
)

// Tests lists them.
var Tests = []Test{Geometry, Brake, Stop, Warmup, Positioning, PoseTest, Distance, Stiffness, Resonance}

// column is one column of a form.
type column struct {
	name     string
	words    []string // allowed words of a text column; nil: any
	number   bool
	optional bool // may stay empty in a row that is filled in
	measured bool // a row whose measured columns are all empty has not been filled in
	positive bool // a number that has no meaning from zero down
	share    bool // a number of 0 to 1, e.g. a damping ratio
}

func text(name string, words ...string) column { return column{name: name, words: words} }
func number(name string) column                { return column{name: name, number: true} }
func measured(name string) column              { return column{name: name, number: true, measured: true} }
func maybe(c column) column                    { c.optional = true; return c }
func positive(c column) column                 { c.positive = true; return c }
func share(c column) column                    { c.share = true; return c }

// layout is the form of one test: its columns and the uncertainties its header
// has to state.
type layout struct {
	columns       []column
	uncertainties []string
}

var layouts = map[Test]layout{
	Positioning: {
		columns:       []column{text("axis"), number("run"), text("direction", "up", "down"), number("target_mm"), measured("actual_mm"), maybe(number("temp_C"))},
		uncertainties: []string{"U_um"},
	},
	PoseTest: {
		columns:       []column{text("point"), number("cycle"), measured("x_mm"), measured("y_mm"), measured("z_mm"), maybe(number("load_kg")), maybe(number("speed_pct"))},
		uncertainties: []string{"U_um"},
	},
	Distance: {
		columns:       []column{text("pair"), number("cycle"), positive(measured("distance_mm"))},
		uncertainties: []string{"U_um"},
	},
	Stiffness: {
		columns:       []column{text("pose"), text("axis", "x", "y", "z"), maybe(text("point")), number("step"), measured("force_N"), measured("deflection_mm")},
		uncertainties: []string{"U_um", "U_N"},
	},
	Resonance: {
		columns:       []column{text("pose"), text("direction", "x", "y", "z"), number("record"), positive(measured("frequency_hz")), maybe(share(measured("damping"))), maybe(measured("amplitude"))},
		uncertainties: []string{"U_hz"},
	},
	Stop: {
		columns:       []column{text("axis"), number("category"), text("direction", "plus", "minus"), number("speed_m_s"), maybe(number("load_kg")), positive(measured("distance_mm")), positive(measured("time_s"))},
		uncertainties: []string{"U_um"},
	},
	Brake: {
		columns:       []column{text("axis"), measured("torque_Nm"), positive(measured("duration_s")), measured("movement_mm")},
		uncertainties: []string{"U_um"},
	},
	Warmup: {
		columns:       []column{number("time_h"), measured("x_mm"), measured("y_mm"), measured("z_mm"), maybe(measured("temp_C"))},
		uncertainties: []string{"U_um"},
	},
	Geometry: {
		columns:       []column{text("id"), text("quantity"), number("target"), number("tolerance"), measured("measured"), text("unit", "mm", "mm/m")},
		uncertainties: []string{"U_um"},
	},
}

// rawResonance is the other form of a tap test: the ringing itself.
var rawResonance = layout{
	columns:       []column{text("pose"), text("direction", "x", "y", "z"), number("record"), number("time_s"), measured("accel_m_s2")},
	uncertainties: []string{"U_hz"},
}

// plain are the header lines that every form has; none may be unknown.
var plain = []string{"test", "design", "revision", "instrument", "temp_C", "by", "date"}

// Head identifies what a form belongs to.
type Head struct {
	Machine  string
	Hash     string // SHA-256 of the design's text
	Revision string
}

// Sheet is an empty form.
type Sheet struct {
	Test  Test
	About string
	Notes []string // targets and predictions
	Rows  [][]string
}

// Write writes the form: comment lines, header, rows with empty measured columns.
func (s Sheet) Write(w io.Writer, h Head) error {
	l := layouts[s.Test]
	var b strings.Builder
	line := func(key, value string) { fmt.Fprintf(&b, "# %s\n", strings.TrimSpace(key+": "+oneLine(value))) }
	line("test", string(s.Test))
	line("design", h.Hash)
	line("revision", h.Revision)
	line("instrument", "")
	for _, u := range l.uncertainties {
		line(u, "")
	}
	line("temp_C", "")
	line("by", "")
	line("date", "")
	fmt.Fprintf(&b, "#\n# %s, %s\n", oneLine(h.Machine), s.About)
	fmt.Fprintf(&b, "# Fill in the lines above and the empty cells below; numbers with a point. %s: expanded uncertainty of the instrument, k = 2.\n", strings.Join(l.uncertainties, ", "))
	b.WriteString("# Rows whose measured cells all stay empty count as not carried out.\n")
	for _, n := range s.Notes {
		fmt.Fprintf(&b, "# %s\n", oneLine(n))
	}
	if _, err := io.WriteString(w, b.String()); err != nil {
		return err
	}
	out := csv.NewWriter(w)
	var head []string
	for _, c := range l.columns {
		head = append(head, c.name)
	}
	if err := out.Write(head); err != nil {
		return err
	}
	if err := out.WriteAll(s.Rows); err != nil {
		return err
	}
	return out.Error()
}

// oneLine keeps a text from ending a comment line.
func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

// Sheets are the forms of the plan.
func (p *Plan) Sheets() []Sheet {
	return []Sheet{
		p.geometrySheet(), p.brakeSheet(), p.stopSheet(), p.warmupSheet(), p.positioningSheet(), p.poseSheet(), p.distanceSheet(), p.stiffnessSheet(), p.resonanceSheet(),
	}
}

func mm(v float64) string { return strconv.FormatFloat(math.Round(v*1e7)/1e4, 'f', -1, 64) }

func num(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }

// span prints a prediction in a unit of so many SI units.
func (r *Range) span(unit string, per float64) string {
	switch {
	case r == nil:
		return "not predicted"
	case r.Bound:
		return fmt.Sprintf("at most %.4g %s (sum of worst cases)", r.High/per, unit)
	}
	return fmt.Sprintf("%.4g low, %.4g nominal, %.4g high %s", r.Low/per, r.Nominal/per, r.High/per, unit)
}

func (p *Plan) positioningSheet() Sheet {
	s := Sheet{Test: Positioning, About: "positioning of each axis, ISO 230-2: five approaches to each target from each side, warmed up"}
	for _, a := range p.Axes {
		id := a.Axis.Spec.ID
		s.Notes = append(s.Notes, fmt.Sprintf("axis %s: travel %s mm, reversal predicted %s", id, mm(a.Axis.Spec.Travel), a.Reversal.span("um", 1e-6)))
		if a.Agreed {
			s.Notes = append(s.Notes, fmt.Sprintf("axis %s: travel above 2 m; the standard leaves positions and runs to agreement; here one about every 250 mm", id))
		}
		for run := 1; run <= runs; run++ {
			for _, t := range a.Targets {
				s.Rows = append(s.Rows, []string{id, strconv.Itoa(run), "up", mm(t), "", ""})
			}
			for i := len(a.Targets) - 1; i >= 0; i-- {
				s.Rows = append(s.Rows, []string{id, strconv.Itoa(run), "down", mm(a.Targets[i]), "", ""})
			}
		}
	}
	return s
}

func (p *Plan) poseSheet() Sheet {
	s := Sheet{Test: PoseTest, About: "pose accuracy and repeatability of the tool point, ISO 9283: rated load and speed, warmed up, the points in this order"}
	s.Notes = append(s.Notes, "world axes of the design; align the instrument to the runways and to P1 without load")
	for _, x := range p.Points {
		s.Notes = append(s.Notes, fmt.Sprintf("%s: command x %s, y %s, z %s mm, axes at %s", x.Name, mm(x.At.X), mm(x.At.Y), mm(x.At.Z), p.place(x.Q)))
	}
	s.Notes = append(s.Notes, "AP predicted "+p.Accuracy.span("mm", 1e-3)+"; RP predicted "+p.Repeatability.span("mm", 1e-3))
	load := num(p.Machine.Design.Task.Payload.Mass)
	for c := 1; c <= cycles; c++ {
		for _, x := range p.Points {
			s.Rows = append(s.Rows, []string{x.Name, strconv.Itoa(c), "", "", "", load, "100"})
		}
	}
	return s
}

// place says where the axes stand.
func (p *Plan) place(q []float64) string {
	var out []string
	for i, a := range p.Machine.Axes {
		out = append(out, a.Spec.ID+" "+mm(q[i]))
	}
	return strings.Join(out, ", ") + " mm"
}

func (p *Plan) distanceSheet() Sheet {
	s := Sheet{Test: Distance, About: "distance accuracy and repeatability, ISO 9283: the distance between two points, from the same cycles as the pose test or by a distance meter"}
	for _, x := range p.Pairs {
		s.Notes = append(s.Notes, fmt.Sprintf("%s: command %s mm", x.Name, mm(x.Distance)))
	}
	for c := 1; c <= cycles; c++ {
		for _, x := range p.Pairs {
			s.Rows = append(s.Rows, []string{x.Name, strconv.Itoa(c), ""})
		}
	}
	return s
}

func (p *Plan) stiffnessSheet() Sheet {
	s := Sheet{Test: Stiffness, About: "pull test at the tool point: force up and down in equal steps, drives held, rated load hanging still"}
	s.Notes = append(s.Notes, "read the force at every step; x, y, z are world directions; a dial at carriage, bridge end or column top goes into point, the tool into an empty cell or tool")
	for _, x := range p.Pulls {
		s.Notes = append(s.Notes, fmt.Sprintf("%s: %s, axes at %s", x.Name, x.Why, p.place(x.Q)))
		for d := range 3 {
			k := x.Stiffness[d]
			s.Notes = append(s.Notes, fmt.Sprintf("%s along %c: %s; pull up to %s N", x.Name, "xyz"[d], k.span("N/mm", 1e3), num(x.Force[d])))
			for step := range 9 {
				s.Rows = append(s.Rows, []string{x.Name, "xyz"[d : d+1], "tool", strconv.Itoa(step + 1), "", ""})
			}
		}
	}
	return s
}

func (p *Plan) resonanceSheet() Sheet {
	s := Sheet{Test: Resonance, About: "tap test: accelerometer at the tool, hammer along the direction, rated load, axes held by their drives"}
	s.Notes = append(s.Notes,
		"record at least 5 periods and 33/f seconds, sample at 10 f or faster; damping as a ratio to critical; leave it empty where two peaks lie close",
		"instead of frequency, damping and amplitude the columns time_s, accel_m_s2 may hold the ringing itself: one row a sample, then frequency and damping are found from it",
		"damping predicted "+(&p.Damping).span("", 1))
	for _, x := range p.Pulls {
		s.Notes = append(s.Notes, fmt.Sprintf("%s: axes at %s; lowest frequency of any direction %s", x.Name, p.place(x.Q), (&x.Frequency).span("Hz", 1)))
		for d := range 3 {
			for record := 1; record <= 3; record++ {
				s.Rows = append(s.Rows, []string{x.Name, "xyz"[d : d+1], strconv.Itoa(record), "", "", ""})
			}
		}
	}
	return s
}

func (p *Plan) stopSheet() Sheet {
	s := Sheet{Test: Stop, About: "emergency stop from full speed with rated load: way and time from the edge of the command to standstill"}
	s.Notes = append(s.Notes, "begin at a quarter of the speed; nobody in reach")
	category := strconv.Itoa(p.Machine.Design.Equipment.Control.StopCategory)
	for _, a := range p.Axes {
		id := a.Axis.Spec.ID
		s.Notes = append(s.Notes, fmt.Sprintf("axis %s: predicted %s, %.3g s without reaction", id, a.Stop.span("mm", 1e-3), a.StopTime))
		if a.StopRoom > 0 {
			s.Notes = append(s.Notes, fmt.Sprintf("axis %s: at most %.4g mm, 5 mm before the hard stop", id, a.StopRoom*1e3))
		}
		for _, d := range []string{"plus", "minus"} {
			for range 3 {
				s.Rows = append(s.Rows, []string{id, category, d, num(a.Axis.Spec.Limits.Speed), num(p.Machine.Design.Task.Payload.Mass), "", ""})
			}
		}
	}
	return s
}

func (p *Plan) brakeSheet() Sheet {
	s := Sheet{Test: Brake, About: "static test of the hold brakes, at low height or with the load supported"}
	for _, a := range p.Axes {
		b := a.Brake
		if b == nil {
			continue
		}
		id := a.Axis.Spec.ID
		s.Notes = append(s.Notes, fmt.Sprintf("axis %s: %.4g N m on the brakes; motor %.4g N m along the load, %.4g N m against it, for %.3g s; movement at most %s mm; torque_Nm is that on the brakes, once each way", id, b.Torque, b.Down, b.Up, b.Hold, mm(b.Most)))
		for range 2 {
			s.Rows = append(s.Rows, []string{id, "", "", ""})
		}
	}
	if len(s.Rows) == 0 {
		s.Notes = append(s.Notes, "no axis has a brake under a load: nothing to test")
	}
	return s
}

func (p *Plan) warmupSheet() Sheet {
	s := Sheet{Test: Warmup, About: "warm-up: the tool point at P1 every hour, until it moves by less than a tenth of the accuracy in an hour"}
	for h := range 9 {
		s.Rows = append(s.Rows, []string{strconv.Itoa(h), "", "", "", ""})
	}
	return s
}

func (p *Plan) geometrySheet() Sheet {
	s := Sheet{Test: Geometry, About: "geometry: targets and tolerances are common practice, no source; those of the guide's maker win"}
	for _, g := range p.GeometryTargets() {
		s.Notes = append(s.Notes, g.ID+": "+g.Method)
		s.Rows = append(s.Rows, []string{g.ID, g.Quantity, num(g.Target), num(g.Tolerance), "", g.Unit})
	}
	return s
}

// GeometryTarget is one alignment to be measured; target and tolerance are in the unit.
type GeometryTarget struct {
	ID, Quantity, Unit, Method string
	Target, Tolerance          float64
}

// GeometryTargets are the alignments of this machine. Source of all tolerances:
// common practice, no source; the guide maker's win.
func (p *Plan) GeometryTargets() []GeometryTarget { return geometryTargets(p.Machine.Axes) }
