package frame

import (
	"bytes"
	"fmt"
	"testing"
)

// standModel is a stand of 38 nodes: legs, beams, ties and braces cut so that no member is divided, with three load
// cases.
func standModel() *Model {
	b := newBuilder()
	joint := End{{}, SemiRigid(3e4), SemiRigid(3e4)}
	split := func(name, from, to string, a, z [3]float64, section string, n int) {
		last := from
		for k := 1; k <= n; k++ {
			next := to
			if k < n {
				next = fmt.Sprintf("%s.%d", name, k)
				t := float64(k) / float64(n)
				b.node(next, a[0]+t*(z[0]-a[0]), a[1]+t*(z[1]-a[1]), a[2]+t*(z[2]-a[2]))
			}
			m := b.member(fmt.Sprintf("%s.%d", name, k), last, next, section, 1)
			if k == 1 {
				m.FromEnd = joint
			}
			if k == n {
				m.ToEnd = joint
			}
			last = next
		}
	}
	corner := [2][2][3]float64{{{0, 0, 0}, {0, 1.2, 0}}, {{2, 0, 0}, {2, 1.2, 0}}}
	for i := range 2 {
		for j := range 2 {
			foot, top := corner[i][j], corner[i][j]
			top[2] = 1.6
			b.node(fmt.Sprintf("f%d%d", i, j), foot[0], foot[1], 0)
			b.node(fmt.Sprintf("t%d%d", i, j), top[0], top[1], 1.6)
			b.Springs = append(b.Springs, Spring{From: fmt.Sprintf("f%d%d", i, j), K: [6]float64{1e6, 1e6, 1.5e7, 1e3, 1e3, 1e3}})
			split(fmt.Sprintf("leg%d%d", i, j), fmt.Sprintf("f%d%d", i, j), fmt.Sprintf("t%d%d", i, j), foot, top, "80x80", 3)
		}
	}
	at := func(i, j int, z float64) [3]float64 { x := corner[i][j]; x[2] = z; return x }
	for j := range 2 {
		split(fmt.Sprintf("x%d", j), fmt.Sprintf("t0%d", j), fmt.Sprintf("t1%d", j), at(0, j, 1.6), at(1, j, 1.6), "80x80", 6)
		split(fmt.Sprintf("b%d", j), fmt.Sprintf("leg0%d.1", j), fmt.Sprintf("leg1%d.1", j), at(0, j, 0.5333), at(1, j, 0.5333), "40x80", 3)
	}
	for i := range 2 {
		split(fmt.Sprintf("y%d", i), fmt.Sprintf("t%d0", i), fmt.Sprintf("t%d1", i), at(i, 0, 1.6), at(i, 1, 1.6), "40x80", 5)
	}
	b.Masses = []Mass{{At: Point{Node: "x0.3"}, M: 40}, {At: Point{Node: "x1.3", Offset: [3]float64{0, 0, 0.2}}, M: 40}}
	b.Cases = []Case{
		{ID: "weight", Fields: []Field{{Acceleration: [3]float64{0, 0, -9.80665}}}},
		{ID: "push x", Forces: []Force{{At: Point{Node: "t00"}, Force: [3]float64{200, 0, 0}}}},
		{ID: "brake y", Fields: []Field{{Acceleration: [3]float64{0, 3, -9.80665}}}},
	}
	b.Modes = 10
	return &b.Model
}

// latticeModel is a block lattice of n by n by h nodes with a diagonal in every bay.
func latticeModel(n, h int) *Model {
	b := newBuilder()
	id := func(i, j, k int) string { return fmt.Sprintf("%d.%d.%d", i, j, k) }
	for k := range h {
		for i := range n {
			for j := range n {
				b.node(id(i, j, k), float64(i), float64(j), float64(k))
				if k == 0 {
					b.Supports = append(b.Supports, Support{id(i, j, k), all})
				}
			}
		}
	}
	join := func(i, j, k, i2, j2, k2 int, section string) {
		if i2 < n && j2 < n && k2 < h {
			b.member(id(i, j, k)+"-"+id(i2, j2, k2), id(i, j, k), id(i2, j2, k2), section, 1)
		}
	}
	for k := range h {
		for i := range n {
			for j := range n {
				join(i, j, k, i+1, j, k, "40x80")
				join(i, j, k, i, j+1, k, "40x80")
				join(i, j, k, i, j, k+1, "80x80")
				join(i, j, k, i+1, j, k+1, "40x80")
			}
		}
	}
	b.Cases = []Case{
		{ID: "weight", Fields: []Field{{Acceleration: [3]float64{0, 0, -9.80665}}}},
		{ID: "push", Forces: []Force{{At: Point{Node: id(0, 0, h-1)}, Force: [3]float64{1000, 500, 0}}}},
	}
	return &b.Model
}

func benchmarkSolve(b *testing.B, m *Model) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Solve(m); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkStand is the whole way: read JSON, three cases, ten modes.
func BenchmarkStand(b *testing.B) {
	m := standModel()
	if len(m.Nodes) != 38 {
		b.Fatalf("%d nodes", len(m.Nodes))
	}
	benchmarkSolve(b, m)
}

func BenchmarkLattice1000Statics(b *testing.B)  { benchmarkSolve(b, latticeModel(10, 10)) }
func BenchmarkLattice10000Statics(b *testing.B) { benchmarkSolve(b, latticeModel(20, 25)) }

func BenchmarkLattice1000Modes(b *testing.B) {
	m := latticeModel(10, 10)
	m.Cases, m.Modes = nil, 10
	benchmarkSolve(b, m)
}

func BenchmarkLattice10000Modes(b *testing.B) {
	m := latticeModel(20, 25)
	m.Cases, m.Modes = nil, 10
	benchmarkSolve(b, m)
}

func BenchmarkReadJSON(b *testing.B) {
	text := []byte(cantilever)
	b.SetBytes(int64(len(text)))
	for b.Loop() {
		if _, p := ReadJSON(bytes.NewReader(text)); p != nil {
			b.Fatal(p)
		}
	}
}
