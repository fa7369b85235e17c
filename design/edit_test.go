package design

import (
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"spanwright/decode"
)

func TestApply(t *testing.T) {
	tests := map[string]struct {
		text  string
		edits []Edit
		want  string
	}{
		"a value keeps its comment": {
			"axes:\n  z:\n    travel: 0.7 m   # as measured\n    brake: none\n",
			[]Edit{{Path: "axes.z.travel", Value: "0.8 m"}},
			"axes:\n  z:\n    travel: 0.8 m   # as measured\n    brake: none\n"},
		"quotes go with their value": {
			"machine: 'it''s: a # b' # c\nmeta: {note: \"a \\\" b\", owner: me}\n",
			[]Edit{{Path: "machine", Value: "portal"}, {Path: "meta.note", Value: "new"}},
			"machine: portal # c\nmeta: {note: new, owner: me}\n"},
		"a value on its own line": {
			"machine:\n  # the name\n  portal\ntask:\n  rate: 1 /h\n",
			[]Edit{{Path: "machine", Value: "gantry"}},
			"machine:\n  # the name\n  gantry\ntask:\n  rate: 1 /h\n"},
		"a value over several lines": {
			"meta:\n  note: one\n    two\n\n    three  # end\n  owner: me\n",
			[]Edit{{Path: "meta.note", Value: "short"}},
			"meta:\n  note: short  # end\n  owner: me\n"},
		"a block of text": {
			"meta:\n  note: |\n    one\n\n      two\n    three\n\n  # about the owner\n  owner: me\n",
			[]Edit{{Path: "meta.note", Value: "short"}},
			"meta:\n  note: short\n\n  # about the owner\n  owner: me\n"},
		"a block of text at the end": {
			"meta:\n  note: >-\n    one\n    two",
			[]Edit{{Path: "meta.note", Value: "short"}},
			"meta:\n  note: short"},
		"a block of text in an entry of a list": {
			"task:\n  cycle:\n  - to: |\n      a\n    dwell: 1 s\n",
			[]Edit{{Path: "task.cycle[1].to", Value: "b"}},
			"task:\n  cycle:\n  - to: b\n    dwell: 1 s\n"},
		"within brackets": {
			"axes:\n  x: {travel: 1 m, limits: {speed: 1 m/s, jerk: 9 m/s3}, offset: [1 mm, 2 mm, 3 mm]}\n",
			[]Edit{{Path: "axes.x.limits.speed", Value: "2 m/s"}, {Path: "axes.x.offset[2]", Value: "5 mm"}},
			"axes:\n  x: {travel: 1 m, limits: {speed: 2 m/s, jerk: 9 m/s3}, offset: [1 mm, 5 mm, 3 mm]}\n"},
		"a list between brackets over lines, with comments that hold brackets": {
			"task:\n  process_force: [\n    1 N,  # not ]\n    2 N,\n    3 N,\n  ]  # end\n  rate: 1 /h\n",
			[]Edit{{Path: "task.process_force", Value: "[0 N, 0 N, 0 N]"}},
			"task:\n  process_force: [0 N, 0 N, 0 N]  # end\n  rate: 1 /h\n"},
		"a group becomes one value": {
			"assumptions:\n  damping:   # measured\n    low: 0.01\n    nominal: 0.02\n    # the worst\n    high: 0.03 # here\n  tight: 80 %\n",
			[]Edit{{Path: "assumptions.damping", Value: "0.02"}},
			"assumptions:\n  damping: 0.02   # measured\n  tight: 80 %\n"},
		"one value becomes a group": {
			"assumptions:\n  damping: 0.02   # measured\n  tight: 80 %\n",
			[]Edit{{Path: "assumptions.damping", Value: "low: 0.01\nnominal: 0.02\nhigh: 0.03\n"}},
			"assumptions:\n  damping:   # measured\n    low: 0.01\n    nominal: 0.02\n    high: 0.03\n  tight: 80 %\n"},
		"a key in the order of the description": {
			"axes:\n  z:\n    travel: 0.7 m\n    # how fast\n    limits:\n      speed: 1 m/s\n\n# the stand\nstand:\n  foot: f\n",
			[]Edit{{Path: "axes.z.brake", Value: "hold-4"}, {Path: "axes.z.limits.jerk", Value: "80 m/s3"}, {Path: "axes.z.direction", Value: "-z"}},
			"axes:\n  z:\n    direction: -z\n    travel: 0.7 m\n    brake: hold-4\n    # how fast\n    limits:\n      speed: 1 m/s\n      jerk: 80 m/s3\n\n# the stand\nstand:\n  foot: f\n"},
		"a key within brackets in the order of the description": {
			"axes:\n  x: {direction: x, travel: 1 m, limits: {}}\n",
			[]Edit{{Path: "axes.x.part", Value: "belt-80"}, {Path: "axes.x.limits.speed", Value: "1 m/s"}, {Path: "axes.x.join.by", Value: "plate"}},
			"axes:\n  x: {direction: x, part: belt-80, travel: 1 m, limits: {speed: 1 m/s}, join: {by: plate}}\n"},
		"groups that are missing": {
			"machine: a\nstand:\n  foot: f\n",
			[]Edit{{Path: "equipment.guards.fence_height", Value: "1.8 m"}, {Path: "meta.owner", Value: "me"}},
			"machine: a\nmeta:\n  owner: me\nstand:\n  foot: f\nequipment:\n  guards:\n    fence_height: 1.8 m\n"},
		"a group with nothing in it": {
			"meta:   # later\nequipment:\n  guards: ~  # none yet\n",
			[]Edit{{Path: "meta.owner", Value: "me"}, {Path: "equipment.guards.door_locked", Value: "yes"}},
			"meta:   # later\n  owner: me\nequipment:\n  guards:  # none yet\n    door_locked: yes\n"},
		"a further entry of a list": {
			"stand:\n  generate:\n    braces:\n      - {plane: along, profile: a}   # front\n      # more to come\n    joint: j\n",
			[]Edit{{Path: "stand.generate.braces[2]", Value: "{plane: across, profile: b}"}},
			"stand:\n  generate:\n    braces:\n      - {plane: along, profile: a}   # front\n      - {plane: across, profile: b}\n      # more to come\n    joint: j\n"},
		"a further entry on lines of its own": {
			"task:\n  cycle:\n  - to: a\n    dwell: 1 s\n  rate: 1 /h\n",
			[]Edit{{Path: "task.cycle[2]", Value: "to: b\nloaded: yes"}},
			"task:\n  cycle:\n  - to: a\n    dwell: 1 s\n  - to: b\n    loaded: yes\n  rate: 1 /h\n"},
		"the first entry of a list that is missing": {
			"stand:\n  generate:\n    outrigger: 1 m\n    joint: j\n  carries: [a]\n",
			[]Edit{{Path: "stand.generate.braces[1]", Value: "{plane: across, profile: b}"}, {Path: "stand.carries[2]", Value: "b"}, {Path: "stand.supports[1]", Value: "n"}},
			"stand:\n  generate:\n    outrigger: 1 m\n    braces:\n      - {plane: across, profile: b}\n    joint: j\n  supports:\n    - n\n  carries: [a, b]\n"},
		"an entry of a list is replaced": {
			"stand:\n  generate:\n    braces:\n    - plane: along\n      profile: a\n    -   plane: across\n        profile: b\n",
			[]Edit{{Path: "stand.generate.braces[1]", Value: "{plane: top, profile: c}"}, {Path: "stand.generate.braces[2].kind", Value: "cross"}},
			"stand:\n  generate:\n    braces:\n    - {plane: top, profile: c}\n    -   plane: across\n        kind: cross\n        profile: b\n"},
		"removing keys": {
			"axes:\n  z:\n    travel: 1 m\n    brake: b   # gone with it\n    counterbalance:\n      weight: 5 kg\n    limits: {speed: 1 m/s, jerk: 5 m/s3, acceleration: 2 m/s2}\n",
			[]Edit{{Path: "axes.z.brake", Remove: true}, {Path: "axes.z.counterbalance", Remove: true}, {Path: "axes.z.limits.jerk", Remove: true}, {Path: "axes.z.limits.acceleration", Remove: true}, {Path: "axes.z.shaper", Remove: true}},
			"axes:\n  z:\n    travel: 1 m\n    limits: {speed: 1 m/s}\n"},
		"removing entries": {
			"task:\n  cycle:\n    - to: a\n      dwell: 1 s\n    - {to: b}   # two\n    - to: c\nstand:\n  carries: [a, b, c]\n",
			[]Edit{{Path: "task.cycle[2]", Remove: true}, {Path: "task.cycle[1].to", Remove: true}, {Path: "stand.carries[1]", Remove: true}, {Path: "stand.carries[2]", Remove: true}},
			"task:\n  cycle:\n    - dwell: 1 s\n    - to: c\nstand:\n  carries: [b]\n"},
		"removing all there is": {
			"equipment:\n  guards:\n    door_locked: yes\n  ends: {x: {soft: 5 mm}}\n",
			[]Edit{{Path: "equipment.guards.door_locked", Remove: true}, {Path: "equipment.ends.x", Remove: true}},
			"equipment:\n  guards:\n  ends: {}\n"},
		"names that hold dots": {
			"stand:\n  nodes:\n    leg: {at: [0 m, 0 m, 0 m]}\n    leg.left: {at: [0 m, 0 m, 0 m]}\n",
			[]Edit{{Path: "stand.nodes.leg.left.at[3]", Value: "1 m"}, {Path: "stand.nodes.leg.at[3]", Value: "2 m"}},
			"stand:\n  nodes:\n    leg: {at: [0 m, 0 m, 2 m]}\n    leg.left: {at: [0 m, 0 m, 1 m]}\n"},
		"line ends of another system": {
			"\ufeffaxes:\r\n  z:\r\n    travel: 1 m # a\r\nstand:\r\n  foot: f\r\n",
			[]Edit{{Path: "axes.z.brake", Value: "b"}, {Path: "axes.z.limits", Value: "speed: 1 m/s\njerk: 2 m/s3"}},
			"\ufeffaxes:\r\n  z:\r\n    travel: 1 m # a\r\n    brake: b\r\n    limits:\r\n      speed: 1 m/s\r\n      jerk: 2 m/s3\r\nstand:\r\n  foot: f\r\n"},
		"no end of line at the end": {
			"axes:\n  z:\n    travel: 1 m",
			[]Edit{{Path: "axes.z.brake", Value: "b"}},
			"axes:\n  z:\n    travel: 1 m\n    brake: b"},
		"letters of more than one byte": {
			"axes:\n  höhe: {ü: ä, travel: 1 m} # ß\n",
			[]Edit{{Path: "axes.höhe.travel", Value: "2 m"}},
			"axes:\n  höhe: {ü: ä, travel: 2 m} # ß\n"},
		"JSON": {
			`{"axes": {"z": {"travel": "1 m"}}}`,
			[]Edit{{Path: "axes.z.travel", Value: `"2 m"`}, {Path: "axes.z.brake", Value: "b"}},
			`{"axes": {"z": {"travel": "2 m", brake: b}}}`},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			f := &File{Name: "f", Text: []byte(c.text)}
			got, err := f.Apply(c.edits...)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(c.want, string(got)); diff != "" {
				t.Error(diff)
			}
			if string(f.Text) != c.text {
				t.Error("the text of the file itself has changed")
			}
		})
	}
}

func TestApplyRefuses(t *testing.T) {
	text := "axes:\n  z: {travel: 1 m}\n  x:\n    travel: 2 m\nstand:\n  carries: [a, [b]]\n"
	tests := map[string]struct {
		edit Edit
		want string
	}{
		"no path":                   {Edit{Value: "a"}, "edit : the path is empty"},
		"odd path":                  {Edit{Path: "axes..z", Value: "a"}, `edit axes..z: ".z" is no path`},
		"beyond the end of a list":  {Edit{Path: "stand.carries[4]", Value: "a"}, `edit stand.carries[4]: "[4]": the list has 2 entries`},
		"a list where a group is":   {Edit{Path: "axes[1]", Value: "a"}, `edit axes[1]: "[1]" stands after what is no list`},
		"below a single value":      {Edit{Path: "axes.x.travel.low", Value: "a"}, `edit axes.x.travel.low: "low" stands after what is no group`},
		"lines within brackets":     {Edit{Path: "axes.z.limits", Value: "speed: 1 m/s\njerk: 2 m/s3"}, "edit axes.z.limits: a value on several lines cannot stand within brackets"},
		"new list from its second":  {Edit{Path: "stand.supports[2]", Value: "a"}, `edit stand.supports[2]: "stand.supports[2]": a new list begins with [1]`},
		"not one value":             {Edit{Path: "axes.x.travel", Value: "[1 m"}, `edit axes.x.travel: "[1 m" is not one value`},
		"nothing":                   {Edit{Path: "axes.x.travel", Value: ""}, `edit axes.x.travel: "" is not one value`},
		"two keys in a single line": {Edit{Path: "axes.z.travel", Value: "1 m, brake: b"}, `edit axes.z.travel: the layout around line 2 does not allow it`},
		"a comma within brackets":   {Edit{Path: "axes.z.travel", Value: "1, 2"}, `edit axes.z.travel: the layout around line 2 does not allow it`},
		"a comment as a value":      {Edit{Path: "axes.x.travel", Value: "1 m # a\nb"}, "edit axes.x.travel: the layout does not allow it: f:6:7: error: this line does not fit what stands around it, align it with its neighbours, and close every quote and bracket [yaml-syntax]"},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			got, err := (&File{Name: "f", Text: []byte(text)}).Apply(c.edit)
			if err == nil || err.Error() != c.want || got != nil {
				t.Errorf("got %q, %v; want %s", got, err, c.want)
			}
		})
	}
}

// TestEveryValueOfTheExamplesCanBeEdited replaces, removes and writes again
// every single value, and removes every group and list.
func TestEveryValueOfTheExamplesCanBeEdited(t *testing.T) {
	for _, name := range []string{"portal.yaml", "trays.yaml"} {
		d, list := Load(os.DirFS("testdata"), name)
		if err := list.Err(); err != nil {
			t.Fatal(err)
		}
		comments := strings.Count(string(d.File.Text), "#")
		for _, path := range d.File.Paths() {
			if path == "" {
				continue
			}
			without, err := d.File.Apply(Edit{Path: path, Remove: true})
			if err != nil {
				t.Fatal(err)
			}
			if d.File.Written(path) == "" {
				continue
			}
			got, err := d.File.Apply(Edit{Path: path, Value: "something-else"})
			if err != nil {
				t.Fatal(err)
			}
			if n := strings.Count(string(got), "#"); n != comments {
				t.Errorf("%s: %d comments became %d", path, comments, n)
			}
			if strings.HasSuffix(path, "]") {
				continue
			}
			again, err := (&File{Name: "f", Text: without}).Apply(Edit{Path: path, Value: d.File.Written(path)})
			if err != nil {
				t.Fatal(err)
			}
			if _, list := Parse("f", again); list.Err() != nil {
				t.Errorf("%s taken out and put back: %v", path, list)
			}
		}
	}
}

func TestAnyTextCanBeWritten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(rapid.StringMatching(`[ -~äß²\n]{1,30}`), rapid.SampledFrom([]string{"a: b", "no", "1.5", "# a", "[a", "a, b", "'", "\"", "- a", "a #b", "null", "&a", "*a", "|", "%a"})).Draw(t, "text")
		for _, layout := range []string{"meta:\n  note: old  # kept\n", "meta: {note: old, owner: me}\n", "meta:\n  note: |\n    old\n  owner: me\n"} {
			got, err := (&File{Name: "f", Text: []byte(layout)}).Apply(Edit{Path: "meta.note", Value: TextValue(text)})
			if err != nil {
				t.Fatalf("%q: %v", text, err)
			}
			var d Design
			if record, _ := decode.Read("f", got, &d); record.Written("meta.note") != text {
				t.Fatalf("%q reads %q in %q", text, record.Written("meta.note"), got)
			}
		}
	})
}
