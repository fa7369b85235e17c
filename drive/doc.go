// Package drive computes what moves and holds one linear axis: force balance
// and counterbalance, toothed belt, ball and slide screw, rack and pinion,
// servo and stepper motor, gear, line shaft, hold brake and power-off stop,
// regenerated energy, supply current and conductors.
//
// It does not plan motion (package motion), does not load guides (package
// guide), knows no parts and no design, and sets no limits: it returns demand
// and capacity, and the caller judges. Where a default limit of the trade
// belongs to a formula it is a named constant with its source.
//
// Units are SI: m, kg, s, N, N m, rad, rad/s, J, W, K, Pa. Along the axis +x is
// the positive direction; on an inclined or vertical axis +x points up. A
// positive drive force pushes the moving part in +x. Belt and cord forces are
// positive in tension. Brake stops count distances positive downwards.
//
// Numbers that can mean nothing (NaN, a lead of zero) are refused with
// given.ErrRefused; physical impossibilities have errors of their own
// (ErrSlack, ErrJams, ErrNeverStops).
package drive

import "errors"

var (
	// ErrSlack: a belt run has lost its tension.
	ErrSlack = errors.New("belt run goes slack")
	// ErrJams: no torque, however large, moves the screw.
	ErrJams = errors.New("thread jams")
	// ErrNeverStops: what brakes is not stronger than what drives.
	ErrNeverStops = errors.New("never stops")
	// ErrOutsideData: part data or a table does not reach as far as asked.
	ErrOutsideData = errors.New("outside the data")
)
