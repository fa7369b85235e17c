// Package motion plans how a coordinate moves: from rest to rest within limits
// on speed, acceleration and jerk, alone, together with others, and through a
// whole cycle; what force and energy that asks of a drive; how much a flexible
// load swings afterwards; and how far a stop runs.
//
// A motion is a [Curve], a chain of segments of constant jerk. Everything is
// evaluated exactly on the segments; nothing is sampled. A [Profile] is the
// curve of one rest-to-rest move, held in fixed space so that planning does not
// allocate.
//
// Units are SI: s, m, m/s, m/s², m/s³, kg, N, W, J, Hz. The same formulas hold
// for a turning coordinate with rad, kg m² and N m. There is one axis
// coordinate x, and no frame: a positive stroke goes to greater x, a positive
// force pushes towards greater x.
//
// It knows nothing of drives, parts or machines, does not plan through via
// points or curved paths, and does not model a controller: the load is taken
// to follow the commanded motion but for the swing of [Mode].
package motion
