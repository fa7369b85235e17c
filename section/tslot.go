package section

import "math"

// TSlot describes an extruded profile with T-shaped slots by the numbers on
// its drawing. The profile is a grid of square modules; each outward module
// face has one slot at its middle, every module has a bore at its centre, and
// hollow cells save material between the slots.
//
//	 |<------- Module ------->|
//	 ________        _________   face
//	|        |<Slot>|         |  Lip
//	|     ___|      |___      |
//	|    |<--- Inner --->|    |
//	|     \             /  <----- flank at 45 degrees, web of thickness Web behind
//	|      \___________/      |  Depth, floor width Floor()
//
// The slot's flank is parallel to the diagonal of its module, so the webs
// between neighbouring slots have exactly the thickness Web, unless Inner is
// so narrow that the slot needs no taper: the webs are then thicker.
//
// Source: the geometry is derived; proportions of real profiles differ in
// fillets, grooves and lip shape, hence Match.
type TSlot struct {
	Module   float64 // side of a module, m
	ModulesY int     // modules side by side along y, 1 or more
	ModulesZ int     // modules side by side along z, 1 or more

	Slot  float64 // opening between the lips, m
	Lip   float64 // thickness of the lips, m
	Inner float64 // width of the slot behind the lips, m
	Depth float64 // depth of the slot from the face, m

	Web    float64 // thickness of the diagonal webs, m
	Wall   float64 // thickness of the walls around hollow cells, m
	Corner float64 // outer corner radius, m; 0 is sharp
	Bore   float64 // diameter of the bore in each module, m; 0 is none

	HollowCorners bool    // the four corner blocks are hollow cells
	Closed        Faces   // faces without slots
	FaceWall      float64 // thickness of a closed face, m; 0 means Wall
}

// Faces names sides of a section.
type Faces struct {
	PlusY  bool `json:"plus_y"`
	MinusY bool `json:"minus_y"`
	PlusZ  bool `json:"plus_z"`
	MinusZ bool `json:"minus_z"`
}

// side returns whether face k is named; faces count counter-clockwise from -z.
func (f Faces) side(k int) bool {
	return [4]bool{f.MinusZ, f.PlusY, f.PlusZ, f.MinusY}[k]
}

const (
	// leastCell is the smaller side below which a hollow cell is left out, m:
	// extrusion dies have no such mandrels (common practice, no source).
	leastCell = 1e-3

	cornerEdges = 6
	mostModules = 20
)

// Floor returns the width of the slot's floor, m.
func (t TSlot) Floor() float64 {
	return min(t.Inner, t.Module-2*t.Depth-math.Sqrt2*t.Web)
}

// TaperStart returns the depth at which the slot's flanks begin, m; with no
// taper it is the slot's depth.
func (t TSlot) TaperStart() float64 {
	return t.Depth - (t.Inner-t.Floor())/2
}

// block is the side of the square block at each module corner, m.
func (t TSlot) block() float64 { return (t.Module - t.Inner) / 2 }

func (t TSlot) faceWall() float64 {
	if t.FaceWall == 0 {
		return t.Wall
	}
	return t.FaceWall
}

// Outline draws the profile with its centre at the origin. If the numbers fit
// no profile it returns a *ShapeError with every reason.
func (t TSlot) Outline() (Outline, error) {
	return t.fits().outline(func() Outline {
		o := Outline{Outer: t.outer()}
		o.Holes = append(o.Holes, t.bores()...)
		o.Holes = append(o.Holes, t.cells()...)
		o.Holes = append(o.Holes, t.chambers()...)
		o.Holes = append(o.Holes, t.closedSlots()...)
		return o
	})
}

// fits collects what is wrong with the numbers, in mm as on a drawing.
func (t TSlot) fits() *sizes {
	s := new(sizes)
	s.positive("module", t.Module)
	s.positive("slot", t.Slot)
	s.positive("lip", t.Lip)
	s.positive("inner", t.Inner)
	s.positive("depth", t.Depth)
	s.positive("web", t.Web)
	s.positive("wall", t.Wall)
	s.notNegative("corner radius", t.Corner)
	s.notNegative("bore", t.Bore)
	s.notNegative("face wall", t.FaceWall)
	s.refuse(t.ModulesY < 1 || t.ModulesY > mostModules || t.ModulesZ < 1 || t.ModulesZ > mostModules,
		"modules: %d x %d, from 1 to %d each way", t.ModulesY, t.ModulesZ, mostModules)
	if s.failed() {
		return s
	}
	s.refuse(!(t.Slot < t.Inner), "slot: an opening of %s is not narrower than the slot's inner width of %s, so there are no lips", mm(t.Slot), mm(t.Inner))
	s.refuse(!(t.Inner < t.Module), "inner: a width of %s does not fit into a module of %s", mm(t.Inner), mm(t.Module))
	s.refuse(!(2*t.Depth < t.Module), "depth: slots %s deep meet in the middle of a module of %s", mm(t.Depth), mm(t.Module))
	if s.failed() {
		return s
	}
	s.refuse(!(t.Floor() > 0), "web: webs of %s leave no floor between slots %s deep", mm(t.Web), mm(t.Depth))
	s.refuse(t.Floor() > 0 && !(t.TaperStart() > t.Lip),
		"inner: a width of %s makes the flanks start %s below the face, not behind the lips of %s; narrow the slot inside or deepen it",
		mm(t.Inner), mm(t.TaperStart()), mm(t.Lip))
	s.refuse(!(t.Corner < (t.Module-t.Slot)/2), "corner radius: %s reaches into the slot opening, below %s", mm(t.Corner), mm((t.Module-t.Slot)/2))
	s.refuse(!(t.Bore/2 < t.Module/2-t.Depth), "bore: %s reaches the slot floors, below %s", mm(t.Bore), mm(t.Module-2*t.Depth))
	s.refuse(t.Closed != (Faces{}) && !(t.faceWall() < t.TaperStart()),
		"face wall: a closed face of %s fills the slot down to its flanks at %s", mm(t.faceWall()), mm(t.TaperStart()))
	return s
}

// slotProfile returns the half slot from the opening to the floor as points
// (u, v): u from the slot's middle, v below the face. The slot widens from
// topWidth to Inner at depth top.
func (t TSlot) slotProfile(top, topWidth float64) []Point {
	wb, h1 := t.Floor(), t.TaperStart()
	var half []Point
	if topWidth < t.Inner {
		half = append(half, Point{topWidth / 2, 0}, Point{topWidth / 2, top})
	}
	if wb < t.Inner {
		half = append(half, Point{t.Inner / 2, top}, Point{t.Inner / 2, h1})
	} else {
		half = append(half, Point{t.Inner / 2, top})
	}
	return append(half, Point{wb / 2, t.Depth})
}

// face describes one side of the profile: middle of the face of a module at
// place (along, 0), going counter-clockwise, inward to the left.
type face struct {
	modules   int
	along, in Point // unit vectors
	middle    Point // middle of the whole face
}

func (t TSlot) faces() [4]face {
	w, h := float64(t.ModulesY)*t.Module, float64(t.ModulesZ)*t.Module
	return [4]face{
		{t.ModulesY, Point{1, 0}, Point{0, 1}, Point{0, -h / 2}},
		{t.ModulesZ, Point{0, 1}, Point{-1, 0}, Point{w / 2, 0}},
		{t.ModulesY, Point{-1, 0}, Point{0, -1}, Point{0, h / 2}},
		{t.ModulesZ, Point{0, -1}, Point{1, 0}, Point{-w / 2, 0}},
	}
}

// at returns the point u along the face from the middle of module i and v
// below it.
func (f face) at(i int, module, u, v float64) Point {
	s := (float64(i)-float64(f.modules-1)/2)*module + u
	return Point{f.middle.Y + s*f.along.Y + v*f.in.Y, f.middle.Z + s*f.along.Z + v*f.in.Z}
}

func (t TSlot) outer() Loop {
	var loop Loop
	for k, f := range t.faces() {
		if !t.Closed.side(k) {
			half := t.slotProfile(t.Lip, t.Slot)
			for i := range f.modules {
				for _, p := range half {
					loop = append(loop, f.at(i, t.Module, -p.Y, p.Z))
				}
				for j := len(half) - 1; j >= 0; j-- {
					loop = append(loop, f.at(i, t.Module, half[j].Y, half[j].Z))
				}
			}
		}
		end := f.at(f.modules-1, t.Module, t.Module/2-t.Corner, t.Corner)
		if t.Corner == 0 {
			loop = append(loop, end)
			continue
		}
		from := math.Pi/2*float64(k) - math.Pi/2
		loop = append(loop, arc(end, t.Corner, from, from+math.Pi/2, cornerEdges)...)
	}
	return loop
}

// centre returns the middle of module (i, j).
func (t TSlot) centre(i, j int) Point {
	return Point{
		(float64(i) - float64(t.ModulesY-1)/2) * t.Module,
		(float64(j) - float64(t.ModulesZ-1)/2) * t.Module,
	}
}

func (t TSlot) bores() (holes []Loop) {
	if t.Bore == 0 {
		return nil
	}
	for j := range t.ModulesZ {
		for i := range t.ModulesY {
			holes = append(holes, circle(t.centre(i, j), t.Bore/2, circlePoints))
		}
	}
	return holes
}

// cells returns the hollow cells at the corners of modules: one block deep at
// the surface, two blocks where modules meet.
func (t TSlot) cells() (holes []Loop) {
	q := t.block()
	// span returns the range of the cell at lattice line i of n+1.
	span := func(i, n int) (lo, hi float64) {
		at := (float64(i) - float64(n)/2) * t.Module
		lo, hi = at-q+t.Wall, at+q-t.Wall
		if i == 0 {
			lo = at + t.Wall
		}
		if i == n {
			hi = at - t.Wall
		}
		return lo, hi
	}
	for j := range t.ModulesZ + 1 {
		for i := range t.ModulesY + 1 {
			edgeY, edgeZ := i == 0 || i == t.ModulesY, j == 0 || j == t.ModulesZ
			if edgeY && edgeZ && !t.HollowCorners {
				continue
			}
			y0, y1 := span(i, t.ModulesY)
			z0, z1 := span(j, t.ModulesZ)
			if !(min(y1-y0, z1-z0) >= leastCell) {
				continue
			}
			holes = append(holes, Loop{{y0, z0}, {y1, z0}, {y1, z1}, {y0, z1}})
		}
	}
	return holes
}

// chambers returns the closed cells between neighbouring modules: the insides
// of two slots that face each other.
func (t TSlot) chambers() (holes []Loop) {
	half := t.slotProfile(0, t.Inner)[1:] // both slots continue each other: no edge at the interface
	chamber := func(c, across Point) Loop {
		up := Point{-across.Z, across.Y}
		var loop Loop
		put := func(v, u float64) {
			loop = append(loop, Point{c.Y + v*across.Y + u*up.Y, c.Z + v*across.Z + u*up.Z})
		}
		for j := len(half) - 1; j >= 0; j-- {
			put(-half[j].Z, -half[j].Y)
		}
		for _, p := range half {
			put(p.Z, -p.Y)
		}
		for j := len(half) - 1; j >= 0; j-- {
			put(half[j].Z, half[j].Y)
		}
		for _, p := range half {
			put(-p.Z, p.Y)
		}
		return loop
	}
	for j := range t.ModulesZ {
		for i := range t.ModulesY {
			c := t.centre(i, j)
			if i+1 < t.ModulesY {
				holes = append(holes, chamber(Point{c.Y + t.Module/2, c.Z}, Point{1, 0}))
			}
			if j+1 < t.ModulesZ {
				holes = append(holes, chamber(Point{c.Y, c.Z + t.Module/2}, Point{0, 1}))
			}
		}
	}
	return holes
}

// closedSlots returns the slot insides left behind closed faces.
func (t TSlot) closedSlots() (holes []Loop) {
	half := t.slotProfile(t.faceWall(), t.Inner)
	for k, f := range t.faces() {
		if !t.Closed.side(k) {
			continue
		}
		for i := range f.modules {
			var loop Loop
			for _, p := range half {
				loop = append(loop, f.at(i, t.Module, -p.Y, p.Z))
			}
			for j := len(half) - 1; j >= 0; j-- {
				loop = append(loop, f.at(i, t.Module, half[j].Y, half[j].Z))
			}
			holes = append(holes, loop)
		}
	}
	return holes
}
