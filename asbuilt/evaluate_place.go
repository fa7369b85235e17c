package asbuilt

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/accuracy"
)

// positioning evaluates each axis to ISO 230-2.
func (e *evaluation) positioning() {
	if !e.known("axis", e.axisNames()) {
		return
	}
	ids, axes := by(e.f.Rows, func(r Row) string { return r.Text["axis"] })
	for _, id := range ids {
		a, _ := e.p.axis(id)
		var test accuracy.Positioning
		var groups [][]reading
		targets, rows := by(axes[id], func(r Row) string { return fmt.Sprintf("%.4f", r.Num["target_mm"]) })
		slices.SortFunc(targets, func(s, t string) int {
			return int(math.Copysign(1, rows[s][0].Num["target_mm"]-rows[t][0].Num["target_mm"]))
		})
		least := math.MaxInt
		for _, t := range targets {
			var side [2][]float64
			for i, word := range []string{"up", "down"} {
				var with []reading
				for _, r := range rows[t] {
					if r.Text["direction"] == word {
						d := (r.Num["actual_mm"] - r.Num["target_mm"]) * 1e-3
						side[i], with = append(side[i], d), append(with, reading{r, d, "axis " + id})
					}
				}
				groups = append(groups, with)
				least = min(least, len(side[i]))
			}
			test.Forward, test.Backward = append(test.Forward, side[0]), append(test.Backward, side[1])
		}
		e.flag(groups, e.u(), "um", 1e-6)
		r, err := test.Evaluate()
		if err != nil {
			e.missing("axis "+id, err.Error())
			continue
		}
		note := ""
		if want := len(a.Targets); len(targets) < want || least < runs {
			note = fmt.Sprintf("%d targets with at least %d runs each way; the test asks for %d and %d", len(targets), least, want, runs)
		}
		add := func(quantity string, value, u float64, predicted *Range, limit *float64) {
			e.find(Finding{Subject: "axis " + id, Quantity: quantity, Unit: "m", Measured: Number(value), U: Number(u), Readings: len(axes[id]), Note: note}, predicted, limit, atMost)
		}
		// A range and a reversal are differences of two readings. The scatter is
		// that of about least runs at the worst target.
		difference := math.Sqrt2 * e.u()
		add("A, accuracy, both directions", r.Accuracy.Both, difference, nil, e.p.AccuracyLimit)
		add("R, repeatability, both directions", r.Repeatability.Both, math.Hypot(e.u(), uDeviation(1, least)*r.Repeatability.Both/2), nil, e.p.RepeatabilityLimit)
		add("B, reversal", r.Reversal, difference, a.Reversal, nil)
		add("E, systematic deviation, both directions", r.Systematic.Both, difference, nil, nil)
		add("M, range of the means", r.Mean, difference, nil, nil)
	}
}

// pose evaluates the tool point to ISO 9283.
func (e *evaluation) pose() {
	var names []string
	command := map[string]r3.Vec{}
	for _, x := range e.p.Points {
		names, command[x.Name] = append(names, x.Name), x.At
	}
	if !e.known("point", names) {
		return
	}
	points, rows := by(e.f.Rows, func(r Row) string { return r.Text["point"] })
	var groups [][]reading
	for _, name := range points {
		at := command[name]
		var attained []accuracy.Point
		for _, r := range rows[name] {
			attained = append(attained, accuracy.Point{r.Num["x_mm"] * 1e-3, r.Num["y_mm"] * 1e-3, r.Num["z_mm"] * 1e-3})
		}
		groups = append(groups, fromMiddle(name, rows[name], attained)...)
		r, err := accuracy.Pose(accuracy.Point{at.X, at.Y, at.Z}, attained)
		if err != nil {
			e.missing("point "+name, err.Error())
			continue
		}
		note := ""
		if len(attained) < cycles {
			note = fmt.Sprintf("%d cycles; the test asks for %d", len(attained), cycles)
		}
		n := len(attained)
		scatter := r.Deviation / math.Sqrt(float64(n))
		e.find(Finding{Subject: name, Quantity: "AP, pose accuracy", Unit: "m", Measured: Number(r.Accuracy), U: Number(math.Hypot(e.u(), 2*scatter)), Readings: n, Note: note}, e.p.Accuracy, e.p.AccuracyLimit, atMost)
		e.find(Finding{Subject: name, Quantity: "RP, pose repeatability", Unit: "m", Measured: Number(r.Repeatability), U: Number(math.Hypot(e.u(), uDeviation(3, n)*r.Deviation)), Readings: n, Note: note}, e.p.Repeatability, e.p.RepeatabilityLimit, atMost)
	}
	e.flag(groups, e.u(), "um", 1e-6)
}

// fromMiddle are the coordinates of the attained points, each direction a group.
func fromMiddle(name string, rows []Row, attained []accuracy.Point) [][]reading {
	out := make([][]reading, 3)
	for k := range out {
		for i, p := range attained {
			out[k] = append(out[k], reading{rows[i], p[k], name + " along " + "xyz"[k:k+1]})
		}
	}
	return out
}

// distance evaluates distances to ISO 9283.
func (e *evaluation) distance() {
	var names []string
	command := map[string]float64{}
	for _, x := range e.p.Pairs {
		names, command[x.Name] = append(names, x.Name), x.Distance
	}
	if !e.known("pair", names) {
		return
	}
	pairs, rows := by(e.f.Rows, func(r Row) string { return r.Text["pair"] })
	var groups [][]reading
	defer func() { e.flag(groups, e.u(), "um", 1e-6) }()
	for _, name := range pairs {
		values, with := columnOf(rows[name], name, "distance_mm", 1e-3)
		groups = append(groups, with)
		r, err := accuracy.Scalar(command[name], values)
		if err != nil {
			e.missing(name, err.Error())
			continue
		}
		n := len(values)
		e.find(Finding{Subject: name, Quantity: "AD, distance accuracy", Unit: "m", Measured: Number(r.Accuracy), U: Number(uMean(values, e.u())), Readings: n}, nil, nil, "")
		e.find(Finding{Subject: name, Quantity: "RD, distance repeatability", Unit: "m", Measured: Number(r.Repeatability), U: Number(math.Hypot(e.u(), uDeviation(1, n)*r.Repeatability)), Readings: n}, nil, nil, "")
	}
}

// geometry judges each alignment against the tolerance in its row.
func (e *evaluation) geometry() {
	for _, r := range e.f.Rows {
		per := 1e-3 // mm to m, mm/m to m/m; the uncertainty in um or um/m goes the same way
		off := math.Abs(r.Num["measured"]-r.Num["target"]) * per
		limit := r.Num["tolerance"] * per
		unit := "m"
		if r.Text["unit"] == "mm/m" {
			unit = "rad"
		}
		if !(limit > 0) {
			e.bad(r, "tolerance", fmt.Sprint(r.Num["tolerance"]), "tolerance: a number above zero is needed", nil)
			continue
		}
		e.find(Finding{Subject: r.Text["id"], Quantity: r.Text["quantity"], Unit: unit, Measured: Number(off), U: Number(e.u()), Readings: 1, Note: "distance from the target"}, nil, &limit, atMost)
	}
}
