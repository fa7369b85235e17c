package pack

import (
	"errors"
	"fmt"
	"math"

	"spanwright/assess"
	"spanwright/design"
	"spanwright/drive"
	"spanwright/machine"
	"spanwright/report"
	"spanwright/structure"
	"spanwright/tuning"
	"spanwright/wording"
)

// feedForward is the velocity feed-forward to begin with: common practice, no source.
const feedForward = 0.95

// loop is the position loop to begin with.
func (s Source) loop(a *machine.Axis) (tuning.PositionLoop, error) {
	r := s.Assessment.Results.Axes[a.Spec.ID]
	k := float64(r.DriveStiff)
	if p := a.Spec.Pair; p != nil && p.Driven != "one" {
		k *= 2 // both sides hold the bridge
	}
	locked, err := drive.LockedFrequency(k, float64(r.Moved))
	if err != nil {
		return tuning.PositionLoop{}, err
	}
	gain, err := tuning.FirstGain(locked)
	return tuning.PositionLoop{Gain: gain, FeedForward: feedForward}, err
}

// feed is what turns the motor's angle into travel.
func feed(a *machine.Axis) (tuning.Feed, error) {
	gearing, err := structure.OutputGearing(a)
	f := tuning.Feed{PerTurn: 2 * math.Pi / gearing, Ratio: 1, Counts: a.Motor.Counts}
	if a.Gear != nil {
		f.Ratio = a.Gear.Ratio
	}
	return f, err
}

// axisSheet is the table of one axis, with its homing and belt.
func (s Source) axisSheet(a *machine.Axis) ([]report.Block, error) {
	t := report.Table{Header: []string{"setting", "computed", "set", "measured"}, Widths: []float64{2.7, 4.2, 1.2, 1.2}}
	add := func(name, text string) {
		if text != "" {
			t.Rows = append(t.Rows, []string{name, text, "", ""})
		}
	}
	r := s.Assessment.Results.Axes[a.Spec.ID]
	f, errFeed := feed(a)
	l := a.Spec.Limits
	set, errSet := f.Settings(l.Speed, l.Acceleration)
	loop, errLoop := s.loop(a)
	band := 0.0
	if b := s.Assessment.Machine.Design.Task.Targets.SettleBand; b != nil {
		band = *b
	}
	window := tuning.InPositionWindow(band, set.CountsPerM)
	lag, trip, errLag := loop.Following(l.Speed, window)
	if err := errors.Join(errFeed, errSet, errLoop, errLag); err != nil {
		return nil, err
	}
	add("drive", driveWords(a))
	add("feed constant", fmt.Sprintf("%.6g mm a turn of the drive shaft; gear %.6g; %.6g mm a motor turn", 1000*f.PerTurn, f.Ratio, 1000*set.PerMotorTurn))
	if set.CountsPerM > 0 {
		add("counts", fmt.Sprintf("%.7g per mm (%.7g a motor turn)", set.CountsPerM/1000, f.Counts))
	}
	add("speed", fmt.Sprintf("%s, motor %s", wording.Value(l.Speed, "m/s"), wording.Value(set.MotorSpeed, "rad/s")))
	add("acceleration", wording.Value(l.Acceleration, "m/s2"))
	if l.Deceleration != nil {
		add("deceleration", wording.Value(*l.Deceleration, "m/s2"))
	}
	add("jerk", jerk(l))
	add("emergency stop", s.stopWords(a, r))
	add("torque limit", torqueLimit(a, set.PerMotorTurn))
	add("position gain K_v", fmt.Sprintf("%.3g 1/s, with %.0f %% velocity feed-forward", loop.Gain, 100*loop.FeedForward))
	add("following error", fmt.Sprintf("%s at full speed; window %s", wording.Value(lag, "m"), wording.Value(trip, "m")))
	add("in-position window", fmt.Sprintf("%s for 20 ms", wording.Value(window, "m")))
	for _, e := range r.Ends {
		add(e.End+" end", fmt.Sprintf("software limit %s, switch %s, hard stop %s", atTenths(float64(e.Soft)), atTenths(float64(e.Switch)), atTenths(float64(e.HardStop))))
	}
	if h := r.Homing; h != nil {
		add("homing", fmt.Sprintf("turn %d; search %s, creep %s; mark offset to be set", h.Turn, wording.Value(float64(h.Search), "m/s"), wording.Value(float64(h.Creep), "m/s")))
	}
	if b := a.Brake; b != nil {
		add("brake", fmt.Sprintf("close %s before the torque is removed; open %s before the motion starts", wording.Value(b.Apply, "s"), opens(b.Release)))
		if x := float64(r.BrakeTest); x > 0 {
			add("brake test", fmt.Sprintf("%s on the brakes: motor %s along the load, %s against it; at low height or supported", wording.Value(x, "N m"), wording.Value(float64(r.BrakeTestDown), "N m"), wording.Value(float64(r.BrakeTestUp), "N m")))
		}
	}
	if a.Belt != nil {
		text, err := beltTension(a)
		if err != nil {
			return nil, err
		}
		add("belt", text)
	}
	if x := float64(r.Friction); x > 0 {
		add("running friction", fmt.Sprintf("at most %s at the carriage, %s at the motor without losses", wording.Value(x, "N"), wording.Value(x*set.PerMotorTurn/(2*math.Pi), "N m")))
	}
	out := []report.Block{t}
	if h := r.Homing; h != nil {
		out = append(out, report.List{Items: h.Steps})
	}
	return out, nil
}

func opens(release float64) string {
	if release > 0 {
		return wording.Value(release, "s")
	}
	return "(not in the part data)"
}

func jerk(l design.Limits) string {
	if l.Jerk == nil {
		return "none: the acceleration jumps"
	}
	return fmt.Sprintf("%s (%s to full acceleration)", wording.Value(*l.Jerk, "m/s3"), wording.Value(l.Acceleration / *l.Jerk, "s"))
}

// driveWords names the parts of a drive.
func driveWords(a *machine.Axis) string {
	text := ""
	switch {
	case a.Belt != nil:
		text = fmt.Sprintf("%s, pulley of %d teeth", a.Belt.ID, a.Teeth)
	case a.Screw != nil:
		text = fmt.Sprintf("%s, lead %s", a.Screw.ID, wording.Value(a.Screw.Lead, "m"))
	case a.Rack != nil:
		text = fmt.Sprintf("%s, pinion of %d teeth", a.Rack.ID, a.Rack.Teeth)
	}
	text += ", motor " + a.Motor.ID
	if n := a.Motors(); n > 1 {
		text += fmt.Sprintf(" (%d)", n)
	}
	if a.Gear != nil {
		text += ", gear " + a.Gear.ID
	}
	return text
}

func (s Source) stopWords(a *machine.Axis, r *assess.AxisResult) string {
	c := s.Assessment.Machine.Design.Equipment.Control
	text := fmt.Sprintf("category %d", c.StopCategory)
	if d := a.Spec.Limits.Stop; d != nil {
		text += ", " + wording.Value(*d, "m/s2")
	}
	if x := float64(r.StopDistance); x > 0 {
		text += fmt.Sprintf(": %s in %s from full speed, %s reaction included in the way", wording.Value(x, "m"), wording.Value(float64(r.StopTime), "s"), wording.Value(c.Reaction, "s"))
	}
	return text
}

// torqueLimit is the least of what motor, gear and tooth, screw or rack bear,
// as motor torque.
func torqueLimit(a *machine.Axis, perTurn float64) string {
	least, by := math.Inf(1), ""
	take := func(torque float64, name string) {
		if torque > 0 && torque < least {
			least, by = torque, name
		}
	}
	take(a.Motor.Tmax, "peak torque of the motor")
	if a.Gear != nil {
		take(a.Gear.T2B/a.Gear.Ratio, "repeating output torque of the gear")
	}
	if a.Belt != nil {
		take(a.Belt.Cord*perTurn/(2*math.Pi), "cord force of the belt")
	}
	if a.Rack != nil {
		take(a.Rack.Force*perTurn/(2*math.Pi), "rated force of the rack")
	}
	if by == "" {
		return ""
	}
	return fmt.Sprintf("%s a motor (%s); lower while setting up", wording.Value(least, "N m"), by)
}

// beltTension is the frequency of the longer strand with the carriage at the
// end of travel that makes it longest.
func beltTension(a *machine.Axis) (string, error) {
	b, x := structure.BeltOf(a, 0)
	place, free := 0.0, math.Max(x, b.Length-x)
	if _, y := structure.BeltOf(a, a.Spec.Travel); math.Max(y, b.Length-y) > free {
		place, free = a.Spec.Travel, math.Max(y, b.Length-y)
	}
	strand := drive.Strand{MassPerLength: a.Belt.MassPerM, FreeLength: free}
	f, err := strand.Frequency(a.Pretension)
	if err != nil {
		return "", err
	}
	text := fmt.Sprintf("%s in each run: %.3g Hz ±5 %% (tension ±10 %%), carriage at %s, free strand from the carriage %s long, %.3g kg/m",
		wording.Value(a.Pretension, "N"), f, atTenths(place), wording.Value(free, "m"), a.Belt.MassPerM)
	if free < 10*a.Belt.Width {
		text = fmt.Sprintf("%s in each run; the strand of %s is too short for its frequency: press it in the middle, force 4 T y/L", wording.Value(a.Pretension, "N"), wording.Value(free, "m"))
	}
	return text + "; again after 50 h", nil
}
