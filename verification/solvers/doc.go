// Package solvers holds package frame against an independent general-purpose finite-element program, CalculiX: the same
// frames, written out as its input, must move and vibrate alike. Inputs and outputs are kept under testdata.
//
// The other program builds its beams from solid elements (B32R becomes C3D20R), which is a different model of the same
// body. What that means for the comparison stands at Frame. Units are SI.
package solvers
