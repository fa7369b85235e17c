package clearance

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// rounding is what places in metres lose in some ten products, m.
const rounding = 1e-9

// cuboid is a box of half sizes h about c, its edges along the columns of a turned frame.
func cuboid(c, h r3.Vec, frame [3]r3.Vec, ways ...r3.Vec) Body {
	var points []r3.Vec
	for i := range 8 {
		p := c
		for k, half := range [3]float64{h.X, h.Y, h.Z} {
			p = r3.Add(p, r3.Scale(half*float64(i>>k&1*2-1), frame[k]))
		}
		points = append(points, p)
	}
	return Body{Groups: []Group{Of(points, ways)}, Normals: frame[:], Edges: frame[:]}
}

var world = [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}

func TestBetween(t *testing.T) {
	x, y := r3.Vec{X: 1}, r3.Vec{Y: 1}
	unit := r3.Vec{X: 0.5, Y: 0.5, Z: 0.5}
	turned := [3]r3.Vec{r3.Unit(r3.Vec{X: 1, Y: 1}), r3.Unit(r3.Vec{X: -1, Y: 1}), {Z: 1}}
	fixed := func(c r3.Vec) Body { return cuboid(c, unit, world) }
	for name, c := range map[string]struct {
		a, b   Body
		ranges []Range
		want   float64
	}{
		"face to face":                           {fixed(r3.Vec{}), fixed(r3.Vec{X: 1.2}), nil, 0.2},
		"edge to edge":                           {fixed(r3.Vec{}), fixed(r3.Vec{X: 1.3, Y: 1.4}), nil, 0.5},
		"corner to corner":                       {fixed(r3.Vec{}), fixed(r3.Vec{X: 1.1, Y: 1.2, Z: 1.2}), nil, 0.3},
		"touching":                               {fixed(r3.Vec{}), fixed(r3.Vec{X: 1}), nil, 0},
		"one in the other by the least way":      {fixed(r3.Vec{}), fixed(r3.Vec{X: 0.9, Y: 0.3}), nil, -0.1},
		"an edge on its face":                    {fixed(r3.Vec{}), cuboid(r3.Vec{X: 1.5}, unit, turned), nil, 1 - math.Sqrt2/2},
		"passing at the side":                    {cuboid(r3.Vec{X: -3}, unit, world, x), fixed(r3.Vec{Y: 1.4}), []Range{{0, 6}}, 0.4},
		"stopping before":                        {cuboid(r3.Vec{X: -3}, unit, world, x), fixed(r3.Vec{}), []Range{{-1, 1.5}}, 0.5},
		"running in, out again by the side":      {cuboid(r3.Vec{X: -3}, unit, world, x), fixed(r3.Vec{Y: 0.7}), []Range{{0, 6}}, -0.3},
		"both going the same way stay apart":     {cuboid(r3.Vec{}, unit, world, x), cuboid(r3.Vec{X: 1.2}, unit, world, x), []Range{{0, 9}}, 0.2},
		"two movements reach what neither could": {cuboid(r3.Vec{X: -3, Y: -3}, unit, world, x, y), fixed(r3.Vec{}), []Range{{0, 2.5}, {0, 2.5}}, -0.5},
		"a slanted way past a corner":            {cuboid(r3.Vec{X: -3, Y: -1}, unit, world, r3.Vec{X: 1, Y: -1}), fixed(r3.Vec{}), []Range{{0, 5}}, math.Sqrt2},
	} {
		t.Run(name, func(t *testing.T) {
			got := Between(&c.a, &c.b, c.ranges)
			if !(math.Abs(got.Distance-c.want) <= rounding) {
				t.Errorf("%.9g m, want %.9g m", got.Distance, c.want)
			}
			if back := Between(&c.b, &c.a, c.ranges); !(math.Abs(back.Distance-got.Distance) <= rounding) {
				t.Errorf("%.9g m one way, %.9g m the other", got.Distance, back.Distance)
			}
		})
	}
}

// TestGrowingRun: a run whose far end moves half as far as what stands before it.
func TestGrowingRun(t *testing.T) {
	face := func(x float64, ways ...r3.Vec) Group {
		var points []r3.Vec
		for _, p := range [4]r3.Vec{{Y: -0.1, Z: -0.1}, {Y: 0.1, Z: -0.1}, {Y: 0.1, Z: 0.1}, {Y: -0.1, Z: 0.1}} {
			points = append(points, r3.Vec{X: x, Y: p.Y, Z: p.Z})
		}
		return Of(points, ways)
	}
	run := Body{Groups: []Group{face(0), face(1, r3.Vec{X: 0.5})}, Normals: world[:], Edges: world[:]}
	before := cuboid(r3.Vec{X: 2}, r3.Vec{X: 0.1, Y: 0.1, Z: 0.1}, world, r3.Vec{X: 1})
	// The gap is 0.9 m + x/2: least at the lowest x.
	if got := Between(&run, &before, []Range{{-1, 2}}); !(math.Abs(got.Distance-0.4) <= rounding) || got.At[0] != -1 {
		t.Errorf("%.9g m at %v, want 0.4 m at -1", got.Distance, got.At)
	}
	still := cuboid(r3.Vec{X: 2}, r3.Vec{X: 0.1, Y: 0.1, Z: 0.1}, world)
	if got := Between(&run, &still, []Range{{-1, 1.6}}); !(math.Abs(got.Distance-0.1) <= rounding) {
		t.Errorf("%.9g m before what stands still, want 0.1 m", got.Distance)
	}
}

func vector(t *rapid.T, label string, most float64) r3.Vec {
	f := rapid.Float64Range(-most, most)
	return r3.Vec{X: f.Draw(t, label+".x"), Y: f.Draw(t, label+".y"), Z: f.Draw(t, label+".z")}
}

func anyBody(t *rapid.T, label string, reach float64, ways int) Body {
	turn := rapid.Float64Range(0, 2*math.Pi)
	sa, ca := math.Sincos(turn.Draw(t, label+".about z"))
	sb, cb := math.Sincos(turn.Draw(t, label+".about y"))
	frame := [3]r3.Vec{{X: ca * cb, Y: sa * cb, Z: -sb}, {X: -sa, Y: ca}, {X: ca * sb, Y: sa * sb, Z: cb}}
	size := rapid.Float64Range(0.01, 1)
	half := r3.Vec{X: size.Draw(t, label+".x"), Y: size.Draw(t, label+".y"), Z: size.Draw(t, label+".z")}
	var w []r3.Vec
	for range ways {
		w = append(w, vector(t, label+".way", 1))
	}
	return cuboid(vector(t, label+".centre", reach), half, frame, w...)
}

func anyRanges(t *rapid.T, n int) []Range {
	out := make([]Range, n)
	for i := range out {
		out[i].Low = rapid.Float64Range(-1, 1).Draw(t, "low")
		out[i].High = out[i].Low + rapid.Float64Range(0, 1).Draw(t, "span")
	}
	return out
}

// TestNearestProvesItself: the plane square to the shortest line keeps everything
// of the one body, wherever it goes, on one side of everything of the other by that
// distance: nothing can be nearer. And the places named are such places.
func TestNearestProvesItself(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b, ranges := anyBody(t, "a", 3, 2), anyBody(t, "b", 3, 3), anyRanges(t, 3)
		n := Between(&a, &b, ranges)
		box := Apart(&a, &b, ranges)
		if n.Distance <= 0 {
			if !(box <= rounding) || !(-n.Distance <= -box+rounding) {
				t.Fatalf("they meet, %.9g m deep, but their boxes tell %.9g m", -n.Distance, box)
			}
			return
		}
		if !(box <= n.Distance+rounding) {
			t.Fatalf("the boxes are %.9g m apart, the bodies %.9g m", box, n.Distance)
		}
		d := r3.Unit(r3.Sub(n.B, n.A))
		h := hull{&a, &b, ranges}
		// The search ends where the distance can be reduced by 1e-6 of itself at most.
		if gap := -h.extent(d); !(math.Abs(gap-n.Distance) <= 2e-6*(1+n.Distance)) {
			t.Fatalf("a plane between them keeps them %.9g m apart, the distance is said to be %.9g m", gap, n.Distance)
		}
		stay := make([]Range, len(ranges))
		for i, q := range n.At {
			if !(q >= ranges[i].Low-rounding && q <= ranges[i].High+rounding) {
				t.Fatalf("movement %d at %.9g is outside %v", i, q, ranges[i])
			}
			stay[i] = Range{q, q}
		}
		if there := Between(&a, &b, stay); !(math.Abs(there.Distance-n.Distance) <= 2e-6*(1+n.Distance)) {
			t.Fatalf("%.9g m apart there, said to be %.9g m", there.Distance, n.Distance)
		}
	})
}

// TestNothingShorterFreesThem: bodies that meet are parted by no shift shorter than their depth.
func TestNothingShorterFreesThem(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b, ranges := anyBody(t, "a", 0.3, 1), anyBody(t, "b", 0.3, 2), anyRanges(t, 2)
		n := Between(&a, &b, ranges)
		if n.Distance > 0 {
			return
		}
		s, c := math.Sincos(rapid.Float64Range(0, 2*math.Pi).Draw(t, "round"))
		up := rapid.Float64Range(-1, 1).Draw(t, "up")
		flat := math.Sqrt(1 - up*up)
		shift := r3.Scale(-n.Distance*0.999, r3.Vec{X: c * flat, Y: s * flat, Z: up})
		moved := Body{Normals: a.Normals, Edges: a.Edges}
		for _, g := range a.Groups {
			var points []r3.Vec
			for _, p := range g.Points {
				points = append(points, r3.Add(p, shift))
			}
			moved.Groups = append(moved.Groups, Of(points, g.Ways))
		}
		if m := Between(&moved, &b, ranges); m.Distance > touching {
			t.Fatalf("said to be %.9g m deep, but a shift of %.9g m parts them", -n.Distance, r3.Norm(shift))
		}
	})
}

// TestACornerThatBringsNothing: a slanted piece touches the edge of a bar with an
// edge of its own; the corner that comes in last leaves again at once.
func TestACornerThatBringsNothing(t *testing.T) {
	drawn := func(from, to float64, section [][2]float64, normals ...r3.Vec) Body {
		var points []r3.Vec
		for _, x := range []float64{from, to} {
			for _, p := range section {
				points = append(points, r3.Vec{X: x, Y: p[0], Z: p[1]})
			}
		}
		return Body{Groups: []Group{Of(points, nil)}, Normals: append(normals, world[:]...), Edges: world[:]}
	}
	const top = 2.044149292747415
	slant := r3.Unit(r3.Vec{Y: -(top - 2.03), Z: -0.005})
	bar := drawn(-1.345, 1.345, [][2]float64{{-0.045, 1.94}, {0.045, 1.94}, {0.045, 2.03}, {-0.045, 2.03}})
	piece := drawn(-1.345, -1.285, [][2]float64{{0.056999999999999995, 2.015}, {0.056999999999999995, top}, {0.04, top}, {0.045, 2.03}}, slant)
	ranges := []Range{{-0.5720000000000001, 2.372}, {-0.231, 0.771}}
	if got := Between(&bar, &piece, ranges); !(math.Abs(got.Distance) <= rounding) {
		t.Errorf("%.9g m, but they touch along an edge", got.Distance)
	}
}
