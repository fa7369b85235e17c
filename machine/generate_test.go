package machine_test

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/design"
	"spanwright/machine"
)

// plainStand is the crate portal's stand with another number of legs, rails at
// top and bottom all round, and no braces.
func plainStand(t testing.TB, legs int, braces ...design.Brace) *design.Design {
	d := load(t, "crate-portal")
	d.Axes[0].UnderBeam = "none"
	g := d.Stand.Generate
	g.Legs.Count = legs
	g.Depth = 1.6
	g.Braces = braces
	return d
}

func brace(plane, kind, at string, bays ...string) design.Brace {
	return design.Brace{Plane: plane, Kind: kind, At: at, Reach: 0.35, Profile: "profile-45x45-heavy", Bays: bays}
}

// standCounts counts what belongs to the stand.
func standCounts(m *machine.Machine) (nodes, members, bars int) {
	ends := map[int]bool{}
	for i, mem := range m.Members {
		if mem.Role == machine.Beam || mem.Role == machine.Mast {
			continue
		}
		members++
		ends[m.Members[i].From], ends[m.Members[i].To] = true, true
	}
	for _, b := range m.Bars() {
		if b.Axis < 0 {
			bars++
		}
	}
	return len(ends), members, bars
}

// TestGeneratedStandsCount holds nodes and pieces of every kind of stand.
//
// A leg meets something at its foot, at the bottom rails and at the top: three
// nodes, two pieces. A foot rail under a leg is two pieces with three nodes, of
// which the leg gave one. A knee brace adds two nodes and splits two bars: three
// pieces. A diagonal runs between corners that are there.
func TestGeneratedStandsCount(t *testing.T) {
	knee, foot, both, diagonal, cross := "knee", "foot", "both", "diagonal", "cross"
	for name, c := range map[string]struct {
		legs                       int
		braces                     []design.Brace
		outrigger                  float64
		nodes, members, bars, feet int
	}{
		"two legs":   {2, nil, 0, 2*3 + 4, 2*2 + 1 + 1 + 2*2, 2 + 1 + 1 + 2, 4},
		"three legs": {3, nil, 0, 3*3 + 6, 3*2 + 2 + 2 + 3*2, 3 + 1 + 2 + 3, 6},
		"four legs":  {4, nil, 0, 4 * 3, 4*2 + 2 + 2 + 2 + 2, 4 + 2 + 2 + 2 + 2, 4},
		"six legs":   {6, nil, 0, 6 * 3, 6*2 + 4 + 3 + 4 + 3, 6 + 2 + 3 + 4 + 3, 6},

		"two legs, knees at the top":          {2, []design.Brace{brace("along", knee, "top")}, 0, 10 + 2*2, 10 + 2*3, 6 + 2, 4},
		"two legs, knees at the foot":         {2, []design.Brace{brace("along", knee, foot)}, 0, 10 + 2*2, 10 + 2*3, 6 + 2, 4},
		"two legs, knees at both":             {2, []design.Brace{brace("along", knee, both)}, 0, 10 + 4*2, 10 + 4*3, 6 + 4, 4},
		"two legs, knees on the foot rails":   {2, []design.Brace{brace("across", knee, foot)}, 0, 10 + 4*2 - 2, 10 + 4*3 - 2, 6 + 4, 4}, // both knees of a leg meet it in one place
		"two legs, only one foot rail":        {2, []design.Brace{brace("across", knee, foot, "left")}, 0, 10 + 2*2 - 1, 10 + 2*3 - 1, 6 + 2, 4},
		"two legs, a diagonal":                {2, []design.Brace{brace("along", diagonal, "top")}, 0, 10, 10 + 1, 6 + 1, 4},
		"two legs, crossing":                  {2, []design.Brace{brace("along", cross, "top")}, 0, 10, 10 + 2, 6 + 2, 4},
		"three legs, knees along":             {3, []design.Brace{brace("along", knee, "top")}, 0, 15 + 4*2 - 1, 16 + 4*3 - 1, 9 + 4, 6}, // the middle leg has both in one place
		"three legs, diagonals":               {3, []design.Brace{brace("along", diagonal, "top")}, 0, 15, 16 + 2, 9 + 2, 6},
		"four legs, knees along":              {4, []design.Brace{brace("along", knee, "top")}, 0, 12 + 4*2, 16 + 4*3, 12 + 4, 4},
		"four legs, front only":               {4, []design.Brace{brace("along", knee, "top", "front")}, 0, 12 + 2*2, 16 + 2*3, 12 + 2, 4},
		"four legs, knees across":             {4, []design.Brace{brace("across", knee, "top")}, 0, 12 + 4*2, 16 + 4*3, 12 + 4, 4},
		"four legs, crossing along":           {4, []design.Brace{brace("along", cross, "top")}, 0, 12, 16 + 4, 12 + 4, 4},
		"four legs, diagonals across":         {4, []design.Brace{brace("across", diagonal, "top")}, 0, 12, 16 + 2, 12 + 2, 4},
		"four legs, knees in the top plane":   {4, []design.Brace{brace("top", knee, "top")}, 0, 12 + 4*2, 16 + 4*3, 12 + 4, 4},
		"four legs, top crossed":              {4, []design.Brace{brace("top", cross, "top")}, 0, 12, 16 + 2, 12 + 2, 4},
		"four legs, bottom diagonal":          {4, []design.Brace{brace("bottom", diagonal, "top")}, 0, 12, 16 + 1, 12 + 1, 4},
		"four legs, knees in the bottom":      {4, []design.Brace{brace("bottom", knee, "top")}, 0, 12 + 4*2, 16 + 4*3, 12 + 4, 4},
		"six legs, knees along":               {6, []design.Brace{brace("along", knee, "top")}, 0, 18 + 8*2 - 2, 26 + 8*3 - 2, 18 + 8, 6}, // two middle legs
		"six legs, knees across, middle only": {6, []design.Brace{brace("across", knee, "top", "middle")}, 0, 18 + 2*2, 26 + 2*3, 18 + 2, 6},
		"six legs, top crossed":               {6, []design.Brace{brace("top", cross, "top")}, 0, 18, 26 + 4, 18 + 4, 6},
		"six legs, bottom diagonals":          {6, []design.Brace{brace("bottom", diagonal, "top")}, 0, 18, 26 + 2, 18 + 2, 6},

		// An outrigger meets its leg in a node of its own and stands on another.
		"two legs, outriggers":   {2, nil, 0.4, 10 + 2*2, 10 + 2*2, 6 + 2, 4 + 2},
		"three legs, outriggers": {3, nil, 0.4, 15 + 2*2, 16 + 2*2, 9 + 2, 6 + 2},
		"four legs, outriggers":  {4, nil, 0.4, 12 + 4*2, 16 + 4*2, 12 + 4, 4 + 4},
		"six legs, outriggers":   {6, nil, 0.4, 18 + 6*2, 26 + 6*2, 18 + 6, 6 + 6},
	} {
		t.Run(name, func(t *testing.T) {
			d := plainStand(t, c.legs, c.braces...)
			d.Stand.Generate.Outrigger = c.outrigger
			m := build(t, d)
			nodes, members, bars := standCounts(m)
			if nodes != c.nodes || members != c.members || bars != c.bars || len(m.Feet) != c.feet {
				t.Errorf("%d nodes, %d members, %d bars, %d feet; want %d, %d, %d, %d", nodes, members, bars, len(m.Feet), c.nodes, c.members, c.bars, c.feet)
			}
			unique(t, m)
			symmetric(t, m, len(c.braces) == 0 || c.braces[0].Kind != diagonal && len(c.braces[0].Bays) == 0)
		})
	}
}

// picture lists the stand's members as places, sections and axes, turned or
// mirrored by a map, in a fixed order.
func picture(m *machine.Machine, to func(r3.Vec) r3.Vec) []string {
	word := func(v r3.Vec) string {
		whole := func(x float64) int64 { return int64(math.Round(x * 1e6)) } // to a micrometre
		return fmt.Sprint(whole(v.X), whole(v.Y), whole(v.Z))
	}
	var out []string
	for _, mem := range m.Members {
		if mem.Role == machine.Beam || mem.Role == machine.Mast {
			continue
		}
		p, q := m.Nodes[mem.From].At, m.Nodes[mem.To].At
		y, _ := machine.LocalAxes(r3.Sub(q, p), mem.Roll)
		y = to(y)
		if cmp.Or(cmp.Compare(math.Round(y.X*1e6), 0), cmp.Compare(math.Round(y.Y*1e6), 0), cmp.Compare(y.Z, 0)) < 0 {
			y = r3.Scale(-1, y) // a section is the same either way
		}
		ends := []string{fmt.Sprint(word(to(p)), mem.Joints[0] != nil), fmt.Sprint(word(to(q)), mem.Joints[1] != nil)}
		slices.Sort(ends)
		out = append(out, fmt.Sprint(ends, mem.Profile.ID, mem.Role, word(y)))
	}
	for _, f := range m.Feet {
		out = append(out, "foot "+word(to(m.Nodes[f.Node].At)))
	}
	slices.Sort(out)
	return out
}

func same(v r3.Vec) r3.Vec { return v }

// symmetric holds that the stand is its own mirror image both ways.
func symmetric(t *testing.T, m *machine.Machine, want bool) {
	t.Helper()
	if !want {
		return
	}
	plain := picture(m, same)
	for name, mirror := range map[string]func(r3.Vec) r3.Vec{
		"along":  func(v r3.Vec) r3.Vec { return r3.Vec{X: -v.X, Y: v.Y, Z: v.Z} },
		"across": func(v r3.Vec) r3.Vec { return r3.Vec{X: v.X, Y: -v.Y, Z: v.Z} },
	} {
		if !slices.Equal(plain, picture(m, mirror)) {
			t.Errorf("the stand is not symmetric %s", name)
		}
	}
}

// TestStandAlongYIsTurned: the same stand, turned by 90 degrees, profiles too.
func TestStandAlongYIsTurned(t *testing.T) {
	turn := func(v r3.Vec) r3.Vec { return r3.Vec{X: -v.Y, Y: v.X, Z: v.Z} }
	for _, legs := range []int{2, 3, 4, 6} {
		d := plainStand(t, legs, brace("along", "knee", "top"))
		d.Stand.Generate.Legs.Profile = "profile-45x90-light" // not square, so that its turn shows
		along := build(t, d)
		turned := build(t, quarterTurn(plainStand(t, legs, brace("along", "knee", "top")), func(g *design.Generated) { g.Legs.Profile = "profile-45x90-light" }))
		if !slices.Equal(picture(along, turn), picture(turned, same)) {
			t.Errorf("%d legs: along y is not along x turned", legs)
		}
	}
}

// quarterTurn turns a whole design by 90 degrees about Z.
func quarterTurn(d *design.Design, change func(*design.Generated)) *design.Design {
	turn := func(v *[3]float64) { v[0], v[1] = -v[1], v[0] }
	for i := range d.Axes {
		a := &d.Axes[i]
		turn(&a.Direction)
		turn(&a.Facing)
		turn(&a.Offset)
	}
	t := &d.Task
	turn(&t.Tool.Centre)
	turn(&t.Tool.Point)
	turn(&t.Payload.Centre)
	turn(&t.Force)
	t.Payload.Size[0], t.Payload.Size[1] = t.Payload.Size[1], t.Payload.Size[0]
	d.Stand.Generate.Along = "y"
	change(d.Stand.Generate)
	return d
}

// TestStandHeights: the top rails end at the stated height, feet stand on the
// floor, joints are where hardware goes.
func TestStandHeights(t *testing.T) {
	for _, legs := range []int{2, 3, 4, 6} {
		m := build(t, plainStand(t, legs))
		for _, b := range m.Bars() {
			y, z := machine.LocalAxes(r3.Sub(b.To, b.From), b.Roll)
			top := b.From.Z + math.Abs(y.Z)*b.Profile.Size[0]/2 + math.Abs(z.Z)*b.Profile.Size[1]/2
			switch {
			case b.Role == machine.Rail && b.From.Z > 1:
				if math.Abs(top-2.1) > apart {
					t.Errorf("%d legs: %s ends at %v m, want 2.1 m", legs, b.ID, top)
				}
			case b.Role == machine.Rail && math.Abs(b.From.Z-0.25) > apart:
				t.Errorf("%d legs: %s lies at %v m, want 0.25 m", legs, b.ID, b.From.Z)
			case b.Role == machine.Leg:
				if b.Joints[1] == nil || (b.Joints[0] != nil) != (legs < 4) {
					t.Errorf("%d legs: %s has joints %v", legs, b.ID, b.Joints)
				}
			}
		}
		floor := m.Feet[0].Part.Height
		if legs < 4 {
			floor += 0.090 / 2 // the foot rail lies on the feet
		}
		for _, f := range m.Feet {
			if z := m.Nodes[f.Node].At.Z; math.Abs(z-floor) > apart {
				t.Errorf("%d legs: a foot is joined at %v m, want %v m", legs, z, floor)
			}
		}
		if got := m.Stand; got.Rows != 1+legs/4 || got.Columns != legs/(1+legs/4) || got.Height != 2.1 {
			t.Errorf("%d legs: %+v", legs, got)
		}
	}
}

// TestFootJointIsKept: legs of one piece have their own hardware at the foot
// and that of the corners at the top.
func TestFootJointIsKept(t *testing.T) {
	d := load(t, "crate-portal")
	d.Stand.Generate.FootJoint = "gusset-45"
	found := 0
	for _, b := range build(t, d).Bars() {
		if b.Role != machine.Leg {
			continue
		}
		found++
		if b.Joints[0].Part.ID != "gusset-45" || b.Joints[1].Part.ID != d.Stand.Generate.Joint {
			t.Errorf("%s: %s at the foot and %s at the top", b.ID, b.Joints[0].Part.ID, b.Joints[1].Part.ID)
		}
	}
	if found == 0 {
		t.Error("no legs")
	}
}
