// Package parts is the catalogue: profiles, guides, drives, motors, joints and
// everything else that a design file names by id.
//
// The catalogue starts from the materials of package material and the embedded
// parts, which are representative: invented from standard geometry, consistent
// with each other, and nobody's product. A user's part files (YAML, or CSV with units in the header) are laid
// over it; a part of theirs replaces the embedded one of the same id as a whole.
// Every part says which of the two it is, so that whoever uses it can pass the
// warning on.
//
// Section properties of profiles are computed from their outlines by package
// section; those of the embedded profiles are stored beside the data, and a test
// computes them again.
//
// The package holds data and says whether they can be true. It computes no
// drives, guides or joints. All numbers are SI; prices are in one neutral
// currency unit.
//
// # Axis beams
//
// At roll 0 a profile's local y is its width and its local z its height. On an
// axis beam the local z is the normal of the rail plane and points to the
// carriage; local x runs along the travel. Heights of an axis part are measured
// along z from the beam's centre line, offsets along y from its middle.
package parts
