package decode

import (
	"bytes"
	"encoding/json"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"spanwright/quantity"
)

// Heading names a schema and a reference page.
type Heading struct {
	ID    string // identifier of the schema, a URN
	Title string
	Doc   string // what the file is, in a few sentences
}

// Schema returns a JSON Schema (draft 2020-12) for editors. It accepts the
// shape of what Read accepts: keys, kinds of values, units, choices, counts and
// the ranges of plain numbers. It cannot compare quantities with their ranges,
// the three values of a Span with each other, or one part of a file with
// another; it also sees numbers only after the editor has read them, so that
// 0x10 is 16 to it. A key that names a part of the catalogue says of which kinds
// in "x-part".
func Schema(s *Struct, h Heading) ([]byte, error) {
	w := &schemaWriter{kinds: map[quantity.Kind]bool{}}
	root := object{
		{"$schema", "https://json-schema.org/draft/2020-12/schema"},
		{"$id", h.ID},
		{"title", h.Title},
		{"description", h.Doc},
	}
	root = append(root, w.group(s)...)
	root = append(root, member{"$defs", w.definitions()})
	compact, err := json.Marshal(root)
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	if err := json.Indent(&out, compact, "", "  "); err != nil {
		return nil, err
	}
	out.WriteByte('\n')
	return out.Bytes(), nil
}

// object is a JSON object that keeps its order.
type object []member

type member struct {
	key   string
	value any
}

// MarshalJSON writes the members in their order.
func (o object) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	b.WriteByte('{')
	for i, m := range o {
		if i > 0 {
			b.WriteByte(',')
		}
		key, err := json.Marshal(m.key)
		if err != nil {
			return nil, err
		}
		value, err := json.Marshal(m.value)
		if err != nil {
			return nil, err
		}
		b.Write(key)
		b.WriteByte(':')
		b.Write(value)
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

// schemaWriter collects the kinds that were used.
type schemaWriter struct{ kinds map[quantity.Kind]bool }

// namePattern accepts what IsName accepts, but for the length.
const namePattern = `^[\p{L}\p{Nd}]+(?:(?:[-_]+|\.)[\p{L}\p{Nd}]+)*$`

// definitions returns the schemas that fields refer to.
func (w *schemaWriter) definitions() object {
	defs := object{
		{"text", object{
			{"description", "a text"},
			{"type", []string{"string", "number", "boolean"}},
			{"maxLength", longestText},
			{"pattern", `[^ \r\n]`},
			{"not", object{{"type", "string"}, {"pattern", `[\x00-\x09\x0b\x0c\x0e-\x1f\x7f-\x9f]`}}},
		}},
		{"name", object{{"description", "letters and digits, with - _ and . between them"}, {"maxLength", longestName}, {"pattern", namePattern}}},
		{"direction", object{
			{"description", "a direction along a world axis, or three numbers"},
			{"anyOf", []any{
				object{{"enum", []string{"x", "-x", "+x", "y", "-y", "+y", "z", "-z", "+z"}}},
				object{{"type", "array"}, {"items", object{{"type", "number"}}}, {"minItems", 3}, {"maxItems", 3}, {"contains", object{{"not", object{{"const", 0}}}}}},
			}},
		}},
	}
	for _, k := range quantity.Kinds() {
		if w.kinds[k] {
			defs = append(defs, member{string(k), object{
				{"description", k.Article() + " with its unit"},
				{"type", "string"},
				{"pattern", "^" + quantity.Pattern(k) + "$"},
				{"examples", []string{k.Example()}},
			}})
		}
	}
	return defs
}

func ref(name string) object { return object{{"$ref", "#/$defs/" + name}} }

// field returns the schema of a field with what people want to know about it.
func (w *schemaWriter) field(f *Field) object {
	o := object{{"description", f.describe()}}
	if f.hasDefault {
		o = append(o, member{"default", PlainValue(f.ready)})
	} else if example := f.example(); example != "" {
		var n yaml.Node
		if err := yaml.Unmarshal([]byte(example), &n); err == nil && len(n.Content) == 1 {
			o = append(o, member{"examples", []any{PlainValue(n.Content[0])}})
		}
	}
	if len(f.Parts) > 0 {
		o = append(o, member{"x-part", f.Parts})
	}
	form := w.form(f)
	if !f.Required && f.mayBeEmpty() {
		form = orNull(form)
	}
	return append(o, form...)
}

// describe joins the sentence, the range and the reason of the default.
func (f *Field) describe() string {
	text := f.Doc
	if f.Limits != nil {
		text += "; " + f.Limits.String()
	}
	if f.hasDefault {
		text += "; by default " + f.Default + " (" + f.From + ")"
	}
	return text
}

func (w *schemaWriter) form(f *Field) object {
	switch f.Form {
	case Truth:
		return object{{"enum", []any{"yes", "no", true, false}}}
	case Whole, Number:
		return w.number(f)
	case Direction:
		return ref("direction")
	case Triple:
		return w.triple(f)
	case Group:
		return w.group(f.Group)
	case Series:
		return w.series(f)
	case Keyed:
		o := object{{"type", "object"}, {"propertyNames", ref("name")}, {"additionalProperties", w.entry(f.Elem)}}
		if f.Required {
			o = append(o, member{"minProperties", 1})
		}
		return o
	case ByAxis:
		return w.byAxis(f)
	}
	if len(f.Choices) > 0 && len(f.Parts) == 0 {
		return object{{"enum", choiceValues(f.Choices)}}
	}
	return ref("text")
}

// entry is the schema of an element of a keyed list, which may be left empty
// where it needs nothing.
func (w *schemaWriter) entry(f *Field) object {
	o := w.group(f.Group)
	if f.Group.Axes == nil && !slices.ContainsFunc(f.Group.Fields, func(f *Field) bool { return f.Required }) {
		o = orNull(o)
	}
	return o
}

// orNull lets a group or list stand without a value.
func orNull(o object) object {
	for i := range o {
		if o[i].key == "type" {
			o[i].value = []any{o[i].value, "null"}
		}
	}
	return o
}

func (w *schemaWriter) group(s *Struct) object {
	if s.Axes != nil {
		return w.byAxis(s.Axes)
	}
	properties, required := object{}, []string{}
	for _, f := range s.Fields {
		properties = append(properties, member{f.Key, w.field(f)})
		if f.Required {
			required = append(required, f.Key)
		}
	}
	return object{{"type", "object"}, {"properties", properties}, {"required", required}, {"additionalProperties", false}}
}

func (w *schemaWriter) byAxis(f *Field) object {
	return object{{"type", "object"}, {"propertyNames", ref("name")}, {"additionalProperties", w.number(f.Elem)}}
}

func (w *schemaWriter) series(f *Field) object {
	o := object{{"type", "array"}, {"items", w.form(f.Elem)}}
	switch {
	case f.Length > 0:
		return append(o, member{"minItems", f.Length}, member{"maxItems", f.Length})
	case f.Required:
		return append(o, member{"minItems", 1})
	}
	return o
}

func (w *schemaWriter) number(f *Field) object {
	if f.Kind == "" || f.Kind == quantity.Ratio {
		o := object{{"type", "number"}}
		if f.Form == Whole {
			o[0].value = "integer"
			o = append(o, member{"minimum", -1000000000}, member{"maximum", 1000000000})
		}
		if f.Limits != nil {
			o = append(o[:1], member{"minimum", f.Limits.Low}, member{"maximum", f.Limits.High})
		}
		if len(f.Choices) > 0 {
			var whole []int
			for _, c := range f.Choices {
				n, _ := strconv.Atoi(c) // a tag that is no number shows in the tests of the struct
				whole = append(whole, n)
			}
			o = object{{"enum", whole}}
		}
		if f.Kind == "" {
			return o
		}
		w.kinds[f.Kind] = true
		return object{{"anyOf", []any{o, ref(string(f.Kind))}}}
	}
	w.kinds[f.Kind] = true
	return ref(string(f.Kind))
}

// triple accepts a word, one value, three in a text, or three keys.
func (w *schemaWriter) triple(f *Field) object {
	one := w.number(f)
	piece := quantity.Pattern(f.Kind)
	keys := object{}
	for _, key := range spanGroup {
		keys = append(keys, member{key, w.number(f)})
	}
	any := []any{
		one,
		object{{"type", "string"}, {"pattern", "^" + strings.Join([]string{piece, piece, piece}, `\.\.`) + "$"}},
		object{{"type", "object"}, {"properties", keys}, {"required", spanGroup}, {"additionalProperties", false}},
	}
	if len(f.Choices) > 0 {
		any = append(any, object{{"enum", choiceValues(f.Choices)}})
	}
	return object{{"anyOf", any}}
}

// choiceValues lists the words, and beside a word that reads as a number or as
// a truth value also that value, which is what an editor sees.
func choiceValues(choices []string) []any {
	var out []any
	for _, c := range choices {
		out = append(out, c)
		if v := PlainValue(&yaml.Node{Kind: yaml.ScalarNode, Value: c}); v != any(c) {
			out = append(out, v)
		}
	}
	return out
}

// PlainValue returns the node as JSON has it, by the core rules of YAML 1.2: a
// plain word that looks like a number is one, and dates are texts. Infinity and
// not-a-number, which JSON does not have, come out as texts.
func PlainValue(n *yaml.Node) any {
	switch n.Kind {
	case yaml.MappingNode:
		o := map[string]any{}
		for i := 0; i+1 < len(n.Content); i += 2 {
			o[n.Content[i].Value] = PlainValue(n.Content[i+1])
		}
		return o
	case yaml.SequenceNode:
		list := []any{}
		for _, c := range n.Content {
			list = append(list, PlainValue(c))
		}
		return list
	}
	if n.Style&(yaml.SingleQuotedStyle|yaml.DoubleQuotedStyle|yaml.LiteralStyle|yaml.FoldedStyle) != 0 {
		return n.Value
	}
	switch n.Value {
	case "", "~", "null", "Null", "NULL":
		return nil
	case "true", "True", "TRUE":
		return true
	case "false", "False", "FALSE":
		return false
	}
	if number, ok := jsonNumber(n.Value); ok {
		return number
	}
	return n.Value
}

// jsonNumber returns the number of YAML's core rules as JSON writes it.
func jsonNumber(s string) (json.Number, bool) {
	for prefix, base := range map[string]int{"0x": 16, "0o": 8} {
		if digits, found := strings.CutPrefix(s, prefix); found {
			n, err := strconv.ParseUint(digits, base, 53)
			return json.Number(strconv.FormatUint(n, 10)), err == nil
		}
	}
	body := strings.TrimPrefix(s, "+")
	sign := ""
	if strings.HasPrefix(body, "-") && body == s {
		sign, body = "-", body[1:]
	}
	if strings.HasPrefix(body, ".") {
		body = "0" + body
	}
	body = strings.Replace(strings.TrimSuffix(body, "."), ".e", "e", 1)
	for len(body) > 1 && body[0] == '0' && body[1] >= '0' && body[1] <= '9' {
		body = body[1:]
	}
	number := json.Number(sign + body)
	if body == "" || body[0] < '0' || body[0] > '9' || !json.Valid([]byte(number)) {
		return "", false
	}
	return number, true
}
