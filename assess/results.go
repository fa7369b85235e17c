package assess

import (
	"encoding/json"
	"math"

	"spanwright/machine"
)

// Number is a float64 that is written as null where it is not finite.
type Number float64

// MarshalJSON writes a number or null.
func (n Number) MarshalJSON() ([]byte, error) {
	if math.IsNaN(float64(n)) || math.IsInf(float64(n), 0) {
		return []byte("null"), nil
	}
	return json.Marshal(float64(n))
}

// Results are the numbers of an assessment, SI, the unit in each key.
type Results struct {
	CycleTime  Number                 `json:"cycle_time_s"`
	Rate       Number                 `json:"rate_per_h"`
	Axes       map[string]*AxisResult `json:"axes"`
	Tool       ToolResult             `json:"tool"`
	Stand      StandResult            `json:"stand"`
	Mass       Number                 `json:"mass_kg"`
	Cost       Number                 `json:"cost"`
	Power      PowerResult            `json:"power"`
	Safety     SafetyResult           `json:"safety"`
	Maintained []MaintenanceTask      `json:"maintenance"`
	Cables     []CableResult          `json:"cables"`
	Structural []LevelResult          `json:"structure_levels"`
}

// AxisResult is one axis over the cycle.
type AxisResult struct {
	Moved         Number   `json:"moved_mass_kg"`
	PeakSpeed     Number   `json:"peak_speed_m_s"`
	PeakAccel     Number   `json:"peak_accel_m_s2"`
	PeakThrust    Number   `json:"peak_thrust_N"`
	RMSThrust     Number   `json:"rms_thrust_N"`
	MotorPeak     Number   `json:"motor_peak_Nm"`
	MotorRMS      Number   `json:"motor_rms_Nm"`
	MotorSpeed    Number   `json:"motor_peak_speed_rad_s"`
	MotorMean     Number   `json:"motor_mean_speed_rad_s"`
	InertiaRatio  Number   `json:"inertia_ratio"`
	Regenerated   Number   `json:"regenerated_energy_J"`
	BlockPeak     Number   `json:"block_peak_load_N"`
	BlockMean     Number   `json:"block_mean_load_N"`
	GuideLife     Number   `json:"guide_life_years"`
	StopDistance  Number   `json:"stop_distance_m"`
	StopTime      Number   `json:"stop_time_s"`
	DriveStiff    Number   `json:"drive_stiffness_min_N_m"`
	Travelled     Number   `json:"travel_per_cycle_m"`
	BeamLength    Number   `json:"beam_length_m"`
	Governs       []string `json:"move_limits"` // what limits each move: speed, acceleration, jerk
	FallDistance  Number   `json:"power_off_drop_m"`
	Friction      Number   `json:"friction_N"`      // largest running friction, cable carrier included
	Repeatability Number   `json:"repeatability_m"` // lost motion: what coming from the other side makes
	AxisEquipment
}

// ToolResult is the tool point over the work space.
type ToolResult struct {
	SagMax        Number     `json:"sag_max_m"`
	SagVariation  Number     `json:"sag_variation_m"`
	PayloadSag    Number     `json:"payload_sag_max_m"`
	FirstFreq     Number     `json:"first_frequency_hz"`
	FirstFreqAt   []Number   `json:"first_frequency_at"`
	SettleTime    Number     `json:"settle_time_s"`
	SettleAt      string     `json:"settle_worst_step"`
	Compliance    Number     `json:"worst_compliance_m_N"`
	StiffnessX    Number     `json:"least_stiffness_x_N_m"` // against a force along world x
	StiffnessY    Number     `json:"least_stiffness_y_N_m"`
	Repeatability Number     `json:"repeatability_m"`
	Accuracy      Number     `json:"accuracy_m"`
	Map           []MapPoint `json:"map"`

	Response   []ResponsePoint `json:"response"` // at the pose with the lowest frequency, loaded, nominal stiffness and damping
	ResponseAt []Number        `json:"response_at_m"`
}

// ResponsePoint is the tool point's movement per force at one frequency, along
// world x, y, z.
type ResponsePoint struct {
	Hz Number `json:"frequency_hz"`
	X  Number `json:"x_m_N"`
	Y  Number `json:"y_m_N"`
	Z  Number `json:"z_m_N"`
}

// MapPoint is one place of the work space, loaded.
type MapPoint struct {
	Q          []Number  `json:"q_m"`
	X          Number    `json:"x_m"`
	Y          Number    `json:"y_m"`
	Z          Number    `json:"z_m"`
	Deflection [3]Number `json:"deflection_m"` // of the tool point under gravity, loaded, world axes
	Frequency  Number    `json:"first_frequency_hz"`
}

// StandResult is the stand as a whole.
type StandResult struct {
	Mass          Number     `json:"mass_kg"`
	TippingFactor Number     `json:"tipping_factor"`
	TippingEdge   string     `json:"tipping_edge"`
	FootLoads     []FootLoad `json:"foot_loads"`
}

// FootLoad is the range of one foot's vertical load over all poses and cases.
type FootLoad struct {
	Foot string `json:"foot"`
	X    Number `json:"x_m"`
	Y    Number `json:"y_m"`
	Min  Number `json:"min_N"`
	Max  Number `json:"max_N"`
}

// PowerResult is the electrical demand of all drives together, cabinet and
// tool not counted.
type PowerResult struct {
	Peak     Number `json:"peak_W"`               // largest at one time of the cycle
	Mean     Number `json:"mean_W"`               // with all braking energy burnt
	Recovery Number `json:"mean_with_recovery_W"` // with all braking energy used by other axes or kept
	RMS      Number `json:"rms_W"`                // of the drawn power
	Sum      Number `json:"sum_of_peaks_W"`       // what would be needed if the axes' peaks coincided
}

// LevelResult compares the ends of the uncertain stiffnesses.
type LevelResult struct {
	Level        string `json:"level"`
	SagMax       Number `json:"sag_max_m"`
	SagVariation Number `json:"sag_variation_m"`
	FirstFreq    Number `json:"first_frequency_hz"`
}

func newResults(m *machine.Machine) Results {
	nan := Number(math.NaN())
	r := Results{
		Axes: map[string]*AxisResult{}, Cost: nan, Power: PowerResult{nan, nan, nan, nan, nan},
		Safety: SafetyResult{StopTime: nan, Functions: []string{}, Hazards: []Hazard{}}, Maintained: []MaintenanceTask{}, Cables: []CableResult{},
	}
	for _, a := range m.Axes {
		r.Axes[a.Spec.ID] = &AxisResult{AxisEquipment: notComputed()}
	}
	return r
}
