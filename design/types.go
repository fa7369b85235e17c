package design

// The Go types are the one description of the design file: the decoder, the
// JSON Schema, the reference page and the page's outline are all made from
// them and their tags.
//
//	yaml     the key in the file
//	is       what kind of quantity the number is (see quantity.Kind); numbers
//	         without "is" are plain counts or ratios
//	required "true": the design is refused without it
//	default  what is used when the key is absent, written as in the file
//	from     where the default comes from
//	range    smallest..largest value allowed, written as in the file
//	choices  the allowed words, separated by |; of a list those of each element, of a Range those it may be instead of numbers
//	part     the kind of catalogue part that the word names
//	keyed    the field of the element that receives the key of a mapping, whose
//	         order in the file is kept
//	doc      one sentence for people
//
// Pointers are values that may be absent and have no default.

// Design is a whole design file: the task and the machine.
type Design struct {
	Format      int         `yaml:"spanwright" required:"true" range:"1..1" doc:"format number of this file"`
	Name        string      `yaml:"machine" required:"true" doc:"what the machine is called"`
	Meta        Meta        `yaml:"meta" doc:"who made it and for whom; printed on every sheet"`
	Task        Task        `yaml:"task" required:"true" doc:"what must be moved, where, how often, how precisely"`
	Axes        []Axis      `yaml:"axes" required:"true" keyed:"ID" doc:"the axes from the stand to the tool, in that order"`
	Stand       Stand       `yaml:"stand" required:"true" doc:"the supporting structure"`
	Equipment   Equipment   `yaml:"equipment" doc:"cable carriers, travel limits, guards"`
	Assumptions Assumptions `yaml:"assumptions" doc:"uncertain inputs and limits; every one has a default with its source"`
	Parts       []string    `yaml:"parts" doc:"files with supplier data beside the design; their parts win over the representative ones"`

	File *File `yaml:"-"` // where everything stands in the text
}

// Meta is the title block.
type Meta struct {
	Number   string `yaml:"number" doc:"drawing or document number"`
	Revision string `yaml:"revision" default:"A" from:"first issue" doc:"revision letter or number"`
	Date     string `yaml:"date" doc:"date of issue, e.g. 2026-03-14"`
	Owner    string `yaml:"owner" doc:"legal owner of the design"`
	Creator  string `yaml:"creator" doc:"who made it"`
	Approver string `yaml:"approver" doc:"who approves it"`
	Customer string `yaml:"customer" doc:"for whom"`
	Note     string `yaml:"note" doc:"anything a reader should know"`
}

// Task is what the machine has to do.
type Task struct {
	Payload      Payload      `yaml:"payload" required:"true" doc:"what is carried"`
	Tool         Tool         `yaml:"tool" required:"true" doc:"gripper or other tool at the end of the last axis"`
	Points       []Point      `yaml:"points" required:"true" keyed:"ID" doc:"named places in axis coordinates, measured along each axis from its minus end"`
	Cycle        []Step       `yaml:"cycle" required:"true" doc:"the steps of one cycle, from where the last step ended"`
	Rate         float64      `yaml:"rate" is:"rate" required:"true" range:"0.1 /h..20000 /h" doc:"cycles needed in the hour"`
	Targets      Targets      `yaml:"targets" doc:"what counts as good enough"`
	Duty         Duty         `yaml:"duty" doc:"how long it has to run"`
	Surroundings Surroundings `yaml:"surroundings" doc:"where it stands"`
	Force        [3]float64   `yaml:"process_force" is:"force" default:"[0 N, 0 N, 0 N]" range:"-1e6 N..1e6 N" from:"handling only" doc:"steady force on the tool point in world axes while it works"`
	PeopleNear   bool         `yaml:"people_near" default:"yes" from:"the careful assumption" doc:"can somebody be beside or under the machine while it is powered"`
}

// Payload is the thing that is moved. Places are seen from the tool point, in world axes.
type Payload struct {
	Mass   float64    `yaml:"mass" is:"mass" required:"true" range:"0 kg..5000 kg" doc:"mass of what is carried"`
	Size   [3]float64 `yaml:"size" is:"length" default:"[200 mm, 200 mm, 200 mm]" range:"0 mm..30 m" from:"assumed box" doc:"length, width, height of the box around it"`
	Centre [3]float64 `yaml:"centre" is:"length" default:"[0 mm, 0 mm, 0 mm]" range:"-10 m..10 m" from:"held at its centre of mass" doc:"centre of mass from the tool point"`
	Grip   Grip       `yaml:"grip" doc:"how it is held"`
}

// Grip says how the payload is held.
type Grip struct {
	By       string   `yaml:"by" choices:"form|jaws|vacuum|unknown" default:"unknown" from:"not stated" doc:"form fit, jaws by friction, or vacuum cups above"`
	Force    *float64 `yaml:"force" is:"force" range:"0 N..1 MN" doc:"holding force of all cups together, or closing force of one jaw"`
	Friction float64  `yaml:"friction" default:"0.5" range:"0.02..1.5" from:"dry elastomer on metal or plastic, common practice, no source" doc:"friction between payload and gripper"`
	Safety   float64  `yaml:"safety" default:"2" range:"1..10" from:"common practice, no source" doc:"factor on the holding force"`
}

// Tool is the gripper. Places are seen from the end of the last body (the mast's end or the carriage plate), in world axes.
type Tool struct {
	Mass   float64    `yaml:"mass" is:"mass" required:"true" range:"0 kg..2000 kg" doc:"mass of the tool"`
	Centre [3]float64 `yaml:"centre" is:"length" default:"[0 mm, 0 mm, 0 mm]" range:"-10 m..10 m" from:"at its flange" doc:"centre of mass from the tool flange"`
	Point  [3]float64 `yaml:"point" is:"length" default:"[0 mm, 0 mm, 0 mm]" range:"-10 m..10 m" from:"at its flange" doc:"tool point from the tool flange"`
}

// Point is one named place: a coordinate for each axis.
type Point struct {
	ID string             `yaml:"-"`
	At map[string]float64 `yaml:",axes" is:"length" doc:"one coordinate for each axis id"`
}

// Step is one move of the cycle and what is done at its end.
type Step struct {
	To     string  `yaml:"to" required:"true" doc:"the point to go to"`
	Path   string  `yaml:"path" choices:"together|straight|independent" default:"together" from:"axes start and arrive together" doc:"how several axes share the move"`
	Loaded bool    `yaml:"loaded" default:"no" from:"empty unless said" doc:"is the payload carried on the way"`
	Load   float64 `yaml:"load" is:"ratio" default:"100 %" range:"0 %..100 %" from:"the whole payload" doc:"share of the payload's mass that is carried on a loaded way"`
	Dwell  float64 `yaml:"dwell" is:"time" default:"0 s" range:"0 s..3600 s" from:"no wait" doc:"time needed at the end, e.g. to grip"`
	Settle *bool   `yaml:"settle" doc:"must the tool be at rest within the settle band before the dwell; by default yes where there is a dwell"`
	Pace   float64 `yaml:"pace" is:"ratio" default:"100 %" range:"1 %..100 %" from:"axis limits" doc:"share of the axis speed used; acceleration goes with its square"`
}

// Targets are the task's limits. An absent target is not judged and is listed as such.
type Targets struct {
	SagVariation  *float64 `yaml:"sag_variation" is:"length" range:"1 um..1 m" doc:"largest change of the tool point's vertical sag over the work space"`
	SettleBand    *float64 `yaml:"settle_band" is:"length" range:"1 um..100 mm" doc:"the tool point counts as settled within this distance"`
	SettleTime    *float64 `yaml:"settle_time" is:"time" range:"0 s..60 s" doc:"longest time from the end of the command until settled"`
	FirstFreq     *float64 `yaml:"first_frequency" is:"frequency" range:"0.1 Hz..1 kHz" doc:"lowest natural frequency wanted anywhere"`
	Repeatability *float64 `yaml:"repeatability" is:"length" range:"1 um..100 mm" doc:"largest spread of the tool point on coming back"`
	Accuracy      *float64 `yaml:"accuracy" is:"length" range:"1 um..1 m" doc:"largest distance between tool point and command"`
}

// Duty is how long the machine has to live.
type Duty struct {
	HoursPerYear float64 `yaml:"hours_per_year" is:"time" default:"4000 h" range:"1 h..8784 h" from:"two shifts, assumed" doc:"running hours a year"`
	Years        float64 `yaml:"years" default:"8" range:"0.1..50" from:"assumed" doc:"years of service"`
	Stops        float64 `yaml:"emergency_stops_per_day" default:"2" range:"0..1000" from:"assumed" doc:"emergency stops a day, for brakes and bumpers"`
}

// Surroundings is the place.
type Surroundings struct {
	Temperature [2]float64 `yaml:"temperature" is:"temperature" default:"[15 degC, 30 degC]" range:"-60 degC..120 degC" from:"heated hall, assumed" doc:"lowest and highest"`
	Dust        string     `yaml:"dust" choices:"none|light|heavy" default:"none" from:"assumed" doc:"dust or chips"`
	Washdown    bool       `yaml:"washdown" default:"no" from:"assumed" doc:"is it washed"`
	Floor       string     `yaml:"floor" choices:"slab|industrial slab|steel frame|unknown" default:"unknown" from:"not stated" doc:"what it stands on"`
}

// Axis is one driven direction. The first axis sits on the stand, each further one on the body that the axis before it moves.
type Axis struct {
	ID        string     `yaml:"-"`
	Direction [3]float64 `yaml:"direction" is:"direction" required:"true" doc:"x, y, z, -x, -y, -z or three numbers: where its coordinate grows, in world axes"`
	Part      string     `yaml:"part" part:"axis" required:"true" doc:"the axis beam with its rails, blocks and drive"`
	Travel    float64    `yaml:"travel" is:"length" required:"true" range:"1 mm..30 m" doc:"programmed travel; coordinates run from 0 to this"`
	Moves     string     `yaml:"moves" choices:"carriage|body" default:"carriage" from:"usual" doc:"what moves: the carriage along the beam, or the beam (a mast) past fixed blocks"`
	Facing    [3]float64 `yaml:"facing" is:"direction" required:"true" doc:"side of the beam on which its carriage sits, in world axes, square to the direction"`
	Length    *float64   `yaml:"length" is:"length" range:"50 mm..40 m" doc:"beam length; by default travel, carriage, ends"`
	Start     *float64   `yaml:"start" is:"length" range:"-40 m..40 m" doc:"carriage centre at coordinate 0, from the middle of what carries the beam, along the direction; by default the travel is centred"`
	Offset    [3]float64 `yaml:"offset" is:"length" default:"[0 mm, 0 mm, 0 mm]" range:"-10 m..10 m" from:"directly on what carries it" doc:"shift of this axis from its natural seat on what carries it, world axes"`
	Overhang  *float64   `yaml:"overhang" is:"length" range:"0 mm..10 m" doc:"body-moving axis: from the block group's centre to the body's tool end when drawn in fully; by default half the blocks, the room of the travel end and 40 mm"`
	Pair      *Pair      `yaml:"pair" doc:"two parallel runways moving one bridge"`
	Drive     Drive      `yaml:"drive" doc:"changes to the drive that comes with the axis part"`
	Motor     string     `yaml:"motor" part:"motor" required:"true" doc:"the motor"`
	Gear      string     `yaml:"gear" part:"gear" default:"none" from:"motor drives directly" doc:"the gear between motor and drive, or none"`
	Brake     string     `yaml:"brake" part:"brake" default:"none" from:"no brake unless said" doc:"power-off hold brake on the motor, or none"`
	Counter   *Counter   `yaml:"counterbalance" doc:"counterweight or gas spring of a gravity axis"`
	Limits    Limits     `yaml:"limits" required:"true" doc:"programmed speed, acceleration, jerk"`
	Join      Join       `yaml:"join" doc:"how the beam or block plate is joined to what carries it"`
	UnderBeam string     `yaml:"under_beam" part:"profile" default:"none" from:"none unless said" doc:"second profile under the axis beam"`
	Shaper    string     `yaml:"shaper" choices:"none|zv|zvd" default:"none" from:"none unless said" doc:"input shaper tuned to the first natural frequency"`
}

// Pair is two runways under one bridge.
type Pair struct {
	Spacing    float64  `yaml:"spacing" is:"length" required:"true" range:"100 mm..20 m" doc:"distance between the two beams, centre to centre"`
	Driven     string   `yaml:"driven" choices:"one|shaft|two-motors" required:"true" doc:"one side only, both by a line shaft, or both by own motors"`
	Shaft      string   `yaml:"shaft" part:"shaft" default:"none" from:"no line shaft" doc:"the line shaft"`
	Fixed      string   `yaml:"fixed_side" choices:"minus|plus|both" default:"minus" from:"one side locates, the other floats" doc:"which side holds the bridge sideways"`
	Float      *float64 `yaml:"float" is:"length" range:"0 mm..100 mm" doc:"sideways travel of the floating mount, each way"`
	DriveSide  string   `yaml:"drive_side" choices:"minus|plus" default:"minus" from:"the guided side" doc:"which side is driven if only one is"`
	Parallel   float64  `yaml:"parallelism" is:"length" default:"0.3 mm" range:"0 mm..20 mm" from:"common practice, no source" doc:"error of the runways' parallelism over their length"`
	Height     float64  `yaml:"height_error" is:"length" default:"0.2 mm" range:"0 mm..20 mm" from:"common practice, no source" doc:"height difference between the runways"`
	Assembly   float64  `yaml:"assembly_error" is:"length" default:"0.3 mm" range:"0 mm..20 mm" from:"common practice, no source" doc:"what the float has to take up from assembly"`
	FollowDiff float64  `yaml:"following_error" is:"length" default:"0.1 mm" range:"0 mm..10 mm" from:"two synchronised servo motors, assumed" doc:"difference of the two sides while moving (two motors)"`
}

// Drive overrides what comes with the axis part.
type Drive struct {
	Belt       string   `yaml:"belt" part:"belt" default:"as the axis part" from:"axis part" doc:"the belt"`
	Screw      string   `yaml:"screw" part:"screw" default:"as the axis part" from:"axis part" doc:"the screw"`
	Rack       string   `yaml:"rack" part:"rack" default:"as the axis part" from:"axis part" doc:"the rack and its pinion"`
	Teeth      *int     `yaml:"pulley_teeth" range:"8..200" doc:"teeth of the belt pulley"`
	Pretension *float64 `yaml:"pretension" is:"force" range:"0 N..200 kN" doc:"belt tension at rest, each run"`
	Layout     string   `yaml:"layout" choices:"loop|omega|as the axis part" default:"as the axis part" from:"axis part" doc:"belt round a fixed pulley, or pulley travelling on a fixed belt"`
	Ends       string   `yaml:"screw_ends" choices:"fixed-free|supported-supported|fixed-supported|fixed-fixed|as the axis part" default:"as the axis part" from:"axis part" doc:"bearings of the screw"`
	MotorAt    string   `yaml:"motor_at" choices:"beam|carriage|as the axis part" default:"as the axis part" from:"axis part" doc:"where the motor sits"`
}

// Counter is a counterweight or gas spring.
type Counter struct {
	Weight *float64 `yaml:"weight" is:"mass" range:"0 kg..5000 kg" doc:"counterweight"`
	Ratio  float64  `yaml:"ratio" default:"1" range:"0.1..10" from:"single rope" doc:"travel of the weight over travel of the axis"`
	Spring *float64 `yaml:"gas_spring" is:"force" range:"0 N..1 MN" doc:"smallest force of the gas spring over its stroke"`
	Most   *float64 `yaml:"gas_spring_most" is:"force" range:"0 N..1 MN" doc:"largest force of the gas spring over its stroke"`
}

// Limits are the programmed limits of one axis.
type Limits struct {
	Speed        float64  `yaml:"speed" is:"speed" required:"true" range:"1 mm/s..20 m/s" doc:"programmed speed"`
	Acceleration float64  `yaml:"acceleration" is:"acceleration" required:"true" range:"1 mm/s2..200 m/s2" doc:"programmed acceleration"`
	Deceleration *float64 `yaml:"deceleration" is:"acceleration" range:"1 mm/s2..200 m/s2" doc:"programmed deceleration; by default as the acceleration"`
	Jerk         *float64 `yaml:"jerk" is:"jerk" range:"10 mm/s3..100000 m/s3" doc:"programmed jerk; without it the acceleration jumps"`
	Stop         *float64 `yaml:"stop_deceleration" is:"acceleration" range:"1 mm/s2..200 m/s2" doc:"deceleration of an emergency stop (category 1); by default 1.5 times the acceleration"`
	StopJerk     *float64 `yaml:"stop_jerk" is:"jerk" range:"10 mm/s3..100000 m/s3" doc:"jerk at the onset of an emergency stop; by default the programmed jerk"`
}

// Join is how an axis is joined to what carries it.
type Join struct {
	By            string   `yaml:"by" choices:"clamps|plate|gussets|direct" default:"plate" from:"usual" doc:"clamps on the profile, a plate, a plate with gussets, or direct bolting"`
	Part          string   `yaml:"part" part:"plate|clamp" default:"none" from:"not stated" doc:"the plate or clamp"`
	ClampsPerSide *int     `yaml:"clamps_per_side" range:"0..12" doc:"clamps on each side of the profile at each support"`
	Gussets       *int     `yaml:"gussets" range:"0..8" doc:"ribs on the plate"`
	Spacing       *float64 `yaml:"support_spacing" is:"length" range:"20 mm..10 m" doc:"distance between supports along the beam; by default evenly, at most 1 m"`
}

// Stand is the supporting structure. A generated stand has one row (2 or 3 legs on foot rails) or two rows of
// legs (4 or 6) along its length; explicit nodes and members may be added or may make up the whole stand.
type Stand struct {
	Generate *Generated `yaml:"generate" doc:"a stand from a short description"`
	Nodes    []Node     `yaml:"nodes" keyed:"ID" doc:"explicit nodes, world axes, origin on the floor below the middle of the stand"`
	Members  []Member   `yaml:"members" keyed:"ID" doc:"explicit members"`
	Supports []string   `yaml:"supports" doc:"explicit nodes that stand on feet"`
	Foot     string     `yaml:"foot" part:"foot" required:"true" doc:"the foot under every leg or foot-rail end"`
	Anchored bool       `yaml:"anchored" default:"no" from:"free-standing unless said" doc:"are the feet anchored to the floor"`
	Anchor   *float64   `yaml:"anchor_tension" is:"force" range:"0 N..1 MN" doc:"design tension resistance of the anchors of one foot, from the anchor's own approval"`
	Carries  []string   `yaml:"carries" doc:"explicit stand: the members that carry the first axis (two for a pair: minus side, plus side)"`
}

// Generated describes a stand of legs, rails, braces and feet.
type Generated struct {
	Along      string  `yaml:"along" choices:"x|y" default:"x" from:"first axis" doc:"direction of its length"`
	Span       float64 `yaml:"span" is:"length" required:"true" range:"100 mm..30 m" doc:"between the outermost legs along its length, centre to centre"`
	Depth      float64 `yaml:"depth" is:"length" required:"true" range:"50 mm..20 m" doc:"one row: length of the foot rails; two rows: distance between them, centre to centre"`
	Height     float64 `yaml:"height" is:"length" required:"true" range:"50 mm..10 m" doc:"top of the top rails above the floor"`
	Legs       Legs    `yaml:"legs" required:"true" doc:"the legs"`
	TopRail    string  `yaml:"top_rail" part:"profile" required:"true" doc:"profile of the rails on top along the length"`
	CrossRail  string  `yaml:"cross_rail" part:"profile" default:"none" from:"as the top rail" doc:"profile of the rails on top across, between two rows"`
	CrossAt    string  `yaml:"cross_rail_at" choices:"all|ends" default:"all" from:"every column, unless said" doc:"columns of legs that have a rail on top across: with ends the middle stays open for a mast"`
	BottomRail string  `yaml:"bottom_rail" part:"profile" default:"none" from:"none unless said" doc:"profile of the rails near the floor along the length"`
	FootRail   string  `yaml:"foot_rail" part:"profile" default:"none" from:"none unless said" doc:"one row: profile of the rails on the floor across, under every leg; two rows: rails near the floor across"`
	BottomAt   float64 `yaml:"bottom_rail_height" is:"length" default:"150 mm" range:"20 mm..5 m" from:"clear of cleaning, assumed" doc:"centre of the bottom rails above the floor"`
	Outrigger  float64 `yaml:"outrigger" is:"length" default:"0 mm" range:"0 mm..3 m" from:"none unless said" doc:"angled feet beyond the legs, sideways"`
	Braces     []Brace `yaml:"braces" doc:"braces by plane"`
	Joint      string  `yaml:"joint" part:"joint" required:"true" doc:"joint at the corners of legs and rails"`
	BraceJoint string  `yaml:"brace_joint" part:"joint" required:"true" doc:"joint at the ends of braces"`
	FootJoint  string  `yaml:"foot_joint" part:"joint" default:"none" from:"as the corner joint" doc:"joint of legs on foot rails"`
}

// Legs are the legs of a generated stand.
type Legs struct {
	Count   int    `yaml:"count" required:"true" choices:"2|3|4|6" doc:"2 or 3 in one row, 4 or 6 in two rows"`
	Profile string `yaml:"profile" part:"profile" required:"true" doc:"their profile"`
}

// Brace is a set of like braces.
type Brace struct {
	Plane   string   `yaml:"plane" choices:"along|across|top|bottom" required:"true" doc:"vertical plane along the length, vertical plane across, horizontal at the top or the bottom"`
	Kind    string   `yaml:"kind" choices:"knee|diagonal|cross" default:"knee" from:"usual" doc:"short braces in the corners, one diagonal, or two crossing"`
	At      string   `yaml:"at" choices:"top|foot|both" default:"top" from:"usual" doc:"knee braces: at the legs' top, their foot, or both"`
	Reach   float64  `yaml:"reach" is:"length" default:"400 mm" range:"50 mm..5 m" from:"about a quarter of the height" doc:"knee braces: distance of their ends from the corner"`
	Profile string   `yaml:"profile" part:"profile" required:"true" doc:"their profile"`
	Bays    []string `yaml:"bays" choices:"front|rear|left|right|middle" doc:"only in these planes; by default in all"`
}

// Node is an explicit node.
type Node struct {
	ID string     `yaml:"-"`
	At [3]float64 `yaml:"at" is:"length" range:"-60 m..60 m" required:"true" doc:"place in world axes"`
}

// Member is an explicit member.
type Member struct {
	ID      string  `yaml:"-"`
	From    string  `yaml:"from" required:"true" doc:"node it starts at"`
	To      string  `yaml:"to" required:"true" doc:"node it ends at"`
	Profile string  `yaml:"profile" part:"profile" required:"true" doc:"its profile"`
	Roll    float64 `yaml:"roll" is:"angle" default:"0 deg" range:"-360 deg..360 deg" from:"upright" doc:"turn of the profile about its length"`
	Joint   string  `yaml:"joint" part:"joint" default:"rigid" from:"welded or continuous" doc:"joint at both ends, or rigid or hinged"`
	Role    string  `yaml:"role" choices:"leg|rail|brace|other" default:"other" from:"not stated" doc:"what it is for"`
}

// Equipment is what travels with and limits the machine.
type Equipment struct {
	Ends       []End     `yaml:"ends" keyed:"Axis" doc:"travel limits of each axis, the same at both ends"`
	Carriers   []Carrier `yaml:"carriers" keyed:"Axis" doc:"cable carrier of each axis"`
	Cables     []Cable   `yaml:"cables" doc:"cables and hoses with where they end"`
	NoCables   []string  `yaml:"no_cables" doc:"axes that no cable crosses, by declaration"`
	Guards     Guards    `yaml:"guards" doc:"fence, light curtain, doors"`
	Control    Control   `yaml:"control" doc:"reaction times and stop category"`
	Second     string    `yaml:"second_means" choices:"none|second brake|rail clamp|locking pin|counterbalance|support stand" default:"none" from:"none unless said" doc:"second, independent means that keeps a raised load from falling"`
	HazardsOff []string  `yaml:"hazards_excluded" doc:"hazards that the risk assessment has ruled out"`
	Supply     *float64  `yaml:"supply_power" is:"power" range:"1 W..1 MW" doc:"power that the supply can give"`
	Clearance  *float64  `yaml:"clearance" is:"length" range:"0 mm..10 m" doc:"free space between moving parts and fixed ones at the ends of travel"`
}

// End describes both ends of an axis's travel, measured outward from the programmed travel.
type End struct {
	Axis        string   `yaml:"-"`
	Soft        float64  `yaml:"soft" is:"length" default:"5 mm" range:"0 mm..1 m" from:"common practice, no source" doc:"software limit beyond the travel"`
	Switch      float64  `yaml:"switch" is:"length" required:"true" range:"0 mm..3 m" doc:"over-travel switch trips here, beyond the travel"`
	HardStop    float64  `yaml:"hard_stop" is:"length" required:"true" range:"0 mm..3 m" doc:"first contact of the hard stop, beyond the travel"`
	Bumper      string   `yaml:"bumper" part:"bumper" required:"true" doc:"what the carriage runs into"`
	Cam         *float64 `yaml:"cam" is:"length" range:"1 mm..3 m" doc:"length over which the switch stays actuated"`
	Takes       string   `yaml:"takes" choices:"all|rest" default:"all" from:"the safer reading" doc:"must the stop from full speed end before the hard stop (all), or may the hard stop take the rest"`
	ShortPlus   float64  `yaml:"shortened_plus" is:"length" default:"0 mm" range:"0 mm..10 m" from:"nothing in the way" doc:"something stands in the travel at the plus end by this much"`
	ShortMinus  float64  `yaml:"shortened_minus" is:"length" default:"0 mm" range:"0 mm..10 m" from:"nothing in the way" doc:"the same at the minus end"`
	SwitchPlus  *float64 `yaml:"switch_plus" is:"length" range:"-10 m..3 m" doc:"plus end, where it differs from switch"`
	SwitchMinus *float64 `yaml:"switch_minus" is:"length" range:"-10 m..3 m" doc:"minus end, where it differs from switch"`
}

// Carrier is a cable carrier on one axis.
type Carrier struct {
	Axis    string   `yaml:"-"`
	Part    string   `yaml:"part" part:"carrier" required:"true" doc:"the carrier"`
	FixedAt float64  `yaml:"fixed_at" is:"length" default:"0 mm" range:"-15 m..15 m" from:"middle of the travel" doc:"fixed end, from mid travel"`
	Length  *float64 `yaml:"length" is:"length" range:"50 mm..60 m" doc:"built length; by default the least whole number of links"`
	Support string   `yaml:"support" choices:"none|tray|gliding|hanging" default:"none" from:"free span" doc:"what carries the upper run"`
	Room    *float64 `yaml:"room" is:"length" range:"0 mm..10 m" doc:"free space beyond the travel end for the bend"`
}

// Cable is one cable or hose.
type Cable struct {
	Name     string   `yaml:"name" required:"true" doc:"what it feeds"`
	To       string   `yaml:"to" required:"true" doc:"where it ends: stand, an axis id (on the body that this axis moves), or tool"`
	Kind     string   `yaml:"kind" choices:"cable|plain|air|hydraulic|fibre" default:"cable" from:"made for carriers" doc:"cable made for carriers, plain flexible cable, air or vacuum hose, hydraulic hose, fibre"`
	Diameter float64  `yaml:"diameter" is:"length" required:"true" range:"0.5 mm..150 mm" doc:"outer diameter"`
	Mass     float64  `yaml:"mass" is:"mass_per_length" required:"true" range:"0 kg/m..50 kg/m" doc:"mass per length"`
	Bend     *float64 `yaml:"bend_factor" range:"1..100" doc:"least bend radius over diameter; by default by kind"`
}

// Guards is what keeps people away.
type Guards struct {
	Fence    *float64 `yaml:"fence_height" is:"length" range:"0 mm..10 m" doc:"height of the fence"`
	FenceGap *float64 `yaml:"fence_distance" is:"length" range:"0 mm..20 m" doc:"from the fence to the nearest moving part"`
	Hazard   *float64 `yaml:"hazard_height" is:"length" range:"0 mm..10 m" doc:"height of the nearest moving part"`
	Curtain  *float64 `yaml:"curtain_distance" is:"length" range:"0 mm..20 m" doc:"from the light curtain to the nearest moving part"`
	Detect   *float64 `yaml:"curtain_resolution" is:"length" range:"1 mm..200 mm" doc:"detection capability of the curtain"`
	DoorGap  *float64 `yaml:"door_distance" is:"length" range:"0 mm..20 m" doc:"from the door to the nearest moving part"`
	DoorLock bool     `yaml:"door_locked" default:"no" from:"not stated" doc:"is the door locked until standstill"`
	Severity string   `yaml:"severity" choices:"S1|S2|unknown" default:"unknown" from:"risk assessment" doc:"slight or serious harm"`
	Exposure string   `yaml:"exposure" choices:"F1|F2|unknown" default:"unknown" from:"risk assessment" doc:"seldom or often"`
	Avoid    string   `yaml:"avoidance" choices:"P1|P2|unknown" default:"unknown" from:"risk assessment" doc:"avoidable or hardly"`
	Standard bool     `yaml:"standards_at_hand" default:"no" from:"not stated" doc:"the safety-distance tables were compared with the standards in force"`
}

// Control holds what the controls need to react.
type Control struct {
	Reaction     float64  `yaml:"reaction" is:"time" default:"30 ms" range:"0 ms..2 s" from:"switch, controller cycle and drive response, common practice, no source" doc:"from switch or sensor to the start of braking"`
	StopCategory int      `yaml:"stop_category" default:"1" choices:"0|1" from:"controlled stop, then power removed; recommended for gravity axes" doc:"category of the emergency stop"`
	Sensor       *float64 `yaml:"sensor_time" is:"time" range:"0 ms..2 s" doc:"response of the light curtain and its logic"`
	BrakeGap     float64  `yaml:"brake_gap" is:"time" default:"0 ms" range:"0 ms..2 s" from:"brake closes before torque is removed" doc:"time between torque off and brake closed in a controlled stop"`
}

// Assumptions are the uncertain inputs and the limits of the checks.
type Assumptions struct {
	Damping       Range   `yaml:"damping" default:"0.005..0.015..0.04" range:"0.0001..0.5" from:"bolted aluminium frames with guides, common practice, no source" doc:"modal damping ratio"`
	JointFactor   Range   `yaml:"joint_stiffness" default:"family" range:"0.01..100" choices:"family" from:"range of each joint family, engineering judgement, no source" doc:"factor on the nominal stiffness of every joint; by default the family's own range"`
	FloorStiff    Range   `yaml:"floor_stiffness" is:"stiffness" default:"1e7 N/m..3e7 N/m..1e8 N/m" range:"1e4 N/m..1e12 N/m" from:"foot on a slab, engineering judgement, no source" doc:"vertical stiffness of the floor under one foot"`
	GuideFriction Range   `yaml:"guide_friction" default:"0.002..0.003..0.005" range:"0..0.5" from:"ball guides, common practice, no source" doc:"rolling friction of the guides"`
	SlotFriction  Range   `yaml:"slot_friction" default:"0.10..0.12..0.20" range:"0.01..1.5" from:"steel on anodised aluminium, common practice, no source" doc:"friction of clamped faces"`
	FloorFriction Range   `yaml:"floor_friction" default:"0.3..0.5..0.8" range:"0.01..1.5" from:"rubber foot on concrete, common practice, no source" doc:"friction of the feet"`
	Shock         float64 `yaml:"shock_factor" default:"1.2" range:"1..4" from:"handling at up to 1 m/s or so, common practice, no source" doc:"load factor of the guides' life"`
	Reliability   string  `yaml:"reliability" choices:"90|95|96|97|98|99" default:"90" from:"ISO 281:2007 basic rating life" doc:"per cent of guides and screws that reach the stated life"`
	Tight         float64 `yaml:"tight" is:"ratio" default:"85 %" range:"10 %..100 %" from:"own choice" doc:"utilisation above which a check is called tight"`

	Limits CheckLimits `yaml:"limits" doc:"limits of the checks"`
}

// Range is a value with its low and high end. In the file: one value, low..nominal..high, or the three keys.
type Range struct {
	Low, Nominal, High float64
	Family             bool // joints only: the family's own range is used
}

// CheckLimits are the editable limits of the checks.
type CheckLimits struct {
	ScrewSpeed     float64 `yaml:"screw_speed" is:"ratio" default:"80 %" range:"10 %..100 %" from:"common practice, no source" doc:"share of the critical speed that may be used"`
	Buckling       float64 `yaml:"screw_buckling" default:"2" range:"1..10" from:"common practice, no source" doc:"safety against buckling of the screw"`
	ScrewStatic    float64 `yaml:"screw_static" default:"2" range:"1..10" from:"common practice, no source" doc:"static safety of the nut"`
	GuideStatic    float64 `yaml:"guide_static" default:"4" range:"1..20" from:"overhung load, common practice, no source" doc:"static safety of the guides"`
	GuideCubeLaw   float64 `yaml:"guide_load_share" is:"ratio" default:"50 %" range:"10 %..100 %" from:"ISO 14728-1, from memory" doc:"largest share of the dynamic rating for which the life law holds"`
	MotorRms       float64 `yaml:"motor_rms_margin" default:"1.15" range:"1..3" from:"common practice, no source" doc:"margin on the motor's continuous torque"`
	MotorPeak      float64 `yaml:"motor_peak_margin" default:"1.1" range:"1..3" from:"common practice, no source" doc:"margin on the motor's peak torque"`
	InertiaBelt    float64 `yaml:"inertia_ratio_belt" default:"10" range:"1..100" from:"common practice, no source" doc:"load over motor inertia, belt and rack axes"`
	InertiaScrew   float64 `yaml:"inertia_ratio_screw" default:"5" range:"1..100" from:"common practice, no source" doc:"load over motor inertia, screw axes"`
	BeltSlack      float64 `yaml:"belt_slack" is:"ratio" default:"5 %" range:"0 %..100 %" from:"common practice, no source" doc:"least tension of the slack run over the largest pull"`
	BeltService    float64 `yaml:"belt_service" default:"1.4" range:"1..4" from:"common practice 1.2 to 2.0, no source" doc:"service factor on tooth and cord force"`
	BrakeHold      float64 `yaml:"brake_hold" default:"1.5" range:"1..5" from:"common practice 1.5 to 2.0, no source" doc:"static hold factor of the brake"`
	SupportSpacing float64 `yaml:"support_spacing" is:"length" default:"1 m" range:"0.1 m..10 m" from:"common practice, no source" doc:"largest distance between supports of a beam"`
	BeamSag        float64 `yaml:"beam_sag" is:"ratio" default:"0.0005" range:"0.00001..0.1" from:"span over 2000, common practice, no source" doc:"sag between supports over their distance"`
	Slip           float64 `yaml:"slip" default:"1.5" range:"1..5" from:"common practice, no source" doc:"safety against slip of clamped joints"`
	Stress         float64 `yaml:"stress" default:"1.5" range:"1..5" from:"static machine frames, common practice, no source" doc:"safety against yield"`
	LegBuckling    float64 `yaml:"leg_buckling" default:"3" range:"1..10" from:"common practice, no source" doc:"safety of a leg against Euler buckling"`
	Tipping        float64 `yaml:"tipping" default:"1.5" range:"1..5" from:"common practice, no source" doc:"tipping factor in operation"`
	TippingStop    float64 `yaml:"tipping_stop" default:"1.2" range:"1..5" from:"common practice, no source" doc:"tipping factor in an emergency stop or under an accidental push"`
	Sliding        float64 `yaml:"sliding" default:"2" range:"1..5" from:"continuous reversing, common practice, no source" doc:"factor against sliding of the feet"`
	ClampsPerSide  int     `yaml:"clamps_per_side" default:"2" range:"1..8" from:"common practice, no source" doc:"least number of clamps on each side of a clamped profile"`
	HeavyAxis      float64 `yaml:"heavy_axis" is:"mass" default:"50 kg" range:"1 kg..5000 kg" from:"own choice" doc:"moved mass above which a beam counts as heavy and wants a second profile under it"`
	Clearance      float64 `yaml:"clearance" is:"length" default:"5 mm" range:"0 mm..500 mm" from:"sag, play and cables that swing, common practice, no source" doc:"least distance of parts that move past each other; no safety distance"`
	StopMargin     float64 `yaml:"stop_margin" is:"ratio" default:"10 %" range:"0 %..100 %" from:"common practice, no source" doc:"margin on stopping distances"`
	FirstFreq      float64 `yaml:"first_frequency" is:"frequency" default:"4 Hz" range:"0.1 Hz..100 Hz" from:"own choice, used only where the task gives no target" doc:"first natural frequency below which the machine is called soft"`
}
