package motion

import (
	"errors"
	"fmt"
	"math"
)

// Leg is the part of one axis in a move of several.
type Leg struct {
	Stroke float64 // m, signed
	Limits Limits
}

// Move is a move of several axes that start at the same time.
type Move struct {
	Profiles []Profile // one per leg, in their order
	Duration float64   // s, until the last axis has arrived
	Governs  int       // index of the leg that decides the duration; -1: no leg moves
	Limit    Limit     // its limit that does
}

// ErrNoLegs is returned for a move without axes.
var ErrNoLegs = errors.New("a move needs at least one axis")

// Independent plans each leg by itself at its own limits; the path is what
// comes of it, and each axis rests when it has arrived.
func Independent(legs ...Leg) (Move, error) {
	if len(legs) == 0 {
		return Move{}, ErrNoLegs
	}
	m := Move{Profiles: make([]Profile, len(legs)), Governs: -1}
	for i, leg := range legs {
		p, err := Plan(leg.Stroke, leg.Limits)
		if err != nil {
			return Move{}, fmt.Errorf("axis %d: %w", i+1, err)
		}
		m.Profiles[i] = p
		if d := p.Duration(); d > m.Duration {
			m.Duration, m.Governs, m.Limit = d, i, p.governs
		}
	}
	return m, nil
}

// FinishTogether plans each leg by itself and slows the others down to the time
// of the slowest: with λ = T_i/T speeds scale by λ, accelerations by λ², jerks
// by λ³. The path is straight only if all profiles have the same shape.
//
// Source: derived.
func FinishTogether(legs ...Leg) (Move, error) {
	m, err := Independent(legs...)
	if err != nil {
		return Move{}, err
	}
	for i := range m.Profiles {
		if i != m.Governs {
			m.Profiles[i] = m.Profiles[i].Stretched(m.Duration)
		}
	}
	return m, nil
}

// Line is a move of several axes on a straight line.
type Line struct {
	Move
	Path       Profile // along the line
	PathLimits Limits  // what the axes allow along the line
}

// Straight plans a move along the straight line, with direction cosines
// e_i = S_i/L and each limit of the path the least of limit_i/|e_i|. Axis i then
// moves as e_i times the path.
//
// Source: derived.
func Straight(legs ...Leg) (Line, error) {
	if len(legs) == 0 {
		return Line{}, ErrNoLegs
	}
	length := 0.0
	for i, leg := range legs {
		if err := checkStroke(leg.Stroke); err != nil {
			return Line{}, fmt.Errorf("axis %d: %w", i+1, err)
		}
		length = math.Hypot(length, leg.Stroke)
	}
	path, tightest, err := alongLine(legs, length)
	if err != nil {
		return Line{}, err
	}
	profile, err := Plan(length, path)
	if err != nil {
		return Line{}, err
	}
	line := Line{Move: Move{Profiles: make([]Profile, len(legs)), Governs: -1}, Path: profile, PathLimits: path}
	line.Duration, line.Limit = profile.Duration(), profile.governs
	if length > 0 {
		line.Governs = tightest[profile.governs]
		for i, leg := range legs {
			if leg.Stroke != 0 {
				line.Profiles[i] = profile.Scaled(leg.Stroke / length)
				line.Profiles[i].stroke = leg.Stroke // free of the roundings of the quotient
			}
		}
	}
	return line, nil
}

// alongLine returns the limits along the line and, for each of them, the leg
// that sets it.
func alongLine(legs []Leg, length float64) (path Limits, tightest [LimitJerk + 1]int, err error) {
	inf := math.Inf(1)
	path = Limits{Speed: inf, Accel: inf, Decel: inf, Jerk: inf, DecelJerk: inf}
	for i, leg := range legs {
		up, down, err := leg.Limits.sides()
		if err != nil {
			return Limits{}, tightest, fmt.Errorf("axis %d: %w", i+1, err)
		}
		if leg.Stroke == 0 && length > 0 {
			continue
		}
		share := 1.0
		if length > 0 {
			share = math.Abs(leg.Stroke) / length
		}
		if v := leg.Limits.Speed / share; v < path.Speed {
			path.Speed, tightest[LimitSpeed] = v, i
		}
		if a := min(up.accel, down.accel) / share; a < min(path.Accel, path.Decel) {
			tightest[LimitAccel] = i
		}
		if j := min(up.jerk, down.jerk) / share; j < min(path.Jerk, path.DecelJerk) {
			tightest[LimitJerk] = i
		}
		path.Accel = math.Min(path.Accel, up.accel/share)
		path.Decel = math.Min(path.Decel, down.accel/share)
		path.Jerk = math.Min(path.Jerk, up.jerk/share)
		path.DecelJerk = math.Min(path.DecelJerk, down.jerk/share)
	}
	return path, tightest, nil
}
