package structure

// Sag is the downward deflection of the tool point under the weight that is on it, m.
func (r Response) Sag() float64 { return -r.Loaded().Z }

// Stiffness is that of the tool point against a force along world x, y or z (0
// to 2): force over the movement along itself, N/m.
func (r Response) Stiffness(direction int) float64 { return 1 / array(r.Unit[direction])[direction] }
