// Package design is the design file: its types with their defaults, reading it
// with the place of every value, judging values that are seen together, its
// JSON Schema and reference page, and edits that leave the rest of the text as
// it is. It knows neither the data of parts nor any result.
//
// Numbers are SI after reading. Places and directions are in the world axes: X
// and Y level, Z up, origin on the floor under the middle of the stand; axis
// coordinates run from 0 at the minus end of the programmed travel.
package design
