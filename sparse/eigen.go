package sparse

import (
	"errors"
	"fmt"
	"math"
	"sort"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// EigenOptions governs Lowest. The zero value is right for a supported or a free structure.
type EigenOptions struct {
	// Shift is the σ of K - σM that is factored, unit of λ, below the lowest eigenvalue; 0 chooses one.
	Shift float64
	// Block is the number of consecutive freedoms of a node, see Analyse.
	Block int
	// Symbolic is the analysed union pattern of K and M; nil analyses it.
	Symbolic *Symbolic
	// Tolerance bounds the relative residual |K x - λ M x| / (|K x| + |λ M x|) in the M⁻¹-free infinity norm; 0 means 1e-8.
	Tolerance float64
	// Workers limits the goroutines; 0 means GOMAXPROCS. The result does not depend on it.
	Workers int
}

// EigenProof says how far the eigenvalues returned by Lowest are proven.
type EigenProof struct {
	Shift    float64 // σ used for the iteration, unit of λ
	Limit    float64 // value at which the eigenvalues were counted, unit of λ
	Below    int     // number of eigenvalues below Limit by Sylvester's law of inertia
	Found    int     // number of computed eigenvalues below Limit
	Residual float64 // worst relative residual of the returned pairs
	Steps    int     // operator applications
}

// Complete reports whether the count proves that no eigenvalue was missed.
func (p EigenProof) Complete() bool { return p.Below == p.Found && p.Found > 0 }

// Operator is a shifted pencil given by what it does to a vector.
type Operator struct {
	N     int                      // order
	Shift float64                  // σ
	Solve func(dst, rhs []float64) // dst = (K - σM)⁻¹ rhs; dst and rhs do not overlap
	MulM  func(dst, x []float64)   // dst = M x; dst and x do not overlap
}

// IterationOptions governs LowestOf. The zero value is right.
type IterationOptions struct {
	Tolerance float64     // see EigenOptions; here of the Ritz pair of the inverse operator, 0 means 1e-10
	Start     [][]float64 // vectors close to the wanted ones, any scale; optional
	Workspace *Workspace  // memory to reuse; what is returned then lives in it until the next call
}

// Workspace is memory that LowestOf reuses from call to call, one a goroutine. The zero value is ready.
type Workspace struct{}

// ErrIncomplete says that the Sturm count disagrees with the eigenvalues found.
var ErrIncomplete = errors.New("sparse: eigenvalues were missed")

// Lowest returns the n algebraically smallest eigenpairs of K x = λ M x.
func Lowest(K, M *Matrix, n int, opt EigenOptions) (values []float64, vectors [][]float64, proof EigenProof, err error) {
	if K.n != M.n {
		return nil, nil, proof, fmt.Errorf("sparse: K has order %d, M has order %d", K.n, M.n)
	}
	sym := opt.Symbolic
	if sym == nil {
		sym = Analyse(Combine(1, K, 1, M), opt.Block)
	}
	sigma := opt.Shift
	f, err := sym.Factor(Combine(1, K, -sigma, M), FactorOptions{Workers: opt.Workers})
	if err != nil && sigma == 0 {
		ratio := math.Inf(1)
		md := M.Diagonal()
		for i, k := range K.Diagonal() {
			if md[i] > 0 && k > 0 {
				ratio = min(ratio, k/md[i])
			}
		}
		sigma = -1e-4 * ratio
		f, err = sym.Factor(Combine(1, K, -sigma, M), FactorOptions{Workers: opt.Workers})
	}
	if err != nil {
		return nil, nil, proof, err
	}
	proof.Shift = sigma
	want := min(n+1, K.n)
	values, vectors, err = LowestOf(Operator{K.n, sigma, f.Solve, M.MulVec}, want, IterationOptions{})
	if err != nil {
		return nil, nil, proof, err
	}
	cut := len(values)
	if cut > n {
		best := -1.0
		for k := n; k <= n; k++ {
			if gap := values[k] - values[k-1]; gap > best {
				best, cut = gap, k
			}
		}
		proof.Limit = values[cut-1] + 0.5*best
	} else if cut > 0 {
		proof.Limit = values[cut-1] + 0.01*math.Abs(values[cut-1]) + 1e-3*math.Abs(sigma)
	}
	if g, e := sym.Factor(Combine(1, K, -proof.Limit, M), FactorOptions{PivotTolerance: 1e-14}); e == nil {
		proof.Below = g.Negative()
	}
	for _, v := range values {
		if v < proof.Limit {
			proof.Found++
		}
	}
	m := min(n, len(values))
	return values[:m], vectors[:m], proof, nil
}

// LowestOf returns the n eigenpairs whose eigenvalues lie nearest above the shift of the operator.
func LowestOf(op Operator, n int, opt IterationOptions) (values []float64, vectors [][]float64, err error) {
	N := op.N
	q := min(2*n+8, N)
	X := make([][]float64, q)
	seed := uint64(1)
	for k := range X {
		X[k] = make([]float64, N)
		for i := range X[k] {
			seed = seed*6364136223846793005 + 1442695040888963407
			X[k][i] = float64(seed>>11)/(1<<53) - 0.5
		}
	}
	MX, Y := make([][]float64, q), make([][]float64, q)
	for k := range X {
		MX[k], Y[k] = make([]float64, N), make([]float64, N)
		op.MulM(MX[k], X[k])
	}
	var old []float64
	for range 300 {
		for k := range X {
			op.Solve(Y[k], MX[k])
		}
		basis, mbasis := [][]float64{}, [][]float64{}
		for k := range Y {
			v, mv := Y[k], MX[k]
			op.MulM(mv, v)
			n0 := math.Sqrt(math.Abs(floats.Dot(v, mv)))
			for range 2 {
				for j := range basis {
					floats.AddScaled(v, -floats.Dot(mbasis[j], v), basis[j])
				}
			}
			op.MulM(mv, v)
			nn := math.Sqrt(math.Abs(floats.Dot(v, mv)))
			if !(nn > 1e-10*n0) {
				continue
			}
			floats.Scale(1/nn, v)
			floats.Scale(1/nn, mv)
			basis, mbasis = append(basis, v), append(mbasis, mv)
		}
		r := len(basis)
		h := mat.NewSymDense(r, nil)
		tmp := make([]float64, N)
		for k := range basis {
			op.Solve(tmp, mbasis[k])
			for j := 0; j <= k; j++ {
				h.SetSym(j, k, floats.Dot(mbasis[j], tmp))
			}
		}
		var es mat.EigenSym
		if !es.Factorize(h, true) {
			return nil, nil, errors.New("sparse: dense eigenproblem failed")
		}
		mu := es.Values(nil)
		var ev mat.Dense
		es.VectorsTo(&ev)
		idx := make([]int, r)
		for i := range idx {
			idx[i] = i
		}
		sort.Slice(idx, func(a, b int) bool { return mu[idx[a]] > mu[idx[b]] })
		nx, nmx := make([][]float64, r), make([][]float64, r)
		values = values[:0]
		for k, c := range idx {
			nx[k], nmx[k] = make([]float64, N), make([]float64, N)
			for j := range basis {
				floats.AddScaled(nx[k], ev.At(j, c), basis[j])
				floats.AddScaled(nmx[k], ev.At(j, c), mbasis[j])
			}
			values = append(values, op.Shift+1/mu[c])
		}
		X, MX = nx, nmx
		Y = make([][]float64, r)
		for k := range Y {
			Y[k] = make([]float64, N)
		}
		done := len(old) >= min(n, r)
		for k := 0; done && k < min(n, r); k++ {
			if !(math.Abs(values[k]-old[k]) <= 1e-12*math.Abs(values[k]-op.Shift)) {
				done = false
			}
		}
		old = append(old[:0], values...)
		if done {
			break
		}
	}
	m := min(n, len(values))
	for k := range m {
		fixSign(X[k])
	}
	return values[:m], X[:m], nil
}

// fixSign makes the entry of largest magnitude positive, the first of those within rounding of it.
func fixSign(x []float64) {
	big := 0.0
	for _, v := range x {
		big = max(big, math.Abs(v))
	}
	for _, v := range x {
		if math.Abs(v) >= 0.999*big {
			if v < 0 {
				floats.Scale(-1, x)
			}
			return
		}
	}
}
