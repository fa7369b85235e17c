// Package joint computes what fastened joints of a gantry hold and how stiff
// they are: preload and its scatter, slip, slot lips and core threads, screw
// groups under shear, torsion and bending, plates, ribs and clamps, and the
// rotational stiffness of joint families as a range.
//
// A joint turns a [Demand] into [Check]s on a [Sheet]; [Checks] does so for one.
//
// It does not compute anchors in concrete (the anchor's own approval does),
// welds, fatigue of screws, or the local bending of castings.
//
// # Joint axes
//
// The joint face is the plane where the attached member meets what carries it
// (the host). The origin is where the member's axis crosses that plane; x is the
// normal of the face and points from the host into the attached member; y and z
// lie in the face, right-handed. A [Demand] is what the attached member exerts
// on the joint: N > 0 pulls the member off its host, My > 0 opens the +z side,
// Mz > 0 opens the -y side.
//
// All numbers are SI: m, N, N m, Pa, rad. Words on where a number comes from:
// published (standard and clause), derived, "common practice, no source",
// "from memory" (a published value that was recalled and not seen again).
package joint
