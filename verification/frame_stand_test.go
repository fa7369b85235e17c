package verification

import (
	"math"
	"testing"
)

// TestStandBracedInOnePlane checks of STD-05 what does not depend on how the mass of hinged ends is treated.
func TestStandBracedInOnePlane(t *testing.T) {
	for _, c := range cases(t) {
		if c.ID != "STD-05" {
			continue
		}
		got, err := Model(standOf).Run(c)
		if err != nil {
			t.Fatal(err)
		}
		for _, key := range []string{"kx_N_per_m", "ky_N_per_m", "member_mass_kg"} {
			want := c.Expected.Num(key)
			if x := got.Num(key); !(math.Abs(x-want) <= c.TolRel*math.Abs(want)) {
				t.Errorf("%s = %.9g, want %.9g", key, x, want)
			}
		}
		return
	}
	t.Fatal("no case STD-05")
}
