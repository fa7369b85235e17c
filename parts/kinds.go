package parts

// Every kind of part is one struct; the CSV columns, the YAML keys, `parts
// show` and the reference page are made from its tags (the tags are those of
// package decode: yaml, is, required, range, choices, part, doc). All numbers
// are SI. A number that is not required and not given is 0 and means what its
// sentence says, or that the feature is absent.

// Common is what every part has.
type Common struct {
	ID             string  `yaml:"-" doc:"the word used in design files"`
	Title          string  `yaml:"title" doc:"what it is, in a few words"`
	Number         string  `yaml:"part_number" doc:"the supplier's part number"`
	Cost           float64 `yaml:"cost" range:"0..1e7" doc:"price of one piece, or of the fixed share where cost_per_m is given"`
	Representative bool    `yaml:"-" doc:"invented but consistent data, to be replaced before ordering"`
	File           string  `yaml:"-"` // where the data came from
	Line           int     `yaml:"-"`
}

// Profile is a bar with an outline: a T-slot extrusion, a hollow section.
type Profile struct {
	Common   `yaml:",inline"`
	Shape    string         `yaml:"shape" required:"true" choices:"t-slot|rectangular tube|round tube|flat|angle|channel|outline|given" doc:"how the outline is described"`
	Material string         `yaml:"material" required:"true" part:"material" doc:"what it is made of"`
	Size     [2]float64     `yaml:"size" is:"length" range:"1 mm..2 m" doc:"width (local y) and height (local z) at roll 0; by default from the T-slot or the outline"`
	Wall     float64        `yaml:"wall" is:"length" range:"0.2 mm..200 mm" doc:"wall of a tube, thickness of a flat, angle or channel"`
	Radius   float64        `yaml:"radius" is:"length" range:"0 mm..500 mm" doc:"outer corner radius of a tube, root radius of an angle or channel; 0 is sharp"`
	Slots    *TSlot         `yaml:"t_slot" doc:"numbers of a T-slot outline"`
	Outer    [][2]float64   `yaml:"outer" is:"length" range:"-2 m..2 m" doc:"outline points, shape outline"`
	Holes    [][][2]float64 `yaml:"holes" is:"length" range:"-2 m..2 m" doc:"hole points, shape outline"`
	Given    *Given         `yaml:"given" doc:"properties from the supplier, used as they are"`
	MassPerM *float64       `yaml:"mass_per_m" is:"mass_per_length" range:"0.01 kg/m..1000 kg/m" doc:"from the supplier; by default area times density"`
	CostPerM float64        `yaml:"cost_per_m" range:"0..1e6" doc:"price per metre"`
	CostCut  float64        `yaml:"cost_per_cut" range:"0..1e5" doc:"price of one cut"`
	Stock    []float64      `yaml:"stock" is:"length" range:"0.1 m..30 m" doc:"stock lengths"`
}

// TSlot holds the numbers of a parametric T-slot outline.
type TSlot struct {
	Module float64 `yaml:"module" is:"length" required:"true" range:"5 mm..200 mm" doc:"side of one module"`
	NX     int     `yaml:"modules_wide" required:"true" range:"1..20" doc:"modules along the width"`
	NY     int     `yaml:"modules_high" required:"true" range:"1..20" doc:"modules along the height"`
	Slot   float64 `yaml:"slot" is:"length" required:"true" range:"1 mm..100 mm" doc:"slot opening"`
	Lip    float64 `yaml:"lip" is:"length" required:"true" range:"0.3 mm..50 mm" doc:"lip thickness"`
	Inner  float64 `yaml:"inner" is:"length" required:"true" range:"1 mm..150 mm" doc:"inner slot width"`
	Depth  float64 `yaml:"depth" is:"length" required:"true" range:"1 mm..100 mm" doc:"slot depth"`
	Web    float64 `yaml:"web" is:"length" required:"true" range:"0.3 mm..50 mm" doc:"diagonal web"`
	Corner float64 `yaml:"corner" is:"length" range:"0 mm..50 mm" doc:"outer corner radius"`
	Bore   float64 `yaml:"bore" is:"length" range:"0 mm..100 mm" doc:"core bore; 0 for none"`
	Cell   float64 `yaml:"cell_wall" is:"length" required:"true" range:"0.3 mm..50 mm" doc:"wall of hollow cells"`
	Hollow bool    `yaml:"hollow_corners" doc:"are the four corner blocks hollow"`

	Closed   []string `yaml:"closed_faces" choices:"+y|-y|+z|-z" doc:"faces without slots, by the direction they look to"`
	FaceWall float64  `yaml:"face_wall" is:"length" range:"0 mm..50 mm" doc:"thickness of a closed face; by default the wall of hollow cells"`
}

// Given are section properties from a supplier's sheet.
type Given struct {
	A   float64 `yaml:"A" is:"area" required:"true" range:"1 mm2..1 m2" doc:"area"`
	Iy  float64 `yaml:"Iy" is:"second_moment" required:"true" range:"1 mm4..1 m4" doc:"about local y: bending in the plane of the height"`
	Iz  float64 `yaml:"Iz" is:"second_moment" required:"true" range:"1 mm4..1 m4" doc:"about local z: bending in the plane of the width"`
	J   float64 `yaml:"J" is:"second_moment" required:"true" range:"1 mm4..1 m4" doc:"torsion constant, not the polar second moment"`
	Asy float64 `yaml:"Asy" is:"area" range:"0 mm2..1 m2" doc:"shear area along y; 0: no shear deflection is computed"`
	Asz float64 `yaml:"Asz" is:"area" range:"0 mm2..1 m2" doc:"shear area along z; 0: no shear deflection is computed"`
}

// Block is a rail guide carriage with its rail.
type Block struct {
	Common    `yaml:",inline"`
	Kind      string  `yaml:"kind" required:"true" choices:"ball|roller|cam roller" doc:"rolling elements"`
	C         float64 `yaml:"C" is:"force" required:"true" range:"10 N..10 MN" doc:"dynamic rating"`
	Basis     string  `yaml:"basis" required:"true" choices:"50 km|100 km" doc:"travel to which C belongs"`
	C0        float64 `yaml:"C0" is:"force" required:"true" range:"10 N..10 MN" doc:"static rating"`
	M0x       float64 `yaml:"M0x" is:"torque" required:"true" range:"0.01 N m..1000 kN m" doc:"static moment rating about the travel direction"`
	M0y       float64 `yaml:"M0y" is:"torque" required:"true" range:"0.01 N m..1000 kN m" doc:"static moment rating about the lateral direction (pitch)"`
	M0z       float64 `yaml:"M0z" is:"torque" required:"true" range:"0.01 N m..1000 kN m" doc:"static moment rating about the normal (yaw)"`
	Kz        float64 `yaml:"kz" is:"stiffness" required:"true" range:"1e4 N/m..1e11 N/m" doc:"stiffness normal to the rail plane"`
	Ky        float64 `yaml:"ky" is:"stiffness" required:"true" range:"1e4 N/m..1e11 N/m" doc:"lateral stiffness"`
	KMx       float64 `yaml:"kmx" is:"rotational_stiffness" range:"0 N m/rad..1e10 N m/rad" doc:"own roll stiffness; 0: not counted"`
	KMy       float64 `yaml:"kmy" is:"rotational_stiffness" range:"0 N m/rad..1e10 N m/rad" doc:"own pitch stiffness; 0: not counted"`
	KMz       float64 `yaml:"kmz" is:"rotational_stiffness" range:"0 N m/rad..1e10 N m/rad" doc:"own yaw stiffness; 0: not counted"`
	Preload   float64 `yaml:"preload" is:"force" range:"0 N..1 MN" doc:"preload of one block"`
	Seal      float64 `yaml:"seal" is:"force" range:"0 N..10 kN" doc:"seal drag of one block"`
	Mass      float64 `yaml:"mass" is:"mass" required:"true" range:"1 g..500 kg" doc:"one block"`
	RailPerM  float64 `yaml:"rail_mass_per_m" is:"mass_per_length" required:"true" range:"0.01 kg/m..500 kg/m" doc:"rail"`
	Length    float64 `yaml:"length" is:"length" required:"true" range:"5 mm..2 m" doc:"length of the block"`
	Rail      float64 `yaml:"rail_width" is:"length" range:"1 mm..500 mm" doc:"width of the rail"`
	Height    float64 `yaml:"height" is:"length" range:"1 mm..500 mm" doc:"seat of the rail to the top of the block"`
	Width     float64 `yaml:"width" is:"length" range:"1 mm..1 m" doc:"width of the block"`
	VMax      float64 `yaml:"max_speed" is:"speed" range:"0.01 m/s..30 m/s" doc:"largest speed"`
	Angular   float64 `yaml:"running_angle" is:"angle" range:"0 rad..0.02 rad" doc:"running accuracy of one block as an angle, +/-"`
	Relube    float64 `yaml:"relubrication" is:"length" range:"0 km..100000 km" doc:"travel between relubrications"`
	CostRailM float64 `yaml:"rail_cost_per_m" range:"0..1e6" doc:"price of the rail per metre"`
}

// Axis is an axis beam with its rails, blocks and drive.
type Axis struct {
	Common     `yaml:",inline"`
	MovedMass  float64 `yaml:"moved_mass" is:"mass" range:"0 kg..10000 kg" doc:"usual largest moved mass: a first choice in a search, judged by nothing"`
	Profile    string  `yaml:"profile" required:"true" part:"profile" doc:"the beam; its local z is the normal of the rail plane"`
	Block      string  `yaml:"block" required:"true" part:"block" doc:"rail and block"`
	Rails      int     `yaml:"rails" required:"true" range:"1..2" doc:"rails on the beam"`
	PerRail    int     `yaml:"blocks_per_rail" required:"true" range:"1..4" doc:"blocks on each rail"`
	Along      float64 `yaml:"spacing_along" is:"length" range:"0 mm..5 m" doc:"between the outermost blocks on one rail, centre to centre (0 for one block)"`
	Across     float64 `yaml:"spacing_across" is:"length" range:"0 mm..2 m" doc:"between the rails, centre to centre (0 for one rail)"`
	RailHeight float64 `yaml:"rail_height" is:"length" required:"true" range:"0 mm..1 m" doc:"from the beam's centre line to the plane of the blocks' rolling centres"`
	PlateTop   float64 `yaml:"plate_height" is:"length" required:"true" range:"0 mm..1 m" doc:"from the beam's centre line to the outer face of the carriage plate"`
	Plate      float64 `yaml:"carriage_length" is:"length" required:"true" range:"10 mm..5 m" doc:"length of the carriage along the travel"`
	PlateWidth float64 `yaml:"carriage_width" is:"length" range:"5 mm..2 m" doc:"width of the carriage across the travel"`
	Carriage   float64 `yaml:"carriage_mass" is:"mass" required:"true" range:"0.01 kg..2000 kg" doc:"carriage with its blocks"`
	EndMass    float64 `yaml:"end_mass" is:"mass" range:"0 kg..2000 kg" doc:"both ends together: pulleys, bearings, housings, without motor and gear"`
	ExtraPerM  float64 `yaml:"extra_mass_per_m" is:"mass_per_length" range:"0 kg/m..1000 kg/m" doc:"rails, belt or screw or rack, covers, in addition to the profile"`
	EndLength  float64 `yaml:"end_length" is:"length" range:"0 mm..2 m" doc:"beam needed beyond the carriage's mechanical travel at each end"`
	MaxLength  float64 `yaml:"max_length" is:"length" required:"true" range:"50 mm..60 m" doc:"longest beam"`
	VMax       float64 `yaml:"max_speed" is:"speed" required:"true" range:"0.01 m/s..30 m/s" doc:"largest speed of the axis as a whole"`
	AMax       float64 `yaml:"max_acceleration" is:"acceleration" required:"true" range:"0.01 m/s2..200 m/s2" doc:"largest acceleration of the axis as a whole"`
	Drive      string  `yaml:"drive" required:"true" choices:"belt|ball screw|slide screw|rack" doc:"kind of drive"`
	DriveAt    float64 `yaml:"drive_height" is:"length" range:"-1 m..1 m" doc:"line of the drive force above the beam's centre line along the normal"`
	DriveSide  float64 `yaml:"drive_offset" is:"length" range:"-1 m..1 m" doc:"line of the drive force sideways from the middle"`
	Belt       string  `yaml:"belt" part:"belt" doc:"belt of a belt drive"`
	Teeth      int     `yaml:"pulley_teeth" range:"8..200" doc:"teeth of the belt pulley"`
	Pretension float64 `yaml:"pretension" is:"force" range:"0 N..200 kN" doc:"belt tension at rest, each run"`
	Layout     string  `yaml:"layout" choices:"loop|omega" doc:"belt round a fixed pulley (loop), or pulley travelling on a fixed belt (omega)"`
	Screw      string  `yaml:"screw" part:"screw" doc:"screw of a screw drive"`
	Ends       string  `yaml:"screw_ends" choices:"fixed-free|supported-supported|fixed-supported|fixed-fixed" doc:"bearings of the screw"`
	Bearing    float64 `yaml:"bearing_stiffness" is:"stiffness" range:"0 N/m..1e11 N/m" doc:"axial stiffness of the screw's bearing and its housing"`
	Rack       string  `yaml:"rack" part:"rack" doc:"rack of a rack drive"`
	MotorAt    string  `yaml:"motor_at" required:"true" choices:"beam|carriage" doc:"where the motor sits"`
	Inertia    float64 `yaml:"idle_inertia" is:"inertia" range:"0 kg m2..100 kg m2" doc:"pulleys, coupling, at the drive shaft; without screw and pinion"`
	Drag       float64 `yaml:"drag" is:"force" range:"0 N..100 kN" doc:"running drag of drive and wipers besides the guides"`
	CostPerM   float64 `yaml:"cost_per_m" range:"0..1e6" doc:"price per metre of beam"`
}

// Belt is a toothed belt of one width.
type Belt struct {
	Common    `yaml:",inline"`
	Pitch     float64   `yaml:"pitch" is:"length" required:"true" range:"1 mm..50 mm" doc:"tooth pitch"`
	Width     float64   `yaml:"width" is:"length" required:"true" range:"2 mm..500 mm" doc:"width"`
	EA        float64   `yaml:"stretch_stiffness" is:"force" required:"true" range:"1 kN..1000 MN" doc:"force per unit strain of this width"`
	MassPerM  float64   `yaml:"mass_per_m" is:"mass_per_length" required:"true" range:"1 g/m..50 kg/m" doc:"mass per metre of this width"`
	ToothAt   []float64 `yaml:"tooth_speeds" is:"angular_speed" required:"true" range:"0 rpm..50000 rpm" doc:"pulley speeds of the tooth force table"`
	Tooth     []float64 `yaml:"tooth_forces" is:"force" required:"true" range:"0.1 N..100 kN" doc:"allowed force of one tooth in mesh at those speeds, this width"`
	ToothCap  int       `yaml:"counted_teeth" required:"true" range:"1..50" doc:"most teeth that may be counted"`
	Cord      float64   `yaml:"cord_force" is:"force" required:"true" range:"1 N..1 MN" doc:"allowed tension of one run"`
	Break     float64   `yaml:"breaking_force" is:"force" range:"1 N..5 MN" doc:"tension at which it tears"`
	MinTeeth  int       `yaml:"least_pulley_teeth" range:"6..100" doc:"fewest teeth of a pulley"`
	LengthTol float64   `yaml:"length_error" range:"0..0.01" doc:"length error over length, +/-"`
	CostPerM  float64   `yaml:"cost_per_m" range:"0..1e6" doc:"price per metre"`
}

// Screw is a ball or slide screw with its nut.
type Screw struct {
	Common   `yaml:",inline"`
	Kind     string  `yaml:"kind" required:"true" choices:"ball|slide" doc:"rolling or sliding"`
	D0       float64 `yaml:"d0" is:"length" required:"true" range:"2 mm..300 mm" doc:"nominal diameter"`
	Dr       float64 `yaml:"dr" is:"length" required:"true" range:"1 mm..300 mm" doc:"root diameter"`
	Dc       float64 `yaml:"dc" is:"length" range:"1 mm..300 mm" doc:"mean effective shaft diameter for stiffness; by default the root diameter"`
	Lead     float64 `yaml:"lead" is:"length" required:"true" range:"0.2 mm..200 mm" doc:"travel per turn"`
	Eta      float64 `yaml:"efficiency" required:"true" range:"0.05..0.99" doc:"when the screw drives the load"`
	Ca       float64 `yaml:"Ca" is:"force" required:"true" range:"10 N..10 MN" doc:"dynamic rating (1e6 revolutions)"`
	C0a      float64 `yaml:"C0a" is:"force" required:"true" range:"10 N..10 MN" doc:"static rating"`
	Preload  float64 `yaml:"preload" is:"force" range:"0 N..1 MN" doc:"preload of the nut"`
	Nut      float64 `yaml:"nut_stiffness" is:"stiffness" required:"true" range:"1e5 N/m..1e11 N/m" doc:"axial stiffness of the nut"`
	Grade    int     `yaml:"grade" required:"true" choices:"0|1|3|5|7|10" doc:"accuracy grade of ISO 3408-3"`
	DN       float64 `yaml:"DN" required:"true" range:"1000..500000" doc:"largest diameter times speed, mm/min"`
	Backlash float64 `yaml:"backlash" is:"length" range:"0 mm..2 mm" doc:"axial play"`
	NutMass  float64 `yaml:"nut_mass" is:"mass" range:"0 kg..200 kg" doc:"nut"`
	MassPerM float64 `yaml:"mass_per_m" is:"mass_per_length" required:"true" range:"0.01 kg/m..500 kg/m" doc:"shaft"`
	CostPerM float64 `yaml:"cost_per_m" range:"0..1e6" doc:"price of the shaft per metre"`
}

// Rack is a rack with its pinion.
type Rack struct {
	Common    `yaml:",inline"`
	Module    float64 `yaml:"module" is:"length" required:"true" range:"0.3 mm..30 mm" doc:"normal module"`
	Teeth     int     `yaml:"pinion_teeth" required:"true" range:"8..200" doc:"teeth of the pinion"`
	Helix     float64 `yaml:"helix" is:"angle" range:"0 deg..45 deg" doc:"helix angle; 0 for spur teeth"`
	Width     float64 `yaml:"width" is:"length" required:"true" range:"2 mm..500 mm" doc:"common face width"`
	Force     float64 `yaml:"rated_force" is:"force" required:"true" range:"1 N..1 MN" doc:"rated tangential force of the pair"`
	FlankLim  float64 `yaml:"flank_limit" is:"stress" range:"10 MPa..3000 MPa" doc:"contact stress that the flanks bear"`
	RootLim   float64 `yaml:"root_limit" is:"stress" range:"10 MPa..3000 MPa" doc:"stress that the tooth root bears, with stress correction"`
	Backlash  float64 `yaml:"backlash" is:"length" range:"0 mm..5 mm" doc:"play between rack and pinion along the travel"`
	PitchErr  float64 `yaml:"pitch_error" is:"length" range:"0 mm..2 mm" doc:"accumulated over 1 m, +/-"`
	MeshStiff float64 `yaml:"mesh_stiffness" is:"stiffness" range:"1e5 N/m..1e11 N/m" doc:"of the teeth in mesh"`
	PinionJ   float64 `yaml:"pinion_inertia" is:"inertia" range:"0 kg m2..100 kg m2" doc:"pinion"`
	MassPerM  float64 `yaml:"mass_per_m" is:"mass_per_length" required:"true" range:"0.01 kg/m..500 kg/m" doc:"rack"`
	CostPerM  float64 `yaml:"cost_per_m" range:"0..1e6" doc:"price of the rack per metre"`
}

// Motor is a servo or stepper motor.
type Motor struct {
	Common   `yaml:",inline"`
	Kind     string     `yaml:"kind" required:"true" choices:"servo|stepper" doc:"how it is driven"`
	J        float64    `yaml:"inertia" is:"inertia" required:"true" range:"1e-8 kg m2..10 kg m2" doc:"rotor without brake"`
	T0       float64    `yaml:"stall_torque" is:"torque" required:"true" range:"1e-3 N m..10000 N m" doc:"continuous at standstill"`
	Tn       float64    `yaml:"rated_torque" is:"torque" range:"1e-3 N m..10000 N m" doc:"servo: continuous at rated speed"`
	Nn       float64    `yaml:"rated_speed" is:"angular_speed" range:"10 rpm..30000 rpm" doc:"servo: speed of the rated torque"`
	Tmax     float64    `yaml:"peak_torque" is:"torque" range:"1e-3 N m..50000 N m" doc:"servo: for a short time"`
	Knee     float64    `yaml:"knee_speed" is:"angular_speed" range:"10 rpm..30000 rpm" doc:"servo: up to here the peak torque holds"`
	NoLoad   float64    `yaml:"no_load_speed" is:"angular_speed" range:"10 rpm..50000 rpm" doc:"servo: here the peak line reaches zero"`
	Nmax     float64    `yaml:"max_speed" is:"angular_speed" required:"true" range:"10 rpm..50000 rpm" doc:"mechanical limit"`
	PullAt   []float64  `yaml:"pull_out_speeds" is:"angular_speed" range:"0 rpm..30000 rpm" doc:"stepper: speeds of the pull-out table"`
	Pull     []float64  `yaml:"pull_out_torques" is:"torque" range:"0 N m..1000 N m" doc:"stepper: pull-out torque at those speeds"`
	Mass     float64    `yaml:"mass" is:"mass" required:"true" range:"0.01 kg..1000 kg" doc:"without brake"`
	Length   float64    `yaml:"length" is:"length" range:"5 mm..3 m" doc:"length without shaft"`
	Flange   float64    `yaml:"flange" is:"length" range:"5 mm..1 m" doc:"side of the square flange"`
	Radial   float64    `yaml:"radial_load" is:"force" range:"0 N..1 MN" doc:"allowed on the shaft"`
	DriveEta float64    `yaml:"drive_efficiency" range:"0.3..1" doc:"amplifier and motor together"`
	CapF     float64    `yaml:"bus_capacity" is:"capacitance" range:"0 F..1 F" doc:"capacitors of the amplifier's bus"`
	CapV     [2]float64 `yaml:"bus_voltage" is:"voltage" range:"5 V..1500 V" doc:"normal, and where the brake chopper starts"`
	Counts   float64    `yaml:"counts_per_turn" range:"1..1e9" doc:"of the encoder, or steps a turn"`
}

// Gear is a planetary or right-angle gear.
type Gear struct {
	Common   `yaml:",inline"`
	Kind     string  `yaml:"kind" choices:"planetary|right-angle" doc:"in line with the motor, or square to it"`
	Ratio    float64 `yaml:"ratio" required:"true" range:"1..1000" doc:"input speed over output speed"`
	J        float64 `yaml:"inertia" is:"inertia" required:"true" range:"0 kg m2..10 kg m2" doc:"at the input"`
	Eta      float64 `yaml:"efficiency" required:"true" range:"0.3..1" doc:"at rated torque"`
	T2N      float64 `yaml:"rated_torque" is:"torque" required:"true" range:"0.1 N m..1000 kN m" doc:"output, mean"`
	T2B      float64 `yaml:"peak_torque" is:"torque" required:"true" range:"0.1 N m..1000 kN m" doc:"output, repeating"`
	T2Not    float64 `yaml:"emergency_torque" is:"torque" range:"0.1 N m..1000 kN m" doc:"output, a limited number of times"`
	N1N      float64 `yaml:"rated_speed" is:"angular_speed" required:"true" range:"10 rpm..30000 rpm" doc:"input, mean"`
	N1Max    float64 `yaml:"max_speed" is:"angular_speed" required:"true" range:"10 rpm..50000 rpm" doc:"input, peak"`
	Backlash float64 `yaml:"backlash" is:"angle" required:"true" range:"0 arcmin..300 arcmin" doc:"at the output"`
	Ct       float64 `yaml:"stiffness" is:"rotational_stiffness" required:"true" range:"1 N m/rad..1e9 N m/rad" doc:"at the output"`
	Radial   float64 `yaml:"radial_load" is:"force" range:"0 N..1 MN" doc:"allowed on the output shaft"`
	Mass     float64 `yaml:"mass" is:"mass" required:"true" range:"0.01 kg..1000 kg" doc:"gear"`
	Length   float64 `yaml:"length" is:"length" range:"5 mm..2 m" doc:"length without shafts"`
	Flange   float64 `yaml:"flange" is:"length" range:"5 mm..1 m" doc:"side of the output flange"`
}

// Brake is a spring-applied, power-off hold brake on the motor shaft.
type Brake struct {
	Common  `yaml:",inline"`
	Torque  float64 `yaml:"torque" is:"torque" required:"true" range:"0.01 N m..10000 N m" doc:"least static torque, run in and warm"`
	J       float64 `yaml:"inertia" is:"inertia" range:"0 kg m2..1 kg m2" doc:"hub and disc"`
	Apply   float64 `yaml:"apply_time" is:"time" required:"true" range:"1 ms..2 s" doc:"power off to half torque"`
	Release float64 `yaml:"release_time" is:"time" range:"1 ms..5 s" doc:"power on to free"`
	Energy  float64 `yaml:"energy_per_stop" is:"energy" range:"0.01 J..10 MJ" doc:"allowed for one emergency stop"`
	Wear    float64 `yaml:"wear_energy" is:"energy" range:"1 J..100000 MJ" doc:"until the air gap must be reset"`
	Mass    float64 `yaml:"mass" is:"mass" range:"0 kg..200 kg" doc:"added to the motor"`
}

// Joint is the hardware of one joint between profiles.
type Joint struct {
	Common     `yaml:",inline"`
	Family     string  `yaml:"family" required:"true" choices:"hidden fastener|core screw|one bracket|two brackets|one gusset|two gussets|corner plate|base plate" doc:"by the way it carries load"`
	Screw      string  `yaml:"screw" required:"true" choices:"M4|M5|M6|M8|M10|M12|M14|M16|M20|M24" doc:"thread"`
	Class      string  `yaml:"class" required:"true" choices:"8.8|10.9|12.9" doc:"strength class of ISO 898-1"`
	Count      int     `yaml:"screws" required:"true" range:"1..24" doc:"screws that carry the joint, per member end"`
	Torque     float64 `yaml:"tightening_torque" is:"torque" required:"true" range:"0.1 N m..2000 N m" doc:"of each screw"`
	Lever      float64 `yaml:"lever" is:"length" required:"true" range:"0.5 mm..1 m" doc:"distance of the tension screws from the pressed edge; bracket: from the corner to the screw line; gusset: from the outermost screws to the plate's edge"`
	Faces      int     `yaml:"faces" required:"true" range:"1..4" doc:"clamped faces"`
	Thick      float64 `yaml:"thickness" is:"length" range:"0 mm..200 mm" doc:"plate or bracket"`
	Width      float64 `yaml:"width" is:"length" range:"0 mm..1 m" doc:"plate or bracket"`
	Pitch      float64 `yaml:"pitch" is:"length" range:"0 mm..1 m" doc:"distance between the screws; corner and base plate: between the two rows, which stand outside the member"`
	Across     float64 `yaml:"pitch_across" is:"length" range:"0 mm..1 m" doc:"corner and base plate: between the outer screws of a row; 0: as pitch"`
	Yield      float64 `yaml:"yield" is:"stress" range:"0 MPa..2000 MPa" doc:"of the plate or bracket"`
	Slot       float64 `yaml:"slot" is:"length" range:"0 mm..100 mm" doc:"slot it fits; 0: not for slots"`
	Fits       float64 `yaml:"module" is:"length" range:"0 mm..500 mm" doc:"profile module it fits"`
	NutWidth   float64 `yaml:"nut_width" is:"length" range:"0 mm..100 mm" doc:"slot nut across the slot; 0: no slot nut"`
	NutLength  float64 `yaml:"nut_length" is:"length" range:"0 mm..500 mm" doc:"slot nut along the slot; 0: no slot nut"`
	Engagement float64 `yaml:"core_engagement" is:"length" range:"0 mm..200 mm" doc:"thread engaged in the core bore; 0: no core screw"`
	Tension    bool    `yaml:"screws_in_tension" doc:"is the moment carried by screws in tension, not by slot friction"`
	Mass       float64 `yaml:"mass" is:"mass" range:"0 kg..200 kg" doc:"all its hardware"`
}

// Plate is the interface between two axes.
type Plate struct {
	Common   `yaml:",inline"`
	Material string  `yaml:"material" required:"true" part:"material" doc:"what it is made of"`
	Thick    float64 `yaml:"thickness" is:"length" required:"true" range:"1 mm..200 mm" doc:"thickness"`
	Width    float64 `yaml:"width" is:"length" required:"true" range:"10 mm..3 m" doc:"across the lower axis"`
	Length   float64 `yaml:"length" is:"length" required:"true" range:"10 mm..3 m" doc:"along the lower axis"`
	Screw    string  `yaml:"screw" required:"true" choices:"M4|M5|M6|M8|M10|M12|M14|M16|M20|M24" doc:"thread"`
	Class    string  `yaml:"class" required:"true" choices:"8.8|10.9|12.9" doc:"strength class of ISO 898-1"`
	Count    int     `yaml:"screws" required:"true" range:"1..64" doc:"screws on each side of the plate"`
	Torque   float64 `yaml:"tightening_torque" is:"torque" required:"true" range:"0.1 N m..2000 N m" doc:"of each screw"`
	PitchX   float64 `yaml:"pitch_along" is:"length" required:"true" range:"1 mm..3 m" doc:"between the outermost screws along the lower axis"`
	PitchY   float64 `yaml:"pitch_across" is:"length" required:"true" range:"1 mm..3 m" doc:"between the outermost screws across the lower axis"`
	RibThick float64 `yaml:"rib_thickness" is:"length" range:"0 mm..100 mm" doc:"of each of two ribs; 0: no ribs"`
	RibHigh  float64 `yaml:"rib_height" is:"length" range:"0 mm..500 mm" doc:"of the ribs above the plate; 0: no ribs"`
	Mass     float64 `yaml:"mass" is:"mass" required:"true" range:"0.01 kg..2000 kg" doc:"with ribs"`
}

// Clamp holds an axis profile on what carries it.
type Clamp struct {
	Common    `yaml:",inline"`
	Screw     string  `yaml:"screw" required:"true" choices:"M4|M5|M6|M8|M10|M12|M14|M16|M20|M24" doc:"thread"`
	Class     string  `yaml:"class" required:"true" choices:"8.8|10.9|12.9" doc:"strength class of ISO 898-1"`
	Count     int     `yaml:"screws" required:"true" range:"1..12" doc:"screws of one clamp"`
	Torque    float64 `yaml:"tightening_torque" is:"torque" required:"true" range:"0.1 N m..2000 N m" doc:"of each screw"`
	Share     float64 `yaml:"force_share" required:"true" range:"0.1..1" doc:"share of the screw force that presses on the profile (lever)"`
	Width     float64 `yaml:"width" is:"length" required:"true" range:"2 mm..1 m" doc:"along the profile"`
	NutWidth  float64 `yaml:"nut_width" is:"length" range:"0 mm..100 mm" doc:"slot nut of its screws across the slot; 0: they end in no slot"`
	NutLength float64 `yaml:"nut_length" is:"length" range:"0 mm..500 mm" doc:"slot nut along the slot; 0: no slot nut"`
	Kn        float64 `yaml:"stiffness_normal" is:"stiffness" range:"1e4 N/m..1e11 N/m" doc:"of one clamp"`
	Kt        float64 `yaml:"stiffness_sideways" is:"stiffness" range:"1e4 N/m..1e11 N/m" doc:"of one clamp"`
	Mass      float64 `yaml:"mass" is:"mass" range:"0 kg..100 kg" doc:"of one clamp"`
}

// Foot is a levelling foot or base plate.
type Foot struct {
	Common   `yaml:",inline"`
	Axial    float64    `yaml:"axial_stiffness" is:"stiffness" required:"true" range:"1e4 N/m..1e11 N/m" doc:"of the foot itself; the floor is in series"`
	Lateral  float64    `yaml:"lateral_stiffness" is:"stiffness" required:"true" range:"1e4 N/m..1e11 N/m" doc:"sideways"`
	Rotate   float64    `yaml:"base_rotational_stiffness" is:"rotational_stiffness" range:"0 N m/rad..1e9 N m/rad" doc:"only where anchored with a base plate; 0 for a hinged foot"`
	Capacity float64    `yaml:"capacity" is:"force" required:"true" range:"10 N..10 MN" doc:"allowed vertical load"`
	Pad      float64    `yaml:"pad" is:"length" range:"5 mm..2 m" doc:"diameter of the pad, side of a base plate"`
	Height   float64    `yaml:"height" is:"length" range:"0 mm..1 m" doc:"floor to the underside of the profile"`
	Anchors  int        `yaml:"anchors" range:"0..16" doc:"anchors of one foot, 0 if it cannot be anchored"`
	Spacing  [2]float64 `yaml:"anchor_spacing" is:"length" range:"0 mm..2 m" doc:"between the outermost anchors, both ways"`
	Mass     float64    `yaml:"mass" is:"mass" range:"0 kg..500 kg" doc:"foot"`
}

// Shaft is a line shaft between two runways.
type Shaft struct {
	Common   `yaml:",inline"`
	Outer    float64 `yaml:"outer" is:"length" required:"true" range:"2 mm..500 mm" doc:"outer diameter"`
	Inner    float64 `yaml:"inner" is:"length" range:"0 mm..500 mm" doc:"inner diameter, 0 for a solid shaft"`
	Coupling float64 `yaml:"coupling_stiffness" is:"rotational_stiffness" range:"0 N m/rad..1e9 N m/rad" doc:"one coupling; 0 for none"`
	J        float64 `yaml:"coupling_inertia" is:"inertia" range:"0 kg m2..10 kg m2" doc:"one coupling"`
	MaxSpeed float64 `yaml:"max_speed" is:"angular_speed" range:"10 rpm..20000 rpm" doc:"of the couplings; the shaft's own critical speed depends on its length"`
	MassPerM float64 `yaml:"mass_per_m" is:"mass_per_length" required:"true" range:"0.01 kg/m..500 kg/m" doc:"shaft"`
	CostPerM float64 `yaml:"cost_per_m" range:"0..1e6" doc:"price of the shaft per metre"`
}

// Carrier is a cable carrier.
type Carrier struct {
	Common   `yaml:",inline"`
	Inner    [2]float64 `yaml:"inner" is:"length" required:"true" range:"2 mm..2 m" doc:"inner width and height"`
	Outer    float64    `yaml:"outer_height" is:"length" required:"true" range:"3 mm..2 m" doc:"outer height of a link"`
	Radius   float64    `yaml:"radius" is:"length" required:"true" range:"5 mm..3 m" doc:"bend radius to the pitch line"`
	Pitch    float64    `yaml:"pitch" is:"length" required:"true" range:"2 mm..1 m" doc:"of the links"`
	MassPerM float64    `yaml:"mass_per_m" is:"mass_per_length" required:"true" range:"0.01 kg/m..200 kg/m" doc:"empty"`
	SpanAt   []float64  `yaml:"span_loads" is:"mass_per_length" range:"0 kg/m..200 kg/m" doc:"added loads of the span table"`
	Span     []float64  `yaml:"spans" is:"length" range:"0 m..30 m" doc:"free span at those loads"`
	Sep      float64    `yaml:"separator" is:"length" range:"0 mm..50 mm" doc:"thickness of a separator"`
	VMax     float64    `yaml:"max_speed" is:"speed" range:"0.01 m/s..50 m/s" doc:"unsupported"`
	AMax     float64    `yaml:"max_acceleration" is:"acceleration" range:"0.01 m/s2..500 m/s2" doc:"unsupported"`
	Cycles   float64    `yaml:"bending_cycles" range:"0..1e10" doc:"cycles that the links last; 0: not known"`
	CostPerM float64    `yaml:"cost_per_m" range:"0..1e6" doc:"price per metre"`
}

// Bumper is a hard stop, elastomer bumper or shock absorber.
type Bumper struct {
	Common  `yaml:",inline"`
	Kind    string     `yaml:"kind" required:"true" choices:"elastomer|spring|hydraulic|solid" doc:"what takes the energy"`
	Stroke  float64    `yaml:"stroke" is:"length" required:"true" range:"0.01 mm..2 m" doc:"from first contact to solid"`
	Energy  float64    `yaml:"energy" is:"energy" required:"true" range:"0.01 J..10 MJ" doc:"one hit"`
	Hourly  float64    `yaml:"energy_per_hour" is:"energy" range:"0 J..1000 MJ" doc:"all hits of an hour; 0: not known"`
	Eta     float64    `yaml:"efficiency" required:"true" range:"0.2..1" doc:"energy over largest force times stroke"`
	MassRng [2]float64 `yaml:"effective_mass" is:"mass" range:"0 kg..1e6 kg" doc:"smallest and largest"`
	Length  float64    `yaml:"length" is:"length" range:"1 mm..5 m" doc:"free length"`
	Mass    float64    `yaml:"mass" is:"mass" range:"0 kg..200 kg" doc:"bumper"`
}
