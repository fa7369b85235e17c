package urdf

import (
	"bufio"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"
)

// The elements of the format, as far as they are written and read.

type robotXML struct {
	XMLName xml.Name   `xml:"robot"`
	Name    string     `xml:"name,attr"`
	Links   []linkXML  `xml:"link"`
	Joints  []jointXML `xml:"joint"`
}

type linkXML struct {
	Name     string      `xml:"name,attr"`
	Inertial inertialXML `xml:"inertial"`
	Visuals  []visualXML `xml:"visual"`
	Bounds   []visualXML `xml:"collision"`
}

type inertialXML struct {
	Origin originXML `xml:"origin"`
	Mass   struct {
		Value float64 `xml:"value,attr"`
	} `xml:"mass"`
	Inertia struct {
		XX float64 `xml:"ixx,attr"`
		XY float64 `xml:"ixy,attr"`
		XZ float64 `xml:"ixz,attr"`
		YY float64 `xml:"iyy,attr"`
		YZ float64 `xml:"iyz,attr"`
		ZZ float64 `xml:"izz,attr"`
	} `xml:"inertia"`
}

type originXML struct {
	XYZ vector `xml:"xyz,attr"`
	RPY vector `xml:"rpy,attr"`
}

type visualXML struct {
	Name     string       `xml:"name,attr,omitempty"`
	Origin   originXML    `xml:"origin"`
	Geometry geometryXML  `xml:"geometry"`
	Material *materialXML `xml:"material"`
}

type geometryXML struct {
	Box      *boxXML      `xml:"box"`
	Cylinder *cylinderXML `xml:"cylinder"`
	Mesh     *meshXML     `xml:"mesh"`
}

type meshXML struct {
	File string `xml:"filename,attr"`
}

type boxXML struct {
	Size vector `xml:"size,attr"`
}

type cylinderXML struct {
	Radius float64 `xml:"radius,attr"`
	Length float64 `xml:"length,attr"`
}

type materialXML struct {
	Name  string `xml:"name,attr"`
	Color struct {
		RGBA vector `xml:"rgba,attr"`
	} `xml:"color"`
}

type jointXML struct {
	Name   string    `xml:"name,attr"`
	Type   string    `xml:"type,attr"`
	Parent linkRef   `xml:"parent"`
	Child  linkRef   `xml:"child"`
	Origin originXML `xml:"origin"`
	Axis   *axisXML  `xml:"axis"`
	Limit  *limitXML `xml:"limit"`
}

type linkRef struct {
	Link string `xml:"link,attr"`
}

type axisXML struct {
	XYZ vector `xml:"xyz,attr"`
}

type limitXML struct {
	Lower    float64 `xml:"lower,attr"`
	Upper    float64 `xml:"upper,attr"`
	Effort   float64 `xml:"effort,attr"`
	Velocity float64 `xml:"velocity,attr"`
}

// vector is a list of numbers in one attribute.
type vector []float64

func (v vector) MarshalXMLAttr(name xml.Name) (xml.Attr, error) {
	words := make([]string, len(v))
	for i, x := range v {
		words[i] = strconv.FormatFloat(x+0, 'g', 12, 64)
		if words[i] == "-0" {
			words[i] = "0"
		}
	}
	return xml.Attr{Name: name, Value: strings.Join(words, " ")}, nil
}

func (v *vector) UnmarshalXMLAttr(attr xml.Attr) error {
	*v = nil
	for _, w := range strings.Fields(attr.Value) {
		x, err := strconv.ParseFloat(w, 64)
		if err != nil {
			return fmt.Errorf("%s: %q is no number", attr.Name.Local, w)
		}
		*v = append(*v, x)
	}
	return nil
}

func triple(v r3.Vec) vector { return vector{v.X, v.Y, v.Z} }

// vec is the vector of three numbers; none at all are zeros.
func (v vector) vec() (r3.Vec, error) {
	switch len(v) {
	case 0:
		return r3.Vec{}, nil
	case 3:
		return r3.Vec{X: v[0], Y: v[1], Z: v[2]}, nil
	}
	return r3.Vec{}, fmt.Errorf("%d numbers where three are needed", len(v))
}

// Write writes the mechanism, or nothing if it is not sound.
func Write(w io.Writer, r *Robot) error {
	if err := r.Check(); err != nil {
		return err
	}
	doc := robotXML{Name: r.Name}
	for _, l := range r.Links {
		doc.Links = append(doc.Links, l.xml())
	}
	for _, j := range r.Joints {
		doc.Joints = append(doc.Joints, j.xml())
	}
	body, err := xml.MarshalIndent(doc, "", "  ")
	if err != nil {
		return fmt.Errorf("%w: %w", ErrRobot, err)
	}
	out := bufio.NewWriter(w)
	out.WriteString(xml.Header)
	for _, n := range r.Notes {
		// Two hyphens end a comment.
		fmt.Fprintf(out, "<!-- %s -->\n", strings.ReplaceAll(n, "--", "- -"))
	}
	out.Write(body)
	out.WriteByte('\n')
	return out.Flush()
}

func (l Link) xml() linkXML {
	out := linkXML{Name: l.Name}
	out.Inertial.Origin = originXML{triple(l.Body.Centre), vector{0, 0, 0}}
	out.Inertial.Mass.Value = l.Body.Mass
	i := &out.Inertial.Inertia
	i.XX, i.XY, i.XZ = l.Body.Inertia.XX, l.Body.Inertia.XY, l.Body.Inertia.XZ
	i.YY, i.YZ, i.ZZ = l.Body.Inertia.YY, l.Body.Inertia.YZ, l.Body.Inertia.ZZ
	for _, v := range l.Visuals {
		x := visualXML{Name: v.Name, Origin: originXML{triple(v.At.At), triple(v.At.RPY)}}
		if v.Radius > 0 {
			x.Geometry.Cylinder = &cylinderXML{v.Radius, v.Length}
		} else {
			x.Geometry.Box = &boxXML{triple(v.Box)}
		}
		if l.Mesh != "" {
			out.Bounds = append(out.Bounds, x)
			continue
		}
		x.Material = &materialXML{Name: v.Colour}
		x.Material.Color.RGBA = v.RGBA[:]
		out.Visuals = append(out.Visuals, x)
	}
	if l.Mesh != "" {
		shown := visualXML{Name: l.Name, Origin: originXML{vector{0, 0, 0}, vector{0, 0, 0}}}
		shown.Geometry.Mesh = &meshXML{l.Mesh}
		out.Visuals = []visualXML{shown}
	}
	return out
}

func (j Joint) xml() jointXML {
	out := jointXML{
		Name: j.Name, Type: "fixed", Parent: linkRef{j.Parent}, Child: linkRef{j.Child},
		Origin: originXML{triple(j.At.At), triple(j.At.RPY)},
	}
	if !j.Fixed {
		out.Type = "prismatic"
		out.Axis = &axisXML{triple(j.Axis)}
		out.Limit = &limitXML{j.Limit.Lower, j.Limit.Upper, j.Limit.Effort, j.Limit.Velocity}
	}
	return out
}

// Read reads a mechanism of fixed and prismatic joints, and checks it.
func Read(src io.Reader) (*Robot, error) {
	var doc robotXML
	if err := xml.NewDecoder(src).Decode(&doc); err != nil {
		return nil, err
	}
	r := &Robot{Name: doc.Name}
	var wrong []error
	note := func(err error, where string) {
		if err != nil {
			wrong = append(wrong, fmt.Errorf("%s: %w", where, err))
		}
	}
	for _, l := range doc.Links {
		out, err := l.link()
		note(err, "link "+l.Name)
		r.Links = append(r.Links, out)
	}
	for _, j := range doc.Joints {
		out, err := j.joint()
		note(err, "joint "+j.Name)
		r.Joints = append(r.Joints, out)
	}
	if len(wrong) > 0 {
		return nil, errors.Join(wrong...)
	}
	return r, r.Check()
}

func (o originXML) frame() (Frame, error) {
	at, err := o.XYZ.vec()
	rpy, also := o.RPY.vec()
	return Frame{at, rpy}, errors.Join(err, also)
}

func (l linkXML) link() (Link, error) {
	out := Link{Name: l.Name}
	at, err := l.Inertial.Origin.frame()
	if at.RPY != (r3.Vec{}) {
		err = errors.Join(err, fmt.Errorf("a turned inertia is not read"))
	}
	i := l.Inertial.Inertia
	out.Body = Body{l.Inertial.Mass.Value, at.At, Inertia{i.XX, i.YY, i.ZZ, i.XY, i.XZ, i.YZ}}
	shapes := l.Visuals
	if len(shapes) == 1 && shapes[0].Geometry.Mesh != nil {
		out.Mesh, shapes = shapes[0].Geometry.Mesh.File, l.Bounds
	}
	for _, v := range shapes {
		shape, bad := v.visual()
		err = errors.Join(err, bad)
		out.Visuals = append(out.Visuals, shape)
	}
	return out, err
}

func (v visualXML) visual() (Visual, error) {
	out := Visual{Name: v.Name}
	at, err := v.Origin.frame()
	out.At = at
	if v.Material != nil {
		out.Colour = v.Material.Name
		copy(out.RGBA[:], v.Material.Color.RGBA)
	}
	switch {
	case v.Geometry.Box != nil:
		size, bad := v.Geometry.Box.Size.vec()
		out.Box, err = size, errors.Join(err, bad)
	case v.Geometry.Cylinder != nil:
		out.Radius, out.Length = v.Geometry.Cylinder.Radius, v.Geometry.Cylinder.Length
	default:
		err = errors.Join(err, fmt.Errorf("visual %q has no shape that is read", v.Name))
	}
	return out, err
}

func (j jointXML) joint() (Joint, error) {
	out := Joint{Name: j.Name, Fixed: j.Type == "fixed", Parent: j.Parent.Link, Child: j.Child.Link}
	at, err := j.Origin.frame()
	out.At = at
	if out.Fixed {
		return out, err
	}
	if j.Type != "prismatic" || j.Axis == nil || j.Limit == nil {
		return out, errors.Join(err, fmt.Errorf("type %q: prismatic joints need an axis and a limit", j.Type))
	}
	axis, bad := j.Axis.XYZ.vec()
	out.Axis, out.Limit = axis, Limit{j.Limit.Lower, j.Limit.Upper, j.Limit.Effort, j.Limit.Velocity}
	return out, errors.Join(err, bad)
}
