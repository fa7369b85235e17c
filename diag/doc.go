// Package diag describes mistakes in a user's files: where, what, and what
// would mend it. Readers of designs, part data and measured data collect
// diagnostics in a List; a List sorts, prints and encodes them.
//
// A diagnostic is the user's to mend. A fault of the program or of the system
// is an ordinary error and does not belong here.
//
// Lines and columns start at 1; a column counts code points.
package diag
