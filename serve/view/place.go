package view

import (
	"strings"

	"spanwright/machine"
)

// solidPath is the design path that a solid comes from.
func solidPath(m *machine.Machine, s machine.Solid) string {
	axis := "axes." + s.Group
	switch s.Thing {
	case machine.ThingProfile:
		return barPath(m, s.ID)
	case machine.ThingJoint:
		return jointPath(m, s.ID)
	case machine.ThingFoot:
		return "stand.foot"
	case machine.ThingScrew:
		return axis + ".drive.screw"
	case machine.ThingRack:
		return axis + ".drive.rack"
	case machine.ThingMotor, machine.ThingHolder:
		return axis + ".motor"
	case machine.ThingGear:
		return axis + ".gear"
	case machine.ThingShaft:
		return axis + ".pair.shaft"
	case machine.ThingStop:
		return "equipment.ends." + s.Group + ".bumper"
	case machine.ThingClamp, machine.ThingMate:
		return connectionPath(m, s)
	case machine.ThingCarrier, machine.ThingTray:
		return "equipment.carriers." + s.Group
	case machine.ThingTool:
		return "task.tool"
	case machine.ThingPayload:
		return "task.payload"
	}
	return axis + ".part"
}

// jointPath is the design path of the hardware at a bar's end, whose solids are
// called BAR.joint.END.
func jointPath(m *machine.Machine, id string) string {
	bar, end, _ := strings.Cut(id, ".joint.")
	e := 0
	if strings.HasPrefix(end, "to") {
		e = 1
	}
	path := "stand"
	for _, mem := range m.Members {
		if mem.Bar == bar && mem.Joints[e] != nil {
			path = mem.Joints[e].Path
		}
	}
	return path
}

// connectionPath is the design path of the connection to which a plate or clamp belongs.
func connectionPath(m *machine.Machine, s machine.Solid) string {
	for i := range m.Connections {
		if c := &m.Connections[i]; hasPrefix(s.ID, c.ID) {
			return c.Path
		}
	}
	return "axes." + s.Group + ".join"
}
