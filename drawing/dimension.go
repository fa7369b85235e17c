package drawing

import (
	"cmp"
	"math"
	"slices"
)

// Side is the side of a view on which dimensions stand.
type Side int

// The sides of a view.
const (
	Below Side = iota
	Above
	LeftOf
	RightOf
)

// Measure is one linear dimension along a side.
type Measure struct {
	From, To    float64 // along the side: x below and above, y left and right; mm on the sheet
	Start, Stop float64 // where the extension lines begin, across the side; mm on the sheet
	Text        string
}

func (m Measure) span() float64 { return math.Abs(m.To - m.From) }

// Ladder is the dimensions on one side of a view, in tiers outward from Base.
type Ladder struct {
	Side     Side
	Base     float64 // outline of the view across the side, mm on the sheet
	Measures []Measure
}

// Distances of dimensions, mm: first line from the outline and step between
// tiers are common practice; gap and overrun of extension lines ISO 129-1.
const (
	firstTier = 10.0
	tierStep  = 7.0
	extGap    = 1.0
	overrun   = 2.0
	textLift  = 1.2 // base line above the dimension line, clear of descenders
)

// tiers gives each measure a tier: the shortest go inside, and two share a tier
// if neither their lines nor their texts meet.
func (l Ladder) tiers() ([]int, int) {
	order := make([]int, len(l.Measures))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(l.Measures[a].span(), l.Measures[b].span()) })
	tier := make([]int, len(l.Measures))
	var used [][][2]float64
	for _, i := range order {
		lo, hi := l.Measures[i].reach()
		t := 0
		for ; t < len(used); t++ {
			if !slices.ContainsFunc(used[t], func(o [2]float64) bool { return lo < o[1]-1e-6 && o[0] < hi-1e-6 }) && !l.within(used, t, i) {
				break
			}
		}
		if t == len(used) {
			used = append(used, nil)
		}
		used[t] = append(used[t], [2]float64{lo, hi})
		tier[i] = t
	}
	return tier, len(used)
}

// within tells whether an outer tier already holds a measure that measure i
// encloses: then i has to go further out, or its extension lines would cross it.
func (l Ladder) within(used [][][2]float64, t, i int) bool {
	lo, hi := l.Measures[i].reach()
	for _, outer := range used[t+1:] {
		for _, o := range outer {
			if o[0] >= lo-1e-6 && o[1] <= hi+1e-6 {
				return true
			}
		}
	}
	return false
}

// reach is what a measure covers along its side with text and arrows.
func (m Measure) reach() (lo, hi float64) {
	lo, hi = math.Min(m.From, m.To), math.Max(m.From, m.To)
	w := TextWidth(m.Text, Normal) + 2
	if w > hi-lo { // the text stands beside the line, on the far end
		hi += w + arrowLength + 2
	}
	if !m.inside() {
		lo -= arrowLength + 2
	}
	return lo, hi
}

// Depth is how far the ladder reaches out from its base, mm.
func (l Ladder) Depth() float64 {
	if len(l.Measures) == 0 {
		return 0
	}
	_, n := l.tiers()
	return firstTier + float64(n-1)*tierStep + textLift + Normal + 2
}

// Ladder draws the dimensions and returns those whose text found no place in
// three tiers: they belong into a table.
func (s *Sheet) Ladder(l Ladder) []Measure {
	tier, _ := l.tiers()
	order := make([]int, len(l.Measures))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(tier[a], tier[b]) })
	var left []Measure
	for _, i := range order {
		placed := false
		for try := 0; try < 3 && !placed; try++ {
			placed = s.measure(l, l.Measures[i], tier[i]+try)
		}
		if !placed {
			left = append(left, l.Measures[i])
		}
	}
	return left
}

// outward is the direction of the tiers across the side.
func (l Ladder) outward() float64 {
	if l.Side == Below || l.Side == LeftOf {
		return -1
	}
	return 1
}

// at is a point from along and across.
func (l Ladder) at(along, across float64) Point {
	if l.Side == Below || l.Side == Above {
		return Point{along, across}
	}
	return Point{across, along}
}

// measure draws one dimension in a tier, false if its text finds no place there
// or its lines would run through texts.
func (s *Sheet) measure(l Ladder, m Measure, tier int) bool {
	if m.From > m.To {
		m.From, m.To, m.Start, m.Stop = m.To, m.From, m.Stop, m.Start
	}
	line := l.Base + l.outward()*(firstTier+float64(tier)*tierStep)
	t, ok := s.dimensionText(l, m, line)
	if !ok {
		return false
	}
	lines := l.lines(m, t, line)
	for _, g := range lines {
		for _, o := range s.Texts {
			if o.Rect().Overlaps(rectOf(g[0], g[1]).Grow(0.1)) {
				return false
			}
		}
	}
	s.Write(t)
	s.Dimensions = append(s.Dimensions, m)
	for _, g := range lines {
		s.Line(Dimension, g[0], g[1])
		s.Take(rectOf(g[0], g[1]).Grow(0.2))
	}
	turn := 0.0
	if l.Side == LeftOf || l.Side == RightOf {
		turn = math.Pi / 2
	}
	if !m.inside() {
		turn += math.Pi
	}
	s.Arrow(Dimension, l.at(m.From, line), turn+math.Pi)
	s.Arrow(Dimension, l.at(m.To, line), turn)
	return true
}

// inside tells whether both arrows have room between the extension lines.
func (m Measure) inside() bool { return m.span() >= 2*arrowLength+2 }

// lines are the dimension line, long enough for outer arrows and to carry its
// text, and the extension lines.
func (l Ladder) lines(m Measure, t Text, line float64) [][2]Point {
	lo, hi := m.From, m.To
	if !m.inside() {
		lo, hi = lo-arrowLength-2, hi+arrowLength+2
	}
	textLo, textHi := l.along(t.Rect())
	if textHi > m.To {
		hi = math.Max(hi, textHi)
	}
	if textLo < m.From {
		lo = math.Min(lo, textLo)
	}
	out := [][2]Point{{l.at(lo, line), l.at(hi, line)}}
	for _, e := range [][2]float64{{m.From, m.Start}, {m.To, m.Stop}} {
		out = append(out, [2]Point{l.at(e[0], e[1]+l.outward()*extGap), l.at(e[0], line+l.outward()*overrun)})
	}
	return out
}

// along is what a rectangle covers along the side.
func (l Ladder) along(r Rect) (lo, hi float64) {
	if l.Side == LeftOf || l.Side == RightOf {
		return r.Min.Y, r.Max.Y
	}
	return r.Min.X, r.Max.X
}

func rectOf(a, b Point) Rect {
	return Rect{a, a}.union(Rect{b, b})
}

// dimensionText finds a place for the text: the middle, then along the line,
// then beyond its ends.
func (s *Sheet) dimensionText(l Ladder, m Measure, line float64) (Text, bool) {
	w := TextWidth(m.Text, Normal)
	mid := (m.From + m.To) / 2
	var places []float64
	if w+2 <= m.span() {
		room := (m.span() - w) / 2
		places = []float64{mid, mid - room/2, mid + room/2, mid - room*0.85, mid + room*0.85}
	}
	side := w/2 + arrowLength + 3
	places = append(places, m.To+side, m.From-side)
	for _, p := range places {
		t := Text{Height: Normal, Align: Middle, String: m.Text, At: Point{p, line + textLift}}
		if l.Side == LeftOf || l.Side == RightOf {
			t.At, t.Angle = Point{line - textLift, p}, math.Pi/2
		}
		r := t.Rect()
		if s.Format.Area().Grow(-1).Holds(r) && s.Free(r) && !l.crossed(m, t) {
			return t, true
		}
	}
	return Text{}, false
}

// crossed tells whether the extension line of a longer measure, which as a rule
// is drawn later and further out, would run through a text.
func (l Ladder) crossed(own Measure, t Text) bool {
	lo, hi := l.along(t.Rect())
	for _, m := range l.Measures {
		for _, e := range []float64{m.From, m.To} {
			if e > lo-0.3 && e < hi+0.3 && m.span() > own.span() {
				return true
			}
		}
	}
	return false
}
