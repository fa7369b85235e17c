// Package decode reads YAML into tagged Go structs and says what is wrong with
// it, place by place.
//
// The struct is the one description of a file: its tags give the key, the kind
// of quantity, the default with its reason, the range, the choices and a
// sentence for people. From the same tags come the JSON Schema for editors and
// the reference page, so the three cannot disagree.
//
//	yaml     key; ",inline" takes the fields of an embedded struct into the one
//	         that holds it; ",axes" collects every key of the mapping in a map
//	is       kind of quantity (package quantity), or "direction"
//	required "true": refused without it
//	default  used when the key is absent, written as in the file
//	from     why the default is what it is
//	range    low..high, written as in the file
//	choices  allowed words, separated by |
//	part     kind of catalogue part that the word names, alternatives separated by |
//	keyed    a list written as a mapping: the field that receives the key
//	doc      one sentence for people
//
// A pointer is a value that may be absent and has no default. A type that
// implements Span holds a low, a nominal and a high value. A path names a value
// in messages: axes.z.travel, task.cycle[2].to; places in a list count from 1.
//
// Only a plain subset of YAML is read: one document of mappings, lists and
// single values. Aliases, anchors, merge keys, tags, tabs, repeated keys and
// deep nesting are refused, and so is a file over MaxSize. All mistakes of a
// file are reported in one go.
//
// Numbers come out in SI; package quantity says in which unit.
package decode
