package sparse

import "fmt"

// SingularError says that a matrix is singular to working precision, and how the structure it describes can move.
type SingularError struct {
	Index    int       // freedom (original number) whose pivot vanished
	Pivot    float64   // the pivot, unit of the matrix
	Diagonal float64   // the matrix's own diagonal entry there
	Null     []float64 // movement that needs no force, original order, largest entry 1
	Count    int       // pivots that vanished: independent movements
}

// Error names the freedom and the pivot.
func (e *SingularError) Error() string {
	return fmt.Sprintf("sparse: singular at freedom %d: pivot %.3g against diagonal %.3g", e.Index, e.Pivot, e.Diagonal)
}
