package search

import (
	"fmt"
	"math/big"
	"slices"

	"spanwright/diag"
	"spanwright/parts"
)

// Space is what a search chooses from. A list with one entry is settled.
type Space struct {
	Paces  []Pace
	Axes   []AxisSpace // from the stand to the tool
	Frames []Frame
}

// AxisSpace is what is chosen of one axis.
type AxisSpace struct {
	Parts  []string
	Screws []string // for axis parts with a screw; "" is that of the part
	Motors []string
	Gears  []string
	Brakes []string
	Joins  []string
}

// Combinations is how many choices the space holds. Screws count for axis parts
// that have one.
func (s *Space) Combinations(catalogue *parts.Catalogue) *big.Int {
	n := big.NewInt(1)
	times := func(k int) { n.Mul(n, big.NewInt(int64(k))) }
	times(len(s.Paces))
	times(len(s.Frames))
	for _, a := range s.Axes {
		bodies := 0
		for _, id := range a.Parts {
			bodies += len(a.screwsOf(catalogue, id))
		}
		times(bodies)
		times(len(a.Motors))
		times(len(a.Gears))
		times(len(a.Brakes))
		times(len(a.Joins))
	}
	return n
}

// screwsOf are the screws that an axis part may have: none but its own kind.
func (a *AxisSpace) screwsOf(catalogue *parts.Catalogue, id string) []string {
	part, ok := catalogue.Axis(id)
	if !ok || part.Screw == "" {
		return []string{""}
	}
	return a.Screws
}

// NewSpace is everything that the catalogue offers for the problem, less what the
// user has settled. The mistakes name settled parts that are not in the catalogue.
func (p *Problem) NewSpace() (*Space, diag.List) {
	s := &Space{Paces: p.paces()}
	var list diag.List
	for i := range p.axes {
		a, wrong := p.axisSpace(i)
		s.Axes = append(s.Axes, a)
		list.Add(wrong...)
	}
	frames, wrong := p.frames()
	s.Frames = frames
	list.Add(wrong...)
	return s, list.Sorted()
}

// paces are the usual ones. Limits that the user has settled may need all of the
// time that the rate gives, so that share is tried too, and it alone where no
// limit is open.
func (p *Problem) paces() []Pace {
	open, settled := p.openLimits()
	switch {
	case !open:
		return manners(1)
	case settled:
		return append(manners(1), usualPaces()...)
	}
	return usualPaces()
}

// openLimits tells whether any limit of an axis is open, and whether any is settled.
func (p *Problem) openLimits() (open, settled bool) {
	for _, a := range p.axes {
		for _, key := range []string{"speed", "acceleration", "jerk"} {
			if p.Task.File.Given("axes." + a.id + ".limits." + key) {
				settled = true
			} else {
				open = true
			}
		}
	}
	return open, settled
}

// usualPaces are what a search tries: own choice. Shares of time near 1 leave
// hardly any to settle; hard stops shorten the beams and shake the stand.
func usualPaces() (out []Pace) {
	for _, share := range []float64{0.99, 0.96, 0.88, 0.78, 0.68} {
		out = append(out, manners(share)...)
	}
	return out
}

// manners are the ways to run that are tried at one share of the time.
func manners(share float64) (out []Pace) {
	for _, rise := range []float64{0.1, 0.15, 0.2} {
		for _, upright := range []float64{0.6, 1} {
			for _, stop := range []float64{1.2, 2, 2.5} {
				out = append(out, Pace{share, rise, upright, stop})
			}
		}
	}
	return out
}

// pinned takes what the user has settled, if it is in the catalogue, or all.
func (p *Problem) pinned(list *diag.List, kind, path, value string, all []string) []string {
	if !p.Task.File.Given(path) {
		return all
	}
	if _, ok := p.Catalogue.Find(kind, value); !ok && value != none {
		list.Add(diag.Diagnostic{Pos: p.Task.File.Where(path), Code: PinnedPart, Path: path, Value: value,
			Message: fmt.Sprintf("%q is no %s of the catalogue", value, kind), Hint: near(p.Catalogue, kind, value)})
	}
	return []string{value}
}

func near(catalogue *parts.Catalogue, kind, id string) string {
	if found := catalogue.Near(kind, id); len(found) > 0 {
		return "did you mean " + found[0] + "?"
	}
	return ""
}

func (p *Problem) axisSpace(i int) (AxisSpace, diag.List) {
	var list diag.List
	c, r := p.Catalogue, p.axes[i]
	at := "axes." + r.id + "."
	own := struct{ part, screw, motor, gear, brake, join string }{}
	if i < len(p.Task.Axes) {
		a := p.Task.Axes[i]
		own.part, own.screw, own.motor, own.gear, own.brake, own.join = a.Part, a.Drive.Screw, a.Motor, a.Gear, a.Brake, a.Join.Part
	}
	withNone := func(ids []string) []string { return append([]string{none}, ids...) }
	s := AxisSpace{
		Parts:  p.pinned(&list, "axis", at+"part", own.part, c.IDs("axis")),
		Screws: p.pinned(&list, "screw", at+"drive.screw", own.screw, append([]string{""}, c.IDs("screw")...)),
		Motors: p.pinned(&list, "motor", at+"motor", own.motor, c.IDs("motor")),
		Gears:  p.pinned(&list, "gear", at+"gear", own.gear, withNone(c.IDs("gear"))),
		Brakes: p.pinned(&list, "brake", at+"brake", own.brake, []string{none}),
		Joins:  p.pinned(&list, joinKind(i), at+"join.part", own.join, c.IDs(joinKind(i))),
	}
	if r.mast && !p.Task.File.Given(at+"brake") {
		s.Brakes = c.IDs("brake") // a gravity axis has one, always
	}
	return s, list
}

func joinKind(axis int) string {
	if axis == 0 {
		return "clamp"
	}
	return "plate"
}

// frames are the stands: for every module of T-slot profiles legs of one or two
// modules, rails that go with them, and the plates and gussets that fit.
func (p *Problem) frames() (out []Frame, list diag.List) {
	for _, f := range p.allFrames() {
		own, wrong := p.pinFrame(f)
		if len(list) == 0 {
			list = wrong
		}
		if !slices.Contains(out, own) {
			out = append(out, own)
		}
	}
	return out, list
}

// pinFrame takes over what is settled of the stand.
func (p *Problem) pinFrame(f Frame) (Frame, diag.List) {
	var list diag.List
	s := p.Task.Stand
	take := func(kind, path, value string, to *string) {
		*to = p.pinned(&list, kind, path, value, []string{*to})[0]
	}
	take("foot", "stand.foot", s.Foot, &f.Foot)
	g := s.Generate
	if g == nil {
		return f, list
	}
	const at = "stand.generate."
	if p.Task.File.Given(at + "legs.count") {
		f.Legs = g.Legs.Count
	}
	take("profile", at+"legs.profile", g.Legs.Profile, &f.Leg)
	take("profile", at+"top_rail", g.TopRail, &f.TopRail)
	take("profile", at+"cross_rail", g.CrossRail, &f.CrossRail)
	take("profile", at+"bottom_rail", g.BottomRail, &f.BottomRail)
	take("profile", at+"foot_rail", g.FootRail, &f.FootRail)
	take("joint", at+"joint", g.Joint, &f.Joint)
	take("joint", at+"brace_joint", g.BraceJoint, &f.BraceJoint)
	if p.Task.File.Given(at + "braces") {
		f.Brace, f.Reach = "", 0
	}
	if p.Task.File.Given(at+"depth") || p.gantry() {
		f.Width = 0
	}
	return f, list
}
