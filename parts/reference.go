package parts

import (
	"fmt"
	"io"
	"strings"

	"spanwright/decode"
	"spanwright/quantity"
)

// WriteReference writes the reference page of part files, made from the tags of
// the kinds and the ids of the embedded parts.
func WriteReference(w io.Writer) error {
	var b strings.Builder
	b.WriteString(referenceHead)
	c := Embedded()
	for _, k := range kindTable {
		fmt.Fprintf(&b, "\n## %s\n\n%s\n\n", k.name, k.doc)
		b.WriteString("| key | needed | unit | meaning | allowed |\n| --- | --- | --- | --- | --- |\n")
		writeRows(&b, "", decode.Describe(k.empty()))
		what := "Representative parts"
		if k.name == "material" {
			what = "Embedded"
		}
		fmt.Fprintf(&b, "\n%s: `%s`.\n", what, strings.Join(c.IDs(k.name), "`, `"))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func writeRows(b *strings.Builder, prefix string, s *decode.Struct) {
	for _, f := range s.Fields {
		if f.Form == decode.Group {
			fmt.Fprintf(b, "| `%s` | | group | %s | |\n", prefix+f.Key, f.Doc)
			writeRows(b, prefix+f.Key+".", f.Group)
			continue
		}
		needed := ""
		switch {
		case f.Required && prefix != "":
			needed = "in its group"
		case f.Required:
			needed = "yes"
		}
		fmt.Fprintf(b, "| `%s` | %s | %s | %s | %s |\n", prefix+f.Key, needed, unitText(f), f.Doc, allowedText(f))
	}
}

// unitText says what kind of value it is: the unit of its quantity as in a
// table, or what stands there instead of a number.
func unitText(f *decode.Field) string {
	if f.Form == decode.Series {
		count := "list"
		if f.Length > 0 {
			count = fmt.Sprintf("%d values", f.Length)
		}
		if inner := unitText(f.Elem); inner != "" {
			return count + ", " + inner
		}
		return count
	}
	switch {
	case f.Kind != "" && f.Kind != quantity.Ratio:
		return unitOfTable(f.Kind)
	case f.Form == decode.Truth:
		return "yes or no"
	case f.Form == decode.Whole:
		return "whole number"
	case f.Form == decode.Text:
		return "text"
	}
	return ""
}

func allowedText(f *decode.Field) string {
	switch {
	case len(f.Parts) > 0:
		return "id of a " + strings.Join(f.Parts, " or ")
	case len(f.Choices) > 0:
		return strings.Join(f.Choices, ", ")
	case f.Limits != nil:
		return f.Limits.String()
	}
	return ""
}

const referenceHead = `# Part files

<!-- made from the source by "go test ./parts -update"; do not edit -->

The catalogue starts from embedded parts. Apart from the materials they are *representative*: invented from standard
geometry, consistent with each other, and nobody's product. Replace them by supplier data before anything is ordered.

A design names files with supplier data under ` + "`parts:`" + `. A part in such a file replaces the embedded part of the same
kind and id as a whole. An id may stand only once in all part files of a design together.

    spanwright parts check FILE          says what is wrong, line by line
    spanwright parts import FILE -o OUT  writes a clean part file from a table

## As YAML

Parts are grouped by kind; each has an id and the keys listed below. Numbers carry their unit, in any unit of their kind.

    spanwright_parts: 1
    belt:
      my-belt-30:
        title: "toothed belt, pitch 8, 30 wide"
        pitch: 8 mm
        width: 30 mm
        stretch_stiffness: 840 kN
        mass_per_m: 0.156 kg/m
        tooth_speeds: [0 rpm, 1000 rpm, 4000 rpm]
        tooth_forces: [150 N, 112 N, 78 N]
        counted_teeth: 12
        cord_force: 2.85 kN

## As a table

A table (CSV; comma, semicolon or tab between the cells) lists parts of one kind, one a row. The kind stands in a comment
above the header, or is the name of the file (` + "`belt.csv`" + `). Each column is named by a key, with the unit of its numbers in
square brackets; columns may stand in any order. A key within a group is written ` + "`t_slot.module [mm]`" + `. A list stands in one
cell with spaces between its values. An empty cell is a value that is not given. Outlines given point by point need YAML.

    # kind: belt
    id,title,pitch [mm],width [mm],stretch_stiffness [kN],mass_per_m [kg/m],tooth_speeds [rpm],tooth_forces [N],counted_teeth,cord_force [N]
    my-belt-30,"toothed belt, pitch 8, 30 wide",8,30,840,0.156,0 1000 4000,150 112 78,12,2850

## Axis beams

At roll 0 a profile's local y is its width and its local z its height. On an axis beam the local z is the normal of the rail
plane and points to the carriage. Heights are measured along z from the beam's centre line, offsets along y from its middle.
`
