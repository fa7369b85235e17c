package design

import (
	"os"
	"testing"
	"time"
	"unicode/utf8"
)

// FuzzParse: no text makes Parse panic or hang, every mistake has a place and a
// code, and a text without mistakes can be edited.
func FuzzParse(f *testing.F) {
	for _, name := range []string{"testdata/portal.yaml", "testdata/trays.yaml"} {
		text, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text)
	}
	for _, text := range []string{
		"", "a", "? ", "- - -", "{a: [*b, &c d]}", "\ufeffspanwright: 1", "a: |+2\n   b\n\n", "a: 'b\n\n  c'\n", "a: {b: c, d: [e, {f: }]}\n",
		"spanwright: 1\naxes: {x: , y: {direction: [1, 2, 3]}}\n", "assumptions: {damping: 1..2..3}\r\nstand:\r\n  nodes: {a.b: {at: [1 m, 1 m, 1 m]}}\r\n",
	} {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		begin := time.Now()
		d, list := Parse("f", text)
		for _, m := range list {
			if m.Code == "" || m.Message == "" || m.File != "f" {
				t.Errorf("%#v", m)
			}
			if m.Line > 0 && m.Column < 1 || m.Line < 0 {
				t.Errorf("%v has no place", m)
			}
			if !utf8.ValidString(m.String()) {
				t.Errorf("%q is no text", m.String())
			}
		}
		d.Defaults()
		for _, path := range d.File.Paths() {
			d.File.Where(path)
		}
		edited, err := d.File.Apply(Edit{Path: "meta.note", Value: "edited"})
		if err == nil && len(list) == 0 {
			if again, list := Parse("f", edited); list.Err() != nil || again.Meta.Note != "edited" {
				t.Errorf("edited it reads %q, %v", again.Meta.Note, list)
			}
		}
		// Ten thousand times what a whole design takes; the machine may be busy.
		if spent := time.Since(begin); spent > 10*time.Second {
			t.Errorf("took %v", spent)
		}
	})
}
