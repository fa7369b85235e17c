package pack

import (
	"fmt"
	"math"

	"spanwright/asbuilt"
	"spanwright/machine"
	"spanwright/report"
	"spanwright/wording"
)

// Commissioning is the sheet by which the machine is assembled, aligned and set
// up, with room for what was set and measured.
func (s Source) Commissioning(plan *asbuilt.Plan) (*report.Document, error) {
	doc := s.document("Commissioning sheet")
	add := func(b ...report.Block) { doc.Blocks = append(doc.Blocks, b...) }
	add(report.Heading{Level: 1, Text: "1 Order of work"}, report.List{Items: s.orderOfWork()})
	add(report.Heading{Level: 1, Text: "2 Alignment"}, report.Paragraph{
		Text: "Targets and tolerances are common practice, no source; those of the guide's maker win. Readings also go into forms/geometry.csv.",
	}, alignmentTable(plan), report.Paragraph{
		Text: "A level is read twice, turned end for end, and the mean taken. A wire sags by m' g L²/(8 T). The diagonals a tape measures show no less than about 0.5 mm/m at 2 m: use a square or a laser below.",
	})
	add(report.Heading{Level: 1, Text: "3 Feet"})
	add(s.feet()...)
	add(report.Heading{Level: 1, Text: "4 Screws"})
	add(s.screws()...)
	add(report.Heading{Level: 1, Text: "5 Axes"}, report.Paragraph{
		Text: "Gains and windows are where to begin, not what is best; all are common practice, no source, where nothing else is said. Axis coordinates run from 0 at the minus end of the programmed travel.",
	})
	for _, a := range s.Assessment.Machine.Axes {
		blocks, err := s.axisSheet(a)
		if err != nil {
			return nil, fmt.Errorf("axis %s: %w", a.Spec.ID, err)
		}
		add(report.Heading{Level: 2, Text: "Axis " + a.Spec.ID})
		add(blocks...)
	}
	add(report.Heading{Level: 1, Text: "6 Resonances"})
	blocks, err := s.resonances(plan)
	if err != nil {
		return nil, err
	}
	add(blocks...)
	add(report.Heading{Level: 1, Text: "7 Maintenance"}, s.maintenance())
	add(report.Heading{Level: 1, Text: "8 Carried out"}, report.Table{
		Header: []string{"", "name", "date", "signature"}, Widths: []float64{1.6, 3, 1.6, 3},
		Rows: [][]string{{"mechanics", "", "", ""}, {"electrics and drives", "", "", ""}, {"safety functions tested", "", "", ""}, {"handed over", "", "", ""}},
	})
	return doc, nil
}

// orderOfWork leaves out what the machine does not have. Source: common practice.
func (s Source) orderOfWork() []string {
	m := s.Assessment.Machine
	first := m.Axes[0]
	out := []string{"Set up the stand, level it, load the feet evenly"}
	if m.Design.Stand.Anchored {
		out[0] += ", then anchor it and level again"
	} else {
		out[0] += "; the stand is free-standing: hold it against tipping until all is tightened"
	}
	if p := first.Spec.Pair; p != nil {
		out = append(out,
			fmt.Sprintf("Mount the locating runway of %s (%s side) and align it; screws by the table in chapter 4", first.Spec.ID, p.Fixed),
			fmt.Sprintf("Mount the other runway parallel to it, %s apart, measured at both ends and at each mount; its mount floats", wording.Value(p.Spacing, "m")),
			"Set the bridge on and square it to the runways; run it by hand over the whole travel: no tight place",
		)
	} else {
		out = append(out, fmt.Sprintf("Mount the beam of %s on its supports and align it; screws by the table in chapter 4", first.Spec.ID))
	}
	for _, a := range m.Axes[1:] {
		what := "Mount axis " + a.Spec.ID + " and square it to what carries it"
		if a.Gravity() {
			what = "Mount axis " + a.Spec.ID + " plumb, its load supported from below until its brake has been tested"
		}
		out = append(out, what)
	}
	out = append(out,
		"Drives: motors, gears, couplings; belt tension by strand frequency, chapter 5",
		"Cable carriers, cables, switches, hard stops and bumpers at their places, chapter 5",
		"Guards in place. Wiring check; release each brake by hand with the load supported",
		"Direction of travel and of the encoder, each axis alone, at 50 mm/s or less, nobody in reach",
		"Over-travel switches from both sides at slow speed, then software limits; hard stops by hand",
		"Homing in the order of chapter 5",
		"Tuning, beginning with the values of chapter 5 and the remedy of chapter 6",
		"Warm-up and acceptance test, with its own document and forms",
	)
	return out
}

// alignmentTable lists the alignments with room for the reading.
func alignmentTable(plan *asbuilt.Plan) report.Table {
	t := report.Table{Header: []string{"what", "target", "tolerance", "how", "measured", "by, date"}, Widths: []float64{2.4, .8, 1.2, 3.4, 1.1, 1.1}}
	for _, g := range plan.GeometryTargets() {
		t.Rows = append(t.Rows, []string{g.Quantity, fmt.Sprintf("%.4g", g.Target), fmt.Sprintf("±%.3g %s", g.Tolerance, g.Unit), g.Method, "", ""})
	}
	return t
}

// feet lists what each foot carries and how to level.
func (s Source) feet() []report.Block {
	t := report.Table{Header: []string{"foot", "x", "y", "least load", "largest load", "set", "check"}, Right: []bool{false, true, true, true, true}, Widths: []float64{2.4, 1, 1, 1.1, 1.1, .9, .9}}
	for _, f := range s.Assessment.Results.Stand.FootLoads {
		t.Rows = append(t.Rows, []string{f.Foot, value(f.X, "m"), value(f.Y, "m"), value(f.Min, "N"), value(f.Max, "N"), "", ""})
	}
	return []report.Block{
		report.Paragraph{Text: "Turn the feet until the stand is level to 0.2 mm/m and none can be turned by hand, beginning with the three that carry most; lock them, look again after a day and after the retorque of the screws. Loads over all poses and load cases:"},
		t,
	}
}

// fastening is one kind of screw at one kind of place.
type fastening struct {
	part, screw, class, order string
	torque                    float64
	each, places              int
}

// screws lists all joints, plates and clamps with torque and number.
func (s Source) screws() []report.Block {
	t := report.Table{Header: []string{"part", "screw", "torque", "screws", "places", "in all", "order", "done", "after 24 to 100 h"}, Right: []bool{false, false, true, true, true, true}, Widths: []float64{2.5, 1.2, 1, .8, .8, .7, 1.8, .7, 1.1}}
	for _, f := range fastenings(s.Assessment.Machine) {
		t.Rows = append(t.Rows, []string{f.part, f.screw + " " + f.class, wording.Value(f.torque, "N m"), fmt.Sprint(f.each), fmt.Sprint(f.places), fmt.Sprint(f.each * f.places), f.order, "", ""})
	}
	return []report.Block{
		report.Paragraph{Text: "Torques are those of the part data, threads as supplied, not oiled; torque wrench. Mark each screw with a line over head and part when it is done. Screws of guides, motors and gears: by their makers."},
		t,
	}
}

// fastenings counts joints, plates and clamps in the order of the machine.
func fastenings(m *machine.Machine) []fastening {
	var out []fastening
	add := func(f fastening) {
		for i := range out {
			same := out[i]
			same.places = f.places
			if same == f {
				out[i].places += f.places
				return
			}
		}
		out = append(out, f)
	}
	for _, mem := range m.Members {
		for _, j := range mem.Joints {
			if j.HasPart() {
				p := j.Part
				add(fastening{part: p.ID + ", " + p.Family, screw: p.Screw, class: p.Class, order: order(p.Count), torque: p.Torque, each: p.Count, places: 1})
			}
		}
	}
	for _, c := range m.Connections {
		axis := m.Axes[c.Axis].Spec.ID
		if p := c.Plate; p != nil {
			add(fastening{part: p.ID + ", plate of " + axis, screw: p.Screw, class: p.Class, order: order(p.Count), torque: p.Torque, each: p.Count, places: 2})
		}
		if p := c.Clamp; p != nil {
			add(fastening{part: p.ID + ", clamps of " + axis, screw: p.Screw, class: p.Class, order: "both sides in turn", torque: p.Torque, each: p.Count, places: 2 * c.Clamps})
		}
	}
	return out
}

// order of tightening by the number of screws.
func order(n int) string {
	switch {
	case n > 2:
		return "crosswise, in two rounds"
	case n == 2:
		return "in turn, in two rounds"
	}
	return "one"
}

func (s Source) maintenance() report.Block {
	t := report.Table{Header: []string{"what", "first", "then every", "how"}, Widths: []float64{2, 1, 1.1, 5}}
	for _, m := range s.Assessment.Results.Maintained {
		t.Rows = append(t.Rows, []string{m.Item, hours(float64(m.First)), hours(float64(m.Every)), m.Action + " (" + m.Source + ")"})
	}
	return t
}

// hours prints running time.
func hours(s float64) string {
	if !finite(s) {
		return ""
	}
	return wording.Value(math.Round(s/3600), "h")
}

// value prints a result; empty where it was not computed.
func value[T ~float64](v T, unit string) string {
	if !finite(float64(v)) {
		return ""
	}
	return wording.Value(float64(v), unit)
}

// atTenths prints a place to a tenth of a millimetre.
func atTenths(v float64) string { return inMM(v) + " mm" }
