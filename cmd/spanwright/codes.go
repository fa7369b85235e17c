package main

import "spanwright/diag"

// Codes of the mistakes that only a command can see.
const (
	frameModel     diag.Code = "frame-model"     // the frame model cannot be read, or contradicts itself
	mechanism      diag.Code = "mechanism"       // the structure can move without deforming
	tips           diag.Code = "tips"            // contacts open until it is free
	noMass         diag.Code = "no-mass"         // frequencies are asked for, and nothing that can move has mass
	contacts       diag.Code = "contacts"        // no set of closed contacts carries the loads
	illConditioned diag.Code = "ill-conditioned" // stiff and soft parts differ so much that nothing can be proved
	outline        diag.Code = "outline"         // the outline file gives no section
)
