package quantity

// Kind names what a number measures. Its text is the word used in tags and in
// messages.
type Kind string

// The kinds with the SI unit in which their numbers are held.
const (
	Length              Kind = "length"                 // m
	Mass                Kind = "mass"                   // kg
	Time                Kind = "time"                   // s
	Speed               Kind = "speed"                  // m/s
	Acceleration        Kind = "acceleration"           // m/s²
	Jerk                Kind = "jerk"                   // m/s³
	Force               Kind = "force"                  // N
	Torque              Kind = "torque"                 // N m
	Angle               Kind = "angle"                  // rad
	AngularSpeed        Kind = "angular_speed"          // rad/s
	Frequency           Kind = "frequency"              // Hz
	Rate                Kind = "rate"                   // cycles per second
	Temperature         Kind = "temperature"            // K, absolute
	TemperatureSpan     Kind = "temperature_difference" // K
	Expansion           Kind = "expansion"              // 1/K
	Stiffness           Kind = "stiffness"              // N/m
	RotationalStiffness Kind = "rotational_stiffness"   // N m/rad
	Stress              Kind = "stress"                 // Pa
	Energy              Kind = "energy"                 // J
	Power               Kind = "power"                  // W
	Inertia             Kind = "inertia"                // kg m²
	MassPerLength       Kind = "mass_per_length"        // kg/m
	Area                Kind = "area"                   // m²
	SecondMoment        Kind = "second_moment"          // m⁴
	Volume              Kind = "volume"                 // m³
	Density             Kind = "density"                // kg/m³
	Capacitance         Kind = "capacitance"            // F
	Voltage             Kind = "voltage"                // V
	Ratio               Kind = "ratio"                  // 1
)

// Kinds lists every kind in a fixed order.
func Kinds() []Kind {
	out := make([]Kind, len(table))
	for i := range table {
		out[i] = table[i].kind
	}
	return out
}

// Known tells whether there is such a kind.
func (k Kind) Known() bool { return k.entry() != nil }

// Article returns the kind in running text, e.g. "a length".
func (k Kind) Article() string {
	if e := k.entry(); e != nil {
		return e.article
	}
	return "a " + string(k)
}

// Example returns a value as it may be written, e.g. "450 mm".
func (k Kind) Example() string {
	if e := k.entry(); e != nil {
		return e.example
	}
	return ""
}

// SI returns the name of the unit in which the number is held, e.g. "N m/rad".
// It is empty for a ratio.
func (k Kind) SI() string {
	if e := k.entry(); e != nil {
		return e.si
	}
	return ""
}

// Units lists the main spelling of every unit in which the kind may be written.
func (k Kind) Units() []string {
	e := k.entry()
	if e == nil {
		return nil
	}
	var out []string
	for _, u := range e.units {
		out = append(out, u.text)
	}
	return out
}

func (k Kind) entry() *entry {
	for i := range table {
		if table[i].kind == k {
			return &table[i]
		}
	}
	return nil
}
