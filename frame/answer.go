package frame

import (
	"encoding/json"
	"math"
	"strconv"
)

// MarshalJSON writes the answer in the neutral JSON form: cases and nodes in the order of the model, numbers with all
// their digits.
func (a *Answer) MarshalJSON() ([]byte, error) {
	w := writer{}
	w.raw(`{"cases":{`)
	for i, s := range a.States {
		w.comma(i)
		w.key(s.Case)
		w.state(s)
	}
	w.raw(`},"modes":[`)
	if a.Modes != nil {
		for i, hz := range a.Modes.Hz {
			w.comma(i)
			w.raw(`{"hz":`)
			w.number(hz)
			w.raw(`}`)
		}
	}
	w.raw("]}")
	return w.b, nil
}

// writer appends JSON.
type writer struct{ b []byte }

func (w *writer) raw(s string) { w.b = append(w.b, s...) }

func (w *writer) comma(i int) {
	if i > 0 {
		w.b = append(w.b, ',')
	}
}

// key writes a text as the key of an object.
func (w *writer) key(s string) {
	w.text(s)
	w.b = append(w.b, ':')
}

// number writes a finite number; others, which no proven solution has, as null.
func (w *writer) number(x float64) {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		w.raw("null")
		return
	}
	if x == 0 {
		x = 0 // no minus sign
	}
	w.b = strconv.AppendFloat(w.b, x, 'g', -1, 64)
}

func (w *writer) six(v [6]float64) {
	w.b = append(w.b, '[')
	for i, x := range v {
		w.comma(i)
		w.number(x)
	}
	w.b = append(w.b, ']')
}

func (w *writer) state(s *State) {
	w.raw(`{"displacements":{`)
	for i := range s.model.Nodes {
		w.comma(i)
		w.key(s.model.Nodes[i].ID)
		w.six([6]float64(s.u[6*i : 6*i+6]))
	}
	w.raw(`},"reactions":{`)
	n := 0
	for i, held := range s.held() {
		if held {
			w.comma(n)
			n++
			w.key(s.model.Nodes[i].ID)
			w.six([6]float64(s.reaction[6*i : 6*i+6]))
		}
	}
	w.raw(`},"member_forces":{`)
	for i := range s.model.Members {
		w.comma(i)
		w.key(s.model.Members[i].ID)
		from := s.barForces(s.first[i])
		to := s.barForces(s.first[i+1] - 1)
		w.raw(`{"from":`)
		w.six([6]float64(from[:6]))
		w.raw(`,"to":`)
		w.six([6]float64(to[6:]))
		w.raw(`}`)
	}
	w.raw(`},"residual":`)
	w.number(s.Proof.Residual)
	w.raw("}")
}

// text writes a JSON string.
func (w *writer) text(s string) {
	quoted, err := json.Marshal(s) // a string always can be
	if err == nil {
		w.b = append(w.b, quoted...)
	}
}
