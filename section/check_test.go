package section

import (
	"errors"
	"math"
	"strings"
	"testing"
)

func TestCheckRefusesWithPlaceAndReason(t *testing.T) {
	square := Loop{{0, 0}, {0.04, 0}, {0.04, 0.04}, {0, 0.04}}
	hole := func(y, z, side float64) Loop { return Loop{{y, z}, {y + side, z}, {y + side, z + side}, {y, z + side}} }
	tests := map[string]struct {
		outline Outline
		want    []string // place and a part of the reason
	}{
		"nothing": {Outline{}, []string{"outer: a loop needs at least 3 points, it has 0"}},
		"two points": {Outline{Outer: Loop{{0, 0}, {1, 0}}},
			[]string{"outer: a loop needs at least 3 points"}},
		"not a number": {Outline{Outer: Loop{{0, 0}, {0.04, 0}, {math.NaN(), 0.04}}},
			[]string{"outer[2]: NaN, 0.04 m: a coordinate is a number"}},
		"infinite": {Outline{Outer: Loop{{0, 0}, {math.Inf(1), 0}, {0, 0.04}}},
			[]string{"outer[1]: +Inf"}},
		"all at one place": {Outline{Outer: Loop{{1, 1}, {1, 1}, {1, 1}}},
			[]string{"outer: all points lie at one place"}},
		"duplicate point": {Outline{Outer: Loop{{0, 0}, {0.04, 0}, {0.04, 0}, {0, 0.04}}},
			[]string{"outer[2]: the point coincides with point 1"}},
		"closed by repeating the first point": {Outline{Outer: append(append(Loop{}, square...), Point{0, 0})},
			[]string{"outer[0]: the point coincides with point 4"}},
		"bow tie": {Outline{Outer: Loop{{0, 0}, {0.04, 0.04}, {0.04, 0}, {0, 0.04}}},
			[]string{"outer[0]: the edge from here to point 1 crosses or touches the edge from outer[2] to point 3"}},
		"no area": {Outline{Outer: Loop{{0, 0}, {0.02, 0}, {0.04, 0}}},
			[]string{"outer[0]: the outline folds back", "outer[2]: the outline folds back"}},
		"spike without width": {Outline{Outer: Loop{{0, 0}, {0.04, 0}, {0.04, 0.04}, {0.06, 0.06}, {0.04, 0.04 + 1e-12}, {0, 0.04}}},
			[]string{"outer[3]: the outline folds back on itself"}},
		"outline touches itself": {Outline{Outer: Loop{{0, 0}, {0.04, 0}, {0.04, 0.04}, {0.02, 0}, {0, 0.04}}},
			[]string{"outer[0]: the edge from here to point 1 crosses or touches the edge from outer[2]"}},
		"hole outside": {Outline{Outer: square, Holes: []Loop{hole(0.1, 0.1, 0.01)}},
			[]string{"holes[0][0]: the hole lies outside the outer loop"}},
		"hole around everything": {Outline{Outer: square, Holes: []Loop{hole(-0.1, -0.1, 1)}},
			[]string{"holes[0][0]: the hole lies outside the outer loop"}},
		"hole across the edge": {Outline{Outer: square, Holes: []Loop{hole(0.03, 0.01, 0.02)}},
			[]string{"outer[1]: the edge from here to point 2 crosses or touches the edge from holes[0][0]"}},
		"hole touches the edge": {Outline{Outer: square, Holes: []Loop{hole(0.03, 0.01, 0.01)}},
			[]string{"outer[1]: the edge from here to point 2 crosses or touches the edge from holes[0][0]"}},
		"holes touch": {Outline{Outer: square, Holes: []Loop{hole(0.01, 0.01, 0.01), hole(0.02, 0.01, 0.01)}},
			[]string{"holes[0][0]: the edge from here to point 1 crosses or touches the edge from holes[1][0]"}},
		"hole in a hole": {Outline{Outer: square, Holes: []Loop{hole(0.01, 0.01, 0.02), hole(0.015, 0.015, 0.005)}},
			[]string{"holes[1][0]: the hole lies inside holes[0]"}},
		"the same hole twice": {Outline{Outer: square, Holes: []Loop{hole(0.01, 0.01, 0.02), hole(0.01, 0.01, 0.02)}},
			[]string{"holes[0][0]: the edge from here"}},
		"too many points": {Outline{Outer: circle(Point{}, 1, maxPoints+1)},
			[]string{"outer: 5001 points in all, at most 5000"}},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			err := c.outline.Check()
			var refusal *OutlineError
			if !errors.As(err, &refusal) {
				t.Fatalf("got %v, want a refusal", err)
			}
			for _, want := range c.want {
				if !strings.Contains(err.Error(), want) {
					t.Errorf("got\n%v\nwithout %q", err, want)
				}
			}
			if _, err := Compute(c.outline); !errors.As(err, &refusal) {
				t.Errorf("Compute gave %v", err)
			}
		})
	}
}

func TestCheckAccepts(t *testing.T) {
	for name, o := range map[string]Outline{
		"a point on a straight edge": {Outer: Loop{{0, 0}, {0.02, 0}, {0.04, 0}, {0.04, 0.04}}},
		"a narrow slit":              {Outer: Loop{{0, 0}, {0.04, 0}, {0.04, 0.04}, {0.0201, 0.04}, {0.0201, 0.01}, {0.02, 0.01}, {0.02, 0.04}, {0, 0.04}}},
		"a needle":                   {Outer: Loop{{0, 0}, {0.1, 0}, {0.1, 0.0001}}},
		"many modules":               drawn(t, modules(4, 3)),
	} {
		t.Run(name, func(t *testing.T) {
			if err := o.Check(); err != nil {
				t.Error(err)
			}
		})
	}
}

func TestFaultsAreBounded(t *testing.T) {
	var zigzag Loop
	for i := range 200 {
		zigzag = append(zigzag, Point{float64(i*37%200) / 1000, float64(i*91%200) / 1000})
	}
	var refusal *OutlineError
	if err := (Outline{Outer: zigzag}).Check(); !errors.As(err, &refusal) || len(refusal.Faults) != maxFaults {
		t.Errorf("got %v", err)
	}
}
