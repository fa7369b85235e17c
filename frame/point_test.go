package frame

import (
	"math"
	"testing"
)

// TestLoadAnywhereOnABeam moves a load along a beam on two supports that is cut into twelve. The reactions are those of
// the lever wherever it stands. The deflection under the load is P a²(L-a)²/(3EIL) + P a(L-a)/(GAs L) at nodes; between
// them it lacks what bends the element itself, as Point says.
func TestLoadAnywhereOnABeam(t *testing.T) {
	b := newBuilder()
	b.node("a", 0, 0, 0)
	b.node("b", 2, 0, 0)
	b.member("beam", "a", "b", "80x80", 12)
	b.Supports = []Support{{"a", [6]bool{true, true, true, true}}, {"b", [6]bool{false, true, true}}}
	s := assembled(t, &b.Model)
	for i := range 25 {
		x := float64(i) / 24
		at := Point{Member: "beam", Position: x}
		st, err := s.Static(Case{ID: "c", Forces: []Force{{At: at, Force: [3]float64{0, 0, -1000}}}})
		if err != nil {
			t.Fatal(err)
		}
		if r := reaction(st, "b"); math.Abs(r[UZ]-1000*x) > 1e-8 {
			t.Errorf("at %g: reaction %g, lever %g", x, r[UZ], 1000*x)
		}
		d, err := st.At(at)
		if err != nil {
			t.Fatal(err)
		}
		l, a := 2.0, 2*x
		want := -1000 * (a*a*(l-a)*(l-a)/(3*alu.E*profile.Iy*l) + a*(l-a)/(alu.G*profile.Asz*l))
		if i%2 == 0 {
			near(t, "under the load at a node", d[UZ], want, 1e-9)
			continue
		}
		e := l / 12
		lack := -1000 * (e*e*e/(192*alu.E*profile.Iy) + e/(4*alu.G*profile.Asz))
		near(t, "under the load between nodes", d[UZ]+lack, want, 1e-9)
		if i == 13 && math.Abs(lack) > 0.0016*math.Abs(want) {
			t.Errorf("lacks %g of %g", lack, want)
		}
	}
}

// TestPointsFollowTheirMember: points at the ends of a member, with arms and freed ends, move like the nodes do.
func TestPointsFollowTheirMember(t *testing.T) {
	m := posed()
	m.Members[4].OffsetFrom = [3]float64{0, 0.02, -0.03}
	m.Cases = gantryCases()[:1]
	s, st := system(t, m)
	for _, mm := range m.Members {
		from, _ := st.Displacement(mm.From)
		got, err := st.At(Point{Member: mm.ID, Position: 0, Offset: scale(-1, mm.OffsetFrom)})
		if err != nil {
			t.Fatal(err)
		}
		for k := range 3 {
			// A freed end turns by itself, so only an end without arm can be compared there.
			if mm.FromEnd == (End{}) || mm.OffsetFrom == [3]float64{} {
				if math.Abs(got[k]-from[k]) > 1e-15 {
					t.Errorf("%s: point at the beginning moves by %v, its node by %v", mm.ID, got, from)
				}
			}
		}
		// Across the elements of a member displacements are continuous.
		if n := max(mm.Divide, 1); n > 1 {
			a, _ := st.At(Point{Member: mm.ID, Position: 1/float64(n) - 1e-12})
			b, _ := st.At(Point{Member: mm.ID, Position: 1/float64(n) + 1e-12})
			for k := range 6 {
				if math.Abs(a[k]-b[k]) > 1e-10*(math.Abs(a[k])+1e-3) {
					t.Errorf("%s: jumps from %v to %v", mm.ID, a, b)
				}
			}
		}
	}
	if _, err := st.At(Point{Member: "nothing"}); err == nil {
		t.Error("a point on nothing was evaluated")
	}
	if s.Mass() < 50 {
		t.Errorf("mass %g", s.Mass())
	}
}

// TestStations: stress resultants of a loaded beam on two supports, against the closed form at every place.
func TestStations(t *testing.T) {
	b := newBuilder()
	b.node("a", 0, 0, 0)
	b.node("b", 0, 3, 0)
	b.member("beam", "a", "b", "40x80", 3)
	b.Supports = []Support{{"a", [6]bool{true, true, true, false, true}}, {"b", [6]bool{true, false, true}}}
	const q, n, l = -200.0, 500.0, 3.0
	b.Cases = []Case{{ID: "c", LineLoads: []LineLoad{{Member: "beam", PerLength: [3]float64{0, 0, q}}},
		Forces: []Force{{At: Point{Node: "b"}, Force: [3]float64{0, n, 0}}}}}
	_, st := system(t, &b.Model)
	stations := st.Stations("beam", 4)
	if len(stations) != 13 {
		t.Fatalf("%d stations", len(stations))
	}
	for _, s := range stations {
		x := s.At
		near(t, "N", s.N, n, 1e-9)
		// z points up; at the cut the part towards the beginning is held by what the rest exerts on it.
		if want := -q*x + q*l/2; math.Abs(s.Vz-want) > 1e-8 {
			t.Errorf("Vz at %g = %g, want %g", x, s.Vz, want)
		}
		if want := q * x * (l - x) / 2; math.Abs(math.Abs(s.My)-math.Abs(want)) > 1e-8 {
			t.Errorf("My at %g = %g, want ±%g", x, s.My, want)
		}
		ei, gas := alu.E*flat.Iy, alu.G*flat.Asz
		want := q*x*(l*l*l-2*l*x*x+x*x*x)/(24*ei) + q*x*(l-x)/(2*gas)
		if math.Abs(s.Uz-want) > 1e-9*math.Abs(q)*l*l*l*l/ei {
			t.Errorf("uz at %g = %g, want %g", x, s.Uz, want)
		}
		if math.Abs(s.Y-x) > 1e-12 {
			t.Errorf("place %g at %g", s.Y, x)
		}
	}
	x, ok := st.Extremes("beam")
	if !ok {
		t.Fatal("no such member")
	}
	near(t, "largest moment", x.My, -q*l*l/8, 1e-9)
	near(t, "largest shear", x.Vz, -q*l/2, 1e-9)
	stress := x.Stress(Moduli{Area: flat.A, Wy: 2e-5, Wz: 1e-5, Wt: 1e-5, Asz: flat.Asz})
	near(t, "normal stress", stress.Normal, n/flat.A+(-q*l*l/8)/2e-5, 1e-9)
	near(t, "shear stress", stress.Shear, (-q*l/2)/flat.Asz, 1e-9)
	near(t, "equivalent", stress.Equivalent, math.Sqrt(stress.Normal*stress.Normal+3*stress.Shear*stress.Shear), 1e-12)
	if st.Stations("nothing", 2) != nil || st.Stations("beam", 0) != nil {
		t.Error("stations of nothing")
	}
}
