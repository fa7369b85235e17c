package guide

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func anyVector(t *rapid.T, name string, most int) (v Vector) {
	for k := range v {
		v[k] = float64(rapid.IntRange(-most, most).Draw(t, name)) / 1000
	}
	return v
}

// anyGroup has at least two blocks apart on each of two rails, so nothing is free.
func anyGroup(t *rapid.T) Group {
	g := Rectangle(rapid.Float64Range(0.1, 1).Draw(t, "length"), rapid.Float64Range(0.05, 1).Draw(t, "width"), Block{})
	for range rapid.IntRange(0, 3).Draw(t, "more blocks") {
		g = append(g, Block{At: anyVector(t, "place in mm", 500)})
	}
	for i := range g {
		g[i].Normal = rapid.Float64Range(1e7, 1e9).Draw(t, "k_z")
		g[i].Lateral = rapid.Float64Range(1e7, 1e9).Draw(t, "k_y")
		g[i].Roll = rapid.Float64Range(0, 1e5).Draw(t, "roll")
		g[i].At[2] = rapid.Float64Range(-0.05, 0.05).Draw(t, "height")
	}
	return g
}

func anyResultant(t *rapid.T) Resultant {
	return Resultant{Force: anyVector(t, "mN", 1e6), Moment: anyVector(t, "mN m", 1e6)}
}

// What the blocks carry, at their places, is the resultant again.
func TestBlocksBalanceTheResultant(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g, r := anyGroup(t), anyResultant(t)
		s, err := g.Share(r)
		if err != nil {
			t.Fatal(err)
		}
		loads := make([]Load, len(g))
		for i, b := range s.Blocks {
			loads[i] = Load{Force: Vector{0, b.Lateral, b.Normal}, At: g[i].At, Twist: b.Moment}
		}
		back, err := Sum(loads...)
		if err != nil {
			t.Fatal(err)
		}
		var scale float64
		for k := range r.Force {
			scale = math.Max(scale, math.Max(math.Abs(r.Force[k]), math.Abs(r.Moment[k])))
		}
		for k := range r.Force {
			if k == 0 {
				continue // along x nothing is carried
			}
			// levers of a tenth of a metre and eigenvalues of 1e-3 leave 1e-16 x 1e4
			if !(math.Abs(back.Force[k]-r.Force[k]) <= 1e-10*scale && math.Abs(back.Moment[k]-r.Moment[k]) <= 1e-10*scale) {
				t.Fatalf("blocks carry %+v of %+v", back, r)
			}
		}
		if !(math.Abs(back.Moment[0]-r.Moment[0]) <= 1e-10*scale) {
			t.Fatalf("roll moment %g of %g", back.Moment[0], r.Moment[0])
		}
		if !(s.Unbalanced <= 1e-10) {
			t.Fatalf("the sharing says of itself that it misses %g", s.Unbalanced)
		}
		if s.Along != r.Force[0] {
			t.Fatalf("along x %g of %g", s.Along, r.Force[0])
		}
	})
}

// A force at A moves B as much as the same force at B moves A (Maxwell).
func TestReciprocity(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := anyGroup(t)
		a, b := anyVector(t, "a in mm", 2000), anyVector(t, "b in mm", 2000)
		fa, fb := anyVector(t, "force at a", 1e6), anyVector(t, "force at b", 1e6)
		fa[0], fb[0] = 0, 0 // the carriage runs free along x
		atB, _, err1 := g.DisplacementAt(b, Load{Force: fa, At: a})
		atA, _, err2 := g.DisplacementAt(a, Load{Force: fb, At: b})
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		ownA, _, _ := g.DisplacementAt(a, Load{Force: fa, At: a})
		ownB, _, _ := g.DisplacementAt(b, Load{Force: fb, At: b})
		one, other := dot(fb, atB), dot(fa, atA)
		// mixed work is bounded by the own works (Schwarz); cancelling digits below that are noise
		scale := math.Sqrt(dot(fa, ownA)*dot(fb, ownB)) + 1e-300
		if !(math.Abs(one-other) <= 1e-10*scale) {
			t.Fatalf("%.12g and %.12g J", one, other)
		}
	})
}

func dot(a, b Vector) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

// The textbook forms for equal blocks.
func TestClosedForms(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyResultant(t)
		f, m := r.Force, r.Moment
		l, w := rapid.Float64Range(0.05, 1).Draw(t, "L"), rapid.Float64Range(0.05, 1).Draw(t, "W")
		b := Block{Normal: 2e8, Lateral: 1.5e8}
		own := b
		own.Roll, own.Pitch, own.Yaw = 1e5, 1e5, 1e5
		rolls, turns := b, b
		rolls.Roll = 1e5
		turns.Pitch, turns.Yaw = 1e5, 1e5
		cases := map[string]struct {
			group Group
			want  func(at Vector) BlockLoad
		}{
			"four": {Rectangle(l, w, b), func(at Vector) BlockLoad {
				return BlockLoad{Normal: f[2]/4 + m[0]*at[1]/(w*w) - m[1]*at[0]/(l*l), Lateral: f[1]/4 + m[2]*at[0]/(l*l)}
			}},
			"two on a rail": {InLine(l, rolls), func(at Vector) BlockLoad {
				return BlockLoad{Normal: f[2]/2 - m[1]*at[0]/(l*l/2), Lateral: f[1]/2 + m[2]*at[0]/(l*l/2), Moment: Vector{m[0] / 2}}
			}},
			"one per rail": {Across(w, turns), func(at Vector) BlockLoad {
				return BlockLoad{Normal: f[2]/2 + m[0]*at[1]/(w*w/2), Lateral: f[1] / 2, Moment: Vector{0, m[1] / 2, m[2] / 2}}
			}},
			"one": {Group{own}, func(Vector) BlockLoad { return BlockLoad{Normal: f[2], Lateral: f[1], Moment: m} }},
		}
		scale := 1 / l / l * (math.Abs(m[1]) + math.Abs(m[2]) + math.Abs(f[1]) + math.Abs(f[2]) + math.Abs(m[0])/w/w)
		scale += math.Abs(m[0]) + math.Abs(m[0])/w + math.Abs(m[1]) + math.Abs(m[2])
		for name, c := range cases {
			s, err := c.group.Share(r)
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			for i, got := range s.Blocks {
				want := c.want(c.group[i].At)
				worst := math.Abs(got.Normal-want.Normal) + math.Abs(got.Lateral-want.Lateral)
				for k := range want.Moment {
					worst += math.Abs(got.Moment[k] - want.Moment[k])
				}
				if !(worst <= 1e-11*scale) {
					t.Fatalf("%s, block %d: %+v, want %+v", name, i+1, got, want)
				}
			}
		}
	})
}

// Turning the carriage's description end for end changes no load.
func TestOrderOfBlocksDoesNotMatter(t *testing.T) {
	g := Rectangle(0.2, 0.12, Block{Normal: 2e8, Lateral: 2e8})
	r := Resultant{Force: Vector{0, 35, -343}, Moment: Vector{-51, 13, 14}}
	one, err := g.Share(r)
	if err != nil {
		t.Fatal(err)
	}
	back := Group{g[3], g[2], g[1], g[0]}
	other, err := back.Share(r)
	if err != nil {
		t.Fatal(err)
	}
	for i := range g {
		near(t, "normal load", other.Blocks[3-i].Normal, one.Blocks[i].Normal)
	}
}

// A floating side takes no lateral load, and leaves yaw to the other.
func TestFloatingSide(t *testing.T) {
	g := Rectangle(0.4, 3, Block{Normal: 2e8, Lateral: 1.5e8})
	for i := range g {
		if g[i].At[1] < 0 {
			g[i].Lateral = 0
		}
	}
	s, err := g.Share(Resultant{Force: Vector{0, 100, 0}, Moment: Vector{0, 0, 12}})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "front block of the fixed side", s.Blocks[0].Lateral, 50+12/0.4)
	near(t, "rear block of the fixed side", s.Blocks[2].Lateral, 50-12/0.4)
	for _, i := range []int{1, 3} {
		if s.Blocks[i].Lateral != 0 {
			t.Errorf("floating block %d carries %g N sideways", i+1, s.Blocks[i].Lateral)
		}
	}
}

func TestFreeCarriages(t *testing.T) {
	b := Block{Normal: 2e8, Lateral: 2e8}
	rail := Group{{At: Vector{0.1, 0.3}, Normal: 2e8, Lateral: 2e8}, {At: Vector{-0.1, 0.3}, Normal: 2e8, Lateral: 2e8}}
	tests := map[string]struct {
		group Group
		says  string
	}{
		"two blocks on one rail":         {InLine(0.2, b), "roll"},
		"one block per rail":             {Across(0.2, b), "pitch"},
		"both sides floating":            {Rectangle(0.2, 0.1, Block{Normal: 2e8}), "sideways"},
		"a rail away from the origin":    {rail, "roll"},
		"all blocks in one place":        {Group{{At: Vector{0.1, 0.1}, Normal: 1e8, Lateral: 1e8, Roll: 1e5, Yaw: 1e5}}, "pitch"},
		"sideways held on one side only": {Group{{At: Vector{0, 0.1}, Normal: 2e8, Lateral: 2e8, Pitch: 1e5}, {At: Vector{0, -0.1}, Normal: 2e8, Pitch: 1e5}}, "yaw"},
	}
	for name, tc := range tests {
		_, err := tc.group.Share(Resultant{Force: Vector{0, 0, -100}})
		if !errors.Is(err, ErrFree) || !strings.Contains(err.Error(), tc.says) {
			t.Errorf("%s: %v, want the %s named", name, err, tc.says)
		}
	}
}

// Adding a block never makes the carriage softer under its load.
func TestMoreBlocksAreStiffer(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := anyGroup(t)
		f, at := anyVector(t, "force", 1e6), anyVector(t, "place", 1000)
		f[0] = 0
		before, _, err1 := g.DisplacementAt(at, Load{Force: f, At: at})
		more := append(append(Group{}, g...), Block{At: anyVector(t, "new block", 500), Normal: 1e8, Lateral: 1e8})
		after, _, err2 := more.DisplacementAt(at, Load{Force: f, At: at})
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		if dot(f, after) > dot(f, before)*(1+1e-10) {
			t.Fatalf("compliance %g with one block more, before %g", dot(f, after), dot(f, before))
		}
	})
}

// A mass that hangs still weighs, one that is pushed also pushes back.
func TestMassLoad(t *testing.T) {
	l := MassLoad(10, Vector{1, 2, 3}, Vector{0, 0, -9.80665}, Vector{4, 0, 0})
	near(t, "against the push", l.Force[0], -40)
	near(t, "down", l.Force[2], -98.0665)
}
