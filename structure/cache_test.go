package structure

import (
	"reflect"
	"sync"
	"testing"

	"spanwright/machine"
	"spanwright/motion"
)

// answers is everything that a judgement asks of a study.
type answers struct {
	Map      []Response
	Forces   *Forces
	Swings   [][]Swing
	Sag      []Share
	Response []Receptance
}

func asked(t testing.TB, s *Study, m *machine.Machine) answers {
	t.Helper()
	var out answers
	poses := Grid(m, []int{5, 3, 2}[:len(m.Axes)])
	try := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	var err error
	out.Map, err = s.Map(poses, 2)
	try(err)
	accel := make([]float64, len(m.Axes))
	profiles := make([]motion.Profile, len(m.Axes))
	for i := range accel {
		accel[i] = 2
		profiles[i], err = motion.Plan(0.3, motion.Limits{Speed: 1, Accel: 2, Jerk: 50})
		try(err)
	}
	out.Forces, err = s.Forces(poses[:4], []Combination{{Name: "all", Accel: accel, Working: true}})
	try(err)
	out.Swings, err = s.After([]Arrival{{Q: poses[1], Loaded: true, Profiles: profiles}, {Q: poses[1], Profiles: profiles}}, 0.02)
	try(err)
	out.Sag, err = s.SagSplit(poses[2])
	try(err)
	out.Response, err = s.Receptances(poses[2], 0.02, 20)
	try(err)
	return out
}

// TestCacheChangesNothing: bit for bit the same answers without a cache, from an
// empty one, from a full one, and from one that has to forget all the time.
func TestCacheChangesNothing(t *testing.T) {
	for _, name := range []string{"crate-portal", "sample-gantry"} {
		m := example(t, name)
		want := asked(t, study(t, m, Low), m)
		caches := map[string]*Cache{"roomy": NewCache(1 << 30), "tiny": NewCache(1 << 10)}
		for word, c := range caches {
			for round := range 2 {
				s, err := c.Study(m, Low)
				if err != nil {
					t.Fatal(err)
				}
				if got := asked(t, s, m); !reflect.DeepEqual(got, want) {
					t.Errorf("%s, %s cache, round %d: not what a study without a cache says", name, word, round+1)
				}
			}
		}
	}
}

// TestCacheKnowsTheStructure: what does not bear on the structure finds the study
// again, what does must not.
func TestCacheKnowsTheStructure(t *testing.T) {
	c := NewCache(1 << 30)
	solvedFor := func(change func(m *machine.Machine)) *solved {
		m := example(t, "crate-portal")
		change(m)
		s, err := c.Study(m, Low)
		if err != nil {
			t.Fatal(err)
		}
		return s.solved
	}
	same := solvedFor(func(*machine.Machine) {})
	for what, change := range map[string]func(m *machine.Machine){
		"speed":  func(m *machine.Machine) { m.Axes[0].Spec.Limits.Speed *= 1.1 },
		"name":   func(m *machine.Machine) { m.Design.Name = "another" },
		"target": func(m *machine.Machine) { m.Design.Task.Targets.SagVariation = nil },
	} {
		if solvedFor(change) != same {
			t.Errorf("%s: the structure was solved anew", what)
		}
	}
	for what, change := range map[string]func(m *machine.Machine){
		"node":             func(m *machine.Machine) { m.Nodes[3].At.Z += 1e-3 },
		"section":          func(m *machine.Machine) { m.Members[0].Section.Iy *= 1.01 },
		"mass":             func(m *machine.Machine) { m.Masses[0].Kg += 0.1 },
		"tool":             func(m *machine.Machine) { m.Tool.Kg += 0.1 },
		"payload":          func(m *machine.Machine) { m.Payload.Kg += 0.1 },
		"point":            func(m *machine.Machine) { m.Point.Z -= 0.01 },
		"travel direction": func(m *machine.Machine) { m.Axes[0].Dir.X = -m.Axes[0].Dir.X },
		"joints": func(m *machine.Machine) {
			m.Design.Assumptions.JointFactor.Low *= 0.9
			m.Design.Assumptions.JointFactor.Family = false
		},
		"floor": func(m *machine.Machine) { m.Design.Assumptions.FloorStiff.Low *= 0.9 },
	} {
		if solvedFor(change) == same {
			t.Errorf("%s: the study of another structure was taken", what)
		}
	}
}

// TestPayloadsShareTheBodies: machines that differ by their payload share what is
// solved without it, and answer as if they did not.
func TestPayloadsShareTheBodies(t *testing.T) {
	c := NewCache(1 << 30)
	var first *solved
	for _, kg := range []float64{0, 3, 20, 3} {
		m := example(t, "crate-portal")
		m.Payload.Kg = kg
		want := asked(t, study(t, m, Low), m)
		s, err := c.Study(m, Low)
		if err != nil {
			t.Fatal(err)
		}
		if got := asked(t, s, m); !reflect.DeepEqual(got, want) {
			t.Errorf("payload of %g kg: not what a study of its own says", kg)
		}
		if first == nil {
			first = s.solved
		} else if s.core != first.core || s.solved == first {
			t.Errorf("payload of %g kg: bodies shared %v, answers shared %v", kg, s.core == first.core, s.solved == first)
		}
	}
	if n := len(c.empty); n != 1 {
		t.Errorf("%d sets of bodies are kept, want 1", n)
	}
	for c.recent.Len() > 0 {
		c.drop(c.recent.Back().Value.(*kept))
	}
	if len(c.empty) != 0 || c.used != 0 {
		t.Errorf("an empty cache keeps %d sets of bodies and %d bytes", len(c.empty), c.used)
	}
}

// TestCacheKnowsTheTies: data of guides and drives are no part of the bodies, but
// of every pose.
func TestCacheKnowsTheTies(t *testing.T) {
	c := NewCache(1 << 30)
	q := []float64{0.5, 0.2}
	tool := func(change func(m *machine.Machine)) Response {
		m := example(t, "crate-portal")
		change(m)
		s, err := c.Study(m, Low)
		if err != nil {
			t.Fatal(err)
		}
		out, err := s.Map([][]float64{q}, 1)
		if err != nil {
			t.Fatal(err)
		}
		return out[0]
	}
	was := tool(func(*machine.Machine) {})
	for what, change := range map[string]func(m *machine.Machine){
		"block": func(m *machine.Machine) { b := *m.Axes[0].Block; b.Kz *= 0.5; m.Axes[0].Block = &b },
		"belt":  func(m *machine.Machine) { b := *m.Axes[0].Belt; b.EA *= 0.5; m.Axes[0].Belt = &b },
		"rail":  func(m *machine.Machine) { p := *m.Axes[0].Part; p.RailHeight += 0.01; m.Axes[0].Part = &p },
		"drive": func(m *machine.Machine) { p := *m.Axes[0].Part; p.DriveAt += 0.01; m.Axes[0].Part = &p },
		"screw": func(m *machine.Machine) { b := *m.Axes[1].Screw; b.Dc *= 0.9; m.Axes[1].Screw = &b },
	} {
		if now := tool(change); reflect.DeepEqual(now, was) {
			t.Errorf("%s: the answer of other ties was taken", what)
		}
	}
}

// TestCacheServesMany: several goroutines that judge the same machine at once
// share one study and get the same answers.
func TestCacheServesMany(t *testing.T) {
	m := example(t, "crate-portal")
	want := asked(t, study(t, m, Low), m)
	c := NewCache(1 << 30)
	var wait sync.WaitGroup
	for range 4 {
		wait.Go(func() {
			s, err := c.Study(m, Low)
			if err != nil {
				t.Error(err)
				return
			}
			if got := asked(t, s, m); !reflect.DeepEqual(got, want) {
				t.Error("not what a study without a cache says")
			}
		})
	}
	wait.Wait()
	if n := c.recent.Len(); n != 1 {
		t.Errorf("%d studies of one structure", n)
	}
}

// TestCacheForgets: the room is kept to but for the study in use, and what was
// used last stays.
func TestCacheForgets(t *testing.T) {
	m := example(t, "crate-portal")
	s := study(t, m, Low)
	asked(t, s, m)
	c := NewCache(2*s.size() + s.size()/2)
	for range 2 {
		for l := Low; l <= High; l++ {
			s, err := c.Study(m, l)
			if err != nil {
				t.Fatal(err)
			}
			asked(t, s, m)
		}
	}
	if c.used > c.room {
		t.Errorf("%d bytes are kept in a room of %d", c.used, c.room)
	}
	if n := c.recent.Len(); n != 2 {
		t.Errorf("%d studies are kept, there is room for two", n)
	}
	sum := int64(0)
	for e := c.recent.Front(); e != nil; e = e.Next() {
		sum += e.Value.(*kept).size
	}
	if sum != c.used {
		t.Errorf("%d bytes are counted, the studies have %d", c.used, sum)
	}
}
