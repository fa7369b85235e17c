package stl

import (
	"bytes"
	"encoding/binary"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestWrite(t *testing.T) {
	var b bytes.Buffer
	if err := Write(&b, []Triangle{{{}, {X: 2}, {Y: 3}}}); err != nil {
		t.Fatal(err)
	}
	got := b.Bytes()
	if len(got) != 84+50 || binary.LittleEndian.Uint32(got[80:]) != 1 {
		t.Fatalf("%d bytes for one triangle", len(got))
	}
	number := func(i int) float32 { return math.Float32frombits(binary.LittleEndian.Uint32(got[84+4*i:])) }
	want := []float32{0, 0, 1, 0, 0, 0, 2, 0, 0, 0, 3, 0}
	for i, w := range want {
		if number(i) != w {
			t.Errorf("number %d is %g, want %g", i, number(i), w)
		}
	}
}

func TestFlatTriangleIsLeftOut(t *testing.T) {
	var b bytes.Buffer
	if err := Write(&b, []Triangle{{{}, {X: 1}, r3.Vec{X: 2}}}); err != nil || b.Len() != 84 || binary.LittleEndian.Uint32(b.Bytes()[80:]) != 0 {
		t.Errorf("%d bytes (%v), want an empty file", b.Len(), err)
	}
}
