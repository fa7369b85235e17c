package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"spanwright/diag"
	"spanwright/internal/answer"
)

// hostile is a broken or extreme design: an example with parts of its text replaced.
type hostile struct {
	example string // "" is the crate portal
	replace []string
	parts   string // a part file beside it, without its first line
	path    string // of the first diagnostic; "" where the design is judged
	says    string // in its message or hint
}

const frameStand = `
stand:
  nodes:
    left.front: {at: [-1.2 m, -600 mm, 100 mm]}
    left.rear: {at: [-1.2 m, 600 mm, 100 mm]}
    left.foot: {at: [-1.2 m, 0 m, 100 mm]}
    left.top: {at: [-1.2 m, 0 m, 2 m]}
    right.front: {at: [1.2 m, -600 mm, 100 mm]}
    right.rear: {at: [1.2 m, 600 mm, 100 mm]}
    right.foot: {at: [1.2 m, 0 m, 100 mm]}
    right.top: {at: [1.2 m, 0 m, 2 m]}
  members:
    left.a: {from: left.front, to: left.foot, profile: profile-90x90-heavy}
    left.b: {from: left.foot, to: left.rear, profile: profile-90x90-heavy}
    right.a: {from: right.front, to: right.foot, profile: profile-90x90-heavy}
    right.b: {from: right.foot, to: right.rear, profile: profile-90x90-heavy}
    post.left: {from: left.foot, to: left.top, profile: profile-90x90-heavy, role: leg}
    post.right: {from: right.foot, to: right.top, profile: profile-90x90-heavy, role: leg}
    rail: {from: left.top, to: right.top, profile: profile-90x90-heavy, role: rail}
  supports: [left.front, left.rear, right.front, right.rear]
  foot: foot-m16
  carries: [rail]
`

// written replaces the portal's stand by one of nodes and members.
const written = "written-out stand"

// hostiles: whatever is written, the answer is a judgement or a diagnostic with
// its place.
var hostiles = map[string]hostile{
	// Numbers at and beyond the edge of what is possible.
	"span of a thousand kilometres": {replace: []string{"span: 2.7 m", "span: 1e6 m"}, path: "stand.generate.span", says: "30 m"},
	"wrong units":                   {replace: []string{"span: 2.7 m", "span: 2.7 kg"}, path: "stand.generate.span", says: "is a mass"},
	"no unit":                       {replace: []string{"travel: 1.8 m", "travel: 1.8"}, path: "axes.x.travel", says: "1.8 m"},
	"legs of a millimetre":          {replace: []string{"height: 2.1 m", "height: 1 mm"}, path: "stand.generate.height", says: "50 mm"},
	"no room for legs":              {replace: []string{"height: 2.1 m", "height: 100 mm"}, path: "stand.generate.height", says: "raise the height"},
	"no travel":                     {replace: []string{"travel: 1.8 m", "travel: 0 mm"}, path: "axes.x.travel", says: "1 mm"},
	"payload a kilometre aside":     {replace: []string{"centre: [0 mm, 0 mm, -130 mm]", "centre: [0 mm, 1 km, -130 mm]"}, path: "task.payload.centre[2]", says: "10 m"},
	"beyond numbers":                {replace: []string{"    table: {x: 1680 mm", "    table: {x: 1e300 m"}, path: "task.points.table.x", says: "beyond"},
	"floor like water":              {replace: []string{"equipment:\n", "assumptions: {floor_stiffness: 1e-3 N/m}\nequipment:\n"}, path: "assumptions.floor_stiffness"},
	"joints of nothing":             {replace: []string{"equipment:\n", "assumptions: {joint_stiffness: 0}\nequipment:\n"}, path: "assumptions.joint_stiffness"},
	"negative damping":              {replace: []string{"equipment:\n", "assumptions: {damping: -1}\nequipment:\n"}, path: "assumptions.damping"},
	"travel of a millimetre":        {replace: []string{"travel: 1.8 m", "travel: 1 mm"}},
	"longest travel":                {replace: []string{"travel: 1.8 m", "travel: 30 m"}},
	"tallest and widest":            {replace: []string{"height: 2.1 m", "height: 10 m", "span: 2.7 m", "span: 30 m"}},
	"nothing to carry":              {replace: []string{"mass: 12 kg ", "mass: 0 kg ", "mass: 5.2 kg", "mass: 0 kg"}},
	"tool of two tonnes":            {replace: []string{"mass: 5.2 kg", "mass: 2000 kg"}},
	"speed that no motor reaches":   {replace: []string{"speed: 1.6 m/s, acceleration: 3 m/s2", "speed: 20 m/s, acceleration: 200 m/s2"}},
	"crawling":                      {replace: []string{"speed: 1.6 m/s, acceleration: 3 m/s2", "speed: 1 mm/s, acceleration: 1 mm/s2"}},
	"no jerk":                       {replace: []string{", jerk: 25 m/s3", "", ", jerk: 24 m/s3", ""}},
	"least jerk":                    {replace: []string{"jerk: 25 m/s3", "jerk: 10 mm/s3"}},
	"points outside":                {replace: []string{"    table: {x: 1680 mm", "    table: {x: -168 m"}},
	"mast through the floor":        {replace: []string{"    overhang: 346 mm", "    overhang: 10 m"}},
	"far lever":                     {replace: []string{"    travel: 0.7 m", "    travel: 0.7 m\n    offset: [10 m, 10 m, 10 m]"}},
	"heaviest counterweight":        {replace: []string{"    moves: body", "    counterbalance: {weight: 5000 kg}\n    moves: body"}},
	"process force of a ship":       {replace: []string{"  people_near: yes", "  process_force: [1e6 N, 0 N, 0 N]\n  people_near: yes"}},
	"slippery":                      {replace: []string{"equipment:\n", "assumptions: {slot_friction: 0.01, floor_friction: 0.01}\nequipment:\n"}},
	"a cable like an arm":           {replace: []string{"diameter: 11.5 mm, mass: 0.22 kg/m", "diameter: 150 mm, mass: 50 kg/m"}},

	// Layouts.
	"all axes level":            {replace: []string{"    direction: z\n", "    direction: -y\n", "    facing: y\n", "    facing: -z\n", "facing: -y  ", "facing: z  "}},
	"inclined axes":             {replace: []string{"    direction: x\n", "    direction: [1, 0, 1]\n", "    direction: z\n", "    direction: [-1, 0, 1]\n"}},
	"y and z":                   {replace: []string{"    direction: x\n", "    direction: y\n", "facing: -y  ", "facing: x  ", "    facing: y\n", "    facing: -x\n", "    span: 2.7 m", "    along: y\n    span: 2.7 m"}},
	"y across the stand":        {replace: []string{"    direction: x\n", "    direction: y\n", "facing: -y  ", "facing: x  ", "    facing: y\n", "    facing: -x\n"}},
	"x backwards":               {replace: []string{"    direction: x\n", "    direction: -x\n"}},
	"z downwards":               {replace: []string{"    direction: z\n", "    direction: -z\n"}},
	"twice the same direction":  {replace: []string{"    direction: z\n", "    direction: x\n"}, path: "axes.z.direction", says: "not square"},
	"mast on a face looking up": {replace: []string{"facing: -y  ", "facing: z  "}, path: "axes.z.direction", says: "axes.x.facing: -y"},
	"pair without a bridge": {example: "seedling-gantry", replace: []string{"facing: z  ", "facing: y  ", "    direction: y\n", "    direction: z\n", "facing: -x  ", "moves: body\n    facing: -y  ",
		"    direction: z\n    part: mast-axis-80", "    direction: y\n    part: mast-axis-80", "    moves: body\n    facing: x\n", "    facing: x\n"}, path: "axes.y.moves", says: "bridge"},
	"pair on one row": {example: "seedling-gantry", replace: []string{"count: 6", "count: 2", "      - {plane: across, at: both, reach: 450 mm, profile: profile-40x40-heavy, bays: [left, right]}\n", "",
		"      - {plane: across, at: foot, reach: 450 mm, profile: profile-40x40-heavy, bays: [middle]}\n", ""}, path: "axes.x.pair", says: "two rows"},
	"three legs":       {replace: []string{"count: 2", "count: 3"}},
	"five legs":        {replace: []string{"count: 2", "count: 5"}, path: "stand.generate.legs.count"},
	"no braces at all": {replace: []string{"      - {plane: along, at: top", "      # - {plane: along, at: top", "      - {plane: across, at: foot", "      # - {plane: across, at: foot"}},
	"feet in a row": {replace: []string{"    foot_rail: profile-90x90-heavy\n", "", "      - {plane: across, at: foot", "      # - {plane: across, at: foot"},
		path: "stand", says: "can move in Y"},

	// Stands of nodes and members.
	"written out":              {example: written},
	"posts of a millimetre":    {example: written, replace: []string{"0 m, 2 m]", "0 m, 101 mm]"}},
	"hinged throughout":        {example: written, replace: []string{", role: leg}", ", role: leg, joint: hinged}", ", role: rail}", ", role: rail, joint: hinged}"}, path: "stand.nodes.right.front", says: "can turn about Y"},
	"hinged at nothing":        {example: written, replace: []string{"  members:\n", "    end: {at: [0 m, 1 m, 2 m]}\n  members:\n    dangling: {from: left.top, to: end, profile: profile-45x45-heavy, joint: hinged}\n"}, path: "stand.nodes.end", says: "free to move"},
	"a member in the air":      {example: written, replace: []string{"  members:\n", "    far.a: {at: [5 m, 5 m, 1 m]}\n    far.b: {at: [5 m, 5 m, 2 m]}\n  members:\n    far: {from: far.a, to: far.b, profile: profile-45x45-heavy}\n"}, path: "stand.nodes.far.a", says: "far.b"},
	"one foot":                 {example: written, replace: []string{"supports: [left.front, left.rear, right.front, right.rear]", "supports: [left.front]"}, path: "stand", says: "can move"},
	"no feet":                  {example: written, replace: []string{"  supports: [left.front, left.rear, right.front, right.rear]\n", ""}, path: "stand", says: "stand on feet"},
	"an empty list of feet":    {example: written, replace: []string{"supports: [left.front, left.rear, right.front, right.rear]", "supports: []"}, path: "stand", says: "stand on feet"},
	"carried by nothing":       {example: written, replace: []string{"  carries: [rail]\n", ""}, path: "stand.carries", says: "1 or more"},
	"a rail out of the level":  {example: written, replace: []string{"right.top: {at: [1.2 m, 0 m, 2 m]}", "right.top: {at: [1.2 m, 0 m, 2.5 m]}"}, path: "stand.carries[1]", says: "does not lie on rail"},
	"a member between strays":  {example: written, replace: []string{"to: right.top, profile: profile-90x90-heavy, role: rail", "to: right.tip, profile: profile-90x90-heavy, role: rail"}, path: "stand.members.rail.to", says: "right.top"},
	"a member without length":  {example: written, replace: []string{"from: left.top, to: right.top", "from: left.top, to: left.top"}, path: "stand.members.rail", says: "same place"},
	"two nodes in one place":   {example: written, replace: []string{"right.top: {at: [1.2 m, 0 m, 2 m]}", "right.top: {at: [-1.2 m, 0 m, 2 m]}"}, path: "stand.nodes.right.top.at", says: "left.top"},
	"the name of another node": {example: written, replace: []string{"left.front", "x.carriage"}, path: "stand.nodes.x.carriage", says: "another name"},

	// Parts.
	"a part that is not there":      {replace: []string{"motor: servo-1500", "motor: servo-15000"}, path: "axes.z.motor", says: "servo-1500"},
	"no motor":                      {replace: []string{"    motor: servo-1000\n", ""}, path: "axes.x.motor", says: "missing"},
	"clamps without stiffness":      {parts: "clamp:\n  clamp-120: {screw: M8, class: 8.8, screws: 3, tightening_torque: 20 N m, force_share: 0.5, width: 120 mm}\n", path: "axes.x.join", says: "stiffness_normal"},
	"a plate smaller than its axis": {parts: "plate:\n  plate-250x250x20-ribbed: {material: 6082-t6, thickness: 1 mm, width: 10 mm, length: 10 mm, screw: M4, class: 8.8, screws: 1, tightening_torque: 0.1 N m, pitch_along: 1 mm, pitch_across: 1 mm, mass: 0.01 kg}\n", path: "axes.z.join", says: "cannot be computed"},
	"profiles like wire":            {parts: "profile:\n  profile-90x90-heavy: {shape: given, material: 6060-t66, size: [90 mm, 90 mm], given: {A: 1 mm2, Iy: 1 mm4, Iz: 1 mm4, J: 1 mm4}}\n"},
	"profiles like walls":           {parts: "profile:\n  profile-90x90-heavy: {shape: given, material: 6060-t66, size: [90 mm, 90 mm], given: {A: 1 m2, Iy: 1 m4, Iz: 1 m4, J: 1 m4}}\n"},
	"feet like sponge":              {parts: "foot:\n  foot-m16: {axial_stiffness: 1e4 N/m, lateral_stiffness: 1e4 N/m, capacity: 10 N}\n"},
	"a brake like a feather":        {parts: "brake:\n  hold-brake-4: {torque: 0.01 N m, apply_time: 2 s}\n"},
	"a belt like a thread":          {parts: "belt:\n  belt-8x50: {pitch: 8 mm, width: 2 mm, stretch_stiffness: 1 kN, mass_per_m: 1 g/m, tooth_speeds: [0 rpm], tooth_forces: [0.1 N], counted_teeth: 1, cord_force: 1 N}\n"},
}

// hostileText writes the design.
func hostileText(t *testing.T, c hostile) string {
	t.Helper()
	name := c.example
	if name == "" || name == written {
		name = "crate-portal"
	}
	raw, err := os.ReadFile(filepath.Join(repository, "examples", name, "gantry.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	text := string(raw)
	if c.example == written {
		head, rest, _ := strings.Cut(text, "\nstand:\n")
		_, tail, found := strings.Cut(rest, "\nequipment:\n")
		if !found {
			t.Fatal("the example has no stand before its equipment")
		}
		text = head + frameStand + "equipment:\n" + tail
	}
	for i := 0; i < len(c.replace); i += 2 {
		if !strings.Contains(text, c.replace[i]) {
			t.Fatalf("the design does not hold %q", c.replace[i])
		}
	}
	text = strings.NewReplacer(c.replace...).Replace(text)
	if c.parts != "" {
		text += "\nparts: [p.yaml]\n"
	}
	return text
}

// checked runs check on a text and returns what it says and how long it took.
func checked(t *testing.T, text, parts string) (stdout, stderr string, code int, took time.Duration) {
	t.Helper()
	dir := t.TempDir()
	file := filepath.Join(dir, "gantry.yaml")
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	if parts != "" {
		if err := os.WriteFile(filepath.Join(dir, "p.yaml"), []byte("spanwright_parts: 1\n"+parts), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	begin := time.Now()
	stdout, stderr, code = output(t, "check", file, "--json")
	return stdout, stderr, code, time.Since(begin)
}

// TestHostileDesigns: no design ends in a fault, in silence, in a wait or in
// numbers that are none.
func TestHostileDesigns(t *testing.T) {
	_, _, _, usual := checked(t, hostileText(t, hostile{}), "")
	limit := max(2*time.Second, 10*usual) // 2 s on a machine of its own; tests may share theirs
	for name, c := range hostiles {
		t.Run(name, func(t *testing.T) {
			stdout, stderr, code, took := checked(t, hostileText(t, c), c.parts)
			if took > limit {
				t.Errorf("took %v, at most %v", took, limit)
			}
			if c.path == "" {
				judgedInNumbers(t, stdout, stderr, code)
				return
			}
			d := refusedWithPlace(t, stdout, stderr, code)
			if d.Path != c.path || !strings.Contains(d.Message+"; "+d.Hint+"; "+d.Allowed, c.says) {
				t.Errorf("%s: %s; %s; want %s and %q", d.Path, d.Message, d.Hint, c.path, c.says)
			}
		})
	}
}

// TestTextsThatAreNoDesign: what is left of a file, at any place it was cut off.
func TestTextsThatAreNoDesign(t *testing.T) {
	text := hostileText(t, hostile{})
	cuts := []string{"", "\x00\xff\xfe", "[", strings.Repeat("[", 100000), "a: &a [*a]", strings.Repeat("é", 5000)}
	for i := 0; i < len(text)-len("\n"); i += 997 {
		cuts = append(cuts, text[:i])
	}
	for i, cut := range cuts {
		stdout, stderr, code, took := checked(t, cut, "")
		if took > 10*time.Second {
			t.Errorf("text %d took %v", i, took)
		}
		if code == exitDone || code == exitOver {
			judgedInNumbers(t, stdout, stderr, code) // what was cut off has defaults
			continue
		}
		refusedWithPlace(t, stdout, stderr, code)
	}
}

// refusedWithPlace returns the first diagnostic of a refusal.
func refusedWithPlace(t *testing.T, stdout, stderr string, code int) diag.Diagnostic {
	t.Helper()
	var got answer.Refusal
	if err := json.Unmarshal([]byte(stdout), &got); code != exitInput || err != nil || len(got.Diagnostics) == 0 {
		t.Fatalf("exit %d, %v, %d diagnostics; stderr: %s", code, err, len(got.Diagnostics), stderr)
	}
	d := got.Diagnostics[0]
	if d.File == "" || d.Message == "" || d.Code == "" || d.Path != "" && d.Line < 1 {
		t.Errorf("no place or no message: %+v", d)
	}
	return d
}

// judgedInNumbers holds that the answer is JSON with nothing infinite in it.
func judgedInNumbers(t *testing.T, stdout, stderr string, code int) {
	t.Helper()
	var got map[string]any
	if err := json.Unmarshal([]byte(stdout), &got); code != exitDone && code != exitOver || err != nil {
		t.Fatalf("exit %d, %v; stderr: %s", code, err, stderr)
	}
	for _, word := range []string{"NaN", "Inf,", "+Inf", "-Inf"} {
		if at := strings.Index(stdout, word); at >= 0 {
			t.Errorf("%s in the answer: %s", word, stdout[max(0, at-120):min(len(stdout), at+20)])
		}
	}
	if checks, ok := got["checks"].([]any); !ok || len(checks) < 30 {
		t.Errorf("%d checks", len(checks))
	}
}
