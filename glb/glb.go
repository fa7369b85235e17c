// Package glb writes scenes of meshes as binary glTF 2.0 (GLB): a tree of named
// nodes, meshes shared between nodes, materials, and animations that move
// nodes.
//
// It writes no textures, skins, cameras or lights, and reads nothing. Lengths
// are m. The format has +Y up; a scene built with Z up stands under a root that
// turns it (ZUp). The same scene gives the same bytes.
//
// Source: the glTF 2.0 specification.
package glb

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/num/quat"
	"gonum.org/v1/gonum/spatial/r3"
)

// Scene is what one file shows.
type Scene struct {
	Generator  string // program that wrote it
	Root       *Node
	Animations []Animation
}

// Node is a place with its own axes, perhaps with a mesh, and all that moves with it.
type Node struct {
	Name        string
	Mesh        *Mesh
	Translation r3.Vec      // m
	Rotation    quat.Number // unit; the zero value turns nothing
	Scale       r3.Vec      // the zero value is 1, 1, 1
	Extras      map[string]any
	Children    []*Node
}

// Mesh is a surface with one material. Triangles turn counter-clockwise seen
// from outside.
type Mesh struct {
	Name      string
	Points    [][3]float64
	Normals   [][3]float64 // unit, one a point
	Triangles [][3]int
	Material  *Material
}

// Material is a plain surface.
type Material struct {
	Name      string
	Colour    [4]float64 // red, green, blue, opacity, linear light
	Metallic  float64
	Roughness float64
}

// Animation moves nodes in time.
type Animation struct {
	Name     string
	Channels []Channel
}

// Channel moves or stretches one node, straight from value to value.
type Channel struct {
	Node   *Node
	Path   Path
	Times  []float64 // s, rising
	Values []r3.Vec
}

// Path is what a channel changes.
type Path string

// The paths of channels.
const (
	Translation Path = "translation"
	Scale       Path = "scale"
)

// ZUp turns a scene with Z up into one with Y up: z becomes y, y becomes -z.
var ZUp = quat.Number{Real: 0.7071067811865476, Imag: -0.7071067811865476}

// Turn is a vector turned by a unit quaternion: q v q*.
func Turn(q quat.Number, v r3.Vec) r3.Vec {
	p := quat.Mul(quat.Mul(q, quat.Number{Imag: v.X, Jmag: v.Y, Kmag: v.Z}), quat.Conj(q))
	return r3.Vec{X: p.Imag, Y: p.Jmag, Z: p.Kmag}
}

// Axes is the rotation that turns x, y, z into three unit vectors that are
// square to each other and right-handed. Of the two quaternions it is the one
// with the larger real part.
//
// Derived from the rotation matrix whose columns the vectors are; the largest
// component is found first, so that no small number is divided by.
func Axes(x, y, z r3.Vec) quat.Number {
	squares := [4]float64{1 + x.X + y.Y + z.Z, 1 + x.X - y.Y - z.Z, 1 - x.X + y.Y - z.Z, 1 - x.X - y.Y + z.Z}
	most := 0
	for i, s := range squares {
		if s > squares[most]+1e-9 {
			most = i
		}
	}
	var q quat.Number
	switch most {
	case 0:
		q = quat.Number{Real: squares[0], Imag: y.Z - z.Y, Jmag: z.X - x.Z, Kmag: x.Y - y.X}
	case 1:
		q = quat.Number{Real: y.Z - z.Y, Imag: squares[1], Jmag: y.X + x.Y, Kmag: z.X + x.Z}
	case 2:
		q = quat.Number{Real: z.X - x.Z, Imag: y.X + x.Y, Jmag: squares[2], Kmag: z.Y + y.Z}
	default:
		q = quat.Number{Real: x.Y - y.X, Imag: z.X + x.Z, Jmag: z.Y + y.Z, Kmag: squares[3]}
	}
	if q.Real < 0 {
		q = quat.Scale(-1, q)
	}
	return quat.Scale(1/quat.Abs(q), q)
}

// ErrScene says why a scene cannot be written.
var ErrScene = errors.New("the scene cannot be written")

func (n *Node) finite() bool {
	for _, v := range []float64{r3.Norm(n.Translation), quat.Abs(n.Rotation), r3.Norm(n.Scale)} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}

func (m *Mesh) check() error {
	if len(m.Points) == 0 || len(m.Triangles) == 0 || len(m.Normals) != len(m.Points) {
		return fmt.Errorf("%w: mesh %q has %d points, %d normals, %d triangles", ErrScene, m.Name, len(m.Points), len(m.Normals), len(m.Triangles))
	}
	for _, t := range m.Triangles {
		for _, i := range t {
			if i < 0 || i >= len(m.Points) {
				return fmt.Errorf("%w: mesh %q names point %d of %d", ErrScene, m.Name, i, len(m.Points))
			}
		}
	}
	return nil
}

func (c *Channel) check() error {
	if len(c.Times) == 0 || len(c.Times) != len(c.Values) {
		return fmt.Errorf("%w: a channel of %q has %d times and %d values", ErrScene, c.Node.Name, len(c.Times), len(c.Values))
	}
	for i := range c.Times {
		if !(c.Times[i] >= 0) || i > 0 && !(c.Times[i] > c.Times[i-1]) {
			return fmt.Errorf("%w: the times of a channel of %q do not rise", ErrScene, c.Node.Name)
		}
	}
	return nil
}
