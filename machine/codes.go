package machine

import "spanwright/diag"

// Codes of the mistakes that only the machine shows; what a design shows too has
// its code from there. Each has its entry in docs/reference/diagnostics.md.
const (
	BadOutline      diag.Code = "bad-outline"      // a profile whose outline has no section
	CarrierPlace    diag.Code = "carrier"          // a cable carrier that cannot lie where it is put
	CarriedCount    diag.Code = "count"            // a pair that is not carried by two members
	Mismatch        diag.Code = "mismatch"         // two lengths that must be equal
	NameTaken       diag.Code = "name-taken"       // a name that the machine needs for itself
	NoPlace         diag.Code = "no-place"         // something that fits nowhere on what there is
	NoRoom          diag.Code = "no-room"          // something that does not fit between
	NoSupport       diag.Code = "no-support"       // a beam that nothing carries
	Required        diag.Code = "required"         // what may not be left out here
	TooShort        diag.Code = "too-short"        // a beam or body shorter than its travel
	UnknownMaterial diag.Code = "unknown-material" // a material that is not in the data
	UnknownPart     diag.Code = "unknown-part"     // a part that is not in the catalogue
)
