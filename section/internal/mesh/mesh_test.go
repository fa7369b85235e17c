package mesh

import (
	"errors"
	"math"
	"math/big"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// inCircle must agree with exact integers, near misses included.
func TestInCircleIsExact(t *testing.T) {
	coordinate := rapid.OneOf(rapid.Int64Range(-gridSteps, gridSteps), rapid.Int64Range(-3, 3))
	rapid.Check(t, func(t *rapid.T) {
		var p [4]gridPoint
		for i := range p {
			p[i] = gridPoint{coordinate.Draw(t, "y"), coordinate.Draw(t, "z")}
		}
		if rapid.Bool().Draw(t, "on the circle") {
			// The fourth corner of a rectangle lies exactly on the circle through the
			// others; one step decides.
			w, h := rapid.Int64Range(1, gridSteps/2).Draw(t, "w"), rapid.Int64Range(1, gridSteps/2).Draw(t, "h")
			p = [4]gridPoint{{0, 0}, {w, 0}, {w, h}, {rapid.Int64Range(-1, 1).Draw(t, "off"), h}}
		}
		want := exactInCircle(p)
		if got := inCircle(p[0], p[1], p[2], p[3]); got != want {
			t.Fatalf("inCircle(%v) = %v, exact arithmetic says %v", p, got, want)
		}
	})
}

func exactInCircle(p [4]gridPoint) bool {
	var row [3][3]*big.Int
	for i := range row {
		y, z := big.NewInt(p[i].y-p[3].y), big.NewInt(p[i].z-p[3].z)
		l := new(big.Int).Add(new(big.Int).Mul(y, y), new(big.Int).Mul(z, z))
		row[i] = [3]*big.Int{y, z, l}
	}
	det := new(big.Int)
	for i := range row {
		j, k := (i+1)%3, (i+2)%3
		minor := new(big.Int).Sub(new(big.Int).Mul(row[j][0], row[k][1]), new(big.Int).Mul(row[j][1], row[k][0]))
		det.Add(det, minor.Mul(minor, row[i][2]))
	}
	return det.Sign() > 0
}

func circle(y, z, r float64, n int) (l [][2]float64) {
	for i := range n {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		l = append(l, [2]float64{y + r*c, z + r*s})
	}
	return l
}

// regions are outlines that are hard for different reasons.
var regions = map[string][][][2]float64{
	"square": {{{0, 0}, {1, 0}, {1, 1}, {0, 1}}},
	"clockwise loops": {
		{{0, 0}, {0, 1}, {1, 1}, {1, 0}},
		{{0.4, 0.4}, {0.4, 0.6}, {0.6, 0.6}, {0.6, 0.4}}},
	"many points on one line and one circle": {
		{{-4, -4}, {-1, -4}, {-1, -3}, {1, -3}, {1, -4}, {4, -4}, {4, 4}, {1, 4}, {1, 3}, {-1, 3}, {-1, 4}, {-4, 4}},
		circle(2, 0, 1, 48), circle(-2, 0, 1, 48)},
	"sharp corners": {{{0, 0}, {1, 0}, {1, 0.02}, {0.5, 0.02}, {0.45, 0.9}}},
	"thin wall": {
		{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}},
		{{-0.9, -0.9}, {-0.001, -0.9}, {-0.001, 0.9}, {-0.9, 0.9}},
		{{0.001, -0.9}, {0.9, -0.9}, {0.9, 0.9}, {0.001, 0.9}}},
	// One long edge past the ends of many others: recovering it must find edges at
	// the corners of the surrounding box.
	"long edge over short ones": {
		{{-4, -1}, {-3, 0.9}, {-2, -1}, {-1, 0.9}, {0, -1}, {1, 0.9}, {2, -1}, {3, 0.9}, {4, -1}, {4, 1}, {-4, 1}}},
}

func TestMeshIsATriangulationOfTheRegion(t *testing.T) {
	for name, loops := range regions {
		t.Run(name, func(t *testing.T) {
			m, err := Build(loops)
			if err != nil {
				t.Fatal(err)
			}
			inspect(t, m, loops)
			before := len(m.Triangles())
			marked := make([]bool, before)
			for i := range marked {
				marked[i] = i%3 == 0
			}
			m.Refine(marked, 0.5)
			inspect(t, m, loops)
			if after := len(m.Triangles()); after <= before {
				t.Errorf("refining left %d of %d triangles", after, before)
			}
		})
	}
}

// inspect checks orientation, neighbours, area, angles and boundary of a mesh.
func inspect(t *testing.T, m *Mesh, loops [][][2]float64) {
	t.Helper()
	pts, tris := m.Points(), m.Triangles()
	want, area := 0.0, 0.0
	for k, l := range loops {
		a := 0.0
		for i, p := range l {
			q := l[(i+1)%len(l)]
			a += (p[0]*q[1] - p[1]*q[0]) / 2
		}
		if a = math.Abs(a); k > 0 {
			a = -a
		}
		want += a
	}
	length := make([]float64, len(loops))
	for i, tr := range tris {
		a, b, c := pts[tr.Corner[0]], pts[tr.Corner[1]], pts[tr.Corner[2]]
		twice := (b[0]-a[0])*(c[1]-a[1]) - (b[1]-a[1])*(c[0]-a[0])
		if !(twice > 0) {
			t.Fatalf("triangle %d turns clockwise or has no area", i)
		}
		area += twice / 2
		for k, nb := range tr.Neighbour {
			p, q := tr.Corner[next(k)], tr.Corner[prev(k)]
			if nb < 0 {
				length[-1-nb] += math.Hypot(pts[p][0]-pts[q][0], pts[p][1]-pts[q][1])
				continue
			}
			mutual := false
			for j, back := range tris[nb].Neighbour {
				mutual = mutual || int(back) == i && tris[nb].Corner[next(j)] == q && tris[nb].Corner[prev(j)] == p
			}
			if !mutual {
				t.Fatalf("triangle %d has neighbour %d, which does not have it", i, nb)
			}
		}
	}
	// The grid moves points by up to half a step of 3e-8 of the size.
	if math.Abs(area-want) > 1e-6*want {
		t.Errorf("area %.9g, the loops enclose %.9g", area, want)
	}
	for k, l := range loops {
		perimeter := 0.0
		for i, p := range l {
			q := l[(i+1)%len(l)]
			perimeter += math.Hypot(p[0]-q[0], p[1]-q[1])
		}
		if math.Abs(length[k]-perimeter) > 1e-6*perimeter {
			t.Errorf("loop %d: boundary edges measure %.9g, the loop %.9g", k, length[k], perimeter)
		}
	}
	for i := range m.tris {
		tr := &m.tris[i]
		if tr.v[0] == dead {
			continue
		}
		if sides, radius := m.measure(tr); m.slim(tr, sides, radius) {
			t.Errorf("triangle %d is too slim: sides %.4g", i, sides)
		}
	}
}

// Edges that meet at a sharp corner must not divide each other down to the
// finest length: without concentric shells it takes 161 points.
func TestSharpCornersNeedFewPoints(t *testing.T) {
	s, c := math.Sincos(5 * math.Pi / 180)
	m, err := Build([][][2]float64{{{0, 0}, {1, 0}, {0.83 * c, 0.83 * s}}})
	if err != nil {
		t.Fatal(err)
	}
	if n := len(m.Points()); n > 40 {
		t.Errorf("%d points in a triangle of 5 degrees", n)
	}
}

func TestSameRegionSameMesh(t *testing.T) {
	loops := regions["many points on one line and one circle"]
	a, errA := Build(loops)
	b, errB := Build(loops)
	if errA != nil || errB != nil {
		t.Fatal(errA, errB)
	}
	if d := cmp.Diff(a.Points(), b.Points()); d != "" {
		t.Error(d)
	}
}

func TestBuildRefuses(t *testing.T) {
	tests := map[string][][][2]float64{
		"crossing edges":         {{{0, 0}, {1, 1}, {1, 0}, {0, 1}}},
		"a point twice":          {{{0, 0}, {1, 0}, {1, 0}, {0, 1}}},
		"a point on an edge":     {{{0, 0}, {2, 0}, {2, 2}, {1, 0}, {0, 2}}},
		"a hole outside":         {{{0, 0}, {1, 0}, {1, 1}}, {{5, 5}, {6, 5}, {6, 6}}},
		"no extent":              {{{1, 1}, {1, 1}, {1, 1}}},
		"a hole across the edge": {{{0, 0}, {1, 0}, {1, 1}, {0, 1}}, {{0.5, 0.5}, {1.2, 0.5}, {0.6, 0.6}}},
	}
	for name, loops := range tests {
		t.Run(name, func(t *testing.T) {
			if _, err := Build(loops); !errors.Is(err, ErrOutline) {
				t.Errorf("got %v, want a refusal", err)
			}
		})
	}
}
