package decode

import (
	"fmt"
	"strings"

	"spanwright/quantity"
)

// Reference returns the reference page of a file in Markdown: one section for
// each group, one row for each key.
func Reference(s *Struct, h Heading) []byte {
	var b strings.Builder
	fmt.Fprintf(&b, "# %s\n\n%s\n", h.Title, h.Doc)
	used := map[quantity.Kind]bool{}
	referGroup(&b, used, s, "", "the whole file", 2)
	b.WriteString("\n## Quantities\n\nA number and its unit. Powers may be raised (`m/s²`) or not (`m/s2`), a product has a space, a dot or nothing between its units, and `um` is `µm`.\n\n")
	b.WriteString("| kind | for example | units | held in |\n| --- | --- | --- | --- |\n")
	for _, k := range quantity.Kinds() {
		if used[k] {
			fmt.Fprintf(&b, "| %s | `%s` | %s | %s |\n", k.Article(), k.Example(), strings.Join(unitNames(k), ", "), heldIn(k))
		}
	}
	return []byte(b.String())
}

// unitNames lists the units; a ratio may also stand without one.
func unitNames(k quantity.Kind) []string {
	var out []string
	for _, u := range k.Units() {
		if u == "" {
			u = "none"
		}
		out = append(out, u)
	}
	return out
}

func heldIn(k quantity.Kind) string {
	if k.SI() == "" {
		return "1"
	}
	return k.SI()
}

// referGroup writes the section of a group and those of the groups in it, and
// notes the kinds of quantity that occur.
func referGroup(b *strings.Builder, used map[quantity.Kind]bool, s *Struct, path, doc string, level int) {
	title := "`" + path + "`"
	if path == "" {
		title = "The file"
	}
	fmt.Fprintf(b, "\n%s %s\n\n%s.\n\n", strings.Repeat("#", level), title, capital(doc))
	b.WriteString("| key | written as | when absent | meaning |\n| --- | --- | --- | --- |\n")
	if s.Axes != nil {
		used[s.Axes.Kind] = true
		fmt.Fprintf(b, "| an axis id | %s | | %s |\n", cell(s.Axes.Elem.writtenAs()), cell(s.Axes.Doc))
	}
	for _, f := range s.Fields {
		used[f.Kind] = true
		fmt.Fprintf(b, "| `%s` | %s | %s | %s |\n", f.Key, cell(f.writtenAs()), cell(f.whenAbsent()), cell(f.Doc))
	}
	for _, f := range s.Fields {
		at := Join(path, f.Key)
		inner := f
		switch f.Form {
		case Keyed:
			inner, at = f.Elem, at+".<name>"
		case Series:
			inner, at = f.Elem, at+"[n]"
		}
		if inner.Form == Group {
			referGroup(b, used, inner.Group, at, f.Doc, min(level+1, 4))
		}
	}
}

// writtenAs says what stands after the key.
func (f *Field) writtenAs() string {
	switch f.Form {
	case Group:
		return "a group, see below"
	case Keyed:
		return "a group of named entries, see below"
	case Series:
		if f.Elem.Form == Group {
			return "a list of groups, see below"
		}
		return f.needs() + ": " + f.Elem.writtenAs()
	case ByAxis:
		return f.needs()
	case Direction:
		return "x, y, z, -x, -y, -z, or three numbers"
	}
	text := f.needs()
	if f.Form == Triple {
		one := "a plain number"
		if f.Kind != "" {
			one = f.Kind.Article()
		}
		text = one + ", or low..nominal..high, or the keys low, nominal, high"
	}
	switch {
	case f.Form != Text && len(f.Choices) > 0:
		text += ": " + strings.Join(f.Choices, ", ")
	case f.Limits != nil:
		text += ", " + f.Limits.String()
	}
	return text
}

// whenAbsent says what holds without the key.
func (f *Field) whenAbsent() string {
	switch {
	case f.Required:
		return "refused"
	case f.hasDefault:
		return "`" + f.Default + "` (" + f.From + ")"
	}
	return ""
}

// cell keeps text from ending its table cell.
func cell(s string) string { return strings.ReplaceAll(s, "|", "\\|") }

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
