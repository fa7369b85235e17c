package frame

import "math"

// verticalLimit is the horizontal part of a unit vector below which a member counts as vertical; part of the
// convention of local axes, not a tolerance.
const verticalLimit = 1e-6

// LocalAxes returns the rows x, y, z of the rotation from global to local axes of a member along the vector d (any
// length greater than 0) rolled by roll (rad).
func LocalAxes(d [3]float64, roll float64) Axes {
	x := unit(d)
	y := [3]float64{0, 1, 0}
	if h := math.Hypot(x[0], x[1]); !(h < verticalLimit) {
		y = [3]float64{-x[1] / h, x[0] / h, 0} // Z × x, normalised
	} else {
		// A direction that is vertical only to within the limit still needs y square to x.
		y = unit(sub(y, scale(dot(y, x), x)))
	}
	z := cross(x, y)
	s, c := math.Sincos(roll)
	var r Axes
	r[0] = x
	for k := range 3 {
		r[1][k] = y[k]*c + z[k]*s
		r[2][k] = -y[k]*s + z[k]*c
	}
	return r
}

// orGlobal returns the identity for the zero value.
func (a Axes) orGlobal() Axes {
	if a == (Axes{}) {
		return Axes{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}
	}
	return a
}

// toLocal turns a vector from global to own axes.
func (a *Axes) toLocal(v [3]float64) [3]float64 {
	return [3]float64{dot(a[0], v), dot(a[1], v), dot(a[2], v)}
}

// toGlobal turns a vector from own to global axes.
func (a *Axes) toGlobal(v [3]float64) [3]float64 {
	var g [3]float64
	for k := range 3 {
		g[k] = a[0][k]*v[0] + a[1][k]*v[1] + a[2][k]*v[2]
	}
	return g
}

// squareness returns by how much the rows fail to be a right-handed set of unit vectors.
func (a *Axes) squareness() float64 {
	worst := 0.0
	for i := range 3 {
		for j := range 3 {
			want := 0.0
			if i == j {
				want = 1
			}
			worst = math.Max(worst, math.Abs(dot(a[i], a[j])-want))
		}
	}
	z := cross(a[0], a[1])
	for k := range 3 {
		worst = math.Max(worst, math.Abs(z[k]-a[2][k]))
	}
	return worst
}

func dot(a, b [3]float64) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

func cross(a, b [3]float64) [3]float64 {
	return [3]float64{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

func add(a, b [3]float64) [3]float64 { return [3]float64{a[0] + b[0], a[1] + b[1], a[2] + b[2]} }

func sub(a, b [3]float64) [3]float64 { return [3]float64{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }

func scale(s float64, a [3]float64) [3]float64 { return [3]float64{s * a[0], s * a[1], s * a[2]} }

func norm(a [3]float64) float64 { return math.Hypot(math.Hypot(a[0], a[1]), a[2]) }

func unit(a [3]float64) [3]float64 { return scale(1/norm(a), a) }

// maxAbs returns the largest magnitude, NaN if there is one.
func maxAbs(v []float64) float64 {
	big := 0.0
	for _, x := range v {
		if a := math.Abs(x); !(a <= big) {
			big = a
		}
	}
	return big
}
