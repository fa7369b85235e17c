package frame

import "testing"

// poses are places over the work space of gantry.
func poses() [][3]float64 {
	var list [][3]float64
	for i := range 5 {
		for j := range 3 {
			for k := range 2 {
				list = append(list, [3]float64{0.15 + 0.42*float64(i), 0.15 + 0.44*float64(j), 1.1 + 0.5*float64(k)})
			}
		}
	}
	return list
}

func preparedGantry(b *testing.B) (*Base, []*Prepared, [][]Tie) {
	base, err := NewBase(gantry())
	if err != nil {
		b.Fatal(err)
	}
	var prepared []*Prepared
	for _, c := range gantryCases() {
		p, err := base.Prepare(c)
		if err != nil {
			b.Fatal(err)
		}
		prepared = append(prepared, p)
	}
	var ties [][]Tie
	for _, at := range poses() {
		ties = append(ties, gantryTies(at[0], at[1], at[2]))
	}
	return base, prepared, ties
}

// BenchmarkPoseStatics couples one pose, solves three cases and reads the tool point.
func BenchmarkPoseStatics(b *testing.B) {
	base, prepared, ties := preparedGantry(b)
	pose, masses := base.NewPose(), payload(12)
	tool := Point{Node: "mast0", Offset: [3]float64{0, 0, -0.1}}
	state := &PoseState{}
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		if err := pose.Set(ties[i%len(ties)], masses); err != nil {
			b.Fatal(err)
		}
		for _, p := range prepared {
			if _, err := pose.Static(p, state); err != nil {
				b.Fatal(err)
			}
			if _, err := state.At(tool); err != nil {
				b.Fatal(err)
			}
		}
		i++
	}
	b.ReportMetric(float64(base.Freedoms()), "freedoms")
	b.ReportMetric(float64(len(pose.rows)), "rows")
}

// BenchmarkPoseModes couples one pose and finds three modes.
func BenchmarkPoseModes(b *testing.B) {
	base, _, ties := preparedGantry(b)
	pose, masses := base.NewPose(), payload(12)
	modes := &PoseModes{}
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		if err := pose.Set(ties[i%len(ties)], masses); err != nil {
			b.Fatal(err)
		}
		if _, err := pose.Modes(3, modes); err != nil {
			b.Fatal(err)
		}
		i++
	}
}

// BenchmarkPoseReference does the same by assembling and factoring the whole model.
func BenchmarkPoseReference(b *testing.B) {
	model := gantry()
	model.Masses = append(model.Masses, payload(12)...)
	model.Cases = gantryCases()
	_, _, ties := preparedGantry(b)
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		model.Ties = ties[i%len(ties)]
		model.Modes = 3
		if _, err := Solve(model); err != nil {
			b.Fatal(err)
		}
		i++
	}
}
