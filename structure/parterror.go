package structure

// PartError says that a part's data give no stiffness, and where in the design
// the part is used.
type PartError struct {
	Path string // e.g. axes.x.join
	Err  error
}

func (e *PartError) Error() string { return e.Path + ": " + e.Err.Error() }

// Unwrap returns what is wrong with the data.
func (e *PartError) Unwrap() error { return e.Err }
