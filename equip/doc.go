// Package equip computes the equipment around the axes of a gantry: cable
// carriers and what lies in them, travel limits, hard stops and homing, stop
// categories, distances of guards and light curtains, reach over fences, gaps
// against crushing, the estimate of a required performance level, gripping
// margins, and the maintenance plan.
//
// It does not compute the stopping motion of a drive (package motion), brakes,
// gravity axes and energy (package drive), nor whether a safety function reaches
// its performance level: it never states that.
//
// All numbers are SI: m, s, kg, N, J. Positions along an axis are in the axis
// coordinate, plus end; mirror them for the minus end. Tables of standards that
// are from memory say so and carry it to every result. Refused numbers wrap
// given.ErrRefused.
package equip

// Caution goes with every result on stopping, holding and guarding.
const Caution = "An aid only: the machine builder's risk assessment (ISO 12100), the law, local codes and the review by a licensed " +
	"or competent practitioner take precedence. A holding brake alone does not make it safe to stand under a load."
