package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"spanwright/examples"
	"spanwright/internal/answer"
)

// answerSchema is the contract of the JSON answers.
func answerSchema(t *testing.T) *jsonschema.Schema {
	t.Helper()
	s, err := jsonschema.NewCompiler().Compile(filepath.Join("..", "..", "docs", "reference", "answer.schema.json"))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// output runs a command in this process.
func output(t *testing.T, args ...string) (stdout, stderr string, code int) {
	t.Helper()
	var out, err bytes.Buffer
	code = run(context.Background(), args, strings.NewReader(""), &out, &err)
	return out.String(), err.String(), code
}

// starter writes a starter design to a temporary folder and returns its path.
func starter(t *testing.T, s examples.Starter) string {
	t.Helper()
	dir := t.TempDir()
	if _, stderr, code := output(t, "new", dir, "--kind", s.Kind); code != exitDone {
		t.Fatalf("new --kind %s: exit %d, %s", s.Kind, code, stderr)
	}
	return filepath.Join(dir, starterName)
}

// TestAnswersKeepTheSchema runs one starter and two bad inputs through the
// command, and the assessments of all starters through the answer.
func TestAnswersKeepTheSchema(t *testing.T) {
	schema := answerSchema(t)
	bad := filepath.Join(t.TempDir(), "bad.yaml")
	if err := os.WriteFile(bad, []byte("spanwright: 1\nmachine: [\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	file := starter(t, examples.Starters[0])
	text, err := examples.Starters[0].Text()
	if err != nil {
		t.Fatal(err)
	}
	stiff, far := filepath.Join(t.TempDir(), "stiff.yaml"), filepath.Join(t.TempDir(), "far.yaml") // a target that nothing meets, travel that nothing has
	writeFile(t, stiff, strings.Replace(string(text), "first_frequency: 2.5 Hz", "first_frequency: 90 Hz", 1))
	writeFile(t, far, strings.NewReplacer("x: 1680 mm", "x: 21680 mm", "travel: 1.8 m", "travel: 21.8 m").Replace(string(text)))
	texts := map[string]string{}
	for _, args := range [][]string{
		{"check", bad, "--json"}, {"check", bad + ".gone", "--json"}, {"check", file, "--json"},
		{"check", file, "--json", "--only", "*.brake.*"}, {"explain", file, "tool.sag.variation", "--json"},
		{"improve", file, "--json"}, {"search", file, "--most", "2", "--json"},
		{"search", file, "--vary", "task.payload.mass=3 kg|three", "--json"},
		{"search", stiff, "--most", "2", "--json"}, {"search", far, "--most", "2", "--json"},
	} {
		stdout, _, _ := output(t, args...)
		texts[args[0]+" "+filepath.Base(args[1])+strings.Join(args[2:], " ")] = stdout
	}
	for _, s := range examples.Starters {
		a := judge(t, s)
		var b strings.Builder
		if err := answer.Write(&b, answer.OfCheck(a, a.Checks, s.File)); err != nil {
			t.Fatal(err)
		}
		texts[s.Kind] = b.String()
	}
	for name, want := range map[string]string{"stiff": `"path": "task.targets.first_frequency"`, "far": `"unrelaxed": {`} {
		if text := texts["search "+name+".yaml--most 2 --json"]; !strings.Contains(text, want) {
			t.Errorf("%s is not in the answer of %s:\n%.2000s", want, name, text)
		}
	}
	for name, text := range texts {
		t.Run(name, func(t *testing.T) {
			v, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
			if err != nil {
				t.Fatalf("it is no JSON: %v\n%.300s", err, text)
			}
			if err := schema.Validate(v); err != nil {
				t.Error(err)
			}
		})
	}
}

// TestSchemaRefuses: a schema that accepts everything would prove nothing.
func TestSchemaRefuses(t *testing.T) {
	schema := answerSchema(t)
	a := judge(t, examples.Starters[0])
	var text strings.Builder
	if err := answer.Write(&text, answer.OfCheck(a, a.Checks, starterName)); err != nil {
		t.Fatal(err)
	}
	broken := map[string]func(answer map[string]any){
		"another format":      func(a map[string]any) { a["format"] = 2.0 },
		"no results":          func(a map[string]any) { delete(a, "results") },
		"an unknown key":      func(a map[string]any) { a["reslts"] = a["results"] },
		"a verdict not known": func(a map[string]any) { first(a)["verdict"] = "fine" },
		"a passing unknown": func(a map[string]any) {
			first(a)["missing"], first(a)["verdict"] = "the belt", "ok"
		},
		"a pass without a value": func(a map[string]any) { first(a)["value"], first(a)["verdict"] = nil, "ok" },
		"a text for a number":    func(a map[string]any) { a["results"].(map[string]any)["mass_kg"] = "218 kg" },
		"a digest cut short":     func(a map[string]any) { a["design"].(map[string]any)["sha256"] = "2b42" },
	}
	for name, damage := range broken {
		t.Run(name, func(t *testing.T) {
			var found map[string]any
			if err := json.Unmarshal([]byte(text.String()), &found); err != nil {
				t.Fatal(err)
			}
			if err := schema.Validate(found); err != nil {
				t.Fatalf("before: %v", err)
			}
			damage(found)
			if schema.Validate(found) == nil {
				t.Error("the schema accepts it")
			}
		})
	}
}

func first(answer map[string]any) map[string]any {
	return answer["checks"].([]any)[0].(map[string]any)
}

// TestRepeatedAnswersAreEqual: map order, goroutines and the clock must not show.
func TestRepeatedAnswersAreEqual(t *testing.T) {
	file := starter(t, examples.Starters[0])
	one, _, _ := output(t, "check", file, "--json")
	two, _, _ := output(t, "check", file, "--json")
	if one != two {
		t.Error("two runs of check --json differ")
	}
}
