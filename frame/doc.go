// Package frame solves three-dimensional frame models: straight Timoshenko beams, springs, ties between any two points
// of the frame, rigid masses, supports and one-sided contacts. It computes static states, natural modes, buckling factors,
// the response to forces, and who causes a displacement; and it proves each result (residual, balance, Sturm count, sum of
// the parts).
//
// It knows nothing of machines. Displacements are small, material is linear elastic; warping torsion, eccentric shear
// centres and local buckling of walls are not covered.
//
// Units are SI: m, kg, s, N, rad, Pa, K. Global axes are right-handed with Z up. Local axes of members and all signs
// are those of the neutral model form: see Member, State.MemberForces and Inner.
//
// # A model as a whole
//
//	ReadJSON(r) (*Model, Problems)     a model from the neutral JSON form, all mistakes in one run
//	Model.Check() Problems             the same for a model made in Go
//	Solve(m) (*Answer, error)          all cases and modes; Answer is written as JSON
//	Assemble(m) (*System, error)       step by step:
//	  System.Statics, Static           *State: Displacement, At, Reaction, MemberForces, Stations, Extremes, JointForces
//	  System.Modes, CountBelow         *Modes: Hz, Shape, Participation, Damping; Response: Receptance, Transient
//	  System.Buckling                  *Buckling: Factors, Shape
//	  System.Split                     who contributes how much to a Measure; parts add up exactly
//	  System.Gain                      what one more tie or bar would change, exactly, without factoring again
//
// # The same bodies at many poses
//
//	NewBase(m) (*Base, error)          bodies that do not change, factored once; they may be free in space
//	Base.Prepare(case)                 a load case, solved on the uncoupled bodies
//	Base.NewPose() *Pose               one goroutine's workspace
//	  Pose.Set(ties, masses)           couples the bodies for one pose, exactly
//	  Pose.Static(prepared, into)      *PoseState: At, TieForces; Recover, State, Split for what is inside the members
//	  Pose.Modes(n, into)              *PoseModes: Hz, Shape, Work; ModesOnce for a pose that stands alone,
//	                                   Frequencies where a rougher answer will do
//	  Pose.System()                    the whole model of the pose, for the reference path
//
// Ties act between material points of the bodies. A body that travels without turning need not be moved in the model:
// it stays where it was drawn, and the positions of the tie points along the members tell where it stands.
//
// A structure that can move without deforming is refused with a *MechanismError that names a node and a direction;
// one that tips off its contacts with a *TipError that names the edge. Mistakes in a model are Problems.
package frame
