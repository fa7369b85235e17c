package parts

import (
	"fmt"
	"io"
	"reflect"
	"strconv"
	"strings"

	"spanwright/decode"
	"spanwright/diag"
	"spanwright/quantity"
)

// Write writes the parts as a part file, kind by kind in the order of Kinds and
// within a kind in the order given. Read gives back equal parts.
func Write(w io.Writer, list []Part) error {
	var b strings.Builder
	b.WriteString("spanwright_parts: 1\n")
	for _, kind := range Kinds() {
		first := true
		for _, p := range list {
			if KindOf(p) != kind {
				continue
			}
			if first {
				b.WriteString("\n" + kind + ":\n")
				first = false
			}
			b.WriteString("  " + p.Base().ID + ":\n")
			writeGroup(&b, "    ", reflect.ValueOf(p).Elem())
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func writeGroup(b *strings.Builder, indent string, v reflect.Value) {
	entries(v, func(f field, x reflect.Value) {
		if f.Form == decode.Group {
			b.WriteString(indent + f.Key + ":\n")
			writeGroup(b, indent+"  ", x)
			return
		}
		b.WriteString(indent + f.Key + ": " + written(f.Field, x) + "\n")
	})
}

// written returns a value as it stands in a part file.
func written(f *decode.Field, v reflect.Value) string {
	switch f.Form {
	case decode.Truth:
		if v.Bool() {
			return "yes"
		}
		return "no"
	case decode.Whole:
		return fmt.Sprint(v.Int())
	case decode.Number:
		if f.Kind == "" {
			return quantity.Number(v.Float(), 0)
		}
		return quantity.Exact(f.Kind, v.Float())
	case decode.Series:
		var items []string
		for i := range v.Len() {
			items = append(items, written(f.Elem, v.Index(i)))
		}
		return "[" + strings.Join(items, ", ") + "]"
	}
	return strconv.Quote(v.String()) // the escapes of Go are among those of YAML
}

// Import reads a file, checks it against the catalogue and writes its parts as
// a part file to w. With any mistake nothing is written.
func Import(w io.Writer, c *Catalogue, src Source) (diag.List, error) {
	if _, list := c.With(src); len(list) > 0 {
		return list, nil
	}
	found, _ := Read(src)
	return nil, Write(w, found)
}
