package pack

import (
	"math"
	"testing"
)

// TestPartsListWeighsTheMachine compares the roll-up with the structural model:
// more than half a per cent apart would be a build fault. Cables are in the
// model and in no row.
func TestPartsListWeighsTheMachine(t *testing.T) {
	for _, name := range []string{"crate-portal", "seedling-gantry", "slab-gantry", "sample-gantry"} {
		t.Run(name, func(t *testing.T) {
			s := source(t, name, "gantry.yaml")
			m := s.Assessment.Machine
			rows := PartsList(m)
			sum := 0.0
			for _, r := range rows {
				sum += r.Mass()
				t.Logf("%2d %3d %-26s %7.1f mm %8.3f kg", r.Item, r.Quantity, r.ID, r.Length*1000, r.Mass())
			}
			cables := 0.0
			for _, c := range m.CableCarriers {
				cables += c.Dressed.Cables * c.Loop.Length
			}
			want := m.Mass() - m.Tool.Kg - cables
			t.Logf("list %.2f kg, model %.2f kg without tool and cables", sum, want)
			if !(math.Abs(sum-want) <= 0.005*want) {
				t.Errorf("the list weighs %.2f kg, the model %.2f kg", sum, want)
			}
		})
	}
}
