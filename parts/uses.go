package parts

import (
	"cmp"
	"reflect"
	"slices"
)

// Use is a part that a design uses, and where its data comes from.
type Use struct {
	Ref
	Title          string `json:"title"`
	Representative bool   `json:"representative"`
	File           string `json:"file,omitempty"` // empty for embedded parts
}

// Uses lists the given parts and all that they name in turn (an axis names its
// profile, block and belt, a profile its material), each once, in the order of
// Kinds and then of ids. What is not in the catalogue is left out.
func (c *Catalogue) Uses(refs ...Ref) []Use {
	seen := map[Ref]bool{}
	var out []Use
	var take func(Ref)
	take = func(ref Ref) {
		if seen[ref] {
			return
		}
		seen[ref] = true
		p, ok := c.Find(ref.Kind, ref.ID)
		if !ok {
			return
		}
		b := p.Base()
		use := Use{Ref: ref, Title: b.Title, Representative: b.Representative}
		if !c.entries[ref].embedded {
			use.File = b.File
		}
		out = append(out, use)
		for _, n := range namesIn(p) {
			take(n.ref)
		}
	}
	for _, ref := range refs {
		take(ref)
	}
	kinds := Kinds()
	slices.SortFunc(out, func(a, b Use) int {
		return cmp.Or(cmp.Compare(slices.Index(kinds, a.Kind), slices.Index(kinds, b.Kind)), cmp.Compare(a.ID, b.ID))
	})
	return out
}

// name is a part that another part names.
type name struct {
	key string
	ref Ref
}

// namesIn lists the parts that a part names.
func namesIn(p Part) (out []name) {
	entries(reflect.ValueOf(p).Elem(), func(f field, v reflect.Value) {
		if len(f.Parts) == 1 && v.Kind() == reflect.String && v.String() != "" {
			out = append(out, name{f.Key, Ref{f.Parts[0], v.String()}})
		}
	})
	return out
}
