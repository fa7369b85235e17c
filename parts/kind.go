package parts

import (
	"reflect"
	"slices"
	"strings"
	"sync"

	"spanwright/decode"
)

// Part is a pointer to one of the structs of this package.
type Part interface{ Base() *Common }

// Base returns what every part has.
func (c *Common) Base() *Common { return c }

// kindRow describes one kind of part. Its name is the word of the part tag, of
// the top level of part files and of `parts list`.
type kindRow struct {
	name    string
	doc     string
	listed  []string // keys shown by Catalogue.PrintList
	empty   func() Part
	inspect func(Part, *review)
}

// rowOf fills a row for the struct T.
func rowOf[T any, P interface {
	*T
	Part
}](name, doc, listed string, inspect func(P, *review)) kindRow {
	return kindRow{
		name: name, doc: doc, listed: strings.Fields(listed),
		empty: func() Part { return P(new(T)) },
		inspect: func(p Part, r *review) {
			if inspect != nil {
				inspect(p.(P), r)
			}
		},
	}
}

// kindTable holds the kinds in the order of lists and pages.
var kindTable = []kindRow{
	rowOf("material", "What profiles and plates are made of.", "E G density yield", inspectMaterial),
	rowOf("profile", "Bars with an outline: T-slot extrusions, hollow sections, flats, angles.", "shape size material cost_per_m", inspectProfile),
	rowOf("axis", "Axis beams with their rails, blocks and drive.", "drive moved_mass max_speed max_acceleration max_length", inspectAxis),
	rowOf("block", "Rail guide carriages with their rail.", "kind C basis C0 kz mass", inspectBlock),
	rowOf("belt", "Toothed belts of one width.", "pitch width stretch_stiffness cord_force", inspectBelt),
	rowOf("screw", "Ball and slide screws with their nut.", "kind d0 lead Ca C0a grade", inspectScrew),
	rowOf("rack", "Racks with their pinion.", "module pinion_teeth width rated_force", inspectRack),
	rowOf("motor", "Servo and stepper motors.", "kind stall_torque rated_torque peak_torque rated_speed inertia mass", inspectMotor),
	rowOf("gear", "Planetary and right-angle gears.", "kind ratio rated_torque peak_torque backlash mass", inspectGear),
	rowOf("brake", "Spring-applied, power-off hold brakes on the motor shaft.", "torque inertia apply_time energy_per_stop", inspectBrake),
	rowOf("joint", "Hardware of a joint between profiles.", "family module screw screws tightening_torque", inspectJoint),
	rowOf("plate", "Interface plates between two axes.", "material thickness width length screw screws mass", inspectPlate),
	rowOf[Clamp]("clamp", "Clamps that hold an axis profile on what carries it.", "width screw screws tightening_torque", nil),
	rowOf("foot", "Levelling feet and base plates.", "axial_stiffness base_rotational_stiffness capacity anchors", inspectFoot),
	rowOf("shaft", "Line shafts between two runways.", "outer inner coupling_stiffness mass_per_m", inspectShaft),
	rowOf("carrier", "Cable carriers.", "inner radius pitch mass_per_m", inspectCarrier),
	rowOf("bumper", "Hard stops, elastomer bumpers, shock absorbers.", "kind stroke energy effective_mass", inspectBumper),
}

// Kinds names the kinds of parts in the order of lists and pages.
func Kinds() []string {
	out := make([]string, len(kindTable))
	for i, k := range kindTable {
		out[i] = k.name
	}
	return out
}

func kindNamed(name string) *kindRow {
	i := slices.IndexFunc(kindTable, func(k kindRow) bool { return k.name == name })
	if i < 0 {
		return nil
	}
	return &kindTable[i]
}

// KindOf returns the kind of the part, e.g. "belt".
func KindOf(p Part) string {
	t := reflect.TypeOf(p)
	for _, k := range kindTable {
		if reflect.TypeOf(k.empty()) == t {
			return k.name
		}
	}
	return ""
}

// field is one field of a part, found by its tags.
type field struct {
	*decode.Field
	index []int // within the struct that holds it
}

var fieldsKnown sync.Map // reflect.Type -> []field; only saves time

// fieldsOf returns the fields of a struct in the order of its source.
func fieldsOf(t reflect.Type) []field {
	if known, ok := fieldsKnown.Load(t); ok {
		return known.([]field)
	}
	described := decode.Describe(reflect.New(t).Interface()).Fields
	var out []field
	for _, index := range placesOf(t, nil) {
		out = append(out, field{described[len(out)], index})
	}
	fieldsKnown.Store(t, out)
	return out
}

// placesOf returns where the fields with a key stand, embedded ones in place.
func placesOf(t reflect.Type, at []int) (out [][]int) {
	for i := range t.NumField() {
		key, option, _ := strings.Cut(t.Field(i).Tag.Get("yaml"), ",")
		index := append(slices.Clone(at), i)
		switch {
		case option == "inline":
			out = append(out, placesOf(t.Field(i).Type, index)...)
		case key != "-" && key != "":
			out = append(out, index)
		}
	}
	return out
}

// entries calls f for every field of the struct v that holds something: a
// required one, a pointer that is set, or a value that is not zero. Groups are
// handed over as a whole.
func entries(v reflect.Value, f func(field, reflect.Value)) {
	for _, d := range fieldsOf(v.Type()) {
		x := v.FieldByIndex(d.index)
		if x.Kind() == reflect.Pointer {
			if x.IsNil() {
				continue
			}
			x = x.Elem()
		} else if x.IsZero() && !d.Required {
			continue
		}
		f(d, x)
	}
}
