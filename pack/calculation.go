package pack

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"spanwright/ledger"
	"spanwright/report"
	"spanwright/wording"
)

// caution stands on the first page of every document.
const caution = "This calculation supports engineering judgement. It does not replace the risk assessment, the verification of safety functions, " +
	"local regulations, or review by a qualified, where required licensed, person. A holding brake by itself does not make it safe to be under a raised load. " +
	"Values marked representative must be replaced by the supplier's before anything is ordered. Tests with moving axes need fenced or reduced-speed conditions."

// document starts a document with title, banner and small print.
func (s Source) document(title string) *report.Document {
	d := s.Assessment.Machine.Design
	doc := &report.Document{
		Title:    title,
		Subtitle: strings.TrimSpace(strings.Join(nonEmpty(d.Name, d.Meta.Number, prefixed("revision ", d.Meta.Revision), d.Meta.Date, d.Meta.Owner), ", ")),
		Foot:     fmt.Sprintf("%s %s rev. %s, design %s, %s", d.Name, d.Meta.Number, d.Meta.Revision, s.Hash[:16], s.Tool),
		Date:     d.Meta.Date,
	}
	if !s.Released() {
		doc.Banner = NotReleased + ": checks are over their limits"
	}
	if n := s.Assessment.RepresentativeParts(); n > 0 {
		doc.Blocks = append(doc.Blocks, report.Paragraph{Strong: true, Text: fmt.Sprintf("Representative data are used for %d of %d parts: replace them by supplier data before ordering.", n, len(s.Assessment.Machine.Used))})
	}
	doc.Blocks = append(doc.Blocks, report.Paragraph{Strong: true, Text: caution})
	return doc
}

func nonEmpty(list ...string) []string {
	return slices.DeleteFunc(list, func(s string) bool { return s == "" })
}

func prefixed(prefix, text string) string {
	if text == "" {
		return ""
	}
	return prefix + text
}

// Calculation is the report for a reader who approves without the program.
func (s Source) Calculation() *report.Document {
	doc := s.document("Calculation report")
	add := func(b ...report.Block) { doc.Blocks = append(doc.Blocks, b...) }
	add(report.Figure(s.machineFigure()))
	add(report.Heading{Level: 1, Text: "1 Summary"})
	add(s.summary()...)
	add(report.Heading{Level: 1, Text: "2 Task and machine"})
	add(s.taskBlocks()...)
	add(report.Heading{Level: 1, Text: "3 Assumptions"})
	add(report.Paragraph{Text: "Every default that the design file left to the program, with its value and where it comes from. The design's own values stand in the design file, whose hash is in the small print."})
	add(s.assumptions())
	add(report.Heading{Level: 1, Text: "4 Load cases"})
	add(s.loadCases()...)
	add(report.Heading{Level: 1, Text: "5 Checks"})
	add(report.Paragraph{Text: "By group, the worst first in each. Utilisation is demand over capacity, 1 at the limit. Every sum can be done again from the numbers printed with it."})
	add(s.checks()...)
	add(report.Heading{Level: 1, Text: "6 Results"})
	add(s.results()...)
	add(report.Heading{Level: 1, Text: "7 Not checked"})
	add(s.notChecked())
	add(report.Heading{Level: 1, Text: "8 Hazards and cautions"})
	add(s.hazards()...)
	add(report.Heading{Level: 1, Text: "9 Revision and sign-off"})
	add(s.signOff()...)
	return doc
}

func (s Source) summary() []report.Block {
	a := s.Assessment
	n := a.Counts
	out := []report.Block{report.Paragraph{Text: fmt.Sprintf("Verdict: %s. %d checks are over, %d tight, %d unknown, %d ok.", n.Verdict(), n.Over, n.Tight, n.Unknown, n.OK)}}
	t := report.Table{Header: []string{"governing check", "verdict", "utilisation", "what"}, Widths: []float64{3, 1, 1.2, 6}, Right: []bool{false, false, true}}
	for _, c := range a.Checks[:min(5, len(a.Checks))] {
		t.Rows = append(t.Rows, []string{c.ID, c.Verdict.String(), wording.Utilisation(c), wording.Sentence(c)})
	}
	return append(out, t, report.Table{Header: []string{"what", "value"}, Widths: []float64{2, 3}, Rows: s.keyFigures()})
}

// keyFigures are the numbers one asks for first.
func (s Source) keyFigures() [][]string {
	r := s.Assessment.Results
	v := func(x float64, unit string) string { return wording.Value(x, unit) }
	return [][]string{
		{"cycle time", fmt.Sprintf("%s, %.4g an hour", v(float64(r.CycleTime), "s"), float64(r.Rate))},
		{"largest sag at the tool", v(float64(r.Tool.SagMax), "m")},
		{"its variation over the work space", v(float64(r.Tool.SagVariation), "m")},
		{"lowest natural frequency", v(float64(r.Tool.FirstFreq), "Hz")},
		{"settle time", v(float64(r.Tool.SettleTime), "s")},
		{"repeatability, accuracy", v(float64(r.Tool.Repeatability), "m") + ", " + v(float64(r.Tool.Accuracy), "m")},
		{"least tipping factor", v(float64(r.Stand.TippingFactor), "")},
		{"mass", v(float64(r.Mass), "kg")},
		{"price of the parts", fmt.Sprintf("%.5g in the currency of the part data", float64(r.Cost))},
	}
}

func (s Source) taskBlocks() []report.Block {
	m := s.Assessment.Machine
	d := m.Design
	cycle := report.Table{Header: []string{"step", "to", "loaded", "move s", "dwell s"}, Right: []bool{true, false, false, true, true}}
	for i, st := range d.Task.Cycle {
		cycle.Rows = append(cycle.Rows, []string{fmt.Sprint(i + 1), st.To, yes(st.Loaded), s.moveTime(i), fmt.Sprintf("%.3g", st.Dwell)})
	}
	axes := report.Table{Header: []string{"axis", "part", "drive", "motor", "gear", "travel", "speed", "acceleration", "moves"}, Widths: []float64{.7, 1.6, 1.1, 1.2, 1.6, 1, 1, 1.5, 1.1}}
	for _, a := range m.Axes {
		gear := "direct"
		if a.Gear != nil {
			gear = a.Gear.ID
		}
		axes.Rows = append(axes.Rows, []string{
			a.Spec.ID, a.Part.ID, a.Part.Drive, a.Motor.ID, gear, wording.Value(a.Spec.Travel, "m"), wording.Value(a.Spec.Limits.Speed, "m/s"),
			wording.Value(a.Spec.Limits.Acceleration, "m/s2"), wording.Value(m.Moved(a.Index, true), "kg"),
		})
	}
	return []report.Block{
		report.Paragraph{Text: fmt.Sprintf("Payload %s, tool %s, %.4g cycles an hour wanted, %.4g hours a year for %g years.",
			wording.Value(d.Task.Payload.Mass, "kg"), wording.Value(d.Task.Tool.Mass, "kg"), d.Task.Rate*3600, d.Task.Duty.HoursPerYear/3600, d.Task.Duty.Years)},
		cycle, axes, s.cycleFigure(),
	}
}

// moveTime is the time of the i-th move in the timeline.
func (s Source) moveTime(i int) string {
	for _, span := range s.Assessment.Timeline.Intervals {
		if strings.HasPrefix(span.Name, fmt.Sprintf("%d ", i+1)) && strings.HasSuffix(span.Name, "move") {
			return fmt.Sprintf("%.3f", span.End-span.Start)
		}
	}
	return ""
}

func (s Source) assumptions() report.Block {
	t := report.Table{Header: []string{"where", "value", "source", "status"}, Widths: []float64{4, 2.4, 4, 1}}
	for _, a := range s.Assessment.Assumptions {
		t.Rows = append(t.Rows, []string{a.Path, a.Value, a.Source, a.Status})
	}
	return t
}

func (s Source) loadCases() []report.Block {
	m := s.Assessment.Machine
	list := report.List{Items: []string{
		fmt.Sprintf("weight of the machine, %s, with and without the payload of %s", wording.Value(m.Mass(), "kg"), wording.Value(m.Payload.Kg, "kg")),
		"each axis at its working acceleration, either way, at every pose of the task and at the corners of the work space, with the dynamic factor of its rise time",
		"emergency stop of all axes together, each at its stop deceleration with its dynamic factor",
		"accidental push of 250 N at 2 m or 20 % of the weight, whichever is less, and a floor tilted by 10 degrees (stability only)",
		"joints, interfaces and floor at the soft, nominal and stiff end: deflections and frequencies are judged soft, forces in joints stiff",
	}}
	return []report.Block{list, report.Paragraph{Text: fmt.Sprintf("Poses: the points of the task and a grid of %d over the work space.", len(s.Assessment.Results.Tool.Map))}}
}

// groups of the ledger in the order of the report.
var groups = []string{"task", "axis", "pair", "joint", "stand", "tool", "carrier", "stop", "safety", "build"}

func (s Source) checks() []report.Block {
	var out []report.Block
	for _, g := range groups {
		first := true
		for _, c := range s.Assessment.Checks {
			if c.Group != g {
				continue
			}
			if first {
				out = append(out, report.Heading{Level: 2, Text: g})
				first = false
			}
			out = append(out, entry(c))
		}
	}
	return out
}

// entry is a check with everything needed to redo it.
func entry(c ledger.Check) report.Entry {
	e := report.Entry{ID: c.ID, Title: wording.Sentence(c), Verdict: c.Verdict.String(), Use: strings.TrimSpace(wording.Utilisation(c))}
	field := func(name, text string) {
		if text != "" {
			e.Fields = append(e.Fields, [2]string{name, text})
		}
	}
	e.Formula, e.Numbers = c.Working.Formula, c.Working.Substituted(c.Value, c.Unit)
	for i, in := range c.Working.Inputs {
		name := ""
		if i == 0 {
			name = "inputs"
		}
		text := fmt.Sprintf("%s = %s  %s", in.Symbol, wording.Value(in.Value, in.Unit), in.Name)
		if in.From != "" {
			text += " (" + in.From + ")"
		}
		e.Fields = append(e.Fields, [2]string{name, text})
	}
	if r := c.Range; r != nil {
		field("range", fmt.Sprintf("%s low, %s nominal, %s high (%s); judged at %s", wording.Value(r.Low, c.Unit), wording.Value(r.Nominal, c.Unit), wording.Value(r.High, c.Unit), r.Of, r.Judged))
	}
	var parts []string
	for _, p := range c.Parts {
		parts = append(parts, p.Name+" "+wording.Value(p.Value, p.Unit))
	}
	field("parts", strings.Join(parts, "; "))
	field("source", c.Working.Source)
	field("note", c.Note)
	return e
}

func (s Source) results() []report.Block {
	r := s.Assessment.Results
	m := s.Assessment.Machine
	axes := report.Table{
		Header: []string{"axis", "thrust peak", "thrust rms", "motor peak", "motor rms", "inertia ratio", "block peak", "stop way"}, Right: []bool{false, true, true, true, true, true, true, true},
	}
	for _, a := range m.Axes {
		x := r.Axes[a.Spec.ID]
		axes.Rows = append(axes.Rows, []string{
			a.Spec.ID, wording.Value(float64(x.PeakThrust), "N"), wording.Value(float64(x.RMSThrust), "N"), wording.Value(float64(x.MotorPeak), "N m"), wording.Value(float64(x.MotorRMS), "N m"),
			wording.Value(float64(x.InertiaRatio), ""), wording.Value(float64(x.BlockPeak), "N"), wording.Value(float64(x.StopDistance), "m"),
		})
	}
	feet := report.Table{Header: []string{"foot", "x", "y", "least", "largest"}, Right: []bool{false, true, true, true, true}, Widths: []float64{3, 1, 1, 1.2, 1.2}}
	for _, f := range r.Stand.FootLoads {
		feet.Rows = append(feet.Rows, []string{f.Foot, wording.Value(float64(f.X), "m"), wording.Value(float64(f.Y), "m"), wording.Value(float64(f.Min), "N"), wording.Value(float64(f.Max), "N")})
	}
	levels := report.Table{Header: []string{"joints and floor", "largest sag", "its variation", "lowest frequency"}, Right: []bool{false, true, true, true}}
	for _, l := range r.Structural {
		levels.Rows = append(levels.Rows, []string{l.Level, wording.Value(float64(l.SagMax), "m"), wording.Value(float64(l.SagVariation), "m"), wording.Value(float64(l.FirstFreq), "Hz")})
	}
	out := []report.Block{
		report.Heading{Level: 2, Text: "Drives"}, axes, report.Heading{Level: 2, Text: "Feet"}, feet, report.Heading{Level: 2, Text: "Stiffness range"}, levels,
		report.Heading{Level: 2, Text: "Sag over the work space"}, s.sagFigure(),
	}
	if f, ok := s.splitFigure(); ok {
		out = append(out, report.Heading{Level: 2, Text: "Who contributes to the sag"}, f)
	}
	return out
}

func (s Source) notChecked() report.Block {
	t := report.Table{Header: []string{"what", "why"}, Widths: []float64{2, 5}}
	for _, n := range s.Assessment.NotChecked {
		t.Rows = append(t.Rows, []string{n.What, n.Why})
	}
	return t
}

func (s Source) hazards() []report.Block {
	t := report.Table{Header: []string{"hazard", "where", "usual measures"}, Widths: []float64{2, 3, 4}}
	for _, h := range s.Assessment.Hazards() {
		t.Rows = append(t.Rows, []string{h.Kind, h.Where, h.Measures})
	}
	out := []report.Block{report.Paragraph{Text: "A list to start the risk assessment (ISO 12100) from; it claims neither to be complete nor that a measure is taken."}, t}
	return append(out, report.List{Items: s.Assessment.Cautions()})
}

func (s Source) signOff() []report.Block {
	d := s.Assessment.Machine.Design.Meta
	return []report.Block{
		report.Table{Header: []string{"revision", "date", "who", "what changed"}, Widths: []float64{1, 1.4, 2, 5}, Rows: [][]string{{d.Revision, d.Date, d.Creator, ""}, {"", "", "", ""}}},
		report.Table{Header: []string{"", "name", "date", "signature"}, Widths: []float64{1.2, 3, 1.6, 3}, Rows: [][]string{{"calculated", d.Creator, "", ""}, {"checked", "", "", ""}, {"approved", d.Approver, "", ""}}},
	}
}

// finite tells whether a result is a number to print or draw.
func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
