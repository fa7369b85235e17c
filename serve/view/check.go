package view

import (
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"spanwright/ledger"
	"spanwright/machine"
	"spanwright/wording"
)

// Check is one line of the ledger.
type Check struct {
	ID          string         `json:"id"`
	Kind        string         `json:"kind"`
	Group       string         `json:"group"`
	Subject     string         `json:"subject"`
	Title       string         `json:"title"`
	Verdict     ledger.Verdict `json:"verdict"`
	Value       Number         `json:"value"`
	Limit       Number         `json:"limit"`
	Unit        string         `json:"unit"`
	Sense       ledger.Sense   `json:"sense"`
	Utilisation Number         `json:"utilisation"`
	Shown       Shown          `json:"shown"`
	Missing     string         `json:"missing,omitempty"`
	Note        string         `json:"note,omitempty"`
	Caution     string         `json:"caution,omitempty"`
	Part        []string       `json:"part"`           // solids that it speaks of
	Path        string         `json:"path,omitempty"` // place in the design
	Pose        []Number       `json:"pose,omitempty"` // where it is worst, if it says so
}

// Shown is the outcome in words.
type Shown struct {
	Value   string `json:"value"`
	Limit   string `json:"limit"` // "at most 0.25 mm"
	Outcome string `json:"outcome"`
}

func shown(c *ledger.Check) Shown {
	s := Shown{Limit: wording.Bound(*c), Outcome: wording.Outcome(*c)}
	if !math.IsNaN(c.Value) {
		s.Value = wording.Value(c.Value, c.Unit)
	}
	return s
}

// Check writes a check with what it speaks of.
func (x *Index) Check(c *ledger.Check) Check {
	text := told(c)
	return Check{
		ID: c.ID, Kind: c.Kind, Group: c.Group, Subject: c.Subject, Title: c.Title, Verdict: c.Verdict,
		Value: Number(c.Value), Limit: Number(c.Limit), Unit: c.Unit, Sense: c.Sense, Utilisation: Number(c.Utilisation),
		Shown: shown(c), Missing: c.Missing, Note: c.Note, Caution: c.Caution,
		Part: x.lit(c, text), Path: c.Subject, Pose: x.pose(text),
	}
}

// told is all text of a check in which names and poses may stand.
func told(c *ledger.Check) string {
	var b strings.Builder
	b.WriteString(c.Note)
	for _, in := range c.Working.Inputs {
		b.WriteString("; " + in.Name + "; " + in.From)
	}
	return b.String()
}

// posePattern finds a pose in a text: "x 1.200 m, y 0.300 m" for all axes.
func posePattern(m *machine.Machine) *regexp.Regexp {
	var pattern strings.Builder
	for i, a := range m.Axes {
		if i > 0 {
			pattern.WriteString(", ")
		}
		pattern.WriteString(regexp.QuoteMeta(a.Spec.ID) + ` (-?\d+\.\d{3}) m`)
	}
	return regexp.MustCompile(pattern.String())
}

// pose reads the first pose that a check's texts give.
func (x *Index) pose(text string) []Number {
	found := x.poses.FindStringSubmatch(text)
	if found == nil {
		return nil
	}
	var out []Number
	for i, digits := range found[1:] {
		v, err := strconv.ParseFloat(digits, 64)
		if err != nil {
			return nil
		}
		out = append(out, Number(min(max(v, 0), x.m.Axes[i].Spec.Travel)))
	}
	return out
}

// lights says for a kind of check which things of its axis it speaks of. The
// longest beginning that fits counts.
var lights = map[string][]machine.Thing{
	"axis.acceleration": {machine.ThingPlate},
	"axis.belt.":        {machine.ThingEnd},
	"axis.brake.":       {machine.ThingMotor},
	"axis.gear.":        {machine.ThingGear, machine.ThingMotor},
	"axis.guide.":       {machine.ThingBlock},
	"axis.length":       {machine.ThingProfile},
	"axis.motor.":       {machine.ThingMotor},
	"axis.rack.":        {machine.ThingRack},
	"axis.screw.":       {machine.ThingScrew},
	"axis.speed":        {machine.ThingPlate},
	"axis.stroke":       {machine.ThingProfile},
	"axis.support.":     {machine.ThingProfile},
	"pair.":             {machine.ThingProfile, machine.ThingPlate},
	"safety.":           {machine.ThingMotor},
	"build.":            {machine.ThingProfile},
	"stop.":             {machine.ThingStop},
	"task.reach":        {machine.ThingProfile},
}

// lit are the solids that a check speaks of: those that its texts name, else
// those of its kind on its axis, else those of its place in the design.
func (x *Index) lit(c *ledger.Check, text string) []string {
	axis := x.axisOf(c.Subject)
	switch c.Group {
	case "build":
		if found := x.met(c); len(found) > 0 {
			return found
		}
	case "stand", "joint":
		if found := x.named(text); len(found) > 0 {
			return found
		}
	case "tool":
		if c.Kind == "tool.grip" {
			return append(x.things("tool", machine.ThingTool), x.things("payload", machine.ThingPayload)...)
		}
		return x.things("tool", machine.ThingTool)
	case "axis":
		if n := blockPattern.FindStringSubmatch(text); axis != "" && n != nil {
			if solids, _ := x.Part(axis + ".block." + n[1]); len(solids) > 0 {
				return solids
			}
		}
	}
	switch {
	case strings.HasPrefix(c.Kind, "stand.tipping"), strings.HasPrefix(c.Kind, "stand.sliding"):
		return x.things("stand", machine.ThingFoot)
	case c.Kind == "stand.buckling":
		return x.under("stand.generate.legs")
	case c.Subject == "stand":
		return x.things("stand", machine.ThingProfile)
	case axis == "":
		return x.under(c.Subject)
	}
	return x.sided(c, axis, x.ofAxis(c, axis))
}

// met are the solids whose nearest points a working gives.
func (x *Index) met(c *ledger.Check) []string {
	named := map[string]bool{}
	for _, in := range c.Working.Inputs {
		if part, is := strings.CutPrefix(in.Name, "point of "); is {
			named[strings.SplitN(part, ",", 2)[0]] = true
		}
	}
	return x.where(func(_ int, s *machine.Solid) bool { return named[s.ID] })
}

// ofAxis are the solids of an axis that a check of it speaks of.
func (x *Index) ofAxis(c *ledger.Check, axis string) []string {
	if c.Group == "joint" {
		return x.under("axes." + axis + ".join")
	}
	var things []machine.Thing
	longest := 0
	for begin, list := range lights {
		if strings.HasPrefix(c.Kind, begin) && len(begin) > longest {
			longest, things = len(begin), list
		}
	}
	for _, found := range [...][]string{x.things(axis, things...), x.under(c.Subject), x.things(axis, machine.ThingEnd)} {
		if len(found) > 0 {
			return found
		}
	}
	return x.things(axis, machine.ThingProfile)
}

// sided keeps what belongs to the side or to the end of the travel of which the
// id of a check speaks, if anything does.
func (x *Index) sided(c *ledger.Check, axis string, solids []string) []string {
	minus := strings.HasSuffix(c.ID, ".minus")
	if !minus && !strings.HasSuffix(c.ID, ".plus") {
		return solids
	}
	word := "." + c.ID[strings.LastIndexByte(c.ID, '.')+1:] + "."
	if c.Group == "stop" {
		word = ".to."
		for _, a := range x.m.Axes {
			if a.Spec.ID == axis && minus != a.BodyMoves { // the minus end is where a carriage stands at 0
				word = ".from."
			}
		}
	}
	own := slices.DeleteFunc(slices.Clone(solids), func(id string) bool { return !strings.Contains(id+".", word) })
	if len(own) == 0 {
		return solids
	}
	return own
}

// blockPattern finds the block that bears most.
var blockPattern = regexp.MustCompile(`\bblock (\d+)\b`)

// axisOf is the axis of which a design path speaks, "" for none.
func (x *Index) axisOf(path string) string {
	for _, begin := range [...]string{"axes.", "equipment.ends.", "equipment.carriers."} {
		rest, is := strings.CutPrefix(path, begin)
		for _, a := range x.m.Axes {
			if is && hasPrefix(rest, a.Spec.ID) {
				return a.Spec.ID
			}
		}
	}
	return ""
}
