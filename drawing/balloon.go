package drawing

import (
	"cmp"
	"math"
	"slices"
)

// Item is what a balloon points at.
type Item struct {
	At     Point    // on the sheet, mm
	Labels []string // one circle each, in a row outward
}

// Balloon circles, mm: about 2.5 to 3 times the height of the numbers; the
// least distance in a row. Common practice.
const (
	balloonRadius = 5.0
	balloonPitch  = 12.0
	dotRadius     = 0.7
)

// slot is a place for a balloon on one of the rows round a view.
type slot struct {
	at  Point
	out Point // unit vector away from the view
}

// BalloonMargin is the room that rows of balloons need round a view, mm, with
// the given most labels in one place.
func BalloonMargin(labels int) float64 {
	return balloonPitch + 2*balloonRadius*float64(max(labels, 1)) - balloonRadius + 1
}

// Balloons places one balloon for each item in rows round a view and draws the
// leaders. Items and places are paired so that no exchange of two of them makes
// the leaders shorter; two straight leaders that cross always can be shortened
// by an exchange, so none cross (derived: triangle inequality). It returns the
// items for which there is no place.
func (s *Sheet) Balloons(view Rect, items []Item) []Item {
	most := 1
	for _, it := range items {
		most = max(most, len(it.Labels))
	}
	slots := s.slots(view, most)
	var left []Item
	if len(items) > len(slots) {
		items, left = items[:len(slots)], items[len(slots):]
	}
	pair := matchItems(items, slots)
	for i, it := range items {
		s.balloon(it, slots[pair[i]])
	}
	return left
}

// slots are the free places round a view, at the pitch of the rows.
func (s *Sheet) slots(view Rect, most int) []slot {
	ring := view.Grow(balloonPitch)
	var out []slot
	row := func(from, to Point, outward Point) {
		n := int(from.distance(to)/balloonPitch + 1e-9)
		for i := 0; i <= n; i++ {
			t := 0.5
			if n > 0 {
				t = float64(i) / float64(n)
			}
			at := Point{from.X + t*(to.X-from.X), from.Y + t*(to.Y-from.Y)}
			far := at.Add(outward.X*2*balloonRadius*float64(most-1), outward.Y*2*balloonRadius*float64(most-1))
			r := rectOf(at, far).Grow(balloonRadius + 0.5)
			if s.Format.Area().Holds(r) && s.Free(r) {
				out = append(out, slot{at, outward})
			}
		}
	}
	in := balloonPitch // the corners belong to nobody
	row(Point{ring.Min.X, ring.Min.Y + in}, Point{ring.Min.X, ring.Max.Y - in}, Point{-1, 0})
	row(Point{ring.Max.X, ring.Min.Y + in}, Point{ring.Max.X, ring.Max.Y - in}, Point{1, 0})
	row(Point{ring.Min.X + in, ring.Max.Y}, Point{ring.Max.X - in, ring.Max.Y}, Point{0, 1})
	row(Point{ring.Min.X + in, ring.Min.Y}, Point{ring.Max.X - in, ring.Min.Y}, Point{0, -1})
	return out
}

// matchItems pairs items with slots: greedy by length, then exchanges with other
// items and moves to empty slots while they shorten the sum.
func matchItems(items []Item, slots []slot) []int {
	pair := make([]int, len(items))
	owner := make([]int, len(slots))
	for i := range owner {
		owner[i] = -1
	}
	type link struct {
		item, slot int
		length     float64
	}
	var links []link
	for i, it := range items {
		pair[i] = -1
		for j, sl := range slots {
			links = append(links, link{i, j, it.At.distance(sl.at)})
		}
	}
	slices.SortStableFunc(links, func(a, b link) int { return cmp.Compare(a.length, b.length) })
	for _, l := range links {
		if pair[l.item] < 0 && owner[l.slot] < 0 {
			pair[l.item], owner[l.slot] = l.slot, l.item
		}
	}
	length := func(i, j int) float64 { return items[i].At.distance(slots[j].at) }
	const gain = 1e-9 // mm, so that it ends
	for better := true; better; {
		better = false
		for i := range items {
			for j := range slots {
				a, o := pair[i], owner[j]
				if o == i {
					continue
				}
				before, after := length(i, a), length(i, j)
				if o >= 0 {
					before, after = before+length(o, j), after+length(o, a)
				}
				if after < before-gain {
					pair[i], owner[j], owner[a] = j, i, o
					if o >= 0 {
						pair[o] = a
					}
					better = true
				}
			}
		}
	}
	return pair
}

// balloon draws a leader with a dot in the part, and the circles.
func (s *Sheet) balloon(it Item, sl slot) {
	angle := math.Atan2(it.At.Y-sl.at.Y, it.At.X-sl.at.X)
	sin, cos := math.Sincos(angle)
	s.Line(Dimension, sl.at.Add(balloonRadius*cos, balloonRadius*sin), it.At)
	s.Dot(Dimension, it.At, dotRadius)
	for i, label := range it.Labels {
		c := sl.at.Add(sl.out.X*2*balloonRadius*float64(i), sl.out.Y*2*balloonRadius*float64(i))
		s.Circle(Dimension, c, balloonRadius)
		h := Normal
		if TextWidth(label, h) > 2*balloonRadius-1.5 {
			h = Small
		}
		s.Write(Text{At: c.Add(0, -h/2), Height: h, Align: Middle, String: label})
	}
}
