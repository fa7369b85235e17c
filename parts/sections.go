package parts

import (
	_ "embed"
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"sync"

	"spanwright/section"
)

//go:generate go test spanwright/parts -run ^TestStoredSections$ -update

// storedSections holds the section properties of the embedded profiles, one a
// line: the hash of the outline, the id of the profile, the properties in JSON.
//
//go:embed sections.gen.txt
var storedSections string

// sections finds the section properties of profiles: stored ones where the
// outline is known, computed ones elsewhere. Each is found once.
type sections struct {
	lines    map[string]string // by the id of an embedded profile: its properties
	outlines map[string]string // by the hash of an outline: the id
	found    sync.Map          // *Profile -> func() (section.Properties, error)
}

func newSections() *sections {
	s := &sections{lines: map[string]string{}, outlines: map[string]string{}}
	for line := range strings.Lines(storedSections) {
		hash, rest, _ := strings.Cut(line, " ")
		id, properties, _ := strings.Cut(rest, " ")
		s.lines[id], s.outlines[hash] = properties, id
	}
	return s
}

// stored returns the stored properties of an embedded profile.
func (s *sections) stored(id string) (section.Properties, bool) {
	var p section.Properties
	line, ok := s.lines[id]
	if !ok {
		return p, false
	}
	if err := json.Unmarshal([]byte(line), &p); err != nil {
		panic(fmt.Sprintf("parts: stored section of %s: %v", id, err))
	}
	return p, true
}

// Properties returns the section properties of a profile of the catalogue:
// as given by its supplier, or computed from its outline. A T-slot profile
// whose mass per metre is stated is fitted to that mass where its outline
// weighs something else.
//
// It returns an error where the outline is no section or the mass cannot be
// met.
func (c *Catalogue) Properties(p *Profile) (section.Properties, error) {
	find, _ := c.sections.found.LoadOrStore(p, sync.OnceValues(func() (section.Properties, error) { return c.properties(p) }))
	return find.(func() (section.Properties, error))()
}

func (c *Catalogue) properties(p *Profile) (section.Properties, error) {
	if p.Given != nil {
		return p.Given.sheet(p.Size).Properties()
	}
	if e := c.entries[Ref{"profile", p.ID}]; e != nil && e.embedded && e.get() == Part(p) {
		if stored, ok := c.sections.stored(p.ID); ok {
			return stored, nil
		}
	}
	return c.compute(p)
}

// compute returns the properties of the outline, which is first fitted to the
// stated mass where there is one.
func (c *Catalogue) compute(p *Profile) (section.Properties, error) {
	o, err := p.Outline()
	if err != nil {
		return section.Properties{}, err
	}
	if p.MassPerM != nil && p.Slots != nil {
		m, ok := c.Material(p.Material)
		if !ok {
			return section.Properties{}, fmt.Errorf("the material %q is not in the catalogue", p.Material)
		}
		if drawn := o.Moments().Area * m.Density; !(math.Abs(drawn-*p.MassPerM) <= massAgreement**p.MassPerM) {
			fit, err := p.Slots.section().MatchMass(*p.MassPerM, m.Density)
			if err != nil {
				return section.Properties{}, err
			}
			return fit.Properties()
		}
	}
	if id, known := c.sections.outlines[o.Hash()]; known {
		stored, _ := c.sections.stored(id)
		return stored, nil
	}
	return section.Compute(o)
}

// massAgreement is the relative difference within which the drawn outline is
// taken to be the real one: the tolerance of stated masses, which have two or
// three figures (common practice, no source).
const massAgreement = 0.01

// MassPerMetre returns the mass per length of a profile, kg/m: as stated by its
// supplier, or area times density.
func (c *Catalogue) MassPerMetre(p *Profile) (float64, error) {
	if p.MassPerM != nil {
		return *p.MassPerM, nil
	}
	m, ok := c.Material(p.Material)
	if !ok {
		return 0, fmt.Errorf("the material %q is not in the catalogue", p.Material)
	}
	s, err := c.Properties(p)
	if err != nil {
		return 0, err
	}
	return s.MassPerLength(m.Density), nil
}
