package structure

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"hash"
	"math"
	"reflect"
	"sync"
)

// mark tells plain data apart: two values have the same mark if, and but for a
// chance of 2⁻⁶⁴ in billions of values only if, all their fields are the same to
// the last bit.
type mark [16]byte

// markOf marks a value of structs, slices, arrays, pointers and plain values. It
// takes in every field there is, so that a field added later cannot be missed.
func markOf(v any) mark {
	w := markers.Get().(*marker)
	defer markers.Put(w)
	w.sum.Reset()
	w.take(reflect.ValueOf(v))
	w.flush()
	return mark(w.sum.Sum(w.buffer)) // in the room behind it, which is empty
}

var markers = sync.Pool{New: func() any { return &marker{sum: sha256.New()} }}

type marker struct {
	sum    hash.Hash
	buffer []byte
}

func (w *marker) flush() {
	w.sum.Write(w.buffer)
	w.buffer = w.buffer[:0]
}

func (w *marker) number(x uint64) {
	if w.buffer = binary.LittleEndian.AppendUint64(w.buffer, x); len(w.buffer) > 4096 {
		w.flush()
	}
}

func (w *marker) take(v reflect.Value) {
	switch v.Kind() {
	case reflect.Float64:
		w.number(math.Float64bits(v.Float()))
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		w.number(uint64(v.Int()))
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		w.number(v.Uint())
	case reflect.Bool:
		if v.Bool() {
			w.number(1)
		} else {
			w.number(0)
		}
	case reflect.String:
		w.number(uint64(v.Len()))
		w.buffer = append(w.buffer, v.String()...)
	case reflect.Struct:
		for i := range v.NumField() {
			w.take(v.Field(i))
		}
	case reflect.Array, reflect.Slice:
		w.number(uint64(v.Len()))
		for i := range v.Len() {
			w.take(v.Index(i))
		}
	case reflect.Pointer:
		if v.IsNil() {
			w.number(0)
			return
		}
		w.number(1)
		w.take(v.Elem())
	default:
		panic(fmt.Sprintf("structure: a %s cannot be marked", v.Type()))
	}
}
