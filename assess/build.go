package assess

import (
	"context"
	"fmt"

	"spanwright/machine"
)

// buildChecks judge rules of the trade that no number measures.
func (r *run) buildChecks(context.Context) error {
	r.cableCarriers()
	r.underBeams()
	r.cornerTension()
	return nil
}

// cableCarriers: a cable that travels runs in a cable carrier.
func (r *run) cableCarriers() {
	for i, a := range r.m.Axes {
		crossing := 0
		for _, c := range r.m.Design.Equipment.Cables {
			if r.m.CableBody(c.To) > i {
				crossing++
			}
		}
		c := axisCheck(a.Spec.ID, "carrier.present", "", "cables that travel run in a cable carrier")
		c.Subject = "equipment.carriers." + a.Spec.ID
		if crossing == 0 && !contains(r.m.Design.Equipment.NoCables, a.Spec.ID) {
			r.add(unknown(c, "no cable crosses this joint by equipment.cables, and equipment.no_cables does not say so"), nil)
			continue
		}
		met := crossing == 0 || r.m.Carriers[a.Spec.ID] != nil
		r.add(present(c, met, fmt.Sprintf("%d cables cross the joint of axis %s", crossing, a.Spec.ID)), nil)
	}
}

func contains(list []string, word string) bool {
	for _, w := range list {
		if w == word {
			return true
		}
	}
	return false
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
		if mem.Joint == nil || mem.Joint.Part == nil || mem.Role == machine.Brace || seen[mem.Joint.Part.ID] {
			continue
		}
		p := mem.Joint.Part
		seen[p.ID] = true
		c := newCheck("build.corner", mem.Joint.Path, "corner joint "+p.ID+" works by screws in tension, or fixes two faces")
		c.ID = "build.corner." + p.ID
		r.add(present(c, p.Tension || p.Faces >= 2, practice), nil)
	}
}

// braceChecks: bracing is present in every plane; its effect is in the
// whole-machine solution.
func (r *run) braceChecks() {
	planes := []struct{ plane, title string }{{"along", "angled bracing in the vertical plane along the stand"}, {"across", "angled bracing in the vertical plane across the stand"}}
	for _, p := range planes {
		c := newCheck("build.bracing", "stand", p.title)
		c.ID = "build.bracing." + p.plane
		c.Note = "presence is the rule of the trade; what it does is in sag, sway and frequency"
		r.add(present(c, r.hasBrace(p.plane), practice), nil)
	}
	for _, level := range [2]string{"top", "bottom"} {
		c := newCheck("build.horizontal", "stand", "horizontal members join the legs at the "+level)
		c.ID = "build.horizontal." + level
		r.add(present(c, r.hasHorizontal(level), practice), nil)
	}
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
