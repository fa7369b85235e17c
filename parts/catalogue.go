package parts

import (
	"maps"
	"slices"
	"sync"

	"spanwright/decode"
)

// Ref names a part: its kind and its id.
type Ref struct {
	Kind string `json:"kind"`
	ID   string `json:"id"`
}

// String returns the path of the part in a part file, e.g. belt.belt-8x30.
func (r Ref) String() string { return r.Kind + "." + r.ID }

// refOf returns the name of a part.
func refOf(p Part) Ref { return Ref{KindOf(p), p.Base().ID} }

// Catalogue is a set of parts, by kind and id. It never changes; With returns a
// new one. Parts are read when they are first asked for and are shared: whoever
// gets one must not change it. A Catalogue may be used by several goroutines.
type Catalogue struct {
	entries  map[Ref]*entry
	order    map[string][]string // ids of each kind, the user's first, then as in the files
	sections *sections
}

// entry is one part, read or not yet.
type entry struct {
	once           sync.Once
	read           func() Part // nil where the part has been read
	part           Part
	representative bool
	embedded       bool
}

// get returns the part, reading it the first time.
func (e *entry) get() Part {
	e.once.Do(func() {
		if e.read != nil {
			e.part = e.read()
		}
	})
	return e.part
}

// Find returns the part, or false where there is none.
func (c *Catalogue) Find(kind, id string) (Part, bool) {
	e, ok := c.entries[Ref{kind, id}]
	if !ok {
		return nil, false
	}
	return e.get(), true
}

// find is Find with the type of the kind.
func find[P Part](c *Catalogue, kind, id string) (P, bool) {
	p, ok := c.Find(kind, id)
	if !ok {
		var none P
		return none, false
	}
	return p.(P), true
}

// Material returns a material.
func (c *Catalogue) Material(id string) (*Material, bool) { return find[*Material](c, "material", id) }

// Profile returns a profile.
func (c *Catalogue) Profile(id string) (*Profile, bool) { return find[*Profile](c, "profile", id) }

// Axis returns an axis beam.
func (c *Catalogue) Axis(id string) (*Axis, bool) { return find[*Axis](c, "axis", id) }

// Block returns a rail guide block.
func (c *Catalogue) Block(id string) (*Block, bool) { return find[*Block](c, "block", id) }

// Belt returns a toothed belt.
func (c *Catalogue) Belt(id string) (*Belt, bool) { return find[*Belt](c, "belt", id) }

// Screw returns a ball or slide screw.
func (c *Catalogue) Screw(id string) (*Screw, bool) { return find[*Screw](c, "screw", id) }

// Rack returns a rack with its pinion.
func (c *Catalogue) Rack(id string) (*Rack, bool) { return find[*Rack](c, "rack", id) }

// Motor returns a motor.
func (c *Catalogue) Motor(id string) (*Motor, bool) { return find[*Motor](c, "motor", id) }

// Gear returns a gear.
func (c *Catalogue) Gear(id string) (*Gear, bool) { return find[*Gear](c, "gear", id) }

// Brake returns a hold brake.
func (c *Catalogue) Brake(id string) (*Brake, bool) { return find[*Brake](c, "brake", id) }

// Joint returns the hardware of a joint.
func (c *Catalogue) Joint(id string) (*Joint, bool) { return find[*Joint](c, "joint", id) }

// Plate returns an interface plate.
func (c *Catalogue) Plate(id string) (*Plate, bool) { return find[*Plate](c, "plate", id) }

// Clamp returns a profile clamp.
func (c *Catalogue) Clamp(id string) (*Clamp, bool) { return find[*Clamp](c, "clamp", id) }

// Foot returns a foot.
func (c *Catalogue) Foot(id string) (*Foot, bool) { return find[*Foot](c, "foot", id) }

// Shaft returns a line shaft.
func (c *Catalogue) Shaft(id string) (*Shaft, bool) { return find[*Shaft](c, "shaft", id) }

// Carrier returns a cable carrier.
func (c *Catalogue) Carrier(id string) (*Carrier, bool) { return find[*Carrier](c, "carrier", id) }

// Bumper returns a bumper or hard stop.
func (c *Catalogue) Bumper(id string) (*Bumper, bool) { return find[*Bumper](c, "bumper", id) }

// IDs lists the ids of a kind: those of the user's files first, then the
// embedded ones, each in the order of its file. Without a kind it lists the ids
// of all parts, kind by kind.
func (c *Catalogue) IDs(kind string) []string {
	if kind != "" {
		return slices.Clone(c.order[kind])
	}
	var out []string
	for _, k := range Kinds() {
		out = append(out, c.order[k]...)
	}
	return out
}

// List returns the parts of a kind in the order of IDs. It reads all of them.
func (c *Catalogue) List(kind string) []Part {
	var out []Part
	for _, id := range c.order[kind] {
		out = append(out, c.entries[Ref{kind, id}].get())
	}
	return out
}

// Refs returns the parts with the id, of whatever kind, in the order of Kinds.
func (c *Catalogue) Refs(id string) (out []Ref) {
	for _, kind := range Kinds() {
		if _, ok := c.entries[Ref{kind, id}]; ok {
			out = append(out, Ref{kind, id})
		}
	}
	return out
}

// Representative tells whether the part is invented data. A part that is not
// there is not.
func (c *Catalogue) Representative(kind, id string) bool {
	e, ok := c.entries[Ref{kind, id}]
	return ok && e.representative
}

// mostNear is how many near matches are offered.
const mostNear = 4

// Near lists ids of the kind, or without a kind of all parts, that may have
// been meant, the nearest first: the one that differs by a slip of the pen, then
// those that share the most words. It returns none where nothing is near.
func (c *Catalogue) Near(kind, id string) []string {
	var out []string
	known := c.IDs(kind)
	if first := decode.Nearest(id, known); first != "" {
		out = append(out, first)
		known = slices.DeleteFunc(known, func(k string) bool { return k == first })
	}
	most := 0
	shared := map[string]int{}
	for _, k := range known {
		shared[k] = sharedWords(id, k)
		most = max(most, shared[k])
	}
	for n := most; n >= leastShared && len(out) < mostNear; n-- {
		for _, k := range known {
			if shared[k] == n && len(out) < mostNear {
				out = append(out, k)
			}
		}
	}
	return out
}

// with returns a catalogue with the entries laid over those of c.
func (c *Catalogue) with(over []placed) *Catalogue {
	out := &Catalogue{entries: maps.Clone(c.entries), order: map[string][]string{}, sections: c.sections}
	for _, p := range over {
		ref := refOf(p.Part)
		out.entries[ref] = &entry{part: p.Part}
		if !slices.Contains(out.order[ref.Kind], ref.ID) {
			out.order[ref.Kind] = append(out.order[ref.Kind], ref.ID)
		}
	}
	for _, kind := range Kinds() {
		for _, id := range c.order[kind] {
			if !slices.Contains(out.order[kind], id) {
				out.order[kind] = append(out.order[kind], id)
			}
		}
	}
	return out
}
