// Package quantity reads and prints numbers with units: "1.8 m", "540 /h",
// "85 %". It is the only place that knows unit names.
//
// Every kind of quantity (length, mass, ...) has one SI unit, in which the
// number is held, and a closed table of the units in which it may be written.
// The kind is asked for, never guessed: "1.5 g" is 14.71 m/s² where an
// acceleration is asked and 0.0015 kg where a mass is asked, and "5 J" is
// refused as a torque although a joule has the dimension of a newton metre.
//
// An absolute temperature is held in kelvin: "30 degC" is 303.15. A difference
// of temperatures is a kind of its own without the offset. A ratio is held as
// 0 to 1 and may be written "85 %" or 0.85. An angle is held in radians, an
// angular speed in rad/s, a rate (cycles in a time) in 1/s.
//
// Accepted in unit names: ² ³ ⁴ or ^2, µ or u, ° or deg, and a space, a dot in
// the middle or * for the product ("N m", "N·m"; also "Nm"). A number is
// decimal with an optional exponent of at most two digits; there is no comma,
// no thousands separator, no infinity.
//
// The package does not compute with units and does not know money, counts or
// directions.
package quantity
