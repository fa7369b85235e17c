package sparse

import (
	"fmt"
	"math"
	"slices"
)

// Builder collects the entries of a symmetric matrix one by one.
type Builder struct {
	n    int
	rows []int32
	cols []int32
	vals []float64
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
	b.rows = append(b.rows, int32(i))
	b.cols = append(b.cols, int32(j))
	b.vals = append(b.vals, v)
}

// Build returns the matrix of everything added so far. The sum of an entry is taken in the order of the calls of Add.
// The builder stays usable.
func (b *Builder) Build() *Matrix {
	// Two stable bucket sorts, by row and then by column, leave every column sorted and every sum in order of Add.
	byRow := bucket(b.rows, b.n, nil)
	byCol := bucket(b.cols, b.n, byRow)
	m := &Matrix{n: b.n, start: make([]int, b.n+1)}
	m.row = make([]int32, 0, len(b.rows))
	m.val = make([]float64, 0, len(b.rows))
	next := 0
	for j := range b.n {
		m.start[j] = len(m.row)
		for next < len(byCol) && int(b.cols[byCol[next]]) == j {
			e := byCol[next]
			if k := len(m.row) - 1; k >= m.start[j] && m.row[k] == b.rows[e] {
				m.val[k] += b.vals[e]
			} else {
				m.row = append(m.row, b.rows[e])
				m.val = append(m.val, b.vals[e])
			}
			next++
		}
	}
	m.start[b.n] = len(m.row)
	return m
}

// bucket returns the indices of keys sorted by key; equal keys keep the order they have in order (nil: 0, 1, 2, ...).
func bucket(keys []int32, n int, order []int32) []int32 {
	at := make([]int32, n+1)
	for _, k := range keys {
		at[k+1]++
	}
	for k := range n {
		at[k+1] += at[k]
	}
	sorted := make([]int32, len(keys))
	for i := range keys {
		e := int32(i)
		if order != nil {
			e = order[i]
		}
		k := keys[e]
		sorted[at[k]] = e
		at[k]++
	}
	return sorted
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
