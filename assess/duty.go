package assess

import (
	"cmp"
	"context"
	"fmt"
	"math"

	"spanwright/drive"
	"spanwright/guide"
	"spanwright/machine"
	"spanwright/motion"
	"spanwright/quantity"
	"spanwright/rolling"
	"spanwright/structure"
)

// axisDuty is what one axis does and bears over the cycle.
type axisDuty struct {
	axis     *machine.Axis
	sharing  *sharing
	moved    [2]float64 // kg, empty and loaded
	train    drive.Train
	steady   [2]float64 // force that holds the axis against gravity, N, along +x; empty and loaded
	legs     []drive.Leg
	demand   drive.MotorDemand
	peak     thrust // largest drive force over the cycle
	least    thrust // most negative drive force
	rms      float64
	friction float64 // largest running friction, cable carrier included, N
	drag     float64 // of it the cable carrier's part, N
	push     float64 // drive force that holds the axis against its cable carrier, N along +x
	travel   float64 // m a cycle
	blocks   []blockDuty
	share    float64 // largest share of a force of note that one of two driven sides has; 1 for one side
	thrusts  []sharedThrust
}

// sharedThrust is a drive force and the share of the more loaded side.
type sharedThrust struct{ force, share float64 }

// worstShare is the largest share among the forces that reach half the largest
// one: a small force may sit anywhere, and matters to neither side.
func (d *axisDuty) worstShare() float64 {
	most, share := math.Abs(d.largest().force), 0.0
	for _, t := range d.thrusts {
		if math.Abs(t.force) >= most/2 {
			share = math.Max(share, t.share)
		}
	}
	return share
}

// thrust is a drive force and where it occurs.
type thrust struct {
	force float64
	where moment
	now   instant
}

// blockDuty is one block over the cycle.
type blockDuty struct {
	peak  float64 // largest equivalent load, moments against M0, N
	where moment
	spans []rolling.Span
	err   error // why an equivalent load could not be formed
}

// dutyOfAxes follows every axis through the cycle.
func (r *run) dutyOfAxes(context.Context) error {
	lumps := r.m.Lumps()
	for _, a := range r.m.Axes {
		d, err := r.dutyOf(a, lumps)
		if err != nil {
			return fmt.Errorf("axis %s: %w", a.Spec.ID, err)
		}
		r.axes = append(r.axes, d)
	}
	return nil
}

func (r *run) dutyOf(a *machine.Axis, lumps []machine.BodyLump) (axisDuty, error) {
	d := axisDuty{axis: a, moved: [2]float64{r.m.Moved(a.Index, false), r.m.Moved(a.Index, true)}}
	var err error
	if d.sharing, err = newSharing(r.m, a); err != nil {
		return d, err
	}
	if d.train, err = train(a); err != nil {
		return d, err
	}
	d.drag, d.push = r.carrierDrag(a), r.carrierPush(a)
	for i, kg := range d.moved {
		d.steady[i] = holding(a, kg) + d.push
	}
	d.blocks = make([]blockDuty, len(a.Blocks))
	for _, span := range r.timeline.Intervals {
		if err := r.followAxis(&d, span, lumps); err != nil {
			return d, err
		}
	}
	if d.demand, err = d.train.Demand(r.timeline.Duration, d.legs...); err != nil {
		return d, err
	}
	d.share = d.worstShare()
	square := 0.0
	for _, l := range d.legs {
		square += l.Load.Demand(l.Curve).SquareForce
	}
	d.rms = math.Sqrt(square / r.timeline.Duration)
	return d, nil
}

// holding is the drive force that holds a mass on the axis at rest, with its
// counterbalance, N along +x.
func holding(a *machine.Axis, kg float64) float64 {
	f := kg * quantity.StandardGravity * a.Vertical()
	if c := a.Spec.Counter; c != nil {
		up := 1.0
		if a.Vertical() < 0 {
			up = -1
		}
		if c.Weight != nil {
			f -= up * c.Ratio * *c.Weight * quantity.StandardGravity
		}
		if c.Spring != nil {
			f -= up * *c.Spring
		}
	}
	return f
}

// loadIn is the share of the payload that hangs on the tool during an interval:
// on the way as the step says, while waiting the most that is carried before or
// after.
func (r *run) loadIn(span motion.Interval) float64 {
	for i, l := range r.legs {
		next := r.legs[(i+1)%len(r.legs)]
		switch span.Name {
		case name(l, "move"), name(l, "shaper delay"):
			return l.share()
		case name(l, "settle"), name(l, "dwell"):
			return max(l.share(), next.share())
		}
	}
	return 0
}

// followAxis adds one interval of the cycle: its leg, its forces, its block loads.
func (r *run) followAxis(d *axisDuty, span motion.Interval, lumps []machine.BodyLump) error {
	share := r.loadIn(span)
	loaded := share > 0
	lumps = r.withPayload(lumps, share)
	curve := r.timeline.Curve(d.axis.Spec.ID).Between(span.Start, span.End)
	friction := 0.0
	for _, phase := range r.phasesIn(span) {
		friction = math.Max(friction, r.followPhase(d, span, phase, loaded, lumps))
	}
	kg, steady := d.moved[0]+share*(d.moved[1]-d.moved[0]), d.steady[0]+share*(d.steady[1]-d.steady[0])
	d.friction = math.Max(d.friction, friction)
	d.legs = append(d.legs, drive.Leg{Curve: curve, Load: motion.Load{Mass: kg + counterMass(d.axis), Steady: steady, Friction: friction}})
	return nil
}

// withPayload adds a share of the payload to the lumps of the machine.
func (r *run) withPayload(lumps []machine.BodyLump, share float64) []machine.BodyLump {
	if !(share > 0) {
		return lumps
	}
	payload := r.m.PayloadLump()
	payload.Kg *= share
	return append(lumps[:len(lumps):len(lumps)], payload)
}

// counterMass is the mass of a counterweight as the axis feels it, kg.
func counterMass(a *machine.Axis) float64 {
	if c := a.Spec.Counter; c != nil && c.Weight != nil {
		return c.Ratio * c.Ratio * *c.Weight
	}
	return 0
}

func (r *run) phasesIn(span motion.Interval) []motion.Phase {
	var out []motion.Phase
	for _, p := range r.phases {
		if mid := p.Middle(); mid > span.Start && mid < span.End {
			out = append(out, p)
		}
	}
	return out
}

// inside is how far within a phase its ends are looked at, s: accelerations jump
// at the corners, and the ends belong to this phase.
const inside = 1e-9

// followPhase looks at both ends of a stretch in which no axis changes its law
// and returns the largest friction.
func (r *run) followPhase(d *axisDuty, span motion.Interval, phase motion.Phase, loaded bool, lumps []machine.BodyLump) float64 {
	times := [2]float64{phase.Start + inside, phase.End - inside}
	var loads [2][]guide.BlockLoad
	friction := 0.0
	var first instant
	for i, t := range times {
		now := r.at(t, loaded)
		if i == 0 {
			first = now
		}
		driven := r.drive(d, now, lumps)
		loads[i] = driven.loads
		friction = math.Max(friction, driven.friction)
		d.note(driven.force, moment{r.m, span.Name, now}, now)
		d.thrusts = append(d.thrusts, sharedThrust{driven.force, driven.share})
	}
	way := math.Abs(r.timeline.At(d.axis.Spec.ID, phase.End).Position - r.timeline.At(d.axis.Spec.ID, phase.Start).Position)
	d.travel += way
	for b := range d.blocks {
		d.blocks[b].follow(d.axis, loads[0][b], loads[1][b], way, moment{r.m, span.Name, first})
	}
	return friction
}

// driven is what moves an axis at an instant.
type driven struct {
	loads    []guide.BlockLoad
	force    float64 // of the drive, N along +x
	share    float64 // of it on the more loaded side
	friction float64 // running friction, cable carrier included, N
}

// drive finds the drive force of an axis at an instant: weight and inertia of
// what it moves, friction against its motion, counterbalance, cable carrier.
func (r *run) drive(d *axisDuty, now instant, lumps []machine.BodyLump) driven {
	var out driven
	out.loads, out.force, out.share = d.sharing.blockLoads(lumps, r.m, now)
	out.friction = frictionAt(d.axis, out.loads, r.m.Design.Assumptions.GuideFriction.High) + d.drag
	own := now.v[d.axis.Index]
	switch {
	case own > 0:
		out.force += out.friction
	case own < 0:
		out.force -= out.friction
	}
	out.force += counterbalance(d.axis, now.a[d.axis.Index]) + d.push
	return out
}

// counterbalance is what a counterweight or gas spring changes in the drive
// force at an acceleration, N along +x.
func counterbalance(a *machine.Axis, acc float64) float64 {
	return holding(a, 0) + counterMass(a)*acc
}

func (d *axisDuty) note(f float64, where moment, now instant) {
	if f > d.peak.force || !d.peak.where.seen() {
		d.peak = thrust{f, where, now}
	}
	if f < d.least.force || !d.least.where.seen() {
		d.least = thrust{f, where, now}
	}
}

// largest is the greater of the forces forward and backward.
func (d *axisDuty) largest() thrust {
	if -d.least.force > d.peak.force {
		return d.least
	}
	return d.peak
}

// at is the machine at a time of the cycle.
func (r *run) at(t float64, loaded bool) instant {
	n := len(r.m.Axes)
	now := instant{q: make([]float64, n), v: make([]float64, n), a: make([]float64, n), loaded: loaded}
	for i, a := range r.m.Axes {
		s := r.timeline.At(a.Spec.ID, t)
		now.q[i], now.v[i], now.a[i] = s.Position, s.Speed, s.Accel
	}
	return now
}

// moment is a time of the cycle, put into words only where it is shown: many are
// looked at for each one that decides.
type moment struct {
	m    *machine.Machine
	span string
	now  instant
}

// seen tells whether it is any moment at all.
func (w moment) seen() bool { return w.m != nil }

func (w moment) String() string {
	if !w.seen() {
		return "at no time"
	}
	text := "step " + w.span
	for i, a := range w.m.Axes {
		text += fmt.Sprintf(", %s %.3f m", a.Spec.ID, w.now.q[i])
	}
	if w.now.loaded {
		text += ", loaded"
	}
	return text
}

// frictionAt is the running friction of the guides and the drive of an axis, N,
// at a friction of the guides.
func frictionAt(a *machine.Axis, loads []guide.BlockLoad, mu float64) float64 {
	sum := 0.0
	for _, l := range loads {
		sum += math.Abs(l.Normal) + math.Abs(l.Lateral)
	}
	beams := float64(len(a.Beams))
	return mu*sum + float64(len(a.Blocks))*a.Block.Seal + beams*a.Part.Drag
}

// follow adds a stretch of travel to a block.
func (b *blockDuty) follow(a *machine.Axis, from, to guide.BlockLoad, way float64, where moment) {
	p, errP := equivalent(a, from)
	q, errQ := equivalent(a, to)
	b.err = cmp.Or(b.err, errP, errQ)
	b.reach(max(p, q), where)
	if way > 0 {
		b.spans = append(b.spans, rolling.Span{From: p, To: q, Weight: way})
	}
}

// reach keeps the largest load and where it acts.
func (b *blockDuty) reach(load float64, where moment) {
	if load > b.peak || !b.where.seen() {
		b.peak, b.where = load, where
	}
}

// equivalent is the equivalent load of a block.
func equivalent(a *machine.Axis, l guide.BlockLoad) (float64, error) {
	return guide.EqualCapacity(a.Block.C0, guide.Vector{a.Block.M0x, a.Block.M0y, a.Block.M0z}).Equivalent(l)
}

// train is motor, gear and transmission of an axis with all that turns.
func train(a *machine.Axis) (drive.Train, error) {
	gearing, err := structure.OutputGearing(a)
	if err != nil {
		return drive.Train{}, err
	}
	t := drive.Train{
		MotorInertia: a.Motor.J,
		Gear:         drive.Gear{Ratio: 1, Efficiency: 1},
		Transmission: drive.Transmission{Gearing: gearing, Inertia: a.Part.Inertia * float64(len(a.Beams)), Efficiency: 1, BackEfficiency: 1},
	}
	if a.Brake != nil {
		t.MotorInertia += a.Brake.J
	}
	if a.Gear != nil {
		t.Gear = drive.Gear{Ratio: a.Gear.Ratio, Efficiency: a.Gear.Eta, Inertia: a.Gear.J}
	}
	if n := float64(a.Motors()); n > 1 {
		t.MotorInertia *= n
		t.Gear.Inertia *= n
	}
	switch {
	case a.Screw != nil:
		return screwTrain(a, t)
	case a.Rack != nil:
		t.Transmission.Inertia += a.Rack.PinionJ * float64(len(a.Beams))
	case a.Belt != nil:
		// The belt itself moves with the carriage: 2 beam lengths of it.
		r := 1 / gearing
		t.Transmission.Inertia += 2 * a.Length * a.Belt.MassPerM * r * r * float64(len(a.Beams))
	}
	if a.Shaft != nil {
		t.Transmission.Inertia += 2*a.Shaft.J + lineShaftInertia(a)
	}
	return t, nil
}

func screwTrain(a *machine.Axis, t drive.Train) (drive.Train, error) {
	s := drive.BallScrew{Lead: a.Screw.Lead, Efficiency: a.Screw.Eta}
	back, err := s.BackEfficiency()
	if err != nil {
		return t, err
	}
	j, err := drive.RoundBarInertia(drive.ScrewSteel().Density, a.Length, a.Screw.Dc)
	if err != nil {
		return t, err
	}
	t.Transmission.Inertia += j
	t.Transmission.Efficiency, t.Transmission.BackEfficiency = a.Screw.Eta, back
	if a.Screw.Preload > 0 {
		if t.Transmission.Drag, err = s.PreloadDrag(a.Screw.Preload); err != nil {
			return t, err
		}
	}
	return t, nil
}

// lineShaftInertia is the tube of a line shaft about its axis, kg m².
func lineShaftInertia(a *machine.Axis) float64 {
	m := a.Shaft.MassPerM * a.Spec.Pair.Spacing
	o, i := a.Shaft.Outer, a.Shaft.Inner
	return m * (o*o + i*i) / 8
}
