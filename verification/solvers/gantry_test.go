package solvers

import (
	"fmt"
	"math"
	"os"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/design"
	"spanwright/machine"
	"spanwright/parts"
	"spanwright/section"
	"spanwright/structure"
)

// gantry is a whole machine at one pose, written out for the other solver from
// the machine's places and parts: no frame model takes part.
//
// So that both programs mean the same body, every profile is replaced in both
// by the solid rectangular bar of equal bending stiffness (see solidBar), with
// the mass per length kept and Poisson's ratio 0. Stiffnesses of joints, plates,
// clamps, blocks, drives and feet are numbers that both are given; where they
// act, about which axes and over which levers, each finds for itself.
//
// The machine's rigid points are pairs of plain nodes, one for the movement and
// one whose movement is the rotation. Bars are made of 3-node beams with a node
// at every place where something acts. Springs act on the movement of a node of
// their own that an equation sets to the difference between both sides.
type gantry struct {
	strings.Builder
	m     *machine.Machine
	q     []float64
	level structure.Level

	last, elem int
	move, turn []int         // plain nodes of the machine's nodes
	stations   [][]station   // of every member, rising
	weights    []string      // element sets that gravity acts on
	fixed      []string      // lines of *BOUNDARY
	equations  []string      // lines after *EQUATION
	springs    []springLines // in the order they were found
	masses     []string
}

// station is a place of a member with a node of the beam.
type station struct {
	s    float64 // m from its beginning
	node int
}

type springLines struct {
	node, dof int
	k         float64
}

// trayGantry is the seedling-tray gantry with solid bars.
func trayGantry() (*machine.Machine, error) {
	d, list := design.Load(os.DirFS("../../examples/seedling-gantry"), "gantry.yaml")
	if len(list) > 0 {
		return nil, list
	}
	m, list := machine.Build(d, parts.Embedded())
	if len(list) > 0 {
		return nil, list
	}
	for i := range m.Members {
		mem := &m.Members[i]
		perM := mem.MassPerM()
		mem.Section = solidBar(mem.Section)
		material := *mem.Material
		material.G = material.E / 2
		material.Density = perM / mem.Section.Area
		mem.Material, mem.Extra = &material, 0
		if mem.Profile.MassPerM != nil {
			mem.Extra = perM - *mem.Profile.MassPerM
		}
	}
	return m, nil
}

// solidBar is the solid rectangle with the same second moments. Its torsion
// constant is 4 Iy Iz/(Iy+Iz), see Frame. Its shear area is the whole area: one
// quadratic solid of reduced integration across a bar has the mean shear strain
// only (found with a cantilever: 0.05 % apart with 5/6, none with 1).
func solidBar(s section.Properties) section.Properties {
	r := rectangleOf(s.Iy, s.Iz)
	s.Area = r.Width * r.Height
	s.J = 4 * s.Iy * s.Iz / (s.Iy + s.Iz)
	s.Asy, s.Asz = s.Area, s.Area
	return s
}

// rectangleOf has Iy = w h³/12 and Iz = h w³/12.
func rectangleOf(iy, iz float64) Rectangle {
	ratio := math.Sqrt(iy / iz) // h/w
	w := math.Pow(12*iz/ratio, 0.25)
	return Rectangle{Width: w, Height: ratio * w}
}

// form is a linear form of node movements: a displacement.
type form []term

type term struct {
	node, dof int
	c         float64
}

func (f form) plus(g form, c float64) form {
	out := slices.Clone(f)
	for _, t := range g {
		out = append(out, term{t.node, t.dof, c * t.c})
	}
	return out
}

// body is a rigid point: its three movements and its three rotations.
type body struct{ u, r [3]form }

func (g *gantry) nodeBody(n int) body {
	var b body
	for k := range 3 {
		b.u[k] = form{{g.move[n], k + 1, 1}}
		b.r[k] = form{{g.turn[n], k + 1, 1}}
	}
	return b
}

func beamBody(node int) body {
	var b body
	for k := range 3 {
		b.u[k] = form{{node, k + 1, 1}}
		b.r[k] = form{{node, k + 4, 1}}
	}
	return b
}

// at moves the point by a rigid lever: u + r × o.
func (b body) at(o r3.Vec) body {
	out := b
	c := [3]float64{o.X, o.Y, o.Z}
	for k := range 3 {
		i, j := (k+1)%3, (k+2)%3
		out.u[k] = b.u[k].plus(b.r[i], c[j]).plus(b.r[j], -c[i])
	}
	return out
}

// along is the component along a direction.
func along(f [3]form, d r3.Vec) form {
	var out form
	for k, c := range [3]float64{d.X, d.Y, d.Z} {
		out = out.plus(f[k], c)
	}
	return out
}

func (g *gantry) line(format string, args ...any) { fmt.Fprintf(g, format+"\n", args...) }

// number is short enough for the other program and has a point.
func number(x float64) string { return fmt.Sprintf("%.11E", x) }

func (g *gantry) newNode(at r3.Vec) int {
	g.last++
	g.line("%d, %.12g, %.12g, %.12g", g.last, at.X, at.Y, at.Z)
	return g.last
}

// equate sets one freedom of a node to a form.
func (g *gantry) equate(node, dof int, f form) {
	sum := map[[2]int]float64{}
	var order [][2]int
	for _, t := range f {
		key := [2]int{t.node, t.dof}
		if _, known := sum[key]; !known {
			order = append(order, key)
		}
		sum[key] += t.c
	}
	words := []string{fmt.Sprintf("%d, %d, 1.", node, dof)}
	for _, key := range order {
		if c := sum[key]; math.Abs(c) > 1e-15 {
			words = append(words, fmt.Sprintf("%d, %d, %s", key[0], key[1], number(-c)))
		}
	}
	g.equations = append(g.equations, fmt.Sprint(len(words)))
	for i := 0; i < len(words); i += 4 {
		g.equations = append(g.equations, strings.Join(words[i:min(i+4, len(words))], ", "))
	}
}

// Input writes the machine at its pose: weight, then the lowest frequencies.
func (g *gantry) Input(modes int) (string, error) {
	g.line("*HEADING\nthe seedling-tray gantry of solid bars at %v", g.q)
	g.rigidPoints()
	if err := g.bars(); err != nil {
		return "", err
	}
	if err := g.joinAll(); err != nil {
		return "", err
	}
	g.hangMasses()
	g.finish(modes)
	return g.String(), nil
}

func (g *gantry) rigidPoints() {
	g.line("*NODE")
	for n := range g.m.Nodes {
		at := g.m.NodeAt(n, g.q)
		g.move = append(g.move, g.newNode(at))
		g.turn = append(g.turn, g.newNode(at))
	}
}

// placesOn lists where something acts on every member, m from its beginning.
func (g *gantry) placesOn() [][]float64 {
	out := make([][]float64, len(g.m.Members))
	for i := range g.m.Members {
		out[i] = []float64{0, g.m.Length(i)}
	}
	for _, c := range g.m.Connections {
		for _, p := range []machine.Place{c.A, c.B} {
			if p.Node < 0 {
				out[p.Member] = append(out[p.Member], p.At*g.m.Length(p.Member))
			}
		}
	}
	for _, a := range g.m.Axes {
		for _, b := range a.Blocks {
			out[a.Beams[b.Beam]] = append(out[a.Beams[b.Beam]], a.On(g.q[a.Index])+b.Along)
		}
		for _, beam := range a.Beams {
			out[beam] = append(out[beam], a.On(g.q[a.Index]))
		}
	}
	for i := range out {
		slices.Sort(out[i])
		out[i] = slices.CompactFunc(out[i], func(a, b float64) bool { return math.Abs(a-b) < 1e-6 })
	}
	return out
}

// stub is a short piece across a bar at every station: with it the other program
// gives the station rotations of its own, which equations can address.
const stub = 0.004 // m

// finest is the longest beam element, m.
const finest = 0.25

// bars meshes all members and joins their ends to the rigid points.
func (g *gantry) bars() error {
	g.line("*MATERIAL, NAME=STUB\n*ELASTIC\n%s, 0.\n*DENSITY\n1.E-3", number(70e9))
	for i, places := range g.placesOn() {
		mem := g.m.Members[i]
		from := g.m.NodeAt(mem.From, g.q)
		x := r3.Unit(r3.Sub(g.m.NodeAt(mem.To, g.q), from))
		y, _ := machine.LocalAxes(x, mem.Roll)
		point := func(s float64) r3.Vec { return r3.Add(from, r3.Scale(s, x)) }

		var lines, stubs []string
		g.line("*NODE")
		stations := make([]station, len(places))
		for k, s := range places {
			stations[k] = station{s, g.newNode(point(s))}
			mid, tip := g.newNode(r3.Add(point(s), r3.Scale(stub/2, y))), g.newNode(r3.Add(point(s), r3.Scale(stub, y)))
			g.elem++
			stubs = append(stubs, fmt.Sprintf("%d, %d, %d, %d", g.elem, stations[k].node, mid, tip))
		}
		for k := 1; k < len(stations); k++ {
			span := stations[k].s - stations[k-1].s
			n := int(math.Ceil(span/finest - 1e-9))
			at := stations[k-1].node
			for e := range n {
				mid := g.newNode(point(stations[k-1].s + span*(float64(e)+0.5)/float64(n)))
				next := stations[k].node
				if e < n-1 {
					next = g.newNode(point(stations[k-1].s + span*float64(e+1)/float64(n)))
				}
				g.elem++
				lines = append(lines, fmt.Sprintf("%d, %d, %d, %d", g.elem, at, mid, next))
				at = next
			}
		}
		g.line("*ELEMENT, TYPE=B32R, ELSET=BAR%d\n%s", i, strings.Join(lines, "\n"))
		g.line("*ELEMENT, TYPE=B32R, ELSET=STUB%d\n%s", i, strings.Join(stubs, "\n"))
		r := rectangleOf(mem.Section.Iy, mem.Section.Iz)
		g.line("*MATERIAL, NAME=MAT%d\n*ELASTIC\n%s, 0.\n*DENSITY\n%s", i, number(mem.Material.E), number(mem.MassPerM()/mem.Section.Area))
		g.line("*BEAM SECTION, ELSET=BAR%d, MATERIAL=MAT%d, SECTION=RECT\n%s, %s\n%s, %s, %s", i, i, number(r.Width), number(r.Height), number(y.X), number(y.Y), number(y.Z))
		g.line("*BEAM SECTION, ELSET=STUB%d, MATERIAL=STUB, SECTION=RECT\n0.002, 0.002\n%s, %s, %s", i, number(x.X), number(x.Y), number(x.Z))
		g.weights = append(g.weights, fmt.Sprintf("BAR%d", i))
		g.stations = append(g.stations, stations)
		if err := g.joinEnds(i, x); err != nil {
			return err
		}
	}
	return nil
}

// joinEnds fixes a member's two ends to its nodes, or joins their rotations by springs.
func (g *gantry) joinEnds(i int, x r3.Vec) error {
	mem := g.m.Members[i]
	stations := g.stations[i]
	for end, node := range [2]int{mem.From, mem.To} {
		tip := stations[end*(len(stations)-1)].node
		point := g.nodeBody(node)
		for k := range 3 {
			g.equate(tip, k+1, point.u[k])
		}
		if mem.Joints[end] == nil {
			for k := range 3 {
				g.equate(tip, k+4, point.r[k])
			}
			continue
		}
		about, err := structure.JointSprings(g.m, i, end)
		if err != nil {
			return err
		}
		y, z := machine.LocalAxes(x, mem.Roll)
		var k [3]float64
		for d, r := range about {
			k[d] = [...]float64{r.Low, r.Nominal, r.High}[g.level]
		}
		g.spring([3]r3.Vec{x, y, z}, beamBody(tip).r, point.r, k, g.m.NodeAt(node, g.q))
	}
	return nil
}

// spring joins two movements (or rotations) by three stiffnesses along axes.
func (g *gantry) spring(axes [3]r3.Vec, a, b [3]form, k [3]float64, at r3.Vec) {
	if k == [3]float64{} {
		return
	}
	g.line("*NODE")
	n := g.newNode(at)
	for d := range 3 {
		if k[d] == 0 {
			g.fixed = append(g.fixed, fmt.Sprintf("%d, %d, %d", n, d+1, d+1))
			continue
		}
		g.equate(n, d+1, along(a, axes[d]).plus(along(b, axes[d]), -1))
		g.springs = append(g.springs, springLines{n, d + 1, k[d]})
	}
}

// tie joins two rigid points that are one place by six stiffnesses.
func (g *gantry) tie(axes [3]r3.Vec, a, b body, k [6]float64, at r3.Vec) {
	g.spring(axes, a.u, b.u, [3]float64(k[:3]), at)
	g.spring(axes, a.r, b.r, [3]float64(k[3:]), at)
}

// on is the beam at a place of a member, with the lever from its axis to at.
func (g *gantry) on(member int, s float64, at r3.Vec) body {
	mem := g.m.Members[member]
	from := g.m.NodeAt(mem.From, g.q)
	x := r3.Unit(r3.Sub(g.m.NodeAt(mem.To, g.q), from))
	for _, t := range g.stations[member] {
		if math.Abs(t.s-s) < 1e-5 {
			return beamBody(t.node).at(r3.Sub(at, r3.Add(from, r3.Scale(t.s, x))))
		}
	}
	panic(fmt.Sprintf("nothing of %s at %v m", mem.ID, s))
}

func (g *gantry) place(p machine.Place) body {
	at := g.m.PlaceAt(p, g.q)
	if p.Node >= 0 {
		return g.nodeBody(p.Node).at(r3.Sub(at, g.m.NodeAt(p.Node, g.q)))
	}
	return g.on(p.Member, p.At*g.m.Length(p.Member), at)
}

// joinAll ties supports, interfaces, blocks and drives, and puts the machine on its feet.
func (g *gantry) joinAll() error {
	for _, c := range g.m.Connections {
		k, err := structure.ConnectionStiffness(g.m, c, g.level)
		if err != nil {
			return err
		}
		if c.Float { // the far side of the bridge slides along it
			k[0] = 0
		}
		g.tie(c.Axes, g.place(c.A), g.place(c.B), k, g.m.PlaceAt(c.A, g.q))
	}
	for _, a := range g.m.Axes {
		if err := g.guide(a); err != nil {
			return err
		}
	}
	r := g.m.Design.Assumptions.FloorStiff
	floor := [...]float64{r.Low, r.Nominal, r.High}[g.level]
	for _, f := range g.m.Feet {
		n := g.move[f.Node]
		g.springs = append(g.springs, springLines{n, 1, f.Part.Lateral}, springLines{n, 2, f.Part.Lateral}, springLines{n, 3, f.Part.Axial * floor / (f.Part.Axial + floor)})
	}
	return nil
}

// guide joins a carriage to its beam by its blocks and its drive.
func (g *gantry) guide(a *machine.Axis) error {
	drive, err := structure.DriveStiffness(g.m, a, g.q[a.Index])
	if err != nil {
		return err
	}
	axes := [3]r3.Vec{a.Dir, a.Side, a.Normal}
	begin := func(beam int) r3.Vec { return g.m.NodeAt(g.m.Members[a.Beams[beam]].From, g.q) }
	join := func(beam int, s float64, lever r3.Vec, k [6]float64) {
		at := r3.Add(begin(beam), r3.Add(r3.Scale(s, a.Dir), lever))
		carriage := g.nodeBody(a.Carriages[beam]).at(r3.Sub(at, g.m.NodeAt(a.Carriages[beam], g.q)))
		g.tie(axes, carriage, g.on(a.Beams[beam], s, at), k, at)
	}
	p := a.Block
	for _, b := range a.Blocks {
		lever := r3.Add(r3.Scale(a.Part.RailHeight, a.Normal), r3.Scale(b.Across, a.Side))
		join(b.Beam, a.On(g.q[a.Index])+b.Along, lever, [6]float64{0, p.Ky, p.Kz, p.KMx, p.KMy, p.KMz})
	}
	for beam := range a.Beams { // a motor for every beam
		lever := r3.Add(r3.Scale(a.Part.DriveAt, a.Normal), r3.Scale(a.Part.DriveSide, a.Side))
		join(beam, a.On(g.q[a.Index]), lever, [6]float64{drive})
	}
	return nil
}

// hangMasses hangs every mass, the tool and the payload on their nodes.
func (g *gantry) hangMasses() {
	for _, p := range g.m.Masses {
		g.lump(p.Node, p.Kg, p.Offset, p.Inertia)
	}
	g.lump(g.m.Flange, g.m.Tool.Kg, g.m.Tool.Centre, g.m.Tool.Inertia)
	g.lump(g.m.Flange, g.m.Payload.Kg, g.m.Payload.Centre, g.m.Payload.Inertia)
}

// rigid is a spring so stiff that what it joins moves as one: a mass must sit on a
// node that no equation sets. 100 kg stretch it by 1 nm. In N/m and N m/rad.
const rigid = 1e12

func (g *gantry) lump(node int, kg float64, offset r3.Vec, inertia [3]float64) {
	at := r3.Add(g.m.NodeAt(node, g.q), offset)
	axes := [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}
	point := g.nodeBody(node)
	centre := g.move[node]
	if offset != (r3.Vec{}) {
		g.line("*NODE")
		centre = g.newNode(at)
		g.spring(axes, beamBody(centre).u, point.at(offset).u, [3]float64{rigid, rigid, rigid}, at)
	}
	g.weights = append(g.weights, g.massOn(centre, kg))
	for k, i := range inertia {
		if i == 0 {
			continue
		}
		g.line("*NODE")
		n := g.newNode(at)
		var turned, held [3]form
		turned[0], held[0] = form{{n, 1, 1}}, point.r[k]
		g.spring(axes, turned, held, [3]float64{rigid, 0, 0}, at)
		g.springs = append(g.springs, springLines{n, 2, rigid}, springLines{n, 3, rigid}) // a mass on fixed movements is refused
		g.massOn(n, i)
	}
}

// massOn gives the three movements of a node a mass and returns its element set.
func (g *gantry) massOn(node int, kg float64) string {
	g.elem++
	set := fmt.Sprintf("KG%d", g.elem)
	g.masses = append(g.masses, fmt.Sprintf("*ELEMENT, TYPE=MASS, ELSET=%s\n%d, %d\n*MASS, ELSET=%s\n%s", set, g.elem, node, set, number(kg)))
	return set
}

// finish writes what was collected, and the steps.
func (g *gantry) finish(modes int) {
	g.line("*EQUATION\n%s", strings.Join(g.equations, "\n"))
	for _, s := range g.springs {
		g.elem++
		g.line("*ELEMENT, TYPE=SPRING1, ELSET=SPR%d\n%d, %d\n*SPRING, ELSET=SPR%d\n%d\n%s", g.elem, g.elem, s.node, g.elem, s.dof, number(s.k))
	}
	g.line("%s", strings.Join(g.masses, "\n"))
	g.line("*NSET, NSET=FLANGE\n%d, %d", g.move[g.m.Flange], g.turn[g.m.Flange])
	g.line("*BOUNDARY\n%s", strings.Join(g.fixed, "\n"))
	g.line("*STEP\n*STATIC\n*DLOAD")
	for _, set := range g.weights {
		g.line("%s, GRAV, 9.80665, 0., 0., -1.", set)
	}
	g.line("*NODE PRINT, NSET=FLANGE\nU\n*END STEP\n*STEP\n*FREQUENCY\n%d\n*END STEP", modes)
}

// toolPoint is the movement of the tool point from those of the flange.
func (g *gantry) toolPoint(flange [2][3]float64) r3.Vec {
	u := r3.Vec{X: flange[0][0], Y: flange[0][1], Z: flange[0][2]}
	r := r3.Vec{X: flange[1][0], Y: flange[1][1], Z: flange[1][2]}
	return r3.Add(u, r3.Cross(r, g.m.Point))
}
