// Package stand computes the overall stability of a free-standing machine as a
// rigid body: tipping about every edge of its footprint, the loads of its feet
// (which press but do not pull unless they are anchored), the effect of a foot
// that is too long or too short, and sliding.
//
// It does not compute the elastic frame (package frame does, and its foot loads
// are the better ones for a soft frame), nor the resistance of anchors (the
// anchor's own approval does).
//
// Frame W: Z up, origin on the floor. Actions are forces on the machine. Foot
// loads are forces of the floor on the machine, positive upwards. All SI.
package stand
