package section

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// Mistake is one thing wrong in an outline file.
type Mistake struct {
	Line    int    `json:"line"`   // from 1
	Column  int    `json:"column"` // from 1, in characters
	Path    string `json:"path"`   // such as outer[3] or t_slot.wall; empty for the whole file
	Value   string `json:"value,omitempty"`
	Message string `json:"message"`
	Hint    string `json:"hint,omitempty"`
}

// FileError lists all mistakes of an outline file in order of place.
type FileError struct{ Mistakes []Mistake }

func (e *FileError) Error() string {
	lines := make([]string, len(e.Mistakes))
	for i, m := range e.Mistakes {
		lines[i] = fmt.Sprintf("%d:%d: error: ", m.Line, m.Column)
		if m.Path != "" {
			lines[i] += m.Path + ": "
		}
		lines[i] += m.Message
		if m.Hint != "" {
			lines[i] += "; " + m.Hint
		}
	}
	return strings.Join(lines, "\n")
}

// node is a JSON value with its place in the file.
type node struct {
	kind  string // object, list, number, text, truth, nothing
	text  string // of a number or text
	truth bool
	at    int // byte offset
	path  string
	items []*node
	keys  []member // in order, repeated keys included
}

type member struct {
	name  string
	at    int
	value *node
}

// deepest is the nesting beyond which a file is no outline.
const deepest = 12

var errDeep = errors.New("nested too deep for an outline file")

// parseTree reads one JSON value with places; the standard decoder gives the
// tokens and judges the grammar.
func parseTree(src []byte) (*node, *Mistake) {
	t := treeParser{src: src, dec: json.NewDecoder(bytes.NewReader(src))}
	t.dec.UseNumber()
	root, err := t.value("", 0)
	if err == nil {
		if _, more := t.token(); more != io.EOF {
			err = errors.New("something follows the end of the object")
		}
	}
	if err == nil {
		return root, nil
	}
	at := t.start
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		at, err = len(src), errors.New("the file ends too early")
	}
	m := Mistake{Message: "this is not JSON: " + strings.TrimPrefix(err.Error(), "json: ")}
	m.Line, m.Column = lineColumn(src, at)
	return nil, &m
}

type treeParser struct {
	src   []byte
	dec   *json.Decoder
	start int // offset of the token read last
}

// skip returns the offset of the next token at or after at.
func (t *treeParser) skip(at int) int {
	for at < len(t.src) && strings.IndexByte(" \t\r\n,:", t.src[at]) >= 0 {
		at++
	}
	return at
}

func (t *treeParser) token() (json.Token, error) {
	t.start = t.skip(int(t.dec.InputOffset()))
	return t.dec.Token()
}

func (t *treeParser) value(path string, depth int) (*node, error) {
	tok, err := t.token()
	if err != nil {
		return nil, err
	}
	n := &node{at: t.start, path: path}
	if depth > deepest {
		return nil, errDeep
	}
	switch v := tok.(type) {
	case json.Delim:
		if v == '{' {
			return n, t.object(n, depth)
		}
		return n, t.list(n, depth)
	case json.Number:
		n.kind, n.text = "number", v.String()
	case string:
		n.kind, n.text = "text", v
	case bool:
		n.kind, n.truth = "truth", v
	default:
		n.kind = "nothing"
	}
	return n, nil
}

func (t *treeParser) object(n *node, depth int) error {
	n.kind = "object"
	for t.dec.More() {
		tok, err := t.token()
		if err != nil {
			return err
		}
		name, at := tok.(string), t.start
		path := name
		if n.path != "" {
			path = n.path + "." + name
		}
		v, err := t.value(path, depth+1)
		if err != nil {
			return err
		}
		n.keys = append(n.keys, member{name, at, v})
	}
	_, err := t.token()
	return err
}

func (t *treeParser) list(n *node, depth int) error {
	n.kind = "list"
	for t.dec.More() {
		v, err := t.value(fmt.Sprintf("%s[%d]", n.path, len(n.items)), depth+1)
		if err != nil {
			return err
		}
		n.items = append(n.items, v)
	}
	_, err := t.token()
	return err
}

// lineColumn counts lines by line feeds and columns by characters, both from 1.
func lineColumn(src []byte, at int) (line, column int) {
	at = min(at, len(src))
	before := src[:at]
	line = 1 + bytes.Count(before, []byte{'\n'})
	return line, 1 + utf8.RuneCount(before[bytes.LastIndexByte(before, '\n')+1:])
}
