package sparse

import (
	"fmt"
	"math"
	"slices"
	"sort"
)

// Builder collects the entries of a symmetric matrix one by one.
type Builder struct {
	n       int
	entries []entry // in order of Add
}

// entry is an entry of the lower triangle.
type entry struct {
	row, col int32
	val      float64
}

// NewBuilder returns an empty builder for an n by n matrix.
func NewBuilder(n int) *Builder {
	return &Builder{n: n}
}

// Add adds v to the entry (i, j), and so to (j, i), which is the same entry. An off-diagonal entry is given
// once, in either triangle; what is given again adds up. A zero keeps its place in the pattern.
//
// Add panics if i or j is out of range, as indexing a slice does.
func (b *Builder) Add(i, j int, v float64) {
	if uint(i) >= uint(b.n) || uint(j) >= uint(b.n) {
		panic(fmt.Sprintf("sparse: entry (%d, %d) outside a matrix of order %d", i, j, b.n))
	}
	if i < j {
		i, j = j, i
	}
	b.entries = append(b.entries, entry{int32(i), int32(j), v})
}

// Grow makes room for n more entries.
func (b *Builder) Grow(n int) { b.entries = slices.Grow(b.entries, n) }

// Build returns the matrix of everything added so far. The sum of an entry is taken in the order of the calls of Add.
// The builder stays usable.
func (b *Builder) Build() *Matrix {
	m := &Matrix{n: b.n, start: make([]int, b.n+1)}
	m.row = make([]int32, 0, len(b.entries)/2)
	m.val = make([]float64, 0, len(b.entries)/2)
	byColumn := b.byColumn()
	at := filled(b.n, -1) // where a row's entry stands, if within the column at hand
	for j := range b.n {
		first := len(m.row)
		for len(byColumn) > 0 && int(byColumn[0].col) == j {
			e := byColumn[0]
			byColumn = byColumn[1:]
			if k := int(at[e.row]); k >= first {
				m.val[k] += e.val
				continue
			}
			at[e.row] = int32(len(m.row))
			m.row = append(m.row, e.row)
			m.val = append(m.val, e.val)
		}
		sortColumn(m.row[first:], m.val[first:])
		m.start[j+1] = len(m.row)
	}
	return m
}

// Square returns the rows and columns from to end (exclusive) as a matrix of their own.
func (m *Matrix) Square(from, end int) *Matrix {
	out := &Matrix{n: end - from, start: make([]int, end-from+1)}
	for j := from; j < end; j++ {
		for k := m.start[j]; k < m.start[j+1]; k++ {
			if i := int(m.row[k]); i < end { // the lower triangle is stored
				out.row, out.val = append(out.row, int32(i-from)), append(out.val, m.val[k])
			}
		}
		out.start[j-from+1] = len(out.row)
	}
	return out
}

// byColumn returns the entries by column, those of one column in order of Add.
func (b *Builder) byColumn() []entry {
	at := make([]int32, b.n+1)
	for _, e := range b.entries {
		at[e.col+1]++
	}
	for j := range b.n {
		at[j+1] += at[j]
	}
	sorted := make([]entry, len(b.entries))
	for _, e := range b.entries {
		sorted[at[e.col]] = e
		at[e.col]++
	}
	return sorted
}

// sortColumn sorts a column by row. Columns are short and often nearly sorted.
func sortColumn(row []int32, val []float64) {
	if len(row) > 200 {
		sort.Sort(column{row, val})
		return
	}
	for k := 1; k < len(row); k++ {
		r, v := row[k], val[k]
		p := k
		for ; p > 0 && row[p-1] > r; p-- {
			row[p], val[p] = row[p-1], val[p-1]
		}
		row[p], val[p] = r, v
	}
}

// column is a column to be sorted by row.
type column struct {
	row []int32
	val []float64
}

func (c column) Len() int           { return len(c.row) }
func (c column) Less(i, j int) bool { return c.row[i] < c.row[j] }
func (c column) Swap(i, j int) {
	c.row[i], c.row[j] = c.row[j], c.row[i]
	c.val[i], c.val[j] = c.val[j], c.val[i]
}

// Matrix is a symmetric matrix, of which the lower triangle is stored by compressed columns with rising rows.
type Matrix struct {
	n     int
	start []int     // column j is row[start[j]:start[j+1]]
	row   []int32   // at least the column's number
	val   []float64 // beside row
}

// N returns the order of the matrix.
func (m *Matrix) N() int { return m.n }

// NNZ returns the number of stored entries of the lower triangle, the diagonal included.
func (m *Matrix) NNZ() int { return len(m.row) }

// At returns the entry (i, j); zero where nothing is stored. It panics if i or j is out of range.
func (m *Matrix) At(i, j int) float64 {
	if uint(i) >= uint(m.n) || uint(j) >= uint(m.n) {
		panic(fmt.Sprintf("sparse: entry (%d, %d) outside a matrix of order %d", i, j, m.n))
	}
	if i < j {
		i, j = j, i
	}
	k, ok := slices.BinarySearch(m.row[m.start[j]:m.start[j+1]], int32(i))
	if !ok {
		return 0
	}
	return m.val[m.start[j]+k]
}

// MulVec sets dst = A x. dst and x have length N and do not overlap.
func (m *Matrix) MulVec(dst, x []float64) {
	checkLength("MulVec", m.n, dst, x)
	clear(dst)
	for j, xj := range x {
		rows, vals := m.row[m.start[j]:m.start[j+1]], m.val[m.start[j]:m.start[j+1]]
		var even, odd float64 // two sums, so that one addition need not wait for the other
		if len(rows) > 0 && int(rows[0]) == j {
			even = vals[0] * xj
			rows, vals = rows[1:], vals[1:]
		}
		for len(rows) >= 2 && len(vals) >= 2 {
			i, k, v, w := rows[0], rows[1], vals[0], vals[1]
			even += v * x[i]
			odd += w * x[k]
			dst[i] += v * xj
			dst[k] += w * xj
			rows, vals = rows[2:], vals[2:]
		}
		if len(rows) > 0 && len(vals) > 0 {
			i, v := rows[0], vals[0]
			even += v * x[i]
			dst[i] += v * xj
		}
		dst[j] += even + odd
	}
}

// Diagonal returns the diagonal, zero where nothing is stored.
func (m *Matrix) Diagonal() []float64 {
	d := make([]float64, m.n)
	for j := range d {
		if k := m.start[j]; k < m.start[j+1] && int(m.row[k]) == j {
			d[j] = m.val[k]
		}
	}
	return d
}

// NormInf returns the largest sum of magnitudes of a row.
func (m *Matrix) NormInf() float64 {
	sum := make([]float64, m.n)
	for j := range m.n {
		for k := m.start[j]; k < m.start[j+1]; k++ {
			v := math.Abs(m.val[k])
			sum[j] += v
			if i := int(m.row[k]); i != j {
				sum[i] += v
			}
		}
	}
	norm := 0.0
	for _, s := range sum {
		norm = max(norm, s) // max keeps a NaN
	}
	return norm
}

// Combine returns a A + b B on the union of both patterns. It panics if the orders differ.
func Combine(a float64, A *Matrix, b float64, B *Matrix) *Matrix {
	if A.n != B.n {
		panic(fmt.Sprintf("sparse: combining matrices of orders %d and %d", A.n, B.n))
	}
	c := &Matrix{n: A.n, start: make([]int, A.n+1)}
	c.row = make([]int32, 0, max(len(A.row), len(B.row)))
	c.val = make([]float64, 0, max(len(A.row), len(B.row)))
	for j := range A.n {
		p, q := A.start[j], B.start[j]
		for p < A.start[j+1] || q < B.start[j+1] {
			switch {
			case q == B.start[j+1] || p < A.start[j+1] && A.row[p] < B.row[q]:
				c.row, c.val = append(c.row, A.row[p]), append(c.val, a*A.val[p])
				p++
			case p == A.start[j+1] || B.row[q] < A.row[p]:
				c.row, c.val = append(c.row, B.row[q]), append(c.val, b*B.val[q])
				q++
			default:
				c.row, c.val = append(c.row, A.row[p]), append(c.val, a*A.val[p]+b*B.val[q])
				p++
				q++
			}
		}
		c.start[j+1] = len(c.row)
	}
	return c
}

// samePattern reports whether both matrices store the same entries.
func (m *Matrix) samePattern(o *Matrix) bool {
	if m == o {
		return true
	}
	return m.n == o.n && slices.Equal(m.start, o.start) && slices.Equal(m.row, o.row)
}

// checkLength panics unless every vector has length n: a wrong length is a caller's bug.
func checkLength(what string, n int, vectors ...[]float64) {
	for _, v := range vectors {
		if len(v) != n {
			panic(fmt.Sprintf("sparse: %s: vector of length %d for a matrix of order %d", what, len(v), n))
		}
	}
}
