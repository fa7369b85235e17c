package asbuilt

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/machine"
)

// geometryTargets lists the alignments in the order of assembly.
func geometryTargets(axes []*machine.Axis) []GeometryTarget {
	var out []GeometryTarget
	add := func(id, quantity, unit string, target, tolerance float64, method string) {
		out = append(out, GeometryTarget{ID: id, Quantity: quantity, Unit: unit, Target: target, Tolerance: tolerance, Method: method})
	}
	add("stand.level", "level of the stand, both directions", "mm/m", 0, 0.2, "level of 0.02 mm/m; reverse it and take the mean")
	for _, a := range axes {
		id := a.Spec.ID
		if math.Abs(a.Dir.Z) > 0.7 {
			add(id+".plumb", "plumb of "+id+", two faces", "mm/m", 0, 0.1, "level of 0.02 mm/m on two faces; reverse it and take the mean")
		} else {
			if a.Index == 0 {
				add(id+".level", "level of "+id+" along the travel", "mm/m", 0, 0.1, "level of 0.02 mm/m; reverse it and take the mean")
			}
			add(id+".straight", "straightness of "+id+" over the travel", "mm/m", 0, 0.1, fmt.Sprintf("taut wire, laser or straight-edge over %s mm; a wire's sag counts in the vertical", mm(a.Spec.Travel)))
		}
		if p := a.Spec.Pair; p != nil {
			add(id+".parallel", "parallelism of both runways of "+id, "mm", 0, p.Parallel*1e3, "spacing at both ends and at each mount, dial on a bridge gauge")
			add(id+".height", "height difference of both runways of "+id, "mm", 0, p.Height*1e3, "bridge and level, at both ends and at each mount")
		}
	}
	for i := 1; i < len(axes); i++ {
		for j := range i {
			if math.Abs(r3.Dot(axes[i].Dir, axes[j].Dir)) > 0.1 {
				continue
			}
			a, b := axes[j].Spec.ID, axes[i].Spec.ID
			add(a+b+".square", "squareness of "+b+" to "+a, "mm/m", 0, 0.15, "square and dial over the travel; diagonals by tape only above 0.5 mm/m")
		}
	}
	return out
}
