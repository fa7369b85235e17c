package assess

import "spanwright/structure"

// covered tells whether another force of a place, among those that may stand for
// it, has wider bounds in every component: as the checks grow with the demand, it
// is no less bad. One that comes later must be wider by more than rounding, so
// that of equal ones the first is named.
func covered(forces []structure.Force, i int, may func(k int) bool) bool {
	own := &forces[i].Bounds6
	for k := range forces {
		if k == i || !contains(&forces[k].Bounds6, own) || !may(k) {
			continue
		}
		if k < i || wider(&forces[k].Bounds6, own) {
			return true
		}
	}
	return false
}

// contains tells whether the bounds a hold the bounds b.
func contains(a, b *structure.Bounds6) bool {
	for i := range a.Min {
		if !(a.Max[i] >= b.Max[i] && a.Min[i] <= b.Min[i]) {
			return false
		}
	}
	return true
}

// wider tells whether, in every component that is more than rounding, the bounds
// a reach beyond both ends of the bounds b that they hold.
func wider(a, b *structure.Bounds6) bool {
	var most [2]float64 // force and moment
	for i := range a.Min {
		most[i/3] = max(most[i/3], a.Largest(i))
	}
	for i := range a.Min {
		if rounding := (like - 1) * most[i/3]; a.Largest(i) > rounding && !(a.Max[i]-b.Max[i] > rounding && b.Min[i]-a.Min[i] > rounding) {
			return false
		}
	}
	return true
}
