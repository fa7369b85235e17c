package equip

import (
	"cmp"
	"math"

	"spanwright/given"
)

// Homing is how an axis finds its reference.
type Homing struct {
	Deceleration  float64 // m/s²
	Cam           float64 // length of the reference cam, m
	PerRevolution float64 // travel in one motor revolution, m
	EdgeToIndex   float64 // travel from the cam's edge to the encoder index, m; NaN: not measured yet
}

// HomingSpeeds are the speeds of the search, m/s.
type HomingSpeeds struct {
	Search float64 // toward the cam
	Most   float64 // at which the axis still stops on the cam
	Creep  float64 // off the cam's edge
}

// Speeds returns the search speed, the smaller of what stops on the cam and 0.1 m/s.
//
//	v <= sqrt(2 a d_cam)
//
// Source: derived; 0.05 to 0.1 m/s and 5 to 10 mm/s off the edge, common practice.
func (h Homing) Speeds() (HomingSpeeds, error) {
	if err := cmp.Or(given.Positive("deceleration while homing", h.Deceleration), given.Positive("length of the reference cam", h.Cam)); err != nil {
		return HomingSpeeds{}, err
	}
	most := math.Sqrt(2 * h.Deceleration * h.Cam)
	return HomingSpeeds{Search: math.Min(0.1, most), Most: most, Creep: 0.005}, nil
}

// IndexPlace is the distance from edge to index as a share of one motor
// revolution. Between 0.25 and 0.75 the reference cannot jump by a revolution;
// outside, the cam must be shifted. Source: common practice, no source.
func (h Homing) IndexPlace() (share float64, safe bool, err error) {
	if err := cmp.Or(given.Positive("travel per motor revolution", h.PerRevolution), given.NotNegative("distance from edge to index", h.EdgeToIndex)); err != nil {
		return 0, false, err
	}
	share = math.Mod(h.EdgeToIndex, h.PerRevolution) / h.PerRevolution
	return share, share >= 0.25 && share <= 0.75, nil
}

// HomingAxis is what the sequence needs to know of an axis.
type HomingAxis struct {
	Name      string
	Vertical  bool
	TwoMotors bool // a pair with a motor on each side
	Absolute  bool // absolute encoder
}

// HomingOrder puts vertical axes first, then the others from the tool to the
// stand; axes come in the order of the chain. Source: common practice, no source.
func HomingOrder(axes []HomingAxis) []HomingAxis {
	var out []HomingAxis
	for _, vertical := range [...]bool{true, false} {
		for i := len(axes) - 1; i >= 0; i-- {
			if axes[i].Vertical == vertical {
				out = append(out, axes[i])
			}
		}
	}
	return out
}

// Steps is the homing sequence of one axis in words. Source: common practice, no source.
func (a HomingAxis) Steps() []string {
	if a.Absolute {
		return []string{
			"compare the absolute encoder with a mark on the machine, once a shift and after every loss of its battery or supply",
			"enable the software limits",
		}
	}
	toward := "run toward the reference cam at search speed"
	if a.Vertical {
		toward += ", upwards first"
	}
	steps := []string{
		"enable the axis with the software limits off and the over-travel switches on",
		toward,
		"on the cam, reverse slowly off its edge",
		"take the next encoder index; it must lie a quarter to three quarters of a motor revolution behind the edge",
		"set the position and enable the software limits",
	}
	if a.TwoMotors {
		steps = append(steps, "each side homes on its own mark under the skew limit; store the difference as skew offset, then couple the sides")
	}
	return steps
}
