package decode

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"spanwright/diag"
)

// isNull tells whether nothing is written.
func isNull(n *yaml.Node) bool {
	return n.Kind == yaml.ScalarNode && n.Tag == "!!null"
}

// describeNode says what stands there.
func describeNode(n *yaml.Node) string {
	switch n.Kind {
	case yaml.MappingNode:
		return "is a group of keys"
	case yaml.SequenceNode:
		return fmt.Sprintf("is a list of %d", len(n.Content))
	}
	return clip(n.Value) + " is one value"
}

// clip returns text short enough and clean enough for a message.
func clip(s string) string {
	if utf8.RuneCountInString(s) > 60 {
		s = string([]rune(s)[:57]) + "..."
	}
	for _, c := range s {
		if !strconv.IsPrint(c) {
			return strconv.Quote(s)
		}
	}
	return s
}

// needs says what the field needs, with its article.
func (f *Field) needs() string {
	switch f.Form {
	case Truth:
		return "yes or no"
	case Whole:
		return "a whole number"
	case Number:
		if f.Kind != "" {
			return f.Kind.Article()
		}
		return "a plain number"
	case Direction:
		return "a direction"
	case Triple:
		return "one value or low..nominal..high"
	case Group:
		return "a group of keys"
	case Series:
		if f.Length > 0 {
			return fmt.Sprintf("a list of %d", f.Length)
		}
		return "a list"
	case Keyed:
		return "a group with a name for each entry"
	case ByAxis:
		return f.Elem.needs() + " for each axis"
	}
	switch {
	case len(f.Parts) > 0:
		return "the id of a " + strings.Join(f.Parts, " or a ")
	case len(f.Choices) > 0:
		return "one of " + strings.Join(f.Choices, ", ")
	}
	return "a text"
}

// allowed says what may stand there, for the machine form of a diagnostic.
func (f *Field) allowed() string {
	switch {
	case len(f.Choices) > 0:
		return strings.Join(f.Choices, ", ")
	case f.Limits != nil:
		return f.needs() + ", " + f.Limits.String()
	}
	return f.needs()
}

// hint shows the field with a value, where one can be shown.
func (f *Field) hint() string {
	example := f.example()
	if example == "" {
		return ""
	}
	if f.Key == "" {
		return "e.g. " + example
	}
	return "e.g. " + f.Key + ": " + example
}

// example returns a value as it may be written on one line, or nothing.
func (f *Field) example() string {
	if f.hasDefault {
		return f.Default
	}
	switch f.Form {
	case Truth:
		return "yes"
	case Direction:
		return "x"
	case Whole, Number, Triple:
		return f.exampleNumber()
	case Series:
		return f.exampleList()
	case Text:
		if len(f.Choices) > 0 && len(f.Parts) == 0 {
			return f.Choices[0]
		}
	}
	return ""
}

func (f *Field) exampleNumber() string {
	switch {
	case len(f.Choices) > 0:
		return f.Choices[0]
	case f.Kind == "":
		if f.Limits != nil {
			return f.Limits.LowText
		}
		return "1"
	}
	example := f.Kind.Example()
	if v, err := f.number(example); f.Limits == nil || err == nil && v >= f.Limits.Low && v <= f.Limits.High {
		return example
	}
	return f.Limits.HighText
}

func (f *Field) exampleList() string {
	item := f.Elem.example()
	if item == "" || f.Length == 0 {
		return ""
	}
	return "[" + strings.TrimSuffix(strings.Repeat(item+", ", f.Length), ", ") + "]"
}

// exampleOf shows the first keys of a group.
func exampleOf(s *Struct) string {
	var keys []string
	for _, f := range s.Fields {
		keys = append(keys, f.Key)
		if len(keys) == 6 {
			keys = append(keys, "...")
			break
		}
	}
	if len(keys) == 0 {
		return ""
	}
	return "its keys are " + strings.Join(keys, ", ")
}

// unknownKey reports a key that the group does not have.
func (r *reader) unknownKey(s *Struct, key *yaml.Node, path string) {
	var known []string
	for _, f := range s.Fields {
		known = append(known, f.Key)
	}
	for _, f := range s.Fields { // a key that belongs one level further in
		if f.Form == Group && f.Group.byKey[key.Value] != nil {
			r.add(diag.Diagnostic{Pos: r.pos(key), Code: UnknownKey, Path: Join(path, key.Value), Value: key.Value,
				Message: "unknown key here", Hint: "it belongs under " + strconv.Quote(f.Key)})
			return
		}
	}
	r.unknown(key, path, known)
}

func (r *reader) unknown(key *yaml.Node, path string, known []string) {
	d := diag.Diagnostic{Pos: r.pos(key), Code: UnknownKey, Path: Join(path, key.Value), Value: key.Value,
		Message: "unknown key", Allowed: strings.Join(known, ", ")}
	if near := Nearest(key.Value, known); near != "" {
		d.Hint = "did you mean " + strconv.Quote(near) + "?"
	} else if len(known) <= 12 {
		d.Hint = "known here are " + d.Allowed
	}
	r.add(d)
}
