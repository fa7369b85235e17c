package frame

// Answer is everything that a model asks for.
type Answer struct {
	States []*State // one a case, in the order of the cases
	Modes  *Modes   // nil if none were asked for
}

// Solve checks the model and answers it: all cases, and the modes.
//
// The error is Problems (mistakes in the model), *MechanismError (static cases of a structure that can move freely),
// *TipError, or one of ErrInaccurate, ErrNoMass, ErrIncomplete.
func Solve(m *Model) (*Answer, error) {
	s, err := Assemble(m)
	if err != nil {
		return nil, err
	}
	a := &Answer{}
	if a.States, err = s.Statics(); err != nil {
		return nil, err
	}
	if m.Modes > 0 {
		if a.Modes, err = s.Modes(m.Modes); err != nil {
			return nil, err
		}
	}
	return a, nil
}
