package section

import (
	"errors"

	"gonum.org/v1/gonum/mat"
)

// The functions of this file are quick formulas for thin walls and common
// shapes. Compute does not use them: they judge it, and serve where only
// mid-line sizes are known.

// Bredt returns the torsion constant of one closed thin-walled cell, m⁴, from
// the area inside the mid-line of its wall, m², and the sum of length over
// thickness around it: J = 4 A²/sum(s/t). It is 3 % low for a 50 x 50 x 3
// square tube.
//
// Source: Bredt's second formula, any text on mechanics of materials.
func Bredt(enclosed, lengthOverThickness float64) float64 {
	return 4 * enclosed * enclosed / lengthOverThickness
}

// Cells is a thin-walled section of several closed cells.
type Cells struct {
	Enclosed []float64 // area inside the mid-line of each cell, m²

	// Flex holds sum(s/t) around cell i at [i][i] and minus s/t of the wall common
	// to cells i and j at [i][j].
	Flex [][]float64
}

// ErrCells says that cells and walls do not belong together.
var ErrCells = errors.New("cells: the walls do not form closed cells")

// Torsion returns the torsion constant, m⁴, and the shear flow of each cell for
// a unit shear modulus and rate of twist, m²: it solves Flex q = 2 Enclosed;
// J = 2 sum Enclosed q.
//
// Source: Bredt's formulas for several cells, any text on aircraft structures.
func (c Cells) Torsion() (j float64, flow []float64, err error) {
	n := len(c.Enclosed)
	if n == 0 || len(c.Flex) != n {
		return 0, nil, ErrCells
	}
	a, b := mat.NewDense(n, n, nil), mat.NewVecDense(n, nil)
	for i, row := range c.Flex {
		if len(row) != n {
			return 0, nil, ErrCells
		}
		a.SetRow(i, row)
		b.SetVec(i, 2*c.Enclosed[i])
	}
	var q mat.VecDense
	if err := q.SolveVec(a, b); err != nil {
		return 0, nil, ErrCells
	}
	for i, area := range c.Enclosed {
		flow = append(flow, q.AtVec(i))
		j += 2 * area * q.AtVec(i)
	}
	return j, flow, nil
}

// Strip is a straight or curved thin wall.
type Strip struct{ Length, Thickness float64 } // m

// ThinOpen returns the torsion constant of an open thin-walled section, m⁴: the
// sum of length times thickness cubed over three. Fillets at the junctions,
// which it ignores, make the real one larger.
//
// Source: Saint-Venant's strip, any text on mechanics of materials.
func ThinOpen(strips ...Strip) float64 {
	j := 0.0
	for _, s := range strips {
		j += s.Length * s.Thickness * s.Thickness * s.Thickness / 3
	}
	return j
}

// ThinChannelShearCentre returns how far behind the mid-line of its web the
// shear centre of a thin channel of uniform thickness lies, m, for a height
// and a flange width between mid-lines: e = 3 b²/(h + 6 b).
//
// Source: Roark's Formulas for Stress and Strain, table of shear centres (from
// memory); derived from the shear flow.
func ThinChannelShearCentre(height, flange float64) float64 {
	return 3 * flange * flange / (height + 6*flange)
}

// Cowper's shear coefficients depend on Poisson's ratio; Compute uses the
// energy definition with Poisson's ratio zero, which for these shapes differs
// by less than 4 %.
//
// Source of all four: Cowper, J. Applied Mechanics 33 (1966) 335-340 (from
// memory).

// CowperRectangle returns the shear coefficient of a solid rectangle.
func CowperRectangle(poisson float64) float64 { return 10 * (1 + poisson) / (12 + 11*poisson) }

// CowperRound returns the shear coefficient of a solid circle.
func CowperRound(poisson float64) float64 { return 6 * (1 + poisson) / (7 + 6*poisson) }

// CowperThinRoundTube returns the shear coefficient of a thin round tube.
func CowperThinRoundTube(poisson float64) float64 { return 2 * (1 + poisson) / (4 + 3*poisson) }

// CowperThinSquareTube returns the shear coefficient of a thin square tube.
func CowperThinSquareTube(poisson float64) float64 { return 20 * (1 + poisson) / (48 + 39*poisson) }
