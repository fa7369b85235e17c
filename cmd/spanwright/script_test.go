package main

import (
	"errors"
	"flag"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

var update = flag.Bool("update", false, "rewrite what scripts and pages are compared with")

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"spanwright": main})
}

// TestScripts runs the scripts in testdata; each begins with what it holds.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:           "testdata",
		UpdateScripts: *update,
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits": exits, "change": change, "append": appendTo,
		},
	})
}

// exits runs a command and compares its exit code: "exits 2 spanwright check a.yaml".
// A plain "!" could not tell over (1) from bad input (2) or a fault (3).
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE COMMAND ...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		var exit *exec.ExitError
		if !errors.As(err, &exit) {
			ts.Fatalf("%v", err)
		}
		got = exit.ExitCode()
	}
	if got != want {
		ts.Fatalf("exit %d, want %d", got, want)
	}
}

// change replaces a text that stands once in a file: "change a.yaml OLD NEW".
func change(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: change FILE OLD NEW")
	}
	text := ts.ReadFile(args[0])
	if n := strings.Count(text, args[1]); n != 1 {
		ts.Fatalf("%q stands %d times in %s, want once", args[1], n, args[0])
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(strings.Replace(text, args[1], args[2], 1)), 0o644))
}

// appendTo adds the text of one file to another: "append gantry.yaml more.txt".
func appendTo(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: append FILE MORE")
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(ts.ReadFile(args[0])+ts.ReadFile(args[1])), 0o644))
}
