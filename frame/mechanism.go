package frame

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"spanwright/sparse"
)

// Move is one freedom of a mechanism.
type Move struct {
	Node      string  // "" for a place inside a member or a freed end
	Member    string  // member of an internal node or of a freed end
	Direction int     // UX to RZ, global; local axes for a freed end
	Amount    float64 // largest magnitude of all moves is 1; m and rad count alike
}

// MechanismError says that the structure can move without deforming, and how.
type MechanismError struct {
	Node      string // a node that moves, or an end node of the member that does
	Member    string // the member, where only its inside or a freed end moves
	Direction int    // UX to RZ; local axes of the member where Member is set
	Moves     []Move // all moves of at least half the largest
}

var directionWords = [6]string{"move in X", "move in Y", "move in Z", "turn about X", "turn about Y", "turn about Z"}

// Error names a node and the direction in which it is free, and what moves with it.
func (e *MechanismError) Error() string {
	var s strings.Builder
	if e.Member != "" && e.Direction < RX {
		fmt.Fprintf(&s, "free to move: the inside of member %q, which begins at node %q, can %s (%s)",
			e.Member, e.Node, directionWords[e.Direction], freedomNames[e.Direction])
		return s.String()
	}
	if e.Member != "" {
		fmt.Fprintf(&s, "free to move: member %q at node %q can turn about its own %c axis: its ends are freed too far",
			e.Member, e.Node, 'x'+rune(e.Direction%3))
		return s.String()
	}
	fmt.Fprintf(&s, "free to move: node %q can %s (%s)", e.Node, directionWords[e.Direction], freedomNames[e.Direction])
	var others []string
	for _, m := range e.Moves {
		if m.Node != "" && m.Node != e.Node && m.Direction == e.Direction {
			others = append(others, fmt.Sprintf("%q", m.Node))
		}
	}
	switch {
	case len(others) == 0 && e.Direction >= RX:
		s.WriteString("; nothing there holds this rotation: join a member rigidly, or support it")
	case len(others) == 0:
		s.WriteString("; nothing holds it: join, brace or support it")
	default:
		if n := len(others); n > 5 {
			others = append(others[:5], fmt.Sprintf("%d more", n-5))
		}
		fmt.Fprintf(&s, " together with %s; add a brace, make joints stiff or support it", strings.Join(others, ", "))
	}
	return s.String()
}

// Limits of the search for movements.
const (
	maxMovements = 30 // vanished pivots that are looked into one by one

	// rigidEnergy is the strain energy of a movement, over Σ K_ii v_i², below which it deforms nothing. The energy is
	// summed over differences of displacements, so a true mechanism leaves the square of the rounding error, about
	// 1e-30, while one spring that is 1e-15 of its neighbours still shows with 1e-15.
	rigidEnergy = 1e-22
)

// factored is a factor of K, and whether it needs refinement because pivots are small beside the diagonal.
type factored struct {
	*sparse.Factor
	soft bool
}

// factorStiffness factors K. It returns a *MechanismError if the structure can move without deforming; a very soft
// structure is not refused.
func (g *grid) factorStiffness(k *sparse.Matrix, sym *sparse.Symbolic) (factored, error) {
	f, err := sym.Factor(k, sparse.FactorOptions{})
	var sing *sparse.SingularError
	if err == nil || !errors.As(err, &sing) {
		return factored{Factor: f}, err
	}
	if v := g.movement(k, sym, sing); v != nil {
		return factored{}, g.mechanism(v)
	}
	f, err = sym.Factor(k, sparse.FactorOptions{PivotTolerance: 1e-300})
	if errors.As(err, &sing) {
		return factored{}, g.mechanism(sing.Null)
	}
	return factored{Factor: f, soft: true}, err
}

// movement returns a reduced vector that deforms nothing, or nil if every suspect is only soft.
//
// The suspects are grounded one after the other until the matrix is regular; then the movement that each grounding
// allows is solved for and refined, and its energy tells a mechanism from a soft structure.
func (g *grid) movement(k *sparse.Matrix, sym *sparse.Symbolic, sing *sparse.SingularError) []float64 {
	held, diag, f := g.ground(k, sym, sing)
	if f == nil {
		return sing.Null
	}
	for _, i := range held {
		v := g.swing(f, []int{i}, held, diag)
		if e := g.energyRatio(v, k.Diagonal()); !(e > rigidEnergy) {
			return v
		}
	}
	return nil
}

// ground adds the diagonal entry once more at one suspect freedom after the other until K can be factored. diag holds
// what is added.
func (g *grid) ground(k *sparse.Matrix, sym *sparse.Symbolic, sing *sparse.SingularError) (held []int, diag map[int]float64, f *sparse.Factor) {
	diag = map[int]float64{}
	typical := maxAbs(k.Diagonal())
	if typical == 0 {
		typical = 1
	}
	for range maxMovements {
		i := sing.Index
		if _, again := diag[i]; again {
			return held, diag, nil
		}
		held = append(held, i)
		if diag[i] = k.At(i, i); diag[i] <= 1e-12*typical {
			diag[i] = typical
		}
		b := sparse.NewBuilder(g.size())
		for at, d := range diag {
			b.Add(at, at, d)
		}
		got, err := sym.Factor(sparse.Combine(1, k, 1, b.Build()), sparse.FactorOptions{})
		if err == nil {
			return held, diag, got
		}
		if !errors.As(err, &sing) {
			return held, diag, nil
		}
	}
	return held, diag, nil
}

// swing returns the movement when the grounding at freedoms of different bodies is pushed by its stiffness, with
// refinement.
func (g *grid) swing(f *sparse.Factor, push []int, held []int, diag map[int]float64) []float64 {
	n := g.size()
	v, r := make([]float64, n), make([]float64, n)
	for _, i := range push {
		r[i] = diag[i]
	}
	u, full := make([]float64, g.full), make([]float64, g.full)
	for range 4 {
		f.Solve(r, r)
		for j := range v {
			v[j] += r[j]
		}
		g.expand(u, v)
		clear(full)
		g.internalForces(full, u)
		g.reduce(r, full)
		for j := range r {
			r[j] = -r[j]
		}
		for _, h := range held {
			r[h] -= diag[h] * v[h]
		}
		for _, i := range push {
			r[i] += diag[i]
		}
	}
	return v
}

// energyRatio returns vᵀ K v over Σ K_ii v_i², the first summed over bars and springs.
func (g *grid) energyRatio(v, diag []float64) float64 {
	u := make([]float64, g.full)
	g.expand(u, v)
	scale := 0.0
	for i, x := range v {
		scale += diag[i] * x * x
	}
	if scale == 0 {
		return 0
	}
	return 2 * g.energy(u) / scale
}

// energy returns the strain energy of a full vector, J.
func (g *grid) energy(u []float64) float64 {
	sum := 0.0
	for i := range g.elements {
		e := &g.elements[i]
		sum += e.energy(u)
	}
	for i := range g.rows {
		r := &g.rows[i]
		s := r.stretch(u)
		sum += r.k * s * s / 2
	}
	return sum
}

// mechanism turns a movement (reduced) into the error that names it.
func (g *grid) mechanism(v []float64) *MechanismError {
	e := &MechanismError{}
	half := 0.5 * maxAbs(v)
	best := 0.0
	for i, x := range v {
		if !(math.Abs(x) >= half) || x == 0 {
			continue
		}
		m := g.move(i)
		m.Amount = x
		e.Moves = append(e.Moves, m)
		weight := math.Abs(x)
		if m.Node == "" {
			weight *= 1e-3 // a node of the model is the better name
		} else if m.Direction < RX {
			weight *= 1.5 // and a translation is the better picture
		}
		if weight > best {
			best, e.Node, e.Member, e.Direction = weight, m.Node, m.Member, m.Direction
		}
	}
	if e.Node == "" && e.Member != "" {
		e.Node = g.model.Members[g.members[e.Member]].From
	}
	return e
}

// move names a reduced freedom.
func (g *grid) move(i int) Move {
	at := int(g.back[i])
	if at >= 6*len(g.at) {
		o := g.ends[at-6*len(g.at)]
		return Move{Member: g.model.Members[g.elements[o.element].member].ID, Direction: RX + int(o.axis)}
	}
	node := at / 6
	if g.inside[node] >= 0 {
		return Move{Member: g.model.Members[g.inside[node]].ID, Direction: at % 6}
	}
	return Move{Node: g.model.Nodes[node].ID, Direction: at % 6}
}
