package view

import (
	"context"
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"spanwright/assess"
	"spanwright/internal/project"
	"spanwright/ledger"
)

// changed judges an example with one text in it replaced.
func changed(t *testing.T, name, old, next string) Side {
	t.Helper()
	text, err := os.ReadFile("../../examples/" + name + "/gantry.yaml")
	if err != nil {
		t.Fatal(err)
	}
	after := strings.Replace(string(text), old, next, 1)
	if after == string(text) && old != next {
		t.Fatalf("%s holds no %q", name, old)
	}
	p, list := project.Open(fstest.MapFS{"gantry.yaml": {Data: []byte(after)}}, "", "gantry.yaml")
	if err := list.Err(); err != nil {
		t.Fatal(err)
	}
	a, err := assess.Run(context.Background(), p.Machine, assess.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return Side{Name: "changed", Assessment: a, Text: []byte(after)}
}

func TestNothingDiffersFromItself(t *testing.T) {
	a := judged(t, "sample-gantry")
	one := Side{Name: "one", Assessment: a, Text: a.Machine.Design.File.Text}
	again := changed(t, "sample-gantry", "", "")
	c := Compare(one, again)
	if len(c.Checks) != 0 || c.Same != len(a.Checks) || c.TextDiff != "" {
		t.Errorf("%d checks differ, %d do not, text %q", len(c.Checks), c.Same, c.TextDiff)
	}
	for _, d := range c.Results {
		if d.Better != "same" && d.Better != "" || d.Change != 0 && d.Better == "same" {
			t.Errorf("%s differs by %v", d.Name, d.Change)
		}
	}
}

func TestCompareSaysWhatGotWorse(t *testing.T) {
	a := judged(t, "sample-gantry")
	was := Side{Name: "was", Assessment: a, Text: a.Machine.Design.File.Text}
	before := string(was.Text)
	i := strings.Index(before, "rate:")
	line := before[i : i+strings.IndexByte(before[i:], '\n')]
	is := changed(t, "sample-gantry", line, "rate: 1000 /h")
	c := Compare(was, is)
	if !strings.Contains(c.TextDiff, "-  "+line) || !strings.Contains(c.TextDiff, "+  rate: 1000 /h") {
		t.Errorf("the texts differ by\n%s", c.TextDiff)
	}
	if len(c.Checks) == 0 || c.Checks[0].ID != "task.rate" || c.Checks[0].Change != "worse" || c.Checks[0].B.Verdict != ledger.Over {
		t.Fatalf("the first change is %+v", c.Checks)
	}
	back := Compare(is, was)
	if back.Checks[0].Change != "better" && back.Checks[len(back.Checks)-1].Change != "better" {
		t.Errorf("the way back is %+v", back.Checks)
	}
}

func TestCompareSaysWhichIsBetter(t *testing.T) {
	a := judged(t, "sample-gantry")
	was := Side{Name: "was", Assessment: a, Text: a.Machine.Design.File.Text}
	c := Compare(was, changed(t, "sample-gantry", "foot_rail: profile-80x80-light", "foot_rail: profile-80x80-heavy"))
	for _, d := range c.Results {
		switch {
		case d.Key == "mass_kg" && (d.Better != "a" || !strings.HasPrefix(d.Text, "+") || !(d.Change > 0)):
			t.Errorf("a heavier rail changes the mass so: %+v", d)
		case d.Key == "axes.x.moved_mass_kg" && d.Better != "same":
			t.Errorf("a rail of the stand changes what axis x moves: %+v", d)
		}
	}
}

func TestCompareWithWhatCannotBeJudged(t *testing.T) {
	a := judged(t, "sample-gantry")
	c := Compare(Side{Name: "was", Assessment: a, Text: []byte("a\n")}, Side{Name: "is", Text: []byte("b\n")})
	if c.B.OK || c.B.Headline != nil || !c.A.OK || len(c.Checks)+len(c.Results) != 0 || !strings.Contains(c.TextDiff, "+b") {
		t.Errorf("%+v", c)
	}
}

func TestDifference(t *testing.T) {
	less := figure{"sag", "sag", "m", 0.002, -1}
	tests := map[string]struct {
		f      figure
		b      Number
		better string
		text   string
	}{
		"less of what should be little": {less, 0.0015, "b", "-0.5 mm"},
		"more of it":                    {less, 0.0025, "a", "+0.5 mm"},
		"the same but for rounding":     {less, 0.002 * (1 + 1e-12), "same", "as before"},
		"more of what should be much":   {figure{"f", "f", "Hz", 5, 1}, 6, "b", "+1 Hz"},
		"neither":                       {figure{"l", "l", "m", 1, 0}, 2, "", "+1 m"},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			d := difference(c.f, c.b)
			if d.Better != c.better || d.Text != c.text {
				t.Errorf("%+v, want %s better, %s", d, c.better, c.text)
			}
		})
	}
}
