package sparse

import (
	"math"
	"testing"
)

func TestChainOfSprings(t *testing.T) {
	n := 40
	kb, mb := NewBuilder(n), NewBuilder(n)
	for i := range n {
		kb.Add(i, i, 2)
		mb.Add(i, i, 1)
		if i > 0 {
			kb.Add(i, i-1, -1)
		}
	}
	values, _, proof, err := Lowest(kb.Build(), mb.Build(), 6, EigenOptions{})
	if err != nil {
		t.Fatal(err)
	}
	for k, v := range values {
		want := 4 * math.Pow(math.Sin(float64(k+1)*math.Pi/(2*float64(n+1))), 2)
		if math.Abs(v-want) > 1e-12 {
			t.Errorf("value %d = %.15g, want %.15g", k, v, want)
		}
	}
	if !proof.Complete() {
		t.Errorf("proof incomplete: %+v", proof)
	}
}
