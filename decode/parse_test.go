package decode

import (
	"bytes"
	"strings"
	"testing"
	"time"
)

// box is a small description for the tests of reading as such.
type box struct {
	Name string   `yaml:"name" doc:"its name"`
	Mass float64  `yaml:"mass" is:"mass" range:"0 kg..50 kg" doc:"its mass"`
	Tags []string `yaml:"tags" doc:"words"`
	Lid  *lid     `yaml:"lid" doc:"its lid"`
}

type lid struct {
	Width float64 `yaml:"width" is:"length" required:"true" doc:"its width"`
	Open  bool    `yaml:"open" default:"no" from:"closed unless said" doc:"is it open"`
}

func TestRefusedAsAWhole(t *testing.T) {
	tests := map[string]struct{ text, want string }{
		"nothing":           {"", "f: error: the file is empty [file-empty]"},
		"only a comment":    {"# hello\n", "f: error: the file is empty [file-empty]"},
		"only a null":       {"~\n", "f: error: the file is empty [file-empty]"},
		"too large":         {strings.Repeat("#", MaxSize+1), "f: error: the file is longer than 1048576 bytes, the most that are read [file-size]"},
		"not UTF-8":         {"name: \"\xff\"\n", "f:1:8: error: the text is not UTF-8, save the file as UTF-8 [file-encoding]"},
		"NUL":               {"mass: 1 kg\nname: a\x00b\n", "f:2:8: error: the text holds the control character U+0000, remove it [file-encoding]"},
		"escape":            {"name: é\x1b[2J\n", "f:1:8: error: the text holds the control character U+001B, remove it [file-encoding]"},
		"BOM inside":        {"name: a\ufeffb\n", "f:1:8: error: the text holds the control character U+FEFF, remove it [file-encoding]"},
		"tab":               {"name: a\n\tmass: 1 kg\n", "f:2:1: error: there is a tab here, use spaces instead of tabs [tab]"},
		"alias":             {"name: &a b\ntags: [*a]\n", "f:1:7: error: name: anchors (&name) are not allowed, remove &a [yaml-alias]\nf:2:8: error: tags[1]: aliases (*name) are not allowed, write the value out [yaml-alias]"},
		"anchor on a key":   {"&a name: b\n", "f:1:1: error: anchors (&name) are not allowed, remove &a [yaml-alias]"},
		"merge":             {"<<: {name: b}\n", "f:1:1: error: merge keys (<<) are not allowed, write the keys out [yaml-merge]"},
		"tag":               {"name: !!str b\n", "f:1:7: error: name: tags (!!str) are not allowed, remove the tag [yaml-tag]"},
		"own tag":           {"lid: !lid {width: 1 m}\n", "f:1:6: error: lid: tags (!lid) are not allowed, remove the tag [yaml-tag]"},
		"second document":   {"name: a\n---\nname: b\n", "f:2:1: error: a second document begins here; one file holds one, remove the line \"---\" or move what follows to its own file [yaml-documents]"},
		"odd key":           {"? [a, b]\n: c\n", "f:1:3: error: a key must be one word [yaml-key]"},
		"too deep":          {"name: " + strings.Repeat("[", 60) + strings.Repeat("]", 60), "f:1:46: error: name" + strings.Repeat("[1]", 39) + ": more than 40 levels inside each other [yaml-depth]"},
		"indentation":       {"name: a\nlid:\n    width: 1 m\n  open: yes\nmass: 1 kg\n", "f:4:3: error: this line does not fit what stands around it, align it with its neighbours, and close every quote and bracket [yaml-syntax]"},
		"second colon":      {"mass: 1 kg\nname: a: b\n", "f:2:1: error: a second colon on this line makes no sense here, put a text that holds \": \" in quotes, and begin each key on its own line [yaml-syntax]"},
		"no colon":          {"name: a\nmass 1 kg\ntags: [a]\n", "f:2:1: error: this line is no key with a value, write it as \"key: value\" [yaml-syntax]"},
		"bracket left open": {"name: a\ntags: [a, b\nmass: 1 kg\n", "f:2:1: error: the list in [ ] is not closed, or a comma is missing [yaml-syntax]"},
		"brace left open":   {"name: a\nlid: {width: 1 m\nmass: 1 kg\n", "f:2:1: error: the group in { } is not closed, or a comma is missing [yaml-syntax]"},
		"quote left open":   {"name: 'a\nmass: 1 kg\n", "f:1:1: error: the quote that begins here is not closed [yaml-syntax]"},
		"per cent first":    {"mass: 1 kg\nname: %a\n", "f:2:1: error: a value cannot begin with this character, put the value in quotes [yaml-syntax]"},
		"not a mapping":     {"- a\n", "f:1:1: error: is a list of 1; a group of keys is needed, its keys are name, mass, tags, lid [value-shape]"},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			var b box
			_, list := Read("f", []byte(c.text), &b)
			if got := list.Error(); got != c.want {
				t.Errorf("got\n%s\nwant\n%s", got, c.want)
			}
		})
	}
}

func TestByteOrderMarkIsTolerated(t *testing.T) {
	var b box
	rec, list := Read("f", []byte("\ufeffmass: 2 kg\r\nname: crate\r\n"), &b)
	if len(list) > 0 || b.Mass != 2 || b.Name != "crate" {
		t.Errorf("%+v, %v", b, list)
	}
	if at := rec.Where("mass"); at.Line != 1 || at.Column != 7 {
		t.Errorf("mass stands at %v, want 1:7", at)
	}
}

// TestHostileTextIsRefusedQuickly: two seconds are a hundred times what the
// slowest needs here.
func TestHostileTextIsRefusedQuickly(t *testing.T) {
	bomb := "a: &a [x,x,x,x,x,x,x,x,x]\n"
	for c := 'b'; c < 'k'; c++ {
		bomb += string(c) + ": &" + string(c) + " [" + strings.Repeat("*"+string(c-1)+",", 8) + "*" + string(c-1) + "]\n"
	}
	long := strings.Repeat("abcdefghijklmnopqrstuvwxyz0123456789", 20000)
	tests := map[string]string{
		"aliases of aliases": bomb,
		"brackets":           strings.Repeat("[", MaxSize),
		"braces":             strings.Repeat("{", MaxSize),
		"brackets and keys":  strings.Repeat("{a: [", MaxSize/5),
		"question marks":     strings.Repeat("? ", MaxSize/2),
		"dashes":             strings.Repeat("- ", MaxSize/2),
		"unknown keys":       unknownKeys(),
		"one long key":       long + ": 1\n",
		"one long value":     "name: " + long,
		"colons":             strings.Repeat(":", MaxSize),
		"many lines, broken": strings.Repeat("name: a\n", MaxSize/16) + "b: c: d\n" + strings.Repeat("name: a\n", MaxSize/17),
		"steps":              steps(),
		"quotes":             strings.Repeat("'", MaxSize),
		"long tags":          "name: !<" + long + "> a\n",
		"comments":           strings.Repeat("#\n", MaxSize/2-8) + "name: a\n",
	}
	for name, text := range tests {
		t.Run(name, func(t *testing.T) {
			begin := time.Now()
			var b box
			Read("f", []byte(text), &b)
			if spent := time.Since(begin); spent > 2*time.Second {
				t.Errorf("took %v", spent)
			} else {
				t.Log(spent)
			}
		})
	}
}

func unknownKeys() string {
	var b bytes.Buffer
	for i := 0; b.Len() < MaxSize-30; i++ {
		b.WriteString("nam" + strings.Repeat("e", i%20) + string(rune('a'+i%26)) + strings.Repeat("x", i%7) + ": 1\n")
	}
	return b.String()
}

// steps indents every line further than the last.
func steps() string {
	var b bytes.Buffer
	for i := 0; b.Len() < MaxSize-2000; i++ {
		b.WriteString(strings.Repeat(" ", i) + "a:\n")
	}
	return b.String()
}
