package search

// Drive is what moves one axis.
type Drive struct {
	Part  string `json:"part"`            // axis part
	Screw string `json:"screw,omitempty"` // other than that of the part
	Motor string `json:"motor"`
	Gear  string `json:"gear"`  // or none
	Brake string `json:"brake"` // or none
}

// AxisChoice is everything that is chosen of one axis.
type AxisChoice struct {
	Drive
	Join      string `json:"join"`       // plate or clamp
	UnderBeam string `json:"under_beam"` // or none
}

// Frame is what is chosen of the stand; lengths and places follow.
type Frame struct {
	Legs       int     `json:"legs"`
	Leg        string  `json:"leg"`
	TopRail    string  `json:"top_rail"`
	CrossRail  string  `json:"cross_rail"`
	BottomRail string  `json:"bottom_rail"`
	FootRail   string  `json:"foot_rail"`
	Joint      string  `json:"joint"`
	BraceJoint string  `json:"brace_joint"`
	Brace      string  `json:"brace"`
	Reach      float64 `json:"brace_reach_m"`
	Foot       string  `json:"foot"`
	Width      float64 `json:"width_over_height"` // one row of legs: length of the foot rails over the height
}

// Choice is one combination.
type Choice struct {
	Pace  Pace         `json:"pace"`
	Axes  []AxisChoice `json:"axes"` // from the stand to the tool
	Frame Frame        `json:"frame"`
}

// fitted is what follows from a choice: derived by rules, not searched.
type fitted struct {
	limits   []axisLimits
	stops    []float64 // deceleration of an emergency stop, m/s²
	hard     []float64 // hard stops beyond the travel, m
	bumpers  []string
	carriers []carrierFit
	spacing  float64 // of the runways, m
	bridge   float64 // length of the bridge's beam, m
	span     float64 // m
	depth    float64 // m
	height   float64 // m
	overhang float64 // of the mast's lower end beyond its blocks, m; 0: that of the axis part
	drop     float64 // of it what makes room for the tool, m
	aside    float64 // of the spacing what makes room, m
	curtain  float64 // m; 0 where no guard is placed
}

// carrierFit is a cable carrier and what carries its upper run.
type carrierFit struct{ part, support string }
