package assess

import (
	"errors"
	"slices"

	"spanwright/diag"
	"spanwright/frame"
	"spanwright/machine"
	"spanwright/structure"
)

// RefusedError says that a machine was built but is no structure that can be
// judged: the design is to be mended, and the diagnostics say where. Their files
// are those of the design as it was loaded.
type RefusedError struct {
	Diagnostics diag.List
	cause       error
}

func (e *RefusedError) Error() string { return e.Diagnostics.Error() }

// Unwrap returns what the solver said.
func (e *RefusedError) Unwrap() error { return e.cause }

// Codes of the diagnostics of a RefusedError.
const (
	Mechanism      diag.Code = "mechanism"       // it can move without deforming
	Tips           diag.Code = "tips"            // contacts open until it is free
	IllConditioned diag.Code = "ill-conditioned" // stiff and soft parts differ too much
	NoStiffness    diag.Code = "no-stiffness"    // a part's data give none
)

// refusal turns what the solver says of the design into diagnostics; other
// errors stay what they are.
func refusal(m *machine.Machine, err error) error {
	var free *frame.MechanismError
	var tip *frame.TipError
	var part *structure.PartError
	d := diag.Diagnostic{}
	switch {
	case errors.As(err, &part):
		d.Code, d.Path, d.Message = NoStiffness, part.Path, part.Err.Error()
	case errors.As(err, &tip):
		d.Code, d.Path, d.Message = Tips, "stand", tip.Error()
	case errors.As(err, &free):
		d.Code, d.Path, d.Message = Mechanism, loosePath(m, free), free.Error()
	case errors.Is(err, frame.ErrInaccurate):
		d.Code, d.Message = IllConditioned, err.Error()
	default:
		return err
	}
	d.Pos = m.Design.File.WhereKey(d.Path)
	return &RefusedError{diag.List{d}, err}
}

// loosePath is where in the design the thing stands that moves: a written-out
// node or member, the stand, or the axis whose body it is.
func loosePath(m *machine.Machine, free *frame.MechanismError) string {
	stand := m.Design.Stand
	for _, n := range stand.Nodes {
		if n.ID == free.Node && free.Member == "" {
			return "stand.nodes." + n.ID
		}
	}
	for _, mem := range stand.Members {
		if mem.ID == free.Member {
			return "stand.members." + mem.ID
		}
	}
	body := len(m.Axes)
	for _, n := range m.Nodes { // the lowest body that moves carries the rest along
		moves := n.ID == free.Node || slices.ContainsFunc(free.Moves, func(f frame.Move) bool { return f.Node == n.ID })
		if moves {
			body = min(body, n.Body)
		}
	}
	if body == 0 {
		return "stand"
	}
	return "axes." + m.Axes[body-1].Spec.ID
}
