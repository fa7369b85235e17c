// Package step writes prisms and assemblies of them as a STEP file (ISO
// 10303-21), for AP214 or AP242: one product for every distinct part, shared by
// all its occurrences, with names, placements and colours.
//
// It writes exact boundary representations of straight bodies with planes and
// cylinders; no free-form surfaces, no dimensions, no materials. Before a body
// is written it is proved closed and right side out: every edge is used by
// exactly two faces, once in each sense, every face looks outward, and the
// volume by the divergence theorem is that of area times length. A reader
// cannot prove this: some heal a body that is inside out without a word.
//
// Lengths come in m and are written in mm, rounded to 1e-6 mm before anything
// is computed from them. The same model gives the same bytes.
//
// Source of the entities: ISO 10303-21 (clear text), ISO 10303-42 (geometry),
// ISO 10303-44 (product structure), ISO 10303-46 (presentation), from memory;
// what a kernel reads was tried with OpenCASCADE.
package step

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/prism"
)

// Product is a part with a body, or an assembly of occurrences.
type Product struct {
	ID       string // unique in a file
	Name     string
	Body     *prism.Prism // nil for an assembly
	Colour   Colour
	Children []Occurrence
}

// Occurrence is one use of a product in an assembly.
type Occurrence struct {
	ID string // unique in its assembly
	Of *Product
	At Placement
}

// Placement is where a product's own origin and axes lie in the assembly.
type Placement struct {
	Origin r3.Vec // m
	Z, X   r3.Vec // unit vectors, square to each other
}

// Here is the placement that moves nothing.
var Here = Placement{Z: r3.Vec{Z: 1}, X: r3.Vec{X: 1}}

// Apply returns a point of the product as the assembly sees it, m: the
// columns of the matrix are X, Z x X and Z.
func (p Placement) Apply(v r3.Vec) r3.Vec { return r3.Add(p.Origin, p.Turn(v)) }

// Turn returns a direction of the product as the assembly sees it.
func (p Placement) Turn(v r3.Vec) r3.Vec {
	y := r3.Cross(p.Z, p.X)
	return r3.Add(r3.Scale(v.X, p.X), r3.Add(r3.Scale(v.Y, y), r3.Scale(v.Z, p.Z)))
}

func (p Placement) back(d r3.Vec) r3.Vec {
	return r3.Vec{X: r3.Dot(d, p.X), Y: r3.Dot(d, r3.Cross(p.Z, p.X)), Z: r3.Dot(d, p.Z)}
}

// square says how far two unit vectors may be from square to each other, and
// from unit length: rounding of the last digits that are written.
const square = 1e-9

func (p Placement) check() error {
	for _, v := range []r3.Vec{p.Z, p.X} {
		if !(math.Abs(r3.Norm(v)-1) < square) {
			return fmt.Errorf("a direction of length %g", r3.Norm(v))
		}
	}
	if !(math.Abs(r3.Dot(p.Z, p.X)) < square) {
		return fmt.Errorf("the x direction is not square to the z direction")
	}
	if n := r3.Norm(p.Origin); math.IsNaN(n) || math.IsInf(n, 0) {
		return fmt.Errorf("the origin is no place")
	}
	return nil
}

// Colour is red, green and blue as screens take them (sRGB), 0 to 1. The zero
// value leaves a body without colour.
type Colour [3]float64

// Schema is the application protocol of a file.
type Schema string

// The protocols that can be written. AP214 is the one that most readers know
// (common practice, no source).
const (
	AP214 Schema = "AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }"
	AP242 Schema = "AP242_MANAGED_MODEL_BASED_3D_ENGINEERING_MIM_LF { 1 0 10303 442 1 1 4 }"
)

// Header is what the file says about itself.
type Header struct {
	Name          string // of the file
	Description   string
	Date          string // ISO 8601, as given; no clock is read
	Author        string
	Organisation  string
	Program       string // that wrote it
	Authorisation string
	Schema        Schema // AP214 if empty
}

// Bounds is the smallest upright box around an assembly and all in it, m.
func (p *Product) Bounds() (lo, hi r3.Vec) {
	axes := []r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}
	var most [2][3]float64
	for i, d := range axes {
		most[0][i] = -p.support(r3.Scale(-1, d))
		most[1][i] = p.support(d)
	}
	return r3.Vec{X: most[0][0], Y: most[0][1], Z: most[0][2]}, r3.Vec{X: most[1][0], Y: most[1][1], Z: most[1][2]}
}

// support is how far the product reaches along a unit vector from its own origin, m.
func (p *Product) support(d r3.Vec) float64 {
	most := math.Inf(-1)
	if p.Body != nil {
		most = p.Body.Support(d)
	}
	for _, c := range p.Children {
		most = max(most, r3.Dot(c.At.Origin, d)+c.Of.support(c.At.back(d)))
	}
	return most
}
