package joint

import (
	"fmt"
	"math"

	"spanwright/given"
)

// Hardware is what a catalogue knows of one joint.
type Hardware struct {
	Family    Family
	Screw     Screw
	Count     int     // screws that stand on the host
	Lever     float64 // tension screws to the pressed edge, m (bracket: screw line to the toe)
	Pitch     float64 // between the screws, m
	Across    float64 // corner and base plate: between the outer screws of a row, m; 0: as Pitch
	Thickness float64 // of plate, bracket leg or gusset, m
	Width     float64 // of plate or bracket; height of a gusset at the joint line, m
	Yield     float64 // 0.2 % stress of plate or bracket, Pa
	Young     float64 // of plate or bracket, Pa
}

// Ends is what the joint sits on.
type Ends struct {
	DepthY, DepthZ float64     // outer size of the member along joint y and z, m
	Area           float64     // of the member, m²
	Modulus        float64     // smallest section modulus of the member, m³
	Yield          float64     // 0.2 % stress of the profile, Pa
	Lip            *Lip        // slot of the member that nuts sit in; nil: no slot
	HostLip        *Lip        // slot of the host, where brackets and plates have nuts of their own; nil: like Lip
	Core           *TappedHole // tapped core of the member; needed by core screws
}

func (e Ends) hostLip() *Lip {
	if e.HostLip != nil {
		return e.HostLip
	}
	return e.Lip
}

// Usual friction rings, where a catalogue gives none. Sources: engineering
// judgement; under a head the mean of 1.5 d and 1.1 d, under a profile's end a
// quarter of its smaller side (0.38 would be a uniform pressure on a square).
const (
	headRing = 0.65 // radius over thread diameter
	endRing  = 0.25 // radius over the smaller side
)

// Assemble lays the joint out from catalogue data.
//
//   - hidden fastener, core screw: screws in a line through the middle of the
//     member's deeper side, the whole end pressed;
//   - one and two brackets: below (-z), or below and above; the screw line lies in
//     the middle of each leg, the same screws in both legs;
//   - one and two gussets: on the y faces, screws in a line along the member, the
//     same number across in the host;
//   - corner plate, base plate: two rows at half the pitch above and below the
//     axis, the pressed edge one lever from the far row.
//
// Where real hardware differs, build the joint's own type instead.
func Assemble(h Hardware, e Ends, s Safety) (Joint, error) {
	if h.Count < 1 || !(e.DepthY > 0) || !(e.DepthZ > 0) {
		return nil, fmt.Errorf("%w: %d screws on a member of %g x %g m", given.ErrRefused, h.Count, e.DepthY, e.DepthZ)
	}
	switch h.Family {
	case HiddenFastener, CoreScrew:
		return assembleEnd(h, e, s)
	case OneBracket, TwoBrackets:
		return assembleBrackets(h, e, s)
	case OneGusset, TwoGussets:
		return assembleGussets(h, e, s)
	case CornerPlates, BasePlates:
		return assemblePlate(h, e, s)
	}
	return nil, fmt.Errorf("%w: %q", ErrUnknownFamily, h.Family)
}

func assembleEnd(h Hardware, e Ends, s Safety) (Joint, error) {
	screws := Grid(1, h.Count, 0, h.Pitch)
	if e.DepthY > e.DepthZ {
		screws = Grid(h.Count, 1, h.Pitch, 0)
	}
	bolt := BoltedFace{
		Face: Face{
			Screws: screws,
			MinY:   -e.DepthY / 2, MaxY: e.DepthY / 2, MinZ: -e.DepthZ / 2, MaxZ: e.DepthZ / 2,
			Faces: 1, FrictionRadius: endRing * math.Min(e.DepthY, e.DepthZ),
		},
		Screw: h.Screw, Share: 1, Prying: 1, Safety: s,
	}
	if h.Family == CoreScrew {
		if e.Core == nil {
			return nil, fmt.Errorf("%w: a core screw needs a tapped core", given.ErrRefused)
		}
		bolt.Hole = e.Core
	} else {
		bolt.Lip = e.Lip
	}
	return EndScrew{Bolt: bolt, Area: e.Area, Modulus: e.Modulus, Yield: e.Yield}, nil
}

func assembleBrackets(h Hardware, e Ends, s Safety) (Joint, error) {
	at := []Side{MinusZ}
	if h.Family == TwoBrackets {
		at = []Side{MinusZ, PlusZ}
	}
	each := h.Count / len(at)
	if each*len(at) != h.Count {
		return nil, fmt.Errorf("%w: %d screws on %d brackets", given.ErrRefused, h.Count, len(at))
	}
	leg := Leg{Length: 2 * h.Lever, ScrewDistance: h.Lever, Screws: Grid(1, each, 0, h.Pitch), Screw: h.Screw, Lip: e.Lip}
	host := leg
	host.Lip = e.hostLip()
	return Brackets{
		At: at, Depth: e.DepthZ, Width: h.Width, Host: host, Member: leg, Ring: headRing * h.Screw.Thread.Diameter,
		Modulus: h.Width * h.Thickness * h.Thickness / 6, Yield: h.Yield, Friction: 1, Safety: s,
	}, nil
}

func assembleGussets(h Hardware, e Ends, s Safety) (Joint, error) {
	plates := 1
	if h.Family == TwoGussets {
		plates = 2
	}
	each := h.Count / plates
	if each*plates != h.Count {
		return nil, fmt.Errorf("%w: %d screws on %d gussets", given.ErrRefused, h.Count, plates)
	}
	// The first screw of the member stands half a pitch from the joint line; the
	// host is taken as deep as the member.
	member, host := Grid(each, 1, h.Pitch, 0), Grid(1, each, 0, h.Pitch)
	for i := range member {
		member[i].U += float64(each) * h.Pitch / 2
		host[i].U -= e.DepthZ / 2
	}
	return Gussets{
		Plates: plates, Spacing: e.DepthY, Member: member, Host: host, Edge: h.Lever,
		Plate:  Strip{Thickness: h.Thickness, Width: h.Width, Arm: (h.Pitch + e.DepthZ) / 2, Young: h.Young, Yield: h.Yield},
		Screws: Holder{Screw: h.Screw, Lip: e.Lip}, Ring: headRing * h.Screw.Thread.Diameter, Safety: s,
	}, nil
}

func assemblePlate(h Hardware, e Ends, s Safety) (Joint, error) {
	if h.Count%2 != 0 {
		return nil, fmt.Errorf("%w: %d screws in two rows", given.ErrRefused, h.Count)
	}
	columns := h.Count / 2
	across := h.Pitch
	if h.Across > 0 {
		across = h.Across
	}
	pitchY := 0.0
	if columns > 1 {
		pitchY = across / float64(columns-1)
	}
	half := h.Lever - h.Pitch/2 // middle to pressed edge
	return CornerPlate{
		Host: BoltedFace{
			Face: Face{
				Screws: Grid(columns, 2, pitchY, h.Pitch),
				MinY:   -h.Width / 2, MaxY: h.Width / 2, MinZ: -half, MaxZ: half,
				Faces: 1, FrictionRadius: headRing * h.Screw.Thread.Diameter,
			},
			Screw: h.Screw, Lip: e.hostLip(), Share: 1, Prying: 1, Safety: s,
		},
		Plate: Strip{
			Thickness: h.Thickness, Width: h.Width, Arm: math.Max(0, (h.Pitch-e.DepthZ)/2), Young: h.Young, Yield: h.Yield,
		},
	}, nil
}
