package quantity

import "math"

// entry is one kind with its units.
type entry struct {
	kind    Kind
	article string // "a length"
	si      string // unit of factor 1
	example string // a usual value as written
	home    string // unit in which zero is printed
	units   []row
}

// row is one way to write a kind: si = value*factor + offset.
type row struct {
	text   string // as printed
	factor float64
	offset float64  // absolute temperatures only
	from   float64  // Format uses it from this SI magnitude on; never for asked
	also   []string // further spellings, in the form that plain gives
}

// asked marks a unit that is read, and printed only on demand.
var asked = math.Inf(1)

// StandardGravity is the standard acceleration of free fall, m/s²; 3rd CGPM, 1901.
const StandardGravity = 9.80665

// Factors of units that are not powers of ten of SI units.
const (
	inch       = 0.0254     // m, exact, international yard and pound agreement, 1959
	foot       = 12 * inch  // m
	pound      = 0.45359237 // kg, exact, international yard and pound agreement, 1959
	poundForce = pound * StandardGravity
	degree     = math.Pi / 180
	arcMinute  = degree / 60
	perMinute  = 2 * math.Pi / 60 // rad/s of one revolution a minute
)

// table holds every kind with its units from the smallest that is printed to the
// largest; where a spelling occurs under several kinds, the first one names it
// in messages.
var table = []entry{
	{Length, "a length", "m", "450 mm", "mm", []row{
		{"µm", 1e-6, 0, 0, nil},
		{"mm", 1e-3, 0, 1e-4, nil},
		{"cm", 1e-2, 0, asked, nil},
		{"m", 1, 0, 1, nil},
		{"km", 1e3, 0, 1e4, nil},
		{"in", inch, 0, asked, nil},
		{"ft", foot, 0, asked, nil},
	}},
	{Mass, "a mass", "kg", "12 kg", "kg", []row{
		{"mg", 1e-6, 0, asked, nil},
		{"g", 1e-3, 0, 0, nil},
		{"kg", 1, 0, 0.1, nil},
		{"t", 1e3, 0, asked, nil},
		{"oz", pound / 16, 0, asked, nil},
		{"lb", pound, 0, asked, nil},
	}},
	{Time, "a time", "s", "0.4 s", "s", []row{
		{"µs", 1e-6, 0, 0, nil},
		{"ms", 1e-3, 0, 1e-4, nil},
		{"s", 1, 0, 0.1, nil},
		{"min", 60, 0, asked, nil},
		{"h", 3600, 0, 7200, nil},
		{"d", 86400, 0, asked, nil},
	}},
	{Speed, "a speed", "m/s", "1.2 m/s", "m/s", []row{
		{"µm/s", 1e-6, 0, asked, nil},
		{"mm/s", 1e-3, 0, 0, nil},
		{"m/s", 1, 0, 0.1, nil},
		{"mm/min", 1e-3 / 60, 0, asked, nil},
		{"m/min", 1.0 / 60, 0, asked, nil},
		{"km/h", 1 / 3.6, 0, asked, nil},
		{"in/s", inch, 0, asked, nil},
		{"in/min", inch / 60, 0, asked, nil},
		{"ft/s", foot, 0, asked, nil},
		{"ft/min", foot / 60, 0, asked, nil},
	}},
	{Acceleration, "an acceleration", "m/s²", "4 m/s2", "m/s²", []row{
		{"mm/s²", 1e-3, 0, 0, nil},
		{"m/s²", 1, 0, 0.1, nil},
		{"g", StandardGravity, 0, asked, nil},
		{"in/s²", inch, 0, asked, nil},
		{"ft/s²", foot, 0, asked, nil},
	}},
	{Jerk, "a jerk", "m/s³", "60 m/s3", "m/s³", []row{
		{"mm/s³", 1e-3, 0, 0, nil},
		{"m/s³", 1, 0, 0.1, nil},
		{"in/s³", inch, 0, asked, nil},
		{"ft/s³", foot, 0, asked, nil},
	}},
	{Force, "a force", "N", "250 N", "N", []row{
		{"mN", 1e-3, 0, asked, nil},
		{"N", 1, 0, 0, nil},
		{"daN", 10, 0, asked, nil},
		{"kN", 1e3, 0, 1e3, nil},
		{"MN", 1e6, 0, 1e6, nil},
		{"lbf", poundForce, 0, asked, nil},
		{"ozf", poundForce / 16, 0, asked, nil},
		{"kip", 1e3 * poundForce, 0, asked, nil},
	}},
	{Torque, "a torque", "N m", "2.5 N m", "N m", []row{
		{"mN m", 1e-3, 0, 0, []string{"mNm"}},
		{"N mm", 1e-3, 0, asked, []string{"Nmm"}},
		{"N cm", 1e-2, 0, asked, []string{"Ncm"}},
		{"N m", 1, 0, 0.01, []string{"Nm"}},
		{"kN m", 1e3, 0, 1e4, []string{"kNm"}},
		{"lbf in", poundForce * inch, 0, asked, []string{"in lbf"}},
		{"lbf ft", poundForce * foot, 0, asked, []string{"ft lbf"}},
		{"ozf in", poundForce * inch / 16, 0, asked, []string{"in ozf"}},
	}},
	{Angle, "an angle", "rad", "30 deg", "°", []row{
		{"arcsec", arcMinute / 60, 0, asked, nil},
		{"arcmin", arcMinute, 0, 0, nil},
		{"°", degree, 0, degree, nil},
		{"µrad", 1e-6, 0, asked, nil},
		{"mrad", 1e-3, 0, asked, nil},
		{"rad", 1, 0, asked, nil},
		{"rev", 2 * math.Pi, 0, asked, nil},
	}},
	{AngularSpeed, "an angular speed", "rad/s", "3000 rpm", "rpm", []row{
		{"rpm", perMinute, 0, 0, []string{"1/min", "/min", "min-1", "rev/min"}},
		{"rev/s", 2 * math.Pi, 0, asked, nil},
		{"rad/s", 1, 0, asked, nil},
		{"°/s", degree, 0, asked, nil},
	}},
	{Frequency, "a frequency", "Hz", "8 Hz", "Hz", []row{
		{"mHz", 1e-3, 0, asked, nil},
		{"Hz", 1, 0, 0, []string{"1/s", "/s", "s-1"}},
		{"kHz", 1e3, 0, 1e4, nil},
	}},
	{Rate, "a rate", "1/s", "540 /h", "/h", []row{
		{"/h", 1.0 / 3600, 0, 0, []string{"1/h", "h-1", "cycles/h"}},
		{"/min", 1.0 / 60, 0, asked, []string{"1/min", "min-1", "cycles/min"}},
		{"/s", 1, 0, asked, []string{"1/s", "s-1", "cycles/s"}},
	}},
	{Temperature, "a temperature", "K", "20 degC", "°C", []row{
		{"°C", 1, 273.15, 0, nil},
		{"K", 1, 0, asked, nil},
		{"°F", 5.0 / 9, 459.67 * 5 / 9, asked, nil},
	}},
	{TemperatureSpan, "a temperature difference", "K", "15 K", "K", []row{
		{"K", 1, 0, 0, nil},
		{"°C", 1, 0, asked, nil},
		{"°F", 5.0 / 9, 0, asked, nil},
	}},
	{Expansion, "a thermal expansion", "1/K", "12e-6 1/K", "1/K", []row{
		{"ppm/K", 1e-6, 0, 0, nil},
		{"1/K", 1, 0, 1e-3, []string{"/K", "K-1"}},
	}},
	{Stiffness, "a stiffness", "N/m", "180 N/um", "N/mm", []row{
		{"N/m", 1, 0, 0, nil},
		{"N/mm", 1e3, 0, 1e3, nil},
		{"kN/m", 1e3, 0, asked, nil},
		{"N/µm", 1e6, 0, asked, nil},
		{"kN/mm", 1e6, 0, 1e6, nil},
		{"MN/m", 1e6, 0, asked, nil},
		{"lbf/in", poundForce / inch, 0, asked, nil},
		{"lbf/ft", poundForce / foot, 0, asked, nil},
	}},
	{RotationalStiffness, "a rotational stiffness", "N m/rad", "2e4 N m/rad", "N m/rad", []row{
		{"N m/rad", 1, 0, 0, []string{"Nm/rad"}},
		{"kN m/rad", 1e3, 0, 1e4, []string{"kNm/rad"}},
		{"MN m/rad", 1e6, 0, 1e7, []string{"MNm/rad"}},
		{"N m/°", 1 / degree, 0, asked, []string{"Nm/deg"}},
		{"N m/arcmin", 1 / arcMinute, 0, asked, []string{"Nm/arcmin"}},
		{"lbf in/rad", poundForce * inch, 0, asked, []string{"in lbf/rad"}},
	}},
	{Stress, "a stress", "Pa", "160 MPa", "MPa", []row{
		{"Pa", 1, 0, 0, []string{"N/m2"}},
		{"kPa", 1e3, 0, 1e3, nil},
		{"bar", 1e5, 0, asked, nil},
		{"MPa", 1e6, 0, 1e5, []string{"N/mm2"}},
		{"GPa", 1e9, 0, 1e10, []string{"kN/mm2"}},
		{"psi", poundForce / (inch * inch), 0, asked, nil},
		{"ksi", 1e3 * poundForce / (inch * inch), 0, asked, nil},
	}},
	{Energy, "an energy", "J", "40 J", "J", []row{
		{"mJ", 1e-3, 0, 0, nil},
		{"J", 1, 0, 0.1, []string{"N m", "Nm"}},
		{"kJ", 1e3, 0, 1e3, nil},
		{"MJ", 1e6, 0, 1e6, nil},
		{"Wh", 3600, 0, asked, nil},
		{"kWh", 3.6e6, 0, asked, nil},
		{"lbf in", poundForce * inch, 0, asked, []string{"in lbf"}},
		{"lbf ft", poundForce * foot, 0, asked, []string{"ft lbf"}},
	}},
	{Power, "a power", "W", "750 W", "W", []row{
		{"mW", 1e-3, 0, asked, nil},
		{"W", 1, 0, 0, nil},
		{"kW", 1e3, 0, 1e3, nil},
		{"MW", 1e6, 0, 1e6, nil},
	}},
	{Inertia, "a moment of inertia", "kg m²", "1.2 kg cm2", "kg cm²", []row{
		{"g cm²", 1e-7, 0, asked, nil},
		{"kg mm²", 1e-6, 0, asked, nil},
		{"kg cm²", 1e-4, 0, 0, nil},
		{"kg m²", 1, 0, 0.1, nil},
		{"lb in²", pound * inch * inch, 0, asked, nil},
		{"lb ft²", pound * foot * foot, 0, asked, nil},
	}},
	{MassPerLength, "a mass per length", "kg/m", "3.4 kg/m", "kg/m", []row{
		{"g/m", 1e-3, 0, 0, nil},
		{"kg/m", 1, 0, 0.1, nil},
		{"lb/in", pound / inch, 0, asked, nil},
		{"lb/ft", pound / foot, 0, asked, nil},
	}},
	{Area, "an area", "m²", "850 mm2", "mm²", []row{
		{"mm²", 1e-6, 0, 0, nil},
		{"cm²", 1e-4, 0, asked, nil},
		{"m²", 1, 0, 0.1, nil},
		{"in²", inch * inch, 0, asked, nil},
		{"ft²", foot * foot, 0, asked, nil},
	}},
	{SecondMoment, "a second moment of area", "m⁴", "45 cm4", "cm⁴", []row{
		{"mm⁴", 1e-12, 0, 0, nil},
		{"cm⁴", 1e-8, 0, 1e-9, nil},
		{"m⁴", 1, 0, 1e-2, nil},
		{"in⁴", inch * inch * inch * inch, 0, asked, nil},
	}},
	{Volume, "a volume", "m³", "12 cm3", "cm³", []row{
		{"mm³", 1e-9, 0, 0, nil},
		{"cm³", 1e-6, 0, 1e-7, nil},
		{"L", 1e-3, 0, asked, []string{"l", "dm3"}},
		{"m³", 1, 0, 1e-2, nil},
		{"in³", inch * inch * inch, 0, asked, nil},
	}},
	{Density, "a density", "kg/m³", "2700 kg/m3", "kg/m³", []row{
		{"kg/m³", 1, 0, 0, nil},
		{"g/cm³", 1e3, 0, asked, []string{"kg/dm3"}},
		{"lb/in³", pound / (inch * inch * inch), 0, asked, nil},
	}},
	{Capacitance, "a capacitance", "F", "560 uF", "µF", []row{
		{"nF", 1e-9, 0, asked, nil},
		{"µF", 1e-6, 0, 0, nil},
		{"mF", 1e-3, 0, 1e-2, nil},
		{"F", 1, 0, 1, nil},
	}},
	{Voltage, "a voltage", "V", "320 V", "V", []row{
		{"mV", 1e-3, 0, asked, nil},
		{"V", 1, 0, 0, nil},
		{"kV", 1e3, 0, 1e4, nil},
	}},
	{Ratio, "a ratio", "", "85 %", "%", []row{
		{"", 1, 0, asked, nil},
		{"%", 0.01, 0, 0, nil},
	}},
}
