package equip

import (
	"cmp"
	"fmt"

	"spanwright/given"
	"spanwright/quantity"
)

// StopCategory is how a machine is brought to rest (IEC 60204-1, 9.2, from memory).
type StopCategory uint8

// The categories.
const (
	PowerOff       StopCategory = 0 // power is removed at once; brakes close
	ControlledOff  StopCategory = 1 // controlled stop, then power is removed
	ControlledHeld StopCategory = 2 // controlled stop, power stays
)

// String says what the category does.
func (c StopCategory) String() string {
	switch c {
	case PowerOff:
		return "category 0: power is removed at once, the motion is not controlled"
	case ControlledOff:
		return "category 1: controlled stop, then power is removed"
	case ControlledHeld:
		return "category 2: controlled stop, power stays"
	}
	return fmt.Sprintf("category %d", uint8(c))
}

// StopAdvice is the judgement on an emergency stop category.
type StopAdvice struct {
	Allowed bool
	Reason  string
}

// JudgeEmergencyStop says whether a category may serve the emergency stop and
// what it means for the machine. Emergency stops are category 0 or 1, override
// everything, latch, and their reset starts nothing (ISO 13850; IEC 60204-1,
// 9.2.3.4, from memory). Recommended for a gantry is category 1, supervised in
// time, then safe torque off and brake (common practice, no source).
func JudgeEmergencyStop(c StopCategory, verticalAxis, uncoupledPair bool) StopAdvice {
	switch {
	case c == ControlledOff:
		return StopAdvice{true, "controlled stop within a supervised time, then torque off and brakes; the power-off stop still happens when the mains fail"}
	case c != PowerOff:
		return StopAdvice{false, "an emergency stop must remove the power: category 0 or 1"}
	case verticalAxis:
		return StopAdvice{true, "allowed, but the vertical axis falls until its brake closes and fast axes coast: category 1 is recommended"}
	case uncoupledPair:
		return StopAdvice{true, "allowed, but two sides without a shaft coast apart and rack the bridge: category 1 is recommended"}
	}
	return StopAdvice{true, "allowed, but fast axes coast: category 1 is recommended"}
}

// StopTimeSupervision is the time after which a controlled stop is cut off over
// its planned duration. Source: common practice, no source.
const StopTimeSupervision = 1.2

// Coast is a level axis without power.
type Coast struct {
	Speed    float64 // m/s
	Reaction float64 // until the power is off, s
	Friction float64 // all resistance over the weight
}

// Distance is how far it coasts, m; often metres.
//
//	s = v t_r + v²/(2 mu g)
//
// Source: Coulomb friction, closed form.
func (c Coast) Distance() (float64, error) {
	if err := cmp.Or(
		given.NotNegative("speed", c.Speed), given.NotNegative("reaction time", c.Reaction), given.Positive("coasting friction", c.Friction),
	); err != nil {
		return 0, err
	}
	return c.Speed*c.Reaction + c.Speed*c.Speed/(2*c.Friction*quantity.StandardGravity), nil
}

// BrakeTest is the static and dynamic test of a hold brake, at commissioning and
// then by its interval.
type BrakeTest struct {
	TorqueFactor  float64 // test torque over the static load torque
	Hold          float64 // s
	MostMovement  float64 // at the tool, m
	MostStopRatio float64 // measured over computed power-off stop distance
}

// UsualBrakeTest returns the values. Sources: factor 1.3, guidance of a national
// accident insurer on gravity-loaded axes, from memory; the rest common practice.
func UsualBrakeTest() BrakeTest {
	return BrakeTest{TorqueFactor: 1.3, Hold: 1, MostMovement: 0.001, MostStopRatio: 1.2}
}

// SecondMeans is a second, independent means that keeps a raised load up.
type SecondMeans string

// The means; NoSecondMeans leaves people under the load unprotected.
const (
	NoSecondMeans   SecondMeans = "none"
	SecondBrake     SecondMeans = "second brake"
	RailClamp       SecondMeans = "rail clamp"
	LockingPin      SecondMeans = "locking pin"
	Counterbalanced SecondMeans = "counterbalance"
	SupportStand    SecondMeans = "support stand"
)

// JudgeSecondMeans says whether a raised load needs a second means: always where
// people may be under or beside it. The hold brake acts on the motor, so belt,
// coupling and key between brake and load are single points of failure.
// Source: common practice, no source.
func JudgeSecondMeans(vertical, peopleNear bool, m SecondMeans) StopAdvice {
	switch {
	case !vertical:
		return StopAdvice{true, "no axis carries its load against gravity"}
	case !peopleNear:
		return StopAdvice{true, "declared that nobody is near while the machine is powered; for service the load must be lowered or propped"}
	case m == NoSecondMeans || m == "":
		return StopAdvice{false, "a hold brake alone does not make it safe to stand under the load: a second, independent means is needed"}
	}
	return StopAdvice{true, "second means declared: " + string(m) + "; its performance level is for the risk assessment to settle"}
}
