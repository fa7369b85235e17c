package assess

import (
	"math"
	"slices"
)

// AxisEquipment is what limits, stops and feeds one axis. A number that was not
// computed is null.
type AxisEquipment struct {
	PowerOff      Number         `json:"power_off_distance_m"` // farthest the axis runs on without power: coasting, or until the brake holds
	PowerOffTime  Number         `json:"power_off_time_s"`
	Runaway       Number         `json:"runaway_stop_distance_m"` // the drive pushes at its peak until the controlled stop acts
	ImpactSpeed   Number         `json:"hard_stop_speed_m_s"`     // of the hit with the most energy
	ImpactEnergy  Number         `json:"hard_stop_energy_J"`
	ImpactForce   Number         `json:"hard_stop_force_N"`
	BrakeTest     Number         `json:"brake_test_torque_Nm"`     // that the brakes must hold, at the brake shaft
	BrakeTestDown Number         `json:"brake_test_motor_down_Nm"` // motor torque along the load; gravity gives the rest
	BrakeTestUp   Number         `json:"brake_test_motor_up_Nm"`   // motor torque against the load
	PowerPeak     Number         `json:"power_peak_W"`             // drawn from the supply
	PowerMean     Number         `json:"power_mean_W"`             // with all braking energy burnt
	Drawn         Number         `json:"energy_drawn_J"`           // a cycle
	Returned      Number         `json:"energy_returned_J"`        // a cycle, to the bus
	CableCurrent  Number         `json:"motor_cable_current_A"`    // of one motor at rated power
	CableSection  Number         `json:"motor_cable_section_m2"`   // proposal
	Ends          []EndPlaces    `json:"ends"`                     // in axis coordinates, minus end first
	Homing        *HomingResult  `json:"homing,omitempty"`         // null where the file declares no cam
	Carrier       *CarrierResult `json:"cable_carrier,omitempty"`  // null without a carrier
}

// EndPlaces are the places along one end of travel, in the axis coordinate.
type EndPlaces struct {
	End      string `json:"end"` // minus, plus
	Soft     Number `json:"software_limit_m"`
	Switch   Number `json:"switch_m"`
	HardStop Number `json:"hard_stop_m"`
	Last     Number `json:"bumper_compressed_m"`
}

// HomingResult is how an axis finds its reference.
type HomingResult struct {
	Turn   int      `json:"turn"` // 1: this axis homes first
	Search Number   `json:"search_speed_m_s"`
	Creep  Number   `json:"creep_speed_m_s"`
	PerRev Number   `json:"travel_per_motor_turn_m"` // the index must lie at a quarter to three quarters of it behind the mark
	Steps  []string `json:"steps"`
}

// CarrierResult is a cable carrier as built.
type CarrierResult struct {
	Links    int    `json:"links"`
	Length   Number `json:"length_m"`
	Overhang Number `json:"room_needed_m"`   // beyond the programmed travel, on the side of the bend
	Side     string `json:"bend_end"`        // minus, plus
	Height   Number `json:"height_needed_m"` // free height
	Moving   Number `json:"moving_mass_kg"`
	Drag     Number `json:"drag_N"`         // against the motion
	Push     Number `json:"push_to_bend_N"` // constant
}

// CableResult is the travelling part of one cable; its fixed runs are not known.
type CableResult struct {
	Name     string   `json:"name"`
	To       string   `json:"to"`
	Carriers []string `json:"carriers"` // axes, from the stand on
	Length   Number   `json:"length_in_carriers_m"`
}

// SafetyResult is what the risk assessment starts from. It states nothing as
// reached.
type SafetyResult struct {
	StopTime  Number   `json:"stop_time_s"`    // longest stop of any axis by the stop category, without reaction
	Level     string   `json:"required_level"` // estimate from three declared letters; "" if one is missing
	Functions []string `json:"safety_functions"`
	Hazards   []Hazard `json:"hazards"`
}

// Hazard is one line of the list for the risk assessment.
type Hazard struct {
	Kind     string `json:"kind"`
	Where    string `json:"where"`
	Measures string `json:"usual_measures"`
}

// MaintenanceTask is one row of the maintenance plan, in running time.
type MaintenanceTask struct {
	Item   string `json:"item"`
	First  Number `json:"first_s"`
	Every  Number `json:"every_s"`
	Action string `json:"action"`
	Source string `json:"source"`
}

// notComputed is the state before any study.
func notComputed() AxisEquipment {
	nan := Number(math.NaN())
	return AxisEquipment{
		PowerOff: nan, PowerOffTime: nan, Runaway: nan, ImpactSpeed: nan, ImpactEnergy: nan, ImpactForce: nan,
		BrakeTest: nan, BrakeTestDown: nan, BrakeTestUp: nan, PowerPeak: nan, PowerMean: nan, Drawn: nan, Returned: nan,
		CableCurrent: nan, CableSection: nan, Ends: []EndPlaces{},
	}
}

// Hazards is the list that the risk assessment starts from.
func (a *Assessment) Hazards() []Hazard { return a.Results.Safety.Hazards }

// Cautions are the safety words of all checks, each once, in the order of the ledger.
func (a *Assessment) Cautions() []string {
	var out []string
	for _, c := range a.Checks {
		if c.Caution != "" && !slices.Contains(out, c.Caution) {
			out = append(out, c.Caution)
		}
	}
	return out
}
