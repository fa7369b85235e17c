package joint

import (
	"errors"
	"fmt"
	"math"

	"spanwright/given"
)

// Range is an uncertain value: low, nominal, high.
type Range struct{ Low, Nominal, High float64 }

// Scale multiplies all three.
func (r Range) Scale(f float64) Range { return Range{r.Low * f, r.Nominal * f, r.High * f} }

// Series puts two springs in series. The result grows with both, so its ends
// belong to the ends of the parts.
func (r Range) Series(s Range) Range {
	return Range{series(r.Low, s.Low), series(r.Nominal, s.Nominal), series(r.High, s.High)}
}

// FrequencyRatio is the ratio of the natural frequencies at the two ends, as far
// as this spring alone decides them: sqrt(high/low).
func (r Range) FrequencyRatio() float64 { return math.Sqrt(r.High / r.Low) }

func series(springs ...float64) float64 {
	flexibility := 0.0
	for _, k := range springs {
		flexibility += 1 / k
	}
	return 1 / flexibility
}

// Component is one screw of a slot joint with what it pulls on.
type Component struct {
	Screw float64 // E A/L of the screw over its clamped length, N/m
	Lip   Lip
	Young float64 // of the profile, Pa
	Shear float64 // G of the profile, Pa
}

// ComponentStiffness is the tension stiffness of one screw and its parts, N/m.
type ComponentStiffness struct {
	LipBending float64 // both lips
	LipShear   float64 // both lips
	Total      float64 // in series with the screw
}

// Stiffness returns the tension stiffness of a screw with its slot lips.
//
//	k_b = 6 E (be tl³/12)/c³      k_s = 2 G be tl (5/6)/c      1/k = 1/k_screw + 1/k_b + 1/k_s
//
// Source: own model after the component idea of EN 1993-1-8, 6.3.
func (c Component) Stiffness() (ComponentStiffness, error) {
	s, err := c.Lip.Strength()
	if err != nil {
		return ComponentStiffness{}, err
	}
	if !(c.Screw > 0) || !(c.Young > 0) || !(c.Shear > 0) {
		return ComponentStiffness{}, fmt.Errorf("%w: screw %g N/m, E %g, G %g Pa", given.ErrRefused, c.Screw, c.Young, c.Shear)
	}
	k := ComponentStiffness{
		LipBending: 6 * c.Young * s.Strip * math.Pow(c.Lip.Thickness, 3) / 12 / math.Pow(s.Lever, 3),
		LipShear:   2 * c.Shear * s.Strip * c.Lip.Thickness * 5 / 6 / s.Lever,
	}
	k.Total = series(c.Screw, k.LipBending, k.LipShear)
	return k, nil
}

// RotationalUpperBound is S = k sum z² (N m/rad) of screws with tension stiffness
// k (N/m) at distances z (m) from the pressed edge. It is an upper bound: bending
// of bracket or plate, slip and lost contact are not in it.
// Source: component idea of EN 1993-1-8, 6.3.
func RotationalUpperBound(k float64, levers []float64) float64 {
	sum := 0.0
	for _, z := range levers {
		sum += k * z * z
	}
	return sum
}

// Rigidity is where a joint stands between rigid and pinned.
type Rigidity string

// The classes.
const (
	Rigid     Rigidity = "rigid"
	SemiRigid Rigidity = "semi-rigid"
	Pinned    Rigidity = "pinned"
)

// Limits are the rotational stiffnesses (N m/rad) at which a joint counts as
// rigid or pinned.
type Limits struct{ RigidUnbraced, RigidBraced, Pinned float64 }

// ClassLimits returns the limits for a beam of bending stiffness EI (N m²) and length L (m).
//
//	rigid: S >= 25 EI/L unbraced, 8 EI/L braced      pinned: S <= 0.5 EI/L
//
// Source: EN 1993-1-8:2005, 5.2.2.5, confirmed. Nearly every slot joint is semi-rigid.
func ClassLimits(bending, length float64) Limits {
	k := bending / length
	return Limits{RigidUnbraced: 25 * k, RigidBraced: 8 * k, Pinned: 0.5 * k}
}

// Classify says what a joint of stiffness S (N m/rad) counts as.
func (l Limits) Classify(stiffness float64, braced bool) Rigidity {
	rigid := l.RigidUnbraced
	if braced {
		rigid = l.RigidBraced
	}
	switch {
	case stiffness >= rigid:
		return Rigid
	case stiffness <= l.Pinned:
		return Pinned
	}
	return SemiRigid
}

// Family is a kind of joint between profiles.
type Family string

// The families.
const (
	HiddenFastener Family = "hidden fastener"
	CoreScrew      Family = "core screw"
	OneBracket     Family = "one bracket"
	TwoBrackets    Family = "two brackets"
	OneGusset      Family = "one gusset"
	TwoGussets     Family = "two gussets"
	CornerPlates   Family = "corner plate"
	BasePlates     Family = "base plate"
)

// ErrUnknownFamily is returned, wrapped, for a family that is not in the table.
var ErrUnknownFamily = errors.New("joint family is not in the table")

// familyTraits is what is known of a family before anything is measured.
type familyTraits struct {
	family   Family
	factor   Range   // c_s in S = c_s E a³
	offPlane float64 // share of S for bending out of the plane of brackets or gusset
	twoFaces bool    // two faces of each profile are fixed
	tension  bool    // the moment is carried by screws in tension
}

// families holds the fallback stiffness of every family. All numbers are
// engineering judgement without a source, to be calibrated; one gusset is half
// of two, and the shares out of plane are those of the torsion.
var families = []familyTraits{
	{HiddenFastener, Range{0.0004, 0.0015, 0.005}, 1, false, false},
	{CoreScrew, Range{0.0006, 0.002, 0.006}, 1, false, false},
	{OneBracket, Range{0.0008, 0.003, 0.010}, torsionShare, false, false},
	{TwoBrackets, Range{0.002, 0.006, 0.018}, torsionShare, true, false},
	{OneGusset, Range{0.0015, 0.005, 0.015}, torsionShare, false, false},
	{TwoGussets, Range{0.003, 0.010, 0.03}, 1, true, false},
	{CornerPlates, Range{0.004, 0.012, 0.04}, 1, true, true},
	{BasePlates, Range{0.005, 0.02, 0.06}, 1, true, true},
}

// torsionShare is the torsional stiffness over the bending stiffness unless two
// faces are fixed. Source: engineering judgement.
const torsionShare = 0.3

func traits(f Family) (familyTraits, error) {
	for _, t := range families {
		if t.family == f {
			return t, nil
		}
	}
	return familyTraits{}, fmt.Errorf("%w: %q", ErrUnknownFamily, f)
}

// Rotational is the fallback rotational stiffness of a family (N m/rad) for a
// member with outer depth a (m) in the plane of bending and Young's modulus E (Pa).
//
//	S = c_s E a³
//
// The smaller member counts. The same joint scatters by a factor of three with
// torque, surface, alignment and history, hence the range: sag, frequency and
// settle time are judged on the low end, joint forces on the high end.
//
// Source: engineering judgement, no source; calibrate by a tap or pull test.
func Rotational(f Family, young, depth float64) (Range, error) {
	t, err := traits(f)
	if err != nil {
		return Range{}, err
	}
	if !(young > 0) || !(depth > 0) {
		return Range{}, fmt.Errorf("%w: E %g Pa, depth %g m", given.ErrRefused, young, depth)
	}
	return t.factor.Scale(young * depth * depth * depth), nil
}

// Springs are the six spring stiffnesses of a joint in joint axes.
type Springs struct {
	KX, KY, KZ    Range // N/m
	KRX, KRY, KRZ Range // N m/rad; KRX is the torsion
}

// Member is what the joint needs to know of the smaller of the two members.
type Member struct {
	Young  float64 // Pa
	DepthY float64 // outer size along joint y, m
	DepthZ float64 // outer size along joint z, m
}

// translation is the factor c_t in k = c_t E a for the displacement springs of
// a joint: stiff against any beam, so that its exact value does not matter.
// Source: engineering judgement, no source.
var translation = Range{0.02, 0.1, 0.5}

// FamilySprings returns the six springs of a family with their ranges. Brackets
// and single gussets lie in the x-z plane and are softer out of it. Torsion is
// 0.3 of the smaller bending stiffness, all of it where two faces are fixed.
//
// Source: engineering judgement, no source; calibrate by a tap or pull test.
func FamilySprings(f Family, m Member) (Springs, error) {
	t, err := traits(f)
	if err != nil {
		return Springs{}, err
	}
	inPlane, err := Rotational(f, m.Young, m.DepthZ)
	if err != nil {
		return Springs{}, err
	}
	across, err := Rotational(f, m.Young, m.DepthY)
	if err != nil {
		return Springs{}, err
	}
	across = across.Scale(t.offPlane)
	torsion := inPlane
	if across.Nominal < torsion.Nominal {
		torsion = across
	}
	if !t.twoFaces {
		torsion = torsion.Scale(torsionShare)
	}
	k := translation.Scale(m.Young * math.Min(m.DepthY, m.DepthZ))
	return Springs{KX: k, KY: k, KZ: k, KRX: torsion, KRY: inPlane, KRZ: across}, nil
}

// FacesRule is the rule of the trade for one joint.
type FacesRule struct {
	Met    bool
	Reason string
}

// JudgeFaces applies the rule for corner joints: screws should work in tension
// rather than by slot friction; where they cannot, at least two faces of each
// profile are to be fixed. faces is the number of fixed faces of the member.
// Source: common practice, no source.
func JudgeFaces(f Family, faces int) (FacesRule, error) {
	t, err := traits(f)
	if err != nil {
		return FacesRule{}, err
	}
	switch {
	case t.tension:
		return FacesRule{true, "the screws work in tension"}, nil
	case t.twoFaces || faces >= 2:
		return FacesRule{true, "two faces of the profile are fixed"}, nil
	}
	return FacesRule{false, "held by friction on fewer than two faces: use a corner plate with screws in tension, or fix a second face"}, nil
}
