package pack

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"spanwright/machine"
)

// Row is one row of the parts list: like pieces together.
type Row struct {
	Item     int
	ID       string // of the part in the list, e.g. the catalogue id
	Name     string
	Kind     string // profile, axis, motor, ...
	Group    string // purchasing group
	Quantity int
	Unit     string  // pc
	Length   float64 // m; 0 where a length says nothing
	Material string
	Number   string  // the supplier's part number
	MassEach float64 // kg
	CostEach float64
	UsedIn   []string // ids of the machine's pieces
	Rep      bool     // representative data
	Made     bool     // cut or made in the workshop
	Note     string
}

// Mass is the mass of the row, kg.
func (r Row) Mass() float64 { return float64(r.Quantity) * r.MassEach }

// Cost is the price of the row.
func (r Row) Cost() float64 { return float64(r.Quantity) * r.CostEach }

// Purchasing groups.
const (
	groupProfiles = "profiles and plates"
	groupAxes     = "axis beams"
	groupMotors   = "motors, gears, brakes"
	groupJoints   = "joints and fasteners"
	groupCarriers = "carriers and cables"
	groupStops    = "switches, stops, guards"
	groupFeet     = "feet"
)

// PartsList lists the machine's parts: profiles by length, axis beams by length,
// drives, joints with their hardware counted, plates, clamps, feet, carriers,
// bumpers. Items are numbered in the order of first use: stand, axes, equipment.
func PartsList(m *machine.Machine) []Row {
	l := &lister{m: m, at: map[string]int{}}
	l.bars()
	l.feet()
	l.joints()
	for _, a := range m.Axes {
		l.axis(a)
	}
	l.connections()
	l.equipment()
	for i := range l.rows {
		l.rows[i].Item = i + 1
	}
	return l.rows
}

type lister struct {
	m    *machine.Machine
	rows []Row
	at   map[string]int
}

// add merges a piece into the row of its like.
func (l *lister) add(r Row, quantity int, usedIn string) {
	key := fmt.Sprintf("%s/%s/%d", r.Kind, r.ID, int(math.Round(r.Length*1e4)))
	i, known := l.at[key]
	if !known {
		i = len(l.rows)
		l.at[key] = i
		r.Unit = "pc"
		l.rows = append(l.rows, r)
	}
	l.rows[i].Quantity += quantity
	if usedIn != "" && !slices.Contains(l.rows[i].UsedIn, usedIn) {
		l.rows[i].UsedIn = append(l.rows[i].UsedIn, usedIn)
	}
}

func (l *lister) bars() {
	for _, b := range l.m.Bars() {
		if b.Axis >= 0 && slices.Contains(l.m.Axes[b.Axis].Beams, b.Members[0]) {
			continue // comes with the axis beam
		}
		mem := l.m.Members[b.Members[0]]
		p := b.Profile
		l.add(Row{
			ID: p.ID, Name: p.Title, Kind: "profile", Group: groupProfiles, Length: b.Length(), Material: p.Material, Number: p.Number,
			MassEach: mem.BareMassPerM() * b.Length(), CostEach: p.CostPerM*b.Length() + 2*p.CostCut, Rep: p.Representative, Made: true,
			Note: "sawn square unless the cut list says otherwise",
		}, 1, b.ID)
	}
}

func (l *lister) feet() {
	for _, f := range l.m.Feet {
		p := f.Part
		l.add(Row{ID: p.ID, Name: p.Title, Kind: "foot", Group: groupFeet, Number: p.Number, MassEach: p.Mass, CostEach: p.Cost, Rep: p.Representative}, 1, l.m.Nodes[f.Node].ID)
	}
}

// joints counts the hardware of every jointed member end, and its screws.
func (l *lister) joints() {
	for _, mem := range l.m.Members {
		for e, j := range mem.Joints {
			if !j.HasPart() {
				continue
			}
			p := j.Part
			l.add(Row{ID: p.ID, Name: p.Title, Kind: "joint", Group: groupJoints, Number: p.Number, MassEach: p.Mass, CostEach: p.Cost, Rep: p.Representative},
				1, fmt.Sprintf("%s %s", mem.Bar, [2]string{"start", "end"}[e]))
			l.screws(p.Screw, p.Class, p.Count, mem.Bar)
		}
	}
}

// screws adds the screws that come with a joint, plate or clamp; their mass and
// price stand with it.
func (l *lister) screws(thread, class string, n int, usedIn string) {
	if n > 0 && thread != "" {
		l.add(Row{ID: thread + " " + class, Name: "screw " + thread + ", class " + class + ", length by assembly", Kind: "screw", Group: groupJoints,
			Note: "mass and price stand with the joint"}, n, usedIn)
	}
}

func (l *lister) axis(a *machine.Axis) {
	id := a.Spec.ID
	p := a.Part
	beam := l.m.Members[a.Beams[0]]
	note := "with rails, blocks, drive and carriage"
	if part := exchanged(a); part != "" {
		note += "; drive with " + part + " instead of its own, price included, mass not"
	}
	l.add(Row{
		ID: p.ID, Name: p.Title, Kind: "axis", Group: groupAxes, Length: a.Length, Number: p.Number,
		MassEach: (beam.BareMassPerM()+p.ExtraPerM)*a.Length + p.EndMass + p.Carriage, CostEach: p.Cost + p.CostPerM*a.Length + a.ExchangeCost(), Rep: p.Representative,
		Note: note,
	}, len(a.Beams), id)
	n := a.Motors()
	l.add(Row{ID: a.Motor.ID, Name: a.Motor.Title, Kind: "motor", Group: groupMotors, Number: a.Motor.Number, MassEach: a.Motor.Mass, CostEach: a.Motor.Cost, Rep: a.Motor.Representative}, n, id)
	if g := a.Gear; g != nil {
		l.add(Row{ID: g.ID, Name: g.Title, Kind: "gear", Group: groupMotors, Number: g.Number, MassEach: g.Mass, CostEach: g.Cost, Rep: g.Representative}, n, id)
	}
	if b := a.Brake; b != nil {
		l.add(Row{ID: b.ID, Name: b.Title, Kind: "brake", Group: groupMotors, Number: b.Number, MassEach: b.Mass, CostEach: b.Cost, Rep: b.Representative}, n, id)
	}
	if s := a.Shaft; s != nil {
		length := a.Spec.Pair.Spacing
		l.add(Row{ID: s.ID, Name: s.Title, Kind: "shaft", Group: groupAxes, Length: length, Number: s.Number, MassEach: s.MassPerM * length, CostEach: s.Cost + s.CostPerM*length, Rep: s.Representative}, 1, id)
	}
}

// exchanged is the belt, screw or rack that the design names in place of that of the axis part, "" for none.
func exchanged(a *machine.Axis) string {
	switch {
	case a.Belt != nil && a.Belt.ID != a.Part.Belt:
		return a.Belt.ID
	case a.Screw != nil && a.Screw.ID != a.Part.Screw:
		return a.Screw.ID
	case a.Rack != nil && a.Rack.ID != a.Part.Rack:
		return a.Rack.ID
	}
	return ""
}

func (l *lister) connections() {
	for _, c := range l.m.Connections {
		id := l.m.Axes[c.Axis].Spec.ID
		if p := c.Plate; p != nil {
			l.add(Row{ID: p.ID, Name: p.Title, Kind: "plate", Group: groupProfiles, Material: p.Material, Number: p.Number, MassEach: p.Mass, CostEach: p.Cost, Rep: p.Representative, Made: true}, 1, id)
			l.screws(p.Screw, p.Class, 2*p.Count, id)
		}
		if p := c.Clamp; p != nil {
			l.add(Row{ID: p.ID, Name: p.Title, Kind: "clamp", Group: groupJoints, Number: p.Number, MassEach: p.Mass, CostEach: p.Cost, Rep: p.Representative}, 2*c.Clamps, id)
			l.screws(p.Screw, p.Class, 2*c.Clamps*p.Count, id)
		}
	}
}

func (l *lister) equipment() {
	for _, a := range l.m.Axes {
		id := a.Spec.ID
		if p := l.m.Carriers[id]; p != nil {
			length := l.m.CableCarriers[id].Loop.Length
			l.add(Row{ID: p.ID, Name: p.Title, Kind: "carrier", Group: groupCarriers, Length: length, Number: p.Number, MassEach: p.MassPerM * length, CostEach: p.Cost + p.CostPerM*length, Rep: p.Representative}, 1, id)
		}
		if p := l.m.Bumpers[id]; p != nil {
			l.add(Row{ID: p.ID, Name: p.Title, Kind: "bumper", Group: groupStops, Number: p.Number, MassEach: p.Mass, CostEach: p.Cost, Rep: p.Representative}, 2*len(a.Beams), id)
			l.add(Row{ID: "over-travel switch", Name: "over-travel switch, positively opening contact", Kind: "switch", Group: groupStops, Note: "choose by the control; mass and price are not in the list"}, 2, id)
		}
	}
	for _, c := range l.m.Design.Equipment.Cables {
		l.add(Row{ID: c.Name, Name: fmt.Sprintf("%s, %.1f mm", c.Name, c.Diameter*1000), Kind: "cable", Group: groupCarriers, Note: "length and price by the cabling list; its mass is not in this list's sum"}, 1, c.To)
	}
}

// GroupSum is one purchasing group.
type GroupSum struct {
	Group string
	Rows  int
	Mass  float64
	Cost  float64
}

// Groups sums the list by purchasing group.
func Groups(rows []Row) []GroupSum {
	var out []GroupSum
	for _, r := range rows {
		i := slices.IndexFunc(out, func(g GroupSum) bool { return g.Group == r.Group })
		if i < 0 {
			i = len(out)
			out = append(out, GroupSum{Group: r.Group})
		}
		out[i].Rows++
		out[i].Mass += r.Mass()
		out[i].Cost += r.Cost()
	}
	slices.SortStableFunc(out, func(a, b GroupSum) int { return cmp.Compare(a.Group, b.Group) })
	return out
}
