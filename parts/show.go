package parts

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"reflect"
	"strings"

	"spanwright/decode"
	"spanwright/diag"
	"spanwright/quantity"
	"spanwright/section"
)

// Caution stands wherever representative data is shown.
const Caution = "representative data: invented and consistent, not a product; replace by supplier data before ordering"

// Value is one value of a part with its unit, for people and programs.
type Value struct {
	Key   string `json:"key"` // as in a part file; t_slot.module within a group
	Value any    `json:"value"`
	Unit  string `json:"unit,omitempty"` // SI
	Doc   string `json:"doc"`

	text string
}

// Text is the value as it would stand in a part file.
func (v Value) Text() string { return v.text }

// Name is the key in words.
func (v Value) Name() string { return strings.NewReplacer("_", " ", ".", " ").Replace(v.Key) }

// Shown is a part with everything that is known about it.
type Shown struct {
	Format         int    `json:"format"`
	Kind           string `json:"kind"`
	ID             string `json:"id"`
	Representative bool   `json:"representative"`
	Caution        string `json:"caution,omitempty"`
	File           string `json:"file,omitempty"` // empty for embedded parts
	Line           int    `json:"line,omitempty"`

	Values   []Value             `json:"values"`
	Section  *section.Properties `json:"section,omitempty"`         // profiles
	MassPerM *float64            `json:"mass_per_m_kg_m,omitempty"` // profiles
}

// figures is how many significant digits are shown to people.
const figures = 4

// Show gathers what is known about a part. The error is that of the section of
// a profile.
func (c *Catalogue) Show(ref Ref) (*Shown, error) {
	p, ok := c.Find(ref.Kind, ref.ID)
	if !ok {
		return nil, c.unknown(ref)
	}
	b := p.Base()
	s := &Shown{Format: 1, Kind: ref.Kind, ID: ref.ID, Representative: b.Representative}
	if b.Representative {
		s.Caution = Caution
	}
	if !c.entries[ref].embedded {
		s.File, s.Line = b.File, b.Line
	}
	s.Values = valuesOf("", reflect.ValueOf(p).Elem())
	if profile, is := p.(*Profile); is {
		properties, err := c.Properties(profile)
		if err != nil {
			return nil, fmt.Errorf("section of %s: %w", ref.ID, err)
		}
		mass, err := c.MassPerMetre(profile)
		if err != nil {
			return nil, err
		}
		s.Section, s.MassPerM = &properties, &mass
	}
	return s, nil
}

// UnknownPartError says that a part is not in the catalogue.
type UnknownPartError struct {
	Ref
	Near []string
}

func (e *UnknownPartError) Error() string {
	text := fmt.Sprintf("%q is no part of the catalogue", e.ID)
	if e.Kind != "" {
		text = fmt.Sprintf("%q is no %s of the catalogue", e.ID, e.Kind)
	}
	if len(e.Near) > 0 {
		text += ", did you mean " + strings.Join(e.Near, ", ") + "?"
	}
	return text
}

func (c *Catalogue) unknown(ref Ref) error { return &UnknownPartError{ref, c.Near(ref.Kind, ref.ID)} }

func valuesOf(prefix string, v reflect.Value) (out []Value) {
	entries(v, func(f field, x reflect.Value) {
		if f.Form == decode.Group {
			out = append(out, valuesOf(prefix+f.Key+".", x)...)
			return
		}
		out = append(out, Value{
			Key: prefix + f.Key, Value: x.Interface(), Unit: f.Kind.SI(), Doc: f.Doc, text: readable(f.Field, x),
		})
	})
	return out
}

// readable returns a value for people: rounded, in a usual unit, without quotes.
func readable(f *decode.Field, v reflect.Value) string {
	switch {
	case f.Form == decode.Number && f.Kind == "" && v.Float() == math.Trunc(v.Float()):
		return quantity.Number(v.Float(), 0)
	case f.Form == decode.Number && f.Kind == "":
		return quantity.Number(v.Float(), figures)
	case f.Form == decode.Number:
		return quantity.Format(f.Kind, v.Float(), figures)
	case f.Form == decode.Text:
		return v.String()
	case f.Form == decode.Series:
		var items []string
		for i := range v.Len() {
			items = append(items, readable(f.Elem, v.Index(i)))
		}
		return strings.Join(items, ", ")
	}
	return written(f, v)
}

// Print writes the part for people: every value with its unit and meaning, for
// a profile the section, and whether the data is representative.
func (s *Shown) Print(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s %s\n", s.Kind, s.ID)
	switch {
	case s.Representative:
		b.WriteString(s.Caution + "\n")
	case s.File != "":
		fmt.Fprintf(&b, "from %s\n", diag.Pos{File: s.File, Line: s.Line})
	}
	b.WriteByte('\n')
	var rows [][]string
	for _, v := range s.Values {
		rows = append(rows, []string{v.Key, v.text, v.Doc})
	}
	if s.Section != nil {
		rows = append(rows, nil, []string{"section, " + string(s.Section.Origin)})
		for _, v := range s.sectionRows() {
			rows = append(rows, []string{v.Key, v.text, v.Doc})
		}
	}
	b.WriteString(aligned(rows))
	if s.Section != nil {
		for _, note := range s.Section.Notes {
			b.WriteString("note: " + note + "\n")
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// sectionRows lists the section properties that a frame needs.
func (s *Shown) sectionRows() (rows []Value) {
	p := s.Section
	add := func(key string, kind quantity.Kind, v float64, doc string) {
		text := quantity.Format(kind, v, figures)
		if v == 0 {
			text = "unknown"
		}
		rows = append(rows, Value{Key: key, text: text, Doc: doc})
	}
	add("A", quantity.Area, p.Area, "area")
	add("mass", quantity.MassPerLength, *s.MassPerM, "mass per length")
	add("Iy", quantity.SecondMoment, p.Iy, "about local y: bending in the plane of the height")
	add("Iz", quantity.SecondMoment, p.Iz, "about local z: bending in the plane of the width")
	add("J", quantity.SecondMoment, p.J, "torsion constant")
	add("Asy", quantity.Area, p.Asy, "shear area along y")
	add("Asz", quantity.Area, p.Asz, "shear area along z")
	add("Wy", quantity.Volume, p.Wy, "elastic modulus about y")
	add("Wz", quantity.Volume, p.Wz, "elastic modulus about z")
	return rows
}

// JSON returns the part as one object. Numbers are SI, each with its unit.
func (s *Shown) JSON() ([]byte, error) { return json.MarshalIndent(s, "", "  ") }
