package improve

// families is the table of rules, in the order in which they are asked.
var families = []family{
	{[]string{"safety.gravity_brake", "axis.brake.*"}, brakes},
	{[]string{"joint.clamps", "joint.support.*"}, clamps},
	{[]string{"joint.support.*", "joint.interface.*"}, joinParts},
	{[]string{"joint.corner.*", "joint.brace.*", "joint.foot.*"}, standJoints},
	{[]string{"stand.bracing"}, bracing},

	{[]string{"axis.motor.*"}, motors},
	{[]string{"axis.motor.inertia", "axis.motor.speed", "axis.motor.peak", "axis.motor.rms", "axis.gear.*"}, gears},
	{[]string{"axis.motor.peak", "axis.motor.rms", "axis.motor.pull_out", "axis.gear.peak", "axis.gear.mean", "axis.belt.tooth", "axis.belt.cord", "axis.rack.*", "axis.screw.static"}, gentler},
	{[]string{"axis.motor.speed", "axis.gear.speed_*", "axis.screw.whirl", "axis.screw.dn", "axis.speed", "carrier.speed", "axis.motor.pull_out"}, slower},
	{[]string{"axis.acceleration", "carrier.acceleration"}, softer},
	{[]string{"axis.screw.*"}, screws},
	{[]string{"axis.screw.whirl", "axis.screw.buckling"}, screwEnds},
	{[]string{"axis.rack.*"}, racks},
	{[]string{"axis.belt.*"}, belts},
	{[]string{"axis.guide.*", "axis.length", "axis.speed", "axis.acceleration", "axis.support.sag"}, axisParts},
	{[]string{"axis.support.spacing", "axis.support.sag"}, closerSupports},
	{[]string{"axis.support.overhang"}, longerSpan},
	{[]string{"axis.stroke"}, longerBeam},

	{[]string{"pair.*", "axis.guide.life", "axis.motor.*"}, bothSides},
	{[]string{"pair.float"}, moreFloat},
	{[]string{"pair.mounts"}, oneFixed},
	{[]string{"pair.height"}, betterAligned},

	{[]string{"stop.switch"}, switches},
	{[]string{"stop.switch", "axis.stroke"}, shorterStop},
	{[]string{"stop.order"}, switchOrder},
	{[]string{"stop.cam"}, longerCam},
	{[]string{"stop.energy_hit", "stop.energy_hour", "stop.effective_mass", "stop.deceleration"}, bumpers},
	{[]string{"carrier.*"}, carriers},
	{[]string{"carrier.span"}, carrierTray},
	{[]string{"carrier.present"}, carrierAdded},

	{[]string{"stand.tipping*", "stand.foot.contact"}, widerFoot},
	{[]string{"stand.tipping", "stand.tipping.stop", "stand.sliding*"}, slowerShake},
	{[]string{"stand.foot.capacity"}, feet},
	{[]string{"stand.buckling", "stand.stress"}, legs},
	{[]string{"build.under_beam"}, underBeam},
	{[]string{"build.corner"}, cornerJoint},
	{[]string{"safety.fence", "safety.light_curtain", "safety.guard_distance"}, guardDistance},

	{[]string{"task.rate"}, sooner},
	{[]string{"task.rate"}, faster},
	{[]string{"tool.sag.variation", "tool.frequency", "tool.settle", "tool.accuracy"}, stiffer},
	{[]string{"tool.frequency", "tool.settle", "tool.sag.variation"}, moreBraces},
	{[]string{"tool.settle"}, calmer},
	{[]string{"tool.repeatability", "tool.accuracy"}, stifferDrive},
}
