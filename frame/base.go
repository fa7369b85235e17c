package frame

import (
	"errors"
	"fmt"
	"math"
	"sync"
	"sync/atomic"

	"spanwright/sparse"
)

// Base is a model whose bodies do not change while ties between them move: it is factored once and then solved at many
// poses. Bodies may be free in space; the ties of a pose hold them.
//
// With K the base stiffness, E the freedoms that are grounded while it is factored and G the stiffness of that
// grounding,
//
//	F = (K + E G Eᵀ)⁻¹    R = F E G
//
// R holds the movements that the grounding allows: for bodies without support the rigid-body modes. A pose with ties
// D over the stretches B u then solves, exactly,
//
//	[D⁻¹ + B F Bᵀ   -B R      ] [tie forces]   [B F f]
//	[Rᵀ Bᵀ          G(I - EᵀR)] [movement  ] = [Rᵀ f ]      u = F (f - Bᵀ forces) + R movement
//
// in which the grounding is gone again.
//
// Source: derived (dual coupling of substructures with their rigid-body modes); held to the reference path by tests.
//
// A Base may be used by several goroutines, each with its own Pose. Contacts of the model count as closed.
type Base struct {
	*grid
	mass    *sparse.Matrix
	inertia *sparse.Rows // mass, for several vectors at once
	factor  *sparse.Factor
	own     []*sparse.Factor // of small bodies alone; nil for others
	held    []int            // E: grounded reduced freedoms
	ground  []float64        // G, N/m or N m/rad
	moves   [][]float64      // columns of R over the freedoms of their body
	bodyOf  []int32          // body of a reduced freedom
	heldBy  [][]int32        // of each body: places in held
	bare    []bool           // of each body: a lone node that nothing but ties holds; F is taken as 0 there
	rest    []float64        // Q = G(I - EᵀR), row by row
	columns []atomic.Pointer[[]float64]
	kept    atomic.Int64 // numbers in columns
	idle    sync.Pool    // of *columnMemory
	bases   basisCache
}

// Stiffness of the grounding of a node that carries nothing yet (a carriage before its ties), the order of a stiff
// guide. Any value gives the same result; one far from the stiffness of the ties costs digits.
const (
	groundForce = 1e9 // N/m
	groundTurn  = 1e8 // N m/rad
)

// NewBase checks and factors a model, whose lists must not be changed in place afterwards. Ties of the model are part of
// the base; its cases are not used. The error is Problems.
func NewBase(m *Model) (*Base, error) {
	if p := m.Check(); len(p) > 0 {
		return nil, p
	}
	own := *m // so that the caller may give the model other ties or cases afterwards
	b := &Base{grid: newGrid(&own)}
	b.mass = b.massMatrix()
	b.inertia = sparse.NewRows(b.mass)
	n := b.size()
	b.bodyOf = make([]int32, n)
	bodies := len(b.begins) - 1
	for body := range bodies {
		for i := b.begins[body]; i < b.begins[body+1]; i++ {
			b.bodyOf[i] = int32(body)
		}
	}
	if err := b.factorGrounded(); err != nil {
		return nil, err
	}
	b.heldBy = make([][]int32, bodies)
	for j, i := range b.held {
		b.heldBy[b.bodyOf[i]] = append(b.heldBy[b.bodyOf[i]], int32(j))
	}
	b.findBare()
	b.findMoves()
	b.columns = make([]atomic.Pointer[[]float64], n)
	return b, nil
}

// factorGrounded grounds bodies that nothing holds, and then whatever else the factorisation finds free, and factors.
func (b *Base) factorGrounded() error {
	k := b.stiffness()
	diag := k.Diagonal()
	sym := sparse.Analyse(k, 1)
	for body := range len(b.begins) - 1 {
		if !b.bodyHeld(int32(body)) {
			first := int(b.begins[body])
			for i := first; i < int(b.begins[body+1]) && i < first+6; i++ {
				b.hold(i, diag)
			}
		}
	}
	for range maxMovements + 1 {
		extra := sparse.NewBuilder(b.size())
		for j, i := range b.held {
			extra.Add(i, i, b.ground[j])
		}
		whole := sparse.Combine(1, k, 1, extra.Build())
		f, err := sym.Factor(whole, sparse.FactorOptions{})
		if err == nil {
			b.factor = f
			return b.factorSmall(whole)
		}
		var sing *sparse.SingularError
		if !errors.As(err, &sing) {
			return fmt.Errorf("frame: base: %w", err)
		}
		for _, i := range b.held {
			if i == sing.Index {
				return fmt.Errorf("frame: base: %w", b.mechanism(sing.Null))
			}
		}
		b.hold(sing.Index, diag)
	}
	return fmt.Errorf("frame: base: more than %d independent movements besides those of free bodies", maxMovements)
}

// factorSmall factors bodies on their own that are so much smaller than all together that their columns come cheaper so.
func (b *Base) factorSmall(whole *sparse.Matrix) error {
	const small = 3 // parts of the whole
	b.own = make([]*sparse.Factor, len(b.begins)-1)
	for body := range b.own {
		first, last := int(b.begins[body]), int(b.begins[body+1])
		if first == last || small*(last-first) > b.size() {
			continue
		}
		k := whole.Square(first, last)
		var err error
		if b.own[body], err = sparse.Analyse(k, 1).Factor(k, sparse.FactorOptions{}); err != nil {
			return fmt.Errorf("frame: base: %w", err)
		}
	}
	return nil
}

// bodyHeld reports whether a support or a ground joint acts on a body.
func (b *Base) bodyHeld(body int32) bool {
	first, last := b.begins[body], b.begins[body+1]
	if first == last {
		return true // every freedom is fixed
	}
	of := func(freedom int32) bool {
		i := b.eq[freedom]
		return i >= first && i < last
	}
	for i := range b.rows {
		if r := &b.rows[i]; b.toGround(r) && len(r.at) > 0 && of(r.at[0]) {
			return true
		}
	}
	for i := first; i < last; i++ {
		node := b.nodeOf(b.back[i])
		for d := range int32(6) {
			if b.eq[6*node+d] < 0 {
				return true
			}
		}
	}
	return false
}

// hold grounds a freedom with its own stiffness.
func (b *Base) hold(i int, diag []float64) {
	g := diag[i]
	if !(g > 0) {
		g = groundForce
		if at := int(b.back[i]); at >= 6*len(b.at) || at%6 >= RX {
			g = groundTurn
		}
	}
	b.held = append(b.held, i)
	b.ground = append(b.ground, g)
}

// restNoise is the part of the grounding below which G(I - EᵀR) is rounding: the movement then costs nothing.
const restNoise = 1e-9

// findMoves computes R and what it costs.
func (b *Base) findMoves() {
	r := len(b.held)
	diag := map[int]float64{}
	for j, i := range b.held {
		diag[i] = b.ground[j]
	}
	b.moves = make([][]float64, r)
	for round, more := 0, true; more; round++ {
		var push []int
		for body, held := range b.heldBy {
			if round < len(held) && !b.bare[body] {
				push = append(push, b.held[held[round]])
			}
		}
		if more = len(push) > 0; !more {
			break
		}
		x := b.swing(b.factor, push, b.held, diag) // bodies do not feel each other
		for _, held := range b.heldBy {
			if round < len(held) {
				j := held[round]
				first, last := b.span(b.held[j])
				b.moves[j] = append([]float64(nil), x[first:last]...)
			}
		}
	}
	for j, i := range b.held {
		if first, last := b.span(i); b.bare[b.bodyOf[i]] { // each freedom moves by itself
			b.moves[j] = make([]float64, last-first)
			b.moves[j][i-first] = 1
		}
	}
	b.rest = make([]float64, r*r)
	for j, i := range b.held {
		for q, h := range b.held {
			if b.bodyOf[i] != b.bodyOf[h] {
				continue
			}
			own := 0.0
			if j == q {
				own = 1
			}
			v := own - b.moves[q][i-int(b.begins[b.bodyOf[i]])]
			if scale := math.Sqrt(b.ground[q] / b.ground[j]); math.Abs(v) > restNoise*scale {
				b.rest[j*r+q] = b.ground[j] * v
			}
		}
	}
}

// span is the range of freedoms of the body of freedom i.
func (b *Base) span(i int) (first, last int) {
	body := b.bodyOf[i]
	return int(b.begins[body]), int(b.begins[body+1])
}

// findBare marks bodies without any stiffness of their own. Any generalised inverse serves as F there, because the forces
// on such a body balance; 0 spares work and digits.
func (b *Base) findBare() {
	b.bare = make([]bool, len(b.begins)-1)
	for body := range b.bare {
		b.bare[body] = true
	}
	mark := func(freedom int32) {
		if e := b.eq[freedom]; e >= 0 {
			b.bare[b.bodyOf[e]] = false
		}
	}
	for i := range b.elements {
		for _, node := range b.elements[i].node {
			for d := range int32(6) {
				mark(6*node + d)
			}
		}
	}
	for i := range b.rows {
		for _, at := range b.rows[i].at {
			mark(at)
		}
	}
}

// flexibility sets x = F rhs.
func (b *Base) flexibility(scratch *sparse.Scratch, x, rhs []float64) {
	b.factor.SolveWith(scratch, x, rhs)
	for body, bare := range b.bare {
		if bare {
			clear(x[b.begins[body]:b.begins[body+1]])
		}
	}
}

// Bytes is about the memory that the base takes, most of it for columns of F that poses have asked for.
func (b *Base) Bytes() int64 {
	const each = 8 * 200 // numbers of a freedom in matrix, factor and grid, from what small and large frames take
	return int64(b.size())*each + 8*b.kept.Load()
}

// Freedoms returns the number of equations of the base.
func (b *Base) Freedoms() int { return b.size() }

// Mass returns the mass of all members and masses whose body is named, of everything if none is, kg.
func (b *Base) Mass(bodies ...string) float64 { return b.grid.mass(bodies) }
