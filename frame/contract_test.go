package frame

import (
	"errors"
	"math"
	"strings"
	"testing"
)

// solved reads a model and solves it.
func solved(t *testing.T, text string) *Answer {
	t.Helper()
	m, problems := ReadJSON(strings.NewReader(text))
	if problems != nil {
		t.Fatal(problems)
	}
	a, err := Solve(m)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

const stock = `"sections":[{"id":"s","A":2e-3,"Iy":3e-6,"Iz":1e-6,"J":5e-7},{"id":"deep","A":2e-3,"Iy":3e-6,"Iz":1e-6,"J":5e-7,"Asy":6e-4,"Asz":9e-4}],
 "materials":[{"id":"m","E":70e9,"G":27e9,"rho":2700,"alpha":2e-5}],`

const clamped = `"fix":["ux","uy","uz","rx","ry","rz"]`

func near(t tester, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol*math.Max(math.Abs(want), 1e-300)) {
		t.Errorf("%s = %.12g, want %.12g", what, got, want)
	}
}

// displacement, reaction and ends are short for tests: the node or member is known.
func displacement(s *State, node string) [6]float64 { d, _ := s.Displacement(node); return d }
func reaction(s *State, node string) [6]float64     { r, _ := s.Reaction(node); return r }

// TestContract checks the sentences of the neutral form that are easy to get wrong, each by a number that follows from
// a hand calculation.
func TestContract(t *testing.T) {
	t.Run("a post bends about local y under a push along X", func(t *testing.T) {
		// A vertical member has y = Y, z = -X: a push along X bends it in the x-z plane, so Iy counts.
		a := solved(t, `{"nodes":[{"id":"a","at":[0,0,0]},{"id":"b","at":[0,0,2]}],`+stock+`
			"members":[{"id":"p","from":"a","to":"b","section":"s","material":"m"}],
			"supports":[{"node":"a",`+clamped+`}],
			"loads":[{"case":"c","node":"b","force":[100,50,0]}]}`)
		d := displacement(a.States[0], "b")
		near(t, "ux", d[UX], 100*8/(3*70e9*3e-6), 1e-10)
		near(t, "uy", d[UY], 50*8/(3*70e9*1e-6), 1e-10)
	})
	t.Run("member forces carry the signs of the form", func(t *testing.T) {
		// A hanging bar pulled down with 100 N: tension N = 100, so Fx = -100 at from and +100 at to.
		a := solved(t, `{"nodes":[{"id":"top","at":[0,0,1]},{"id":"end","at":[0,0,0]}],`+stock+`
			"members":[{"id":"b","from":"top","to":"end","section":"s","material":"m","divide":3}],
			"supports":[{"node":"top",`+clamped+`}],
			"loads":[{"case":"c","node":"end","force":[0,0,-100],"moment":[0,0,7]}]}`)
		from, to, _ := a.States[0].MemberForces("b")
		near(t, "from Fx", from[0], -100, 1e-9)
		near(t, "to Fx", to[0], 100, 1e-9)
		// local x points down, so the moment about Z is -7 about x, exerted on the end by what is outside the bar
		near(t, "to Mx", to[3], -7, 1e-9)
		near(t, "from Mx", from[3], 7, 1e-9)
		near(t, "reaction Fz", reaction(a.States[0], "top")[2], 100, 1e-9)
	})
	t.Run("bending and shear of a cantilever", func(t *testing.T) {
		a := solved(t, `{"nodes":[{"id":"a","at":[0,0,0]},{"id":"b","at":[2,0,0]}],`+stock+`
			"members":[{"id":"b","from":"a","to":"b","section":"deep","material":"m","divide":2}],
			"supports":[{"node":"a",`+clamped+`}],
			"loads":[{"case":"c","node":"b","force":[0,0,-100]}]}`)
		from, to, _ := a.States[0].MemberForces("b")
		want := map[string][2]float64{"from Fz": {from[2], 100}, "from My": {from[4], -200}, "to Fz": {to[2], -100}}
		for name, v := range want {
			near(t, name, v[0], v[1], 1e-9)
		}
		if math.Abs(to[4]) > 1e-9 {
			t.Errorf("moment at the free end is %g", to[4])
		}
		near(t, "tip", displacement(a.States[0], "b")[UZ], -100*(8/(3*70e9*3e-6)+2/(27e9*9e-4)), 1e-9)
	})
	t.Run("local line load turns with the roll", func(t *testing.T) {
		a := solved(t, `{"nodes":[{"id":"a","at":[0,0,0]},{"id":"b","at":[2,0,0]}],`+stock+`
			"members":[{"id":"b","from":"a","to":"b","section":"s","material":"m","roll":1.5707963267948966}],
			"supports":[{"node":"a",`+clamped+`}],
			"loads":[{"case":"c","member":"b","per_length":[0,10,0],"axes":"local"},{"case":"g","member":"b","per_length":[0,0,10],"axes":"global"}]}`)
		// local y points up after a quarter roll, and bending along it is resisted by Iz
		near(t, "local", displacement(a.States[0], "b")[UZ], 10*16/(8*70e9*1e-6), 1e-9)
		near(t, "global", displacement(a.States[1], "b")[UZ], 10*16/(8*70e9*1e-6), 1e-9)
	})
	t.Run("a spring between distant nodes makes no moment", func(t *testing.T) {
		a := solved(t, `{"nodes":[{"id":"a","at":[0,0,0]},{"id":"b","at":[5,0,0]}],
			"supports":[{"node":"a",`+clamped+`}],
			"springs":[{"from":"a","to":"b","k":[1e3,2e3,4e3,10,20,40]}],
			"loads":[{"case":"c","node":"b","force":[1,2,4],"moment":[0.1,0.2,0.4]}]}`)
		d := displacement(a.States[0], "b")
		for k, want := range [6]float64{1e-3, 1e-3, 1e-3, 0.01, 0.01, 0.01} {
			near(t, freedomNames[k], d[k], want, 1e-12)
		}
		r := reaction(a.States[0], "a")
		for k, want := range [6]float64{-1, -2, -4, -0.1, -0.2, -0.4} {
			near(t, "reaction "+freedomNames[k], r[k], want, 1e-12)
		}
	})
	t.Run("a ground spring is a support with a reaction", func(t *testing.T) {
		a := solved(t, `{"nodes":[{"id":"a","at":[0,0,0]}],
			"springs":[{"from":"a","to":"ground","k":[1e3,1e3,1e3,10,10,10]}],
			"loads":[{"case":"c","node":"a","force":[0,0,-50]}]}`)
		near(t, "uz", displacement(a.States[0], "a")[UZ], -0.05, 1e-12)
		near(t, "Fz", reaction(a.States[0], "a")[2], 50, 1e-12)
	})
	t.Run("an offset mass loads its node with a moment", func(t *testing.T) {
		a := solved(t, `{"nodes":[{"id":"a","at":[0,0,0]},{"id":"b","at":[1,0,0]}],`+strings.ReplaceAll(stock, `"rho":2700,`, "")+`
			"members":[{"id":"b","from":"a","to":"b","section":"s","material":"m"}],
			"supports":[{"node":"a",`+clamped+`}],
			"masses":[{"node":"b","m":10,"offset":[0,0.5,0]}],
			"loads":[{"case":"c","gravity":[0,0,-10]}]}`)
		r := reaction(a.States[0], "a")
		near(t, "Fz", r[2], 100, 1e-10)
		near(t, "Mx", r[3], 50, 1e-10)   // the load moment about X is -50
		near(t, "My", r[4], -100, 1e-10) // 100 N at 1 m
	})
	t.Run("cases in order of appearance, loads add up, temperature of all", func(t *testing.T) {
		a := solved(t, `{"nodes":[{"id":"a","at":[0,0,0]},{"id":"b","at":[1,0,0]},{"id":"c","at":[2,0,0]}],`+stock+`
			"members":[{"id":"1","from":"a","to":"b","section":"s","material":"m"},{"id":"2","from":"b","to":"c","section":"s","material":"m"}],
			"supports":[{"node":"a",`+clamped+`}],
			"loads":[{"case":"z","temperature":10},{"case":"a","temperature":10,"member":"1"},{"case":"z","temperature":5,"member":"2"}]}`)
		if a.States[0].Case != "z" || a.States[1].Case != "a" || len(a.States) != 2 {
			t.Fatalf("order of cases: %v", a.States)
		}
		near(t, "all", displacement(a.States[0], "c")[UX], 2e-5*(10+15), 1e-10)
		near(t, "one", displacement(a.States[1], "c")[UX], 2e-5*10, 1e-10)
	})
	t.Run("internal nodes are not reported", func(t *testing.T) {
		text, err := solved(t, cantilever).MarshalJSON()
		if err != nil {
			t.Fatal(err)
		}
		if s := string(text); strings.Count(s, "[") != 2+1+2+1 { // displacements, reaction, ends, modes
			t.Errorf("answer holds other lists than asked for: %s", s)
		}
	})
	t.Run("free in space with modes only", func(t *testing.T) {
		a := solved(t, `{"nodes":[{"id":"a","at":[0,0,0]},{"id":"b","at":[1.5,0,0]}],`+stock+`
			"members":[{"id":"b","from":"a","to":"b","section":"s","material":"m","divide":8}],"modes":8}`)
		for i, hz := range a.Modes.Hz[:6] {
			if !(hz < 1e-3) {
				t.Errorf("rigid-body mode %d at %g Hz", i, hz)
			}
		}
		// 4.73004²/(2π) sqrt(EI/(ρA L⁴)), weak axis; 8 elements are good to 1e-3
		near(t, "first bending", a.Modes.Hz[6], 4.73004*4.73004/(2*math.Pi*2.25)*math.Sqrt(70e9*1e-6/(2700*2e-3)), 1e-3)
	})
	t.Run("free in space with loads", func(t *testing.T) {
		m, _ := ReadJSON(strings.NewReader(`{"nodes":[{"id":"left","at":[0,0,0]},{"id":"right","at":[1.5,0,0]}],` + stock + `
			"members":[{"id":"b","from":"left","to":"right","section":"s","material":"m","divide":8}],
			"loads":[{"case":"c","gravity":[0,0,-10]}],"modes":8}`))
		_, err := Solve(m)
		var free *MechanismError
		if !errors.As(err, &free) || free.Node != "left" && free.Node != "right" {
			t.Errorf("got %v", err)
		}
	})
}

// TestFreedEndsKeepTheirRotation compares frequencies of freed ends with those of a model that has the rotation as a
// node of its own.
func TestFreedEndsKeepTheirRotation(t *testing.T) {
	// A beam between two clamped nodes, freed about y at both ends, is a pinned beam in the x-z plane.
	freed := solved(t, `{"nodes":[{"id":"a","at":[0,0,0]},{"id":"b","at":[2,0,0]}],`+stock+`
		"members":[{"id":"b","from":"a","to":"b","section":"deep","material":"m","divide":5,"ends":{"from":{"ry":"free"},"to":{"ry":4e4}}}],
		"supports":[{"node":"a",`+clamped+`},{"node":"b",`+clamped+`}],"modes":12}`)
	pinned := solved(t, `{"nodes":[{"id":"a","at":[0,0,0]},{"id":"b","at":[2,0,0]}],`+stock+`
		"members":[{"id":"b","from":"a","to":"b","section":"deep","material":"m","divide":5}],
		"supports":[{"node":"a","fix":["ux","uy","uz","rx","rz"]},{"node":"b","fix":["ux","uy","uz","rx","rz"]}],
		"springs":[{"from":"b","to":"ground","k":[0,0,0,0,4e4,0]}],"modes":12}`)
	for i, hz := range freed.Modes.Hz {
		near(t, "mode", hz, pinned.Modes.Hz[i], 1e-9)
	}
}

// TestDivideDoesNotChangeStatics: the elements are exact for nodal and uniform loads.
func TestDivideDoesNotChangeStatics(t *testing.T) {
	var results [][6]float64
	for _, n := range []string{"1", "2", "7", "50"} {
		a := solved(t, `{"nodes":[{"id":"a","at":[0,0,0]},{"id":"b","at":[1,2,0.5]},{"id":"c","at":[1,2,-1]}],`+stock+`
			"members":[{"id":"1","from":"a","to":"b","section":"deep","material":"m","divide":`+n+`,"roll":0.3,"ends":{"to":{"ry":2e4,"rz":"free"}}},
				{"id":"2","from":"c","to":"b","section":"s","material":"m"}],
			"supports":[{"node":"a",`+clamped+`},{"node":"c",`+clamped+`}],
			"loads":[{"case":"c","gravity":[1,2,-9]},{"case":"c","member":"1","per_length":[5,-3,40],"axes":"local"},{"case":"c","node":"b","force":[10,20,30]}]}`)
		_, to, _ := a.States[0].MemberForces("1")
		results = append(results, displacement(a.States[0], "b"), to)
	}
	for i := 2; i < len(results); i++ {
		close6(t, "divided", results[i], results[i%2], 1e-7) // 50 elements of 45 mm: condition 1e9
	}
}
