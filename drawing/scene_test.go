package drawing

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// cube is an upright box from its lowest corner.
func cube(x, y, z, dx, dy, dz float64) Body {
	return Box(r3.Vec{X: x, Y: y + dy/2, Z: z + dz/2}, r3.Vec{X: 1}, r3.Vec{Y: 1}, r3.Vec{Z: 1}, r3.Vec{X: dx, Y: dy, Z: dz})
}

func total(segments []Segment) float64 {
	sum := 0.0
	for _, g := range segments {
		sum += g.A.distance(g.B)
	}
	return sum
}

// Lengths that can be counted by hand, m.
func TestVisibleLengths(t *testing.T) {
	for name, c := range map[string]struct {
		view   View
		bodies []Body
		want   float64
	}{
		"a box from the front is a rectangle":              {Front, []Body{cube(0, 0, 0, 2, 1, 1)}, 6},
		"from the isometric nine edges, each sqrt(2/3)":    {Isometric, []Body{cube(0, 0, 0, 1, 1, 1)}, 9 * math.Sqrt(2.0/3)},
		"a smaller box behind is not seen":                 {Front, []Body{cube(0, 0, 0, 2, 1, 2), cube(0.5, 2, 0.5, 1, 1, 1)}, 8},
		"a smaller box before is seen and hides nothing":   {Front, []Body{cube(0, 0, 0, 2, 1, 2), cube(0.5, -2, 0.5, 1, 1, 1)}, 12},
		"half behind: three edges of one, half of two":     {Front, []Body{cube(0, 0, 0, 1, 1, 1), cube(0.5, 2, 0.25, 1, 1, 0.5)}, 4 + 2*0.5 + 0.5},
		"boxes of one outline one behind the other":        {Front, []Body{cube(0, 0, 0, 1, 1, 1), cube(0, 5, 0, 1, 1, 1)}, 4},
		"a bar through the shadow leaves both ends":        {Front, []Body{cube(0, 0, 0, 1, 1, 1), cube(-1, 2, 0.4, 3, 0.2, 0.2)}, 4 + 2*2 + 2*0.2},
		"a box on a box: the joint is drawn once":          {Front, []Body{cube(0, 0, 0, 1, 1, 1), cube(0, 0, 1, 1, 1, 1)}, 7},
		"a cylinder from its side is a rectangle (24-gon)": {Front, []Body{Cylinder(r3.Vec{}, r3.Vec{Z: 1}, r3.Vec{X: 1}, r3.Vec{Y: 1}, 2, 1)}, 2*2 + 2*1},
	} {
		t.Run(name, func(t *testing.T) {
			s, err := NewScene(c.view, c.bodies)
			if err != nil {
				t.Fatal(err)
			}
			// 2 tolerance: what is taken for touching, for each of some ten ends.
			if got := total(s.Edges()); math.Abs(got-c.want) > 20*tolerance {
				t.Errorf("%.5f m of lines, want %.5f", got, c.want)
			}
		})
	}
}

// covered tells by slabs, not by shadows, whether an upright box lies between a
// point and the viewer.
func covered(p, toward, low, high r3.Vec) bool {
	from, to := 1e-3, math.Inf(1)
	for _, a := range [][4]float64{{p.X, toward.X, low.X, high.X}, {p.Y, toward.Y, low.Y, high.Y}, {p.Z, toward.Z, low.Z, high.Z}} {
		if math.Abs(a[1]) < 1e-12 {
			if a[0] <= a[2]+1e-3 || a[0] >= a[3]-1e-3 {
				return false
			}
			continue
		}
		t1, t2 := (a[2]+1e-3-a[0])/a[1], (a[3]-1e-3-a[0])/a[1]
		from, to = math.Max(from, math.Min(t1, t2)), math.Min(to, math.Max(t1, t2))
	}
	return to > from
}

// Points seen or hidden agree with rays through boxes, but within 1 mm of an outline.
func TestSeesAgreesWithRays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		view := rapid.SampledFrom([]View{Front, Top, FromLeft, Isometric}).Draw(t, "view")
		place := rapid.Float64Range(-2, 2)
		size := rapid.Float64Range(0.05, 2)
		var bodies []Body
		var lows, highs []r3.Vec
		for range rapid.IntRange(1, 5).Draw(t, "boxes") {
			low := r3.Vec{X: place.Draw(t, "x"), Y: place.Draw(t, "y"), Z: place.Draw(t, "z")}
			d := r3.Vec{X: size.Draw(t, "dx"), Y: size.Draw(t, "dy"), Z: size.Draw(t, "dz")}
			bodies = append(bodies, cube(low.X, low.Y, low.Z, d.X, d.Y, d.Z))
			lows, highs = append(lows, low), append(highs, r3.Add(low, d))
		}
		s, err := NewScene(view, bodies)
		if err != nil {
			t.Fatal(err)
		}
		p := r3.Vec{X: place.Draw(t, "px"), Y: place.Draw(t, "py"), Z: place.Draw(t, "pz")}
		grown, shrunk := false, false
		for i := range bodies {
			e := r3.Vec{X: 2e-3, Y: 2e-3, Z: 2e-3}
			grown = grown || covered(p, view.Toward, r3.Sub(lows[i], e), r3.Add(highs[i], e))
			shrunk = shrunk || covered(p, view.Toward, lows[i], highs[i])
		}
		if sees := s.Sees(p, -1); shrunk && sees || !grown && !sees {
			t.Errorf("seen %v, but rays say hidden %v to %v", sees, shrunk, grown)
		}
	})
}

func TestMergeKeepsTheUnion(t *testing.T) {
	got := Merge([]Segment{{Point{0, 0}, Point{1, 0}}, {Point{2, 0}, Point{0.5, 0}}, {Point{3, 0}, Point{4, 0}}, {Point{0, 0}, Point{0, 1}}})
	if len(got) != 3 || math.Abs(total(got)-4) > 1e-9 {
		t.Errorf("%v", got)
	}
}

func TestOpenBodyIsRefused(t *testing.T) {
	b := cube(0, 0, 0, 1, 1, 1)
	b.Faces = b.Faces[1:]
	if _, err := NewScene(Front, []Body{b}); !errors.Is(err, ErrBody) {
		t.Errorf("%v, want ErrBody", err)
	}
}
