package sparse

import "errors"

// prove iterates until n eigenpairs have converged, counts the eigenvalues below a limit above them, and goes on until
// as many have been found.
func (p *pencil) prove(op *factorLanes, n int, proof *EigenProof) error {
	if err := p.converge(op, n); err != nil {
		return err
	}
	known := min(n, p.ws.positive())
	if known == 0 {
		return nil
	}
	var err error
	proof.Limit = p.place(known, n+6)
	if proof.Limit, proof.Below, err = p.below(proof.Limit); err != nil {
		return err
	}
	proof.Found = p.found(proof.Limit)
	// Every round begins with new random vectors and so finds up to lanesMany more of a multiple eigenvalue.
	for range 4 + proof.Below/lanesMany {
		if proof.Found >= proof.Below {
			break
		}
		if p.f == nil {
			if err := p.factor(p.shift); err != nil {
				return err
			}
			op.f = p.f
		}
		converged := min(proof.Found, p.ws.accurate(p.tolerance()))
		if err := p.ws.widen(op, proof.Below, converged); err != nil {
			return err
		}
		if err := p.ws.iterate(op, proof.Below, 100+20*proof.Below, p.tolerance()); err != nil {
			return err
		}
		proof.Found = p.found(proof.Limit)
	}
	proof.Steps = p.ws.steps
	if !proof.Complete() {
		return ErrIncomplete
	}
	return nil
}

// found is the number of Ritz values that stand for eigenvalues below a limit.
func (p *pencil) found(limit float64) int {
	count := 0
	for count < p.ws.positive() && p.shift+1/p.ws.ritz.values[count] < limit {
		count++
	}
	return count
}

// converge iterates for n eigenpairs. If they lie so close together, seen from the shift, that this takes long, it moves
// the shift towards them.
func (p *pencil) converge(op *factorLanes, n int) error {
	for range 3 {
		err := p.ws.iterate(op, n, 24+n, p.tolerance())
		if !errors.Is(err, ErrNoConvergence) {
			return err
		}
		if err := p.approach(op, n); err != nil {
			return err
		}
	}
	return p.ws.iterate(op, n, 100+20*n, p.tolerance())
}

// approach moves the shift to below the lowest Ritz value by as much as the first n are spread, and starts anew from
// what has been found. It leaves the shift where it is if that is not much nearer.
func (p *pencil) approach(op *factorLanes, n int) error {
	known := min(n, p.ws.positive())
	if known == 0 || p.opt.Shift != 0 {
		return nil
	}
	near, far := 1/p.ws.ritz.values[0], 1/p.ws.ritz.values[known-1]
	if step := near - (far - near); step > far/4 {
		found := p.ws.keep(op, known, p.shift)
		from := p.shift
		for {
			if err := p.factor(from + step); err == nil && p.f.Negative() == 0 {
				break
			}
			if step /= 2; step < far/64 {
				if err := p.factor(from); err != nil {
					return err
				}
				break
			}
		}
		op.f = p.f
		return p.ws.begin(op, n, op.f.workers, found)
	}
	return nil
}

// place chooses where to count: in the widest gap, relative to the distance from the shift, above the first of the pairs
// from the n-th on that are known well enough.
func (p *pencil) place(n, last int) (limit float64) {
	theta, residual := p.ws.ritz.values, p.ws.residual
	known := p.ws.positive()
	widest := -1.0
	for c := n; c <= min(last, known); c++ {
		if c > n && !(residual[c-1] <= 1e-4*theta[c-1]) {
			break
		}
		at := 1 / theta[c-1]
		next := 1.1 * at // nothing more is known of
		if c < known {
			next = 1 / (theta[c] + residual[c]) // not more than the true one, if this is it
		}
		if gap := (next - at) / next; gap > widest {
			widest, limit = gap, p.shift+at+(next-at)/3
		}
	}
	if widest < 1e-9 { // all in one cluster: count right above it
		limit = p.shift + (1+1e-9)/theta[n-1]
	}
	return limit
}

// below counts the eigenvalues below a limit. A limit that hits an eigenvalue is moved a little; where it was counted is
// returned.
func (p *pencil) below(limit float64) (at float64, count int, err error) {
	for range 4 {
		var f *Factor
		shifted := Combine(1, p.k, -limit, p.m)
		f, err = p.sym.factor(shifted, FactorOptions{Workers: p.opt.Workers, PivotTolerance: 1e-13}, p.old())
		if err == nil && p.sound(f, shifted) {
			return limit, f.Negative(), nil
		}
		var singular *SingularError
		if err != nil && !errors.As(err, &singular) {
			return limit, 0, err
		}
		limit -= 1e-5 * (limit - p.shift)
	}
	if err == nil {
		err = ErrIncomplete
	}
	return limit, 0, err
}

// old gives up the factor of the iteration, unless it belongs to the caller.
func (p *pencil) old() *Factor {
	f := p.f
	if f == p.opt.Factor {
		return nil
	}
	p.f = nil
	return f
}

// sound solves with the factor of an indefinite matrix and reports whether the backward error is small, so that the
// factor, and with it the count, is that of a matrix very close by.
func (p *pencil) sound(f *Factor, m *Matrix) bool {
	b, x, r := make([]float64, m.n), make([]float64, m.n), make([]float64, m.n)
	for i := range b {
		b[i] = float64(scatterBits(uint64(i))>>11)/(1<<53) - 0.5
	}
	f.Solve(x, b)
	m.MulVec(r, x)
	for i := range r {
		r[i] -= b[i]
	}
	return maxAbs(r) <= maxBackwardError*(m.NormInf()*maxAbs(x)+maxAbs(b))
}

// maxBackwardError separates factors without growth (measured: below 1e-13) from those spoilt by a pivot near 0.
const maxBackwardError = 1e-10
