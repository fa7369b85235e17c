package parts

import (
	"fmt"
	"path"
	"slices"
	"strings"

	"spanwright/decode"
	"spanwright/diag"
)

// Source is the text of one part file.
type Source struct {
	Name string // as it appears in messages; the ending .csv, .tsv or .txt makes it a table
	Text []byte
	Kind string // of a table that does not say which kind of part it lists; may be empty
}

// File is a part file: parts of any kind by their ids.
type File struct {
	Format    int        `yaml:"spanwright_parts" required:"true" range:"1..1" doc:"format number of part files"`
	Materials []Material `yaml:"material" keyed:"ID" doc:"what profiles and plates are made of"`
	Profiles  []Profile  `yaml:"profile" keyed:"ID" doc:"bars with an outline"`
	Axes      []Axis     `yaml:"axis" keyed:"ID" doc:"axis beams"`
	Blocks    []Block    `yaml:"block" keyed:"ID" doc:"rail guide blocks with their rail"`
	Belts     []Belt     `yaml:"belt" keyed:"ID" doc:"toothed belts"`
	Screws    []Screw    `yaml:"screw" keyed:"ID" doc:"ball and slide screws"`
	Racks     []Rack     `yaml:"rack" keyed:"ID" doc:"racks with their pinion"`
	Motors    []Motor    `yaml:"motor" keyed:"ID" doc:"servo and stepper motors"`
	Gears     []Gear     `yaml:"gear" keyed:"ID" doc:"gears"`
	Brakes    []Brake    `yaml:"brake" keyed:"ID" doc:"hold brakes"`
	Joints    []Joint    `yaml:"joint" keyed:"ID" doc:"hardware of joints"`
	Plates    []Plate    `yaml:"plate" keyed:"ID" doc:"interface plates"`
	Clamps    []Clamp    `yaml:"clamp" keyed:"ID" doc:"profile clamps"`
	Feet      []Foot     `yaml:"foot" keyed:"ID" doc:"feet"`
	Shafts    []Shaft    `yaml:"shaft" keyed:"ID" doc:"line shafts"`
	Carriers  []Carrier  `yaml:"carrier" keyed:"ID" doc:"cable carriers"`
	Bumpers   []Bumper   `yaml:"bumper" keyed:"ID" doc:"hard stops, bumpers, shock absorbers"`
}

// parts lists the parts of the file, kind by kind.
func (f *File) parts() []Part {
	return slices.Concat(
		pointers(f.Materials), pointers(f.Profiles), pointers(f.Axes), pointers(f.Blocks), pointers(f.Belts),
		pointers(f.Screws), pointers(f.Racks), pointers(f.Motors), pointers(f.Gears), pointers(f.Brakes),
		pointers(f.Joints), pointers(f.Plates), pointers(f.Clamps), pointers(f.Feet), pointers(f.Shafts),
		pointers(f.Carriers), pointers(f.Bumpers),
	)
}

func pointers[T any, P interface {
	*T
	Part
}](list []T) []Part {
	out := make([]Part, len(list))
	for i := range list {
		out[i] = P(&list[i])
	}
	return out
}

// placed is a part with the places of its values.
type placed struct {
	Part
	where func(key string) diag.Pos // of the value, or of the part where it is not written
}

// Read reads the parts of a file, a YAML part file or a table, and reports
// every mistake in them. Whether the parts that they name exist is for
// Catalogue.With.
func Read(src Source) ([]Part, diag.List) {
	found, list := read(src)
	out := make([]Part, len(found))
	for i, p := range found {
		out[i] = p.Part
	}
	return out, list
}

func read(src Source) ([]placed, diag.List) {
	switch strings.ToLower(path.Ext(src.Name)) {
	case ".csv", ".tsv", ".txt":
		return readTable(src)
	}
	return readFile(src)
}

func readFile(src Source) (out []placed, list diag.List) {
	var f File
	rec, list := decode.Read(src.Name, src.Text, &f)
	for _, p := range f.parts() {
		kind, b := KindOf(p), p.Base()
		at := kind + "." + b.ID
		where := func(key string) diag.Pos {
			if value := decode.Join(at, key); rec.Given(value) {
				return rec.Where(value)
			}
			return rec.WhereKey(at)
		}
		b.File, b.Line = src.Name, rec.WhereKey(at).Line
		complete(p)
		kindNamed(kind).inspect(p, &review{
			list: &list, path: at, where: where,
			broken: func(key string) bool { return unsound(rec, p, decode.Join(at, key), key) },
		})
		out = append(out, placed{p, where})
	}
	return out, list.Sorted()
}

// With returns the catalogue with the parts of the files laid over it: a part
// of theirs takes the place of the one with the same kind and id. An id may
// stand only once in all the files together, and the parts that a part names
// must be there. With any mistake the parts of the files are not to be used.
func (c *Catalogue) With(files ...Source) (*Catalogue, diag.List) {
	var all []placed
	var list diag.List
	for _, src := range files {
		found, mistakes := read(src)
		all = append(all, found...)
		list.Add(mistakes...)
	}
	list.Add(repeated(all)...)
	out := c.with(all)
	if len(list) == 0 {
		list.Add(out.dangling(all)...)
	}
	return out, list.Sorted()
}

// repeated reports ids that stand in two files.
func repeated(all []placed) (list diag.List) {
	first := map[Ref]*Common{}
	for _, p := range all {
		b, ref := p.Base(), refOf(p.Part)
		was := first[ref]
		if was == nil {
			first[ref] = b
			continue
		}
		list.Add(diag.Diagnostic{
			Pos: p.where(""), Code: DuplicatePart, Path: ref.String(), Value: b.ID,
			Message: fmt.Sprintf("is listed twice; the first is in %s on line %d", was.File, was.Line), Hint: "remove one of the two",
		})
	}
	return list
}

// dangling reports parts that are named and not there.
func (c *Catalogue) dangling(all []placed) (list diag.List) {
	for _, p := range all {
		for _, n := range namesIn(p.Part) {
			if _, ok := c.entries[n.ref]; ok {
				continue
			}
			d := diag.Diagnostic{
				Pos: p.where(n.key), Code: UnknownPart, Path: decode.Join(refOf(p.Part).String(), n.key), Value: n.ref.ID,
				Message: fmt.Sprintf("%q is no %s of the catalogue", n.ref.ID, n.ref.Kind),
			}
			if near := c.Near(n.ref.Kind, n.ref.ID); len(near) > 0 {
				d.Hint = "did you mean " + strings.Join(near, ", ") + "?"
			}
			list.Add(d)
		}
	}
	return list
}
