package screen

import (
	"fmt"
	"io"
	"strings"

	"spanwright/quantity"
	"spanwright/section"
)

// Section prints the properties of a cross-section; massPerM is nil where the
// material is not known.
func Section(w io.Writer, name string, p section.Properties, massPerM *float64) {
	fmt.Fprintf(w, "%s: section properties, %s\n", name, p.Origin)
	fmt.Fprintln(w, "y to the right, z up, the bar's own axis towards the viewer; about the centroid")
	fmt.Fprintln(w)
	s := sectionTable{w, p}
	s.row("width y", quantity.Length, p.Width(), "", "")
	s.row("height z", quantity.Length, p.Height(), "", "")
	s.row("area A", quantity.Area, p.Area, "A_m2", "")
	if massPerM != nil {
		s.row("mass", quantity.MassPerLength, *massPerM, "", "")
	}
	s.row("Iy", quantity.SecondMoment, p.Iy, "Iy_m4", "bending in the plane of the height")
	s.row("Iz", quantity.SecondMoment, p.Iz, "Iz_m4", "bending in the plane of the width")
	if p.Iyz != 0 {
		s.row("Iyz", quantity.SecondMoment, p.Iyz, "Iyz_m4", "y and z are not principal axes")
	}
	s.row("Wy", quantity.Volume, p.Wy, "Wy_m3", "")
	s.row("Wz", quantity.Volume, p.Wz, "Wz_m3", "")
	s.row("J", quantity.SecondMoment, p.J, "J_m4", s.between(p.Limits.J, quantity.SecondMoment, "torsion constant"))
	s.row("Asy", quantity.Area, p.Asy, "Asy_m2", s.between(p.Limits.Asy, quantity.Area, "shear along y"))
	s.row("Asz", quantity.Area, p.Asz, "Asz_m2", s.between(p.Limits.Asz, quantity.Area, "shear along z"))
	for _, note := range p.Notes {
		fmt.Fprintln(w, wrap("note: "+note, 0, 6))
	}
}

// sectionTable prints rows of name, value and remark.
type sectionTable struct {
	w io.Writer
	p section.Properties
}

// row prints one value; key is the one under which it may be missing.
func (s sectionTable) row(name string, kind quantity.Kind, v float64, key, remark string) {
	text := quantity.Format(kind, v, 5)
	for _, m := range s.p.Missing {
		if m == key {
			text = "unknown"
		}
	}
	fmt.Fprintln(s.w, strings.TrimRight(fmt.Sprintf("  %-9s %15s   %s", name, text, remark), " "))
}

// between says in which bounds the exact value lies.
func (s sectionTable) between(b section.Bounds, kind quantity.Kind, what string) string {
	if s.p.Origin == section.Stated || !(b.High > 0) {
		return what
	}
	high := quantity.Format(kind, b.High, 5)
	_, unit, _ := strings.Cut(high, " ")
	low, err := quantity.FormatIn(kind, b.Low, unit, 5)
	if err != nil {
		return what
	}
	low, _, _ = strings.Cut(low, " ")
	return fmt.Sprintf("%s, %s to %s", what, low, high)
}
