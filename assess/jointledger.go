package assess

import (
	"fmt"
	"math"
	"strings"

	"spanwright/joint"
	"spanwright/ledger"
	"spanwright/structure"
)

// mechanismTitles say what each check of a joint compares.
var mechanismTitles = map[joint.Mechanism]string{
	joint.Slip:        "slip of the clamped faces",
	joint.PreloadHigh: "tightening of the screws against their proof load",
	joint.ScrewTight:  "force of the hardest-worked screw",
	joint.Opening:     "opening of the joint",
	joint.LipPullOut:  "pull of the slot nuts on the slot lips",
	joint.ThreadStrip: "pull of the screws on the core thread",
	joint.PlateBends:  "bending of plate or bracket",
	joint.EndPressure: "pressure on the pressed end",
}

// addGroup enters the checks of a group, or says why there are none.
func (r *run) addGroup(g *jointGroup) error {
	if g.missing != "" {
		c := newCheck(g.kind+".slip", g.subject, "hold of the "+g.title)
		c.ID = g.id + ".slip"
		r.add(unknown(c, g.missing), nil)
		return nil
	}
	for _, f := range g.found {
		var err error
		if f.check, err = f.worked(g); err != nil {
			return err
		}
		r.addFinding(g, f)
	}
	return nil
}

func (r *run) addFinding(g *jointGroup, f jointFinding) {
	mechanism := string(f.check.Mechanism)
	c := newCheck(g.kind+"."+mechanism, g.subject, mechanismTitles[f.check.Mechanism]+", "+g.title)
	c.ID = g.id + "." + mechanism
	c.Note = r.jointNote(g, f)
	if f.check.Missing != "" {
		r.add(unknown(c, f.check.Missing), nil)
		return
	}
	if spread(f.levels) {
		c.Range = &ledger.Range{
			Low: f.levels[structure.Low], Nominal: f.levels[structure.Nominal], High: f.levels[structure.High],
			Of: uncertain, Judged: f.at.String() + " stiffness",
		}
	}
	w := ledger.Working{Formula: f.check.Formula, Source: f.check.Source}
	for _, t := range f.check.Terms {
		w.Inputs = append(w.Inputs, in(t.Symbol, t.Name, t.Value, t.Unit, r.originOf(g, f, t.Name)))
	}
	r.add(atMost(c, f.check.Utilisation, 1, "", w), nil)
}

// spread tells whether the levels differ by more than a reader would notice.
func spread(levels [3]float64) bool {
	least, most := math.Inf(1), math.Inf(-1)
	for _, l := range levels {
		least, most = math.Min(least, l), math.Max(most, l)
	}
	return most-least > 1e-3*most && !math.IsInf(most, 1)
}

// jointNote names the place, pose and combination, demand and capacity, and what else there is to say.
func (r *run) jointNote(g *jointGroup, f jointFinding) string {
	var parts []string
	say := func(format string, args ...any) { parts = append(parts, fmt.Sprintf(format, args...)) }
	where := ""
	if f.check.Where != "" {
		where = f.check.Where + ", "
	}
	if f.check.Mechanism == joint.PreloadHigh {
		say("%s: %s of %s preload", g.part, plain(f.check.Demand, f.check.Unit), plain(f.check.Capacity, f.check.Unit))
		say("screws and seats allow a torque of %s N m", ledger.Number(g.torque()))
	} else {
		forces := r.study.forces
		say("%s, %s%s, %s, %s: %s of %s", g.part, where, g.places[f.place].name, r.poseText(forces.Poses[f.force.Pose]), forces.Combos[f.force.Combo].Name,
			plain(f.check.Demand, f.check.Unit), plain(f.check.Capacity, f.check.Unit))
	}
	if f.check.Mechanism == joint.Slip {
		say("friction at its low end")
		if g.line {
			say("bending of beam and rail as one section shears the supports; where one slips, part of that stiffness is lost")
		}
	}
	if plate := g.places[f.place].plate; plate != nil && f.check.Mechanism == joint.PlateBends {
		if note := ribNote(plate, f); note != "" {
			say("%s", note)
		}
	}
	for _, more := range []string{g.about[f.check.Mechanism], f.check.Note} {
		if more != "" {
			say("%s", more)
		}
	}
	return strings.Join(parts, "; ")
}

// torque is the largest tightening torque that holds at every place of a group, N m.
func (g *jointGroup) torque() float64 {
	least := math.Inf(1)
	for _, p := range g.places {
		least = math.Min(least, p.torque)
	}
	return least
}

// plain writes a value in a unit that a reader pictures.
func plain(v float64, unit string) string {
	if unit == "Pa" {
		v, unit = v/1e6, "MPa"
	}
	return ledger.Number(v) + " " + unit
}

// originOf says where a term of a joint's working comes from; what is named
// nowhere else comes out of the whole-machine solution.
func (r *run) originOf(g *jointGroup, f jointFinding, name string) string {
	switch name {
	case "factor on slip":
		if g.line {
			return "own choice: one support of a line that slips costs stiffness only; the line is judged with its factor"
		}
		return "assumptions.limits.slip"
	case "factor on yield":
		return "assumptions.limits.stress"
	case "friction":
		return "assumptions.slot_friction"
	case "load factor":
		return "engineering judgement, no source"
	case "proof stress", "stress area", "pitch diameter", "thread diameter":
		return "ISO 898-1 and ISO 724"
	case "nut factor", "share of the shear area that works":
		return practice
	case "tightening torque", "friction faces", "mean radius of the friction ring", "least clamp force of one screw", "largest preload of one screw",
		"preload of one screw", "largest clamp force of all screws", "working width of the plate", "plate thickness", "height of the plate at the joint line",
		"section modulus of a leg", "section modulus of the plate, ribs included", "0.2 % stress of the plate", "0.2 % stress of the bracket", "engaged thread":
		return "part " + g.part
	case "0.2 % stress of the profile", "0.2 % stress of the tapped part", "0.2 % stress", "length of lip that works", "lip thickness", "lever of the lip",
		"metal area of the end", "smallest section modulus":
		return "profile at " + g.places[f.place].name
	}
	return "whole-machine solution at " + g.places[f.place].name
}
