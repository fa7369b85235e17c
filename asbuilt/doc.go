// Package asbuilt compares the machine as it was built with the machine as it
// was computed: it lays down the acceptance test with what is predicted for
// each reading, writes and reads the data forms, evaluates them (positioning to
// ISO 230-2, poses to ISO 9283, pull and tap tests, stops, brakes, warm-up,
// geometry), and finds the joint stiffness and damping that explain what was
// measured.
//
// It never drops a reading by itself: one that stands apart is named, and left
// out only on request. Numbers are SI; the forms are in mm, N, Hz as their
// columns say. Places are in the world frame of package machine.
package asbuilt
