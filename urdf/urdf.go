// Package urdf writes and reads mechanisms in the Unified Robot Description
// Format: links with mass and inertia, simple visual shapes, fixed and
// prismatic joints with their limits.
//
// It knows no rotating joints, meshes, collisions, transmissions or sensors.
// All numbers are SI: m, kg, kg m², N, m/s, rad. A child link's frame is where
// its joint puts it; masses and visuals are given in the link's own frame.
//
// Source: the format as readers take it (from memory), tried with an
// independent reader.
package urdf

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Robot is a tree of links.
type Robot struct {
	Name   string
	Notes  []string // written as comments
	Links  []Link   // the root first
	Joints []Joint
}

// Link is one rigid body.
type Link struct {
	Name    string
	Body    Body // in the link's frame
	Visuals []Visual
	Mesh    string // file that shows the link, in the link's frame; the visuals then bound it for collisions
}

// Visual is a simple shape of a link: a box, or a cylinder about its own z if
// Radius is above zero. Both are centred at their origin.
type Visual struct {
	Name   string
	At     Frame
	Box    r3.Vec // m
	Radius float64
	Length float64
	Colour string     // name
	RGBA   [4]float64 // 0 to 1
}

// Frame is a place and a turn: roll about x, then pitch about y, then yaw about
// z, all fixed axes, rad.
type Frame struct {
	At  r3.Vec
	RPY r3.Vec
}

// AngleFrame is the frame at a place whose axes are three unit vectors, square
// to each other and right-handed.
//
// Derived from R = Rz(yaw) Ry(pitch) Rx(roll), with roll 0 where the pitch is a
// right angle.
func AngleFrame(at, x, y, z r3.Vec) Frame {
	pitch := math.Atan2(-x.Z, math.Hypot(x.X, x.Y))
	if math.Hypot(x.X, x.Y) < 1e-9 {
		return Frame{at, r3.Vec{Y: pitch, Z: clean(math.Atan2(-y.X, y.Y))}}
	}
	return Frame{at, r3.Vec{X: clean(math.Atan2(y.Z, z.Z)), Y: clean(pitch), Z: clean(math.Atan2(x.Y, x.X))}}
}

// clean turns the -0 and -pi that rounding gives into 0 and pi.
func clean(angle float64) float64 {
	if math.Abs(angle) < 1e-12 {
		return 0
	}
	if angle < -math.Pi+1e-12 {
		return math.Pi
	}
	return angle
}

// Axes are the axes of the frame.
func (f Frame) Axes() (x, y, z r3.Vec) {
	sr, cr := math.Sincos(f.RPY.X)
	sp, cp := math.Sincos(f.RPY.Y)
	sy, cy := math.Sincos(f.RPY.Z)
	x = r3.Vec{X: cy * cp, Y: sy * cp, Z: -sp}
	y = r3.Vec{X: cy*sp*sr - sy*cr, Y: sy*sp*sr + cy*cr, Z: cp * sr}
	return x, y, r3.Cross(x, y)
}

// Joint joins a child link to its parent.
type Joint struct {
	Name          string
	Fixed         bool // else prismatic
	Parent, Child string
	At            Frame  // the child's frame in the parent's at position 0
	Axis          r3.Vec // unit, in the child's frame
	Limit         Limit
}

// Limit holds the limits of a prismatic joint.
type Limit struct {
	Lower, Upper float64 // m
	Effort       float64 // N
	Velocity     float64 // m/s
}

// ErrRobot says why a description is not sound.
var ErrRobot = errors.New("the mechanism cannot be written")

// Check tells whether names are unique, the joints make one tree from the first
// link, limits are real and every body can exist.
func (r *Robot) Check() error {
	links := map[string]bool{}
	for _, l := range r.Links {
		if l.Name == "" || links[l.Name] {
			return fmt.Errorf("%w: two links are called %q, or one has no name", ErrRobot, l.Name)
		}
		links[l.Name] = true
		if err := l.Body.Check(); err != nil {
			return fmt.Errorf("%w: link %q: %w", ErrRobot, l.Name, err)
		}
	}
	joints, parents := map[string]bool{}, map[string]string{}
	for _, j := range r.Joints {
		if err := r.checkJoint(j, links, joints, parents); err != nil {
			return err
		}
		joints[j.Name], parents[j.Child] = true, j.Parent
	}
	for i, l := range r.Links {
		if _, held := parents[l.Name]; held != (i > 0) {
			return fmt.Errorf("%w: link %q: the first link alone has no parent", ErrRobot, l.Name)
		}
		at := l.Name
		for n := 0; at != r.Links[0].Name; n++ {
			if n > len(r.Joints) {
				return fmt.Errorf("%w: link %q hangs in a circle of joints", ErrRobot, l.Name)
			}
			at = parents[at]
		}
	}
	return nil
}

func (r *Robot) checkJoint(j Joint, links, joints map[string]bool, parents map[string]string) error {
	refuse := func(why string) error { return fmt.Errorf("%w: joint %q: %s", ErrRobot, j.Name, why) }
	_, twice := parents[j.Child]
	switch {
	case j.Name == "" || joints[j.Name]:
		return refuse("two are called so, or it has no name")
	case !links[j.Parent] || !links[j.Child]:
		return refuse("a link is missing")
	case twice:
		return refuse("its child has two parents")
	case j.Fixed:
		return nil
	case !(math.Abs(r3.Norm(j.Axis)-1) < 1e-9):
		return refuse("the axis is no unit vector")
	case !(j.Limit.Lower < j.Limit.Upper):
		return refuse("the lower limit is not below the upper one")
	case !(j.Limit.Effort > 0) || !(j.Limit.Velocity > 0):
		return refuse("effort and velocity must be above zero")
	}
	return nil
}
