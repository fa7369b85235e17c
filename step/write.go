package step

import (
	"bufio"
	"errors"
	"fmt"
	"io"

	"gonum.org/v1/gonum/spatial/r3"
)

// ErrModel says what is wrong with an assembly.
var ErrModel = errors.New("the model cannot be written")

// Write writes the assembly, or part, as one file. Nothing is written if a body
// is not closed, a placement is not square or ids are not unique.
func Write(w io.Writer, root *Product, h Header) error {
	f := &file{products: map[*Product]*written{}, ids: map[string]bool{}, shared: map[string]int{}}
	if h.Schema == "" {
		h.Schema = AP214
	}
	f.context(h.Schema)
	if _, err := f.product(root); err != nil {
		return err
	}
	f.presentation()
	out := bufio.NewWriter(w)
	f.header(out, h)
	if _, err := out.Write(f.text); err != nil {
		return err
	}
	if _, err := out.WriteString("ENDSEC;\nEND-ISO-10303-21;\n"); err != nil {
		return err
	}
	return out.Flush()
}

// file collects the DATA section.
type file struct {
	text []byte
	last int

	products map[*Product]*written
	ids      map[string]bool
	shared   map[string]int // entities that many others refer to: directions, colours

	application, productContext, definitionContext int
	representation                                 int // context of all shapes
	styled                                         []int
}

// written is what an assembly refers to of one of its products.
type written struct {
	definition, shape, origin int
	open                      bool // its children are being written
}

// add writes one entity and returns its number.
func (f *file) add(format string, args ...any) int {
	f.last++
	f.text = fmt.Appendf(f.text, "#%d=", f.last)
	f.text = fmt.Appendf(f.text, format, args...)
	f.text = append(f.text, ';', '\n')
	return f.last
}

// share writes an entity once and returns its number.
func (f *file) share(format string, args ...any) int {
	key := fmt.Sprintf(format, args...)
	if n, ok := f.shared[key]; ok {
		return n
	}
	n := f.add("%s", key)
	f.shared[key] = n
	return n
}

func (f *file) header(w *bufio.Writer, h Header) {
	fmt.Fprintf(w, "ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION((%s),'2;1');\n", text(h.Description))
	fmt.Fprintf(w, "FILE_NAME(%s,%s,(%s),(%s),%s,%s,%s);\n", text(h.Name), text(h.Date), text(h.Author), text(h.Organisation), text(h.Program), text(h.Program), text(h.Authorisation))
	fmt.Fprintf(w, "FILE_SCHEMA(('%s'));\nENDSEC;\nDATA;\n", h.Schema)
}

// context writes what all products share: application, units, precision.
func (f *file) context(schema Schema) {
	name, year, words := "automotive_design", 2000, "core data for automotive mechanical design processes"
	if schema == AP242 {
		name, year, words = "ap242_managed_model_based_3d_engineering", 2014, "managed model based 3d engineering"
	}
	f.application = f.add("APPLICATION_CONTEXT('%s')", words)
	f.add("APPLICATION_PROTOCOL_DEFINITION('international standard','%s',%d,#%d)", name, year, f.application)
	f.productContext = f.add("PRODUCT_CONTEXT('',#%d,'mechanical')", f.application)
	f.definitionContext = f.add("PRODUCT_DEFINITION_CONTEXT('part definition',#%d,'design')", f.application)
	mm := f.add("(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT(.MILLI.,.METRE.))")
	rad := f.add("(NAMED_UNIT(*)PLANE_ANGLE_UNIT()SI_UNIT($,.RADIAN.))")
	sr := f.add("(NAMED_UNIT(*)SI_UNIT($,.STERADIAN.)SOLID_ANGLE_UNIT())")
	precision := f.add("UNCERTAINTY_MEASURE_WITH_UNIT(LENGTH_MEASURE(1.E-5),#%d,'distance_accuracy_value','')", mm)
	f.representation = f.add("(GEOMETRIC_REPRESENTATION_CONTEXT(3)GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT((#%d))"+
		"GLOBAL_UNIT_ASSIGNED_CONTEXT((#%d,#%d,#%d))REPRESENTATION_CONTEXT('',''))", precision, mm, rad, sr)
}

// product writes a product with all below it, once, and returns what refers to it.
func (f *file) product(p *Product) (*written, error) {
	if done, ok := f.products[p]; ok {
		if done.open {
			return nil, fmt.Errorf("%w: %q contains itself", ErrModel, p.ID)
		}
		return done, nil
	}
	if p.ID == "" || f.ids[p.ID] {
		return nil, fmt.Errorf("%w: two products are called %q, or one has no id", ErrModel, p.ID)
	}
	f.ids[p.ID] = true
	me := &written{open: true}
	f.products[p] = me
	below, err := f.children(p)
	if err != nil {
		return nil, err
	}
	me.origin = f.placement(Here)
	if p.Body != nil {
		err = f.part(p, me)
	} else {
		f.assembly(me, below)
	}
	if err != nil {
		return nil, fmt.Errorf("%s: %w", p.ID, err)
	}
	f.definition(p, me)
	for i, c := range p.Children {
		f.occurrence(me, c, below[i])
	}
	me.open = false
	return me, nil
}

// placed is a child with its placement in the assembly's shape.
type placed struct {
	child *written
	axes  int
}

func (f *file) children(p *Product) ([]placed, error) {
	if (p.Body == nil) == (len(p.Children) == 0) {
		return nil, fmt.Errorf("%w: %q must have a body or children, not both", ErrModel, p.ID)
	}
	seen := map[string]bool{}
	out := make([]placed, len(p.Children))
	for i, c := range p.Children {
		if c.ID == "" || seen[c.ID] {
			return nil, fmt.Errorf("%w: two occurrences in %q are called %q, or one has no id", ErrModel, p.ID, c.ID)
		}
		seen[c.ID] = true
		if err := c.At.check(); err != nil {
			return nil, fmt.Errorf("%w: placement of %q: %w", ErrModel, c.ID, err)
		}
		child, err := f.product(c.Of)
		if err != nil {
			return nil, err
		}
		out[i].child = child
	}
	for i, c := range p.Children {
		out[i].axes = f.placement(c.At)
	}
	return out, nil
}

// part writes the body of a part as its shape.
func (f *file) part(p *Product, me *written) error {
	b, err := NewBody(*p.Body)
	if err != nil {
		return err
	}
	solid := f.solid(b, p.Name)
	me.shape = f.add("ADVANCED_BREP_SHAPE_REPRESENTATION(%s,(#%d,#%d),#%d)", text(p.Name), me.origin, solid, f.representation)
	if p.Colour != (Colour{}) {
		f.styled = append(f.styled, f.add("STYLED_ITEM('',(#%d),#%d)", f.style(p.Colour), solid))
	}
	return nil
}

func (f *file) assembly(me *written, below []placed) {
	items := []int{me.origin}
	for _, c := range below {
		items = append(items, c.axes)
	}
	me.shape = f.add("SHAPE_REPRESENTATION('',(%s),#%d)", refs(items), f.representation)
}

// definition writes the product itself and ties its shape to it.
func (f *file) definition(p *Product, me *written) {
	product := f.add("PRODUCT(%s,%s,'',(#%d))", text(p.ID), text(p.Name), f.productContext)
	f.add("PRODUCT_RELATED_PRODUCT_CATEGORY('%s',$,(#%d))", category(p), product)
	formation := f.add("PRODUCT_DEFINITION_FORMATION('','',#%d)", product)
	me.definition = f.add("PRODUCT_DEFINITION('design','',#%d,#%d)", formation, f.definitionContext)
	shape := f.add("PRODUCT_DEFINITION_SHAPE('','',#%d)", me.definition)
	f.add("SHAPE_DEFINITION_REPRESENTATION(#%d,#%d)", shape, me.shape)
}

func category(p *Product) string {
	if p.Body == nil {
		return "assembly"
	}
	return "part"
}

// occurrence writes one use of a child: rep_1 is the child with its own
// origin, rep_2 the assembly with the placement.
func (f *file) occurrence(me *written, c Occurrence, at placed) {
	used := f.add("NEXT_ASSEMBLY_USAGE_OCCURRENCE(%s,%s,'',#%d,#%d,$)", text(c.ID), text(c.ID), me.definition, at.child.definition)
	shape := f.add("PRODUCT_DEFINITION_SHAPE('','',#%d)", used)
	transform := f.add("ITEM_DEFINED_TRANSFORMATION('','',#%d,#%d)", at.child.origin, at.axes)
	relation := f.add("(REPRESENTATION_RELATIONSHIP('','',#%d,#%d)REPRESENTATION_RELATIONSHIP_WITH_TRANSFORMATION(#%d)SHAPE_REPRESENTATION_RELATIONSHIP())",
		at.child.shape, me.shape, transform)
	f.add("CONTEXT_DEPENDENT_SHAPE_REPRESENTATION(#%d,#%d)", relation, shape)
}

func (f *file) style(c Colour) int {
	colour := f.share("COLOUR_RGB('',%s,%s,%s)", real(c[0]), real(c[1]), real(c[2]))
	fill := f.share("FILL_AREA_STYLE_COLOUR('',#%d)", colour)
	area := f.share("FILL_AREA_STYLE('',(#%d))", fill)
	surface := f.share("SURFACE_STYLE_FILL_AREA(#%d)", area)
	side := f.share("SURFACE_SIDE_STYLE('',(#%d))", surface)
	usage := f.share("SURFACE_STYLE_USAGE(.BOTH.,#%d)", side)
	return f.share("PRESENTATION_STYLE_ASSIGNMENT((#%d))", usage)
}

func (f *file) presentation() {
	if len(f.styled) > 0 {
		f.add("MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION('',(%s),#%d)", refs(f.styled), f.representation)
	}
}

// placement writes axes in mm.
func (f *file) placement(p Placement) int {
	return f.axes(r3.Scale(1e3, p.Origin), p.Z, p.X)
}
