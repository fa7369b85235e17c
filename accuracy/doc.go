// Package accuracy computes how precisely an axis or a tool point stands: the
// error budget of an axis and the chain of errors to the tool point before it is
// built, how much a taught position varies, and the evaluation of positioning
// measurements to ISO 230-2 and of pose measurements to ISO 9283 afterwards.
//
// It does not measure, does not compensate and does not judge. Values of the
// two standards cannot be compared with each other: one is built from plus and
// minus two standard deviations along an axis, the other from a radius in space.
//
// Units are SI: m, rad, N, N/m. A deviation is actual less target position.
// Numbers that can mean nothing are refused with given.ErrRefused.
package accuracy
