package assess

import (
	"context"
	"fmt"
	"math"
	"sort"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/accuracy"
	"spanwright/drive"
	"spanwright/ledger"
	"spanwright/machine"
	"spanwright/structure"
)

// accuracyChecks judge repeatability and accuracy of the tool point from what
// drives, guides, structure and temperature contribute.
func (r *run) accuracyChecks(context.Context) error {
	var back, place []errorPart
	for i := range r.axes {
		b, p, err := r.axisErrors(&r.axes[i])
		if err != nil {
			return fmt.Errorf("axis %s: %w", r.axes[i].axis.Spec.ID, err)
		}
		back, place = append(back, b...), append(place, p...)
	}
	place = append(place, back...)
	angles, err := r.guideErrors()
	if err != nil {
		return err
	}
	place = append(place, angles...)
	place = append(place, errorPart{"deflection over the work space", excursion(r.study.maps[level]), accuracy.Systematic})

	t := r.m.Design.Task.Targets
	r.budget("tool.repeatability", "task.targets.repeatability", "repeatability of the tool point", t.Repeatability, back, &r.results.Tool.Repeatability,
		"coming back from any side, warm, with the same payload: play, friction and resolution")
	r.budget("tool.accuracy", "task.targets.accuracy", "accuracy of the tool point", t.Accuracy, place, &r.results.Tool.Accuracy,
		"uncompensated, over work space and temperature span; teaching or a correction table removes most of it")
	return nil
}

// excursion is how far the loaded deflection of the tool point differs over a map,
// in each world direction, m. A mast that leans under its own weight is in it.
func excursion(maps []structure.Response) r3.Vec {
	least := r3.Vec{X: math.Inf(1), Y: math.Inf(1), Z: math.Inf(1)}
	most := r3.Scale(-1, least)
	for _, p := range maps {
		u := p.Loaded()
		least = r3.Vec{X: math.Min(least.X, u.X), Y: math.Min(least.Y, u.Y), Z: math.Min(least.Z, u.Z)}
		most = r3.Vec{X: math.Max(most.X, u.X), Y: math.Max(most.Y, u.Y), Z: math.Max(most.Z, u.Z)}
	}
	return r3.Sub(most, least)
}

// errorPart is one source of error of the tool point, as a vector of its worst sizes along world x, y, z.
type errorPart struct {
	name string
	size r3.Vec
	kind accuracy.Kind
}

// along is an error of a size along an axis.
func along(a *machine.Axis, name string, size float64, kind accuracy.Kind) errorPart {
	d := r3.Vec{X: math.Abs(a.Dir.X), Y: math.Abs(a.Dir.Y), Z: math.Abs(a.Dir.Z)}
	return errorPart{a.Spec.ID + " " + name, r3.Scale(math.Abs(size), d), kind}
}

// axisErrors lists what the drive of one axis contributes: to coming back, and to going to a place.
func (r *run) axisErrors(d *axisDuty) (back, place []errorPart, err error) {
	a := d.axis
	least := math.Inf(1)
	for k := range 11 {
		s, e := structure.DriveStiffness(r.m, a, a.Spec.Travel*float64(k)/10)
		if e != nil {
			return nil, nil, e
		}
		least = math.Min(least, s)
	}
	if p := a.Spec.Pair; p != nil && p.Driven != "one" {
		least *= 2 // both sides hold the bridge
	}
	play, err := r.play(d)
	if err != nil {
		return nil, nil, err
	}
	lost, err := accuracy.Reversal{Backlash: play, Friction: d.friction, Stiffness: least}.LostMotion()
	if err != nil {
		return nil, nil, err
	}
	out := r.results.Axes[a.Spec.ID]
	out.Friction, out.Repeatability = Number(d.friction), Number(lost)
	back = append(back, along(a, "lost motion: play and friction over the drive's stiffness", lost, accuracy.Systematic))
	if counts := a.Motor.Counts; counts > 0 {
		step := 2 * math.Pi / counts / (d.train.Transmission.Gearing * d.train.Gear.Ratio)
		back = append(back, along(a, "encoder step", step, accuracy.Random))
	}
	scale, name, err := scaleError(a)
	if err != nil {
		return nil, nil, err
	}
	place = append(place, along(a, name, scale, accuracy.Systematic))
	t := r.m.Design.Task.Surroundings.Temperature
	growth, err := drive.ThermalGrowth(drive.ScrewSteel().Expansion, a.Spec.Travel, t[1]-t[0])
	return back, append(place, along(a, "growth over the temperature span", growth, accuracy.Systematic)), err
}

// play is the backlash of gear, screw and rack at the carriage, m. The weight of
// a gravity axis keeps the flanks together if it exceeds the friction.
func (r *run) play(d *axisDuty) (float64, error) {
	a := d.axis
	if a.Gravity() && math.Abs(d.steady[0]) > d.friction {
		return 0, nil
	}
	sum := 0.0
	if a.Gear != nil && a.Gear.Backlash > 0 {
		lost, err := drive.Lost{Backlash: a.Gear.Backlash, Stiffness: math.Inf(1), Gearing: d.train.Transmission.Gearing}.LostMotion()
		if err != nil {
			return 0, err
		}
		sum += lost
	}
	if a.Screw != nil {
		sum += a.Screw.Backlash
	}
	if a.Rack != nil {
		sum += a.Rack.Backlash
	}
	return sum, nil
}

// scaleError is the error of lead or pitch over the travel, m.
func scaleError(a *machine.Axis) (size float64, name string, err error) {
	switch {
	case a.Belt != nil:
		return a.Belt.LengthTol * a.Spec.Travel, "belt length", nil
	case a.Rack != nil:
		return a.Rack.PitchErr * a.Spec.Travel, "rack pitch", nil
	}
	g := drive.Grade(a.Screw.Grade)
	if g == 7 || g == 10 {
		size, err = g.TransportError(a.Spec.Travel)
	} else {
		size, err = g.PositioningError(math.Max(a.Spec.Travel, 0.1))
	}
	return size, fmt.Sprintf("screw lead, grade %d", a.Screw.Grade), err
}

// guideErrors are the running angles of every guide times their levers to the
// tool point, the largest over the poses.
func (r *run) guideErrors() ([]errorPart, error) {
	worst := make([]r3.Vec, len(r.m.Axes))
	for _, q := range r.study.forces.Poses {
		tool := r.m.ToolPoint(q)
		var links []accuracy.Link
		for _, a := range r.m.Axes {
			// Running angles act about all three directions, either way.
			e := a.Block.Angular
			links = append(links, accuracy.Link{Name: a.Spec.ID, Angles: [3]float64{e, e, e}, At: triple(r.m.NodeAt(a.Carriages[0], q))})
		}
		for i := range links {
			c, err := accuracy.Chain(links[i:i+1], triple(tool))
			if err != nil {
				return nil, err
			}
			w := &worst[i]
			w.X, w.Y, w.Z = math.Max(w.X, c.Largest[0]), math.Max(w.Y, c.Largest[1]), math.Max(w.Z, c.Largest[2])
		}
	}
	var out []errorPart
	for i, a := range r.m.Axes {
		out = append(out, errorPart{a.Spec.ID + " guide angles times lever", worst[i], accuracy.Systematic})
	}
	return out, nil
}

// budget adds up error parts in each world direction, systematic ones in full
// and random ones as root of the sum of squares, and judges the length of the
// result.
func (r *run) budget(id, subject, title string, target *float64, parts []errorPart, result *Number, note string) {
	c := newCheck(id, subject, title)
	c.Note = note
	var sum [3]float64
	var err error
	for k := range sum {
		var list []accuracy.Contribution
		for _, p := range parts {
			list = append(list, accuracy.Contribution{Name: p.name, Size: triple(p.size)[k], Kind: p.kind})
		}
		b, e := accuracy.Sum(list...)
		sum[k], err = b.Mixed, first(err, e)
	}
	value := math.Sqrt(sum[0]*sum[0] + sum[1]*sum[1] + sum[2]*sum[2])
	*result = Number(value)
	sort.SliceStable(parts, func(i, j int) bool { return r3.Norm(parts[i].size) > r3.Norm(parts[j].size) })
	for _, p := range parts {
		c.Parts = append(c.Parts, ledger.Contribution{Name: p.name, Value: r3.Norm(p.size), Unit: "m"})
	}
	w := ledger.Working{
		Formula: "R = sqrt(e_x^2 + e_y^2 + e_z^2)",
		Inputs: []ledger.Input{
			in("e_x", "along world x, systematic in full, random as root of the sum of squares", sum[0], "m", "parts below"),
			in("e_y", "along world y", sum[1], "m", "parts below"), in("e_z", "along world z", sum[2], "m", "parts below"),
		},
		Source: "error chain of small angles, derived; combination " + practice + "; compare with ISO 9283 (pose) and ISO 230-2 (axis) when measured",
	}
	if target == nil {
		r.skip(id, fmt.Sprintf("no %s; computed: %.4g m", subject, value))
		return
	}
	r.add(atMost(c, value, *target, "m", w), err)
}
