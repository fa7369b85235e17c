package design

import (
	"bytes"
	"fmt"
	"os"
	"strings"
	"testing"
)

// longDesign returns a design of about 300 lines, most of which hold five values.
func longDesign(t testing.TB) []byte {
	t.Helper()
	text, err := os.ReadFile("testdata/trays.yaml")
	if err != nil {
		t.Fatal(err)
	}
	var nodes, members strings.Builder
	for i := range 100 {
		fmt.Fprintf(&nodes, "    n%d: {at: [%d mm, 5 m, 1 m]}\n", i, 100*i)
		fmt.Fprintf(&members, "    m%d: {from: n%d, to: a0, profile: profile-45x45-heavy, role: brace}\n", i, i)
	}
	text = bytes.Replace(text, []byte("  members:\n"), []byte(nodes.String()+"  members:\n"+members.String()), 1)
	return text
}

func BenchmarkParse(b *testing.B) {
	portal, err := os.ReadFile("testdata/portal.yaml")
	if err != nil {
		b.Fatal(err)
	}
	for name, text := range map[string][]byte{"portal": portal, "lattice": longDesign(b)} {
		b.Run(name, func(b *testing.B) {
			if _, list := Parse("f", text); list.Err() != nil {
				b.Fatal(list)
			}
			b.ReportAllocs()
			for b.Loop() {
				Parse("f", text)
			}
			b.ReportMetric(float64(bytes.Count(text, []byte("\n"))), "lines")
		})
	}
}

func BenchmarkApply(b *testing.B) {
	f := &File{Name: "f", Text: longDesign(b)}
	for b.Loop() {
		if _, err := f.Apply(Edit{Path: "axes.x.brake", Value: "hold-brake-4"}); err != nil {
			b.Fatal(err)
		}
	}
}
