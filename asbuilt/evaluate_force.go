package asbuilt

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"spanwright/drive"
	"spanwright/equip"
)

// evidence is a measured value that the joint stiffness has a part in.
type evidence struct {
	subject   string
	q         []float64
	direction int // of a pull; -1: the lowest frequency
	value, u  float64
	differs   bool // E_n above 1
}

func (e *evaluation) poseNames() (names []string, poses map[string]PullPose) {
	poses = map[string]PullPose{}
	for _, x := range e.p.Pulls {
		names, poses[x.Name] = append(names, x.Name), x
	}
	return names, poses
}

// stiffness evaluates the pull tests.
func (e *evaluation) stiffness() {
	names, poses := e.poseNames()
	if !e.known("pose", names) {
		return
	}
	keys, rows := by(e.f.Rows, func(r Row) string {
		point := r.Text["point"]
		if point == "" {
			point = tool
		}
		return r.Text["pose"] + " " + r.Text["axis"] + " " + point
	})
	var groups [][]reading
	for _, key := range keys {
		first := rows[key][0]
		d := int(first.Text["axis"][0] - 'x')
		point := first.Text["point"]
		atTool := point == "" || point == tool
		force, _ := columnOf(rows[key], key, "force_N", 1)
		deflection, _ := columnOf(rows[key], key, "deflection_mm", 1e-3)
		fit, err := FitPull(force, deflection)
		if err != nil {
			e.missing(key, err.Error())
			continue
		}
		groups = append(groups, fromLine(key, rows[key], force, deflection))
		low, high := force[0], force[0]
		for _, f := range force {
			low, high = math.Min(low, f), math.Max(high, f)
		}
		u := fit.uncertainty(high-low, e.u(), e.f.U["U_N"])
		var predicted *Range
		if atTool {
			k := poses[first.Text["pose"]].Stiffness[d]
			predicted = &k
		}
		e.find(Finding{Subject: key, Quantity: "stiffness", Unit: "N/m", Measured: Number(fit.Stiffness), U: Number(u), Readings: len(force)}, predicted, nil, "")
		if f := &e.out.Findings[len(e.out.Findings)-1]; f.Agrees != nil {
			e.out.evidence = append(e.out.evidence, evidence{subject: "stiffness " + key, q: poses[first.Text["pose"]].Q, direction: d, value: fit.Stiffness, u: u, differs: !*f.Agrees})
		}
		e.find(Finding{Subject: key, Quantity: "hysteresis", Unit: "m", Measured: Number(fit.Hysteresis), U: Number(math.Sqrt2 * e.u()), Readings: len(force)}, nil, nil, "")
	}
	e.flag(groups, e.u(), "um", 1e-6)
}

// tool is the word for the tool point in the pull test.
const tool = "tool"

// fromLine are the distances from a line that half the points may miss: the
// median of all slopes (Theil and Sen), so that a wrong point cannot draw it.
// Source: Sen, Journal of the American Statistical Association 63 (1968) (from memory).
func fromLine(of string, rows []Row, force, deflection []float64) []reading {
	var slopes, offsets []float64
	for i := range force {
		for j := range i {
			if force[i] != force[j] {
				slopes = append(slopes, (deflection[i]-deflection[j])/(force[i]-force[j]))
			}
		}
	}
	slope := median(slopes)
	for i := range force {
		offsets = append(offsets, deflection[i]-slope*force[i])
	}
	var out []reading
	for i := range force {
		out = append(out, reading{rows[i], offsets[i], of})
	}
	return out
}

// resonance evaluates the tap tests: the mean of the records of each pose and
// direction, and the lowest of the directions against the model.
func (e *evaluation) resonance() {
	names, poses := e.poseNames()
	if !e.known("pose", names) {
		return
	}
	rows := e.f.Rows
	if e.f.Raw {
		rows = e.ringings()
	}
	var frequencies, dampings [][]reading
	at, perPose := by(rows, func(r Row) string { return r.Text["pose"] })
	for _, name := range at {
		lowest := Finding{Measured: Number(math.Inf(1))}
		ways, perWay := by(perPose[name], func(r Row) string { return r.Text["direction"] })
		for _, w := range ways {
			values, with := columnOf(perWay[w], name+" along "+w, "frequency_hz", 1)
			frequencies = append(frequencies, with)
			f := Finding{Subject: name + " along " + w, Quantity: "resonance", Unit: "Hz", Measured: Number(stat.Mean(values, nil)), U: Number(uMean(values, e.f.U["U_hz"])), Readings: len(values)}
			if f.Measured < lowest.Measured {
				lowest = f
			}
			e.find(f, nil, nil, "")
			_, damping := columnOf(perWay[w], "damping of "+name+" along "+w, "damping", 1)
			dampings = append(dampings, present(damping))
		}
		lowest.Subject, lowest.Quantity = name, "lowest natural frequency"
		if len(ways) < 2 {
			lowest.Note = "tapped along one direction only: a lower mode may lie along another"
		}
		predicted := poses[name].Frequency
		e.find(lowest, &predicted, e.p.FrequencyLimit, atLeast)
		f := e.out.Findings[len(e.out.Findings)-1]
		e.out.evidence = append(e.out.evidence, evidence{subject: "frequency " + name, q: poses[name].Q, direction: -1, value: float64(f.Measured), u: float64(f.U), differs: f.Agrees != nil && !*f.Agrees})
	}
	e.flag(frequencies, e.f.U["U_hz"], "Hz", 1)
	e.flag(dampings, 0, "of critical", 1)
	for _, g := range dampings {
		e.out.damping = append(e.out.damping, g...)
	}
	e.dampingFound()
}

// dampingFound lists the mean damping.
func (e *evaluation) dampingFound() {
	var values []float64
	for _, r := range e.out.damping {
		values = append(values, r.value)
	}
	if len(values) == 0 {
		return
	}
	p := e.p.Damping
	e.find(Finding{Subject: "all records", Quantity: "damping ratio", Measured: Number(stat.Mean(values, nil)), U: Number(uMean(values, 0)), Readings: len(values)}, &p, nil, "")
}

// present drops readings of cells that stayed empty, and dampings that are none.
func present(list []reading) (out []reading) {
	for _, r := range list {
		if r.value > 0 && r.value < 1 {
			out = append(out, r)
		}
	}
	return out
}

// ringings evaluates records of samples: each becomes a row as if it had been
// read off by hand.
func (e *evaluation) ringings() (out []Row) {
	keys, rows := by(e.f.Rows, func(r Row) string {
		return fmt.Sprintf("%s along %s, record %g", r.Text["pose"], r.Text["direction"], r.Num["record"])
	})
	for _, key := range keys {
		time, _ := columnOf(rows[key], key, "time_s", 1)
		signal, _ := columnOf(rows[key], key, "accel_m_s2", 1)
		ring, err := ReadRinging(time, signal)
		switch {
		case errors.Is(err, ErrCloseModes):
			e.missing(key, "close modes: the peaks grow again, so the damping is not known")
		case err != nil:
			e.missing(key, err.Error())
			continue
		}
		first := rows[key][0]
		first.Num = map[string]float64{"record": first.Num["record"], "frequency_hz": ring.Natural, "damping": ring.Damping}
		out = append(out, first)
	}
	return out
}

// fullSpeed is how close to the programmed speed a stop must begin to be
// compared with its prediction. Common practice, no source.
const fullSpeed = 0.05

// unlikelyStop tells whether the mean speed of a stop, distance over time, is no
// part of the speed it began with: between a tenth of it and the whole, with a
// tenth for the reading of the time. A constant deceleration gives one half.
// The bounds are common practice, no source.
func unlikelyStop(r Row) bool {
	mean := r.Num["distance_mm"] * 1e-3 / r.Num["time_s"] / r.Num["speed_m_s"]
	return !(mean >= 0.1 && mean <= 1.1)
}

// stop compares the longest stop of each axis and direction.
func (e *evaluation) stop() {
	if !e.known("axis", e.axisNames()) {
		return
	}
	most := equip.UsualBrakeTest().MostStopRatio
	keys, rows := by(e.f.Rows, func(r Row) string {
		return fmt.Sprintf("axis %s to %s, category %g", r.Text["axis"], r.Text["direction"], r.Num["category"])
	})
	var groups [][]reading
	defer func() { e.flag(groups, e.u(), "mm", 1e-3) }()
	for _, key := range keys {
		first := rows[key][0]
		a, _ := e.p.axis(first.Text["axis"])
		predicted := a.Stop
		if first.Num["category"] == 0 {
			predicted = a.PowerOff
		}
		distances, with := columnOf(rows[key], key, "distance_mm", 1e-3)
		groups = append(groups, with)
		if i := slices.IndexFunc(rows[key], unlikelyStop); i >= 0 {
			e.missing(key, fmt.Sprintf("not judged: distance, speed and time of line %d do not go together, look at the units", rows[key][i].Line))
			continue
		}
		longest, slow := 0.0, false
		for i, d := range distances {
			longest = math.Max(longest, d)
			slow = slow || math.Abs(rows[key][i].Num["speed_m_s"]/a.Axis.Spec.Limits.Speed-1) > fullSpeed
		}
		f := Finding{Subject: key, Quantity: "longest stop", Unit: "m", Measured: Number(longest), U: Number(e.u()), Readings: len(distances)}
		if slow {
			f.Note = "not all runs began at the programmed speed: not compared"
			e.find(f, nil, nil, "")
			continue
		}
		e.find(f, predicted, &a.StopRoom, atMost)
		if predicted == nil {
			continue
		}
		base := predicted.Nominal
		if predicted.Bound {
			base = predicted.High
		}
		e.find(Finding{Subject: key, Quantity: "longest stop over predicted", Measured: Number(longest / base), U: Number(e.u() / base), Readings: len(distances)}, nil, &most, atMost)
	}
}

// brake judges torque, time and movement of the static brake test.
func (e *evaluation) brake() {
	if !e.known("axis", e.axisNames()) {
		return
	}
	for _, r := range e.f.Rows {
		id := r.Text["axis"]
		a, _ := e.p.axis(id)
		if a.Brake == nil {
			e.bad(r, "axis", id, "axis "+id+" has no brake under a load", nil)
			continue
		}
		b := a.Brake
		torque := math.Abs(r.Num["torque_Nm"])
		e.find(Finding{Subject: "axis " + id, Quantity: "test torque on the brakes", Unit: "N m", Measured: Number(torque), Readings: 1, Note: "must reach what the test asks for"}, nil, &b.Torque, atLeast)
		e.find(Finding{Subject: "axis " + id, Quantity: "time held", Unit: "s", Measured: Number(r.Num["duration_s"]), Readings: 1}, nil, &b.Hold, atLeast)
		e.find(Finding{Subject: "axis " + id, Quantity: "movement under the test torque", Unit: "m", Measured: Number(math.Abs(r.Num["movement_mm"]) * 1e-3), U: Number(e.u()), Readings: 1}, nil, &b.Most, atMost)
	}
}

// warmup fits the drift of the tool point.
func (e *evaluation) warmup() {
	var time, drift []float64
	start := e.f.Rows[0]
	for _, r := range e.f.Rows {
		d := 0.0
		for _, c := range []string{"x_mm", "y_mm", "z_mm"} {
			d = math.Hypot(d, (r.Num[c]-start.Num[c])*1e-3)
		}
		time, drift = append(time, r.Num["time_h"]*3600), append(drift, d)
	}
	fit, err := FitWarmUp(time, drift)
	if err != nil {
		e.missing("warm-up", err.Error())
		return
	}
	n := len(time)
	u := math.Hypot(math.Sqrt2*e.u(), 2*fit.Scatter)
	e.find(Finding{Subject: "tool point", Quantity: "drift when warm", Unit: "m", Measured: Number(fit.Final), U: Number(u), Readings: n, Note: "fit of a first-order lag"}, e.growth(start), nil, "")
	e.find(Finding{Subject: "tool point", Quantity: "time constant", Unit: "s", Measured: Number(fit.Constant), U: Number(math.NaN()), Readings: n}, nil, nil, "")
	if e.p.AccuracyLimit == nil {
		return
	}
	hours := (time[n-1] - time[n-2]) / 3600
	rate := math.Abs(drift[n-1]-drift[n-2]) / hours
	limit := 0.1 * *e.p.AccuracyLimit
	e.find(Finding{Subject: "tool point", Quantity: "drift in the last hour", Unit: "m", Measured: Number(rate), U: Number(math.Sqrt2 * e.u() / hours), Readings: 2, Note: "a tenth of the accuracy wanted counts as warm (common practice, no source)"}, nil, &limit, atMost)
}

// growth is the growth of the beams along the travels over the rise
// of temperature that was recorded, as a bound; nil without temperatures.
func (e *evaluation) growth(start Row) *Range {
	rise := 0.0
	for _, r := range e.f.Rows {
		rise = math.Max(rise, math.Abs(r.Num["temp_C"]-start.Num["temp_C"]))
	}
	if !(rise > 0) {
		return nil
	}
	sum := 0.0
	for _, a := range e.p.Axes {
		g, err := drive.ThermalGrowth(e.p.Machine.Members[a.Axis.Beams[0]].Material.Alpha, a.Axis.Spec.Travel, rise)
		if err != nil {
			return nil
		}
		sum = math.Hypot(sum, g)
	}
	return bound(sum)
}
