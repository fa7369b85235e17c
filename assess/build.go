package assess

import (
	"context"
	"fmt"

	"spanwright/ledger"
	"spanwright/machine"
)

// buildChecks judge rules of the trade that no number measures.
func (r *run) buildChecks(context.Context) error {
	r.underBeams()
	r.cornerTension()
	if s := r.opts.Screened; s != nil && s.rooms != nil && s.rooms.m == r.m {
		for _, c := range s.rooms.checks {
			r.ledger.Add(c)
		}
		r.not = append(r.not, s.rooms.not...)
		return nil
	}
	return r.collisionChecks()
}

// underBeams: a heavy axis has a second profile under its beam.
func (r *run) underBeams() {
	for _, a := range r.m.Axes {
		if a.BodyMoves {
			continue
		}
		moved := r.m.Moved(a.Index, true)
		limit := r.m.Design.Assumptions.Limits.HeavyAxis
		if moved <= limit {
			continue
		}
		c := axisCheck(a.Spec.ID, "build.under_beam", ".under_beam", "a heavy axis has a second profile under its beam")
		c.Note = fmt.Sprintf("moves %.3g kg, heavy from %.3g kg on; a rail of the stand along the whole beam counts", moved, limit)
		r.add(present(c, r.hasUnderBeam(a), practice), nil)
	}
}

func (r *run) hasUnderBeam(a *machine.Axis) bool {
	if a.Spec.UnderBeam != "" && a.Spec.UnderBeam != "none" {
		return true
	}
	if a.Index > 0 {
		return false
	}
	for _, c := range r.m.Connections { // on a rail that runs along it, the beam is held at more than two places of one line
		if c.Axis == a.Index && c.Kind == machine.Support && c.A.Node < 0 && r.m.Members[c.A.Member].Plane == "along" {
			return true
		}
	}
	return false
}

// cornerTension: corner joints carry by screws in tension rather than by slot
// friction; where they do not, two faces of each profile are fixed.
func (r *run) cornerTension() {
	seen := map[string]bool{}
	for _, mem := range r.m.Members {
		for _, j := range mem.Joints {
			if !j.HasPart() || mem.Role == machine.Brace || seen[j.Part.ID] {
				continue
			}
			p := j.Part
			seen[p.ID] = true
			c := newCheck("build.corner", j.Path, "corner joint "+p.ID+" works by screws in tension, or fixes two faces")
			c.ID = "build.corner." + p.ID
			r.add(present(c, p.Tension || p.Faces >= 2, practice), nil)
		}
	}
}

// braceChecks: bracing is present in every plane; what it does is in the
// whole-machine solution.
func (r *run) braceChecks() {
	c := newCheck("stand.bracing", "stand", "planes of the stand that are braced")
	c.Note = "presence is the rule of the trade; what bracing does is in sag, sway and frequency"
	planes := []struct {
		symbol, name string
		there        bool
	}{
		{"b_l", "angled members in the vertical plane along", r.hasBrace("along")},
		{"b_c", "angled members in the vertical planes across", r.hasBrace("across")},
		{"b_t", "horizontal members at the top", r.hasHorizontal("top")},
		{"b_b", "horizontal members at the bottom", r.hasHorizontal("bottom")},
	}
	w := ledger.Working{Formula: "n = b_l + b_c + b_t + b_b", Source: practice, Counted: true}
	n := 0.0
	for _, p := range planes {
		value := 0.0
		if p.there {
			value = 1
		}
		n += value
		w.Inputs = append(w.Inputs, in(p.symbol, p.name, value, "", "stand"))
	}
	r.add(atLeast(c, n, float64(len(planes)), "", w), nil)
}

// hasBrace tells whether an angled member stiffens a plane; explicit braces
// count by where they point.
func (r *run) hasBrace(plane string) bool {
	for i, mem := range r.m.Members {
		if mem.Role != machine.Brace {
			continue
		}
		if mem.Plane == plane || mem.Plane == "" && r.pointsIn(i, plane) {
			return true
		}
	}
	return false
}

// pointsIn tells whether a member rises and runs in a vertical plane.
func (r *run) pointsIn(member int, plane string) bool {
	mem := r.m.Members[member]
	d := [3]float64{}
	p, q := r.m.Nodes[mem.From].At, r.m.Nodes[mem.To].At
	d[0], d[1], d[2] = q.X-p.X, q.Y-p.Y, q.Z-p.Z
	dir := r.m.Stand.Along
	if plane == "across" {
		dir = r.m.Stand.Across
	}
	run := d[0]*dir.X + d[1]*dir.Y
	l := r.m.Length(member)
	const angled = 0.17 // about 10 degrees
	return abs(run) > angled*l && abs(d[2]) > angled*l
}

func abs(x float64) float64 {
	if x < 0 {
		return -x
	}
	return x
}

// hasHorizontal tells whether rails join the legs in the upper or the lower half of the stand.
func (r *run) hasHorizontal(level string) bool {
	half := r.height() / 2
	for i, mem := range r.m.Members {
		if mem.Role != machine.Rail && mem.Role != machine.FootRail {
			continue
		}
		p, q := r.m.Nodes[mem.From].At, r.m.Nodes[mem.To].At
		if abs(p.Z-q.Z) > 0.05*r.m.Length(i) {
			continue
		}
		if (level == "top") == (p.Z > half) {
			return true
		}
	}
	return false
}
