package decode

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strconv"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"spanwright/diag"
)

// MaxSize is the largest file that is read, in bytes.
const MaxSize = 1 << 20

// maxDepth is how many groups and lists may be inside each other.
const maxDepth = 40

// Codes of the mistakes for which a file is not read at all.
const (
	FileSize     diag.Code = "file-size"
	FileEncoding diag.Code = "file-encoding"
	FileEmpty    diag.Code = "file-empty"
	TabFound     diag.Code = "tab"
	Syntax       diag.Code = "yaml-syntax"
	Alias        diag.Code = "yaml-alias"
	Tag          diag.Code = "yaml-tag"
	Merge        diag.Code = "yaml-merge"
	Documents    diag.Code = "yaml-documents"
	Depth        diag.Code = "yaml-depth"
	OddKey       diag.Code = "yaml-key"
	DuplicateKey diag.Code = "duplicate-key"
)

// Tree returns the root of the one document in the text, with nothing in it that
// is not in the subset described on top. The root is nil after a mistake that
// makes reading on pointless; repeated keys are reported and kept.
func Tree(file string, text []byte) (*yaml.Node, diag.List) {
	r := &reader{rec: newRecord(file)}
	root := r.parse(text)
	return root, r.finished()
}

func (r *reader) parse(text []byte) *yaml.Node {
	text = bytes.TrimPrefix(text, []byte("\xEF\xBB\xBF"))
	if d, bad := r.unreadable(text); bad {
		r.list.Add(d)
		return nil
	}
	dec := yaml.NewDecoder(bytes.NewReader(text))
	var doc, next yaml.Node
	err := dec.Decode(&doc)
	switch {
	case errors.Is(err, io.EOF) || err == nil && len(doc.Content) == 1 && isNull(doc.Content[0]):
		r.list.Add(diag.Diagnostic{Pos: diag.Pos{File: r.rec.File}, Code: FileEmpty, Message: "the file is empty"})
		return nil
	case err != nil:
		r.list.Add(syntaxError(r.rec.File, text, err))
		return nil
	}
	if err := dec.Decode(&next); !errors.Is(err, io.EOF) {
		if err != nil {
			r.list.Add(syntaxError(r.rec.File, text, err))
			return nil
		}
		r.list.Add(diag.Diagnostic{Pos: r.pos(&next), Code: Documents, Message: "a second document begins here; one file holds one", Hint: `remove the line "---" or move what follows to its own file`})
		return nil
	}
	if r.refuse(doc.Content[0], "", 1); len(r.list) > 0 {
		r.list, r.naming = nil, true // once more, with the paths that only mistakes need
		r.refuse(doc.Content[0], "", 1)
	}
	for _, d := range r.list {
		if d.Code != DuplicateKey {
			return nil
		}
	}
	return doc.Content[0]
}

// unreadable finds what no reader of text should have to cope with.
func (r *reader) unreadable(text []byte) (diag.Diagnostic, bool) {
	d := diag.Diagnostic{Pos: diag.Pos{File: r.rec.File}}
	if len(text) > MaxSize {
		d.Code = FileSize
		d.Message = fmt.Sprintf("the file is longer than %d bytes, the most that are read", MaxSize)
		return d, true
	}
	if at := flaw(text); at >= 0 {
		d.Pos = r.posAt(text, at)
		d.Code, d.Message, d.Hint = FileEncoding, "the text is not UTF-8", "save the file as UTF-8"
		if c, size := utf8.DecodeRune(text[at:]); c != utf8.RuneError || size > 1 {
			d.Message, d.Hint = fmt.Sprintf("the text holds the control character U+%04X", c), "remove it"
		}
		return d, true
	}
	if at := bytes.IndexByte(text, '\t'); at >= 0 {
		d.Pos, d.Code = r.posAt(text, at), TabFound
		d.Message, d.Hint = "there is a tab here", "use spaces instead of tabs"
		return d, true
	}
	return d, false
}

// flaw returns the index of the first byte that is not UTF-8 or belongs to a
// control character other than a tab or the end of a line, or -1.
func flaw(text []byte) int {
	for i := 0; i < len(text); {
		c, size := rune(text[i]), 1
		if c >= utf8.RuneSelf {
			c, size = utf8.DecodeRune(text[i:])
		}
		if c == utf8.RuneError && size == 1 || c < ' ' && c != '\n' && c != '\r' && c != '\t' || c >= 0x7f && c < 0xa0 || c == 0x2028 || c == 0x2029 || c == 0xFEFF {
			return i
		}
		i += size
	}
	return -1
}

func (r *reader) posAt(text []byte, at int) diag.Pos {
	start := bytes.LastIndexByte(text[:at], '\n') + 1
	return diag.Pos{File: r.rec.File, Line: 1 + bytes.Count(text[:at], []byte("\n")), Column: 1 + utf8.RuneCount(text[start:at])}
}

// refuse walks the tree and reports what is not in the subset that is read.
func (r *reader) refuse(n *yaml.Node, path string, depth int) {
	switch {
	case r.full():
		return
	case depth > maxDepth:
		r.list.Add(r.at(n, path, Depth, fmt.Sprintf("more than %d levels inside each other", maxDepth), ""))
		return
	case n.Kind == yaml.AliasNode:
		r.list.Add(r.at(n, path, Alias, "aliases (*name) are not allowed", "write the value out"))
		return
	case n.Anchor != "":
		r.list.Add(r.at(n, path, Alias, "anchors (&name) are not allowed", "remove &"+clip(n.Anchor)))
		return
	case n.Style&yaml.TaggedStyle != 0:
		r.list.Add(r.at(n, path, Tag, "tags ("+clip(n.Tag)+") are not allowed", "remove the tag"))
		return
	case n.Kind == yaml.MappingNode:
		r.refuseKeys(n, path, depth)
	case n.Kind == yaml.SequenceNode:
		for i, c := range n.Content {
			at := ""
			if r.naming {
				at = Item(path, i)
			}
			r.refuse(c, at, depth+1)
		}
	}
}

// refuseKeys reports keys that are no words and keys that occur again, and goes
// on with the values.
func (r *reader) refuseKeys(n *yaml.Node, path string, depth int) {
	keys := newKeySet(len(n.Content) / 2)
	for i := 0; i+1 < len(n.Content) && !r.full(); i += 2 {
		key, value := n.Content[i], n.Content[i+1]
		at := ""
		if r.naming {
			at = Join(path, key.Value)
		}
		was := keys.find(key.Value)
		switch {
		case key.Kind == yaml.AliasNode || key.Anchor != "" || key.Style&yaml.TaggedStyle != 0:
			r.refuse(key, path, depth)
		case key.Kind != yaml.ScalarNode || key.Value == "":
			r.list.Add(r.at(key, path, OddKey, "a key must be one word", ""))
		case key.Value == "<<":
			r.list.Add(r.at(key, path, Merge, "merge keys (<<) are not allowed", "write the keys out"))
		case was != nil:
			r.list.Add(r.at(key, at, DuplicateKey, "is written twice; the first is on line "+strconv.Itoa(was.Line), "remove one of the two"))
		default:
			keys.add(key)
		}
		r.refuse(value, at, depth+1)
	}
}

// keySet finds keys that were seen before. Few keys are compared one by one,
// which is quicker than a map.
type keySet struct {
	few  []*yaml.Node
	many map[string]*yaml.Node
}

// fewKeys is up to how many keys are compared one by one.
const fewKeys = 16

func newKeySet(n int) *keySet {
	if n <= fewKeys {
		return &keySet{few: make([]*yaml.Node, 0, n)}
	}
	return &keySet{many: make(map[string]*yaml.Node, n)}
}

func (s *keySet) find(key string) *yaml.Node {
	if s.many != nil {
		return s.many[key]
	}
	for _, k := range s.few {
		if k.Value == key {
			return k
		}
	}
	return nil
}

func (s *keySet) add(key *yaml.Node) {
	if s.many != nil {
		s.many[key.Value] = key
		return
	}
	s.few = append(s.few, key)
}
