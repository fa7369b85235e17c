package fe

import (
	"errors"
	"math"
)

// ErrSingular says that a matrix is not positive definite: the region falls
// apart, or a triangle has no area.
var ErrSingular = errors.New("the equations are singular")

// entries is a symmetric matrix as a list of terms; several terms at one
// place add up. Only one of (i, j) and (j, i) is listed.
type entries struct {
	n    int
	i, j []int32
	v    []float64
}

func (e *entries) add(i, j int32, v float64) {
	e.i, e.j, e.v = append(e.i, i), append(e.j, j), append(e.v, v)
}

func (e *entries) graph() graph {
	start := make([]int32, e.n+1)
	for k, i := range e.i {
		if j := e.j[k]; i != j {
			start[i+1]++
			start[j+1]++
		}
	}
	for i := range e.n {
		start[i+1] += start[i]
	}
	list := make([]int32, start[e.n])
	fill := append([]int32(nil), start...)
	for k, i := range e.i {
		if j := e.j[k]; i != j {
			list[fill[i]], list[fill[j]] = j, i
			fill[i]++
			fill[j]++
		}
	}
	return graph{start, list}
}

// factor is the Cholesky factor L of a permuted matrix, by columns; the first
// term of each column is the diagonal.
type factor struct {
	place []int32 // place[unknown] = row in L
	start []int32
	row   []int32
	val   []float64
	work  []float64
}

// factorise computes P A Pᵀ = L Lᵀ row by row: the pattern of row k of L is
// what the elimination tree reaches from the entries of row k of A.
//
// Source: up-looking sparse Cholesky, Davis, Direct Methods for Sparse Linear
// Systems, SIAM 2006, chapter 4.
func factorise(e *entries, order []int32) (*factor, error) {
	n := e.n
	f := &factor{place: make([]int32, n), work: make([]float64, n)}
	for k, u := range order {
		f.place[u] = int32(k)
	}
	start, row, val := e.upper(f.place)
	parent := eliminationTree(start, row)

	reach := newReach(n, parent)
	count := make([]int32, n+1)
	for k := range n {
		count[k+1]++ // the diagonal
		for _, i := range reach.of(k, start, row) {
			count[i+1]++
		}
	}
	for k := range n {
		count[k+1] += count[k]
	}
	f.start = count
	f.row = make([]int32, count[n])
	f.val = make([]float64, count[n])

	end := make([]int32, n) // one past the last term filled in each column
	x := f.work
	for k := range n {
		pattern := reach.of(k, start, row)
		d := 0.0
		for p := start[k]; p < start[k+1]; p++ {
			if i := row[p]; int(i) == k {
				d += val[p]
			} else {
				x[i] += val[p]
			}
		}
		for _, i := range pattern {
			first := f.start[i]
			lki := x[i] / f.val[first]
			x[i] = 0
			rows, vals := f.row[first+1:end[i]], f.val[first+1:end[i]]
			for q, r := range rows {
				x[r] -= vals[q] * lki
			}
			d -= lki * lki
			f.row[end[i]], f.val[end[i]] = int32(k), lki
			end[i]++
		}
		if !(d > 0) || math.IsInf(d, 1) {
			return nil, ErrSingular
		}
		f.row[f.start[k]], f.val[f.start[k]] = int32(k), math.Sqrt(d)
		end[k] = f.start[k] + 1
	}
	return f, nil
}

// upper sorts the terms into columns of the upper triangle of the permuted matrix.
func (e *entries) upper(place []int32) (start, row []int32, val []float64) {
	start = make([]int32, e.n+1)
	for k := range e.v {
		start[max(place[e.i[k]], place[e.j[k]])+1]++
	}
	for k := range e.n {
		start[k+1] += start[k]
	}
	fill := append([]int32(nil), start...)
	row, val = make([]int32, len(e.v)), make([]float64, len(e.v))
	for k, v := range e.v {
		i, j := place[e.i[k]], place[e.j[k]]
		p := fill[max(i, j)]
		fill[max(i, j)]++
		row[p], val[p] = min(i, j), v
	}
	return start, row, val
}

// eliminationTree returns the parent of each row, -1 at a root.
func eliminationTree(start, row []int32) []int32 {
	n := len(start) - 1
	parent, ancestor := make([]int32, n), make([]int32, n)
	for k := range n {
		parent[k], ancestor[k] = -1, -1
		for _, i := range row[start[k]:start[k+1]] {
			for i != -1 && int(i) < k {
				up := ancestor[i]
				ancestor[i] = int32(k)
				if up == -1 {
					parent[i] = int32(k)
				}
				i = up
			}
		}
	}
	return parent
}

// reach finds the pattern of a row of L.
type reach struct {
	parent []int32
	mark   []int32
	stack  []int32
	path   []int32
	round  int32
}

func newReach(n int, parent []int32) *reach {
	return &reach{parent: parent, mark: make([]int32, n), stack: make([]int32, n), path: make([]int32, 0, 64)}
}

// of returns the columns in which row k of L is not zero, each before those
// that it changes.
func (r *reach) of(k int, start, row []int32) []int32 {
	r.round++
	top := len(r.stack)
	r.mark[k] = r.round
	for _, i := range row[start[k]:start[k+1]] {
		r.path = r.path[:0]
		for r.mark[i] != r.round {
			r.path = append(r.path, i)
			r.mark[i] = r.round
			i = r.parent[i]
		}
		top -= len(r.path)
		copy(r.stack[top:], r.path)
	}
	return r.stack[top:]
}

// solve returns x with A x = b.
func (f *factor) solve(b []float64) []float64 {
	y := f.work
	for u, v := range b {
		y[f.place[u]] = v
	}
	n := len(f.place)
	for k := range n {
		first, end := f.start[k], f.start[k+1]
		y[k] /= f.val[first]
		yk := y[k]
		rows, vals := f.row[first+1:end], f.val[first+1:end]
		for q, r := range rows {
			y[r] -= vals[q] * yk
		}
	}
	for k := n - 1; k >= 0; k-- {
		first, end := f.start[k], f.start[k+1]
		s := y[k]
		rows, vals := f.row[first+1:end], f.val[first+1:end]
		for q, r := range rows {
			s -= vals[q] * y[r]
		}
		y[k] = s / f.val[first]
	}
	x := make([]float64, n)
	for u := range x {
		x[u] = y[f.place[u]]
	}
	clear(y)
	return x
}
