package diag

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

const text = "\uFEFFaxes:\n  z:\n    travel: 450 kg\n    brakes: none\n    name: \"é ü\" # höhe\n"

func source(file string) []byte {
	if file == "portal.yaml" {
		return []byte(text)
	}
	return nil
}

func at(line, column int) Pos { return Pos{File: "portal.yaml", Line: line, Column: column} }

func TestPrint(t *testing.T) {
	tests := map[string]struct {
		list List
		want string
	}{
		"nothing to say": {nil, ""},
		"value underlined": {List{{Pos: at(3, 13), Code: "unit-kind", Path: "axes.z.travel", Value: "450 kg", Message: "450 kg is a mass; a length is needed", Hint: `e.g. "450 mm"`}},
			`portal.yaml:3:13: error: axes.z.travel: 450 kg is a mass; a length is needed, e.g. "450 mm" [unit-kind]
    3 |     travel: 450 kg
      |             ^^^^^^
1 mistake, nothing was computed
`},
		"sorted, once each, key underlined": {List{
			{Pos: at(4, 5), Code: "unknown-key", Path: "axes.z.brakes", Message: "unknown key", Hint: `did you mean "brake"?`},
			{Pos: at(3, 13), Code: "unit-missing", Path: "axes.z.travel", Message: "a"},
			{Pos: at(4, 5), Code: "unknown-key", Path: "axes.z.brakes", Message: "unknown key", Hint: `did you mean "brake"?`},
		},
			`portal.yaml:3:13: error: axes.z.travel: a [unit-missing]
    3 |     travel: 450 kg
      |             ^^^
portal.yaml:4:5: error: axes.z.brakes: unknown key, did you mean "brake"? [unknown-key]
    4 |     brakes: none
      |     ^^^^^^
2 mistakes, nothing was computed
`},
		"code points count, quotes belong to the value": {List{{Pos: at(5, 11), Code: "name", Value: "é ü", Message: "odd"}},
			`portal.yaml:5:11: error: odd [name]
    5 |     name: "é ü" # höhe
      |           ^^^^^
1 mistake, nothing was computed
`},
		"no place": {List{{Pos: Pos{File: "gone.yaml"}, Code: "file-read", Message: "no such file"}},
			"gone.yaml: error: no such file [file-read]\n1 mistake, nothing was computed\n"},
		"place outside of the text": {List{{Pos: at(99, 1), Message: "a"}, {Pos: at(1, 99), Message: "b"}},
			"portal.yaml:1:99: error: b\nportal.yaml:99:1: error: a\n2 mistakes, nothing was computed\n"},
		"control characters are shown as such": {List{{Pos: Pos{File: "a\x1b[31m"}, Message: "b\nc\u202e"}},
			"a\uFFFD[31m: error: b\uFFFDc\uFFFD\n1 mistake, nothing was computed\n"},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			var b strings.Builder
			if err := c.list.Print(&b, source); err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(c.want, b.String()); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func TestLongLinesAreCut(t *testing.T) {
	line := strings.Repeat("a", 300) + "WRONG" + strings.Repeat("b", 300)
	d := Diagnostic{Pos: Pos{File: "x", Line: 1, Column: 301}, Value: "WRONG", Message: "m"}
	var b strings.Builder
	if err := (List{d}).Print(&b, func(string) []byte { return []byte(line) }); err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(b.String(), "\n")
	if len(lines[1]) > 120 {
		t.Errorf("the excerpt has %d letters", len(lines[1]))
	}
	from := strings.Index(lines[2], "^")
	if got := lines[1][from : strings.LastIndex(lines[2], "^")+1]; got != "WRONG" {
		t.Errorf("the carets stand under %q", got)
	}
}

func TestOnlyTheFirstFiftyArePrinted(t *testing.T) {
	var list List
	for i := range 61 {
		list.Add(Diagnostic{Pos: at(61-i, 1), Message: fmt.Sprint("mistake ", i)})
	}
	message := list.Err().Error()
	if n := strings.Count(message, "error: "); n != Limit {
		t.Errorf("%d are printed, want %d", n, Limit)
	}
	if !strings.HasSuffix(message, "\nand 11 more") {
		t.Errorf("the rest is not counted: %q", message[len(message)-40:])
	}
	if !strings.HasPrefix(message, "portal.yaml:1:1: error: mistake 60\n") {
		t.Errorf("the first line is not the first place: %q", message[:60])
	}
}

func TestJSON(t *testing.T) {
	list := List{
		{Pos: at(3, 13), Code: "unit-kind", Path: "axes.z.travel", Value: "450 kg", Message: "450 kg is a mass; a length is needed", Allowed: "a length, 1 mm to 30 m", Hint: `e.g. "450 mm"`},
		{Pos: Pos{File: "a.yaml"}, Code: "file-read", Message: "no such file"},
	}
	got, err := json.Marshal(struct {
		Diagnostics List `json:"diagnostics"`
		None        List `json:"none"`
	}{list, nil})
	want := `{"diagnostics":[{"file":"a.yaml","code":"file-read","message":"no such file"},` +
		`{"file":"portal.yaml","line":3,"column":13,"code":"unit-kind","path":"axes.z.travel","value":"450 kg",` +
		`"message":"450 kg is a mass; a length is needed","allowed":"a length, 1 mm to 30 m","hint":"e.g. \"450 mm\""}],"none":[]}`
	if diff := cmp.Diff(want, string(got)); diff != "" || err != nil {
		t.Error(err, diff)
	}
}

func TestEmptyListIsNoError(t *testing.T) {
	if err := (List{}).Err(); err != nil {
		t.Error(err)
	}
}
