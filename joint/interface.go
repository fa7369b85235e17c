package joint

import (
	"fmt"
	"math"

	"spanwright/given"
)

// PlateBetween is what a catalogue and a machine know of a plate between two
// bodies: the carrier, and the body that is held on it. Joint axes: x off the
// carrier, y and z in the plate, along and across the held body.
type PlateBetween struct {
	Screw     Screw
	Count     int        // screws to each body
	Pitch     [2]float64 // between the outermost screws along y and z, m
	Size      [2]float64 // of the plate along y and z, m
	Thickness float64    // m
	Young     float64    // Pa
	Yield     float64    // 0.2 % stress of the plate, Pa

	Ribs         int     // on one side, in the direction in which the plate overhangs most
	RibThickness float64 // of one rib, m
	RibHeight    float64 // above the plate, m

	Carrier [2]float64 // face of the carrier along y and z, m; +Inf where it runs on
	Held    [2]float64 // face of the held body, the same way
}

// Body numbers the two bodies of an interface plate.
type Body int

// The bodies.
const (
	CarrierBody Body = iota
	HeldBody
)

// InterfacePlate is a plate with a screw pattern to each of two bodies. Where
// the screws of one body stand beyond the outline of the other, the plate
// between them bends.
type InterfacePlate struct {
	Faces     [2]BoltedFace // plate to the carrier, held body to the plate
	Overhangs []Overhang    // both bodies, y then z
	DrawnIn   bool          // a pattern is wider than the body it stands on and was drawn in to its face
}

// Overhang is the strip of an interface plate between a row of screws to one
// body and the outline of the other.
type Overhang struct {
	Of      Body  // whose screws they are
	Along   int   // 0: beyond in y, 1: in z
	Strip   Strip // Arm is 0 where the row stands over the other body
	Ribs    int
	Modulus float64 // section modulus with ribs, m³
	Inertia float64 // with ribs, m⁴
}

// edgeDistance is the least distance of a screw from an edge, over its diameter:
// 1.2 hole diameters with holes a tenth wider than the screw.
// Source: EN 1993-1-8, Table 3.3 (from memory).
const edgeDistance = 1.32

// Assemble lays the plate out: like patterns of two lines of screws to both
// bodies, each drawn in where its body's face is smaller; pressed is what both
// bodies cover, spread by the plate's thickness on each side.
func (p PlateBetween) Assemble(s Safety) (InterfacePlate, error) {
	var out InterfacePlate
	if p.Count < 2 || !(p.Thickness > 0) || !(p.Size[0] > 0) || !(p.Size[1] > 0) || !(p.Pitch[0] > 0) || !(p.Pitch[1] > 0) || p.Ribs < 0 {
		return out, fmt.Errorf("%w: plate %g x %g x %g m with %d screws at %g x %g m and %d ribs", given.ErrRefused,
			p.Size[0], p.Size[1], p.Thickness, p.Count, p.Pitch[0], p.Pitch[1], p.Ribs)
	}
	var pitch [2][2]float64 // body, direction
	for b, face := range [...][2]float64{p.Carrier, p.Held} {
		for i := range face {
			room := face[i] - 2*edgeDistance*p.Screw.Thread.Diameter
			pitch[b][i] = math.Min(p.Pitch[i], room)
			out.DrawnIn = out.DrawnIn || room < p.Pitch[i]
			if !(pitch[b][i] > 0) {
				return out, fmt.Errorf("%w: a face of %g m has no room for two lines of %s", given.ErrRefused, face[i], p.Screw.Thread.Name)
			}
		}
		out.Faces[b] = p.face(pitch[b], s)
	}
	return out, p.overhangs(&out, pitch)
}

func (p PlateBetween) face(pitch [2]float64, s Safety) BoltedFace {
	half := func(i int) float64 {
		return math.Min(p.Size[i]/2, math.Min(p.Carrier[i], p.Held[i])/2+p.Thickness)
	}
	columns := p.Count / 2
	pitchY := 0.0
	if columns > 1 {
		pitchY = pitch[0] / float64(columns-1)
	}
	return BoltedFace{
		Face: Face{
			Screws: Grid(columns, 2, pitchY, pitch[1]),
			MinY:   -half(0), MaxY: half(0), MinZ: -half(1), MaxZ: half(1),
			Faces: 1, FrictionRadius: headRing * p.Screw.Thread.Diameter,
		},
		Screw: p.Screw, Share: 1, Prying: Prying(p.Thickness, p.Screw.Thread.Diameter), Safety: s,
	}
}

// overhangs finds the strips; the ribs go where the plate overhangs most.
func (p PlateBetween) overhangs(out *InterfacePlate, pitch [2][2]float64) error {
	bodies := [...][2]float64{p.Carrier, p.Held}
	most := 0
	for _, of := range [...]Body{CarrierBody, HeldBody} {
		other := bodies[1-of]
		for i := range pitch[of] {
			arm := math.Max(0, pitch[of][i]/2-math.Min(other[i], p.Size[i])/2)
			o := Overhang{Of: of, Along: i, Strip: Strip{
				Thickness: p.Thickness, Width: WorkingWidth(pitch[of][1-i], arm, p.Size[1-i]), Arm: arm, Young: p.Young, Yield: p.Yield,
			}}
			o.Modulus, o.Inertia = o.Strip.Modulus(), o.Strip.Inertia()
			out.Overhangs = append(out.Overhangs, o)
			if arm > out.Overhangs[most].Strip.Arm {
				most = len(out.Overhangs) - 1
			}
		}
	}
	if p.Ribs == 0 {
		return nil
	}
	for k := range out.Overhangs {
		o := &out.Overhangs[k]
		if o.Along != out.Overhangs[most].Along {
			continue
		}
		ribbed, err := Ribbed{
			PlateWidth: o.Strip.Width, PlateThickness: p.Thickness, Ribs: p.Ribs, RibThickness: p.RibThickness, RibHeight: p.RibHeight,
		}.Section()
		if err != nil {
			return err
		}
		o.Ribs, o.Modulus, o.Inertia = p.Ribs, ribbed.Modulus, ribbed.Inertia
	}
	return nil
}

// Where names an overhang in its check.
func (o Overhang) Where() string {
	return "plate beyond the " + [...]string{"held body, ", "carrier, "}[o.Of] + [...]string{"along", "across"}[o.Along]
}

// Judge adds the checks of both bolted faces and the bending of the plate.
//
//	M = sum of the tensions of the screws on one side times their distance from the other body's outline
//
// Source: derived from equilibrium; beam strip.
func (p InterfacePlate) Judge(d Demand, s *Sheet) error {
	for b, name := range [...]string{"plate on the carrier", "held body on the plate"} {
		face := p.Faces[b]
		face.Where = name
		if err := face.judge(d, s, b); err != nil {
			return err
		}
	}
	for _, o := range p.Overhangs {
		if err := o.judge(p.Faces[o.Of], s.loads[o.Of], s); err != nil {
			return err
		}
	}
	return nil
}

func (o Overhang) judge(f BoltedFace, loads []ScrewLoad, s *Sheet) error {
	moment := 0.0
	if o.Strip.Arm > 0 {
		moment = f.Prying * sideTension(f.Face, loads, o.Along) * o.Strip.Arm
	}
	c := Check{
		Mechanism: PlateBends, Number: "J12", Where: o.Where(), Unit: "N m", Demand: moment,
		Formula: "U = S*M/(W*R_p)",
		Source:  "beam strip between the screw row and the outline of the other body, derived; factor: common practice, no source",
	}
	terms := [...]Term{
		{"S", "factor on yield", f.Safety.Yield, ""},
		{"M", "bending moment of the plate", moment, "N m"},
		{"W", "section modulus of the plate, ribs included", o.Modulus, "m³"},
		{"R_p", "0.2 % stress of the plate", o.Strip.Yield, "Pa"},
	}
	if !(o.Strip.Yield > 0) {
		s.add(unknown(c, "0.2 % stress of the plate"), terms[:]...)
		return nil
	}
	c.Capacity = o.Strip.Yield / f.Safety.Yield * o.Modulus
	s.judged(c, terms[:]...)
	return o.Strip.validate()
}

// sideTension is the larger sum of tensions on the two sides of the face's
// middle in one direction (0: y, 1: z), N.
func sideTension(f Face, loads []ScrewLoad, along int) float64 {
	var sides [2]float64
	for i, l := range loads {
		switch at := [...]float64{f.Screws[i].U, f.Screws[i].V}[along]; {
		case at > 0:
			sides[0] += l.Tension
		case at < 0:
			sides[1] += l.Tension
		}
	}
	return math.Max(sides[0], sides[1])
}

// PlateStiffness is what the bending of an interface plate leaves of its
// stiffness; +Inf where nothing overhangs.
type PlateStiffness struct {
	Normal float64 // N/m
	AboutY float64 // N m/rad
	AboutZ float64 // N m/rad
}

// Stiffness puts every screw on the end of its strip and both patterns in series:
//
//	k_i = 3 E I/(n_row c³)      k_n = Σ k_i      k_y = Σ k_i z_i²      k_z = Σ k_i y_i²
//
// Contact, screws and the bodies themselves are not in it.
// Source: derived, cantilever strips.
func (p InterfacePlate) Stiffness() PlateStiffness {
	var flexible PlateStiffness // flexibilities while summing
	for b := range p.Faces {
		flexible.Normal += p.giving(Body(b), func(Point) float64 { return 1 })
		flexible.AboutY += p.giving(Body(b), func(at Point) float64 { return at.V })
		flexible.AboutZ += p.giving(Body(b), func(at Point) float64 { return at.U })
	}
	return PlateStiffness{1 / flexible.Normal, 1 / flexible.AboutY, 1 / flexible.AboutZ}
}

// giving is the flexibility 1/Σ k_i lever² of one pattern; 0 where a screw with
// a lever stands over the other body, or none has a lever.
func (p InterfacePlate) giving(b Body, lever func(Point) float64) float64 {
	k := 0.0
	for _, at := range p.Faces[b].Face.Screws {
		l := lever(at)
		if l == 0 {
			continue
		}
		f := p.flexibility(b, at)
		if f == 0 {
			return 0
		}
		k += l * l / f
	}
	if k == 0 {
		return 0
	}
	return 1 / k
}

// flexibility is how far a screw's place gives, m/N: an outermost screw sits on
// the strips beyond the other body's outline, one further in on the strip's root.
func (p InterfacePlate) flexibility(b Body, at Point) float64 {
	f := 0.0
	for _, o := range p.Overhangs {
		if o.Of != b || o.Strip.Arm == 0 {
			continue
		}
		mine, outer, row := [...]float64{at.U, at.V}[o.Along], 0.0, 0
		for _, s := range p.Faces[b].Face.Screws {
			outer = math.Max(outer, [...]float64{s.U, s.V}[o.Along])
		}
		if math.Abs(mine) < outer*(1-1e-9) {
			continue
		}
		for _, s := range p.Faces[b].Face.Screws {
			if c := [...]float64{s.U, s.V}[o.Along]; math.Abs(c-mine) <= outer*1e-9 {
				row++
			}
		}
		f += float64(row) * math.Pow(o.Strip.Arm, 3) / (3 * o.Strip.Young * o.Inertia)
	}
	return f
}
