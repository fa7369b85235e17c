package frame

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

// tree is a JSON value with its place in the text.
type tree struct {
	kind   byte // '{', '[', '"', '0', 't' (true, false), 'n' (null)
	text   string
	number float64
	keys   []string // of an object, in order; a key given twice appears twice
	values []tree   // of an object or array
	offset int64
}

// describe names the value in a message.
func (t *tree) describe() string {
	switch t.kind {
	case '{':
		return "an object"
	case '[':
		return fmt.Sprintf("a list of %d", len(t.values))
	case '"':
		return strconv.Quote(shorten(t.text))
	default:
		return shorten(t.text)
	}
}

func shorten(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return s
}

// maxDepth is the nesting at which reading stops; the form needs 5.
const maxDepth = 20

// parser builds a tree from JSON text.
type parser struct {
	*json.Decoder
	text []byte
}

// parse reads one JSON value and refuses anything after it.
func parse(text []byte) (*tree, *Problem) {
	p := parser{json.NewDecoder(bytes.NewReader(text)), text}
	p.UseNumber()
	t, err := p.value(0)
	if err == nil {
		if _, more := p.Token(); more != io.EOF {
			err = errors.New("something follows the end of the model; one JSON object is needed")
		}
	}
	if err == nil {
		return t, nil
	}
	offset := p.InputOffset()
	message := "is not JSON: " + err.Error()
	var syntax *json.SyntaxError
	var whole any
	switch again := json.Unmarshal(text, &whole); { // which knows the place better than the decoder
	case errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF):
		message = "is not JSON: the text ends too early"
		offset = int64(len(text))
	case errors.As(again, &syntax) && errors.As(err, new(*json.SyntaxError)):
		offset = syntax.Offset - 1
		message = "is not JSON: " + syntax.Error()
	}
	line, column := lineColumn(text, offset)
	return nil, &Problem{Value: "the model", Message: message, Line: line, Column: column}
}

func (p *parser) value(depth int) (*tree, error) {
	if depth > maxDepth {
		return nil, fmt.Errorf("nested deeper than %d", maxDepth)
	}
	token, err := p.Token()
	if err != nil {
		return nil, err
	}
	t := &tree{offset: p.InputOffset()}
	switch v := token.(type) {
	case json.Delim:
		t.kind = byte(v)
		t.offset--
		for p.More() {
			if v == '{' {
				key, err := p.Token()
				if err != nil {
					return nil, err
				}
				t.keys = append(t.keys, key.(string)) // the decoder lets only strings be keys
			}
			child, err := p.value(depth + 1)
			if err != nil {
				return nil, err
			}
			t.values = append(t.values, *child)
		}
		_, err = p.Token()
		return t, err
	case json.Number:
		t.kind, t.text = '0', v.String()
		t.number, err = v.Float64()
		if err != nil { // too large for a double
			t.number = math.Inf(1)
		}
		t.offset -= int64(len(t.text))
	case string:
		t.kind, t.text = '"', v
		t.offset -= int64(len(v)) + 2 // exact but for escapes
	case bool:
		t.kind, t.text = 't', strconv.FormatBool(v)
		t.offset -= int64(len(t.text))
	default:
		t.kind, t.text = 'n', "null"
		t.offset -= 4
	}
	return t, nil
}

// find returns the offset of what a problem of a model speaks of: the key, else the entry, else the list.
func (t *tree) find(p Problem) int64 {
	list := t.child(p.List)
	if list == nil {
		return t.offset
	}
	for i := range list.values {
		e := &list.values[i]
		if id := e.child("id"); place(i) != p.ID && (id == nil || id.text != p.ID) {
			continue
		}
		if v := e.child(p.Key); v != nil {
			return v.offset
		}
		return e.offset
	}
	return list.offset
}

// child returns the value of a key of an object, nil if there is none. Of keys like k[2] and ends.from.ry the first
// part is looked up.
func (t *tree) child(key string) *tree {
	if cut := strings.IndexAny(key, "[."); cut > 0 {
		key = key[:cut]
	}
	for i, k := range t.keys {
		if k == key {
			return &t.values[i]
		}
	}
	return nil
}

// lineColumn counts lines and columns (code points) from 1.
func lineColumn(text []byte, offset int64) (line, column int) {
	at := min(max(offset, 0), int64(len(text)))
	before := text[:at]
	line = 1 + bytes.Count(before, []byte{'\n'})
	start := bytes.LastIndexByte(before, '\n') + 1
	return line, 1 + len([]rune(string(before[start:])))
}
