package main

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/spf13/cobra"

	"spanwright/assess"
	"spanwright/examples"
	"spanwright/internal/project"
	"spanwright/ledger"
)

// commandsPage writes the reference of the commands from their help texts.
func commandsPage() string {
	var b strings.Builder
	b.WriteString(`# Commands

<!-- made from the program by "go test ./cmd/... -update"; do not edit -->

Results go to stdout and nothing else does; progress, notes and mistakes go to stderr. With ` + "`--json`" + ` the result is one
object, also where it consists of mistakes: see [answers](answers.md).

| exit | meaning |
| ---: | --- |
| 0 | nothing is over its limit, or the command did what it was asked |
| 1 | something is over its limit |
| 2 | the input cannot be used; what to mend stands on stderr |
| 3 | a fault of the program or of the system |
| 130 | interrupted |
`)
	for _, help := range helpTexts() {
		fmt.Fprintf(&b, "\n## %s\n\n```text\n%s```\n", help.name, help.text)
	}
	return b.String()
}

// helpTexts are what --help prints, in the order of the commands.
func helpTexts() (out []helpRow) {
	var visit func(cmd *cobra.Command)
	visit = func(cmd *cobra.Command) {
		var text bytes.Buffer
		cmd.SetOut(&text)
		printHelp(cmd)
		out = append(out, helpRow{cmd.CommandPath(), text.String()})
		for _, c := range cmd.Commands() {
			if c.IsAvailableCommand() {
				visit(c)
			}
		}
	}
	visit(newApp(strings.NewReader(""), io.Discard, io.Discard).root())
	return out
}

// kindSeen is a kind of check as an example shows it.
type kindSeen struct {
	ledger.Check
	in string // the example
}

// checksPage writes the reference of the checks from the ledgers of the examples.
func checksPage(t *testing.T) string {
	t.Helper()
	kinds := map[string]kindSeen{}
	for _, s := range examples.Starters {
		for _, c := range judge(t, s).Checks {
			if _, seen := kinds[c.Kind]; !seen {
				kinds[c.Kind] = kindSeen{c, filepath.Dir(s.File)}
			}
		}
	}
	var list []kindSeen
	for _, k := range kinds {
		list = append(list, k)
	}
	slices.SortFunc(list, func(a, b kindSeen) int {
		return cmp.Or(cmp.Compare(slices.Index(groups, a.Group), slices.Index(groups, b.Group)), strings.Compare(a.Kind, b.Kind))
	})
	var b strings.Builder
	b.WriteString(checksHead)
	group := ""
	for _, k := range list {
		if k.Group != group {
			group = k.Group
			fmt.Fprintf(&b, "\n## %s\n", group)
		}
		writeKind(&b, k)
	}
	return b.String()
}

// groups is the order of the page.
var groups = []string{"task", "axis", "pair", "joint", "stand", "tool", "carrier", "stop", "safety", "build"}

const checksHead = `# Checks

<!-- made from the ledgers of the examples by "go test ./cmd/... -update"; do not edit -->

Every kind of check that the examples go through, with its formula, its limit and its source. The id of a check is its kind
with the design's own names in it: ` + "`axis.brake.hold`" + ` of an axis named z is ` + "`axis.z.brake.hold`" + `. Utilisation is demand over capacity,
also for a limit that must not be fallen short of. "spanwright explain FILE ID" shows a check with the numbers of a design.
`

func writeKind(b *strings.Builder, k kindSeen) {
	fmt.Fprintf(b, "\n### %s\n\n%s; %s.\n\n", k.Kind, sentenceCase(k.Title), limitWords(k.Check))
	w := k.Working
	switch {
	case w.Solver && w.Formula != w.Source:
		fmt.Fprintf(b, "- how: %s\n", w.Formula)
	case !w.Solver && w.Formula != "":
		fmt.Fprintf(b, "- formula: `%s`\n", w.Formula)
	}
	for _, in := range w.Inputs {
		if !w.Solver && !slices.Contains(symbol.FindAllString(w.Formula, -1), in.Symbol) {
			continue // told along, not part of the sum
		}
		unit := ""
		if in.Unit != "" {
			unit = ", " + in.Unit
		}
		fmt.Fprintf(b, "  - `%s` %s%s\n", in.Symbol, plainName(in.Name), unit)
	}
	fmt.Fprintf(b, "- source: %s\n", ownPart.ReplaceAllString(w.Source, "the part"))
	if k.Caution != "" {
		fmt.Fprintf(b, "- caution: %s\n", k.Caution)
	}
	fmt.Fprintf(b, "- seen in: %s\n", k.in)
}

var (
	symbol  = regexp.MustCompile(`\pL[\pL\pN_]*`)
	ownPart = regexp.MustCompile(`\bpart [a-z0-9]+(-[a-z0-9]+)+`) // a part that the example names
	ownSpot = regexp.MustCompile(` of block \d+|, [\d.]+ s into the cycle`)
)

// plainName leaves out where in the example a number was found.
func plainName(name string) string {
	for _, mark := range []string{" (", ", at ", ": ", "; "} {
		name, _, _ = strings.Cut(name, mark)
	}
	return strings.TrimRight(ownSpot.ReplaceAllString(name, ""), ",")
}

func sentenceCase(s string) string {
	r := []rune(s)
	return strings.ToUpper(string(r[:1])) + string(r[1:])
}

// limitWords says what kind of limit a check has.
func limitWords(c ledger.Check) string {
	switch {
	case c.Working.Counted && c.Working.Solver:
		return "a rule that is met or not"
	case c.Limit != c.Limit:
		return "no limit"
	case c.Sense == ledger.AtLeast:
		return "must be at least the limit"
	}
	return "must be at most the limit"
}

// judged keeps the assessments of the examples, since several tests read them.
var judged struct {
	sync.Mutex
	byKind map[string]*assess.Assessment
}

// examplesFolder is named in full, since some tests change the folder.
var examplesFolder, _ = filepath.Abs(filepath.Join(repository, "examples"))

// judge is the assessment of an example.
func judge(t *testing.T, s examples.Starter) *assess.Assessment {
	t.Helper()
	judged.Lock()
	defer judged.Unlock()
	if a := judged.byKind[s.Kind]; a != nil {
		return a
	}
	folder, name := filepath.Split(filepath.Join(examplesFolder, filepath.FromSlash(s.File)))
	p, list := project.Open(os.DirFS(folder), folder, name)
	if len(list) > 0 {
		t.Fatal(list)
	}
	a, err := assess.Run(context.Background(), p.Machine, assess.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if judged.byKind == nil {
		judged.byKind = map[string]*assess.Assessment{}
	}
	judged.byKind[s.Kind] = a
	return a
}

// TestExamplesPass: a starter begins without anything over its limit or unknown.
func TestExamplesPass(t *testing.T) {
	for _, s := range examples.Starters {
		t.Run(s.Kind, func(t *testing.T) {
			for _, c := range judge(t, s).Checks {
				if c.Verdict == ledger.Over || c.Verdict == ledger.Unknown {
					t.Errorf("%s is %s: %s", c.ID, c.Verdict, c.Missing)
				}
			}
		})
	}
}

// TestWorkingsCanBeRedone: the printed inputs and formula give the printed value.
func TestWorkingsCanBeRedone(t *testing.T) {
	for _, s := range examples.Starters {
		redone := 0
		for _, c := range judge(t, s).Checks {
			if c.Working.Solver || c.Missing != "" {
				continue
			}
			redone++
			v, err := c.Working.Evaluate()
			if err != nil {
				t.Errorf("%s: %v", c.ID, err)
				continue
			}
			// The inputs carry all their digits, so only rounding may differ.
			if tol := 1e-9 * math.Abs(c.Value); !(math.Abs(v-c.Value) <= tol) {
				t.Errorf("%s: %s gives %.12g, the check says %.12g", c.ID, c.Working.Formula, v, c.Value)
			}
		}
		if redone == 0 {
			t.Errorf("%s: no working was redone", s.Kind)
		}
	}
}
