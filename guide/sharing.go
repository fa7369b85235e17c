package guide

import (
	"cmp"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"spanwright/given"
)

// Block is one guide block (or roller group) on its rail, as springs at a place.
type Block struct {
	At      Vector  // centre of its contacts, from the origin of C, m
	Normal  float64 // k_z, N/m, > 0
	Lateral float64 // k_y, N/m; 0 on the floating side
	Roll    float64 // own moment stiffness about x, N m/rad; 0 where unknown
	Pitch   float64 // about y
	Yaw     float64 // about z
}

// Group is the blocks of one carriage, joined by a rigid plate.
type Group []Block

// Rectangle returns four equal blocks at (±length/2, ±width/2), in the order
// +x+y, +x-y, -x+y, -x-y; the block's own place is not used.
func Rectangle(length, width float64, b Block) Group {
	return placed(b, Vector{length / 2, width / 2}, Vector{length / 2, -width / 2}, Vector{-length / 2, width / 2}, Vector{-length / 2, -width / 2})
}

// InLine returns two equal blocks on one rail at x = ±length/2, the front first.
// Roll is carried by their own moment stiffness alone.
func InLine(length float64, b Block) Group {
	return placed(b, Vector{length / 2}, Vector{-length / 2})
}

// Across returns two equal blocks, one on each rail, at y = ±width/2, +y first.
// Pitch and yaw are carried by their own moment stiffness alone.
func Across(width float64, b Block) Group {
	return placed(b, Vector{0, width / 2}, Vector{0, -width / 2})
}

func placed(b Block, at ...Vector) Group {
	g := make(Group, len(at))
	for i, p := range at {
		g[i] = b
		g[i].At = p
	}
	return g
}

// The five motions a guide resists; along x it runs free.
const (
	alongY = iota
	alongZ
	aboutX
	aboutY
	aboutZ
	motions
)

var motionNames = [motions]string{"sideways (y)", "off the rail (z)", "in roll (about x)", "in pitch (about y)", "in yaw (about z)"}

// Displacement is the motion of the rigid carriage at the origin of C.
type Displacement struct {
	Y, Z                   float64 // m
	AboutX, AboutY, AboutZ float64 // rad
}

// At returns the displacement of a point of the carriage, m; along x too, from
// pitch and yaw.
func (d Displacement) At(p Vector) Vector {
	turned := cross(Vector{d.AboutX, d.AboutY, d.AboutZ}, p)
	return Vector{turned[0], d.Y + turned[1], d.Z + turned[2]}
}

// BlockLoad is what one block carries.
type BlockLoad struct {
	Normal  float64 // P_z, N, > 0 lifts off
	Lateral float64 // P_y, N
	Moment  Vector  // M_x, M_y, M_z by its own moment stiffness, N m
}

// Sharing is how a group carries a resultant.
type Sharing struct {
	Blocks       []BlockLoad
	Displacement Displacement
	Along        float64 // F_x that no block can carry, N: zero when the drive force is among the loads
	Unbalanced   float64 // what the block loads miss of the resultant, relative to it: proves the solve
}

// springs returns the rows that turn the five motions into the spring
// deflections of a block, and their stiffnesses.
//
//	u_z = z + th_x y - th_y x,   u_y = y + th_z x - th_x z
func (b Block) springs() (rows [5][motions]float64, k [5]float64) {
	x, y, z := b.At[0], b.At[1], b.At[2]
	rows[0] = [motions]float64{alongZ: 1, aboutX: y, aboutY: -x}
	rows[1] = [motions]float64{alongY: 1, aboutX: -z, aboutZ: x}
	rows[2][aboutX], rows[3][aboutY], rows[4][aboutZ] = 1, 1, 1
	return rows, [5]float64{b.Normal, b.Lateral, b.Roll, b.Pitch, b.Yaw}
}

// Stiffness is the 5x5 stiffness of a group at the origin of C, in the order
// y, z, about x, about y, about z; N/m, N, N m/rad.
type Stiffness [motions][motions]float64

// Stiffness returns K = sum k g g^T over the springs of all blocks.
func (g Group) Stiffness() (Stiffness, error) {
	var k Stiffness
	if err := given.AtLeast("guide blocks", len(g), 1); err != nil {
		return k, err
	}
	for i, b := range g {
		if err := cmp.Or(
			given.Finite("block place", b.At[0]), given.Finite("block place", b.At[1]), given.Finite("block place", b.At[2]),
			given.Positive("normal stiffness", b.Normal), given.NotNegative("lateral stiffness", b.Lateral),
			given.NotNegative("roll stiffness", b.Roll), given.NotNegative("pitch stiffness", b.Pitch), given.NotNegative("yaw stiffness", b.Yaw),
		); err != nil {
			return k, fmt.Errorf("block %d: %w", i+1, err)
		}
		rows, stiff := b.springs()
		for s, row := range rows {
			for r, gr := range row {
				for c, gc := range row {
					k[r][c] += stiff[s] * gr * gc
				}
			}
		}
	}
	return k, nil
}

// Carriage is a group ready to share many resultants: its flexibility is found
// once.
type Carriage struct {
	group       Group
	flexibility [motions][motions]float64 // K^-1
}

// Carriage prepares the group. It returns ErrFree, naming the motion, if the
// blocks leave one free.
func (g Group) Carriage() (Carriage, error) {
	k, err := g.Stiffness()
	if err != nil {
		return Carriage{}, err
	}
	c := Carriage{group: g}
	c.flexibility, err = k.inverse()
	return c, err
}

// Share distributes one resultant among the blocks; see Carriage.Share.
func (g Group) Share(r Resultant) (Sharing, error) {
	c, err := g.Carriage()
	if err != nil {
		return Sharing{}, err
	}
	return c.Share(r)
}

// Share distributes a resultant at the origin of C among the blocks: the rigid
// carriage moves until the springs balance it.
//
//	K q = (F_y, F_z, M_x, M_y, M_z),  P_z,i = k_z u_z,i,  P_y,i = k_y u_y,i
//
// Any number of blocks at any places, unequal stiffness, one side floating. For
// equal blocks it gives the textbook forms:
//
//	four at (±L/2, ±W/2):  P_z = F_z/4 + M_x y/W² - M_y x/L²,  P_y = F_y/4 + M_z x/L²
//	two on one rail:       P_z = F_z/2 - M_y x/(L²/2),  P_y = F_y/2 + M_z x/(L²/2),  M_x/2 each
//	two, one per rail:     P_z = F_z/2 + M_x y/(W²/2),  P_y = F_y/2,  M_y/2 and M_z/2 each
//	one:                   P_z = F_z, P_y = F_y and all moments
//
// A real plate and twisted rails scatter the loads of more than three blocks;
// keep some static safety for that.
//
// Source: derived, equilibrium of a rigid body on springs.
func (c Carriage) Share(r Resultant) (Sharing, error) {
	var load, q [motions]float64
	load[alongY], load[alongZ] = r.Force[1], r.Force[2]
	load[aboutX], load[aboutY], load[aboutZ] = r.Moment[0], r.Moment[1], r.Moment[2]
	if err := cmp.Or(given.AtLeast("guide blocks", len(c.group), 1), given.Finite("force along x", r.Force[0]), finite(load)); err != nil {
		return Sharing{}, err
	}
	for i, row := range c.flexibility {
		for j, f := range row {
			q[i] += f * load[j]
		}
	}
	s := Sharing{
		Blocks:       make([]BlockLoad, len(c.group)),
		Displacement: Displacement{Y: q[alongY], Z: q[alongZ], AboutX: q[aboutX], AboutY: q[aboutY], AboutZ: q[aboutZ]},
		Along:        r.Force[0],
	}
	var carried [motions]float64
	for i, b := range c.group {
		rows, stiff := b.springs()
		var force [5]float64
		for n, row := range rows {
			for m, gm := range row {
				force[n] += stiff[n] * gm * q[m]
			}
			for m, gm := range row {
				carried[m] += gm * force[n]
			}
		}
		s.Blocks[i] = BlockLoad{Normal: force[0], Lateral: force[1], Moment: Vector{force[2], force[3], force[4]}}
	}
	s.Unbalanced = unbalance(load, carried, c.group.reach())
	return s, nil
}

func finite(load [motions]float64) error {
	for i, v := range load {
		if err := given.Finite("load", v); err != nil {
			return fmt.Errorf("%w (%s)", err, motionNames[i])
		}
	}
	return nil
}

// reach is the largest distance of a block from the origin, at least 1 mm, m: it
// turns moments into forces when they are compared.
func (g Group) reach() float64 {
	far := 1e-3
	for _, b := range g {
		far = math.Max(far, math.Hypot(math.Hypot(b.At[0], b.At[1]), b.At[2]))
	}
	return far
}

// unbalance returns the largest miss over the largest load, moments as forces
// on the reach.
func unbalance(load, carried [motions]float64, reach float64) float64 {
	var miss, most float64
	for i := range load {
		scale := 1.0
		if i >= aboutX {
			scale = 1 / reach
		}
		miss = math.Max(miss, math.Abs(load[i]-carried[i])*scale)
		most = math.Max(most, math.Abs(load[i])*scale)
	}
	if most == 0 {
		return miss
	}
	return miss / most
}

// leastStiffness is the smallest eigenvalue of the scaled stiffness (unit
// diagonal) that still counts as held. A motion that is free in theory leaves
// about 1e-16; blocks a thousandth of their spacing apart leave 1e-7.
const leastStiffness = 1e-11

// inverse returns K^-1, from the matrix scaled to a unit diagonal so that metres
// and radians weigh alike. The matrix is small and its eigenvalues are needed to
// tell a free motion, so they serve for the inverse too.
func (k Stiffness) inverse() (inv [motions][motions]float64, err error) {
	var scale [motions]float64
	for i := range scale {
		if !(k[i][i] > 0) {
			return inv, fmt.Errorf("%w %s: no block resists", ErrFree, motionNames[i])
		}
		scale[i] = 1 / math.Sqrt(k[i][i])
	}
	scaled := mat.NewSymDense(motions, nil)
	for i := range motions {
		for j := i; j < motions; j++ {
			scaled.SetSym(i, j, k[i][j]*scale[i]*scale[j])
		}
	}
	var eigen mat.EigenSym
	if !eigen.Factorize(scaled, true) {
		return inv, fmt.Errorf("%w: the stiffness of the blocks has no eigenvalues", ErrFree)
	}
	values := eigen.Values(nil)
	var shapes mat.Dense
	eigen.VectorsTo(&shapes)
	if !(values[0] > leastStiffness) {
		return inv, fmt.Errorf("%w %s: no block resists", ErrFree, freeMotion(&shapes))
	}
	for n, value := range values {
		for i := range inv {
			for j := range inv[i] {
				inv[i][j] += shapes.At(i, n) * shapes.At(j, n) / value * scale[i] * scale[j]
			}
		}
	}
	return inv, nil
}

// freeMotion names the motion that dominates the softest shape. A rotation about
// a distant axis shifts the origin too, so a rotation that takes part goes first.
func freeMotion(shapes *mat.Dense) string {
	size := func(i int) float64 { return math.Abs(shapes.At(i, 0)) }
	most, turn := alongY, aboutX
	for i := range motions {
		if size(i) > size(most) {
			most = i
		}
		if i >= aboutX && size(i) > size(turn) {
			turn = i
		}
	}
	if size(turn) > 0.1*size(most) {
		most = turn
	}
	return motionNames[most]
}
