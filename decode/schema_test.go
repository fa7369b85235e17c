package decode

import (
	"bytes"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/santhosh-tekuri/jsonschema/v6"
)

func rigSchema(t *testing.T) *jsonschema.Schema {
	t.Helper()
	text, err := Schema(Describe(rig{}), Heading{ID: "urn:test:rig", Title: "Rig", Doc: "A rig."})
	if err != nil {
		t.Fatal(err)
	}
	document, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("rig.json", document); err != nil {
		t.Fatal(err)
	}
	schema, err := c.Compile("rig.json")
	if err != nil {
		t.Fatal(err)
	}
	return schema
}

func TestSchemaAcceptsWhatIsRead(t *testing.T) {
	schema := rigSchema(t)
	for name, c := range rightTexts {
		root, list := Tree("f", []byte(shortest+c.text+"\n"))
		if list.Err() != nil {
			t.Fatal(name, list)
		}
		if err := schema.Validate(PlainValue(root)); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// TestSchemaRefusesWhatIsRefused, but for what a schema cannot see: quantities
// out of range, keys that occur again, and how a number is spelled.
func TestSchemaRefusesWhatIsRefused(t *testing.T) {
	schema := rigSchema(t)
	unseen := []string{"[range]", "[duplicate-key]", "do not rise", "is not a decimal number"}
	refused := 0
	for name, c := range wrongTexts {
		root, _ := Tree("f", []byte(shortest+c.text+"\n"))
		err := schema.Validate(PlainValue(root))
		seen := true
		for _, u := range unseen {
			seen = seen && !strings.Contains(c.want, u)
		}
		if err == nil && seen {
			t.Errorf("%s is accepted: %s", name, c.text)
		}
		if err != nil {
			refused++
		}
	}
	if refused < 40 {
		t.Errorf("only %d texts are refused", refused)
	}
}

func TestPlainValueFollowsTheCoreRules(t *testing.T) {
	root, list := Tree("f", []byte(`[~, yes, true, "true", 1, +1, -1.5, .5, 1e3, 1., 007, 0x10, 2026-03-14, 1 m, '1', {a: }, [], 1_000]`))
	if list.Err() != nil {
		t.Fatal(list)
	}
	document, err := jsonschema.UnmarshalJSON(strings.NewReader(`[null, "yes", true, "true", 1, 1, -1.5, 0.5, 1e3, 1, 7, 16, "2026-03-14", "1 m", "1", {"a": null}, [], "1_000"]`))
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(document, PlainValue(root)); diff != "" {
		t.Error(diff)
	}
}

func TestReference(t *testing.T) {
	got := string(Reference(Describe(box{}), Heading{Title: "Boxes", Doc: "A file of one box."}))
	want := `# Boxes

A file of one box.

## The file

The whole file.

| key | written as | when absent | meaning |
| --- | --- | --- | --- |
| ` + "`name`" + ` | a text |  | its name |
| ` + "`mass`" + ` | a mass, 0 kg to 50 kg |  | its mass |
| ` + "`tags`" + ` | a list: a text |  | words |
| ` + "`lid`" + ` | a group, see below |  | its lid |

### ` + "`lid`" + `

Its lid.

| key | written as | when absent | meaning |
| --- | --- | --- | --- |
| ` + "`width`" + ` | a length | refused | its width |
| ` + "`open`" + ` | yes or no | ` + "`no`" + ` (closed unless said) | is it open |

## Quantities
`
	if !strings.HasPrefix(got, want) {
		t.Error(cmp.Diff(want, got))
	}
}

func TestWrongTagsPanic(t *testing.T) {
	tests := map[string]any{
		"kind": struct {
			A float64 `yaml:"a" is:"colour"`
		}{},
		"range": struct {
			A float64 `yaml:"a" is:"length" range:"1 kg..2 kg"`
		}{},
		"range that falls": struct {
			A float64 `yaml:"a" range:"2..1"`
		}{},
		"default": struct {
			A float64 `yaml:"a" is:"length" default:"5 kg"`
		}{},
		"default out of range": struct {
			A float64 `yaml:"a" range:"1..2" default:"5"`
		}{},
		"key twice": struct {
			A, B float64 `yaml:"a"`
		}{},
		"type": struct {
			A complex128 `yaml:"a"`
		}{},
		"keyed": struct {
			A []lid `yaml:"a" keyed:"ID"`
		}{},
	}
	for name, v := range tests {
		t.Run(name, func(t *testing.T) {
			defer func() {
				if recover() == nil {
					t.Error("was accepted")
				}
			}()
			Describe(v)
		})
	}
}
