// Package section computes cross-section properties of straight bars from
// their outlines: area, second moments, principal axes, elastic moduli,
// torsion constant, shear areas, shear centre, and from these the stresses of
// given internal forces and the buckling resistance of a column.
//
// Outlines come from point lists, files or generators (T-slot profiles, hollow
// sections, tubes, flats, angles, channels). Torsion, shear areas and shear
// centre are not estimated with thin-wall formulas but solved as field
// problems, each from two sides, so every one carries a bracket that holds the
// exact value of the outline as drawn.
//
// It does not compute: warping (Vlasov) torsion, plastic moduli, local or
// distortional buckling beyond a wall-slenderness note, composite sections,
// welds and holes across the bar.
//
// Axes. Coordinates are y and z in metres, y to the right and z up, seen with
// the bar's own x axis coming towards the viewer. They are the local axes of a
// frame member: when a member lies horizontal at roll 0, section y is
// horizontal and section z points up. Iy = integral z² dA belongs to bending in
// the x-z plane (a vertical load on a horizontal beam), Iz = integral y² dA to
// bending in the x-y plane. Stress is positive in tension; My = integral sigma
// z dA, Mz = -integral sigma y dA.
//
// SI units throughout: m, m², m⁴, N, N m, Pa, rad. The package imports no other
// of this program and knows no machine.
package section
