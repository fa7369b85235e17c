// Package sparse solves large symmetric sparse systems and eigenvalue problems as they come from frame models.
//
// It computes the factorisation K = L D Lᵀ in a fill-reducing order that is fixed beforehand, solutions of K x = b,
// the number of negative pivots (Sturm count), and the lowest eigenpairs of K x = λ M x together with a proof that
// none was missed. It names the freedom at which a singular matrix can move, and the movement.
//
// It does not pivot for stability: a matrix must be definite, or be a shifted pencil K - σM away from its eigenvalues.
// It knows neither nodes, members nor units: whatever units K, M and b carry, x and λ carry the matching ones.
// Freedoms are numbered from 0.
//
// A matrix is immutable once built; a Symbolic and a Factor may be used by several goroutines at once.
// Results do not depend on the number of goroutines.
package sparse
