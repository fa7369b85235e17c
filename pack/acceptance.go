package pack

import (
	"fmt"
	"io"
	"strings"

	"spanwright/asbuilt"
	"spanwright/report"
	"spanwright/wording"
)

// commissioningFiles are commissioning sheet, acceptance test and forms.
func (s Source) commissioningFiles() ([]File, error) {
	plan, err := asbuilt.NewPlan(s.Assessment)
	if err != nil {
		return nil, err
	}
	sheet, err := s.Commissioning(plan)
	if err != nil {
		return nil, err
	}
	test := s.Acceptance(plan)
	return append([]File{
		{"commissioning.html", "commissioning sheet", sheet.HTML},
		{"commissioning.pdf", "commissioning sheet for print", sheet.PDF},
		{"acceptance.html", "acceptance test with predictions", test.HTML},
		{"acceptance.pdf", "acceptance test for print", test.PDF},
	}, s.Forms(plan)...), nil
}

// Forms are the empty data forms of the acceptance test, to be filled in and
// read back.
func (s Source) Forms(plan *asbuilt.Plan) []File {
	d := s.Assessment.Machine.Design
	head := asbuilt.Head{Machine: strings.Join(nonEmpty(d.Name, d.Meta.Number), " "), Hash: s.Hash, Revision: d.Meta.Revision}
	if !s.Released() {
		head.Machine += ", " + NotReleased
	}
	var out []File
	for _, sheet := range plan.Sheets() {
		out = append(out, File{"forms/" + string(sheet.Test) + ".csv", "form of the acceptance test: " + string(sheet.Test), func(w io.Writer) error { return sheet.Write(w, head) }})
	}
	return out
}

// Acceptance is the protocol of the acceptance test with what is predicted.
func (s Source) Acceptance(plan *asbuilt.Plan) *report.Document {
	doc := s.document("Acceptance test")
	add := func(b ...report.Block) { doc.Blocks = append(doc.Blocks, b...) }
	title := func(text string) { add(report.Heading{Level: 1, Text: text}) }
	title("1 How to test and judge")
	add(report.List{Items: []string{
		"In the order of this document: geometry and brakes before speed, speed before precision. Moving axes only with the area fenced off or at reduced speed.",
		"Fill in the forms (forms/*.csv); the program reads them with: measure DESIGN FORMS. State the instrument and its expanded uncertainty (k = 2) in each: without it nothing is judged.",
		"Pass: value plus uncertainty within the limit. Fail: value less uncertainty beyond it. Otherwise undecided (ISO 14253-1, from memory).",
		"Agreement with the model is another question: E_n = |measured - predicted| over the root of the sum of both uncertainties squared, at most 1; the model's is half its range (ISO/IEC 17043, from memory). A machine may pass and disagree: then calibrate. It may agree and fail.",
		"A reading that stands apart is named by the program and counts all the same, unless it is left out by name with a reason written down.",
	}})
	title("2 Geometry")
	add(report.Paragraph{Text: "Form geometry.csv; the alignments of chapter 2 of the commissioning sheet, as left."}, alignmentTable(plan))
	title("3 Brakes")
	add(s.brakeTest(plan)...)
	title("4 Emergency stop")
	add(s.stopTest(plan)...)
	title("5 Warm-up")
	add(report.Paragraph{Text: "Form warmup.csv; run the cycle with rated load and read the tool point at P1 every hour until it moves by less than a tenth of the accuracy wanted in an hour. The program fits d = d_inf (1 - exp(-t/tau)). State the temperature of the beams: aluminium grows by 23 um a metre and kelvin, a steel scale by 11 to 12."})
	title("6 Positioning of each axis (ISO 230-2)")
	add(s.positioningTest(plan)...)
	title("7 Pose (ISO 9283)")
	add(s.poseTest(plan)...)
	title("8 Pull test and tap test")
	add(s.pullTest(plan)...)
	title("9 Result")
	add(report.Table{
		Header: []string{"test", "pass", "fail", "undecided", "agrees with the model", "remark"}, Widths: []float64{2.4, .7, .7, 1, 1.6, 3},
		Rows: [][]string{{"geometry"}, {"brakes"}, {"emergency stop"}, {"warm-up"}, {"positioning"}, {"pose"}, {"pull"}, {"tap"}},
	}, report.Table{
		Header: []string{"", "name", "date", "signature"}, Widths: []float64{1.2, 3, 1.6, 3},
		Rows: [][]string{{"tested", "", "", ""}, {"for the maker", "", "", ""}, {"for the user", "", "", ""}},
	})
	for i, b := range doc.Blocks {
		if t, ok := b.(report.Table); ok {
			doc.Blocks[i] = evened(t)
		}
	}
	return doc
}

// evened fills short rows up with empty cells.
func evened(t report.Table) report.Table {
	for i := range t.Rows {
		for len(t.Rows[i]) < len(t.Header) {
			t.Rows[i] = append(t.Rows[i], "")
		}
	}
	return t
}

// spread prints a prediction in three cells.
func spread(r *asbuilt.Range, unit string) []string {
	switch {
	case r == nil:
		return []string{"", "not predicted", ""}
	case r.Bound:
		return []string{"", "", "at most " + wording.Value(r.High, unit)}
	}
	return wording.Values(unit, r.Low, r.Nominal, r.High)
}

// target prints a limit of the task.
func target(v *float64, words, unit string) string {
	if v == nil {
		return "no target stated"
	}
	return words + " " + wording.Value(*v, unit)
}

func (s Source) brakeTest(plan *asbuilt.Plan) []report.Block {
	t := report.Table{Header: []string{"axis", "on the brakes", "motor along the load", "motor against it", "time", "movement", "result"}, Widths: []float64{.6, 1.2, 1.5, 1.4, .8, 1.3, 1.4}}
	for _, a := range plan.Axes {
		if b := a.Brake; b != nil {
			t.Rows = append(t.Rows, []string{a.Axis.Spec.ID, wording.Value(b.Torque, "N m"), wording.Value(b.Down, "N m"), wording.Value(b.Up, "N m"), wording.Value(b.Hold, "s"), "at most " + wording.Value(b.Most, "m"), ""})
		}
	}
	if len(t.Rows) == 0 {
		return []report.Block{report.Paragraph{Text: "No axis holds a load by a brake of which the data are known."}}
	}
	return []report.Block{
		report.Paragraph{Text: "Form brake.csv. At low height or with the load supported, nobody under it: close the brake, press with the motor both ways. 1.3 times the static load (guidance of a national accident insurer on gravity-loaded axes, from memory); movement and time: common practice, no source."},
		t,
	}
}

func (s Source) stopTest(plan *asbuilt.Plan) []report.Block {
	t := report.Table{Header: []string{"axis", "speed", "low", "nominal", "high", "time", "room", "ratio"}, Widths: []float64{.6, 1, 1, 1, 1.2, 1, 1.4, .9}}
	category := s.Assessment.Machine.Design.Equipment.Control.StopCategory
	for _, a := range plan.Axes {
		row := append([]string{a.Axis.Spec.ID, wording.Value(a.Axis.Spec.Limits.Speed, "m/s")}, spread(a.Stop, "m")...)
		t.Rows = append(t.Rows, append(row, value(a.StopTime, "s"), room(a.StopRoom), "at most 1.2"))
	}
	return []report.Block{
		report.Paragraph{Text: fmt.Sprintf("Form stop.csv. Category %d, full speed, rated load, both directions, three runs each; from the edge of the command to standstill. Begin at a quarter of the speed. Low: without reaction time; high: with the margin of the design. Room: from switch to hard stop, 5 mm less. The measured time with its margin is what the distances of guards are to be checked against (ISO 13855).", category)},
		t,
	}
}

func room(v float64) string {
	if !finite(v) {
		return "not known"
	}
	return "at most " + wording.Value(v, "m")
}

func (s Source) positioningTest(plan *asbuilt.Plan) []report.Block {
	t := report.Table{Header: []string{"axis", "targets, mm", "reversal B", "R", "A"}, Widths: []float64{.6, 4.4, 1.5, 1.5, 1.5}}
	agreed := ""
	for _, a := range plan.Axes {
		var places []string
		for _, x := range a.Targets {
			places = append(places, fmt.Sprintf("%.1f", 1000*x))
		}
		back := "not predicted"
		if a.Reversal != nil {
			back = "at most " + wording.Value(a.Reversal.High, "m")
		}
		t.Rows = append(t.Rows, []string{a.Axis.Spec.ID, strings.Join(places, ", "), back, target(plan.RepeatabilityLimit, "at most", "m"), target(plan.AccuracyLimit, "at most", "m")})
		if a.Agreed {
			agreed += " Axis " + a.Axis.Spec.ID + " is longer than 2 m: the standard leaves its positions to agreement, here one about every 250 mm."
		}
	}
	return []report.Block{
		report.Paragraph{Text: "Form positioning.csv. Five approaches to each target from each side, warm, temperature stated. Targets are uneven so that errors that repeat with a pitch show. The targets of the task for the tool point bind each axis alone as well. Definitions of ISO 230-2:2014, from memory." + agreed},
		t,
	}
}

func (s Source) poseTest(plan *asbuilt.Plan) []report.Block {
	t := report.Table{Header: []string{"point", "x", "y", "z", "axes"}, Right: []bool{false, true, true, true}, Widths: []float64{.8, 1.2, 1.2, 1.2, 4}}
	for _, p := range plan.Points {
		t.Rows = append(t.Rows, []string{p.Name, atTenths(p.At.X), atTenths(p.At.Y), atTenths(p.At.Z), s.axesAt(p.Q)})
	}
	limits := report.Table{Header: []string{"quantity", "predicted", "limit", "result"}, Widths: []float64{3, 2.2, 2.2, 2}}
	high := func(r *asbuilt.Range) string { return strings.TrimSpace(strings.Join(spread(r, "m"), " ")) }
	limits.Rows = [][]string{
		{"AP, distance of the mean from the command", high(plan.Accuracy), target(plan.AccuracyLimit, "at most", "m"), ""},
		{"RP, mean distance from the mean plus three deviations", high(plan.Repeatability), target(plan.RepeatabilityLimit, "at most", "m"), ""},
	}
	for _, p := range plan.Pairs {
		limits.Rows = append(limits.Rows, []string{"AD, RD of " + p.Name + ", command " + atTenths(p.Distance), "not predicted", "none", ""})
	}
	return []report.Block{
		report.Paragraph{Text: "Forms pose.csv and distance.csv. Rated load, full speed (also half and a tenth, if wanted), 30 cycles over the points in this order, stabilised before each reading. World axes of the design; align the instrument to the runways and to P1. ISO 9283:1998, from memory; the numbers of the points are ours. The predictions are sums of worst cases over work space and temperature span."},
		t, limits,
	}
}

// axesAt prints where the axes stand.
func (s Source) axesAt(q []float64) string {
	var out []string
	for i, a := range s.Assessment.Machine.Axes {
		out = append(out, a.Spec.ID+" "+atTenths(q[i]))
	}
	return strings.Join(out, ", ")
}

func (s Source) pullTest(plan *asbuilt.Plan) []report.Block {
	poses := report.Table{Header: []string{"pose", "where", "axes"}, Widths: []float64{.8, 3.4, 3.4}}
	pull := report.Table{Header: []string{"pose", "along", "low", "nominal", "high", "pull up to", "measured"}, Right: []bool{false, false, true, true, true, true}, Widths: []float64{.8, .7, 1.3, 1.3, 1.3, 1.1, 1.3}}
	tap := report.Table{Header: []string{"pose", "lowest, low", "nominal", "high", "wanted", "measured", "damping"}, Right: []bool{false, true, true, true}, Widths: []float64{.8, 1.1, 1, 1, 1.5, 1.1, 1.1}}
	for _, p := range plan.Pulls {
		poses.Rows = append(poses.Rows, []string{p.Name, p.Why, s.axesAt(p.Q)})
		for d := range 3 {
			row := []string{p.Name, "xyz"[d : d+1]}
			for _, k := range []float64{p.Stiffness[d].Low, p.Stiffness[d].Nominal, p.Stiffness[d].High} {
				row = append(row, fmt.Sprintf("%.4g N/mm", k/1000))
			}
			pull.Rows = append(pull.Rows, append(row, wording.Value(p.Force[d], "N"), ""))
		}
		row := append([]string{p.Name}, spread(&p.Frequency, "Hz")...)
		tap.Rows = append(tap.Rows, append(row, target(plan.FrequencyLimit, "at least", "Hz"), "", ""))
	}
	return []report.Block{
		poses,
		report.Paragraph{Text: "Pull test, form stiffness.csv: drives held, rated load hanging still, a force meter at the tool point along x, y, z of the world, up and down again in four steps each. The force is a fifth of the drive's peak in the cycle; stay below the slip of joints and grip. Dials at carriage, bridge end and column top tell which part is soft: put them in as further points. The program draws the straight line and gives stiffness and hysteresis."},
		pull,
		report.Paragraph{Text: fmt.Sprintf("Tap test, form resonance.csv: accelerometer at the tool, hammer along x, y, z, drives held, controller on and once more off; at least five periods and 33/f seconds, ten samples a period. Two peaks close together: no damping. Damping predicted %.3g, from %.3g to %.3g.", plan.Damping.Nominal, plan.Damping.Low, plan.Damping.High)},
		tap,
	}
}
