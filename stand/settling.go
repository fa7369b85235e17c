package stand

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"spanwright/quantity"

	"gonum.org/v1/gonum/mat"
)

// balanced is the residual above which the feet do not balance the actions.
// Where they do, what is left to the faint springs is 1e-8 times the ratio of
// foot deflections to those under the weight, at most some thousand.
const balanced = 1e-4

// faint is the stiffness of springs at the middle of the feet over that of all
// feet. They give a machine that tips a place to fall to, so that the potential
// always has a minimum.
const faint = 1e-8

// settling searches the place of the machine.
type settling struct {
	feet   []Foot
	lift   [][3]float64 // what a unit of w, a, b lifts each foot by
	force  [3]float64   // F_z, M_x, M_y of everything but the feet, about the middle of the feet
	faint  [3]float64
	weight float64
	size   float64
	u      [3]float64 // w, a, b
}

func newSettling(feet []Foot, size float64, w Weight, actions []Action) *settling {
	s := &settling{feet: feet, weight: w.Mass * quantity.StandardGravity, size: size}
	var middle Point
	stiffness := 0.0
	for _, f := range feet {
		middle.X += f.At.X / float64(len(feet))
		middle.Y += f.At.Y / float64(len(feet))
		stiffness += f.Stiffness
	}
	for _, f := range feet {
		s.lift = append(s.lift, [3]float64{1, f.At.Y - middle.Y, -(f.At.X - middle.X)})
	}
	s.faint = [3]float64{faint * stiffness, faint * stiffness * size * size, faint * stiffness * size * size}
	all := append([]Action{{Force: [3]float64{0, 0, -s.weight}, At: w.Centre}}, actions...)
	for _, a := range all {
		x, y, z := a.At[0]-middle.X, a.At[1]-middle.Y, a.At[2]
		s.force[0] += a.Force[2]
		s.force[1] += y*a.Force[2] - z*a.Force[1]
		s.force[2] += z*a.Force[0] - x*a.Force[2]
	}
	return s
}

func dot(a, b [3]float64) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

// press is the force of foot i with the machine at u.
func (s *settling) press(i int, u [3]float64) float64 {
	r := s.feet[i].Stiffness * (s.feet[i].High - dot(s.lift[i], u))
	if r < 0 && !s.feet[i].Anchored {
		return 0
	}
	return r
}

// unbalanced is the sum of all forces at u, the faint springs included: minus
// the gradient of the potential.
func (s *settling) unbalanced(u [3]float64) [3]float64 {
	sum := s.force
	for p := range sum {
		sum[p] -= s.faint[p] * u[p]
	}
	for i := range s.feet {
		r := s.press(i, u)
		for p := range sum {
			sum[p] += r * s.lift[i][p]
		}
	}
	return sum
}

// ErrNotSettled is returned, wrapped, when the search does not end; it never
// should, since the potential is convex and piecewise quadratic.
var ErrNotSettled = errors.New("foot loads not found")

func (s *settling) run() error {
	const most = 200
	if err := s.descend(most); err != nil {
		return err
	}
	if rest := s.share(s.unbalanced(s.u)); !(rest < 1e-3) {
		return fmt.Errorf("%w in %d steps: %.3g of the weight is not balanced", ErrNotSettled, most, rest)
	}
	// Take the faint springs away where the pressing feet hold the machine without
	// them; three feet nearly in line keep them.
	held := *s
	held.faint = [3]float64{}
	if err := held.descend(most); err == nil && held.share(held.unbalanced(held.u)) < s.loads().Residual {
		s.u = held.u
	}
	return nil
}

// descend goes down the potential until the forces balance to the last digits.
func (s *settling) descend(most int) error {
	for range most {
		rest := s.unbalanced(s.u)
		if s.share(rest) < 1e-12+s.roundOff() {
			return nil
		}
		step, err := s.newton(rest)
		if err != nil {
			return err
		}
		t := s.along(step)
		moved := s.u
		for p := range moved {
			moved[p] += t * step[p]
		}
		if moved == s.u { // the step is below the last digit
			return nil
		}
		s.u = moved
	}
	return nil
}

// roundOff is the share of the weight that the last digits of the place make
// up: a machine that tips lies far away on stiff feet.
func (s *settling) roundOff() float64 {
	sum := 0.0
	for i, f := range s.feet {
		reach := math.Abs(f.High)
		for p, l := range s.lift[i] {
			reach += math.Abs(l * s.u[p])
		}
		sum += f.Stiffness * reach
	}
	const digits = 1e-15 // a few times the last digit of a float64
	return digits * sum / s.weight
}

// share is the size of a sum of forces over the weight.
func (s *settling) share(f [3]float64) float64 {
	return (math.Abs(f[0]) + (math.Abs(f[1])+math.Abs(f[2]))/s.size) / s.weight
}

// newton solves for the step that would balance the feet that press now.
func (s *settling) newton(rest [3]float64) ([3]float64, error) {
	k := mat.NewSymDense(3, nil)
	for p := range s.faint {
		k.SetSym(p, p, s.faint[p])
	}
	for i, f := range s.feet {
		if !f.Anchored && f.High <= dot(s.lift[i], s.u) { // hangs free
			continue
		}
		for p := range 3 {
			for q := p; q < 3; q++ {
				k.SetSym(p, q, k.At(p, q)+f.Stiffness*s.lift[i][p]*s.lift[i][q])
			}
		}
	}
	var c mat.Cholesky
	var u mat.VecDense
	if !c.Factorize(k) {
		return [3]float64{}, fmt.Errorf("%w: stiffness of the feet out of any range", ErrNotSettled)
	}
	// The faint springs bring the condition to 1e8 on purpose; the line search
	// and the balance at the end judge the step, not its condition.
	var badly mat.Condition
	if err := c.SolveVecTo(&u, mat.NewVecDense(3, rest[:])); err != nil && !errors.As(err, &badly) {
		return [3]float64{}, fmt.Errorf("%w: %w", ErrNotSettled, err)
	}
	return [3]float64{u.AtVec(0), u.AtVec(1), u.AtVec(2)}, nil
}

// along returns how far to go along a step: where the force along it vanishes.
// That force falls in straight pieces between the places where a foot touches
// or lifts.
func (s *settling) along(step [3]float64) float64 {
	at := func(t float64) [3]float64 {
		return [3]float64{s.u[0] + t*step[0], s.u[1] + t*step[1], s.u[2] + t*step[2]}
	}
	force := func(t float64) float64 { return dot(s.unbalanced(at(t)), step) }
	corners := []float64{}
	for i, f := range s.feet {
		if speed := dot(s.lift[i], step); speed != 0 && !f.Anchored {
			if t := (f.High - dot(s.lift[i], s.u)) / speed; t > 0 {
				corners = append(corners, t)
			}
		}
	}
	slices.Sort(corners)
	low, fLow := 0.0, force(0)
	for _, t := range corners {
		f := force(t)
		if f <= 0 {
			return low + (t-low)*fLow/(fLow-f)
		}
		low, fLow = t, f
	}
	// Beyond the last corner the force goes on straight.
	beyond := math.Max(1, 2*low)
	if f := force(beyond); f < fLow {
		return low + (beyond-low)*fLow/(fLow-f)
	}
	return beyond
}

func (s *settling) loads() Loads {
	l := Loads{Feet: make([]float64, len(s.feet)), Lifted: make([]bool, len(s.feet))}
	sum := s.force
	for i := range s.feet {
		l.Feet[i] = s.press(i, s.u)
		l.Lifted[i] = l.Feet[i] == 0
		for p := range sum {
			sum[p] += l.Feet[i] * s.lift[i][p]
		}
	}
	l.Residual = s.share(sum)
	return l
}
