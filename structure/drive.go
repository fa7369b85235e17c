package structure

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/drive"
	"spanwright/frame"
	"spanwright/machine"
)

// driveTies hold each driven carriage along the travel with the motor locked.
// A pair driven on one side has one; with a line shaft the far side's drive
// has the shaft and its couplings in series.
func driveTies(m *machine.Machine, a *machine.Axis, q []float64) ([]frame.Tie, error) {
	k, err := DriveStiffness(m, a, q[a.Index])
	if err != nil {
		return nil, err
	}
	lever := r3.Add(r3.Scale(a.Part.DriveAt, a.Normal), r3.Scale(a.Part.DriveSide, a.Side))
	var out []frame.Tie
	for beam := range a.Beams {
		own := k
		if p := a.Spec.Pair; p != nil && !drivenSide(p.DriveSide, beam) {
			switch p.Driven {
			case "one":
				continue
			case "shaft":
				shaft, err := shaftStiffness(a)
				if err != nil {
					return nil, err
				}
				if own, err = drive.InSeries(k, shaft); err != nil {
					return nil, err
				}
			}
		}
		from, to := guidePoints(m, a, beam, q, 0, lever)
		out = append(out, frame.Tie{ID: DriveID(a, beam), From: from, To: to, Axes: ownAxes(a), K: [6]float64{own}})
	}
	return out, nil
}

func drivenSide(word string, beam int) bool { return (word == "plus") == (beam == 1) }

// DriveStiffness is the stiffness of an axis's drive at coordinate q from the
// carriage to the locked motor shaft, N/m.
//
// Belt: both runs taut; screw: shaft, nut and bearing; rack: mesh. The gear's
// torsion comes in series. Tooth flanks of belts and the motor's servo
// stiffness are not included: no data.
func DriveStiffness(m *machine.Machine, a *machine.Axis, q float64) (float64, error) {
	var own float64
	var err error
	switch {
	case a.Belt != nil:
		own, err = beltStiffness(a, q)
	case a.Screw != nil:
		own, err = screwStiffness(a, q)
	case a.Rack != nil:
		own = a.Rack.MeshStiff
	default:
		return 0, fmt.Errorf("%s has no drive", a.Part.ID)
	}
	if err != nil || a.Gear == nil || !(a.Gear.Ct > 0) {
		return own, err
	}
	gearing, err := OutputGearing(a)
	if err != nil {
		return 0, err
	}
	gear, err := drive.LinearStiffness(a.Gear.Ct, gearing)
	if err != nil {
		return 0, err
	}
	return drive.InSeries(own, gear)
}

// BeltOf is the axis's belt as package drive sees it, with the place of its
// carriage. A loop runs between pulleys at the ends of the beam, the drive
// pulley at the motor's end; an omega belt is fixed at both ends of the beam.
func BeltOf(a *machine.Axis, q float64) (drive.Belt, float64) {
	b := drive.Belt{Layout: drive.Loop, Length: a.Length, Stiffness: a.Belt.EA}
	if a.Layout == "omega" {
		b.Layout = drive.Omega
	}
	return b, a.On(q)
}

// stiffestRun keeps a belt run or screw length from vanishing at the beam's
// end: the pulley or bearing is at least this far from the clamp.
const stiffestRun = 0.02 // m

func beltStiffness(a *machine.Axis, q float64) (float64, error) {
	b, x := BeltOf(a, q)
	return b.StiffnessAt(min(max(x, stiffestRun), b.Length-stiffestRun))
}

// ScrewEnds translates the word of the design.
func ScrewEnds(word string) (drive.Ends, error) {
	for _, e := range []drive.Ends{drive.FixedFree, drive.SupportedSupported, drive.FixedSupported, drive.FixedFixed} {
		if e.String() == word {
			return e, nil
		}
	}
	return 0, fmt.Errorf("screw ends %q are none of the known ones", word)
}

// FixedEnd is the distance from the screw's fixed bearing, at the motor's end, to the nut, m.
func FixedEnd(a *machine.Axis, q float64) float64 {
	s := a.On(q)
	if a.BodyMoves && r3.Dot(a.ToolEnd, a.Dir) < 0 {
		s = a.Length - s // the motor is at the To end, away from the tool
	}
	return min(max(s, stiffestRun), a.Length-stiffestRun)
}

func screwStiffness(a *machine.Axis, q float64) (float64, error) {
	s := drive.AxialShaft{EffectiveDiameter: a.Screw.Dc, Length: a.Length, Modulus: drive.ScrewSteel().Modulus}
	l := FixedEnd(a, q)
	if a.ScrewEnds == drive.FixedFixed.String() {
		k, err := s.TwoSided(l, a.Part.Bearing)
		if err != nil {
			return 0, err
		}
		return drive.InSeries(k, a.Screw.Nut)
	}
	k, err := s.OneSided(l)
	if err != nil {
		return 0, err
	}
	return drive.InSeries(k, a.Screw.Nut, a.Part.Bearing)
}

// OutputGearing is the angle of the drive shaft (pulley, screw, pinion) per travel, rad/m.
func OutputGearing(a *machine.Axis) (float64, error) {
	switch {
	case a.Belt != nil:
		return drive.Pulley{Teeth: a.Teeth, Pitch: a.Belt.Pitch}.Gearing()
	case a.Screw != nil:
		return 2 * math.Pi / a.Screw.Lead, nil
	case a.Rack != nil:
		return 2 * math.Cos(a.Rack.Helix) / (a.Rack.Module * float64(a.Rack.Teeth)), nil
	}
	return 0, fmt.Errorf("%s has no drive", a.Part.ID)
}

// shaftStiffness is the line shaft with both couplings, seen along the travel, N/m.
func shaftStiffness(a *machine.Axis) (float64, error) {
	if a.Shaft == nil {
		return 0, fmt.Errorf("driven: shaft needs the part of the line shaft")
	}
	// A tube is the full bar less the bore.
	outer, err := drive.RoundShaftTorsion(drive.ScrewSteel().ShearModulus, a.Shaft.Outer, a.Spec.Pair.Spacing)
	if err != nil {
		return 0, err
	}
	k := outer * (1 - math.Pow(a.Shaft.Inner/a.Shaft.Outer, 4))
	torsion := []float64{k}
	if a.Shaft.Coupling > 0 {
		torsion = append(torsion, a.Shaft.Coupling, a.Shaft.Coupling)
	}
	kt, err := drive.InSeries(torsion...)
	if err != nil {
		return 0, err
	}
	gearing, err := OutputGearing(a)
	if err != nil {
		return 0, err
	}
	return drive.LinearStiffness(kt, gearing)
}
