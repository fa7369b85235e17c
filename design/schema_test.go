package design

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"spanwright/decode"
)

var update = flag.Bool("update", false, "write the generated pages")

// generated compares a page with what the program makes of it today.
func generated(t *testing.T, name string, want []byte) {
	t.Helper()
	path := filepath.Join("..", "docs", "reference", name)
	if *update {
		if err := os.WriteFile(path, want, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), string(got)); diff != "" {
		t.Errorf("%s is not current, run go test ./design -update:\n%s", path, diff)
	}
}

func TestReferencePageIsCurrent(t *testing.T) { generated(t, "design-file.md", Reference()) }

func compiledSchema(t testing.TB) *jsonschema.Schema {
	t.Helper()
	text, err := Schema()
	if err != nil {
		t.Fatal(err)
	}
	document, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	c.DefaultDraft(jsonschema.Draft2020)
	if err := c.AddResource("design.json", document); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("design.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// plain returns the text as an editor sees it, and whether it can be read at all.
func plain(text []byte) (any, bool) {
	root, list := decode.Tree("f", text)
	if root == nil || len(list) > 0 {
		return nil, false
	}
	return decode.PlainValue(root), true
}

// judgement is what reading says about a text.
type judgement uint8

const (
	accepted judgement = iota
	beyond             // only mistakes that a schema cannot see
	refused
)

// judge reads the text. A schema cannot compare a quantity with its range or
// the three values of a range with each other.
func judge(text []byte) (judgement, error) {
	var d Design
	_, list := decode.Read("f", text, &d)
	out := accepted
	for _, m := range list {
		if m.Code != decode.OutOfRange && m.Code != decode.BadSpan {
			return refused, list.Err()
		}
		out = beyond
	}
	return out, list.Err()
}

// failing is what *testing.T and *rapid.T share.
type failing interface {
	Helper()
	Fatalf(format string, args ...any)
}

// agree fails where schema and reading differ about a text.
func agree(t failing, schema *jsonschema.Schema, text []byte) judgement {
	t.Helper()
	document, ok := plain(text)
	if !ok {
		t.Fatalf("cannot be read at all:\n%s", text)
	}
	j, mistakes := judge(text)
	err := schema.Validate(document)
	if j == accepted && err != nil {
		t.Fatalf("is read, but the schema says %v:\n%s", err, text)
	}
	if j == refused && err == nil {
		t.Fatalf("the schema accepts, but reading says\n%v\n%s", mistakes, text)
	}
	return j
}

func TestSchemaAcceptsTheExamples(t *testing.T) {
	schema := compiledSchema(t)
	files, err := filepath.Glob("../examples/*/*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range append(files, "testdata/portal.yaml") {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		document, ok := plain(text)
		if !ok || !bytes.Contains(text, []byte("\nspanwright: 1")) {
			continue // a part file
		}
		if _, list := Parse(file, text); list.Err() != nil {
			t.Error(list)
		}
		if err := schema.Validate(document); err != nil {
			t.Errorf("%s: %v", file, err)
		}
	}
}

// inPortal returns the text of the example with one piece replaced.
func inPortal(t testing.TB, old, new string) []byte {
	t.Helper()
	text, err := os.ReadFile("testdata/portal.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if n := bytes.Count(text, []byte(old)); n != 1 {
		t.Fatalf("%q stands %d times in the example, want once", old, n)
	}
	return bytes.Replace(text, []byte(old), []byte(new), 1)
}

func TestSchemaAgreesWithReading(t *testing.T) {
	schema := compiledSchema(t)
	tests := map[string]struct {
		old, new string
		want     judgement
	}{
		"other unit":                {"travel: 1.8 m", "travel: 70.5 in", accepted},
		"typeset unit":              {"jerk: 60 m/s3", "jerk: 60 m/s³", accepted},
		"wrong kind":                {"travel: 1.8 m", "travel: 450 kg", refused},
		"no unit":                   {"travel: 1.8 m", "travel: 1800", refused},
		"needless zero":             {"travel: 1.8 m", "travel: 01.8 m", refused},
		"too large an exponent":     {"travel: 1.8 m", "travel: 1e400 m", refused},
		"above the range":           {"travel: 1.8 m", "travel: 1800 m", beyond},
		"unknown key":               {"travel: 1.8 m", "travels: 1.8 m", refused},
		"missing key":               {"  foot: foot-m16-anchored\n", "", refused},
		"key without value":         {"    brake: hold-brake-4", "    brake:", refused},
		"group without value":       {"  second_means: locking pin\n", "  control:\n", accepted},
		"needed group without one":  {"legs: {count: 2, profile: profile-80x80-heavy}", "legs:", refused},
		"bare ratio":                {"floor_stiffness: 2e7 N/m..4e7 N/m..1e8 N/m", "tight: 0.9", accepted},
		"number in quotes":          {"      safety: 2", "      safety: '2'", refused},
		"plain number out of range": {"      safety: 2", "      safety: 20", beyond},
		"unit on a plain number":    {"      safety: 2", "      safety: 2 N", refused},
		"yes":                       {"anchored: yes", "anchored: 'yes'", accepted},
		"true in quotes":            {"anchored: yes", "anchored: 'true'", refused},
		"on":                        {"anchored: yes", "anchored: on", refused},
		"choice":                    {"dust: none", "dust: some", refused},
		"choice of a number":        {"floor_stiffness: 2e7 N/m..4e7 N/m..1e8 N/m", "reliability: 95", accepted},
		"choice of a text":          {"floor_stiffness: 2e7 N/m..4e7 N/m..1e8 N/m", "reliability: '95'", accepted},
		"choice of another number":  {"floor_stiffness: 2e7 N/m..4e7 N/m..1e8 N/m", "reliability: 94", refused},
		"count":                     {"legs: {count: 2, profile: profile-80x80-heavy}", "legs: {count: 5, profile: profile-80x80-heavy}", refused},
		"one value of a range":      {"floor_stiffness: 2e7 N/m..4e7 N/m..1e8 N/m", "floor_stiffness: 20 kN/mm", accepted},
		"keys of a range":           {"floor_stiffness: 2e7 N/m..4e7 N/m..1e8 N/m", "floor_stiffness: {low: 1e5 N/m, nominal: 2e5 N/m, high: 3e5 N/m}", accepted},
		"two keys of a range":       {"floor_stiffness: 2e7 N/m..4e7 N/m..1e8 N/m", "floor_stiffness: {low: 1e5 N/m, high: 3e5 N/m}", refused},
		"falling range":             {"floor_stiffness: 2e7 N/m..4e7 N/m..1e8 N/m", "floor_stiffness: 2e7 N/m..1e7 N/m..1e8 N/m", beyond},
		"word of a range":           {"floor_stiffness: 2e7 N/m..4e7 N/m..1e8 N/m", "joint_stiffness: family", accepted},
		"word of no range":          {"floor_stiffness: 2e7 N/m..4e7 N/m..1e8 N/m", "damping: family", refused},
		"direction in numbers":      {"direction: x\n", "direction: [1, 0, 0.0]\n", accepted},
		"direction of no length":    {"direction: x\n", "direction: [0, -0, 0.0]\n", refused},
		"direction in words":        {"direction: x\n", "direction: left\n", refused},
		"odd name":                  {"    table:       {x: 0.10 m, z: 0.55 m}", "    a table:     {x: 0.10 m, z: 0.55 m}", refused},
		"coordinate":                {"    table:       {x: 0.10 m, z: 0.55 m}", "    table:       {x: 0.10 m, z: 1}", refused},
		"empty list that is needed": {"spanwright: 1", "spanwright: 1\nparts: []", accepted},
		"null in a list":            {"spanwright: 1", "spanwright: 1\nparts: [~]", refused},
		"empty text":                {"machine: Honey crate portal", "machine: ' '", refused},
		"number for a text":         {"machine: Honey crate portal", "machine: 12", accepted},
		"date for a text":           {"machine: Honey crate portal", "machine: 2026-03-14", accepted},
		"group for a text":          {"machine: Honey crate portal", "machine: {a: 1}", refused},
		"another format":            {"spanwright: 1", "spanwright: 2", beyond},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			if got := agree(t, schema, inPortal(t, c.old, c.new)); got != c.want {
				t.Errorf("reading gives %d, want %d", got, c.want)
			}
		})
	}
}
