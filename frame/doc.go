// Package frame solves three-dimensional frame models: straight Timoshenko beams, springs, ties between any two points
// of the frame, rigid masses, supports and contacts. It computes static states, natural modes, buckling factors and the
// response to forces, and it proves each result (residual, balance, Sturm count).
//
// It knows nothing of machines. Small displacements, linear elastic material; warping torsion, shear centre offsets and
// local buckling of walls are not covered.
//
// Units are SI: m, kg, s, N, rad, Pa, K. Global axes are right-handed with Z up. Local axes of members and all signs
// are those of the neutral model form: see Member, State.MemberForces and Inner.
//
// The ways in:
//
//	ReadJSON(r) (*Model, Problems)        a model from the neutral JSON form
//	Solve(m) (*Answer, error)             all cases and modes of a model; Answer is written as JSON
//	Assemble(m) (*System, error)          the same step by step: Statics, Static, Modes
//	NewBase(m) (*Base, error)             a model that is solved at many poses: what does not change, factored once
//	Base.NewPose() *Pose                  one goroutine's workspace; Pose.Set couples the bodies for one pose
//
// A model that can move without deforming is refused with a *MechanismError that names a node and a direction.
package frame
