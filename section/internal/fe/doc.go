// Package fe solves Laplace problems on a triangulated plane region with
// six-node triangles, each twice: once for a potential and once for the
// conjugate stress function. The first bounds the strain energy from one side
// and the second from the other, so the exact value of every energy lies in
// the returned bracket, and the difference of the two stress fields shows
// where the mesh should be finer.
//
// The problems are those of a prismatic bar: Saint-Venant torsion, and shear
// by a transverse force with Poisson's ratio zero. Coordinates are y and z in
// metres; the caller may place the origin anywhere.
//
// Sources: Prager & Synge, Quarterly of Applied Mathematics 5 (1947) 241 (the
// two-sided bound; reference from memory); the equations are derived in the
// comments beside them.
package fe
