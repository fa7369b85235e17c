package prism

import "math"

// Edge is a straight edge between two points, m.
type Edge [2][3]float64

// Edges returns the edges that a line drawing of the prism shows: the rims of
// both ends, and along the length those where the outline turns by more than
// corner, rad. Arcs are chords, perTurn to a full turn; corner should be larger
// than the angle between two of them.
func (p Prism) Edges(perTurn int, corner float64) []Edge {
	var out []Edge
	for _, l := range p.Outline.Straight(perTurn).Loops() {
		for i, v := range l {
			before, next := l.at(i+len(l)-1).Point, l.at(i+1).Point
			for end := range p.Ends {
				out = append(out, Edge{p.point(end, v.Point), p.point(end, next)})
			}
			in, on := v.Point.sub(before), next.sub(v.Point)
			if math.Abs(math.Atan2(in.cross(on), in.dot(on))) > corner {
				out = append(out, Edge{p.point(0, v.Point), p.point(1, v.Point)})
			}
		}
	}
	return out
}

func (p Prism) point(end int, at Point) [3]float64 { return [3]float64{at.X, at.Y, p.Z(end, at)} }
