package sparse

import (
	"fmt"
	"math"
)

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

// complete factors and judges pivots that are small. The factor is first made with the suspect ones replaced, as if each
// movement were held by a spring of its own, so that all can be judged. If none has vanished, they are let pass and
// judged again as they are.
func (j *job) complete(f *Factor) error {
	bad := j.run()
	if len(bad) == 0 {
		f.finish()
		return nil
	}
	if err := j.judge(f, bad); err != nil {
		return err
	}
	j.accepted = make([]bool, j.s.n)
	var passed []suspect
	for len(bad) > 0 {
		for _, b := range bad {
			if !(math.Abs(b.pivot) <= math.MaxFloat64) {
				return j.notFinite(b)
			}
			j.accepted[b.place] = true
		}
		passed = append(passed, bad...)
		clear(j.l)
		bad = j.run()
	}
	for k := range passed {
		passed[k].pivot = j.d[passed[k].place]
	}
	f.finish()
	return j.judge(f, passed)
}

// judge returns a *SingularError if the movement that belongs to one of the pivots costs nothing.
func (j *job) judge(f *Factor, bad []suspect) error {
	var e *SingularError
	for _, b := range bad {
		if !(math.Abs(b.pivot) <= math.MaxFloat64) {
			return j.notFinite(b)
		}
		v := f.movement(b.place)
		// vᵀ K v is the pivot. Σ v² k is what the rounding errors of K, relative to its diagonal, are multiplied with in it.
		sum := 0.0
		for p, x := range v {
			sum += x * x * math.Abs(j.diagonal[p])
		}
		switch {
		case math.Abs(b.pivot) > vanished*sum:
		case e == nil:
			e = j.singular(b, v)
		default:
			e.Count++
		}
	}
	if e == nil {
		return nil
	}
	return e
}

// singular describes a vanished pivot and the movement, given by place.
func (j *job) singular(b suspect, v []float64) *SingularError {
	e := &SingularError{
		Index: int(j.s.perm[b.place]), Pivot: b.pivot, Diagonal: j.diagonal[b.place],
		Null: make([]float64, j.s.n), Count: 1,
	}
	scale := 1 / maxAbs(v)
	for p, x := range v {
		e.Null[j.s.perm[p]] = scale * x
	}
	fixSign(e.Null)
	return e
}

func (j *job) notFinite(b suspect) error {
	return fmt.Errorf("sparse: pivot at freedom %d is %g: the matrix holds NaN, infinity or numbers too large", j.s.perm[b.place], b.pivot)
}

// vanished is the energy of a movement, relative to the sum of its diagonal terms, below which it is nothing. Measured:
// free lattices and bars in all directions leave up to 4e-16, while a cantilever of a thousand members, which is as soft as
// makes sense in this arithmetic, has 7e-15.
const vanished = 4e-15

// movement returns the vector v by place with v = 1 at one place, 0 after it, and no force at any place before.
func (f *Factor) movement(place int) []float64 {
	var s Scratch
	s.prepare(f, 1)
	clear(s.x)
	s.x[place] = 1
	s.backward()
	return s.x
}
