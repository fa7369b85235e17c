package parts

import (
	"fmt"

	"spanwright/decode"
	"spanwright/diag"
)

// Codes of the mistakes that a part can have beyond those of package decode.
const (
	MissingForKind diag.Code = "part-incomplete"  // needed because of another value
	Surplus        diag.Code = "part-surplus"     // does nothing, because of another value
	Contradiction  diag.Code = "part-contradicts" // two values cannot both be true
	Implausible    diag.Code = "part-implausible" // no such part can exist; usually a slip of units
	BadOutline     diag.Code = "part-outline"     // the numbers give no section
	DuplicatePart  diag.Code = "part-duplicate"   // the id is taken
	UnknownPart    diag.Code = "unknown-part"     // names a part that is not there
	UnknownKind    diag.Code = "unknown-kind"     // a table that does not say what it lists
	UnknownColumn  diag.Code = "unknown-column"   // a column that the kind does not have
	BadTable       diag.Code = "table"            // a table that cannot be read
)

// review collects what is wrong with one part.
type review struct {
	list   *diag.List
	path   string                    // e.g. belt.belt-8x30
	where  func(key string) diag.Pos // place of the value, or of the part where it is not written
	broken func(key string) bool     // refused before: follow-on mistakes are not reported
}

// refuse reports a mistake in the value of the key.
func (r *review) refuse(key string, code diag.Code, message, hint string) {
	if r.broken(key) {
		return
	}
	r.list.Add(diag.Diagnostic{Pos: r.where(key), Code: code, Path: decode.Join(r.path, key), Message: message, Hint: hint})
}

// need reports a value that is absent although another one asks for it.
func (r *review) need(present bool, key, because string) {
	if !present {
		r.refuse(key, MissingForKind, "is missing: "+because, "")
	}
}

// surplus reports a value that does nothing.
func (r *review) surplus(present bool, key, because string) {
	if present {
		r.refuse(key, Surplus, "does nothing here: "+because, "remove it")
	}
}

// order reports two values of which the second should not be below the first.
func (r *review) order(low float64, lowKey string, high float64, highKey string) {
	if !(low <= high) && !r.broken(lowKey) {
		r.refuse(highKey, Contradiction, fmt.Sprintf("is below %s (%.4g against %.4g in SI)", lowKey, high, low), "")
	}
}

// lookup reports a table whose columns do not match or whose first one does not rise.
func (r *review) lookup(at []float64, atKey string, values []float64, key string) {
	if r.broken(atKey) {
		return
	}
	if len(at) != len(values) {
		r.refuse(key, Contradiction, fmt.Sprintf("has %d values, %s has %d; they belong together", len(values), atKey, len(at)), "")
	}
	for i := 1; i < len(at); i++ {
		if !(at[i] > at[i-1]) {
			r.refuse(atKey, Contradiction, "does not rise from each value to the next", "sort both lists by "+atKey)
			return
		}
	}
}

// falling reports a list that rises somewhere.
func (r *review) falling(values []float64, key string) {
	for i := 1; i < len(values); i++ {
		if !(values[i] <= values[i-1]) {
			r.refuse(key, Contradiction, fmt.Sprintf("rises from value %d to value %d; it can only fall", i, i+1), "")
			return
		}
	}
}

// lever reports a moment that belongs to no lever of a size that can be: a slip
// of units. The bounds are a tenth of the smallest and ten times the largest
// usual ones (common practice, no source).
func (r *review) lever(moment float64, key string, force float64, forceKey string) {
	if l := moment / force; !(l >= 3e-4 && l <= 1) && !r.broken(forceKey) {
		r.refuse(key, Implausible, fmt.Sprintf("is %s times %.3g m; no block is of that size", forceKey, l), "check the units of both")
	}
}

// unsound tells whether the value of a key was refused, or is needed and not
// there: then it has been reported, and what follows from it is not.
func unsound(rec *decode.Record, p Part, path, key string) bool {
	if rec.Given(path) {
		return !rec.Sound(path)
	}
	f := decode.Describe(p).Field(key)
	return f != nil && f.Required
}
