package sparse

import (
	"errors"
	"fmt"
	"math"
)

// EigenOptions governs Lowest. The zero value is right for a supported and for a free structure.
type EigenOptions struct {
	// Shift is the σ of K - σM that is factored, unit of λ. It must lie below all eigenvalues. 0 chooses: 0 itself if K is
	// definite, otherwise a negative one about as far from 0 as the lowest eigenvalue that is not 0.
	Shift float64
	// Block is the number of consecutive freedoms of a node, see Analyse.
	Block int
	// Symbolic is the analysed union of the patterns of K and M; nil analyses it.
	Symbolic *Symbolic
	// Factor is a factor of K itself, if there is one already; it is used if the shift is 0.
	Factor *Factor
	// Tolerance bounds the residual, see EigenProof; 0 means 1e-8.
	Tolerance float64
	// Workers limits the goroutines; 0 means GOMAXPROCS. The result does not depend on it.
	Workers int
}

// defaultResidual is common practice for vibration modes.
const defaultResidual = 1e-8

// EigenProof says how the eigenpairs returned by Lowest were proven.
type EigenProof struct {
	Shift    float64 // σ of the iteration, unit of λ
	Limit    float64 // where eigenvalues were counted, unit of λ
	Below    int     // number of eigenvalues below Limit by Sylvester's law of inertia
	Found    int     // number of computed eigenvalues below Limit
	Residual float64 // largest |K x - λ M x| / |(λ - σ) M x| of the pairs returned, infinity norm
	Rounding float64 // what rounding of K x alone makes of Residual
	Steps    int     // blocks of vectors multiplied by (K - σM)⁻¹ M
}

// Complete reports whether the count proves that no eigenvalue below Limit was missed.
func (p EigenProof) Complete() bool { return p.Found == p.Below }

// Errors of Lowest, beside *SingularError if K and M leave a common movement free.
var (
	ErrIncomplete = errors.New("sparse: the count of eigenvalues does not agree with those found")
	ErrInaccurate = errors.New("sparse: residual of an eigenpair too large")
)

// Lowest returns the n algebraically smallest eigenpairs of K x = λ M x: values rising, each as often as its
// multiplicity, unit of λ; vectors with xᵀ M x = 1 whose largest entry is positive. K and M are symmetric, M is positive
// semi-definite (freedoms without mass are allowed); K may be singular where M is not. If M has a rank lower than n
// there are only so many.
//
// The values are counted: the number of negative pivots of K - τM is the number of eigenvalues below τ, which must be
// the number found. If it is not, the search goes on; if that does not help, the error is ErrIncomplete.
//
// Source: shift-invert Lanczos with Sturm counts, Grimes, Lewis, Simon, SIAM J. Matrix Anal. Appl. 15 (1994) 228
// (from memory).
func Lowest(K, M *Matrix, n int, opt EigenOptions) (values []float64, vectors [][]float64, proof EigenProof, err error) {
	if K.n != M.n {
		return nil, nil, proof, fmt.Errorf("sparse: K has order %d, M has order %d", K.n, M.n)
	}
	n = min(n, K.n)
	if n <= 0 {
		return nil, nil, proof, nil
	}
	p := &pencil{k: K, m: M, opt: opt, rows: newFullRows(M)}
	p.analyse()
	if err := p.chooseShift(); err != nil {
		return nil, nil, proof, err
	}
	op := p.operator()
	if err := p.ws.begin(op, n, op.f.workers, nil); err != nil {
		return nil, nil, proof, err
	}
	if err := p.prove(op, n, &proof); err != nil {
		return nil, nil, proof, err
	}
	proof.Shift = p.shift
	n = min(n, p.ws.positive())
	p.ws.extract(op, n, p.shift)
	values, vectors = p.ws.values[:n], p.ws.vectors[:n]
	p.measure(values, vectors, &proof)
	limit := opt.Tolerance
	if limit <= 0 {
		limit = defaultResidual
	}
	if !(proof.Residual <= max(limit, 100*proof.Rounding)) {
		return nil, nil, proof, fmt.Errorf("%w: %.3g", ErrInaccurate, proof.Residual)
	}
	return values, vectors, proof, nil
}

// pencil is K - σM on its way.
type pencil struct {
	k, m  *Matrix
	rows  *fullRows // M
	sym   *Symbolic
	opt   EigenOptions
	shift float64
	f     *Factor
	ws    Workspace
}

// analyse takes the analysis of the options, or of the factor if it covers M, or makes one.
func (p *pencil) analyse() {
	if p.sym = p.opt.Symbolic; p.sym != nil {
		return
	}
	union := Combine(1, p.k, 1, p.m)
	if f := p.opt.Factor; f != nil {
		if _, err := f.sym.scatter(union); err == nil {
			p.sym = f.sym
			return
		}
	}
	p.sym = Analyse(union, p.opt.Block)
}

// tolerance is what the iteration must reach so that residuals of K x - λ M x, which magnify errors, come out small enough.
func (p *pencil) tolerance() float64 {
	if p.opt.Tolerance <= 0 {
		return defaultTolerance
	}
	return min(max(p.opt.Tolerance/100, 1e-13), 1e-8)
}

func (p *pencil) operator() *factorLanes { return &factorLanes{f: p.f, m: p.rows} }

// factor factors K - shift M.
func (p *pencil) factor(shift float64) (err error) {
	p.shift = shift
	p.f, err = p.sym.Factor(Combine(1, p.k, -shift, p.m), FactorOptions{Workers: p.opt.Workers})
	return err
}

// chooseShift factors K - σM with a σ below all eigenvalues.
func (p *pencil) chooseShift() error {
	if p.opt.Shift != 0 {
		if err := p.factor(p.opt.Shift); err != nil {
			return err
		}
		if below := p.f.Negative(); below > 0 {
			return fmt.Errorf("sparse: %d eigenvalues lie below the shift %g", below, p.opt.Shift)
		}
		return nil
	}
	if p.f = p.opt.Factor; p.f != nil && p.f.Negative() == 0 {
		return nil
	}
	var singular *SingularError
	switch err := p.factor(0); {
	case err == nil && p.f.Negative() == 0:
		return nil
	case err != nil && !errors.As(err, &singular):
		return err
	}
	return p.shiftDown()
}

// shiftDown looks for a negative shift. One much smaller than the lowest eigenvalue that is not 0 costs accuracy, one
// much larger costs steps; a few steps with a first guess tell where that eigenvalue is.
func (p *pencil) shiftDown() error {
	least, most := p.ratios()
	noise := 64 * 0x1p-53 * most // what rounding of K makes of an eigenvalue 0
	s, sound := max(1e-3*least, 100*noise), 0.0
	for range 12 {
		err := p.factor(-s)
		switch {
		case err != nil && sound > 0: // too small after all
			return p.factor(-sound)
		case err != nil:
			s *= 1e3
			continue
		case p.f.Negative() > 0:
			return p.shiftBelow(s)
		}
		sound = s
		lowest, err := p.lowestFlexible(s, noise)
		if err != nil {
			return err
		}
		if lowest > s/30 && (lowest < 1e4*s || math.IsInf(lowest, 1)) {
			return nil
		}
		if s = max(lowest, 100*noise); s == sound {
			return nil
		}
	}
	return p.factor(-s)
}

// shiftBelow goes down from -s, below which there are eigenvalues, in steps that leave it within ten times the lowest.
func (p *pencil) shiftBelow(s float64) error {
	for range 40 {
		s *= 10
		if err := p.factor(-s); err == nil && p.f.Negative() == 0 {
			return nil
		}
	}
	return fmt.Errorf("sparse: no shift below all eigenvalues found: M is not semi-definite or K has no lower bound on it")
}

// ratios returns the smallest and the largest ratio of diagonal entries of K and M that are not 0. The first is an
// upper bound of the lowest eigenvalue of a definite K, the second is about the largest.
func (p *pencil) ratios() (least, most float64) {
	least = math.Inf(1)
	mass := p.m.Diagonal()
	for i, k := range p.k.Diagonal() {
		if mass[i] > 0 && k > 0 {
			least, most = min(least, k/mass[i]), max(most, k/mass[i])
		}
	}
	if math.IsInf(least, 1) {
		return 1, 0
	}
	return least, most
}

// lowestFlexible estimates from above the lowest eigenvalue that is not 0, infinite if there is none in sight.
func (p *pencil) lowestFlexible(s, noise float64) (float64, error) {
	op := p.operator()
	if err := p.ws.begin(op, 6, op.f.workers, nil); err != nil {
		return 0, err
	}
	for range 6 {
		if p.ws.block == 0 {
			break
		}
		if err := p.ws.advance(op); err != nil {
			return 0, err
		}
	}
	if !p.ws.rayleigh() {
		return 0, errNotFinite
	}
	for k := range p.ws.positive() {
		if lambda := 1/p.ws.ritz.values[k] - s; lambda > max(1e-7*s, noise) {
			return lambda, nil
		}
	}
	return math.Inf(1), nil
}

// measure finds the residuals of the pairs.
func (p *pencil) measure(values []float64, vectors [][]float64, proof *EigenProof) {
	kx, mx := make([]float64, p.k.n), make([]float64, p.k.n)
	norm := p.k.NormInf()
	for k, x := range vectors {
		p.k.MulVec(kx, x)
		p.m.MulVec(mx, x)
		scale := (values[k] - p.shift) * maxAbs(mx)
		for i := range kx {
			kx[i] -= values[k] * mx[i]
		}
		proof.Residual = max(proof.Residual, maxAbs(kx)/scale)
		proof.Rounding = max(proof.Rounding, 0x1p-53*norm*maxAbs(x)/scale)
	}
}
