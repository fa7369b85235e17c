package urdf

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// TestBoxIsManyPoints: a box cut into 40 x 40 x 40 small ones, each a point.
func TestBoxIsManyPoints(t *testing.T) {
	const n = 40
	size := r3.Vec{X: 1.8, Y: 0.3, Z: 0.1}
	var all []Body
	for i := range n {
		for j := range n {
			for k := range n {
				at := func(v int, l float64) float64 { return ((float64(v)+0.5)/n - 0.5) * l }
				all = append(all, Body{Mass: 24.0 / (n * n * n), Centre: r3.Vec{X: at(i, size.X), Y: at(j, size.Y), Z: at(k, size.Z)}})
			}
		}
	}
	got, want := Join(all...).Inertia, Box(24, size)
	// The points miss the small boxes' own inertia: 1/n² of the whole.
	for _, v := range [][2]float64{{got.XX, want.XX}, {got.YY, want.YY}, {got.ZZ, want.ZZ}} {
		if math.Abs(v[0]/v[1]-(1-1.0/(n*n))) > 1e-9 {
			t.Errorf("%.9g, want %.9g less 1/%d", v[0], v[1], n*n)
		}
	}
}

// TestBarIsABox: a bar of rectangular section, lying any way, is a box.
func TestBarIsABox(t *testing.T) {
	w, h, l := 0.08, 0.16, 2.0
	b := Bar(12, l, w*h, w*h*h*h/12, h*w*w*w/12, r3.Vec{X: 1}, r3.Vec{Y: 1}, r3.Vec{Z: 1})
	want := Box(12, r3.Vec{X: l, Y: w, Z: h})
	if math.Abs(b.XX-want.XX) > 1e-12 || math.Abs(b.YY-want.YY) > 1e-12 || math.Abs(b.ZZ-want.ZZ) > 1e-12 {
		t.Errorf("%v, want %v", b, want)
	}
	up := Bar(12, l, w*h, w*h*h*h/12, h*w*w*w/12, r3.Vec{Z: 1}, r3.Vec{Y: 1}, r3.Vec{X: -1})
	if math.Abs(up.ZZ-want.XX) > 1e-12 || math.Abs(up.XX-want.ZZ) > 1e-12 {
		t.Errorf("upright %v, lying %v", up, want)
	}
}

func TestHollowRefuses(t *testing.T) {
	for name, inner := range map[string]r3.Vec{"as large as the box": {X: 1, Y: 1, Z: 1}, "no number": {X: math.NaN(), Y: 1, Z: 1}} {
		if _, err := Hollow(1, r3.Vec{X: 1, Y: 1, Z: 1}, inner); !errors.Is(err, ErrBody) {
			t.Errorf("%s: got %v, want ErrBody", name, err)
		}
	}
}

// TestJoinInAnyOrder: bodies joined two at a time are bodies joined at once, and
// what can exist alone can exist together.
func TestJoinInAnyOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		part, size := rapid.Float64Range(-2, 2), rapid.Float64Range(0.01, 1)
		one := func() Body {
			m := rapid.Float64Range(0.1, 50).Draw(t, "mass")
			return Body{m, r3.Vec{X: part.Draw(t, "x"), Y: part.Draw(t, "y"), Z: part.Draw(t, "z")}, Box(m, r3.Vec{X: size.Draw(t, "a"), Y: size.Draw(t, "b"), Z: size.Draw(t, "c")})}
		}
		a, b, c := one(), one(), one()
		p, q := Join(Join(a, b), c), Join(b, Join(c, a))
		tol := 1e-10 * (p.Inertia.XX + p.Inertia.YY + p.Inertia.ZZ)
		for _, d := range []float64{p.Inertia.XX - q.Inertia.XX, p.Inertia.YY - q.Inertia.YY, p.Inertia.ZZ - q.Inertia.ZZ, p.Inertia.XY - q.Inertia.XY, p.Inertia.XZ - q.Inertia.XZ, p.Inertia.YZ - q.Inertia.YZ} {
			if math.Abs(d) > tol {
				t.Fatalf("%v against %v", p, q)
			}
		}
		if err := p.Check(); err != nil {
			t.Fatal(err)
		}
	})
}
