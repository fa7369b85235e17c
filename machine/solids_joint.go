package machine

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/parts"
	"spanwright/prism"
)

// jointSolids are the plates and brackets at both ends of a bar. Hidden
// fasteners and screws are inside and are not drawn. Shapes are plain: the data
// give width and thickness only.
func (m *Machine) jointSolids(bars []Bar, i int) []Solid {
	b := &bars[i]
	var out []Solid
	for end, j := range b.Joints {
		meets := b.meets[end]
		if j == nil || j.Part == nil || meets.bar < 0 || !(j.Part.Thick > 0) {
			continue
		}
		k := newKnot(b, end, &bars[meets.bar])
		id := fmt.Sprintf("%s.joint.%s", b.ID, [2]string{"from", "to"}[end])
		for n, s := range k.pieces(j.Part, meets.gap) {
			piece := s.as(id, "stand", j.Part.ID, ThingJoint, b.Body, j.Part.Mass)
			if n > 0 {
				piece = piece.pieceOf(id)
				piece.ID = fmt.Sprintf("%s.%d", id, n+1)
			}
			out = append(out, piece)
		}
	}
	return out
}

// knot is a bar's end on the face of another bar, in the plane of both: along
// the other bar, away from its face, and the normal of that plane.
type knot struct {
	at              r3.Vec // on the centre line of the bar, in the other's face
	along, out, nor r3.Vec
	lean            r3.Vec  // inward direction of the bar
	length          float64 // of the bar
	half, depth     float64 // of the bar: in the plane (square to the bar), and along the normal
	otherDepth      float64 // of the other along the normal
	otherHigh       float64 // of the other below its face
	room            [2]float64
}

func newKnot(b *Bar, end int, o *Bar) knot {
	x := r3.Unit(r3.Sub(b.To, b.From))
	at := [2]r3.Vec{b.From, b.To}[end]
	k := knot{out: b.meets[end].face, along: r3.Unit(r3.Sub(o.To, o.From)), lean: r3.Scale(float64(1-2*end), x), length: b.Length()}
	if r3.Dot(k.lean, k.along) < 0 {
		k.along = r3.Scale(-1, k.along)
	}
	k.nor = r3.Cross(k.along, k.out)
	k.at = r3.Sub(at, r3.Scale(b.meets[end].gap/r3.Dot(k.lean, k.out), k.lean))
	k.half = half(b.Profile, x, b.Roll, r3.Cross(k.nor, k.lean))
	k.depth = half(b.Profile, x, b.Roll, k.nor)
	k.otherDepth = half(o.Profile, k.along, o.Roll, k.nor)
	k.otherHigh = 2 * half(o.Profile, k.along, o.Roll, k.out)
	for i, e := range [2]r3.Vec{o.From, o.To} { // how far the other bar reaches each way
		k.room[i] = r3.Dot(r3.Sub(e, k.at), k.along)
	}
	if k.room[0] > k.room[1] {
		k.room[0], k.room[1] = k.room[1], k.room[0]
	}
	return k
}

// clamp keeps a place along the other bar within it.
func (k knot) clamp(s float64) float64 { return min(max(s, k.room[0]), k.room[1]) }

func (k knot) pieces(j *parts.Joint, gap float64) []Solid {
	switch j.Family {
	case "corner plate", "base plate":
		if gap > 0 {
			return []Solid{k.endPlate(j)}
		}
		return k.gussets(j)
	case "one bracket":
		return []Solid{k.bracket(j, k.roomier())}
	case "two brackets":
		return []Solid{k.bracket(j, 1), k.bracket(j, -1)}
	case "one gusset", "two gussets":
		return k.gussets(j)
	}
	return nil
}

// endPlate lies between the bar's end and the face of the other.
func (k knot) endPlate(j *parts.Joint) Solid {
	deep := min(k.depth, k.otherDepth)
	s0, s1 := k.clamp(-j.Width/2), k.clamp(j.Width/2)
	centre := r3.Add(k.at, r3.Add(r3.Scale((s0+s1)/2, k.along), r3.Scale(j.Thick/2, k.out)))
	return block(centre, k.out, k.along, r3.Cross(k.out, k.along), r3.Vec{X: j.Thick, Y: s1 - s0, Z: 2 * deep})
}

// roomier is the side (+1 along, -1 against) on which the other bar reaches farther.
func (k knot) roomier() float64 {
	if -k.room[0] > k.room[1] {
		return -1
	}
	return 1
}

// bracket stands in the corner between the bar and the face of the other.
func (k knot) bracket(j *parts.Joint, side float64) Solid {
	leg := min(2*j.Lever, 0.35*k.length) // the screws sit in the middle of its legs
	foot := side * k.half / r3.Dot(k.lean, k.out)
	along := prism.Point{X: foot}
	tip := prism.Point{X: k.clamp(foot + side*leg)}
	up := prism.Point{X: foot + leg*r3.Dot(k.lean, k.along), Y: leg * r3.Dot(k.lean, k.out)}
	wide := min(j.Width, 2*k.otherDepth)
	return k.plate(-wide/2, wide, along, tip, up)
}

// gussets lie on the bar's two faces in the plane of the joint, or on one, and
// reach over the other bar where both are flush.
func (k knot) gussets(j *parts.Joint) []Solid {
	flush := math.Abs(k.depth-k.otherDepth) < 1e-3
	low := 0.0
	if flush {
		low = -min(k.otherHigh, 0.8*j.Width)
	}
	rise := r3.Dot(k.lean, k.out)
	foot := k.half / rise
	reach := max(foot+0.25*j.Width, j.Width/2)
	at := func(s, up float64) prism.Point { return prism.Point{X: s + up*r3.Dot(k.lean, k.along)/rise, Y: up} }
	top := min(0.8*j.Width, 0.4*k.length) * rise
	corners := []prism.Point{
		{X: k.clamp(-reach)}, {X: k.clamp(-foot), Y: low}, {X: k.clamp(foot), Y: low}, {X: k.clamp(reach)},
		at(foot, top), at(-foot, top),
	}
	if low == 0 {
		corners = []prism.Point{{X: k.clamp(-reach)}, {X: k.clamp(reach)}, at(foot, top), at(-foot, top)}
	}
	out := []Solid{k.plate(k.depth, j.Thick, corners...)}
	if j.Faces > 1 {
		out = append(out, k.plate(-k.depth-j.Thick, j.Thick, corners...))
	}
	return out
}

// plate is a plate in the plane of the joint: x of its corners along the other
// bar, y away from its face, from a place along the normal on.
func (k knot) plate(from, thick float64, corners ...prism.Point) Solid {
	o := prism.Outline{Outer: prism.Polygon(corners...)}.Oriented()
	return drawn(r3.Add(k.at, r3.Scale(from, k.nor)), k.nor, k.along, k.out, thick, o)
}
