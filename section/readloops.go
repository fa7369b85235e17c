package section

import (
	"errors"
	"slices"
)

// readLoops reads outer and holes and checks the outline, with every fault at
// its own point of the file.
func (r *reader) readLoops(f *File, o object) {
	before := len(r.mistakes)
	outer := o.members["outer"]
	f.Shape.Outer = r.loop(outer)
	places := []*node{outer}
	if holes := o.members["holes"]; holes != nil {
		if holes.kind != "list" {
			r.mistake(holes, "", "a list of holes is needed, each a list of points or a circle")
		}
		for _, h := range holes.items {
			f.Shape.Holes = append(f.Shape.Holes, r.hole(h))
			places = append(places, h)
		}
	}
	if len(r.mistakes) > before {
		return
	}
	var faults *OutlineError
	if !errors.As(f.Shape.Check(), &faults) {
		return
	}
	for _, fault := range faults.Faults {
		at := places[fault.Loop]
		if fault.Point >= 0 && fault.Point < len(at.items) {
			at = at.items[fault.Point]
		}
		r.mistake(at, "", "%s", fault.Reason)
	}
}

func (r *reader) loop(n *node) (l Loop) {
	if n.kind != "list" {
		r.mistake(n, "e.g. [[0, 0], [40, 0], [40, 20]]", "a list of points is needed")
		return nil
	}
	for _, item := range n.items {
		l = append(l, r.point(item))
	}
	return l
}

func (r *reader) point(n *node) Point {
	if n.kind != "list" || len(n.items) != 2 {
		r.mistake(n, "", "a point is two numbers, [y, z]")
		return Point{}
	}
	return Point{r.number(n.items[0]) * r.unit, r.number(n.items[1]) * r.unit}
}

// hole reads a list of points or a circle.
func (r *reader) hole(n *node) Loop {
	if n.kind != "object" {
		return r.loop(n)
	}
	o := r.object(n, "circle")
	if !o.has("circle") {
		r.mistake(n, `e.g. {"circle": {"centre": [0, 0], "diameter": 8}}`, "a hole is a list of points or a circle")
		return nil
	}
	c := r.object(o.members["circle"], "centre", "diameter")
	d := c.size("diameter")
	centre := c.need("centre")
	if centre == nil {
		return nil
	}
	return circle(r.point(centre), d/2, circlePoints)
}

// object gives access to the members of a JSON object whose keys are known.
type object struct {
	r       *reader
	n       *node
	members map[string]*node
}

// object checks that n is an object with no other than the allowed keys, each
// once.
func (r *reader) object(n *node, allowed ...string) object {
	o := object{r, n, map[string]*node{}}
	if n.kind != "object" {
		r.mistake(n, "", "an object in braces is needed")
		return o
	}
	for _, m := range n.keys {
		at := &node{kind: "object", at: m.at, path: m.value.path}
		switch {
		case !slices.Contains(allowed, m.name):
			hint := ""
			if near := nearestWord(m.name, allowed); near != "" {
				hint = "did you mean \"" + near + "\"?"
			}
			r.mistake(at, hint, "unknown key")
		case o.members[m.name] != nil:
			r.mistake(at, "", "the key appears twice")
		default:
			o.members[m.name] = m.value
		}
	}
	return o
}

func (o object) has(key string) bool { return o.members[key] != nil }

func (o object) need(key string) *node {
	if v := o.members[key]; v != nil {
		return v
	}
	if o.n.kind == "object" {
		o.r.mistake(o.n, "", "%s is missing", key)
	}
	return nil
}

func (o object) number(key string) float64 {
	if v := o.need(key); v != nil {
		return o.r.number(v)
	}
	return 0
}

// size reads a length, m.
func (o object) size(key string) float64 { return o.number(key) * o.r.unit }

// optional reads a length that may be left out, m.
func (o object) optional(key string) float64 {
	if !o.has(key) {
		return 0
	}
	return o.size(key)
}

func (o object) text(key, otherwise string) string {
	v := o.members[key]
	if v == nil {
		return otherwise
	}
	if v.kind != "text" {
		o.r.mistake(v, "", "a text in quotes is needed")
		return otherwise
	}
	return v.text
}

func (o object) truth(key string) bool {
	v := o.members[key]
	if v == nil {
		return false
	}
	if v.kind != "truth" {
		o.r.mistake(v, "", "true or false is needed")
	}
	return v.truth
}

// nearestWord returns the word with the fewest edits from s, if they are few.
func nearestWord(s string, words []string) string {
	best, least := "", 1+len(s)/3
	for _, w := range words {
		if d := edits(s, w); d <= least {
			if d < least || best == "" {
				best, least = w, d
			}
		}
	}
	return best
}

// edits is the Levenshtein distance in bytes.
func edits(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			cost := diagonal
			if a[i] != b[j] {
				cost++
			}
			diagonal = row[j+1]
			row[j+1] = min(cost, row[j+1]+1, row[j]+1)
		}
	}
	return row[len(b)]
}
