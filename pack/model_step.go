package pack

import (
	"io"
	"regexp"

	"spanwright/machine"
	"spanwright/step"
)

// STEP writes the machine as a STEP assembly: stand, axes, tool; one product
// for each distinct part and length, occurrences by the ids of the machine.
func STEP(w io.Writer, m *machine.Machine, o ModelOptions) error {
	root, err := stepProduct(m, o)
	if err != nil {
		return err
	}
	meta := m.Design.Meta
	return step.Write(w, root, step.Header{
		Name: modelName(m), Description: stepDescription(m, o), Date: stamp(meta.Date),
		Author: meta.Creator, Organisation: meta.Owner, Program: o.Program, Authorisation: meta.Approver,
	})
}

func stepDescription(m *machine.Machine, o ModelOptions) string {
	d := m.Design.Name + ", revision " + m.Design.Meta.Revision
	if o.Hash != "" {
		d += ", design " + o.Hash
	}
	if o.Status != "" {
		d += "; " + o.Status
	}
	if !o.Detailed {
		d += "; profiles simplified to hollow boxes of the same area"
	}
	return d
}

var dated = regexp.MustCompile(`^\d{4}-\d{2}-\d{2}$`)

// stamp is the design's date as a time stamp; without one it is a constant, so
// that the same design gives the same file.
func stamp(date string) string {
	if dated.MatchString(date) {
		return date + "T00:00:00"
	}
	return "1970-01-01T00:00:00"
}

// stepProduct is the assembly tree.
func stepProduct(m *machine.Machine, o ModelOptions) (*step.Product, error) {
	items, err := modelItems(m, o)
	if err != nil {
		return nil, err
	}
	root := &step.Product{ID: "machine " + modelName(m), Name: m.Design.Name}
	parts := map[string]*step.Product{}
	for _, group := range modelGroups(m) {
		name := groupName(m, group)
		branch := &step.Product{ID: "assembly " + name, Name: name}
		for _, it := range items {
			if it.Group != group {
				continue
			}
			part := parts[it.part]
			if part == nil {
				l := lookOf(it.Thing)
				part = &step.Product{ID: it.part, Name: it.part, Body: &it.prism, Colour: step.Colour{l.r, l.g, l.b}}
				parts[it.part] = part
			}
			branch.Children = append(branch.Children, step.Occurrence{
				ID: it.ID, Of: part, At: step.Placement{Origin: it.placed(m, o.Pose), Z: it.X, X: it.Y},
			})
		}
		if len(branch.Children) > 0 {
			root.Children = append(root.Children, step.Occurrence{ID: name, Of: branch, At: step.Here})
		}
	}
	return root, nil
}
