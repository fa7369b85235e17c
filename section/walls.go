package section

import (
	"fmt"
	"math"
)

// Wall is a flat piece of wall: two straight edges facing each other through
// the material.
type Wall struct {
	Width     float64 `json:"width_m"`     // length over which the edges face each other, m
	Thickness float64 `json:"thickness_m"` // least distance between them there, m
	Middle    Point   `json:"middle"`
}

// Ratio is width over thickness, 0 for no wall.
func (w Wall) Ratio() float64 {
	if w.Thickness == 0 {
		return 0
	}
	return w.Width / w.Thickness
}

// Walls holds the most slender flat walls of a section: Internal ones, held
// at both ends, and Outstand ones with a free end, such as flanges and slot
// lips. A zero Wall means that there is none wider than it is thick.
type Walls struct {
	Internal Wall `json:"internal"`
	Outstand Wall `json:"outstand"`
}

// WallLimits are the width-to-thickness ratios above which a wall in uniform
// compression may buckle before it yields, so that the full section no longer
// counts (class 4).
type WallLimits struct {
	Internal, Outstand float64
	Source             string
}

// AluminiumWallLimits returns the limits for a heat-treated alloy without
// welds and of proof stress fo, Pa: 22 eps and 6 eps, eps = sqrt(250 MPa/fo).
//
// Source: EN 1999-1-1, 6.1.4.4 Table 6.2, class A (from memory).
func AluminiumWallLimits(fo float64) WallLimits {
	eps := math.Sqrt(250e6 / fo)
	return WallLimits{22 * eps, 6 * eps, "EN 1999-1-1 Table 6.2, class A without welds (from memory)"}
}

// SteelWallLimits returns the limits for steel of yield strength fy, Pa: 42
// eps and 14 eps, eps = sqrt(235 MPa/fy).
//
// Source: EN 1993-1-1:2005 Table 5.2, parts in compression, class 3.
func SteelWallLimits(fy float64) WallLimits {
	eps := math.Sqrt(235e6 / fy)
	return WallLimits{42 * eps, 14 * eps, "EN 1993-1-1 Table 5.2, class 3"}
}

// Slender reports whether a wall exceeds its limit, and says so in a sentence
// either way. Limits that are not numbers count as exceeded.
func (w Walls) Slender(l WallLimits) (slender bool, note string) {
	inside, outside := w.Internal.Ratio(), w.Outstand.Ratio()
	slender = !(inside <= l.Internal && outside <= l.Outstand)
	verdict := "the full section counts"
	if slender {
		verdict = "walls may buckle locally before they yield; the full section must not be counted on in compression"
	}
	return slender, fmt.Sprintf("widest internal wall %.1f times its thickness (limit %.1f), widest outstand %.1f (limit %.1f): %s; %s",
		inside, l.Internal, outside, l.Outstand, verdict, l.Source)
}

// parallel is the sine of the angle up to which two edges count as parallel.
const parallel = 0.05

// run is a straight stretch of a loop, material on its left.
type run struct {
	loop        int
	a, b        Point
	first, last int // indices of its first and last point in the loop
}

// walls finds the most slender walls of an outline in standard order.
func (o Outline) walls() (w Walls) {
	loops := o.loops()
	var runs []run
	for k, l := range loops {
		runs = append(runs, l.straightRuns(k)...)
	}
	for i, e := range runs {
		for j, f := range runs {
			if j <= i {
				continue
			}
			wall, ok := facing(e, f)
			if !ok || wall.Ratio() <= 1 || blocked(runs, i, j, wall) {
				continue
			}
			into := &w.Internal
			if e.loop == f.loop {
				reach := 3 * wall.Thickness
				if loops[e.loop].path(e.last, f.first) <= reach || loops[e.loop].path(f.last, e.first) <= reach {
					into = &w.Outstand
				}
			}
			if wall.Ratio() > into.Ratio()*(1+1e-9) {
				*into = wall
			}
		}
	}
	return w
}

// straightRuns joins edges that continue each other.
func (l Loop) straightRuns(loop int) (runs []run) {
	n := len(l)
	turns := func(i int) bool {
		u, v := l[i].sub(l[(i+n-1)%n]), l[(i+1)%n].sub(l[i])
		return math.Abs(cross(u, v)) > 1e-6*u.length()*v.length()
	}
	start := 0
	for start < n && !turns(start) {
		start++
	}
	for i := start; i < start+n; {
		j := i + 1
		for !turns(j % n) {
			j++
		}
		runs = append(runs, run{loop, l[i%n], l[j%n], i % n, j % n})
		i = j
	}
	return runs
}

// path returns the length along the loop from point i forward to point j, m.
func (l Loop) path(i, j int) float64 {
	sum := 0.0
	for ; i != j; i = (i + 1) % len(l) {
		sum += l[(i+1)%len(l)].sub(l[i]).length()
	}
	return sum
}

// facing returns the wall between two runs, if they are antiparallel, overlap
// and have material to their inner sides.
func facing(e, f run) (Wall, bool) {
	d := e.b.sub(e.a)
	length := d.length()
	d = Point{d.Y / length, d.Z / length}
	g := f.b.sub(f.a)
	if dot(d, g) >= 0 || math.Abs(cross(d, g)) > parallel*g.length() {
		return Wall{}, false
	}
	along := func(p Point) float64 { return dot(d, p.sub(e.a)) }
	above := func(p Point) float64 { return cross(d, p.sub(e.a)) }
	lo, hi := max(0, along(f.b)), min(length, along(f.a))
	if !(hi > lo) {
		return Wall{}, false
	}
	height := func(s float64) float64 {
		return above(f.a) + (s-along(f.a))/(along(f.b)-along(f.a))*(above(f.b)-above(f.a))
	}
	t := min(height(lo), height(hi))
	if !(t > 0) {
		return Wall{}, false
	}
	s, h := (lo+hi)/2, height((lo+hi)/2)/2
	return Wall{hi - lo, t, Point{e.a.Y + s*d.Y - h*d.Z, e.a.Z + s*d.Z + h*d.Y}}, true
}

// blocked reports whether another run lies between the two sides of a wall at
// its middle.
func blocked(runs []run, i, j int, w Wall) bool {
	a, b := nearest(w.Middle, runs[i].a, runs[i].b), nearest(w.Middle, runs[j].a, runs[j].b)
	for k, r := range runs {
		if k != i && k != j && distanceOfEdges(a, b, r.a, r.b) == 0 {
			return true
		}
	}
	return false
}
