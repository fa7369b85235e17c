package motion

import (
	"errors"
	"fmt"
	"math"
)

// Limits bound a move. The zero values of Decel, Jerk and DecelJerk have the
// meaning written beside them.
type Limits struct {
	Speed     float64 // m/s, > 0
	Accel     float64 // m/s², > 0, while speeding up
	Decel     float64 // m/s², > 0, while slowing down; 0: as Accel
	Jerk      float64 // m/s³, > 0, while speeding up; 0 or +Inf: no limit
	DecelJerk float64 // m/s³, > 0, while slowing down; 0: as Jerk; +Inf: no limit
}

// ErrLimits is returned, wrapped with the value, for a limit that is not a
// positive number or a stroke or time that is not a number.
var ErrLimits = errors.New("not a usable limit")

// Limit says which limit decides the duration of a move.
type Limit uint8

// The limits that can govern. A move governed by jerk does not become shorter
// by a greater acceleration limit.
const (
	LimitNone  Limit = iota // no move
	LimitSpeed              // part of the way runs at the speed limit
	LimitAccel              // the speed limit is not reached, the acceleration limit is
	LimitJerk               // neither is reached
)

var limitNames = [...]string{"none", "speed", "acceleration", "jerk"}

// String returns the word for the limit.
func (l Limit) String() string {
	if int(l) >= len(limitNames) {
		return fmt.Sprintf("Limit(%d)", uint8(l))
	}
	return limitNames[l]
}

// MarshalText writes the word.
func (l Limit) MarshalText() ([]byte, error) { return []byte(l.String()), nil }

// side bounds one ramp, between rest and the peak speed.
type side struct {
	accel float64 // m/s²
	jerk  float64 // m/s³, +Inf without limit
}

// sides fills in the defaults and refuses what is no limit.
func (l Limits) sides() (up, down side, err error) {
	if l.Decel == 0 {
		l.Decel = l.Accel
	}
	if l.DecelJerk == 0 {
		l.DecelJerk = l.Jerk
	}
	up, down = side{l.Accel, l.Jerk}, side{l.Decel, l.DecelJerk}
	if up.jerk == 0 {
		up.jerk = math.Inf(1)
	}
	if down.jerk == 0 {
		down.jerk = math.Inf(1)
	}
	switch {
	case !(l.Speed > 0) || math.IsInf(l.Speed, 1):
		err = fmt.Errorf("%w: speed %g m/s, must be above 0", ErrLimits, l.Speed)
	case !(up.accel > 0) || math.IsInf(up.accel, 1):
		err = fmt.Errorf("%w: acceleration %g m/s², must be above 0", ErrLimits, up.accel)
	case !(down.accel > 0) || math.IsInf(down.accel, 1):
		err = fmt.Errorf("%w: deceleration %g m/s², must be above 0", ErrLimits, down.accel)
	case !(up.jerk > 0):
		err = fmt.Errorf("%w: jerk %g m/s³, must be above 0", ErrLimits, up.jerk)
	case !(down.jerk > 0):
		err = fmt.Errorf("%w: jerk %g m/s³ while slowing down, must be above 0", ErrLimits, down.jerk)
	}
	return up, down, err
}

func checkStroke(stroke float64) error {
	if math.IsNaN(stroke) || math.IsInf(stroke, 0) {
		return fmt.Errorf("%w: stroke %g m", ErrLimits, stroke)
	}
	return nil
}
