package assess

import (
	"context"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/ledger"
	"spanwright/machine"
	"spanwright/quantity"
	"spanwright/section"
	"spanwright/stand"
	"spanwright/structure"
)

const standCaution = "Anchors, floor and erection follow local codes and the review of a competent or licensed practitioner; secure the stand against tipping during assembly."

// standChecks judge the stand as a structure and as a body on the floor.
func (r *run) standChecks(context.Context) error {
	r.results.Stand.Mass = Number(r.m.BodyMass(0))
	r.stressCheck()
	r.legBuckling()
	if err := r.tippingChecks(); err != nil {
		return err
	}
	r.footChecks()
	r.braceChecks()
	return nil
}

func (r *run) stressCheck() {
	f := r.study.forces
	worst, most := 0, -1.0
	for i, s := range f.Stress {
		if u := s.Mises / r.m.Members[i].Material.Yield; u > most {
			worst, most = i, u
		}
	}
	mem, s := r.m.Members[worst], f.Stress[worst]
	c := newCheck("stand.stress", "stand", "largest stress in a member, "+mem.ID)
	c.Note = "gantries are governed by stiffness as a rule; a low utilisation here is normal"
	r.decidedBy(c.ID, Decisive{Axis: -1, Feet: [2]int{-1, -1}, Member: worst})
	r.add(atMost(c, s.Mises, mem.Material.Yield/r.m.Design.Assumptions.Limits.Stress, "Pa", ledger.Working{
		Formula: "s_v = sqrt(s_x^2 + 3 * t^2)",
		Inputs: []ledger.Input{
			in("s_x", "|N|/A + |My|/Wy + |Mz|/Wz, every resultant at its greatest, "+f.Combos[s.Combo].Name, s.Sigma, "Pa", "whole-machine solution, "+r.poseText(f.Poses[s.Pose])),
			in("t", "|Vy|/Asy + |Vz|/Asz + |T|/Wt", s.Tau, "Pa", "whole-machine solution"),
			in("R", "least yield strength of "+mem.Profile.Material, mem.Material.Yield, "Pa", "materials table"),
			in("x", "place along the member", s.At, "m", "whole-machine solution"),
			in("S", "safety", r.m.Design.Assumptions.Limits.Stress, "", "assumptions.limits.stress"),
		},
		Source: "elementary beam theory, von Mises; safety " + practice,
	}), nil)
}

// legBuckling compares the compression of every leg with its Euler load with
// the buckling length of a sway frame hinged at the foot.
func (r *run) legBuckling() {
	legs := map[string]float64{} // physical leg -> length
	worst, most := -1, -1.0
	var critical, load float64
	for i, mem := range r.m.Members {
		if mem.Role == machine.Leg {
			legs[mem.Bar] += r.m.Length(i)
		}
	}
	const sway = 2.0 // buckling length over length: foot hinged, top held against turning, free to sway
	for i, mem := range r.m.Members {
		if mem.Role != machine.Leg {
			continue
		}
		inertia := math.Min(mem.Section.Iy, mem.Section.Iz)
		euler := section.EulerLoad(mem.Material.E*inertia, sway*legs[mem.Bar])
		if u := r.study.forces.Stress[i].N / euler; u > most {
			worst, most, critical, load = i, u, euler, r.study.forces.Stress[i].N
		}
	}
	if worst < 0 {
		r.skip("stand.buckling", "the stand has no member with the role leg")
		return
	}
	mem := r.m.Members[worst]
	l := legs[mem.Bar]
	limit := r.m.Design.Assumptions.Limits.LegBuckling
	r.decidedBy("stand.buckling", Decisive{Axis: -1, Feet: [2]int{-1, -1}, Member: worst})
	r.add(atLeast(newCheck("stand.buckling", "stand", "safety of the most loaded leg against buckling, "+mem.Bar), critical/load, limit, "", ledger.Working{
		Formula: "n = pi^2 * EI / ((K * L)^2 * N)",
		Inputs: []ledger.Input{
			in("EI", "smaller bending stiffness", mem.Material.E*math.Min(mem.Section.Iy, mem.Section.Iz), "N m2", "part "+mem.Profile.ID),
			in("K", "buckling length over length, sway frame on hinged feet", sway, "", "structural handbooks"),
			in("L", "length of the leg", l, "m", "stand"),
			in("N", "largest compression, all poses and combinations", load, "N", "whole-machine solution"),
		},
		Source: "Euler column; buckling length of a sway frame from memory of structural handbooks; safety " + practice,
	}), nil)
}

// tippingChecks judge tipping and sliding at every pose of the work space's
// corners and the task.
func (r *run) tippingChecks() error {
	var feet []stand.Point
	for _, f := range r.m.Feet {
		at := r.m.Nodes[f.Node].At
		feet = append(feet, stand.Point{X: at.X, Y: at.Y})
	}
	print, err := stand.NewFootprint(feet)
	if err != nil {
		c := newCheck("stand.tipping", "stand.foot", "tipping factor in operation")
		r.add(c, err)
		return nil
	}
	l := r.m.Design.Assumptions.Limits
	limits := stand.Limits{Operating: l.Tipping, EmergencyStop: l.TippingStop, Push: l.TippingStop, Tilt: 1}
	worst := map[stand.Kind]stand.Judged{}
	var moving, stopping worstSlide
	for _, q := range r.forcePoses() {
		for _, loaded := range [2]bool{false, true} {
			s := r.standing(q, loaded)
			judged, err := print.Judge(s, limits)
			if err != nil {
				r.add(newCheck("stand.tipping", "stand", "tipping factor in operation"), err)
				return nil
			}
			for _, j := range judged {
				if w, ok := worst[j.Kind]; !ok || j.Critical.Factor < w.Critical.Factor {
					worst[j.Kind] = j
				}
			}
			moving.see(s.Name, s.Weight, s.Moves, r.m.Design.Assumptions.FloorFriction.Low)
			stopping.see(s.Name, s.Weight, s.Stops, r.m.Design.Assumptions.FloorFriction.Low)
		}
	}
	r.addTipping(worst)
	r.addSliding(moving, "stand.sliding", "factor against sliding of the feet in operation", r.m.Design.Assumptions.Limits.Sliding, "continuous reversing makes machines walk")
	r.addSliding(stopping, "stand.sliding.stop", "factor against sliding of the feet in an emergency stop", stand.SlidingOnce, "")
	return nil
}

// standing is the machine at a pose as a body on the floor.
func (r *run) standing(q []float64, loaded bool) stand.Standing {
	kg, at := r.m.Centre(0, q, loaded)
	name := r.poseText(q)
	if loaded {
		name += ", loaded"
	}
	s := stand.Standing{Name: name, Weight: stand.Weight{Mass: kg, Centre: triple(at)}, Height: r.height()}
	for k, a := range r.m.Axes {
		moved, centre := r.m.Centre(k+1, q, loaded)
		part := []stand.Weight{{Mass: moved, Centre: triple(centre)}}
		acc := func(name string, value, dynamic float64) stand.Acceleration {
			return stand.Acceleration{Name: name, Parts: part, Of: [][3]float64{triple(r3.Scale(value, a.Dir))}, Dynamic: dynamic}
		}
		l := a.Spec.Limits
		s.Moves = append(s.Moves, acc(a.Spec.ID+" at full acceleration", workingAccel(l), r.dynamic(workingAccel(l), l.Jerk)))
		s.Stops = append(s.Stops, acc(a.Spec.ID+" in an emergency stop", stopDecel(l), r.dynamic(stopDecel(l), stopJerk(l))))
	}
	return s
}

// height is the highest node of the machine at home, m.
func (r *run) height() float64 {
	top := 0.0
	for _, n := range r.m.Nodes {
		top = math.Max(top, n.At.Z)
	}
	return top
}

func triple(v r3.Vec) [3]float64 { return [3]float64{v.X, v.Y, v.Z} }

func (r *run) addTipping(worst map[stand.Kind]stand.Judged) {
	lowest := math.Inf(1)
	for _, k := range []struct {
		kind        stand.Kind
		id, title   string
		from, extra string
	}{
		{stand.Operating, "stand.tipping", "tipping factor in operation", "assumptions.limits.tipping", "accelerations count with their dynamic factor"},
		{stand.EmergencyStop, "stand.tipping.stop", "tipping factor in an emergency stop", "assumptions.limits.tipping_stop", "the stop counts with its dynamic factor, 1 + |sin(pi r)/(pi r)| for a rise of r periods"},
		{stand.Push, "stand.tipping.push", "tipping factor under an accidental push", "assumptions.limits.tipping_stop", "250 N at 2 m or 20 % of the weight, whichever is less"},
		{stand.Tilt, "stand.tipping.tilt", "tipping factor on a floor tilted by 10 degrees", "must not fall", ""},
	} {
		j, ok := worst[k.kind]
		if !ok {
			continue
		}
		c := newCheck(k.id, "stand", k.title)
		c.Caution, c.Note = standCaution, k.extra
		factor, limit := j.Critical.Factor, j.Limit
		if r.m.Design.Stand.Anchored {
			r.anchorCheck(c, j)
			continue
		}
		lowest = math.Min(lowest, factor)
		r.decides(c.ID, j.By, j.Critical.From, j.Critical.To)
		r.add(atLeast(c, factor, limit, "", ledger.Working{
			Formula: "n = M_s / M_t",
			Inputs: []ledger.Input{
				in("M_s", "weight times its distance from the critical edge", j.Critical.Stabilising, "N m", j.Name),
				in("M_t", "overturning moment about "+r.edgeName(j.Critical), j.Critical.Overturning, "N m", j.Name),
			},
			Source: "statics of a rigid body on its feet; limit " + practice + " (" + k.from + ")",
		}), nil)
		if k.kind == stand.Operating {
			r.results.Stand.TippingEdge = r.edgeName(j.Critical)
		}
	}
	r.results.Stand.TippingFactor = Number(lowest)
}

// edgeName names an edge of the footprint by its feet.
func (r *run) edgeName(t stand.Tipping) string {
	return fmt.Sprintf("the edge %s to %s", r.m.Nodes[r.m.Feet[t.From].Node].ID, r.m.Nodes[r.m.Feet[t.To].Node].ID)
}

// anchorCheck judges the anchors that keep an anchored stand from tipping.
func (r *run) anchorCheck(c ledger.Check, j stand.Judged) {
	c.Title = "anchor tension of one foot, instead of " + c.Title
	if r.m.Design.Stand.Anchor == nil {
		c.Missing = "stand.anchor_tension: the design resistance of one foot's anchors, from their approval"
		r.add(c, nil)
		return
	}
	depth := r.depthFrom(j.Critical)
	n := 0.0
	for i := range r.m.Feet {
		if r.distanceFrom(j.Critical, i) > depth/2 {
			n++
		}
	}
	moment := j.Limit*j.Critical.Overturning - j.Critical.Stabilising
	tension := math.Max(0, moment) / depth / math.Max(1, n)
	r.add(atMost(c, tension, *r.m.Design.Stand.Anchor, "N", ledger.Working{
		Formula: "F = max(0, k * M_t - M_s) / (d * n)",
		Inputs: []ledger.Input{
			in("k", "factor on the overturning moment", j.Limit, "", "assumptions.limits"),
			in("M_t", "overturning moment about "+r.edgeName(j.Critical), j.Critical.Overturning, "N m", j.Name),
			in("M_s", "stabilising moment of the weight", j.Critical.Stabilising, "N m", j.Name),
			in("d", "distance of the far feet from the edge", depth, "m", "stand"),
			in("n", "feet that pull", math.Max(1, n), "", "stand"),
		},
		Source: "statics; the anchors' resistance comes from their own approval (EN 1992-4 format)",
	}), nil)
}

// distanceFrom is how far a foot lies inside an edge of the footprint, m.
func (r *run) distanceFrom(t stand.Tipping, foot int) float64 {
	p, q := r.m.Nodes[r.m.Feet[t.From].Node].At, r.m.Nodes[r.m.Feet[t.To].Node].At
	x := r.m.Nodes[r.m.Feet[foot].Node].At
	e := r3.Sub(q, p)
	e.Z = 0
	n := r3.Unit(r3.Cross(r3.Vec{Z: 1}, e))
	return math.Abs(r3.Dot(r3.Sub(x, p), n))
}

func (r *run) depthFrom(t stand.Tipping) float64 {
	most := 0.0
	for i := range r.m.Feet {
		most = math.Max(most, r.distanceFrom(t, i))
	}
	return most
}

// worstSlide keeps the smallest factor against sliding.
type worstSlide struct {
	seen   bool
	factor float64
	s      stand.Sliding
	where  string
	axis   int
}

func (w *worstSlide) see(name string, weight stand.Weight, list []stand.Acceleration, friction float64) {
	for i, a := range list {
		h := a.Dynamic * a.Parts[0].Mass * math.Hypot(a.Of[0][0], a.Of[0][1])
		if h == 0 {
			continue
		}
		up := a.Dynamic * a.Parts[0].Mass * math.Abs(a.Of[0][2])
		slide := stand.Sliding{Friction: friction, Weight: weight.Mass * quantity.StandardGravity, Uplift: up, Horizontal: h}
		if f := slide.Factor(); !w.seen || f < w.factor {
			w.seen, w.factor, w.s, w.where, w.axis = true, f, slide, name+", "+a.Name, i
		}
	}
}

func (r *run) addSliding(w worstSlide, kind, title string, limit float64, note string) {
	c := newCheck(kind, "stand.foot", title)
	c.Note = note
	if r.m.Design.Stand.Anchored {
		r.skip(c.ID, "the feet are anchored; the anchors carry the horizontal force, which their own proof covers")
		return
	}
	if !w.seen {
		r.skip(c.ID, "no axis accelerates horizontally")
		return
	}
	r.decides(c.ID, w.axis, -1, -1)
	f := r.m.Design.Assumptions.FloorFriction
	c.Range = &ledger.Range{Low: w.factor, Nominal: w.factor * f.Nominal / f.Low, High: w.factor * f.High / f.Low, Of: "friction of the feet", Judged: "low friction"}
	r.add(atLeast(c, w.factor, limit, "", ledger.Working{
		Formula: "n = mu * (W - U) / H",
		Inputs: []ledger.Input{
			in("mu", "friction of the feet, low end", w.s.Friction, "", "assumptions.floor_friction"),
			in("W", "weight", w.s.Weight, "N", "machine"), in("U", "uplift", w.s.Uplift, "N", w.where), in("H", "horizontal force", w.s.Horizontal, "N", w.where),
		},
		Source: "Coulomb friction; limit " + practice,
	}), nil)
}

// footChecks judge the feet by the elastic solution: capacity and lift-off.
func (r *run) footChecks() {
	f := r.study.forces
	least, most := math.Inf(1), math.Inf(-1)
	leastAt, mostAt := 0, 0
	var least6, most6 structure.Force
	for i, foot := range r.m.Feet {
		node := r.m.Nodes[foot.Node]
		load := FootLoad{Foot: node.ID, X: Number(node.At.X), Y: Number(node.At.Y), Min: Number(math.Inf(1)), Max: Number(math.Inf(-1))}
		for _, force := range f.Joints["foot "+node.ID] {
			working := f.Combos[force.Combo].Working
			// The spring force on its To side, the floor, points down (negative z) when the foot presses.
			lo, hi := -force.Max[2], -force.Min[2]
			load.Min, load.Max = Number(math.Min(float64(load.Min), lo)), Number(math.Max(float64(load.Max), hi))
			if working && lo < least {
				least, leastAt, least6 = lo, i, force
			}
			if hi > most {
				most, mostAt, most6 = hi, i, force
			}
		}
		r.results.Stand.FootLoads = append(r.results.Stand.FootLoads, load)
	}
	if len(r.m.Feet) == 0 {
		return
	}
	foot := r.m.Feet[mostAt]
	r.add(atMost(newCheck("stand.foot.capacity", "stand.foot", "largest load of a foot, "+r.m.Nodes[foot.Node].ID), most, foot.Part.Capacity, "N", ledger.Working{
		Formula: "largest vertical foot force over all poses and combinations", Solver: true,
		Inputs: []ledger.Input{in("R", "at "+r.poseText(f.Poses[most6.Pose])+", "+f.Combos[most6.Combo].Name, most, "N", "whole-machine solution")},
		Source: "limit from part " + foot.Part.ID,
	}), nil)
	if r.m.Design.Stand.Anchored {
		return
	}
	c := newCheck("stand.foot.contact", "stand.foot", "least load of a foot, "+r.m.Nodes[r.m.Feet[leastAt].Node].ID)
	c.Note = "a foot that lifts makes the machine rock; in an emergency stop a foot may lift for a moment, tipping judges that"
	r.add(atLeast(c, least, 0, "N", ledger.Working{
		Formula: "least vertical foot force over all poses and combinations", Solver: true,
		Inputs: []ledger.Input{in("R", "at "+r.poseText(f.Poses[least6.Pose])+", "+f.Combos[least6.Combo].Name, least, "N", "whole-machine solution")},
		Source: "contact: the floor cannot pull; derived",
	}), nil)
}
