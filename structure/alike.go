package structure

import "spanwright/machine"

// Alike tells whether two machines have the same frame model, with the same guides
// and drives at both ends of all travels: what was solved for one serves the
// other, see Cache.
func Alike(a, b *machine.Machine) bool {
	if len(a.Axes) != len(b.Axes) {
		return false
	}
	p, err := formOf(a, Low)
	if err != nil {
		return false
	}
	q, err := formOf(b, Low)
	if err != nil || markOf(p) != markOf(q) {
		return false
	}
	for end := range 2 {
		ends := make([]float64, len(a.Axes))
		for i := range ends {
			if a.Axes[i].Spec.Travel != b.Axes[i].Spec.Travel {
				return false
			}
			ends[i] = float64(end) * a.Axes[i].Spec.Travel
		}
		s, err := Ties(a, ends)
		if err != nil {
			return false
		}
		t, err := Ties(b, ends)
		if err != nil || markOf(s) != markOf(t) {
			return false
		}
	}
	return true
}
