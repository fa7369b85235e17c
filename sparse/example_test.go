package sparse_test

import (
	"errors"
	"fmt"

	"spanwright/sparse"
)

// Two masses between springs of 100 N/m: pushed by 1 N, and swinging.
func Example() {
	k, m := sparse.NewBuilder(2), sparse.NewBuilder(2)
	for i := range 2 {
		k.Add(i, i, 200)
		m.Add(i, i, 2)
	}
	k.Add(1, 0, -100)
	stiffness, mass := k.Build(), m.Build()

	f, err := sparse.Analyse(stiffness, 1).Factor(stiffness, sparse.FactorOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	u := []float64{1, 0}
	f.Solve(u, u)
	fmt.Printf("%.4f m, %.4f m\n", u[0], u[1])

	values, _, proof, err := sparse.Lowest(stiffness, mass, 2, sparse.EigenOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f and %.1f rad²/s², all: %v\n", values[0], values[1], proof.Complete())
	// Output:
	// 0.0067 m, 0.0033 m
	// 50.0 and 150.0 rad²/s², all: true
}

// Two masses tied to each other and to nothing else can move together.
func ExampleSingularError() {
	k := sparse.NewBuilder(2)
	k.Add(0, 0, 100)
	k.Add(1, 1, 100)
	k.Add(1, 0, -100)
	stiffness := k.Build()
	_, err := sparse.Analyse(stiffness, 1).Factor(stiffness, sparse.FactorOptions{})
	var free *sparse.SingularError
	if errors.As(err, &free) {
		fmt.Println(free.Count, "movement:", free.Null)
	}
	// Output:
	// 1 movement: [1 1]
}
