// Package tuning holds the formulas by which a built axis is set up: feed
// constants, following-error windows, notch filters, the choice between notch,
// shaper and slower jerk, and squareness from two diagonals.
//
// It knows no machine and finds no optimum: the values are where to begin.
// All numbers are SI.
package tuning
