package verification

import (
	"fmt"

	"gonum.org/v1/gonum/num/quat"
	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/glb"
	"spanwright/prism"
	"spanwright/step"
	"spanwright/urdf"
)

// handoverModels compute the cases of the 3D files of the hand-over pack.
var handoverModels = map[string]Model{
	"HO-3D-01": stepPrism,
	"HO-3D-02": stepPlacement,
	"HO-3D-03": stepNested,
	"HO-3D-04": boxInertia,
	"HO-3D-05": joinedInertia,
	"HO-3D-06": zUpToYUp,
	"HO-3D-07": stepArcs,
	"HO-3D-08": prismVolume,
}

func polygonMM(rows [][]float64) prism.Loop {
	points := make([]prism.Point, len(rows))
	for i, r := range rows {
		points[i] = prism.Point{X: r[0] / 1e3, Y: r[1] / 1e3}
	}
	return prism.Polygon(points...)
}

func vectorOf(v []float64) r3.Vec { return r3.Vec{X: v[0], Y: v[1], Z: v[2]} }

func boundsMM(p *step.Product) []float64 {
	lo, hi := p.Bounds()
	return []float64{1e3 * lo.X, 1e3 * lo.Y, 1e3 * lo.Z, 1e3 * hi.X, 1e3 * hi.Y, 1e3 * hi.Z}
}

// stepPrism is a prism with a square hole and a bore.
func stepPrism(in Values) (Values, error) {
	bore := in.Values("bore")
	c := bore.Nums("centre_mm")
	p := prism.Prism{Length: in.Num("height_mm") / 1e3, Outline: prism.Outline{
		Outer: polygonMM(in.Rows("outer_mm")),
		Holes: []prism.Loop{
			polygonMM(in.Rows("inner_loop_mm")),
			prism.Circle(prism.Point{X: c[0] / 1e3, Y: c[1] / 1e3}, bore.Num("radius_mm")/1e3),
		},
	}.Oriented()}
	b, err := step.NewBody(p)
	if err != nil {
		return nil, err
	}
	part := &step.Product{ID: "part", Body: &p}
	return Values{
		"volume_mm3": b.Volume(), "solids": 1.0, "faces_one_seam": float64(b.Faces()), "edges_one_seam": float64(b.Edges()), "bbox_mm": boundsMM(part),
	}, nil
}

// cornerBox is a box with one corner at the origin.
func cornerBox(sizeMM []float64) prism.Prism {
	x, y := sizeMM[0]/1e3, sizeMM[1]/1e3
	return prism.Prism{Outline: prism.Outline{Outer: prism.Rectangle(x, y).Moved(x/2, y/2)}, Length: sizeMM[2] / 1e3}
}

func placementMM(origin, z, x []float64) step.Placement {
	return step.Placement{Origin: r3.Scale(1e-3, vectorOf(origin)), Z: vectorOf(z), X: vectorOf(x)}
}

func stepPlacement(in Values) (Values, error) {
	size := in.Nums("plate_mm")
	p := cornerBox(size)
	p.Holes = []prism.Loop{prism.Circle(prism.Point{X: size[0] / 2e3, Y: size[1] / 2e3}, in.Num("bore_radius_mm")/1e3).Reversed()}
	b, err := step.NewBody(p)
	if err != nil {
		return nil, err
	}
	plate := &step.Product{ID: "plate", Body: &p}
	placed := &step.Product{ID: "assembly", Children: []step.Occurrence{
		{ID: "plate-1", Of: plate, At: placementMM(in.Nums("placement_origin_mm"), in.Nums("z_dir"), in.Nums("x_dir"))},
	}}
	return Values{"volume_mm3": b.Volume(), "bbox_mm": boundsMM(placed)}, nil
}

func stepNested(in Values) (Values, error) {
	p := cornerBox(in.Nums("leg_mm"))
	leg := &step.Product{ID: "leg", Body: &p}
	in1 := step.Here
	in1.Origin = r3.Scale(1e-3, vectorOf(in.Nums("stand_child_origin_mm")))
	stand := &step.Product{ID: "stand", Children: []step.Occurrence{{ID: "leg-1", Of: leg, At: in1}}}
	gantry := &step.Product{ID: "gantry", Children: []step.Occurrence{
		{ID: "stand-1", Of: stand, At: placementMM(in.Nums("stand_origin_mm"), in.Nums("stand_z_dir"), in.Nums("stand_x_dir"))},
	}}
	return Values{"bbox_mm": boundsMM(gantry)}, nil
}

func boxInertia(in Values) (Values, error) {
	list := func(i urdf.Inertia) []float64 { return []float64{i.XX, i.YY, i.ZZ} }
	h := in.Values("hollow")
	hollow, err := urdf.Hollow(h.Num("mass_kg"), vectorOf(h.Nums("size_m")), vectorOf(h.Nums("inner_m")))
	return Values{"box_kg_m2": list(urdf.Box(in.Num("mass_kg"), vectorOf(in.Nums("size_m")))), "hollow_kg_m2": list(hollow)}, err
}

func joinedInertia(in Values) (Values, error) {
	var bodies []urdf.Body
	for _, b := range in.List("bodies") {
		i := b.Nums("inertia_own_kg_m2")
		bodies = append(bodies, urdf.Body{Mass: b.Num("mass_kg"), Centre: vectorOf(b.Nums("centre_m")), Inertia: urdf.Inertia{XX: i[0], YY: i[1], ZZ: i[2]}})
	}
	all := urdf.Join(bodies...)
	i := all.Inertia
	return Values{
		"mass_kg": all.Mass, "centre_m": []float64{all.Centre.X, all.Centre.Y, all.Centre.Z},
		"ixx": i.XX, "iyy": i.YY, "izz": i.ZZ, "ixy": i.XY, "ixz": i.XZ, "iyz": i.YZ,
	}, all.Check()
}

// zUpToYUp turns points by the rotation of the file's root, which must be that of the case.
func zUpToYUp(in Values) (Values, error) {
	q := in.Nums("quaternion_xyzw")
	given := quat.Number{Real: q[3], Imag: q[0], Jmag: q[1], Kmag: q[2]}
	// The case gives ten digits.
	if d := quat.Abs(quat.Sub(given, glb.ZUp)); !(d < 1e-9) {
		return nil, fmt.Errorf("the root is turned by %v, the case says %v", glb.ZUp, given)
	}
	var out []any
	for _, p := range in.Rows("points_z_up") {
		v := glb.Turn(glb.ZUp, vectorOf(p))
		out = append(out, []any{v.X, v.Y, v.Z})
	}
	return Values{"points_y_up": out}, nil
}

func stepArcs(in Values) (Values, error) {
	r, bitten := in.Values("rounded_rectangle"), in.Values("bitten_rectangle")
	size := r.Nums("size_mm")
	rounded := prism.Prism{Length: r.Num("height_mm") / 1e3, Outline: prism.Outline{Outer: prism.Rounded(size[0]/1e3, size[1]/1e3, r.Num("corner_radius_mm")/1e3)}}
	size = bitten.Nums("size_mm")
	x, y, bite := size[0]/2e3, size[1]/2e3, bitten.Num("semicircle_radius_mm")/1e3
	loop := prism.Polygon(
		prism.Point{X: -x, Y: -y}, prism.Point{X: x, Y: -y}, prism.Point{X: x, Y: y},
		prism.Point{X: bite, Y: y}, prism.Point{X: -bite, Y: y}, prism.Point{X: -x, Y: y},
	)
	loop[3].Bulge = -1 // half a circle into the material
	a, err := step.NewBody(rounded)
	if err != nil {
		return nil, err
	}
	b, err := step.NewBody(prism.Prism{Length: bitten.Num("height_mm") / 1e3, Outline: prism.Outline{Outer: loop}})
	if err != nil {
		return nil, err
	}
	return Values{
		"rounded_volume_mm3": a.Volume(), "rounded_faces": float64(a.Faces()), "bitten_volume_mm3": b.Volume(), "bitten_faces": float64(b.Faces()),
	}, nil
}

func prismVolume(in Values) (Values, error) {
	p := prism.Prism{Length: in.Num("height_mm") / 1e3, Outline: prism.Outline{
		Outer: polygonMM(in.Rows("outer_ccw_mm")), Holes: []prism.Loop{polygonMM(in.Rows("inner_cw_mm"))},
	}}
	b, err := step.NewBody(p)
	if err != nil {
		return nil, err
	}
	wrong := p.Outline
	wrong.Holes = []prism.Loop{p.Holes[0].Reversed()}
	if err := (prism.Prism{Outline: wrong, Length: p.Length}).Check(); err == nil {
		return nil, fmt.Errorf("a hole that turns the wrong way is not refused")
	}
	return Values{
		"signed_area_mm2": 1e6 * p.Area(), "volume_mm3": b.Volume(), "signed_area_if_inner_is_ccw_mm2": 1e6 * wrong.Area(),
	}, nil
}
