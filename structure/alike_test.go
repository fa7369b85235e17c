package structure

import (
	"testing"

	"spanwright/design"
)

// TestAlike: limits and shapers change no structure; a motor's mass, a screw's
// stiffness and a longer travel do.
func TestAlike(t *testing.T) {
	old := example(t, "crate-portal")
	for _, c := range []struct {
		path, value string
		want        bool
	}{
		{"axes.x.limits.acceleration", "1 m/s2", true},
		{"axes.x.shaper", "zv", true},
		{"equipment.ends.x.cam", "650 mm", true},
		{"axes.z.motor", "servo-2000", false},
		{"axes.z.drive.screw_ends", "fixed-fixed", false},
		{"stand.generate.depth", "1.6 m", false},
	} {
		if got := Alike(old, edited(t, "crate-portal", design.Edit{Path: c.path, Value: c.value})); got != c.want {
			t.Errorf("%s %s: the same structure %t", c.path, c.value, got)
		}
	}
}
