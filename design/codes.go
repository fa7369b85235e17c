package design

import "spanwright/diag"

// Codes of the mistakes that show when the values of a design are seen
// together. Those of single values are in packages decode and quantity.
const (
	FileRead        diag.Code = "file-read"
	AxisCount       diag.Code = "axis-count"
	AxisName        diag.Code = "axis-name"
	AxisSquare      diag.Code = "axis-square"
	Facing          diag.Code = "facing"
	PairPlace       diag.Code = "pair-place"
	PairShaft       diag.Code = "pair-shaft"
	CounterEmpty    diag.Code = "counterbalance-empty"
	RangeOrder      diag.Code = "range-order"
	UnknownAxis     diag.Code = "unknown-axis"
	UnknownPoint    diag.Code = "unknown-point"
	UnknownNode     diag.Code = "unknown-node"
	UnknownMember   diag.Code = "unknown-member"
	Coordinate      diag.Code = "coordinate"
	StandEmpty      diag.Code = "stand-empty"
	StandSupports   diag.Code = "stand-supports"
	StandCarries    diag.Code = "stand-carries"
	NodePlace       diag.Code = "node-place"
	NodeUnused      diag.Code = "node-unused"
	MemberLength    diag.Code = "member-length"
	NamedTwice      diag.Code = "named-twice"
	CableEnd        diag.Code = "cable-end"
	PartFilePlace   diag.Code = "part-file-place"
	PartFileMissing diag.Code = "part-file-missing"
	PartFileKind    diag.Code = "part-file-kind"
)
