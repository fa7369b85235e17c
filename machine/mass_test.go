package machine_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/machine"
)

// partMass adds up what the machine is made of from the catalogue, by counting
// parts instead of the machine's own masses.
func partMass(m *machine.Machine) float64 {
	sum := m.Tool.Kg
	for _, b := range m.Bars() {
		area := m.Members[b.Members[0]].Section.Area
		perM := area * m.Members[b.Members[0]].Material.Density
		if b.Profile.MassPerM != nil {
			perM = *b.Profile.MassPerM
		}
		sum += perM * b.Length()
	}
	for _, mem := range m.Members {
		for _, j := range mem.Joints {
			if j.HasPart() {
				sum += j.Part.Mass
			}
		}
	}
	for _, c := range m.Connections {
		if c.Plate != nil {
			sum += c.Plate.Mass
		}
		if c.Clamp != nil {
			sum += 2 * float64(c.Clamps) * c.Clamp.Mass
		}
	}
	for _, a := range m.Axes {
		beams := float64(len(a.Beams))
		sum += beams * (a.Part.EndMass + a.Part.Carriage + a.Part.ExtraPerM*a.Length)
		drive := a.Motor.Mass
		if a.Gear != nil {
			drive += a.Gear.Mass
		}
		if a.Brake != nil {
			drive += a.Brake.Mass
		}
		sum += float64(a.Motors()) * drive
		if a.Shaft != nil {
			sum += a.Shaft.MassPerM * a.Spec.Pair.Spacing
		}
		if p := m.Bumpers[a.Spec.ID]; p != nil {
			sum += 2 * beams * p.Mass
		}
		if c := m.CableCarriers[a.Spec.ID]; c != nil {
			sum += c.Mass()
		}
		if c := a.Spec.Counter; c != nil && c.Weight != nil {
			sum += *c.Weight
		}
	}
	for _, f := range m.Feet {
		sum += f.Part.Mass
	}
	return sum
}

// massRounding is relative: hundreds of masses are added up in another order.
const massRounding = 1e-12

func TestMassIsTheSumOfTheParts(t *testing.T) {
	machines := map[string]*machine.Machine{
		"line shaft": build(t, load(t, "seedling-gantry", "driven: two-motors", "driven: shaft\n      shaft: shaft-tube-60x5")),
		"weight":     build(t, load(t, "crate-portal", "    moves: body", "    counterbalance: {weight: 20 kg}\n    moves: body")),
	}
	for _, name := range exampleNames {
		machines[name] = example(t, name)
	}
	for name, m := range machines {
		if got, want := m.Mass(), partMass(m); !(math.Abs(got-want) <= massRounding*want) {
			t.Errorf("%s: the machine weighs %.6f kg, its parts %.6f kg", name, got, want)
		}
	}
}

func TestMassesOfBodies(t *testing.T) {
	everyExample(t, func(t *testing.T, m *machine.Machine) {
		sum := m.Tool.Kg
		for b := 0; b <= len(m.Axes); b++ {
			sum += m.BodyMass(b)
		}
		if !(math.Abs(sum-m.Mass()) <= massRounding*sum) {
			t.Errorf("bodies and tool weigh %v kg, the machine %v kg", sum, m.Mass())
		}
		for i := range m.Axes {
			more := m.BodyMass(i + 1)
			if last := i == len(m.Axes)-1; last {
				more += m.Tool.Kg
			}
			after := 0.0
			if i+1 < len(m.Axes) {
				after = m.Moved(i+1, false)
			}
			if got := m.Moved(i, false); !(math.Abs(got-more-after) <= massRounding*got) {
				t.Errorf("axis %d moves %v kg, its body weighs %v kg and carries %v kg", i, got, more, after)
			}
			if got := m.Moved(i, true) - m.Moved(i, false); math.Abs(got-m.Design.Task.Payload.Mass) > apart {
				t.Errorf("the payload adds %v kg to axis %d", got, i)
			}
		}
	})
}

// TestCentreMovesWithThePose: moving one axis by d moves the centre of mass by d
// times the share of the mass that it moves.
func TestCentreMovesWithThePose(t *testing.T) {
	everyExample(t, func(t *testing.T, m *machine.Machine) {
		for _, loaded := range []bool{false, true} {
			home := make([]float64, len(m.Axes))
			kg, from := m.Centre(0, home, loaded)
			want := m.Mass()
			if loaded {
				want += m.Payload.Kg
			}
			if !(math.Abs(kg-want) <= massRounding*want) {
				t.Errorf("the centre is that of %v kg, want %v kg", kg, want)
			}
			for i, a := range m.Axes {
				q := make([]float64, len(m.Axes))
				q[i] = 0.6 * a.Spec.Travel
				_, to := m.Centre(0, q, loaded)
				near(t, "centre moved by "+a.Spec.ID, r3.Sub(to, from), r3.Scale(q[i]*m.Moved(i, loaded)/kg, a.Dir))
			}
		}
	})
}

// TestCentreAtHome adds up bars at their middles and masses at their centres.
func TestCentreAtHome(t *testing.T) {
	everyExample(t, func(t *testing.T, m *machine.Machine) {
		kg, moment := m.Tool.Kg, r3.Scale(m.Tool.Kg, r3.Add(m.Nodes[m.Flange].At, m.Tool.Centre))
		for i, mem := range m.Members {
			w := mem.MassPerM() * m.Length(i)
			kg, moment = kg+w, r3.Add(moment, r3.Scale(w/2, r3.Add(m.Nodes[mem.From].At, m.Nodes[mem.To].At)))
		}
		for _, p := range m.Masses {
			kg, moment = kg+p.Kg, r3.Add(moment, r3.Scale(p.Kg, r3.Add(m.Nodes[p.Node].At, p.Offset)))
		}
		got, at := m.Centre(0, make([]float64, len(m.Axes)), false)
		if !(math.Abs(got-kg) <= massRounding*kg) {
			t.Errorf("%v kg, want %v kg", got, kg)
		}
		near(t, "centre", at, r3.Scale(1/kg, moment))
	})
}

// TestLumpsAreTheBodies: bodies as points have the machine's mass and centre.
func TestLumpsAreTheBodies(t *testing.T) {
	everyExample(t, func(t *testing.T, m *machine.Machine) {
		home := make([]float64, len(m.Axes))
		kg, at := m.Centre(1, home, true)
		lumps := append(m.Lumps(), m.PayloadLump())
		var sum float64
		var moment r3.Vec
		for _, l := range lumps {
			sum += l.Kg
			moment = r3.Add(moment, r3.Scale(l.Kg, l.Centre))
		}
		if !(math.Abs(sum-kg) <= massRounding*kg) {
			t.Errorf("lumps weigh %v kg, the moved bodies %v kg", sum, kg)
		}
		near(t, "centre of the lumps", r3.Scale(1/sum, moment), at)
	})
}
