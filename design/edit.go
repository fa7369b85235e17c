package design

import (
	"bytes"
	"fmt"
	"reflect"
	"strings"

	"go.yaml.in/yaml/v3"

	"spanwright/decode"
	"spanwright/diag"
)

// Edit changes one value in the text of a design.
type Edit struct {
	Path   string // e.g. axes.z.brake; [n+1] after a list of n appends to it
	Value  string // as it is to be written: one value, [...], {...}, or the lines of a block
	Remove bool   // take the key and its value out instead
}

// Apply returns the text with the edits made in order. Comments, order and
// layout of everything else stay as they are. A key that is not there yet is
// written where the description of the file has it, with the groups that hold
// it. Every result is read back and compared: the error says which edit cannot
// be made.
func (f *File) Apply(edits ...Edit) ([]byte, error) {
	body := bytes.TrimPrefix(f.Text, []byte(byteOrderMark))
	mark := f.Text[:len(f.Text)-len(body)]
	var root *yaml.Node
	for _, e := range edits {
		if root == nil {
			var list diag.List
			if root, list = decode.Tree(f.Name, body); root == nil {
				return nil, fmt.Errorf("edit %s: the text cannot be read: %w", e.Path, list.Err())
			}
		}
		var err error
		if body, root, err = e.apply(f.Name, body, root); err != nil {
			return nil, fmt.Errorf("edit %s: %w", e.Path, err)
		}
	}
	return append(bytes.Clone(mark), body...), nil
}

// apply makes one edit and proves that nothing else changed. It takes the tree of
// the text, which it spoils, and returns that of the new one.
func (e Edit) apply(name string, body []byte, root *yaml.Node) ([]byte, *yaml.Node, error) {
	var value yaml.Node
	if !e.Remove {
		if err := yaml.Unmarshal([]byte(e.Value), &value); err != nil || len(value.Content) != 1 {
			return nil, nil, fmt.Errorf("%q is not one value", e.Value)
		}
	}
	target, err := locate(root, e.Path)
	if err != nil {
		return nil, nil, err
	}
	l := newLayout(body)
	var out []byte
	switch {
	case e.Remove && len(target.rest) > 0:
		return body, root, nil
	case e.Remove:
		out, err = l.remove(target)
	case len(target.rest) > 0:
		out, err = l.insert(target, e.Value)
	default:
		out, err = l.replace(target, e.Value)
	}
	if err != nil {
		return nil, nil, err
	}
	after, list := decode.Tree(name, out)
	if after == nil {
		return nil, nil, fmt.Errorf("the layout does not allow it: %w", list.Err())
	}
	line := target.node.Line
	target.change(&value, e.Remove)
	if !sameTree(root, after) {
		return nil, nil, fmt.Errorf("the layout around line %d does not allow it", line)
	}
	return out, after, nil
}

const byteOrderMark = "\uFEFF"

// target is what a path leads to, or as far as it leads.
type target struct {
	node   *yaml.Node // the value, or the deepest one on the way to it
	parent *yaml.Node // what holds it; nil for the whole file
	key    *yaml.Node // its key, where the parent is a mapping
	index  int        // its place in the parent's content
	rest   []string   // steps that are missing: keys, or "[n]"
	about  *decode.Field
	group  *decode.Struct // description of the node where it is a group with known keys
}

// locate follows the path as far as it leads. Keys may hold dots; the longest
// key that fits wins.
func locate(root *yaml.Node, path string) (target, error) {
	t := target{node: root, group: decode.Describe(Design{})}
	rest := path
	for rest != "" {
		step, tail, err := t.step(rest)
		if err != nil {
			return t, err
		}
		if step < 0 {
			t.rest, err = steps(rest)
			for _, s := range t.rest[min(1, len(t.rest)):] {
				if err == nil && s[0] == '[' && s != "[1]" {
					err = fmt.Errorf("%q: a new list begins with [1]", path)
				}
			}
			return t, err
		}
		rest = tail
		t.enter(step)
	}
	if path == "" {
		return t, fmt.Errorf("the path is empty")
	}
	return t, nil
}

// step finds the next value on the path: its index in the node's content, or
// -1 where there is none, and the rest of the path.
func (t *target) step(path string) (int, string, error) {
	if number, tail, ok := index(path); ok {
		if t.node.Kind != yaml.SequenceNode {
			if isNothing(t.node) && number == 1 {
				return -1, "", nil
			}
			return -1, "", fmt.Errorf("%q stands after what is no list", path)
		}
		switch n := len(t.node.Content); {
		case number <= n:
			return number - 1, tail, nil
		case number == n+1:
			return -1, "", nil
		default:
			return -1, "", fmt.Errorf("%q: the list has %d entries", path, n)
		}
	}
	if t.node.Kind != yaml.MappingNode {
		if isNothing(t.node) {
			return -1, "", nil
		}
		return -1, "", fmt.Errorf("%q stands after what is no group", path)
	}
	best, tail := -1, ""
	for i := 0; i+1 < len(t.node.Content); i += 2 {
		key := t.node.Content[i].Value
		after, found := strings.CutPrefix(path, key)
		if !found || after != "" && after[0] != '.' && after[0] != '[' {
			continue
		}
		if best < 0 || len(key) > len(t.node.Content[best-1].Value) {
			best, tail = i+1, strings.TrimPrefix(after, ".")
		}
	}
	return best, tail, nil
}

// enter goes on to a value of the node.
func (t *target) enter(i int) {
	t.parent, t.node, t.index, t.key = t.node, t.node.Content[i], i, nil
	if t.parent.Kind == yaml.MappingNode {
		t.key = t.parent.Content[i-1]
		if t.group != nil {
			t.about = t.group.Field(t.key.Value)
			t.group = nil
		} else if t.about != nil {
			t.about = t.about.Elem
		}
	} else if t.about != nil {
		t.about = t.about.Elem
	}
	if t.about != nil && t.about.Form == decode.Group {
		t.group = t.about.Group
	}
}

func isNothing(n *yaml.Node) bool { return n.Kind == yaml.ScalarNode && n.Tag == "!!null" }

// index takes [n] off the path.
func index(path string) (n int, tail string, ok bool) {
	if !strings.HasPrefix(path, "[") {
		return 0, "", false
	}
	digits, tail, closed := strings.Cut(path[1:], "]")
	if !closed || len(digits) > 6 {
		return 0, "", false
	}
	for _, c := range digits {
		if c < '0' || c > '9' {
			return 0, "", false
		}
		n = 10*n + int(c-'0')
	}
	return n, strings.TrimPrefix(tail, "."), n > 0
}

// steps cuts the missing rest of a path at its dots.
func steps(path string) ([]string, error) {
	var out []string
	for path != "" {
		if _, tail, ok := index(path); ok {
			out = append(out, path[:strings.Index(path, "]")+1])
			path = tail
			continue
		}
		end := strings.IndexAny(path, ".[")
		if end < 0 {
			end = len(path)
		}
		if end == 0 || !decode.IsName(path[:end]) {
			return nil, fmt.Errorf("%q is no path", path)
		}
		out = append(out, path[:end])
		path = strings.TrimPrefix(path[end:], ".")
	}
	return out, nil
}

// change makes the edit in the tree.
func (t *target) change(document *yaml.Node, remove bool) {
	if remove {
		t.take()
		return
	}
	value := document.Content[0]
	for i := len(t.rest) - 1; i >= 0; i-- {
		step := t.rest[i]
		inner := value
		var key *yaml.Node
		if step[0] != '[' {
			key = &yaml.Node{Kind: yaml.ScalarNode, Value: step}
		}
		if i == 0 && !isNothing(t.node) {
			if key != nil {
				t.node.Content = append(t.node.Content, key)
			}
			t.node.Content = append(t.node.Content, inner)
			return
		}
		value = &yaml.Node{Kind: yaml.SequenceNode, Content: []*yaml.Node{inner}}
		if key != nil {
			value = &yaml.Node{Kind: yaml.MappingNode, Content: []*yaml.Node{key, inner}}
		}
	}
	*t.node = *value
}

// take removes the value and its key; a group left empty becomes nothing.
func (t *target) take() {
	first := t.index
	if t.key != nil {
		first--
	}
	t.parent.Content = append(t.parent.Content[:first:first], t.parent.Content[t.index+1:]...)
}

// sameTree tells whether two trees hold the same, however they are written. The
// order of keys in a group counts only where the group has free names, so it is
// compared as a set. An empty group or list is as good as nothing.
func sameTree(a, b *yaml.Node) bool { return reflect.DeepEqual(content(a), content(b)) }

func content(n *yaml.Node) any {
	switch n.Kind {
	case yaml.MappingNode:
		if len(n.Content) == 0 {
			return nil
		}
		out := map[string]any{}
		for i := 0; i+1 < len(n.Content); i += 2 {
			out[n.Content[i].Value] = content(n.Content[i+1])
		}
		return out
	case yaml.SequenceNode:
		if len(n.Content) == 0 {
			return nil
		}
		out := make([]any, len(n.Content))
		for i, c := range n.Content {
			out[i] = content(c)
		}
		return out
	}
	return decode.PlainValue(n)
}
