package machine_test

import (
	"strings"
	"testing"

	"spanwright/design"
	"spanwright/machine"
	"spanwright/parts"
)

// refusal is one mistake of a design: where it stands and what it is called.
type refusal struct {
	example string   // "" is the written-out stand
	replace []string // in the example's text
	path    string
	code    string
	line    string // begins the line that the place points to
	says    string // part of the message or the hint
}

// TestRefusals makes one mistake at a time: exactly one diagnostic, at its path,
// on its line.
func TestRefusals(t *testing.T) {
	const portal, tray, slab, sample = "crate-portal", "seedling-gantry", "slab-gantry", "sample-gantry"
	for name, c := range map[string]refusal{
		"no room for legs":                {portal, []string{"height: 2.1 m", "height: 200 mm"}, "stand.generate.height", "no-room", "height:", "raise the height"},
		"bottom rails above the legs":     {portal, []string{"bottom_rail_height: 250 mm", "bottom_rail_height: 2.5 m"}, "stand.generate.bottom_rail_height", "no-room", "bottom_rail_height:", "meet them nowhere"},
		"bottom rails in the floor":       {portal, []string{"bottom_rail_height: 250 mm", "bottom_rail_height: 20 mm"}, "stand.generate.bottom_rail_height", "no-room", "bottom_rail_height:", ""},
		"knee braces too long":            {portal, []string{"at: top, reach: 450 mm", "at: top, reach: 3 m"}, "stand.generate.braces[1].reach", "no-room", "- {plane: along", "shorten the reach"},
		"no rail for a brace":             {portal, []string{"plane: across, at: foot", "plane: across, at: top"}, "stand.generate.braces[2]", "no-place", "- {plane: across", "no pair of bars"},
		"diagonal over one leg":           {portal, []string{"plane: across, at: foot", "plane: across, kind: diagonal"}, "stand.generate.braces[2]", "no-place", "- {plane: across", ""},
		"no top plane":                    {portal, []string{"plane: across, at: foot", "plane: top"}, "stand.generate.braces[2]", "no-place", "- {plane: top", ""},
		"bay that is not there":           {portal, []string{"plane: across, at: foot, reach: 600 mm,", "plane: across, at: foot, reach: 600 mm, bays: [middle],"}, "stand.generate.braces[2]", "no-place", "- {plane: across", ""},
		"pair on one row":                 {tray, []string{"count: 6", "count: 3", "      - {plane: across, at: both, reach: 450 mm, profile: profile-40x40-heavy, bays: [left, right]}\n", ""}, "axes.x.pair", "no-place", "pair:", "two rows"},
		"pair across the stand":           {tray, []string{"    span: 5.5 m", "    along: y\n    span: 5.5 m"}, "stand.generate.along", "no-place", "along: y", "run along y"},
		"spacing":                         {tray, []string{"spacing: 2.7 m", "spacing: 2.1 m"}, "axes.x.pair.spacing", "mismatch", "spacing:", "2.7 m apart"},
		"shifted off the stand":           {portal, []string{"    travel: 1.8 m", "    travel: 1.8 m\n    start: 20 m"}, "axes.x", "no-support", "x:", "nothing carries the beam"},
		"lifted aside":                    {portal, []string{"    travel: 1.8 m", "    travel: 1.8 m\n    offset: [0 mm, 200 mm, 0 mm]"}, "axes.x", "no-support", "x:", ""},
		"short beam between the rails":    {sample, []string{"legs: {count: 2,", "legs: {count: 4,", "plane: across, at: foot", "plane: across, at: top", "    travel: 500 mm", "    travel: 500 mm\n    length: 600 mm"}, "axes.x", "no-support", "x:", ""},
		"beam shorter than its travel":    {portal, []string{"    travel: 1.8 m", "    travel: 1.8 m\n    length: 1.7 m"}, "axes.x.length", "too-short", "length:", "shorter than the travel"},
		"bridge beside its carriages":     {tray, []string{"    travel: 1.6 m", "    travel: 1.6 m\n    start: 3 m"}, "axes.y.start", "no-support", "start:", "beyond the beam's end"},
		"mast shorter than its travel":    {portal, []string{"    travel: 0.7 m", "    travel: 0.7 m\n    length: 800 mm"}, "axes.z.length", "too-short", "length:", "leave the rail"},
		"first axis with a moving beam":   {portal, []string{"facing: -y  ", "facing: -y\n    moves: body  "}, "axes.x.moves", "no-place", "moves:", "its carriage moves"},
		"carriage under the beam":         {portal, []string{"facing: -y  ", "facing: -z  "}, "axes.x.facing", "facing", "facing:", "facing: z"},
		"mast on a face that looks up":    {portal, []string{"facing: -y  ", "facing: z  "}, "axes.z.direction", "no-place", "direction:", "axes.x.facing: -y"},
		"mast turned away from its plate": {portal, []string{"    facing: y\n", "    facing: -y\n"}, "axes.z.facing", "facing", "facing:", "facing: y"},
		"mast turned aside":               {portal, []string{"    facing: y\n", "    facing: x\n"}, "axes.z.facing", "facing", "facing:", "facing: y"},
		"no bridge on the pair": {tray, []string{"facing: z  ", "facing: y  ", "    direction: y\n", "    direction: z\n", "facing: -x  ", "moves: body\n    facing: -y  ",
			"    direction: z\n    part: mast-axis-80", "    direction: y\n    part: mast-axis-80", "    moves: body\n    facing: x\n", "    facing: x\n"}, "axes.y.moves", "no-place", "moves:", "bridge"},
		"bridge along the runways": {tray, []string{"facing: z  ", "facing: y  ", "    direction: y\n", "    direction: z\n",
			"    direction: z\n    part: mast-axis-80", "    direction: y\n    part: mast-axis-80", "    moves: body\n    facing: x\n", "    facing: x\n"}, "axes.y.direction", "no-place", "direction:", "from one carriage of the pair to the other"},

		"unknown axis":         {portal, []string{"part: screw-axis-80", "part: screw-axis-81"}, "axes.z.part", "unknown-part", "part:", "screw-axis-80"},
		"unknown motor":        {portal, []string{"motor: servo-1500", "motor: servo-1501"}, "axes.z.motor", "unknown-part", "motor:", "servo-1500"},
		"unknown gear":         {portal, []string{"gear: planetary-90-7", "gear: planetary-91-7"}, "axes.x.gear", "unknown-part", "gear:", "planetary-90"},
		"unknown brake":        {portal, []string{"brake: hold-brake-4", "brake: hold-brake-44"}, "axes.z.brake", "unknown-part", "brake:", "hold-brake-4"},
		"unknown screw":        {portal, []string{"screw: screw-25x25", "screw: screw-25x26"}, "axes.z.drive.screw", "unknown-part", "drive:", "screw-25x25"},
		"unknown belt":         {portal, []string{"    motor: servo-1000", "    drive: {belt: belt-1}\n    motor: servo-1000"}, "axes.x.drive.belt", "unknown-part", "drive:", ""},
		"unknown rack":         {slab, []string{"    part: rack-axis-160\n    travel: 5 m", "    part: rack-axis-160\n    drive: {rack: rack-m9}\n    travel: 5 m"}, "axes.x.drive.rack", "unknown-part", "drive:", "rack-m"},
		"unknown shaft":        {tray, []string{"driven: two-motors", "driven: shaft\n      shaft: shaft-tube-61"}, "axes.x.pair.shaft", "unknown-part", "shaft:", "shaft-tube-60x5"},
		"unknown clamp":        {portal, []string{"part: clamp-120", "part: clamp-121"}, "axes.x.join.part", "unknown-part", "join:", "clamp-120"},
		"unknown plate":        {tray, []string{"part: plate-160x160x15", "part: plate-160x160x16"}, "axes.y.join.part", "unknown-part", "join:", "plate-160x160x15"},
		"unknown under-beam":   {slab, []string{"under_beam: profile-160x80-heavy", "under_beam: profile-160x80-heave"}, "axes.y.under_beam", "unknown-part", "under_beam:", "profile-160x80-heavy"},
		"unknown leg":          {portal, []string{"count: 2, profile: profile-90x90-heavy", "count: 2, profile: profile-90x91-heavy"}, "stand.generate.legs.profile", "unknown-part", "legs:", "profile-90x90-heavy"},
		"unknown rail":         {portal, []string{"top_rail: profile-90x90-heavy", "top_rail: nothing"}, "stand.generate.top_rail", "unknown-part", "top_rail:", ""},
		"unknown foot rail":    {portal, []string{"foot_rail: profile-90x90-heavy", "foot_rail: nothing"}, "stand.generate.foot_rail", "unknown-part", "foot_rail:", ""},
		"unknown bottom rail":  {portal, []string{"bottom_rail: profile-45x90-light", "bottom_rail: nothing"}, "stand.generate.bottom_rail", "unknown-part", "bottom_rail:", ""},
		"unknown cross rail":   {tray, []string{"cross_rail: profile-80x80-light", "cross_rail: nothing"}, "stand.generate.cross_rail", "unknown-part", "cross_rail:", ""},
		"unknown joint":        {portal, []string{"    joint: corner-plate-45", "    joint: corner-plate-46"}, "stand.generate.joint", "unknown-part", "joint:", "corner-plate-45"},
		"unknown brace joint":  {portal, []string{"brace_joint: gusset-45-double", "brace_joint: gusset-45-dbl"}, "stand.generate.brace_joint", "unknown-part", "brace_joint:", "gusset-45-double"},
		"unknown foot joint":   {portal, []string{"    brace_joint:", "    foot_joint: nothing\n    brace_joint:"}, "stand.generate.foot_joint", "unknown-part", "foot_joint:", ""},
		"unknown brace":        {portal, []string{"reach: 600 mm, profile: profile-45x45-heavy", "reach: 600 mm, profile: profile-45x46-heavy"}, "stand.generate.braces[2].profile", "unknown-part", "- {plane: across", "profile-45x45-heavy"},
		"unknown foot":         {portal, []string{"foot: foot-m16", "foot: foot-m17"}, "stand.foot", "unknown-part", "foot:", "foot-m1"},
		"unknown bumper":       {portal, []string{"bumper: bumper-80", "bumper: bumper-81"}, "equipment.ends.x.bumper", "unknown-part", "x: {switch", "bumper-80"},
		"unknown carrier":      {portal, []string{"x: {part: carrier-20x77-r100", "x: {part: carrier-20x77-r101"}, "equipment.carriers.x.part", "unknown-part", "x: {part", "carrier-20x77-r100"},
		"part of another kind": {portal, []string{"motor: servo-1500", "motor: hold-brake-4"}, "axes.z.motor", "unknown-part", "motor:", "no motor"},

		"unknown profile of a member": {"", []string{"tie: {from: left.foot, to: right.top, profile: profile-45x45-heavy", "tie: {from: left.foot, to: right.top, profile: profile-45x46-heavy"}, "stand.members.tie.profile", "unknown-part", "tie:", "profile-45x45-heavy"},
		"unknown joint of a member":   {"", []string{"joint: corner-plate-45", "joint: corner-plate-46"}, "stand.members.post.right.joint", "unknown-part", "post.right:", "corner-plate-45"},
		"carried by a rail too low":   {"", []string{"    rail: {", "    low: {from: left.rear, to: right.rear, profile: profile-45x45-heavy}\n    rail: {", "carries: [rail]", "carries: [low]", "    travel: 1.8 m", "    travel: 1.8 m\n    start: 9 m"}, "stand.carries[1]", "no-support", "carries:", "does not lie on low"},
		"name of a beam's node":       {"", []string{"left.front", "x.beam.from"}, "stand.nodes.x.beam.from", "name-taken", "x.beam.from:", "another name"},
		"name of a beam":              {"", []string{"    tie:", "    z.body:"}, "stand.members.z.body", "name-taken", "z.body:", "another name"},

		"written-out node of a generated name": {portal, []string{"  foot: foot-m16\n", "  foot: foot-m16\n  nodes:\n    corner.left.top: {at: [0 m, 0 m, 3 m]}\n"}, "stand.nodes.corner.left.top", "name-taken", "corner.left.top:", ""},
		"member from nowhere":                  {portal, []string{"  foot: foot-m16\n", "  foot: foot-m16\n  members:\n    prop: {from: corner.left.tip, to: corner.right.top, profile: profile-45x45-heavy}\n"}, "stand.members.prop.from", "unknown-node", "prop:", "corner.left.top"},
		"member without length":                {portal, []string{"  foot: foot-m16\n", "  foot: foot-m16\n  nodes:\n    there: {at: [-1.35 m, 0 m, 2.055 m]}\n  members:\n    prop: {from: there, to: corner.left.top, profile: profile-45x45-heavy}\n"}, "stand.members.prop", "member-length", "prop:", "same place"},
		"node for nothing":                     {portal, []string{"  foot: foot-m16\n", "  foot: foot-m16\n  nodes:\n    there: {at: [0 m, 0 m, 3 m]}\n"}, "stand.nodes.there", "node-unused", "there:", ""},
		"support that is not there":            {portal, []string{"  foot: foot-m16\n", "  foot: foot-m16\n  supports: [leg.left.fot]\n"}, "stand.supports[1]", "unknown-node", "supports:", "leg.left.foot"},
		"carried by a generated member":        {portal, []string{"  foot: foot-m16\n", "  foot: foot-m16\n  carries: [top_rail]\n"}, "stand.carries[1]", "unknown-member", "carries:", ""},
		"pair carried by one member":           {tray, []string{"  foot: foot-m16\n", "  foot: foot-m16\n  members:\n    rail: {from: corner.front.left.top, to: corner.front.right.top, profile: profile-80x80-light}\n  carries: [rail]\n"}, "stand.carries", "count", "carries:", "exactly two"},
	} {
		t.Run(name, func(t *testing.T) {
			var d *design.Design
			if c.example == "" {
				d, _ = withStand(t, table, c.replace...)
			} else {
				d = load(t, c.example, c.replace...)
			}
			list := refused(t, d)
			if len(list) != 1 {
				t.Errorf("%d diagnostics, want one: %v", len(list), list)
			}
			got := list[0]
			if got.Path != c.path || string(got.Code) != c.code {
				t.Errorf("%s [%s], want %s [%s]: %s", got.Path, got.Code, c.path, c.code, got.Message)
			}
			line := strings.TrimSpace(strings.Split(string(d.File.Text), "\n")[got.Line-1])
			if !strings.HasPrefix(line, c.line) {
				t.Errorf("the place is line %d, %q; want one that begins with %q", got.Line, line, c.line)
			}
			if !strings.Contains(got.Message+"; "+got.Hint, c.says) {
				t.Errorf("%q, hint %q; want %q in it", got.Message, got.Hint, c.says)
			}
			if got.File != "gantry.yaml" || got.Column < 1 {
				t.Errorf("place %v", got.Pos)
			}
		})
	}
}

// TestAllUnknownPartsInOneRun: one run finds every part that is missing.
func TestAllUnknownPartsInOneRun(t *testing.T) {
	d := load(t, "crate-portal", "motor: servo-1500", "motor: a", "motor: servo-1000", "motor: b", "foot: foot-m16", "foot: c", "bumper: bumper-80", "bumper: d")
	_, list := machine.Build(d, parts.Embedded())
	if len(list) != 4 {
		t.Errorf("%d diagnostics, want 4: %v", len(list), list)
	}
}
