// Package given refuses numbers that can mean nothing, before a formula turns
// them into a result that looks like one.
//
// It knows no engineering and no units. NaN is refused everywhere; infinity is
// refused except where a function says otherwise.
package given

import (
	"errors"
	"fmt"
	"math"
)

// ErrRefused is wrapped by every refusal; the text around it names the
// quantity, its value and what is needed.
var ErrRefused = errors.New("cannot be computed")

func refuse(name string, v float64, need string) error {
	return fmt.Errorf("%w: %s is %.6g, %s is needed", ErrRefused, name, v, need)
}

// Positive refuses all but finite numbers above zero.
func Positive(name string, v float64) error {
	if !(v > 0) || math.IsInf(v, 0) {
		return refuse(name, v, "a number above zero")
	}
	return nil
}

// NotNegative refuses all but finite numbers from zero up.
func NotNegative(name string, v float64) error {
	if !(v >= 0) || math.IsInf(v, 0) {
		return refuse(name, v, "zero or more")
	}
	return nil
}

// Finite refuses NaN and infinity.
func Finite(name string, v float64) error {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return refuse(name, v, "a finite number")
	}
	return nil
}

// Share refuses all but numbers above zero and up to one: efficiencies and the like.
func Share(name string, v float64) error {
	if !(v > 0 && v <= 1) {
		return refuse(name, v, "a number above zero, at most one")
	}
	return nil
}

// Stiffness refuses all but numbers above zero; infinity is allowed and means rigid.
func Stiffness(name string, v float64) error {
	if !(v > 0) {
		return refuse(name, v, "a number above zero or infinity (rigid)")
	}
	return nil
}

// Within refuses all but numbers from low to high, both included.
func Within(name string, v, low, high float64) error {
	if !(v >= low && v <= high) || math.IsInf(v, 0) {
		return refuse(name, v, fmt.Sprintf("%.6g to %.6g", low, high))
	}
	return nil
}

// AtLeast refuses a count below least.
func AtLeast(name string, n, least int) error {
	if n < least {
		return fmt.Errorf("%w: %s is %d, at least %d is needed", ErrRefused, name, n, least)
	}
	return nil
}
