package assess

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/joint"
	"spanwright/ledger"
	"spanwright/machine"
	"spanwright/parts"
	"spanwright/structure"
)

// standKinds are the kinds of stand joints by where the design names their hardware.
var standKinds = []struct{ path, kind, title string }{
	{"stand.generate.foot_joint", "joint.foot", "joints at the foot of the legs"},
	{"stand.generate.brace_joint", "joint.brace", "brace joints"},
	{"stand.generate.joint", "joint.corner", "corner joints"},
}

// standJoints gathers the member ends of the stand by kind and hardware.
func (r *run) standJoints() (out []*jointGroup) {
	for i, mem := range r.m.Members {
		for end, j := range mem.Joints {
			if !j.HasPart() {
				continue
			}
			g := standGroup(j)
			if k := slices.IndexFunc(out, func(o *jointGroup) bool { return o.id == g.id }); k >= 0 {
				g = out[k]
			} else {
				out = append(out, g)
			}
			r.standPlace(g, i, end)
		}
	}
	return out
}

// standGroup starts the group that a joint belongs to. Joints that are written
// out member by member may be of many kinds, so their ids name the hardware.
func standGroup(j *machine.Joint) *jointGroup {
	g := &jointGroup{subject: j.Path, part: j.Part.ID, compared: true}
	for _, k := range standKinds {
		if j.Path == k.path {
			g.id, g.kind, g.title = k.kind, k.kind, k.title
			return g
		}
	}
	g.id, g.kind, g.title, g.subject = "joint.explicit."+j.Part.ID, "joint.explicit", "joints of members written out", "stand.members"
	return g
}

// standPlace adds a member's end to its group.
func (r *run) standPlace(g *jointGroup, member, end int) {
	mem := r.m.Members[member]
	p := mem.Joints[end].Part
	place := jointPlace{name: r.endName(member, end), forces: atEnd(member, end), torque: math.Inf(1)}
	hosts := r.hosts(member, end)
	for _, reason := range r.misfit(member, p, hosts) {
		if !slices.Contains(g.misfits, reason) {
			g.misfits = append(g.misfits, reason)
		}
	}
	family := joint.Family(p.Family)
	for _, plane := range r.planes(member, hosts, family) {
		j, torque, err := r.assembleEnd(member, p, hosts, plane)
		if err != nil {
			g.missing = place.name + ": " + err.Error()
			return
		}
		place.torque = math.Min(place.torque, torque)
		place.holds = append(place.holds, jointHold{joint: j, turn: turnOf(end, plane), oneSided: family == joint.OneBracket})
	}
	if len(g.places) == 0 {
		g.about = map[joint.Mechanism]string{joint.Slip: r.rigidity(member, end)}
	}
	g.places = append(g.places, place)
}

func (r *run) endName(member, end int) string {
	mem := r.m.Members[member]
	node := [...]int{mem.From, mem.To}[end]
	if id := r.m.Nodes[node].ID; id != "" {
		return mem.ID + " at " + id
	}
	return mem.ID + ", " + [...]string{"first", "second"}[end] + " end"
}

// hosts are the members that a member's end is fixed to: those that pass its
// node without a joint of their own, or all others if there is none.
func (r *run) hosts(member, end int) []int {
	mem := r.m.Members[member]
	node := [...]int{mem.From, mem.To}[end]
	var through, all []int
	for i, o := range r.m.Members {
		if i == member || o.From != node && o.To != node {
			continue
		}
		all = append(all, i)
		if !(o.From == node && o.Joints[0] != nil) && !(o.To == node && o.Joints[1] != nil) {
			through = append(through, i)
		}
	}
	if len(through) > 0 {
		return through
	}
	return all
}

// jointPlane says how the x-z plane of a joint lies in its member.
type jointPlane struct {
	swapped bool    // it is the member's local x-y plane
	share   float64 // of pull and torsion that this hardware takes
	only    bool    // it takes the moment and shear of its own plane only
}

// planes are the planes in which a member's end has hardware. Brackets and
// gussets of a leg sit in both vertical planes: each takes the moment and shear
// of its own plane and half of pull and torsion. Plates are turned so that
// their rows stand apart along the host.
func (r *run) planes(member int, hosts []int, family joint.Family) []jointPlane {
	mem := r.m.Members[member]
	plated := family == joint.CornerPlates || family == joint.BasePlates
	switch {
	case plated && len(hosts) > 0:
		return []jointPlane{{swapped: r.hostAlongY(member, hosts[0]), share: 1}}
	case mem.Role != machine.Leg:
		return []jointPlane{{swapped: structure.Swapped(r.m, member), share: 1}}
	case family == joint.OneBracket || family == joint.TwoBrackets || family == joint.OneGusset || family == joint.TwoGussets:
		return []jointPlane{{share: 0.5, only: true}, {swapped: true, share: 0.5, only: true}}
	}
	return []jointPlane{{share: 1}}
}

// hostAlongY tells whether the host runs along the member's local y rather than its z.
func (r *run) hostAlongY(member, host int) bool {
	y, z := machine.LocalAxes(r.direction(member), r.m.Members[member].Roll)
	h := r.direction(host)
	return math.Abs(r3.Dot(h, y)) > math.Abs(r3.Dot(h, z))
}

func (r *run) direction(member int) r3.Vec {
	mem := r.m.Members[member]
	return r3.Unit(r3.Sub(r.m.Nodes[mem.To].At, r.m.Nodes[mem.From].At))
}

// turnOf turns what the structure exerts on a member's end, local axes, into
// what the member exerts on its joint, joint axes: x off the host into the
// member, so along local x at its first end and against it at its second.
//
// First end: y and z are those of the member or, swapped, -z and y. Second end:
// turned half about the plane's normal. All signs but that of N are lost in the
// bounds; they are kept here so that this stays the one place that says them.
func turnOf(end int, plane jointPlane) (t [6]turned) {
	x := -1.0
	if end == 1 {
		x = 1
	}
	y, z, fy, fz := 1, 2, -1.0, x // second end: (-x, y, -z)
	if plane.swapped {
		y, z, fy, fz = 2, 1, 1.0, x // y of the joint is -z, z is y at the first end, -y at the second
	}
	t = [6]turned{{0, x}, {y, fy}, {z, fz}, {3, x}, {3 + y, fy}, {3 + z, fz}}
	t[0].factor *= plane.share
	t[3].factor *= plane.share
	if plane.only {
		t[1].factor, t[5].factor = 0, 0
	}
	return t
}

// assembleEnd lays the hardware of a member's end out on its profile and the
// weaker slot of it and its hosts, and says what torque screw and seat allow.
func (r *run) assembleEnd(member int, p *parts.Joint, hosts []int, plane jointPlane) (j joint.Joint, torque float64, err error) {
	mem := r.m.Members[member]
	screw, err := joint.UsualScrew(p.Screw, p.Class, p.Torque)
	if err != nil {
		return nil, 0, err
	}
	if !(mem.Material.Yield > 0) {
		return nil, 0, fmt.Errorf("%w for %s", errNoYield, mem.Profile.Material)
	}
	e := joint.Ends{
		DepthY: mem.Profile.Size[0], DepthZ: mem.Profile.Size[1], Area: mem.Section.Area,
		Modulus: math.Min(mem.Section.Wy, mem.Section.Wz), Yield: mem.Material.Yield,
	}
	if plane.swapped {
		e.DepthY, e.DepthZ = e.DepthZ, e.DepthY
	}
	if e.Lip, e.HostLip, err = r.slotsAt(member, p, hosts); err != nil {
		return nil, 0, err
	}
	if p.Engagement > 0 {
		e.Core = &joint.TappedHole{Engagement: p.Engagement, Yield: mem.Material.Yield, Share: joint.TappedShare}
	}
	j, err = joint.Assemble(joint.Hardware{
		Family: joint.Family(p.Family), Screw: screw, Count: p.Count, Lever: p.Lever, Pitch: p.Pitch, Across: p.Across,
		Thickness: p.Thick, Width: p.Width, Yield: p.Yield, Young: mem.Material.E, // the plate's own modulus plays no part in its strength
	}, e, r.jointSafety())
	return j, torqueLimit(screw, weaker(e.Lip, e.HostLip), e.Core), err
}

// slotsAt are the slots that the nuts of a member's end sit in: its own and the
// weakest of its hosts. Plates have nuts in the host alone; the nuts of gussets
// and hidden fasteners are judged by the weaker of both.
func (r *run) slotsAt(member int, p *parts.Joint, hosts []int) (own, host *joint.Lip, err error) {
	for _, i := range append([]int{member}, hosts...) {
		o := r.m.Members[i]
		lip, err := lipOf(o.Profile, o.Material, p.NutWidth, p.NutLength)
		if err != nil {
			return nil, nil, fmt.Errorf("%w for %s", err, o.Profile.Material)
		}
		if i == member {
			own = lip
		} else {
			host = weaker(host, lip)
		}
	}
	switch joint.Family(p.Family) {
	case joint.CornerPlates, joint.BasePlates:
		if host != nil {
			own = host
		}
	case joint.OneBracket, joint.TwoBrackets:
	default:
		own = weaker(own, host)
	}
	return own, host, nil
}

// screwHead is the diameter of a screw's head over that of its thread.
// Source: ISO 4762, 1.5 to 1.67, from memory.
const screwHead = 1.6

// misfit says why the hardware of a member's end cannot be put together.
func (r *run) misfit(member int, p *parts.Joint, hosts []int) (reasons []string) {
	mem := r.m.Members[member]
	thread, err := joint.CoarseThread(p.Screw)
	if err != nil {
		return nil
	}
	const close = 0.3e-3 // m, closer than any two slots or tapping bores of neighbouring sizes
	for _, i := range append([]int{member}, hosts...) {
		o := r.m.Members[i].Profile
		switch {
		case p.Slot == 0:
		case o.Slots == nil:
			reasons = append(reasons, fmt.Sprintf("it sits in slots and %s has none", o.ID))
		case math.Abs(o.Slots.Slot-p.Slot) > close:
			reasons = append(reasons, fmt.Sprintf("it fits slots of %s mm, those of %s have %s mm", ledger.Number(p.Slot*1e3), o.ID, ledger.Number(o.Slots.Slot*1e3)))
		}
	}
	if p.Engagement > 0 && (mem.Profile.Slots == nil || math.Abs(mem.Profile.Slots.Bore-(thread.Diameter-thread.Pitch)) > close) {
		reasons = append(reasons, fmt.Sprintf("%s has no core bore to be tapped %s", mem.Profile.ID, p.Screw))
	}
	family := joint.Family(p.Family)
	if family == joint.CornerPlates || family == joint.BasePlates {
		plane := r.planes(member, hosts, family)[0]
		depth := mem.Profile.Size[1]
		if plane.swapped {
			depth = mem.Profile.Size[0]
		}
		if need := depth + screwHead*thread.Diameter; !(p.Pitch >= need) {
			reasons = append(reasons, fmt.Sprintf("its screw rows stand %s mm apart; past %s of %s, %s mm deep, they need %s mm",
				ledger.Number(p.Pitch*1e3), mem.ID, mem.Profile.ID, ledger.Number(depth*1e3), ledger.Number(need*1e3)))
		}
	}
	return reasons
}

// fitCheck judges whether the hardware of a stand joint can be put together.
func (r *run) fitCheck(g *jointGroup) {
	if !g.compared {
		return
	}
	c := newCheck(g.kind+".fit", g.subject, "hardware of the "+g.title+" fits slots, bores and sizes of what it joins")
	c.ID = g.id + ".fit"
	c.Note = strings.Join(append([]string{g.part}, g.misfits...), "; ")
	w := present(c, len(g.misfits) == 0, "slot width, core bore, and screw rows of plates clear of the member by a screw head")
	w.Working.Source = "geometry of the parts; heads of ISO 4762, from memory"
	r.add(w, nil)
}

// rigidity says where a stand joint stands between rigid and pinned.
func (r *run) rigidity(member, end int) string {
	mem := r.m.Members[member]
	if mem.Role == machine.Brace {
		return ""
	}
	about, err := structure.JointSprings(r.m, member, end)
	if err != nil {
		return ""
	}
	s, inertia := about[1], mem.Section.Iy
	if structure.Swapped(r.m, member) {
		s, inertia = about[2], mem.Section.Iz
	}
	limits := joint.ClassLimits(mem.Material.E*inertia, r.barLength(member))
	braced := r.hasBrace("along") && r.hasBrace("across")
	rigid := limits.RigidUnbraced
	if braced {
		rigid = limits.RigidBraced
	}
	kilo := func(x float64) string { return ledger.Number(math.Round(x/1e2) / 10) }
	return fmt.Sprintf("rotational stiffness %s kN m/rad (%s to %s), %s: pinned up to %s, rigid from %s (EN 1993-1-8, 5.2.2.5)",
		kilo(s.Nominal), kilo(s.Low), kilo(s.High), limits.Classify(s.Nominal, braced), kilo(limits.Pinned), kilo(rigid))
}

// barLength is the length of the bar that a member is a piece of, m.
func (r *run) barLength(member int) float64 {
	bar, sum := r.m.Members[member].Bar, 0.0
	for i, o := range r.m.Members {
		if i == member || bar != "" && o.Bar == bar {
			sum += r.m.Length(i)
		}
	}
	return sum
}

// distanceToLine is the distance of p from the line through a and b, m.
func distanceToLine(p, a, b r3.Vec) float64 {
	return r3.Norm(r3.Cross(r3.Sub(p, a), r3.Unit(r3.Sub(b, a))))
}
