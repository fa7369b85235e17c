// Package stl writes triangles as binary STL, metres.
//
// Source: the usual binary form: a header of 80 bytes, the number of triangles,
// then for each a normal, three corners and two bytes of zero, little endian;
// common practice, no standard.
package stl

import (
	"bufio"
	"encoding/binary"
	"io"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Triangle is one piece of a surface, its corners counterclockwise seen from
// outside.
type Triangle [3]r3.Vec

// normal points outwards; its length is twice the area.
func (t Triangle) normal() r3.Vec { return r3.Cross(r3.Sub(t[1], t[0]), r3.Sub(t[2], t[0])) }

// Write writes the triangles; those without area are left out, as they show
// nothing and have no normal.
func Write(w io.Writer, triangles []Triangle) error {
	var shown []Triangle
	for _, t := range triangles {
		if r3.Norm(t.normal()) > 0 {
			shown = append(shown, t)
		}
	}
	out := bufio.NewWriter(w)
	var header [84]byte
	copy(header[:], "triangles in metres")
	binary.LittleEndian.PutUint32(header[80:], uint32(len(shown)))
	out.Write(header[:])
	for _, t := range shown {
		var record [50]byte
		for i, v := range [4]r3.Vec{r3.Unit(t.normal()), t[0], t[1], t[2]} {
			for k, x := range [3]float64{v.X, v.Y, v.Z} {
				binary.LittleEndian.PutUint32(record[12*i+4*k:], math.Float32bits(float32(x)))
			}
		}
		out.Write(record[:])
	}
	return out.Flush()
}
