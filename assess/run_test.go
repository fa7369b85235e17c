package assess

import (
	"context"
	"os"
	"testing"

	"spanwright/design"
	"spanwright/machine"
	"spanwright/parts"
)

// build loads an example and binds it.
func build(t testing.TB, dir, file string) *machine.Machine {
	t.Helper()
	d, list := design.Load(os.DirFS("../examples/"+dir), file)
	if len(list) > 0 {
		t.Fatalf("%v", list)
	}
	m, list := machine.Build(d, parts.Embedded())
	if len(list) > 0 {
		t.Fatalf("%v", list)
	}
	return m
}

func BenchmarkPortal(b *testing.B) {
	m := build(b, "crate-portal", "gantry.yaml")
	for b.Loop() {
		if _, err := Run(context.Background(), m, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
