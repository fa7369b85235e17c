package decode

import (
	"fmt"
	"reflect"
	"strings"
	"sync"

	"go.yaml.in/yaml/v3"

	"spanwright/quantity"
)

// Form says how a field is written in the file.
type Form uint8

// The forms.
const (
	Text      Form = iota // a word or a sentence
	Truth                 // yes or no
	Whole                 // a whole number
	Number                // a plain number, or a quantity where Kind is set
	Direction             // x, -x, ... or three numbers
	Triple                // a Span: one value, low..nominal..high, or the three keys
	Group                 // a mapping with known keys
	Series                // a list
	Keyed                 // a list written as a mapping with free keys
	ByAxis                // a mapping whose free keys all hold the same kind of number
)

// Span is a value with its low and high end, in SI. Words are those of the
// choices tag, e.g. a word that stands for a range known elsewhere.
type Span interface {
	SetSpan(low, nominal, high float64)
	SetWord(word string)
}

// Field describes one field of a struct by its tags.
type Field struct {
	Key      string
	Doc      string
	Form     Form
	Kind     quantity.Kind // empty for plain numbers
	Required bool
	Optional bool // a pointer: may be absent, has no default
	Default  string
	From     string
	Limits   *Limits
	Choices  []string
	Parts    []string // kinds of catalogue part that the word may name
	Length   int      // of a Series: its fixed length, 0 for any
	Elem     *Field   // of a Series, Keyed, ByAxis: one element
	Group    *Struct  // of a Group

	index      []int
	ordinal    int           // place among the fields of its struct
	keyIndex   []int         // of a Keyed list: where the key goes in the element
	ready      *yaml.Node    // the default as it would stand in the file
	value      reflect.Value // the default, read
	hasDefault bool
}

// HasDefault tells whether there is a default.
func (f *Field) HasDefault() bool { return f.hasDefault }

// Limits is the allowed range of a number in SI, and as the tag has it.
type Limits struct {
	Low, High         float64
	LowText, HighText string
}

// String returns the range in words.
func (l *Limits) String() string { return l.LowText + " to " + l.HighText }

// Struct describes a struct by the tags of its fields.
type Struct struct {
	Name   string
	Fields []*Field // in the order of the source, embedded ones in place
	Axes   *Field   // the field that takes every key, or nil

	byKey map[string]*Field
}

// Field returns the field with the key, or nil.
func (s *Struct) Field(key string) *Field { return s.byKey[key] }

// Describe returns the description of a struct, given a value of its type or a
// pointer to one. A mistake in the tags is a fault of the program and panics.
func Describe(v any) *Struct {
	t := reflect.TypeOf(v)
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	return describe(t)
}

var described sync.Map // reflect.Type -> *Struct; only saves time

func describe(t reflect.Type) *Struct {
	if s, ok := described.Load(t); ok {
		return s.(*Struct)
	}
	s := &Struct{Name: t.Name(), byKey: map[string]*Field{}}
	s.take(t, nil)
	described.Store(t, s)
	return s
}

// take adds the fields of the type, which stands at the index within the struct.
func (s *Struct) take(t reflect.Type, at []int) {
	for i := range t.NumField() {
		sf := t.Field(i)
		key, option, _ := strings.Cut(sf.Tag.Get("yaml"), ",")
		index := append(append([]int{}, at...), i)
		switch {
		case option == "inline":
			s.take(sf.Type, index)
			continue
		case key == "-" || key == "" && option != "axes":
			continue
		}
		f := newField(t, sf, key)
		f.index = index
		if option == "axes" {
			s.Axes = f
			continue
		}
		if s.byKey[key] != nil {
			panic(fmt.Sprintf("decode: %s has the key %q twice", t, key))
		}
		s.byKey[key] = f
		f.ordinal = len(s.Fields)
		s.Fields = append(s.Fields, f)
	}
}

func newField(owner reflect.Type, sf reflect.StructField, key string) *Field {
	tag := sf.Tag
	def, hasDefault := tag.Lookup("default")
	f := &Field{
		Key: key, Doc: tag.Get("doc"), From: tag.Get("from"), Default: def, hasDefault: hasDefault,
		Required: tag.Get("required") == "true", Kind: quantity.Kind(tag.Get("is")),
		Choices: words(tag.Get("choices")), Parts: words(tag.Get("part")),
	}
	isDirection := f.Kind == "direction"
	if isDirection {
		f.Kind = ""
	} else if f.Kind != "" && !f.Kind.Known() {
		panic(fmt.Sprintf("decode: %s.%s: no kind of quantity is called %q", owner, sf.Name, f.Kind))
	}
	t := sf.Type
	if t.Kind() == reflect.Pointer {
		f.Optional, t = true, t.Elem()
	}
	f.shape(t, isDirection, tag.Get("keyed"))
	if text, ok := tag.Lookup("range"); ok {
		f.limit(text, owner.String()+"."+sf.Name)
	}
	if hasDefault {
		var doc yaml.Node
		if err := yaml.Unmarshal([]byte(def), &doc); err != nil {
			panic(fmt.Sprintf("decode: %s.%s: default %q: %v", owner, sf.Name, def, err))
		}
		f.ready = doc.Content[0]
		f.value = reflect.New(t).Elem()
		r := reader{rec: newRecord("")}
		r.form(f, f.ready, key, f.value)
		if len(r.list) > 0 {
			panic(fmt.Sprintf("decode: %s.%s: default %q: %s", owner, sf.Name, def, r.list[0].Message))
		}
	}
	return f
}

func words(tag string) []string {
	if tag == "" {
		return nil
	}
	return strings.Split(tag, "|")
}

var spanType = reflect.TypeFor[Span]()

// shape finds the form from the Go type.
func (f *Field) shape(t reflect.Type, isDirection bool, keyed string) {
	if reflect.PointerTo(t).Implements(spanType) {
		f.Form = Triple
		return
	}
	switch t.Kind() {
	case reflect.String:
		f.Form = Text
	case reflect.Bool:
		f.Form = Truth
	case reflect.Int:
		f.Form = Whole
	case reflect.Float64:
		f.Form = Number
	case reflect.Struct:
		f.Form, f.Group = Group, describe(t)
	case reflect.Array:
		if isDirection {
			f.Form = Direction
			return
		}
		f.Form, f.Length, f.Elem = Series, t.Len(), f.element(t.Elem())
	case reflect.Slice:
		f.Form, f.Elem = Series, f.element(t.Elem())
		if keyed != "" {
			sf, ok := t.Elem().FieldByName(keyed)
			if !ok {
				panic(fmt.Sprintf("decode: %s has no field %q for the key", t.Elem(), keyed))
			}
			f.Form, f.keyIndex = Keyed, sf.Index
		}
	case reflect.Map:
		f.Form, f.Elem = ByAxis, f.element(t.Elem())
	default:
		panic(fmt.Sprintf("decode: no form for the type %s", t))
	}
}

// element describes one element of a list: it has the list's kind, choices and parts.
func (f *Field) element(t reflect.Type) *Field {
	e := &Field{Doc: f.Doc, Kind: f.Kind, Choices: f.Choices, Parts: f.Parts}
	e.shape(t, false, "")
	return e
}

// limit reads the range tag.
func (f *Field) limit(text, owner string) {
	low, high, found := strings.Cut(text, "..")
	lo, err1 := f.number(low)
	hi, err2 := f.number(high)
	if !found || err1 != nil || err2 != nil || !(lo <= hi) {
		panic(fmt.Sprintf("decode: %s: range %q: %v %v", owner, text, err1, err2))
	}
	f.Limits = &Limits{Low: lo, High: hi, LowText: low, HighText: high}
	for e := f.Elem; e != nil; e = e.Elem {
		e.Limits = f.Limits
	}
}

// number reads a number of the field's kind.
func (f *Field) number(text string) (float64, error) {
	if f.Kind == "" {
		return quantity.ParseNumber(text)
	}
	return quantity.Parse(text, f.Kind)
}
