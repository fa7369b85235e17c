package main

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"spanwright/examples"
	"spanwright/internal/release"
	"spanwright/internal/screen"
)

// repository is the module's folder, seen from this package.
var repository = filepath.Join("..", "..")

// pages lists the documents whose blocks are run.
func pages(t *testing.T) (out []string) {
	t.Helper()
	err := filepath.WalkDir(repository, func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && (d.Name() == ".git" || d.Name() == "node_modules" || d.Name() == "testdata"):
			return filepath.SkipDir
		case strings.HasSuffix(name, ".md"):
			out = append(out, name)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// A document holds marked blocks, run in order in one folder that begins with
// the examples:
//
//	<!-- output: spanwright check a.yaml -->             the command and what it prints
//	<!-- output, exit 1, first 9 lines: spanwright … --> with another exit code, cut
//	<!-- file: a.yaml -->                                a file that the reader writes
//	<!-- change: a.yaml | old text | new text -->        an edit, shown in the words around it
//
// The first three are followed by a fenced block.
var block = regexp.MustCompile("(?s)<!-- (output|file|change)((?:, [^:]*?)?): (.*?) -->\n(?:(```[a-z]*\n)(.*?)(```\n))?")

// TestDocumentsShowWhatTheProgramPrints runs the blocks of every document.
func TestDocumentsShowWhatTheProgramPrints(t *testing.T) {
	for _, page := range pages(t) {
		text, err := os.ReadFile(page)
		if err != nil {
			t.Fatal(err)
		}
		if !block.Match(text) {
			continue
		}
		t.Run(filepath.ToSlash(page), func(t *testing.T) {
			abs, err := filepath.Abs(page)
			if err != nil {
				t.Fatal(err)
			}
			reader := newReader(t)
			now := block.ReplaceAllStringFunc(string(text), reader.follow)
			compare(t, abs, string(text), now)
		})
	}
}

// compare fails where a committed text differs, or writes it with -update.
func compare(t *testing.T, file, committed, now string) {
	t.Helper()
	if committed == now {
		return
	}
	if *update {
		if err := os.WriteFile(file, []byte(now), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	t.Errorf("%s is out of date; go test ./cmd/... -update rewrites it (-committed +now):\n%s",
		filepath.Base(file), cmp.Diff(strings.Split(committed, "\n"), strings.Split(now, "\n")))
}

// reader follows a document as a stranger would.
type reader struct{ t *testing.T }

func newReader(t *testing.T) *reader {
	t.Helper()
	t.Chdir(t.TempDir())
	for _, s := range examples.Starters {
		text, err := s.Text()
		if err != nil {
			t.Fatal(err)
		}
		writeFile(t, filepath.Join("examples", filepath.FromSlash(s.File)), string(text))
	}
	return &reader{t}
}

func writeFile(t *testing.T, name, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

// follow carries out one block and returns it as it should read.
func (r *reader) follow(found string) string {
	m := block.FindStringSubmatch(found)
	what, options, argument, open, body, end := m[1], m[2], m[3], m[4], m[5], m[6]
	switch what {
	case "file":
		writeFile(r.t, argument, body)
	case "change":
		r.change(argument)
	case "output":
		if open == "" {
			r.t.Fatalf("%q is followed by no fenced block", found)
		}
		return strings.TrimSuffix(found, open+body+end) + open + r.output(options, argument) + end
	}
	return found
}

func (r *reader) change(argument string) {
	words := strings.Split(argument, " | ")
	if len(words) != 3 {
		r.t.Fatalf("change: %q is not FILE | OLD | NEW", argument)
	}
	text, err := os.ReadFile(words[0])
	if err != nil {
		r.t.Fatal(err)
	}
	if n := strings.Count(string(text), words[1]); n != 1 {
		r.t.Fatalf("%q stands %d times in %s, want once", words[1], n, words[0])
	}
	writeFile(r.t, words[0], strings.Replace(string(text), words[1], words[2], 1))
}

// options of an output block.
var (
	exitOption  = regexp.MustCompile(`exit (\d+)`)
	firstOption = regexp.MustCompile(`first (\d+) lines`)
)

func (r *reader) output(options, command string) string {
	args := strings.Fields(command)
	if len(args) == 0 || args[0] != "spanwright" {
		r.t.Fatalf("%q is no command of this program", command)
	}
	for i := range args {
		args[i] = strings.Trim(args[i], "'")
	}
	stdout, stderr, code := output(r.t, args[1:]...)
	if want := option(exitOption, options, 0); code != want {
		r.t.Errorf("%s: exit %d, the document says %d\n%s", command, code, want, stderr)
	}
	text := "$ " + command + "\n" + stdout + stderr
	if n := option(firstOption, options, 0); n > 0 {
		lines := strings.SplitAfter(text, "\n")
		text = strings.Join(lines[:min(n, len(lines))], "")
	}
	return text
}

func option(pattern *regexp.Regexp, options string, otherwise int) int {
	m := pattern.FindStringSubmatch(options)
	if m == nil {
		return otherwise
	}
	n, err := strconv.Atoi(m[1])
	if err != nil {
		return otherwise
	}
	return n
}

// link finds relative links of Markdown.
var link = regexp.MustCompile(`\]\(([^)#:\s]+)(?:#[^)]*)?\)`)

// TestLinksLead: a relative link of a document leads to a file.
func TestLinksLead(t *testing.T) {
	for _, page := range pages(t) {
		text, err := os.ReadFile(page)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range link.FindAllStringSubmatch(string(text), -1) {
			if _, err := os.Stat(filepath.Join(filepath.Dir(page), filepath.FromSlash(m[1]))); err != nil {
				t.Errorf("%s: the link %s leads nowhere", page, m[1])
			}
		}
	}
}

// TestHelpNamesPagesThatExist: a document that a help text names is there.
func TestHelpNamesPagesThatExist(t *testing.T) {
	named := regexp.MustCompile(`docs/[a-z/-]+\.md`)
	for _, page := range named.FindAllString(commandsPage(), -1) {
		if _, err := os.Stat(filepath.Join(repository, filepath.FromSlash(page))); err != nil {
			t.Errorf("a help text names %s, which is not there", page)
		}
	}
}

// TestReferencePages: the generated pages say what the program is today.
func TestReferencePages(t *testing.T) {
	generated := map[string]func(*testing.T) string{
		"docs/reference/commands.md": func(*testing.T) string { return commandsPage() },
		"docs/checks.md":             checksPage,
	}
	for name, page := range generated {
		t.Run(name, func(t *testing.T) {
			file := filepath.Join(repository, filepath.FromSlash(name))
			committed, err := os.ReadFile(file)
			if err != nil && !*update {
				t.Fatal(err)
			}
			compare(t, file, string(committed), page(t))
		})
	}
}

// TestOutputFitsTheTerminal: 80 columns hold every help text and every ledger.
func TestOutputFitsTheTerminal(t *testing.T) {
	texts := map[string]string{}
	for _, help := range helpTexts() {
		texts[help.name] = help.text
	}
	for _, s := range examples.Starters {
		a := judge(t, s)
		var b strings.Builder
		if err := screen.Ledger(&b, a, screen.View{File: starterName, All: true}); err != nil {
			t.Fatal(err)
		}
		for _, c := range a.Checks {
			screen.Explain(&b, c, "", screen.Style{})
		}
		texts[s.Kind] = b.String()
	}
	for name, text := range texts {
		for line := range strings.Lines(text) {
			if n := len([]rune(strings.TrimSuffix(line, "\n"))); n > 80 && strings.Contains(strings.TrimSpace(line), " ") {
				t.Errorf("%s: %d columns: %s", name, n, line)
			}
		}
	}
}

// TestChangesNameThisVersion: the newest heading is the program's version.
func TestChangesNameThisVersion(t *testing.T) {
	text, err := os.ReadFile(filepath.Join(repository, "CHANGELOG.md"))
	if err != nil {
		t.Fatal(err)
	}
	newest := regexp.MustCompile(`(?m)^## (\S+)`).FindStringSubmatch(string(text))
	if newest == nil || newest[1] != release.Version {
		t.Errorf("the newest heading is %q, the program is %s", newest, release.Version)
	}
}
