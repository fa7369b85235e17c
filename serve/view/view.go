// Package view turns an assessment into what the page shows: the judgement,
// the picture of the machine with its movements, maps, curves, shares and
// comparisons, as structs with a JSON form. The functions are pure: they read
// an assessment, change nothing and answer the same each time.
//
// It computes no engineering: every number is one that a study gave. What it
// adds is geometry for drawings (extents, edges, places of labels), words, and
// differences of two results.
//
// Places are in the world frame of package machine, m. Units stand in the keys
// or beside the values; all are SI. Numbers that are not finite are null. Long
// lists of numbers are base64 of little-endian values, 32 bits each.
package view

import (
	"encoding/base64"
	"encoding/binary"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/assess"
	"spanwright/machine"
)

// Number is a float64 that is null where it is not finite.
type Number = assess.Number

// Vec is a place or a movement in W, m.
type Vec [3]Number

func vec(v r3.Vec) Vec { return Vec{Number(v.X), Number(v.Y), Number(v.Z)} }

// drawn is a place or direction of a drawing, rounded to what no screen shows.
func drawn(v r3.Vec) Vec { return Vec{round(v.X), round(v.Y), round(v.Z)} }

// round rounds to a micrometre, and to 1e-6 of a unit vector.
func round(v float64) Number { return Number(math.Round(v*1e6)/1e6 + 0) }

// Floats are numbers in 32 bits, written as base64.
type Floats []float32

// MarshalText writes little-endian IEEE 754 values as base64.
func (f Floats) MarshalText() ([]byte, error) {
	raw := make([]byte, 0, 4*len(f))
	for _, v := range f {
		raw = binary.LittleEndian.AppendUint32(raw, math.Float32bits(v))
	}
	return base64.StdEncoding.AppendEncode(nil, raw), nil
}

// UnmarshalText reads them.
func (f *Floats) UnmarshalText(text []byte) error {
	raw, err := words(text)
	*f = (*f)[:0]
	for ; len(raw) > 0; raw = raw[4:] {
		*f = append(*f, math.Float32frombits(binary.LittleEndian.Uint32(raw)))
	}
	return err
}

func (f *Floats) add(v r3.Vec) { *f = append(*f, float32(v.X), float32(v.Y), float32(v.Z)) }

// Indices are whole numbers in 32 bits, written as base64.
type Indices []uint32

// MarshalText writes little-endian values as base64.
func (n Indices) MarshalText() ([]byte, error) {
	raw := make([]byte, 0, 4*len(n))
	for _, v := range n {
		raw = binary.LittleEndian.AppendUint32(raw, v)
	}
	return base64.StdEncoding.AppendEncode(nil, raw), nil
}

// UnmarshalText reads them.
func (n *Indices) UnmarshalText(text []byte) error {
	raw, err := words(text)
	*n = (*n)[:0]
	for ; len(raw) > 0; raw = raw[4:] {
		*n = append(*n, binary.LittleEndian.Uint32(raw))
	}
	return err
}

func words(text []byte) ([]byte, error) {
	raw, err := base64.StdEncoding.AppendDecode(nil, text)
	if err == nil && len(raw)%4 != 0 {
		err = fmt.Errorf("%d bytes are no list of values of four bytes", len(raw))
	}
	if err != nil {
		return nil, err
	}
	return raw, nil
}

// Beyond says that a pose is no pose of the machine.
type Beyond struct{ Message string }

// Error is the message.
func (e *Beyond) Error() string { return e.Message }

// Pose checks coordinates of the axes: one for each, within the travel. The
// error is a *Beyond.
func checkPose(m *machine.Machine, q []float64) error {
	if len(q) != len(m.Axes) {
		return &Beyond{fmt.Sprintf("%d coordinates for %d axes", len(q), len(m.Axes))}
	}
	for i, a := range m.Axes {
		const round = 1e-9 // m, of a coordinate that went through text
		if !(q[i] >= -round && q[i] <= a.Spec.Travel+round) {
			return &Beyond{fmt.Sprintf("axis %s: %g m is not within 0 to %g m", a.Spec.ID, q[i], a.Spec.Travel)}
		}
	}
	return nil
}

func numbers(q []float64) []Number {
	out := make([]Number, len(q))
	for i, v := range q {
		out[i] = Number(v)
	}
	return out
}
