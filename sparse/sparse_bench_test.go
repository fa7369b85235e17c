package sparse

import (
	"fmt"
	"testing"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
)

// sizes are the structures of the benchmarks: a gantry stand, a plane grid, and boxes.
var sizes = []struct {
	name       string
	nx, ny, nz int
}{
	{"stand-800", 0, 0, 0},
	{"grid-5400", 30, 30, 1},
	{"box-6000", 10, 10, 10},
	{"long-60000", 100, 10, 10},
	{"cube-58212", 21, 21, 22},
}

// stand is a portal frame of 800 freedoms: four legs, four rails, two braces a side, each cut into elements.
func stand() (k, m *Matrix) {
	corners := [][3]float64{{0, 0, 0}, {3, 0, 0}, {0, 2, 0}, {3, 2, 0}, {0, 0, 2}, {3, 0, 2}, {0, 2, 2}, {3, 2, 2}}
	members := [][2]int{{0, 4}, {1, 5}, {2, 6}, {3, 7}, {4, 5}, {6, 7}, {4, 6}, {5, 7}, {0, 5}, {2, 7}, {0, 6}, {1, 7}}
	const cut = 11 // elements a member: 8 + 12*10 nodes, 768 freedoms
	places := append([][3]float64(nil), corners...)
	var bars [][2]int
	for _, e := range members {
		last := e[0]
		for c := 1; c <= cut; c++ {
			next := e[1]
			if c < cut {
				next = len(places)
				var p [3]float64
				for i := range p {
					p[i] = corners[e[0]][i] + (corners[e[1]][i]-corners[e[0]][i])*float64(c)/cut
				}
				places = append(places, p)
			}
			bars = append(bars, [2]int{last, next})
			last = next
		}
	}
	s := newStructure(len(places))
	for i, e := range bars {
		s.member(beam{0.06 + 0.001*float64(i%7)}, e[0], e[1], func(node int) [3]float64 { return places[node] })
	}
	for foot := range 4 {
		s.ground(foot, 1e8)
	}
	return s.k.Build(), s.m.Build()
}

func build(i int) (k, m *Matrix) {
	if sizes[i].nx == 0 {
		return stand()
	}
	return lattice(sizes[i].nx, sizes[i].ny, sizes[i].nz, true, true)
}

// BenchmarkStatic is everything from a matrix to its first solution, as a static analysis needs it.
func BenchmarkStatic(b *testing.B) {
	for i, c := range sizes {
		k, _ := build(i)
		x := make([]float64, k.N())
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				x[k.N()/2] = 1
				factored(b, k, 6).Solve(x, x)
			}
		})
	}
}

// BenchmarkAnalyse, BenchmarkFactor and BenchmarkSolve are its parts.
func BenchmarkAnalyse(b *testing.B) {
	for i, c := range sizes {
		k, _ := build(i)
		for _, block := range []int{6, 1} {
			b.Run(fmt.Sprintf("%s/block-%d", c.name, block), func(b *testing.B) {
				for b.Loop() {
					Analyse(k, block)
				}
			})
		}
	}
}

func BenchmarkFactor(b *testing.B) {
	for i, c := range sizes {
		k, _ := build(i)
		s := Analyse(k, 6)
		for _, workers := range []int{1, 2} {
			b.Run(fmt.Sprintf("%s/workers-%d", c.name, workers), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					if _, err := s.Factor(k, FactorOptions{Workers: workers}); err != nil {
						b.Fatal(err)
					}
				}
				b.ReportMetric(s.work*float64(b.N)/b.Elapsed().Seconds()/1e9, "Gflop/s")
			})
		}
	}
}

func BenchmarkSolve(b *testing.B) {
	for i, c := range sizes {
		k, _ := build(i)
		f := factored(b, k, 6)
		x := make([][]float64, 4)
		for i := range x {
			x[i] = make([]float64, k.N())
			x[i][i] = 1
		}
		var s Scratch
		b.Run(c.name+"/one", func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				f.SolveWith(&s, x[0], x[0])
			}
		})
		b.Run(c.name+"/four", func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				f.SolveManyWith(&s, x, x)
			}
		})
	}
}

// BenchmarkModes is everything from two matrices to ten proven modes.
func BenchmarkModes(b *testing.B) {
	for i, c := range sizes {
		k, m := build(i)
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				lowest(b, k, m, 10, EigenOptions{Block: 6})
			}
		})
	}
}

// BenchmarkPose is the ten modes of one of many poses: cold, and from the modes of the pose before.
func BenchmarkPose(b *testing.B) {
	k, m := stand()
	op := operator(b, k, m)
	var ws Workspace
	for name, warm := range map[string]bool{"cold": false, "warm": true} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				opt := IterationOptions{Workspace: &ws}
				if warm {
					opt.Start = ws.vectors
				}
				if _, _, err := LowestOf(op, 10, opt); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(ws.steps), "steps")
		})
	}
}

// BenchmarkProduct compares the product that carries the factorisation with the library's.
func BenchmarkProduct(b *testing.B) {
	const n, k = 480, 192
	l := make([]float64, n*k)
	for i := range l {
		l[i] = float64(i%17) - 8
	}
	d := make([]float64, k)
	for i := range d {
		d[i] = 1
	}
	c := make([]float64, n*n)
	b.Run("own", func(b *testing.B) {
		crew := []*packing{{}}
		for b.Loop() {
			u := update{l: l, ld: n, d: d, rows: n, cols: n, c: c, ldc: n, room: n}
			u.run(crew)
		}
		b.ReportMetric(float64(n*n*k)*float64(b.N)/b.Elapsed().Seconds()/1e9, "Gflop/s")
	})
	b.Run("library", func(b *testing.B) {
		for b.Loop() {
			blas64.Syrk(blas.Trans, -1, blas64.General{Rows: k, Cols: n, Stride: n, Data: l}, 1,
				blas64.Symmetric{Uplo: blas.Upper, N: n, Stride: n, Data: c})
		}
		b.ReportMetric(float64(n*n*k)*float64(b.N)/b.Elapsed().Seconds()/1e9, "Gflop/s")
	})
}
