package urdf

import (
	"bytes"
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

func brick(kg float64) Body { return Body{Mass: kg, Inertia: Box(kg, r3.Vec{X: 1, Y: 0.5, Z: 0.2})} }

func gantry() *Robot {
	return &Robot{
		Name: "PN-1", Notes: []string{"a note -- with two hyphens"},
		Links: []Link{
			{Name: "stand", Body: brick(100), Visuals: []Visual{{Name: "leg & <foot>", At: Frame{r3.Vec{Z: 0.5}, r3.Vec{X: 1}}, Box: r3.Vec{X: 0.1, Y: 0.1, Z: 1}, Colour: "grey", RGBA: [4]float64{0.5, 0.5, 0.5, 1}}}},
			{Name: "bridge", Body: brick(30), Visuals: []Visual{{Name: "shaft", Radius: 0.02, Length: 1, Colour: "steel"}}},
			{Name: "tool", Body: brick(5)},
		},
		Joints: []Joint{
			{Name: "x", Parent: "stand", Child: "bridge", At: Frame{At: r3.Vec{Z: 2}}, Axis: r3.Vec{X: 1}, Limit: Limit{-0.005, 4.005, 900, 1.5}},
			{Name: "holds_tool", Fixed: true, Parent: "bridge", Child: "tool"},
		},
	}
}

func TestReadsWhatItWrites(t *testing.T) {
	var b bytes.Buffer
	if err := Write(&b, gantry()); err != nil {
		t.Fatal(err)
	}
	got, err := Read(bytes.NewReader(b.Bytes()))
	if err != nil {
		t.Fatal(err)
	}
	want := gantry()
	want.Notes = nil // comments are not read
	// Twelve digits are written.
	if d := cmp.Diff(want, got, cmpopts.EquateApprox(1e-11, 0), cmpopts.EquateEmpty()); d != "" {
		t.Errorf("(-written +read)\n%s", d)
	}
	var again bytes.Buffer
	if err := Write(&again, gantry()); err != nil || !bytes.Equal(b.Bytes(), again.Bytes()) {
		t.Errorf("two files of the same mechanism differ (%v)", err)
	}
}

func TestCheckRefuses(t *testing.T) {
	faults := map[string]func(r *Robot){
		"two links of one name":        func(r *Robot) { r.Links[2].Name = "bridge" },
		"a link without name":          func(r *Robot) { r.Links[2].Name = "" },
		"two joints of one name":       func(r *Robot) { r.Joints[1].Name = "x" },
		"a child that is not there":    func(r *Robot) { r.Joints[0].Child = "mast" },
		"a child of two parents":       func(r *Robot) { r.Joints[1].Child, r.Joints[1].Parent = "bridge", "tool" },
		"two roots":                    func(r *Robot) { r.Joints = r.Joints[:1] },
		"the root is held":             func(r *Robot) { r.Joints[1].Child = "stand" },
		"a circle apart":               func(r *Robot) { r.Joints[0].Parent = "tool" },
		"no axis":                      func(r *Robot) { r.Joints[0].Axis = r3.Vec{} },
		"limits the wrong way round":   func(r *Robot) { r.Joints[0].Limit.Lower = 5 },
		"a limit that is no number":    func(r *Robot) { r.Joints[0].Limit.Upper = math.NaN() },
		"no effort":                    func(r *Robot) { r.Joints[0].Limit.Effort = 0 },
		"no speed":                     func(r *Robot) { r.Joints[0].Limit.Velocity = 0 },
		"no mass":                      func(r *Robot) { r.Links[1].Body.Mass = 0 },
		"an inertia that cannot be":    func(r *Robot) { r.Links[1].Body.Inertia.ZZ *= 3 },
		"an inertia below zero":        func(r *Robot) { r.Links[1].Body.Inertia.XY = 10 },
		"an inertia that is no number": func(r *Robot) { r.Links[1].Body.Inertia.XX = math.NaN() },
		"a link that nothing holds":    func(r *Robot) { r.Links = append(r.Links, Link{Name: "loose", Body: brick(1)}) },
	}
	for name, fault := range faults {
		t.Run(name, func(t *testing.T) {
			r := gantry()
			fault(r)
			var b bytes.Buffer
			if err := Write(&b, r); !errors.Is(err, ErrRobot) {
				t.Errorf("got %v, want ErrRobot", err)
			}
			if b.Len() > 0 {
				t.Errorf("%d bytes were written all the same", b.Len())
			}
		})
	}
}

func TestReadRefuses(t *testing.T) {
	var b bytes.Buffer
	if err := Write(&b, gantry()); err != nil {
		t.Fatal(err)
	}
	tests := map[string][2]string{
		"a joint that turns":      {`type="prismatic"`, `type="revolute"`},
		"no limit":                {`<limit lower="-0.005" upper="4.005" effort="900" velocity="1.5"></limit>`, ""},
		"no axis":                 {`<axis xyz="1 0 0"></axis>`, ""},
		"two numbers for a place": {`<axis xyz="1 0 0">`, `<axis xyz="1 0">`},
		"a word for a number":     {`<axis xyz="1 0 0">`, `<axis xyz="1 0 up">`},
		"an unknown shape":        {`<cylinder radius="0.02" length="1"></cylinder>`, `<sphere radius="1"></sphere>`},
		"a turned inertia":        {`rpy="0 0 0"></origin>` + "\n" + `      <mass value="100">`, `rpy="1 0 0"></origin>` + "\n" + `      <mass value="100">`},
		"a file that breaks off":  {`</robot>`, ""},
	}
	for name, change := range tests {
		t.Run(name, func(t *testing.T) {
			s := strings.Replace(b.String(), change[0], change[1], 1)
			if s == b.String() {
				t.Fatal("nothing was changed")
			}
			if r, err := Read(strings.NewReader(s)); err == nil {
				t.Errorf("read %v", r)
			}
		})
	}
}

// TestAngleFrame: roll, pitch and yaw give the axes back, also where pitch is a right angle.
func TestAngleFrame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		angle := rapid.Float64Range(-math.Pi, math.Pi)
		pitch := rapid.OneOf(rapid.Float64Range(-math.Pi/2, math.Pi/2), rapid.SampledFrom([]float64{-math.Pi / 2, math.Pi / 2}))
		x, y, z := Frame{RPY: r3.Vec{X: angle.Draw(t, "roll"), Y: pitch.Draw(t, "pitch"), Z: angle.Draw(t, "yaw")}}.Axes()
		gx, gy, gz := AngleFrame(r3.Vec{}, x, y, z).Axes()
		// Near a right angle roll and yaw are lost to about 1e-9: see AngleFrame.
		for _, d := range []r3.Vec{r3.Sub(gx, x), r3.Sub(gy, y), r3.Sub(gz, z)} {
			if r3.Norm(d) > 3e-9 {
				t.Fatalf("axes %v %v %v, want %v %v %v", gx, gy, gz, x, y, z)
			}
		}
	})
}
