package search

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"spanwright/assess"
	"spanwright/design"
	"spanwright/equip"
	"spanwright/ledger"
	"spanwright/machine"
	"spanwright/motion"
	"spanwright/parts"
)

// errNoFit is returned, wrapped, where nothing derived makes the choice a machine.
var errNoFit = errors.New("no machine comes of this choice")

// roughFit is the beginning of what is derived: nothing of any axis yet.
func (p *Problem) roughFit(s *Space, pace Pace, limits []axisLimits) fitted {
	n := len(p.axes)
	f := fitted{limits: limits, stops: make([]float64, n), hard: make([]float64, n), bumpers: make([]string, n), carriers: make([]carrierFit, n)}
	for i := range p.axes {
		f.stops[i], f.hard[i], f.bumpers[i] = limits[i].accel, endStep, p.bumpers()[0].ID
		f.carriers[i] = carrierFit{p.Catalogue.IDs("carrier")[0], none}
	}
	return f
}

// clone is a copy whose lists are its own.
func (f fitted) clone() fitted {
	f.stops, f.hard, f.bumpers, f.carriers = slices.Clone(f.stops), slices.Clone(f.hard), slices.Clone(f.bumpers), slices.Clone(f.carriers)
	return f
}

// fitAxis derives the ends of travel of axis i by its stop alone, its cable
// carrier, and a stand that is large enough for anything.
func (p *Problem) fitAxis(c Choice, f *fitted, i int) error {
	part, ok := p.Catalogue.Axis(c.Axes[i].Part)
	if !ok {
		return fmt.Errorf("%w: axis part %s", errNoFit, c.Axes[i].Part)
	}
	l := f.limits[i]
	f.stops[i] = stopDeceleration(l.accel*c.Pace.Stop, l.accel, part)
	stop, err := p.stop(l.speed, f.stops[i])
	if err != nil {
		return err
	}
	f.hard[i] = ceil(switchAt+stop+equip.StopClearance, endStep)
	f.roughStand(p, c)
	return p.fitCarrier(c, f, i)
}

// endStep is to what the places of hard stops are rounded up, m: so that
// choices which hardly differ share a length of beam; own choice.
const endStep = 0.020

// stopDeceleration is that of an emergency stop: as wanted, as far as the axis
// part allows, and not below the working acceleration.
func stopDeceleration(wanted, accel float64, part *parts.Axis) float64 {
	return math.Max(accel, math.Min(ceil(wanted, 0.1), part.AMax))
}

// stop is the way of an emergency stop with its margin, m.
func (p *Problem) stop(speed, decel float64) (float64, error) {
	s := motion.ControlledStop{Speed: speed, Decel: decel, Onset: motion.OnsetJerk, Jerk: ceil(decel/stopRise, 1), Reaction: p.Task.Equipment.Control.Reaction}
	way, err := s.Stop()
	return way.WithMargin(p.Task.Assumptions.Limits.StopMargin, leastStopMargin), err
}

// leastStopMargin is the least margin on a stopping distance, m: as in the check.
const leastStopMargin = 0.010

// curtain is the distance of a light curtain that the longest stop asks for,
// rounded up, m; 0 where it cannot be computed.
func (p *Problem) curtain(limits []axisLimits, stops []float64) float64 {
	control := p.Task.Equipment.Control
	longest := 0.0
	for i, l := range limits {
		s, err := motion.ControlledStop{Speed: l.speed, Decel: stops[i], Onset: motion.OnsetJerk, Jerk: ceil(stops[i]/stopRise, 1)}.Stop()
		if err != nil {
			return 0
		}
		longest = math.Max(longest, s.Time)
	}
	const wear = 1.1 // as in the check
	total, err := equip.StopTime{Sensor: sensorTime, Drive: control.Reaction, Stop: longest, Wear: wear}.Total()
	need, errNeed := equip.CurtainDistance(total, resolution)
	if err != nil || errNeed != nil {
		return 0
	}
	return ceil(need.Least, 0.05)
}

// bumpers are all bumpers, the cheapest first.
func (p *Problem) bumpers() (out []*parts.Bumper) {
	for _, part := range p.Catalogue.List("bumper") {
		out = append(out, part.(*parts.Bumper))
	}
	return cheapest(out, func(b *parts.Bumper) (float64, string) { return b.Cost, b.ID })
}

// fitEnd derives the ends of travel of axis i: the cheapest bumper that passes
// its checks, and room for the drop of a mast. A bumper that is too weak tells
// which hit it did not stand, so that others that do not either are passed over.
// It returns the machine, how far its most used check is used, and which check
// discards it where one does.
func (p *Problem) fitEnd(c Choice, f *fitted, i int) (m *machine.Machine, used float64, why string) {
	if err := p.fitAxis(c, f, i); err != nil {
		return nil, 0, "fit"
	}
	id := p.axes[i].id
	var weak []equip.Impact
	for _, b := range p.bumpersOf(i) {
		if tooWeak(b, weak) {
			continue
		}
		f.bumpers[i] = b.ID
		m, checks, err := p.endChecks(c, f, i)
		if err != nil {
			return nil, 0, "fit"
		}
		if drop := checks["axis."+id+".brake.drop"]; drop.Verdict == ledger.Over {
			f.hard[i] = math.Max(f.hard[i], ceil(softLimit+drop.Value, endStep))
			if m, checks, err = p.endChecks(c, f, i); err != nil {
				return nil, 0, "fit"
			}
		}
		worst := worstOf(checks)
		if worst.Verdict != ledger.Over && worst.Verdict != ledger.Unknown {
			return m, worst.Utilisation, ""
		}
		if why = worst.Kind; !strings.HasPrefix(why, "stop.") {
			return nil, 0, why
		}
		weak = append(weak, impactOf(checks["stop."+id+".energy_hit"]))
	}
	return nil, 0, why
}

// impactOf is the hit that a bumper's check was judged for.
func impactOf(k ledger.Check) (hit equip.Impact) {
	for _, in := range k.Working.Inputs {
		switch in.Symbol {
		case "m":
			hit.Mass = in.Value
		case "v":
			hit.Speed = in.Value
		case "F_p":
			hit.Drive = in.Value
		case "G":
			hit.Weight = in.Value
		}
	}
	return hit
}

// tooWeak tells whether a bumper cannot take one of the hits: whatever the
// bumper, the axis can meet it in that way.
func tooWeak(b *parts.Bumper, hits []equip.Impact) bool {
	return slices.ContainsFunc(hits, func(h equip.Impact) bool {
		h.Stroke, h.Efficiency = b.Stroke, b.Eta
		hit, err := h.Hit()
		return err == nil && hit.Energy > b.Energy
	})
}

// worstOf is the check that discards an axis, one that a bumper cannot mend
// before one that it may, or the most used one.
func worstOf(checks map[string]ledger.Check) (worst ledger.Check) {
	rank := func(k ledger.Check) int {
		switch {
		case k.Verdict != ledger.Over && k.Verdict != ledger.Unknown:
			return 0
		case strings.HasPrefix(k.Kind, "stop."):
			return 1
		}
		return 2
	}
	for _, k := range checks {
		order := cmp.Or(cmp.Compare(rank(k), rank(worst)), cmp.Compare(k.Utilisation, worst.Utilisation), cmp.Compare(worst.ID, k.ID))
		if worst.ID == "" || order > 0 {
			worst = k
		}
	}
	return worst
}

// sameEnds tells whether two fits have the same ends of travel and carriers.
func (f fitted) sameEnds(o fitted) bool {
	return slices.Equal(f.hard, o.hard) && slices.Equal(f.bumpers, o.bumpers) && slices.Equal(f.carriers, o.carriers)
}

// endChecks screens axis i with its carrier fitted to its ends.
func (p *Problem) endChecks(c Choice, f *fitted, i int) (*machine.Machine, map[string]ledger.Check, error) {
	f.roughStand(p, c) // with the ends as they are now
	if err := p.fitCarrier(c, f, i); err != nil {
		return nil, nil, err
	}
	m, err := p.build(c, *f)
	if err != nil {
		return nil, nil, err
	}
	screened, err := assess.ScreenAxis(m, i, nil)
	if err != nil {
		return nil, nil, err
	}
	out := make(map[string]ledger.Check, len(screened.Checks))
	for _, k := range screened.Checks {
		out[k.ID] = k
	}
	return m, out, nil
}

// bumpersOf are the bumpers that an axis may have: the settled one, or all.
func (p *Problem) bumpersOf(i int) []*parts.Bumper {
	for _, e := range p.Task.Equipment.Ends {
		if e.Axis == p.axes[i].id && p.Task.File.Given("equipment.ends."+e.Axis+".bumper") {
			if b, ok := p.Catalogue.Bumper(e.Bumper); ok {
				return []*parts.Bumper{b}
			}
		}
	}
	return p.bumpers()
}

// shortestBumper is the bumper that takes the least room.
func (p *Problem) shortestBumper() string {
	return slices.MinFunc(p.bumpers(), func(x, y *parts.Bumper) int { return cmp.Compare(x.Stroke, y.Stroke) }).ID
}

// build makes the machine of a choice.
func (p *Problem) build(c Choice, f fitted) (*machine.Machine, error) {
	m, list := machine.Build(p.draft(c, f, false).d, p.Catalogue)
	if len(list) > 0 {
		return nil, fmt.Errorf("%w: %w", errNoFit, list.Err())
	}
	return m, nil
}

// roughStand is a stand that is large enough for anything, to learn the
// lengths of the axes on.
func (f *fitted) roughStand(p *Problem, c Choice) {
	length := 0.0
	if part, ok := p.Catalogue.Axis(c.Axes[0].Part); ok {
		length = p.axes[0].travel + part.Plate + 2*part.EndLength + 2*f.hard[0]
	}
	f.span, f.depth, f.height = length, 2, 2
	if p.gantry() {
		f.spacing = p.spacing(c, *f)
		f.depth = f.spacing
		f.bridge = p.bridge(c, *f)
	}
}

// spacing is the distance of the runways: the load passes between the legs, and
// the mast between the carriages of both, up to the compressed hard stops.
func (p *Problem) spacing(c Choice, f fitted) float64 {
	y := p.axes[1]
	beside := size(p.Catalogue, c.Frame.Leg)
	if runway, ok := p.Catalogue.Axis(c.Axes[0].Part); ok {
		beside = math.Max(beside, runway.PlateWidth)
	}
	between := math.Max(across(p.Task, y.dir), mastWidth(p, c))
	for _, a := range c.Axes[1:] {
		if plate, ok := p.Catalogue.Plate(a.Join); ok {
			between = math.Max(between, math.Max(plate.Width, plate.Length))
		}
	}
	return ceil(y.travel+2*p.reserve(f, 1)+between+beside+2*sideGap, 0.05) + f.aside
}

// reserve is how far an axis can run beyond its travel until the bumper is compressed, m.
func (p *Problem) reserve(f fitted, i int) float64 {
	reserve := f.hard[i]
	if b, ok := p.Catalogue.Bumper(f.bumpers[i]); ok {
		reserve += b.Stroke
	}
	return reserve
}

// bridge is the length of the bridge's beam: long enough for its own travel with
// both ends, and to lie on the carriages of both runways.
func (p *Problem) bridge(c Choice, f fitted) float64 {
	part, ok := p.Catalogue.Axis(c.Axes[1].Part)
	runway, there := p.Catalogue.Axis(c.Axes[0].Part)
	if !ok || !there {
		return 0
	}
	own := p.axes[1].travel + part.Plate + 2*p.reserve(f, 1) + 2*part.EndLength
	return ceil(math.Max(own, f.spacing+runway.PlateWidth), 0.01)
}

// sideGap is left between what moves and what stands, m: own choice.
const sideGap = 0.05

// across is the size of the payload along a level direction, with what its
// centre lies aside counted on both sides, m.
func across(d *design.Design, dir [3]float64) float64 {
	pay := d.Task.Payload
	sum := 0.0
	for k := range 2 {
		aside := math.Abs(pay.Centre[k] + d.Task.Tool.Point[k])
		sum += math.Abs(dir[k]) * (pay.Size[k] + 2*aside)
	}
	return sum
}

// toolAcross is the same for the box that stands for the tool, m.
func toolAcross(d *design.Design, dir [3]float64) float64 {
	sum := 0.0
	for k := range 2 {
		sum += math.Abs(dir[k]) * (machine.ToolWidth(d.Task.Payload.Size[k]) + 2*math.Abs(d.Task.Tool.Point[k]))
	}
	return sum
}

// size is the larger side of a profile, m.
func size(catalogue *parts.Catalogue, id string) float64 {
	profile, ok := catalogue.Profile(id)
	if !ok {
		return 0
	}
	return math.Max(profile.Size[0], profile.Size[1])
}

// mastWidth is the width of the block plate of the last axis, m.
func mastWidth(p *Problem, c Choice) float64 {
	part, ok := p.Catalogue.Axis(c.Axes[len(c.Axes)-1].Part)
	if !ok {
		return 0
	}
	return math.Max(part.PlateWidth, part.Plate)
}

// fitStand sets span, depth and height: the beam may reach over its last
// support by a part of what a check allows, the load passes the legs, and the
// payload hangs at working height when all is drawn down.
func (p *Problem) fitStand(c Choice, f *fitted) error {
	f.curtain = p.curtain(f.limits, f.stops)
	f.roughStand(p, c)
	m, err := p.build(c, *f)
	if err != nil {
		return err
	}
	first := p.axes[0]
	overhang := overhangShare * p.Task.Assumptions.Limits.SupportSpacing / 2
	f.span = m.Axes[0].Length - 2*overhang
	leg := size(p.Catalogue, c.Frame.Leg)
	pass := first.travel + 2*math.Abs(m.ToolPoint(home(m)).X*first.dir[0]+m.ToolPoint(home(m)).Y*first.dir[1]+first.travel/2) + leg + 2*sideGap
	if p.gantry() {
		pass += math.Max(mastWidth(p, c), toolAcross(p.Task, first.dir)) + 2*p.reserve(*f, 0) // the load hangs below the cross rails, mast and tool beside them
	} else {
		pass += across(p.Task, first.dir)
	}
	f.span = ceil(math.Max(f.span, pass), 0.05)
	bottom := m.ToolPoint(home(m)).Z - m.Point.Z + m.Payload.Centre.Z - p.Task.Task.Payload.Size[2]/2
	f.height = math.Max(0.2, ceil(f.height+workHeight-bottom, 0.01))
	if !p.gantry() {
		f.depth = ceil(c.Frame.Width*f.height, 0.05)
	}
	return nil
}

// workHeight is how high the underside of the payload hangs with every axis at
// 0, m: as of conveyors and tables; own choice, stand.generate.height settles it.
const workHeight = 0.75

// overhangShare is what is used of the beam's overhang that the check allows: own choice.
const overhangShare = 0.8

func home(m *machine.Machine) []float64 { return make([]float64, len(m.Axes)) }
