package parts

// Every kind of part is one struct; the CSV columns, the YAML keys, `parts
// show` and the reference page are made from its tags (the tags are those of
// package design: yaml, is, range, choices, part, doc). All numbers are SI.

// Common is what every part has.
type Common struct {
	ID             string  `yaml:"id" doc:"the word used in design files"`
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
	Shape    string         `yaml:"shape" choices:"t-slot|rectangular tube|round tube|flat|angle|channel|outline|given" doc:"how the outline is described"`
	Material string         `yaml:"material" doc:"name in the materials table"`
	Size     [2]float64     `yaml:"size" is:"length" doc:"width (local y) and height (local z) at roll 0"`
	Wall     float64        `yaml:"wall" is:"length" doc:"wall of a tube, thickness of a flat, angle or channel"`
	Radius   float64        `yaml:"radius" is:"length" doc:"outer corner radius"`
	Slots    *TSlot         `yaml:"t_slot" doc:"numbers of a T-slot outline"`
	Outer    [][2]float64   `yaml:"outer" is:"length" doc:"outline points, shape outline"`
	Holes    [][][2]float64 `yaml:"holes" is:"length" doc:"hole points, shape outline"`
	Given    *Given         `yaml:"given" doc:"properties from the supplier, used as they are"`
	MassPerM *float64       `yaml:"mass_per_m" is:"mass_per_length" doc:"from the supplier; by default area times density"`
	CostPerM float64        `yaml:"cost_per_m" doc:"price per metre"`
	CostCut  float64        `yaml:"cost_per_cut" doc:"price of one cut"`
	Stock    []float64      `yaml:"stock" is:"length" doc:"stock lengths"`
}

// TSlot holds the numbers of a parametric T-slot outline.
type TSlot struct {
	Module float64 `yaml:"module" is:"length"`
	NX     int     `yaml:"modules_wide"`
	NY     int     `yaml:"modules_high"`
	Slot   float64 `yaml:"slot" is:"length" doc:"slot opening"`
	Lip    float64 `yaml:"lip" is:"length" doc:"lip thickness"`
	Inner  float64 `yaml:"inner" is:"length" doc:"inner slot width"`
	Depth  float64 `yaml:"depth" is:"length" doc:"slot depth"`
	Web    float64 `yaml:"web" is:"length" doc:"diagonal web"`
	Corner float64 `yaml:"corner" is:"length" doc:"outer corner radius"`
	Bore   float64 `yaml:"bore" is:"length" doc:"core bore"`
	Cell   float64 `yaml:"cell_wall" is:"length" doc:"wall of hollow cells"`
	Hollow bool    `yaml:"hollow_corners"`
}

// Given are section properties from a supplier's sheet.
type Given struct {
	A   float64 `yaml:"A" is:"area"`
	Iy  float64 `yaml:"Iy" is:"second_moment"`
	Iz  float64 `yaml:"Iz" is:"second_moment"`
	J   float64 `yaml:"J" is:"second_moment"`
	Asy float64 `yaml:"Asy" is:"area"`
	Asz float64 `yaml:"Asz" is:"area"`
}

// Block is a rail guide carriage with its rail.
type Block struct {
	Common    `yaml:",inline"`
	Kind      string  `yaml:"kind" choices:"ball|roller|cam roller" doc:"rolling elements"`
	C         float64 `yaml:"C" is:"force" doc:"dynamic rating"`
	Basis     string  `yaml:"basis" choices:"50 km|100 km" doc:"travel to which C belongs"`
	C0        float64 `yaml:"C0" is:"force" doc:"static rating"`
	M0x       float64 `yaml:"M0x" is:"torque" doc:"static moment rating about the travel direction"`
	M0y       float64 `yaml:"M0y" is:"torque" doc:"static moment rating about the lateral direction (pitch)"`
	M0z       float64 `yaml:"M0z" is:"torque" doc:"static moment rating about the normal (yaw)"`
	Kz        float64 `yaml:"kz" is:"stiffness" doc:"stiffness normal to the rail plane"`
	Ky        float64 `yaml:"ky" is:"stiffness" doc:"lateral stiffness"`
	KMx       float64 `yaml:"kmx" is:"rotational_stiffness" doc:"own roll stiffness"`
	KMy       float64 `yaml:"kmy" is:"rotational_stiffness" doc:"own pitch stiffness"`
	KMz       float64 `yaml:"kmz" is:"rotational_stiffness" doc:"own yaw stiffness"`
	Preload   float64 `yaml:"preload" is:"force" doc:"preload of one block"`
	Seal      float64 `yaml:"seal" is:"force" doc:"seal drag of one block"`
	Mass      float64 `yaml:"mass" is:"mass" doc:"one block"`
	RailPerM  float64 `yaml:"rail_mass_per_m" is:"mass_per_length" doc:"rail"`
	Length    float64 `yaml:"length" is:"length" doc:"length of the block"`
	VMax      float64 `yaml:"max_speed" is:"speed" doc:"largest speed"`
	Angular   float64 `yaml:"running_angle" is:"angle" doc:"running accuracy of one block as an angle, +/-"`
	Relube    float64 `yaml:"relubrication" is:"length" doc:"travel between relubrications"`
	CostRailM float64 `yaml:"rail_cost_per_m"`
}

// Axis is an axis beam with its rails, blocks and drive.
type Axis struct {
	Common     `yaml:",inline"`
	Profile    string  `yaml:"profile" part:"profile" doc:"the beam; its local z is the normal of the rail plane"`
	Block      string  `yaml:"block" part:"block" doc:"rail and block"`
	Rails      int     `yaml:"rails" range:"1..2" doc:"rails on the beam"`
	PerRail    int     `yaml:"blocks_per_rail" range:"1..4" doc:"blocks on each rail"`
	Along      float64 `yaml:"spacing_along" is:"length" doc:"between the outermost blocks on one rail, centre to centre"`
	Across     float64 `yaml:"spacing_across" is:"length" doc:"between the rails, centre to centre (0 for one rail)"`
	RailHeight float64 `yaml:"rail_height" is:"length" doc:"from the beam's centre line to the plane of the blocks' rolling centres"`
	PlateTop   float64 `yaml:"plate_height" is:"length" doc:"from the beam's centre line to the outer face of the carriage plate"`
	Plate      float64 `yaml:"carriage_length" is:"length" doc:"length of the carriage along the travel"`
	Carriage   float64 `yaml:"carriage_mass" is:"mass" doc:"carriage with its blocks"`
	EndMass    float64 `yaml:"end_mass" is:"mass" doc:"both ends together: pulleys, bearings, housings, without motor and gear"`
	ExtraPerM  float64 `yaml:"extra_mass_per_m" is:"mass_per_length" doc:"rails, belt or screw or rack, covers, in addition to the profile"`
	EndLength  float64 `yaml:"end_length" is:"length" doc:"beam needed beyond the carriage's mechanical travel at each end"`
	MaxLength  float64 `yaml:"max_length" is:"length" doc:"longest beam"`
	VMax       float64 `yaml:"max_speed" is:"speed"`
	AMax       float64 `yaml:"max_acceleration" is:"acceleration"`
	Drive      string  `yaml:"drive" choices:"belt|ball screw|slide screw|rack" doc:"kind of drive"`
	DriveAt    float64 `yaml:"drive_height" is:"length" doc:"line of the drive force above the beam's centre line along the normal"`
	DriveSide  float64 `yaml:"drive_offset" is:"length" doc:"line of the drive force sideways from the middle"`
	Belt       string  `yaml:"belt" part:"belt"`
	Teeth      int     `yaml:"pulley_teeth"`
	Pretension float64 `yaml:"pretension" is:"force" doc:"belt tension at rest, each run"`
	Layout     string  `yaml:"layout" choices:"loop|omega"`
	Screw      string  `yaml:"screw" part:"screw"`
	Ends       string  `yaml:"screw_ends" choices:"fixed-free|supported-supported|fixed-supported|fixed-fixed"`
	Bearing    float64 `yaml:"bearing_stiffness" is:"stiffness" doc:"axial stiffness of the screw's bearing and its housing"`
	Rack       string  `yaml:"rack" part:"rack"`
	MotorAt    string  `yaml:"motor_at" choices:"beam|carriage" doc:"where the motor sits"`
	Inertia    float64 `yaml:"idle_inertia" is:"inertia" doc:"pulleys, coupling, at the drive shaft"`
	Drag       float64 `yaml:"drag" is:"force" doc:"running drag of drive and wipers besides the guides"`
	CostPerM   float64 `yaml:"cost_per_m"`
}

// Belt is a toothed belt of one width.
type Belt struct {
	Common    `yaml:",inline"`
	Pitch     float64   `yaml:"pitch" is:"length"`
	Width     float64   `yaml:"width" is:"length"`
	EA        float64   `yaml:"stretch_stiffness" is:"force" doc:"force per unit strain of this width"`
	MassPerM  float64   `yaml:"mass_per_m" is:"mass_per_length"`
	ToothAt   []float64 `yaml:"tooth_speeds" is:"angular_speed" doc:"pulley speeds of the tooth force table"`
	Tooth     []float64 `yaml:"tooth_forces" is:"force" doc:"allowed force of one tooth in mesh at those speeds, this width"`
	ToothCap  int       `yaml:"counted_teeth" doc:"most teeth that may be counted"`
	Cord      float64   `yaml:"cord_force" is:"force" doc:"allowed tension of one run"`
	Break     float64   `yaml:"breaking_force" is:"force"`
	MinTeeth  int       `yaml:"least_pulley_teeth"`
	LengthTol float64   `yaml:"length_error" doc:"length error over length, +/-"`
	CostPerM  float64   `yaml:"cost_per_m"`
}

// Screw is a ball or slide screw with its nut.
type Screw struct {
	Common   `yaml:",inline"`
	Kind     string  `yaml:"kind" choices:"ball|slide"`
	D0       float64 `yaml:"d0" is:"length" doc:"nominal diameter"`
	Dr       float64 `yaml:"dr" is:"length" doc:"root diameter"`
	Dc       float64 `yaml:"dc" is:"length" doc:"mean effective shaft diameter for stiffness"`
	Lead     float64 `yaml:"lead" is:"length"`
	Eta      float64 `yaml:"efficiency" range:"0.05..0.99"`
	Ca       float64 `yaml:"Ca" is:"force" doc:"dynamic rating (1e6 revolutions)"`
	C0a      float64 `yaml:"C0a" is:"force" doc:"static rating"`
	Preload  float64 `yaml:"preload" is:"force"`
	Nut      float64 `yaml:"nut_stiffness" is:"stiffness"`
	Grade    int     `yaml:"grade" doc:"accuracy grade 0, 1, 3, 5, 7, 10"`
	DN       float64 `yaml:"DN" doc:"largest diameter times speed, mm/min"`
	Backlash float64 `yaml:"backlash" is:"length"`
	NutMass  float64 `yaml:"nut_mass" is:"mass"`
	MassPerM float64 `yaml:"mass_per_m" is:"mass_per_length"`
	CostPerM float64 `yaml:"cost_per_m"`
}

// Rack is a rack with its pinion.
type Rack struct {
	Common    `yaml:",inline"`
	Module    float64 `yaml:"module" is:"length" doc:"normal module"`
	Teeth     int     `yaml:"pinion_teeth"`
	Helix     float64 `yaml:"helix" is:"angle"`
	Width     float64 `yaml:"width" is:"length"`
	Force     float64 `yaml:"rated_force" is:"force" doc:"rated tangential force of the pair"`
	FlankLim  float64 `yaml:"flank_limit" is:"stress"`
	RootLim   float64 `yaml:"root_limit" is:"stress"`
	Backlash  float64 `yaml:"backlash" is:"length"`
	PitchErr  float64 `yaml:"pitch_error" is:"length" doc:"accumulated over 1 m, +/-"`
	MeshStiff float64 `yaml:"mesh_stiffness" is:"stiffness"`
	PinionJ   float64 `yaml:"pinion_inertia" is:"inertia"`
	MassPerM  float64 `yaml:"mass_per_m" is:"mass_per_length"`
	CostPerM  float64 `yaml:"cost_per_m"`
}

// Motor is a servo or stepper motor.
type Motor struct {
	Common   `yaml:",inline"`
	Kind     string     `yaml:"kind" choices:"servo|stepper"`
	J        float64    `yaml:"inertia" is:"inertia" doc:"rotor without brake"`
	T0       float64    `yaml:"stall_torque" is:"torque" doc:"continuous at standstill"`
	Tn       float64    `yaml:"rated_torque" is:"torque" doc:"continuous at rated speed"`
	Nn       float64    `yaml:"rated_speed" is:"angular_speed"`
	Tmax     float64    `yaml:"peak_torque" is:"torque"`
	Knee     float64    `yaml:"knee_speed" is:"angular_speed" doc:"up to here the peak torque holds"`
	NoLoad   float64    `yaml:"no_load_speed" is:"angular_speed" doc:"here the peak line reaches zero"`
	Nmax     float64    `yaml:"max_speed" is:"angular_speed"`
	PullAt   []float64  `yaml:"pull_out_speeds" is:"angular_speed" doc:"stepper: speeds of the pull-out table"`
	Pull     []float64  `yaml:"pull_out_torques" is:"torque"`
	Mass     float64    `yaml:"mass" is:"mass"`
	Length   float64    `yaml:"length" is:"length"`
	Flange   float64    `yaml:"flange" is:"length" doc:"side of the square flange"`
	Radial   float64    `yaml:"radial_load" is:"force" doc:"allowed on the shaft"`
	DriveEta float64    `yaml:"drive_efficiency" range:"0.3..1" doc:"amplifier and motor together"`
	CapF     float64    `yaml:"bus_capacity" is:"capacitance"`
	CapV     [2]float64 `yaml:"bus_voltage" is:"voltage" doc:"normal, and where the brake chopper starts"`
	Counts   float64    `yaml:"counts_per_turn"`
}

// Gear is a planetary or right-angle gear.
type Gear struct {
	Common   `yaml:",inline"`
	Ratio    float64 `yaml:"ratio"`
	J        float64 `yaml:"inertia" is:"inertia" doc:"at the input"`
	Eta      float64 `yaml:"efficiency"`
	T2N      float64 `yaml:"rated_torque" is:"torque" doc:"output, mean"`
	T2B      float64 `yaml:"peak_torque" is:"torque" doc:"output, repeating"`
	T2Not    float64 `yaml:"emergency_torque" is:"torque" doc:"output, a limited number of times"`
	N1N      float64 `yaml:"rated_speed" is:"angular_speed" doc:"input, mean"`
	N1Max    float64 `yaml:"max_speed" is:"angular_speed" doc:"input, peak"`
	Backlash float64 `yaml:"backlash" is:"angle"`
	Ct       float64 `yaml:"stiffness" is:"rotational_stiffness" doc:"at the output"`
	Radial   float64 `yaml:"radial_load" is:"force"`
	Mass     float64 `yaml:"mass" is:"mass"`
	Length   float64 `yaml:"length" is:"length"`
}

// Brake is a spring-applied, power-off hold brake on the motor shaft.
type Brake struct {
	Common  `yaml:",inline"`
	Torque  float64 `yaml:"torque" is:"torque" doc:"least static torque, run in and warm"`
	J       float64 `yaml:"inertia" is:"inertia"`
	Apply   float64 `yaml:"apply_time" is:"time" doc:"power off to half torque"`
	Release float64 `yaml:"release_time" is:"time"`
	Energy  float64 `yaml:"energy_per_stop" is:"energy" doc:"allowed for one emergency stop"`
	Wear    float64 `yaml:"wear_energy" is:"energy" doc:"until the air gap must be reset"`
	Mass    float64 `yaml:"mass" is:"mass"`
}

// Joint is the hardware of one joint between profiles.
type Joint struct {
	Common  `yaml:",inline"`
	Family  string  `yaml:"family" choices:"hidden fastener|core screw|one bracket|two brackets|one gusset|two gussets|corner plate|base plate"`
	Screw   string  `yaml:"screw" doc:"thread, e.g. M8"`
	Class   string  `yaml:"class" doc:"strength class, e.g. 8.8"`
	Count   int     `yaml:"screws" doc:"screws that carry the joint, per member end"`
	Torque  float64 `yaml:"tightening_torque" is:"torque"`
	Lever   float64 `yaml:"lever" is:"length" doc:"distance of the tension screws from the pressed edge"`
	Faces   int     `yaml:"faces" doc:"clamped faces"`
	Thick   float64 `yaml:"thickness" is:"length" doc:"plate or bracket"`
	Width   float64 `yaml:"width" is:"length" doc:"plate or bracket"`
	Pitch   float64 `yaml:"pitch" is:"length" doc:"screw distance in the plate"`
	Yield   float64 `yaml:"yield" is:"stress" doc:"of the plate or bracket"`
	Slot    float64 `yaml:"slot" is:"length" doc:"slot it fits"`
	Fits    float64 `yaml:"module" is:"length" doc:"profile module it fits"`
	Tension bool    `yaml:"screws_in_tension" doc:"the moment is carried by screws in tension, not by slot friction"`
	Mass    float64 `yaml:"mass" is:"mass"`
}

// Plate is the interface between two axes.
type Plate struct {
	Common   `yaml:",inline"`
	Material string  `yaml:"material"`
	Thick    float64 `yaml:"thickness" is:"length"`
	Width    float64 `yaml:"width" is:"length"`
	Length   float64 `yaml:"length" is:"length"`
	Screw    string  `yaml:"screw"`
	Class    string  `yaml:"class"`
	Count    int     `yaml:"screws" doc:"screws on each side of the plate"`
	Torque   float64 `yaml:"tightening_torque" is:"torque"`
	PitchX   float64 `yaml:"pitch_along" is:"length" doc:"screw pattern along the lower axis"`
	PitchY   float64 `yaml:"pitch_across" is:"length"`
	RibThick float64 `yaml:"rib_thickness" is:"length"`
	RibHigh  float64 `yaml:"rib_height" is:"length"`
	Mass     float64 `yaml:"mass" is:"mass"`
}

// Clamp holds an axis profile on what carries it.
type Clamp struct {
	Common `yaml:",inline"`
	Screw  string  `yaml:"screw"`
	Class  string  `yaml:"class"`
	Count  int     `yaml:"screws" doc:"screws of one clamp"`
	Torque float64 `yaml:"tightening_torque" is:"torque"`
	Share  float64 `yaml:"force_share" range:"0.1..1" doc:"share of the screw force that presses on the profile (lever)"`
	Width  float64 `yaml:"width" is:"length"`
	Kn     float64 `yaml:"stiffness_normal" is:"stiffness" doc:"of one clamp"`
	Kt     float64 `yaml:"stiffness_sideways" is:"stiffness"`
	Mass   float64 `yaml:"mass" is:"mass"`
}

// Foot is a levelling foot or base plate.
type Foot struct {
	Common   `yaml:",inline"`
	Axial    float64 `yaml:"axial_stiffness" is:"stiffness" doc:"of the foot itself; the floor is in series"`
	Lateral  float64 `yaml:"lateral_stiffness" is:"stiffness"`
	Rotate   float64 `yaml:"base_rotational_stiffness" is:"rotational_stiffness" doc:"only where anchored with a base plate; 0 for a hinged foot"`
	Capacity float64 `yaml:"capacity" is:"force"`
	Pad      float64 `yaml:"pad" is:"length" doc:"diameter of the pad"`
	Height   float64 `yaml:"height" is:"length" doc:"floor to the underside of the profile"`
	Anchors  int     `yaml:"anchors" doc:"anchors of one foot, 0 if it cannot be anchored"`
	Mass     float64 `yaml:"mass" is:"mass"`
}

// Shaft is a line shaft between two runways.
type Shaft struct {
	Common   `yaml:",inline"`
	Outer    float64 `yaml:"outer" is:"length"`
	Inner    float64 `yaml:"inner" is:"length"`
	Coupling float64 `yaml:"coupling_stiffness" is:"rotational_stiffness" doc:"one coupling; 0 for none"`
	J        float64 `yaml:"coupling_inertia" is:"inertia"`
	MaxSpeed float64 `yaml:"max_speed" is:"angular_speed"`
	MassPerM float64 `yaml:"mass_per_m" is:"mass_per_length"`
	CostPerM float64 `yaml:"cost_per_m"`
}

// Carrier is a cable carrier.
type Carrier struct {
	Common   `yaml:",inline"`
	Inner    [2]float64 `yaml:"inner" is:"length" doc:"inner width and height"`
	Outer    float64    `yaml:"outer_height" is:"length"`
	Radius   float64    `yaml:"radius" is:"length" doc:"bend radius to the pitch line"`
	Pitch    float64    `yaml:"pitch" is:"length"`
	MassPerM float64    `yaml:"mass_per_m" is:"mass_per_length"`
	SpanAt   []float64  `yaml:"span_loads" is:"mass_per_length" doc:"added loads of the span table"`
	Span     []float64  `yaml:"spans" is:"length" doc:"free span at those loads"`
	Sep      float64    `yaml:"separator" is:"length"`
	VMax     float64    `yaml:"max_speed" is:"speed"`
	AMax     float64    `yaml:"max_acceleration" is:"acceleration"`
	Cycles   float64    `yaml:"bending_cycles"`
	CostPerM float64    `yaml:"cost_per_m"`
}

// Bumper is a hard stop, elastomer bumper or shock absorber.
type Bumper struct {
	Common  `yaml:",inline"`
	Kind    string     `yaml:"kind" choices:"elastomer|spring|hydraulic|solid"`
	Stroke  float64    `yaml:"stroke" is:"length"`
	Energy  float64    `yaml:"energy" is:"energy" doc:"one hit"`
	Hourly  float64    `yaml:"energy_per_hour" is:"energy"`
	Eta     float64    `yaml:"efficiency" range:"0.2..1"`
	MassRng [2]float64 `yaml:"effective_mass" is:"mass" doc:"smallest and largest"`
	Mass    float64    `yaml:"mass" is:"mass"`
}
