package prism

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// closed tells whether every edge of the surface, by the places of its ends, is
// used once in each direction. Straight rows of points on one side of a cap
// match those of the side faces, so nothing is left over.
func closed(m Mesh) bool {
	type edge struct{ a, b [3]float64 }
	used := map[edge]int{}
	for _, t := range m.Triangles {
		for i := range 3 {
			a, b := m.Points[t[i]], m.Points[t[(i+1)%3]]
			used[edge{a, b}]++
			used[edge{b, a}]--
		}
	}
	for _, n := range used {
		if n != 0 {
			return false
		}
	}
	return true
}

func TestMeshIsClosedAndLooksOutward(t *testing.T) {
	holed := Prism{Length: 2, Outline: Outline{Outer: Rounded(8, 4, 1), Holes: []Loop{
		Circle(Point{2, 0}, 1).Reversed(), Circle(Point{-2, 0}, 1).Reversed(), Rectangle(0.5, 0.5).Reversed(),
	}}}
	m, err := holed.Mesh(24)
	if err != nil {
		t.Fatal(err)
	}
	if !closed(m) {
		t.Error("the surface has an edge that is used once only")
	}
	for _, tri := range m.Triangles {
		a, b, c, n := m.Points[tri[0]], m.Points[tri[1]], m.Points[tri[2]], m.Normals[tri[0]]
		var u, v [3]float64
		for k := range 3 {
			u[k], v[k] = b[k]-a[k], c[k]-a[k]
		}
		d := n[0]*(u[1]*v[2]-u[2]*v[1]) + n[1]*(u[2]*v[0]-u[0]*v[2]) + n[2]*(u[0]*v[1]-u[1]*v[0])
		if !(d > 0) {
			t.Fatalf("triangle %v turns against its normal %v", tri, n)
		}
	}
}

// TestTrianglesOfHoles: any grid of holes in line, which is where cuts meet corners.
func TestTrianglesOfHoles(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		nx, ny := rapid.IntRange(1, 5).Draw(t, "columns"), rapid.IntRange(1, 5).Draw(t, "rows")
		o := Outline{Outer: Rectangle(10, 10)}
		for i := range nx {
			for j := range ny {
				w := rapid.Float64Range(0.1, 0.9).Draw(t, "size") * 10 / float64(max(nx, ny))
				l := Rectangle(w, w)
				switch rapid.IntRange(0, 2).Draw(t, "kind") {
				case 1:
					l = Circle(Point{}, w/2).straight(rapid.IntRange(3, 24).Draw(t, "sides"))
				case 2:
					l = Polygon(Point{-w / 2, 0}, Point{0, -w / 2}, Point{w / 2, 0}, Point{0, w / 2})
				}
				l = l.Moved((float64(i)+0.5)*10/float64(nx)-5, (float64(j)+0.5)*10/float64(ny)-5)
				o.Holes = append(o.Holes, l.Reversed())
			}
		}
		tri, err := o.Triangles()
		if err != nil {
			t.Fatal(err)
		}
		points := 4
		for _, h := range o.Holes {
			points += len(h)
		}
		if want := points + 2*len(o.Holes) - 2; len(tri) > want {
			t.Fatalf("%d triangles, at most %d are needed", len(tri), want)
		}
	})
}

func TestTrianglesRefuse(t *testing.T) {
	cross := Polygon(Point{0, 0}, Point{2, 0}, Point{2, 2}, Point{1, -1}, Point{0, 2})
	tests := map[string]Outline{
		"loops that cross themselves": {Outer: cross},
		"a hole that reaches out":     {Outer: Rectangle(2, 2), Holes: []Loop{Rectangle(1, 1).Moved(1, 0).Reversed()}},
		"a hole beside the outline":   {Outer: Rectangle(2, 2), Holes: []Loop{Rectangle(1, 1).Moved(5, 0).Reversed()}},
		"an arc":                      {Outer: Circle(Point{}, 1)},
	}
	for name, o := range tests {
		t.Run(name, func(t *testing.T) {
			if tri, err := o.Triangles(); !errors.Is(err, ErrShape) {
				t.Errorf("%d triangles and %v, want ErrShape", len(tri), err)
			}
		})
	}
}

func TestTrianglesOfACircleHaveItsArea(t *testing.T) {
	tri, err := Outline{Outer: Circle(Point{}, 1).straight(1000)}.Triangles()
	if err != nil || len(tri) != 998 {
		t.Fatalf("%d triangles, %v", len(tri), err)
	}
	// n/2 sin(2 pi/n) for n = 1000
	if got := (Outline{Outer: Circle(Point{}, 1).straight(1000)}).Area(); math.Abs(got-3.141571983) > 1e-9 {
		t.Errorf("area %.10g", got)
	}
}
