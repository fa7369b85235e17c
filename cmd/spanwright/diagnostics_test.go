package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// TestEveryCodeIsExplained: the codes in the source are those on the page.
func TestEveryCodeIsExplained(t *testing.T) {
	text, err := os.ReadFile(filepath.Join(repository, "docs", "reference", "diagnostics.md"))
	if err != nil {
		t.Fatal(err)
	}
	var explained []string
	for _, m := range regexp.MustCompile("(?m)^(?:###|\\|) `([a-z-]+)`").FindAllStringSubmatch(string(text), -1) {
		explained = append(explained, m[1])
	}
	slices.Sort(explained)
	if twice := len(explained) - len(slices.Compact(slices.Clone(explained))); twice > 0 {
		t.Errorf("%d codes stand on the page twice", twice)
	}
	if diff := cmp.Diff(codesOfSource(t), explained); diff != "" {
		t.Errorf("codes (-in the source +in docs/reference/diagnostics.md):\n%s", diff)
	}
}

// codesOfSource collects constants of type Code and the literals given to
// "refuse", sorted.
func codesOfSource(t *testing.T) (codes []string) {
	t.Helper()
	err := filepath.WalkDir(repository, func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && (d.Name() == ".git" || d.Name() == "testdata" || d.Name() == "node_modules"):
			return filepath.SkipDir
		case !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go"):
			return nil
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		if err != nil {
			return err
		}
		ast.Inspect(file, func(n ast.Node) bool {
			codes = append(codes, codesIn(n)...)
			return true
		})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	slices.Sort(codes)
	return slices.Compact(codes)
}

func codesIn(n ast.Node) (out []string) {
	switch n := n.(type) {
	case *ast.ValueSpec:
		if isCode(n.Type) {
			for _, v := range n.Values {
				out = append(out, literal(v)...)
			}
		}
	case *ast.CallExpr:
		if s, ok := n.Fun.(*ast.SelectorExpr); ok && s.Sel.Name == "refuse" && len(n.Args) > 2 {
			out = literal(n.Args[1])
		}
	}
	return out
}

// isCode accepts Code and diag.Code.
func isCode(e ast.Expr) bool {
	switch e := e.(type) {
	case *ast.Ident:
		return e.Name == "Code"
	case *ast.SelectorExpr:
		return e.Sel.Name == "Code"
	}
	return false
}

// codeForm tells a code from a message.
var codeForm = regexp.MustCompile(`^[a-z]+(-[a-z]+)*$`)

func literal(e ast.Expr) []string {
	l, ok := e.(*ast.BasicLit)
	if !ok || l.Kind != token.STRING {
		return nil
	}
	s, err := strconv.Unquote(l.Value)
	if err != nil || !codeForm.MatchString(s) {
		return nil
	}
	return []string{s}
}
