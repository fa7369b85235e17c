package decode

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"spanwright/diag"
)

// rig has a field of every form.
type rig struct {
	Stamp    `yaml:",inline"`
	Name     string       `yaml:"name" required:"true" doc:"what it is called"`
	Kind     string       `yaml:"kind" choices:"lifting|sliding|90" default:"lifting" from:"usual" doc:"what it does"`
	Motor    string       `yaml:"motor" part:"motor" default:"none" from:"by hand" doc:"the motor"`
	Wet      bool         `yaml:"wet" default:"no" from:"indoors" doc:"is it washed"`
	Legs     int          `yaml:"legs" choices:"2|4" default:"4" from:"usual" doc:"how many legs"`
	Screws   *int         `yaml:"screws" range:"1..12" doc:"how many screws"`
	Friction float64      `yaml:"friction" range:"0.1..0.9" default:"0.3" from:"dry" doc:"friction"`
	Share    float64      `yaml:"share" is:"ratio" range:"10 %..100 %" default:"80 %" from:"usual" doc:"a share"`
	Travel   *float64     `yaml:"travel" is:"length" range:"1 mm..3 m" doc:"how far"`
	Size     [3]float64   `yaml:"size" is:"length" range:"1 mm..3 m" default:"[1 m, 2 m, 3 m]" from:"assumed" doc:"box"`
	Heat     [2]float64   `yaml:"heat" is:"temperature" default:"[15 degC, 30 degC]" from:"hall" doc:"lowest and highest"`
	Way      [3]float64   `yaml:"way" is:"direction" default:"x" from:"usual" doc:"where to"`
	Damping  spread       `yaml:"damping" default:"0.005..0.01..0.04" range:"0..1" from:"usual" doc:"damping"`
	Floor    spread       `yaml:"floor" is:"stiffness" default:"soft" choices:"soft" from:"usual" doc:"floor"`
	Points   []spot       `yaml:"points" keyed:"ID" doc:"places"`
	Steps    []hop        `yaml:"steps" required:"true" doc:"steps"`
	Table    []float64    `yaml:"table" is:"force" doc:"forces"`
	Outline  [][2]float64 `yaml:"outline" is:"length" doc:"points"`
	Inner    inner        `yaml:"inner" doc:"further keys"`
	Lid      *lid         `yaml:"lid" doc:"its lid"`
	Skipped  string       `yaml:"-"`
}

// Stamp is taken in line.
type Stamp struct {
	Number string `yaml:"number" doc:"its number"`
}

type inner struct {
	Speed float64 `yaml:"speed" is:"speed" default:"1 m/s" from:"usual" doc:"how fast"`
}

type spot struct {
	ID string
	At map[string]float64 `yaml:",axes" is:"length" doc:"coordinates"`
}

type hop struct {
	To   string  `yaml:"to" required:"true" doc:"the point"`
	Wait float64 `yaml:"wait" is:"time" default:"0 s" range:"0 s..10 s" from:"no wait" doc:"pause"`
}

type spread struct {
	Low, Nominal, High float64
	Word               string
}

func (s *spread) SetSpan(low, nominal, high float64) { *s = spread{low, nominal, high, ""} }
func (s *spread) SetWord(word string)                { *s = spread{Word: word} }

func pointer[T any](v T) *T { return &v }

// plainRig is what the shortest file gives.
func plainRig() rig {
	return rig{
		Name: "a", Kind: "lifting", Motor: "none", Legs: 4, Friction: 0.3, Share: 0.8,
		Size: [3]float64{1, 2, 3}, Heat: [2]float64{288.15, 303.15}, Way: [3]float64{1, 0, 0},
		Damping: spread{Low: 0.005, Nominal: 0.01, High: 0.04}, Floor: spread{Word: "soft"},
		Steps: []hop{{To: "b"}}, Inner: inner{Speed: 1},
	}
}

const shortest = "name: a\nsteps: [{to: b}]\n"

// rightTexts are what a rig may hold beside the shortest, and what it gives.
var rightTexts = map[string]struct {
	text string
	want func(*rig)
}{
	"nothing but what is needed":      {"", func(*rig) {}},
	"embedded key":                    {"number: 0012", func(r *rig) { r.Number = "0012" }},
	"a date is a text":                {"number: 2026-03-14", func(r *rig) { r.Number = "2026-03-14" }},
	"text over lines":                 {"number: |\n  one\n  two", func(r *rig) { r.Number = "one\ntwo" }},
	"choice that looks like a number": {"kind: 90", func(r *rig) { r.Kind = "90" }},
	"part":                            {"motor: servo-750", func(r *rig) { r.Motor = "servo-750" }},
	"yes":                             {"wet: yes", func(r *rig) { r.Wet = true }},
	"true":                            {"wet: true", func(r *rig) { r.Wet = true }},
	"whole number":                    {"legs: 2", func(r *rig) { r.Legs = 2 }},
	"whole number that may be absent": {"screws: 12", func(r *rig) { r.Screws = pointer(12) }},
	"plain number":                    {"friction: 0.5", func(r *rig) { r.Friction = 0.5 }},
	"per cent":                        {"share: 85 %", func(r *rig) { r.Share = 0.85 }},
	"bare ratio":                      {"share: 0.85", func(r *rig) { r.Share = 0.85 }},
	"quantity":                        {"travel: 450 mm", func(r *rig) { r.Travel = pointer(0.45) }},
	"quantity in quotes":              {"travel: '450 mm'", func(r *rig) { r.Travel = pointer(0.45) }},
	"fixed list":                      {"size: [10 mm, 2 in, 1 m]", func(r *rig) { r.Size = [3]float64{0.01, 0.0508, 1} }},
	"fixed list over lines":           {"size:\n  - 10 mm\n  - 20 mm # a\n  - 1 m", func(r *rig) { r.Size = [3]float64{0.01, 0.02, 1} }},
	"temperatures":                    {"heat: [0 degC, 50 degF]", func(r *rig) { r.Heat = [2]float64{273.15, 283.15} }},
	"direction":                       {"way: -z", func(r *rig) { r.Way = [3]float64{0, 0, -1} }},
	"direction in numbers":            {"way: [0, 3, -4]", func(r *rig) { r.Way = [3]float64{0, 0.6, -0.8} }},
	"direction in huge numbers":       {"way: [0, 3e90, -4e90]", func(r *rig) { r.Way = [3]float64{0, 0.6, -0.8} }},
	"direction in tiny numbers":       {"way: [0, 3e-90, -4e-90]", func(r *rig) { r.Way = [3]float64{0, 0.6, -0.8} }},
	"one value for a span":            {"damping: 0.02", func(r *rig) { r.Damping = spread{Low: 0.02, Nominal: 0.02, High: 0.02} }},
	"three values for a span":         {"damping: 0.01..0.02..0.03", func(r *rig) { r.Damping = spread{Low: 0.01, Nominal: 0.02, High: 0.03} }},
	"three keys for a span":           {"damping: {low: 0.01, nominal: 0.02, high: 0.03}", func(r *rig) { r.Damping = spread{Low: 0.01, Nominal: 0.02, High: 0.03} }},
	"span with units":                 {"floor: 1e7 N/m .. 2e7 N/m .. 50 kN/mm", func(r *rig) { r.Floor = spread{Low: 1e7, Nominal: 2e7, High: 5e7} }},
	"word for a span":                 {"floor: soft", func(r *rig) { r.Floor = spread{Word: "soft"} }},
	"named places in the file's order": {"points: {b: {x: 1 m}, a: {x: 2 m, z: 0 m}}", func(r *rig) {
		r.Points = []spot{{"b", map[string]float64{"x": 1}}, {"a", map[string]float64{"x": 2, "z": 0}}}
	}},
	"list of any length":       {"table: [1 N, 2 kN]", func(r *rig) { r.Table = []float64{1, 2000} }},
	"list of pairs":            {"outline: [[1 m, 2 m], [3 m, 4 m]]", func(r *rig) { r.Outline = [][2]float64{{1, 2}, {3, 4}} }},
	"empty list":               {"table: []", func(r *rig) { r.Table = []float64{} }},
	"list with nothing in it":  {"table:\n  # - 1 N", func(*rig) {}},
	"group with nothing in it": {"inner:\n  # speed: 1 m/s", func(*rig) {}},
	"group":                    {"inner: {speed: 2 m/s}", func(r *rig) { r.Inner.Speed = 2 }},
	"group that may be absent": {"lid: {width: 1 m}", func(r *rig) { r.Lid = &lid{Width: 1} }},
	"JSON":                     {`"travel": "1 m"`, func(r *rig) { r.Travel = pointer(1.0) }},
}

func TestReadValues(t *testing.T) {
	for name, c := range rightTexts {
		t.Run(name, func(t *testing.T) {
			var got rig
			_, list := Read("f", []byte(shortest+c.text+"\n"), &got)
			want := plainRig()
			c.want(&want)
			if diff := cmp.Diff(want, got, cmp.Comparer(close)); diff != "" || len(list) > 0 {
				t.Errorf("%v\n%s", list, diff)
			}
		})
	}
}

// close allows for a rounding in a factor and one in the square root of a direction.
func close(a, b float64) bool { return math.Abs(a-b) <= 4e-16*math.Abs(b) }

// wrongTexts are mistakes in a rig, and what is said about them.
var wrongTexts = map[string]struct{ text, want string }{
	"unknown key":                {"travels: 1 m", `f:3:1: error: travels: unknown key, did you mean "travel"? [unknown-key]`},
	"unknown key like no other":  {"lid: {colour: red, width: 1 m}", `f:3:7: error: lid.colour: unknown key, known here are width, open [unknown-key]`},
	"key one level too high":     {"speed: 1 m/s", `f:3:1: error: speed: unknown key here, it belongs under "inner" [unknown-key]`},
	"key of another capital":     {"Travel: 1 m", `f:3:1: error: Travel: unknown key, did you mean "travel"? [unknown-key]`},
	"key in the way of people":   {"lid: {w: 1, wide: 2 m}", "f:3:1: error: lid.width: is missing: its width, e.g. width: 450 mm [missing-key]\nf:3:7: error: lid.w: unknown key, known here are width, open [unknown-key]\nf:3:13: error: lid.wide: unknown key, known here are width, open [unknown-key]"},
	"no value":                   {"travel:", `f:3:1: error: travel: has no value; a length is needed, e.g. travel: 450 mm [missing-value]`},
	"null":                       {"travel: ~", `f:3:1: error: travel: has no value; a length is needed, e.g. travel: 450 mm [missing-value]`},
	"nothing in a needed group":  {"lid:\n  width:", `f:4:3: error: lid.width: has no value; a length is needed, e.g. width: 450 mm [missing-value]`},
	"empty text":                 {"number: ''", `f:3:9: error: number: is empty; a text is needed [missing-value]`},
	"escape in a text":           {`number: "a\x1b[31m"`, `f:3:9: error: number: holds the control character U+001B, remove it [text]`},
	"twice":                      {"travel: 1 m\ntravel: 2 m", `f:4:1: error: travel: is written twice; the first is on line 3, remove one of the two [duplicate-key]`},
	"twice in a keyed group":     {"points: {a: {x: 1 m}, a: {x: 2 m}}", `f:3:23: error: points.a: is written twice; the first is on line 3, remove one of the two [duplicate-key]`},
	"wrong kind":                 {"travel: 450 kg", `f:3:9: error: travel: 450 kg is a mass; a length is needed, e.g. "450 mm" [unit-kind]`},
	"bare number":                {"travel: 450", `f:3:9: error: travel: 450 has no unit; a length is needed, e.g. "450 mm" [unit-missing]`},
	"unit where none belongs":    {"friction: 5 mm", `f:3:11: error: friction: 5 mm is a length; a plain number without unit is needed, e.g. 5 [unit-surplus]`},
	"number in quotes":           {"friction: '0.5'", `f:3:11: error: friction: "0.5" is a text; a plain number is needed, write it without quotes [number]`},
	"infinity":                   {"friction: .inf", `f:3:11: error: friction: .inf does not begin with a number; a plain number is needed [number]`},
	"hexadecimal":                {"legs: 0x2", `f:3:7: error: legs: 0x2 is not a decimal number, write it in decimal digits [number]`},
	"typographic minus":          {"friction: −1", `f:3:11: error: friction: −1 has a typographic minus sign; a plain number is needed, use the hyphen - [number]`},
	"above the range":            {"travel: 3.1 m", `f:3:9: error: travel: 3.1 m is above what is allowed: 1 mm to 3 m [range]`},
	"below the range":            {"friction: -1", `f:3:11: error: friction: -1 is below what is allowed: 0.1 to 0.9 [range]`},
	"element below the range":    {"size: [1 m, 0 m, 1 m]", `f:3:13: error: size[2]: 0 m is below what is allowed: 1 mm to 3 m [range]`},
	"not a choice":               {"kind: liffting", `f:3:7: error: kind: "liffting" is not among the choices: lifting, sliding, 90, did you mean "lifting"? [choice]`},
	"not a count":                {"legs: 3", `f:3:7: error: legs: "3" is not among the choices: 2, 4 [choice]`},
	"not whole":                  {"screws: 2.5", `f:3:9: error: screws: 2.5 is not a whole number within a thousand million, e.g. screws: 1 [whole-number]`},
	"huge":                       {"screws: 1e30", `f:3:9: error: screws: 1e30 is not a whole number within a thousand million, e.g. screws: 1 [whole-number]`},
	"on":                         {"wet: on", `f:3:6: error: wet: on is neither yes nor no, write yes [yes-no]`},
	"true in quotes":             {"wet: 'true'", `f:3:6: error: wet: true is neither yes nor no, write yes [yes-no]`},
	"too few":                    {"size: [1 m, 1 m]", `f:3:7: error: size: has 2 values; 3 are needed, e.g. size: [1 m, 2 m, 3 m] [list-length]`},
	"value for a list":           {"size: 1 m", `f:3:7: error: size: 1 m is one value; a list of 3 is needed, e.g. size: [1 m, 2 m, 3 m] [value-shape]`},
	"list for a value":           {"travel: [1 m]", `f:3:9: error: travel: is a list of 1; a length is needed, e.g. travel: 450 mm [value-shape]`},
	"value for a group":          {"lid: 5", `f:3:6: error: lid: 5 is one value; a group of keys is needed, its keys are width, open [value-shape]`},
	"nothing in a list":          {"table: [1 N, ]\noutline: [~]", `f:4:11: error: outline[1]: has no value; a list of 2 is needed, e.g. [450 mm, 450 mm] [missing-value]`},
	"no direction":               {"way: up", `f:3:6: error: way: up is not a direction, write x, y, z, -x, -y, -z, or three numbers such as [0, 0.6, 0.8] [direction]`},
	"direction of no length":     {"way: [0, 0.0, -0]", `f:3:6: error: way: all three numbers are 0, which is no direction, write x, y, z, -x, -y, -z, or three numbers such as [0, 0.6, 0.8] [direction]`},
	"direction with a unit":      {"way: [0, 1 mm, 0]", `f:3:10: error: way[2]: 1 mm is a length; a plain number without unit is needed, e.g. 1 [unit-surplus]`},
	"span that falls":            {"damping: 0.3..0.2..0.4", `f:3:10: error: damping: the three values do not rise from low over nominal to high, write them in that order [span]`},
	"span of two":                {"damping: 0.1..0.2", `f:3:10: error: damping: 0.1..0.2 does not have three values, e.g. damping: 0.005..0.01..0.04 [span]`},
	"span of wrong kind":         {"floor: 1 N..2 N/m..3 N/m", `f:3:8: error: floor: 1 N is a force; a stiffness is needed, e.g. "1 N/um" [unit-kind]`},
	"span with a key too few":    {"damping: {low: 0.1, nominal: 0.2, hihg: 0.3}", "f:3:1: error: damping.high: is missing: low, nominal and high go together [missing-key]\nf:3:35: error: damping.hihg: unknown key, did you mean \"high\"? [unknown-key]"},
	"direction in a capital":     {"way: -Z", `f:3:6: error: way: -Z is not a direction, did you mean "-z"? [direction]`},
	"comma in a list":            {"size: [1,5 m, 1 m, 1 m]", `f:3:7: error: size: has 4 values; 3 are needed, a comma begins the next value here; write decimals with a point [list-length]`},
	"comma in a group":           {"points: {a: {x: 1 m, y: 1,5 m}}", "f:3:25: error: points.a.y: 1 has no unit; a length is needed, e.g. \"1 mm\" [unit-missing]\nf:3:27: error: points.a.5 m: \"5 m\" cannot be a name, a comma begins the next value here; write decimals with a point [name]"},
	"second value of a span":     {"damping: 0.1 .. 2 .. 0.3", `f:3:17: error: damping: 2 is above what is allowed: 0 to 1 [range]`},
	"name with a space":          {"points: {a b: {x: 1 m}}", `f:3:10: error: points.a b: "a b" cannot be a name, use letters, digits, - _ and . between them, at most 60 [name]`},
	"coordinate of wrong kind":   {"points: {a: {x: 1 s}}", `f:3:17: error: points.a.x: 1 s is a time; a length is needed, e.g. "1 mm" [unit-kind]`},
	"columns count code points":  {"lid: {ö: 1, width: 1 s}", "f:3:7: error: lid.ö: unknown key, known here are width, open [unknown-key]\nf:3:20: error: lid.width: 1 s is a time; a length is needed, e.g. \"1 mm\" [unit-kind]"},
	"many mistakes, all of them": {"travel: 5\nlegs: 7\nwet: maybe", "f:3:9: error: travel: 5 has no unit; a length is needed, e.g. \"5 mm\" [unit-missing]\nf:4:7: error: legs: \"7\" is not among the choices: 2, 4 [choice]\nf:5:6: error: wet: maybe is neither yes nor no [yes-no]"},
}

func TestReadMistakes(t *testing.T) {
	for name, c := range wrongTexts {
		t.Run(name, func(t *testing.T) {
			var got rig
			_, list := Read("f", []byte(shortest+c.text+"\n"), &got)
			if diff := cmp.Diff(c.want, list.Error()); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func TestWhatIsMissingIsSaidOnceAtItsGroup(t *testing.T) {
	var got rig
	_, list := Read("f", []byte("wet: no\nlid: {}\n"), &got)
	want := "f:1:1: error: name: is missing: what it is called [missing-key]\n" +
		"f:1:1: error: steps: is missing: steps [missing-key]\n" +
		"f:2:1: error: lid.width: is missing: its width, e.g. width: 450 mm [missing-key]"
	if diff := cmp.Diff(want, list.Error()); diff != "" {
		t.Error(diff)
	}
}

func TestRecord(t *testing.T) {
	var got rig
	rec, list := Read("f", []byte("name: a\nsteps:\n  - to: b\n    wait: 99 s\nlid:\n  width: 1 m\n"), &got)
	if len(list) != 1 {
		t.Fatal(list)
	}
	at := func(line, column int) diag.Pos { return diag.Pos{File: "f", Line: line, Column: column} }
	for path, want := range map[string]diag.Pos{
		"steps[1].wait": at(4, 11), "steps[1]": at(3, 5), "steps[1].path": at(3, 5), "lid.open": at(5, 1),
		"lid.width": at(6, 10), "inner.speed": at(1, 1), "steps[9].to": at(2, 1), "nothing[": at(1, 1),
	} {
		if got := rec.Where(path); got != want {
			t.Errorf("%s stands at %v, want %v", path, got, want)
		}
	}
	if got := rec.WhereKey("steps[1].wait"); got != at(4, 5) {
		t.Errorf("the key stands at %v", got)
	}
	for path, want := range map[string]bool{"lid.width": true, "lid.open": false, "steps[1].wait": true, "travel": false} {
		if rec.Given(path) != want {
			t.Errorf("%s given: %v, want %v", path, !want, want)
		}
	}
	for path, want := range map[string]bool{"lid": true, "steps": false, "steps[1]": false, "steps[1].to": true, "travel": false} {
		if rec.Sound(path) != want {
			t.Errorf("%s sound: %v, want %v", path, !want, want)
		}
	}
	if got := rec.Written("steps[1].wait"); got != "99 s" {
		t.Errorf("wait is written %q", got)
	}
	var lidOpen []Default
	for _, d := range rec.Defaults() {
		if d.Path == "lid.open" {
			lidOpen = append(lidOpen, d)
		}
	}
	if diff := cmp.Diff([]Default{{"lid.open", "no", "closed unless said", "is it open"}}, lidOpen); diff != "" {
		t.Error(diff)
	}
}

func TestNearest(t *testing.T) {
	known := []string{"travel", "top_rail", "foot", "x", "gear"}
	for word, want := range map[string]string{
		"travle": "travel", "TRAVEL": "travel", "top-rail": "top_rail", "toprail": "top_rail", "feet": "", "foot_": "foot",
		"y": "", "graer": "", "gera": "gear", "": "", "completely-else": "",
	} {
		if got := Nearest(word, known); got != want {
			t.Errorf("Nearest(%q) = %q, want %q", word, got, want)
		}
	}
}

func TestIsName(t *testing.T) {
	for word, want := range map[string]bool{
		"x": true, "leg.left": true, "above-table": true, "höhe_2": true, "2nd": true, "a--b": true,
		"": false, ".a": false, "a.": false, "a..b": false, "a.-b": false, "-a": false, "a-": false, "a b": false, "a/b": false, "a[1]": false, "a:b": false,
	} {
		if got := IsName(word); got != want {
			t.Errorf("IsName(%q) = %v, want %v", word, got, want)
		}
	}
}
