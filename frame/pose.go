package frame

import (
	"fmt"

	"spanwright/sparse"
)

// Pose is a base coupled by ties for one position of its bodies. It belongs to one goroutine and is used again for pose
// after pose: Set replaces what was there. After a few poses nothing is allocated any more.
type Pose struct {
	base       *Base
	places     []placed // points that ties, masses and forces use, without repetition
	terms      []int32  // reduced freedoms of the places
	forms      [6][]float64
	legs       []leg
	coefs      []float64 // coefficients of legs over the terms of their place
	ties       []Tie
	masses     []Mass
	rows       []poseRow
	lumped     []int     // place of each mass
	c          lower     // D⁻¹ + B F Bᵀ, factored
	p          []float64 // L⁻¹ B R, column by column
	s          lower     // Q + (B R)ᵀ C⁻¹ B R, factored
	force      []float64 // of the rows, and scratch
	move       []float64
	y          []float64 // reduced scratch
	extra      []float64 // displacements of the terms from the masses of the pose
	four       fourfold
	solver     sparse.Scratch
	projection projection
	after      []extent // what every tie has added
	first      []int32  // of each row: the first column of C that is not zero
	ready      bool
}

// extent is how much there is of everything at some point of Set.
type extent struct{ places, terms, coefs, legs, rows int }

// placed is a resolved point: its six displacements are forms over terms[from:to].
type placed struct {
	point    Point
	body     int32 // -1: everything there is fixed, or the ground
	from, to int32
	anchor   anchor
}

// leg is one end of a tie row.
type leg struct {
	place int32
	row   int32
	at    int32 // coefs[at : at+terms of the place]
}

// poseRow is one stiffness of a tie.
type poseRow struct {
	k    float64
	tie  int32
	comp int8
	legs [2]int32 // -1 if that end does not move
}

// NewPose returns an empty workspace.
func (b *Base) NewPose() *Pose {
	return &Pose{base: b, y: make([]float64, b.size())}
}

// Pose couples the base by ties, with extra masses, in a new workspace. The errors are those of Set.
func (b *Base) Pose(ties []Tie, masses []Mass) (*Pose, error) {
	p := b.NewPose()
	return p, p.Set(ties, masses)
}

// Set couples the base by ties and adds masses, in place of what was there. Both are copied. Leading ties that are the
// same as before cost nothing: where many poses are solved, ties that change least come first. The result is the same
// to the last bit as in a new workspace.
//
// The error is Problems, or a *MechanismError if the ties leave something free to move.
func (p *Pose) Set(ties []Tie, masses []Mass) error {
	kept := 0
	for p.ready && kept < min(len(ties), len(p.ties)) && ties[kept] == p.ties[kept] {
		kept++
	}
	p.ready = false
	if err := p.check(ties[kept:], masses); err != nil {
		return err
	}
	p.ties = append(p.ties[:kept], ties[kept:]...)
	p.masses = append(p.masses[:0], masses...)
	before := len(p.rows)
	e := p.backTo(kept)
	for i := kept; i < len(ties); i++ {
		p.addTie(int32(i))
		p.after = append(p.after, extent{len(p.places), len(p.terms), len(p.coefs), len(p.legs), len(p.rows)})
	}
	p.lumped = p.lumped[:0]
	for i := range p.masses {
		p.lumped = append(p.lumped, p.place(p.masses[i].At))
	}
	if len(p.rows) != before {
		e = extent{} // matrices have another size
	}
	p.projection.valid = min(p.projection.valid, e.rows)
	if err := p.couple(e); err != nil {
		return err
	}
	p.ready = true
	return nil
}

// backTo drops what all but the first ties have added.
func (p *Pose) backTo(kept int) (e extent) {
	if kept > 0 {
		e = p.after[kept-1]
	}
	p.after = p.after[:kept]
	p.places, p.terms, p.coefs = p.places[:e.places], p.terms[:e.terms], p.coefs[:e.coefs]
	p.legs, p.rows = p.legs[:e.legs], p.rows[:e.rows]
	for d := range p.forms {
		p.forms[d] = p.forms[d][:e.terms]
	}
	return e
}

// check refuses ties and masses that do not fit the base.
func (p *Pose) check(ties []Tie, masses []Mass) error {
	for i := range ties {
		if !p.fits(ties[i].From) || ties[i].From.Ground() || !(p.fits(ties[i].To) || ties[i].To.Ground()) || !sound(&ties[i]) {
			c := p.base.checker()
			if ties[i].Contact != nil {
				c.add("ties", ties[i].ID, "contact", "", "is not possible in a pose; solve the whole model")
				return c.problems
			}
			if wrong := c.tie(&ties[i]); len(wrong) > 0 {
				return wrong
			}
		}
	}
	for i := range masses {
		if !p.fits(masses[i].At) || !(masses[i].M >= 0) {
			c := p.base.checker()
			c.model = &Model{Nodes: p.base.model.Nodes, Members: p.base.model.Members, Masses: masses}
			c.masses()
			if len(c.problems) > 0 {
				return c.problems
			}
		}
	}
	return nil
}

// fits reports whether a point exists, without the trouble of naming what is wrong.
func (p *Pose) fits(at Point) bool {
	if at.Node != "" {
		_, ok := p.base.nodes[at.Node]
		return ok && at.Member == ""
	}
	_, ok := p.base.members[at.Member]
	return ok && at.Position >= 0 && at.Position <= 1
}

// sound reports whether the numbers of a tie are surely allowed.
func sound(t *Tie) bool {
	for _, k := range t.K {
		if !(k >= 0 && k <= maxNumber) {
			return false
		}
	}
	return t.Loss >= 0 && t.Contact == nil && (t.Axes == Axes{} || t.Axes.squareness() <= axesTolerance)
}

// place resolves a point, once for every place where it is used.
func (p *Pose) place(at Point) int {
	for i := range p.places {
		if p.places[i].point == at {
			return i
		}
	}
	if len(p.places) < cap(p.places) {
		p.places = p.places[:len(p.places)+1]
	} else {
		p.places = append(p.places, placed{})
	}
	q := &p.places[len(p.places)-1]
	q.point, q.body, q.from = at, -1, int32(len(p.terms))
	p.base.resolve(&q.anchor, at)
	for i, freedom := range q.anchor.at {
		e := p.base.eq[freedom]
		if e < 0 {
			continue
		}
		q.body = p.base.bodyOf[e]
		p.terms = append(p.terms, e)
		for d := range 6 {
			p.forms[d] = append(p.forms[d], q.anchor.form[d][i])
		}
	}
	q.to = int32(len(p.terms))
	return len(p.places) - 1
}

func (p *Pose) addTie(index int32) {
	t := &p.ties[index]
	axes := t.Axes.orGlobal()
	from, to := p.place(t.From), -1
	if !t.To.Ground() {
		to = p.place(t.To)
	}
	for comp, k := range t.K {
		if k == 0 {
			continue
		}
		r := poseRow{k: k, tie: index, comp: int8(comp), legs: [2]int32{-1, -1}}
		row := int32(len(p.rows))
		r.legs[0] = p.addLeg(from, row, &axes, comp, 1)
		if to >= 0 {
			r.legs[1] = p.addLeg(to, row, &axes, comp, -1)
		}
		p.rows = append(p.rows, r)
	}
}

// addLeg appends the linear form of one component at one end of a tie; -1 if that end is fixed.
func (p *Pose) addLeg(place int, row int32, axes *Axes, comp int, sign float64) int32 {
	q := &p.places[place]
	if q.body < 0 {
		return -1
	}
	base := comp / 3 * 3
	a := axes[comp-base]
	if !p.base.bare[q.body] {
		p.base.solveColumns(p.terms[q.from:q.to])
	}
	l := leg{int32(place), row, int32(len(p.coefs))}
	for i := q.from; i < q.to; i++ {
		p.coefs = append(p.coefs, sign*(a[0]*p.forms[base][i]+a[1]*p.forms[base+1][i]+a[2]*p.forms[base+2][i]))
	}
	p.legs = append(p.legs, l)
	return int32(len(p.legs) - 1)
}

// leg returns the freedoms and coefficients of a leg.
func (p *Pose) leg(i int32) (at []int32, c []float64) {
	l := &p.legs[i]
	q := &p.places[l.place]
	at = p.terms[q.from:q.to]
	return at, p.coefs[l.at : int(l.at)+len(at)]
}

// pivotSuspicion is the pivot, over its diagonal entry, below which the coupled bodies may be free to move.
const pivotSuspicion = 1e-9

// couple sets up and factors the equations of the tie forces and movements, of which those of the kept ties stand.
func (p *Pose) couple(kept extent) error {
	m, r, from := len(p.rows), len(p.base.held), kept.rows
	if from == 0 {
		p.c.resize(m)
		p.p = sized(p.p, m*r)
		p.first = sized(p.first, m)
	}
	p.force, p.move = sized(p.force, m), sized(p.move, r)
	clear(p.c.a[from*m:])
	for j := range r {
		clear(p.p[j*m+from : (j+1)*m])
	}
	for i := from; i < m; i++ {
		p.c.a[i*m+i] = 1 / p.rows[i].k
		p.first[i] = int32(i)
	}
	for i := kept.legs; i < len(p.legs); i++ {
		p.addFlexibility(i)
		p.addMovement(int32(i))
	}
	if bad := p.c.factorFrom(from, p.first, 0); bad >= 0 {
		return fmt.Errorf("%w: pose: tie %q", ErrInaccurate, p.ties[p.rows[bad].tie].ID)
	}
	for j := range r {
		p.c.forwardFrom(from, p.first, p.p[j*m:(j+1)*m])
	}
	p.addMovements()
	if bad := p.s.factor(pivotSuspicion); bad >= 0 {
		return p.suspect()
	}
	return nil
}

// addMovements sets S = Q + (B R)ᵀ C⁻¹ B R.
func (p *Pose) addMovements() {
	m, r := len(p.rows), len(p.base.held)
	p.s.resize(r)
	copy(p.s.a, p.base.rest)
	for j := range r {
		for q := range j + 1 {
			p.s.a[j*r+q] += dotProduct(p.p[j*m:(j+1)*m], p.p[q*m:(q+1)*m])
		}
	}
}

// suspect has the reference path decide whether something is free to move; if it is only soft, the pivots stand.
func (p *Pose) suspect() error {
	s := &System{grid: newGrid(p.reference())}
	if _, err := s.factor(); err != nil {
		return err
	}
	p.addMovements()
	if bad := p.s.factor(0); bad >= 0 {
		return fmt.Errorf("%w: pose: a body is held too softly", ErrInaccurate)
	}
	return nil
}

// reference returns the whole model of the pose, for the reference path.
func (p *Pose) reference() *Model {
	m := *p.base.model
	m.Ties = append(append([]Tie(nil), m.Ties...), p.ties...)
	m.Masses = append(append([]Mass(nil), m.Masses...), p.masses...)
	return &m
}

func sized[T any](x []T, n int) []T {
	if cap(x) < n {
		return make([]T, n)
	}
	return x[:n]
}

// addFlexibility adds to B F Bᵀ what leg b and the legs before it have with each other: for every two legs of one body,
// the stretch at one from a unit force at the other.
func (p *Pose) addFlexibility(b int) {
	m := len(p.rows)
	lb := &p.legs[b]
	qb := &p.places[lb.place]
	if p.base.bare[qb.body] {
		return
	}
	atB, cB := p.leg(int32(b))
	var y [18]float64
	last := int32(-1)
	for a := range b + 1 {
		la := &p.legs[a]
		qa := &p.places[la.place]
		if qa.body != qb.body {
			continue
		}
		atA, cA := p.leg(int32(a))
		if la.place != last {
			p.base.flex(y[:len(atA)], atA, atB, cB)
			last = la.place
		}
		v := dotProduct(cA, y[:len(atA)]) // rows of legs never fall, so this is below the diagonal
		p.c.a[int(lb.row)*m+int(la.row)] += v
		p.first[lb.row] = min(p.first[lb.row], la.row)
		if a != b && la.row == lb.row {
			p.c.a[int(lb.row)*m+int(la.row)] += v
		}
	}
}

// flex sets y = F[atA, atB] c within one body.
func (b *Base) flex(y []float64, atA, atB []int32, c []float64) {
	clear(y)
	begin := b.begins[b.bodyOf[atB[0]]]
	// The freedoms of a node follow one another, so mostly two runs of six are added.
	whole := len(atA) == 12 && atA[5]-atA[0] == 5 && atA[11]-atA[6] == 5
	for j, i := range atB {
		f := c[j]
		if f == 0 {
			continue
		}
		column := b.column(i)
		if whole {
			u, v := (*[6]float64)(column[atA[0]-begin:]), (*[6]float64)(column[atA[6]-begin:])
			w := (*[12]float64)(y)
			for k := range 6 {
				w[k] += f * u[k]
				w[6+k] += f * v[k]
			}
			continue
		}
		for k, q := range atA {
			y[k] += f * column[q-begin]
		}
	}
}

// addMovement adds a leg's part of B R.
func (p *Pose) addMovement(i int32) {
	m := len(p.rows)
	at, c := p.leg(i)
	body := p.places[p.legs[i].place].body
	begin := p.base.begins[body]
	for _, j := range p.base.heldBy[body] {
		move := p.base.moves[j]
		s := 0.0
		for k, q := range at {
			s += c[k] * move[q-begin]
		}
		p.p[int(j)*m+int(p.legs[i].row)] += s
	}
}
