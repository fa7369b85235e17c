// Package mesh divides a plane region, one outer loop with holes, into
// triangles of bounded shape for finite elements.
//
// It computes a constrained Delaunay triangulation of the loops, drops what
// lies outside the material and improves it by Delaunay refinement until no
// boundary edge is encroached and no triangle is thinner than allowed; later
// it refines where it is told to. It knows no mechanics.
//
// Lengths in and out are metres in the caller's plane coordinates (y, z).
// Inside, points sit on an integer grid of 2^25 steps over the larger side of
// the region (2.4 nm for 80 mm), so that the two tests every decision rests
// on, orientation and in-circle, are exact, and the same region gives the
// same mesh on every processor.
//
// Sources: Bowyer, Watson, Computer Journal 24 (1981) 162 and 167 (insertion);
// Sloan, Advances in Engineering Software 15 (1993) 441 (edge recovery by
// swaps); Ruppert, J. Algorithms 18 (1995) 548 (refinement). References from
// memory.
package mesh
