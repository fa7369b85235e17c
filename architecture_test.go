// The tests of this folder hold what ARCHITECTURE.md and the documents promise.
package spanwright

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// allowed says for every package which of ours it may import. The arrow points
// from the surfaces to the engineering to the numbers, never back.
var allowed = map[string][]string{
	// Leaves: they know nothing of gantries and could stand alone.
	"diag": {}, "drawing": {}, "given": {}, "ledger": {}, "material": {}, "mathml": {}, "motion": {}, "quantity": {}, "sparse": {},
	"frame":                 {"sparse"},
	"section":               {"section/internal/fe", "section/internal/mesh"},
	"section/internal/fe":   {"section/internal/mesh"},
	"section/internal/mesh": {},
	"clearance":             {},
	"glb":                   {},
	"prism":                 {},
	"step":                  {"prism"},
	"urdf":                  {},

	// Formulas on plain structs: they know no design, no catalogue, no machine.
	"accuracy":  {"given"},
	"drive":     {"given", "motion", "quantity", "rolling", "section"},
	"equip":     {"given", "quantity"},
	"guide":     {"given", "rolling"},
	"joint":     {"given"},
	"rolling":   {"given"},
	"stand":     {"given", "quantity"},
	"tuning":    {"given"},
	"uncertain": {"given"},

	// What the user writes.
	"decode": {"diag", "quantity"},
	"design": {"decode", "diag", "quantity"},
	"parts":  {"decode", "diag", "material", "quantity", "section"},

	// The machine, its studies, the judgement.
	"machine":   {"clearance", "decode", "design", "diag", "equip", "parts", "prism", "section"},
	"structure": {"design", "drive", "frame", "internal/crew", "joint", "machine", "motion", "quantity"},
	"assess": {
		"accuracy", "clearance", "design", "diag", "drive", "equip", "frame", "given", "guide", "internal/crew", "joint", "ledger", "machine", "motion",
		"parts", "quantity", "rolling", "section", "stand", "structure", "uncertain",
	},
	"search": {
		"assess", "clearance", "decode", "design", "diag", "drive", "equip", "ledger", "machine", "motion", "parts", "quantity", "search/front",
		"structure", "uncertain",
	},
	"search/front": {},
	"search/page":  {"quantity", "search"},
	"improve":      {"assess", "design", "internal/crew", "ledger", "machine", "motion", "parts", "quantity", "structure"},

	// Surfaces: they read an assessment and compute no engineering.
	"nest":    {},
	"asbuilt": {"accuracy", "assess", "decode", "design", "diag", "drive", "equip", "given", "machine", "structure", "uncertain"},
	"pack": {
		"asbuilt", "assess", "design", "drawing", "drive", "glb", "ledger", "machine", "motion", "nest", "prism", "report",
		"step", "stl", "structure", "tuning", "urdf", "wording",
	},
	"app":        {},
	"serve/view": {"assess", "decode", "ledger", "machine", "mathml", "parts", "prism", "structure", "wording"},
	"serve": {
		"decode", "design", "diag", "examples", "improve", "internal/answer", "internal/project", "internal/release", "pack", "parts",
		"quantity", "serve/document", "serve/jobs", "serve/judging", "serve/variant", "serve/view", "structure",
	},
	"serve/document":      {"internal/atomicfile"},
	"serve/jobs":          {},
	"serve/judging":       {"assess", "diag", "internal/project", "machine", "structure"},
	"serve/variant":       {"serve/document"},
	"report":              {"mathml"},
	"stl":                 {},
	"wording":             {"ledger", "quantity"},
	"examples":            {},
	"internal/answer":     {"assess", "diag", "improve", "internal/release", "ledger", "search"},
	"internal/atomicfile": {},
	"internal/crew":       {},
	"internal/project":    {"decode", "design", "diag", "machine", "parts"},
	"internal/release":    {},
	"internal/screen":     {"asbuilt", "assess", "frame", "improve", "ledger", "quantity", "search", "section", "wording"},
	"cmd/spanwright": {
		"app", "asbuilt", "assess", "decode", "design", "diag", "examples", "frame", "improve", "internal/answer", "internal/atomicfile", "internal/project",
		"internal/release", "internal/screen", "ledger", "pack", "parts", "search", "search/page", "section", "structure", "serve",
	},

	// The outside world.
	"verification":         {"accuracy", "asbuilt", "drawing", "drive", "equip", "frame", "glb", "guide", "joint", "motion", "quantity", "prism", "rolling", "section", "stand", "step", "structure", "tuning", "uncertain", "urdf"},
	"verification/solvers": {"frame"},
}

// module is the name that imports of ours begin with.
const module = "spanwright/"

// source is what a package's own files say, without its tests.
type source struct {
	imports  []string // ours, sorted
	comments []string // files with a package comment
}

// packages reads every package of the module by its folder.
func packages(t *testing.T) map[string]*source {
	t.Helper()
	found := map[string]*source{}
	err := filepath.WalkDir(".", func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && (d.Name() == "testdata" || name != "." && strings.HasPrefix(d.Name(), ".")):
			return filepath.SkipDir
		case d.IsDir() || !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go"):
			return nil
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ImportsOnly|parser.ParseComments)
		if err != nil {
			return err
		}
		folder := path.Dir(filepath.ToSlash(name))
		if found[folder] == nil {
			found[folder] = &source{}
		}
		found[folder].read(name, file)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return found
}

func (s *source) read(name string, file *ast.File) {
	if file.Doc != nil && hasText(file.Doc) {
		s.comments = append(s.comments, name)
	}
	for _, i := range file.Imports {
		imported, err := strconv.Unquote(i.Path.Value)
		if own, ours := strings.CutPrefix(imported, module); err == nil && ours && !slices.Contains(s.imports, own) {
			s.imports = append(s.imports, own)
		}
	}
	slices.Sort(s.imports)
}

// hasText tells a comment from directives such as //go:build.
func hasText(c *ast.CommentGroup) bool { return strings.TrimSpace(c.Text()) != "" }

func TestImports(t *testing.T) {
	found := packages(t)
	for folder, s := range found {
		may, listed := allowed[folder]
		if !listed {
			t.Errorf("%s: say in the table what it may import", folder)
			continue
		}
		for _, i := range s.imports {
			if !slices.Contains(may, i) {
				t.Errorf("%s imports %s: the arrow points the other way", folder, i)
			}
		}
	}
	for folder := range allowed {
		if found[folder] == nil {
			t.Errorf("%s stands in the table and nowhere else", folder)
		}
	}
}

// TestArrowsDoNotTurnBack: the table itself must have no circle and no leaf
// that knows of gantries.
func TestArrowsDoNotTurnBack(t *testing.T) {
	var reaches func(from, to string, seen map[string]bool) bool
	reaches = func(from, to string, seen map[string]bool) bool {
		for _, next := range allowed[from] {
			if next == to || !seen[next] && func() bool { seen[next] = true; return reaches(next, to, seen) }() {
				return true
			}
		}
		return false
	}
	for folder := range allowed {
		if reaches(folder, folder, map[string]bool{}) {
			t.Errorf("%s reaches itself", folder)
		}
	}
	for _, leaf := range []string{"quantity", "diag", "drawing", "sparse", "frame", "section", "motion", "ledger"} {
		for _, gantry := range []string{"design", "parts", "machine", "structure", "assess"} {
			if reaches(leaf, gantry, map[string]bool{}) {
				t.Errorf("%s reaches %s", leaf, gantry)
			}
		}
	}
	for _, formula := range []string{"drive", "guide", "joint", "stand", "equip"} {
		for _, owner := range []string{"design", "parts", "machine"} {
			if reaches(formula, owner, map[string]bool{}) {
				t.Errorf("%s reaches %s", formula, owner)
			}
		}
	}
}

func TestEveryPackageHasOneComment(t *testing.T) {
	for folder, s := range packages(t) {
		if len(s.comments) != 1 {
			t.Errorf("%s has %d package comments %v, want one that says what it computes, what not, and its units", folder, len(s.comments), s.comments)
		}
	}
}

// TestMapIsComplete: every package that may be imported stands on the map, and
// nothing else does.
func TestMapIsComplete(t *testing.T) {
	text, err := os.ReadFile("ARCHITECTURE.md")
	if err != nil {
		t.Fatal(err)
	}
	_, table, _ := strings.Cut(string(text), "\n## Packages\n")
	table, _, _ = strings.Cut(table, "\n## ")
	onMap := map[string]bool{}
	for line := range strings.Lines(table) {
		cells := strings.Split(line, "|")
		if len(cells) < 3 {
			continue // not of the table
		}
		for i, word := range strings.Split(cells[1], "`") {
			if i%2 == 1 {
				onMap[word] = true
			}
		}
	}
	for folder := range allowed {
		inner := strings.Contains(folder, "/internal/") // a matter of the package around it
		if !inner && !onMap[folder] {
			t.Errorf("ARCHITECTURE.md has no line for %s", folder)
		}
		delete(onMap, folder)
	}
	for word := range onMap {
		t.Errorf("ARCHITECTURE.md has a line for %s, which is no package", word)
	}
}
