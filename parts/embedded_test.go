package parts

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

// TestEmbeddedDataIsSound reads every embedded file as a user's would be read.
func TestEmbeddedDataIsSound(t *testing.T) {
	files, err := data.ReadDir("data")
	if err != nil {
		t.Fatal(err)
	}
	metals := &Catalogue{entries: map[Ref]*entry{}, order: map[string][]string{}, sections: newSections()}
	metals.addMetals()
	var all []Source
	for _, f := range files {
		text, err := data.ReadFile("data/" + f.Name())
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, Source{Name: "data/" + f.Name(), Text: text})
	}
	full, list := metals.With(all...)
	if len(list) > 0 {
		t.Fatal(list.Error())
	}
	c := Embedded()
	for _, kind := range Kinds() {
		if diff := cmp.Diff(full.IDs(kind), c.IDs(kind)); diff != "" {
			t.Errorf("%s: the quick index finds other parts than the reader of files (-reader +index):\n%s", kind, diff)
		}
		if len(c.IDs(kind)) == 0 {
			t.Errorf("%s: no part at all", kind)
		}
		want, got := full.List(kind), c.List(kind)
		if diff := cmp.Diff(want, got, cmpopts.IgnoreFields(Common{}, "Representative")); diff != "" {
			t.Errorf("%s: read on demand, a part differs (-reader +on demand):\n%s", kind, diff)
		}
	}
}
