package design

import (
	"bytes"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"spanwright/decode"
)

// mistake is an entry of the page of diagnostics. Replacing the mended text by
// the broken one in the named example must give the code and nothing else.
type mistake struct {
	code           string
	meaning        string
	in             string // "portal" or "trays"
	mended, broken string
	more           bool // other mistakes follow from it
}

// mistakes lists every code, in the order of the page.
var mistakes = []struct {
	title   string
	entries []mistake
}{
	{"The file as a whole", []mistake{
		{"file-read", "The file is not there or cannot be opened. The message gives the reason of the system.", "", "", "", false},
		{"file-size", "The file is larger than 1 MiB. A design is a few hundred lines; this is something else.", "", "", "", false},
		{"file-empty", "Nothing but comments is in the file. `spanwright new` writes a design to start from.", "", "", "", false},
		{"file-encoding", "The text is not UTF-8, or holds a control character. Save it as UTF-8 text.", "", "", "", false},
		{"tab", "YAML indents by spaces, and a tab looks like some number of them.", "portal", "  rate: 9 1/min", "\trate: 9 1/min", false},
		{"yaml-syntax", "The text is not YAML: indentation, a quote, a bracket or a colon is wrong. The line is the first with which the text stops making sense; the slip may be on the line before.", "portal", "  rate: 9 1/min", "   rate: 9 1/min", false},
		{"yaml-depth", "More than 40 groups and lists are inside each other. No design needs that.", "", "", "", false},
		{"yaml-alias", "YAML can name a value with & and repeat it with *. Such files are hard to read and can be made to grow without bound, so they are not read.", "portal", "travel: 1.8 m", "travel: &long 1.8 m", false},
		{"yaml-merge", "YAML can take the keys of one group into another with <<. Write the keys out.", "portal", "  rate: 9 1/min", "  <<: {rate: 9 1/min}", false},
		{"yaml-tag", "A value has a YAML tag. The design file says itself what kind each value is.", "portal", "travel: 1.8 m", "travel: !!str 1.8 m", false},
		{"yaml-documents", "A file holds one design. `---` begins another document.", "portal", "task:\n  payload:", "---\ntask:\n  payload:", false},
		{"yaml-key", "A key is a list, a group or nothing; it must be one word.", "portal", "  rate: 9 1/min", "  rate: 9 1/min\n  [a, b]: 1", false},
		{"too-many", "More than 500 mistakes. The file is probably not a design, and the rest of it was not read.", "", "", "", false},
	}},
	{"Keys", []mistake{
		{"unknown-key", "There is no such key in this group. The nearest one is named; a key that belongs in another group is said to.", "portal", "    brake: hold-brake-4", "    brakes: hold-brake-4", false},
		{"duplicate-key", "A key is written twice in one group. The place of the first is in the message.", "portal", "    travel: 0.7 m", "    travel: 0.7 m\n    travel: 0.8 m", false},
		{"missing-key", "A key without which nothing can be computed is not there.", "portal", "    travel: 0.7 m\n", "", false},
		{"missing-value", "Nothing stands after a key. Write the value, or remove the line.", "portal", "    travel: 0.7 m", "    travel:", false},
		{"name", "A name that you chose holds something other than letters, digits and - _ . between them, or is longer than 60.", "portal", "    table:       {x", "    the table:   {x", true},
	}},
	{"Values", []mistake{
		{"value-shape", "One value stands where a list or a group is needed, or the other way round.", "portal", "size: [400 mm, 300 mm, 220 mm]", "size: 400 mm", false},
		{"list-length", "A list has too many or too few values.", "portal", "size: [400 mm, 300 mm, 220 mm]", "size: [400 mm, 300 mm]", false},
		{"text", "A text is very long or holds a control character.", "portal", "creator: packing line", `creator: "packing\x07 line"`, false},
		{"choice", "The word is not among those that are allowed here.", "portal", "    moves: body", "    moves: bodies", false},
		{"yes-no", "Only yes, no, true and false answer this.", "portal", "  anchored: yes", "  anchored: on", false},
		{"range", "The number is outside of the range that makes sense. The range stands on the page of the design file.", "portal", "travel: 1.8 m", "travel: 1800 m", false},
		{"whole-number", "A count is needed.", "portal", "clamps_per_side: 2", "clamps_per_side: 2.5", false},
		{"direction", "A direction is a word such as x or -z, or three numbers that are not all 0.", "portal", "    direction: -z", "    direction: down", false},
		{"span", "A value with its range is one value, `low..nominal..high`, or the three keys low, nominal, high; the three must rise.", "portal", "2e7 N/m..4e7 N/m..1e8 N/m", "4e7 N/m..2e7 N/m..1e8 N/m", false},
	}},
	{"Numbers and units", []mistake{
		{"number", "What stands there does not read as a number: it has another base, an underscore, a needless zero, an exponent of three digits, or no digit at all.", "portal", "mass: 12 kg", "mass: twelve kg", false},
		{"decimal-comma", "The decimal sign is the point; there is no sign between thousands.", "portal", "    table:       {x: 0.10 m, z: 0.55 m}\n", "    table:\n      x: 0,10 m\n      z: 0.55 m\n", false},
		{"unit-missing", "The number has no unit where one is needed. Even 0 needs one.", "portal", "travel: 1.8 m", "travel: 1800", false},
		{"unit-unknown", "No unit has this name. Capitals count: mm, not MM.", "portal", "travel: 1.8 m", "travel: 1800 MM", false},
		{"unit-kind", "The unit measures something else than what is asked for.", "portal", "travel: 1.8 m", "travel: 450 kg", false},
		{"unit-surplus", "The number has a unit where a plain number is needed.", "portal", "years: 10", "years: 10 d", false},
	}},
	{"Values that do not fit each other", []mistake{
		{"axis-count", "A gantry has two or three axes.", "portal", "\n  z:\n    direction: -z", "\n  w: {direction: y, facing: z, part: a, travel: 1 m, motor: b, limits: {speed: 1 m/s, acceleration: 1 m/s2}}\n  v: {direction: y, facing: z, part: a, travel: 1 m, motor: b, limits: {speed: 1 m/s, acceleration: 1 m/s2}}\n  z:\n    direction: -z", true},
		{"axis-name", "`stand` and `tool` say where a cable ends and cannot name an axis.", "trays", "\n  x:\n    direction: x", "\n  tool:\n    direction: x", true},
		{"axis-square", "Two axes point along each other or at a slant.", "portal", "    direction: -z            # the coordinate grows downwards\n    facing: y", "    direction: [1, 0, -1]\n    facing: y", false},
		{"facing", "The side of the beam on which its carriage sits must be square to the beam.", "portal", "direction: x\n    facing: -y", "direction: x\n    facing: x", false},
		{"pair-place", "Two runways carry the bridge; a further axis cannot be a pair.", "trays", "    travel: 1.6 m", "    travel: 1.6 m\n    pair: {spacing: 1 m, driven: two-motors}", false},
		{"pair-shaft", "`driven: shaft` needs the id of the line shaft, and a shaft needs `driven: shaft`.", "trays", "driven: shaft, shaft: shaft-30", "driven: two-motors, shaft: shaft-30", false},
		{"counterbalance-empty", "A counterbalance is a weight or a gas spring.", "trays", "{gas_spring: 120 N, gas_spring_most: 150 N}", "{ratio: 2}", false},
		{"range-order", "The smaller of two values must not be larger than the other.", "portal", "[12 degC, 32 degC]", "[32 degC, 12 degC]", false},
		{"unknown-axis", "There is no axis of this name.", "portal", "    x: {switch: 25 mm", "    y: {switch: 25 mm", false},
		{"coordinate", "A point needs a coordinate for each axis.", "portal", "    stack:       {x: 1.70 m, z: 0.65 m}", "    stack:       {x: 1.70 m}", false},
		{"unknown-point", "A step goes to a point that is not listed under `points`.", "portal", "{to: stack, loaded: yes, dwell: 0.30 s}", "{to: stac, loaded: yes, dwell: 0.30 s}", false},
		{"cable-end", "A cable ends on the stand, on an axis or at the tool.", "portal", "{name: z motor, to: x,", "{name: z motor, to: y,", false},
		{"stand-empty", "The stand is neither generated nor listed.", "trays", standOfTrays, "  foot: foot-m16-anchored\n", false},
		{"stand-supports", "A listed stand must stand on something.", "trays", "  supports: [a0, b0, c0, d0]\n", "", false},
		{"stand-carries", "A listed stand must say which member carries the first axis, and which two carry a pair.", "trays", "carries: [rail-front, rail-rear]", "carries: [rail-front]", false},
		{"unknown-node", "There is no node of this name.", "trays", "{from: a0, to: a1,", "{from: ao, to: a1,", true},
		{"unknown-member", "There is no member of this name.", "trays", "carries: [rail-front, rail-rear]", "carries: [rail-front, rail-back]", false},
		{"node-place", "Two nodes are in the same place. Members that meet there would not be joined.", "trays", "b1: {at: [1.8 m, -1.1 m, 2 m]}", "b1: {at: [-1.8 m, -1.1 m, 2 m]}", true},
		{"node-unused", "No member begins or ends at the node.", "trays", "  nodes:\n", "  nodes:\n    spare: {at: [0 m, 0 m, 1 m]}\n", false},
		{"member-length", "A member begins and ends in the same place.", "trays", "{from: a1, to: b1,", "{from: a1, to: a1,", false},
		{"named-twice", "A list names the same thing twice.", "trays", "supports: [a0, b0, c0, d0]", "supports: [a0, b0, c0, d0, a0]", false},
		{"part-file-place", "Part files lie in the folder of the design or below, and are named from there.", "portal", "machine: Honey crate portal", "machine: Honey crate portal\nparts: [../parts.csv]", false},
		{"part-file-kind", "Part files are CSV or YAML.", "portal", "machine: Honey crate portal", "machine: Honey crate portal\nparts: [parts.ods]", false},
		{"part-file-missing", "The part file is not there.", "", "", "", false},
	}},
}

// standOfTrays is the stand of the second example, without its key.
var standOfTrays = func() string {
	text, err := os.ReadFile("testdata/trays.yaml")
	if err != nil {
		panic(err)
	}
	_, after, _ := strings.Cut(string(text), "\nstand:\n")
	stand, _, _ := strings.Cut(after, "\nequipment:")
	return stand
}()

// broken returns the text of the example with the mistake in it.
func (m mistake) text(t *testing.T) []byte {
	t.Helper()
	text, err := os.ReadFile("testdata/" + m.in + ".yaml")
	if err != nil {
		t.Fatal(err)
	}
	if n := bytes.Count(text, []byte(m.mended)); n != 1 {
		t.Fatalf("%q stands %d times in %s, want once", m.mended, n, m.in)
	}
	return bytes.Replace(text, []byte(m.mended), []byte(m.broken), 1)
}

func TestEveryMistakeGivesItsCode(t *testing.T) {
	for _, section := range mistakes {
		for _, m := range section.entries {
			if m.in == "" {
				continue
			}
			t.Run(m.code, func(t *testing.T) {
				_, list := Parse(m.in+".yaml", m.text(t))
				found := false
				for _, d := range list {
					found = found || string(d.Code) == m.code
					if string(d.Code) != m.code && !m.more {
						t.Errorf("also %v", d)
					}
					if d.Line == 0 || d.Column == 0 {
						t.Errorf("no place: %v", d)
					}
				}
				if !found {
					t.Errorf("got %v", list)
				}
			})
		}
	}
}

func TestExamplesHaveNoMistakes(t *testing.T) {
	for _, name := range []string{"portal.yaml", "trays.yaml"} {
		if _, list := Load(os.DirFS("testdata"), name); list.Err() != nil {
			t.Error(list)
		}
	}
}

// declaredCodes reads the constants of a code type from the source of a package.
func declaredCodes(t *testing.T, dir string) []string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(dir, "*.go"))
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, file := range files {
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		tree, err := parser.ParseFile(token.NewFileSet(), file, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(tree, func(n ast.Node) bool {
			spec, ok := n.(*ast.ValueSpec)
			if !ok || len(spec.Values) != 1 || !isCode(spec.Type) {
				return true
			}
			if text, ok := spec.Values[0].(*ast.BasicLit); ok {
				code, err := strconv.Unquote(text.Value)
				if err != nil {
					t.Fatal(err)
				}
				out = append(out, code)
			}
			return true
		})
	}
	return out
}

func isCode(e ast.Expr) bool {
	switch x := e.(type) {
	case *ast.Ident:
		return x.Name == "Code"
	case *ast.SelectorExpr:
		return x.Sel.Name == "Code"
	}
	return false
}

func TestPageListsEveryCode(t *testing.T) {
	var declared, listed []string
	for _, dir := range []string{"../quantity", "../decode", "."} {
		declared = append(declared, declaredCodes(t, dir)...)
	}
	for _, section := range mistakes {
		for _, m := range section.entries {
			listed = append(listed, m.code)
		}
	}
	for _, code := range declared {
		if !slices.Contains(listed, code) {
			t.Errorf("%s is not on the page of diagnostics", code)
		}
	}
	for i, code := range listed {
		if !slices.Contains(declared, code) {
			t.Errorf("%s is on the page, but nothing reports it", code)
		}
		if slices.Index(listed, code) < i {
			t.Errorf("%s is on the page twice", code)
		}
	}
}

// furtherCodes begins the part of the page that other packages write.
const furtherCodes = "\n## Other files\n"

func TestDiagnosticsPageIsCurrent(t *testing.T) {
	var b strings.Builder
	b.WriteString("# Diagnostics\n\nA mistake in a file is reported with its place, its code in brackets, and mostly a hint. A code never changes its meaning.\n" +
		"All mistakes of a file are reported in one run, 50 of them in full; nothing is computed until they are mended.\n")
	for _, section := range mistakes {
		fmt.Fprintf(&b, "\n## %s\n", section.title)
		for _, m := range section.entries {
			m.describe(t, &b)
		}
	}
	path := filepath.Join("..", "docs", "reference", "diagnostics.md")
	if old, err := os.ReadFile(path); err == nil {
		if _, tail, found := strings.Cut(string(old), furtherCodes); found {
			b.WriteString(furtherCodes + tail)
		}
	}
	generated(t, "diagnostics.md", []byte(b.String()))
}

func (m mistake) describe(t *testing.T, b *strings.Builder) {
	fmt.Fprintf(b, "\n### `%s`\n\n%s\n", m.code, m.meaning)
	if m.in == "" {
		return
	}
	_, list := Parse(m.in+".yaml", m.text(t))
	for _, d := range list {
		if string(d.Code) == m.code {
			fmt.Fprintf(b, "\n```text\n%s\n```\n", d)
			break
		}
	}
	fmt.Fprintf(b, "\nBroken:\n\n```yaml\n%s\n```\n\nMended:\n\n```yaml\n%s\n```\n", shown(m.broken), shown(m.mended))
}

// shown cuts an example to what a reader needs.
func shown(text string) string {
	text = strings.ReplaceAll(strings.Trim(text, "\n"), "\t", "<tab>")
	if text == "" {
		return "# the key is not there"
	}
	lines := strings.Split(text, "\n")
	if len(lines) > 4 {
		lines = append(lines[:4], "  # and so on")
	}
	return strings.Join(lines, "\n")
}

// TestFileMistakes covers the codes that need a file system or a text that is
// too odd for the page.
func TestFileMistakes(t *testing.T) {
	folder := t.TempDir()
	write := func(name, text string) {
		path := filepath.Join(folder, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	link := func(target, name string) {
		if err := os.Symlink(target, filepath.Join(folder, name)); err != nil {
			t.Fatal(err)
		}
	}
	portal, err := os.ReadFile("testdata/portal.yaml")
	if err != nil {
		t.Fatal(err)
	}
	withParts := func(list string) string {
		return strings.Replace(string(portal), "machine: Honey crate portal", "machine: a\nparts: "+list, 1)
	}
	write("secret.csv", "")
	write("work/mine.csv", "")
	write("work/more/theirs.yaml", "")
	write("work/good.yaml", withParts("[mine.csv, more/theirs.yaml, inside.csv]"))
	link("more/theirs.yaml", "work/inside.csv")
	write("work/missing.yaml", withParts("[gone.csv]"))
	write("work/folder.yaml", withParts("[more.csv]"))
	if err := os.Mkdir(filepath.Join(folder, "work/more.csv"), 0o755); err != nil {
		t.Fatal(err)
	}
	write("work/above.yaml", withParts("[../secret.csv]"))
	write("work/absolute.yaml", withParts("[/etc/passwd.csv]"))
	write("work/backslash.yaml", withParts(`['..\secret.csv']`))
	write("work/leads-out.yaml", withParts("[out.csv]"))
	link("../secret.csv", "work/out.csv")
	write("work/leads-out-absolutely.yaml", withParts("[etc.csv]"))
	link("/etc/passwd", "work/etc.csv")
	write("work/folder-leads-out.yaml", withParts("[up/secret.csv]"))
	link("..", "work/up")
	write("work/circle.yaml", withParts("[round.csv]"))
	link("round.csv", "work/round.csv")
	write("work/empty.yaml", "# nothing\n")
	write("work/large.yaml", strings.Repeat("#", decode.MaxSize+1))
	write("work/binary.yaml", "machine: \x00\n")
	write("work/deep.yaml", "machine: "+strings.Repeat("[", 60)+strings.Repeat("]", 60)+"\n")
	write("work/many.yaml", "machine: ["+strings.Repeat("~,", 1000)+"]\nstand: {"+manyKeys(1000)+"}\n")

	for name, want := range map[string]string{
		"good": "", "missing": "part-file-missing", "folder": "part-file-missing", "above": "part-file-place", "absolute": "part-file-place",
		"backslash": "part-file-place", "leads-out": "part-file-place", "leads-out-absolutely": "part-file-place", "folder-leads-out": "part-file-place",
		"circle": "part-file-place", "empty": "file-empty", "large": "file-size", "binary": "file-encoding", "deep": "yaml-depth", "many": "too-many", "gone": "file-read",
	} {
		t.Run(name, func(t *testing.T) {
			d, list := Load(os.DirFS(folder), "work/"+name+".yaml")
			if d == nil || d.File == nil {
				t.Fatal("no design came back")
			}
			var codes []string
			for _, m := range list {
				codes = append(codes, string(m.Code))
			}
			switch {
			case want == "" && len(codes) > 0, want != "" && !slices.Contains(codes, want):
				t.Errorf("got %v, want %q", list, want)
			}
		})
	}
	if _, list := Load(fs.FS(os.DirFS(folder)), "../escape.yaml"); len(list) != 1 || list[0].Code != FileRead {
		t.Errorf("a name that leads out gives %v", list)
	}
}

func manyKeys(n int) string {
	var keys []string
	for i := range n {
		keys = append(keys, fmt.Sprintf("k%d: 1", i))
	}
	return strings.Join(keys, ", ")
}
