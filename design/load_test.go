package design

import (
	"os"
	"testing"
)

func TestPortalLoads(t *testing.T) {
	d, list := Load(os.DirFS("testdata"), "portal.yaml")
	if err := list.Err(); err != nil {
		t.Fatal(err)
	}
	if got := d.Axes[1].Direction; got != [3]float64{0, 0, -1} {
		t.Errorf("z axis points to %v", got)
	}
	for _, x := range d.Defaults() {
		t.Log(x.Path, "=", x.Value, "|", x.From)
	}
}
