package asbuilt

import (
	"bytes"
	"context"
	"encoding/csv"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"sync"
	"testing"

	"spanwright/assess"
	"spanwright/internal/project"
	"spanwright/structure"
)

// portal is the assessed crate portal and its plan, made once.
var portal = sync.OnceValues(func() (*Plan, error) {
	p, list := project.Open(os.DirFS("../examples/crate-portal"), "", "gantry.yaml")
	if err := list.Err(); err != nil {
		return nil, err
	}
	a, err := assess.Run(context.Background(), p.Machine, assess.Options{})
	if err != nil {
		return nil, err
	}
	return NewPlan(a)
})

func plan(t *testing.T) *Plan {
	t.Helper()
	p, err := portal()
	if err != nil {
		t.Fatal(err)
	}
	return p
}

const hash = "0123456789abcdef"

// filled writes a form of the plan as somebody would who fills it in: fill
// receives the cells by column and changes them.
func filled(t *testing.T, p *Plan, test Test, fill func(row int, cells map[string]string)) string {
	t.Helper()
	for _, s := range p.Sheets() {
		if s.Test != test {
			continue
		}
		var b bytes.Buffer
		if err := s.Write(&b, Head{Machine: "portal", Hash: hash, Revision: "A"}); err != nil {
			t.Fatal(err)
		}
		var out strings.Builder
		lines := strings.SplitAfter(b.String(), "\n")
		n := 0
		for ; strings.HasPrefix(lines[n], "#"); n++ {
			line := lines[n]
			for _, u := range layouts[test].uncertainties {
				value := map[string]string{"U_um": "2", "U_N": "0.5", "U_hz": "0.02"}[u]
				line = strings.Replace(line, "# "+u+":\n", "# "+u+": "+value+"\n", 1)
			}
			out.WriteString(line)
		}
		records, err := csv.NewReader(strings.NewReader(strings.Join(lines[n:], ""))).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		w := csv.NewWriter(&out)
		head := records[0]
		for i, r := range records {
			if i > 0 {
				cells := map[string]string{}
				for k, name := range head {
					cells[name] = r[k]
				}
				fill(i-1, cells)
				for k, name := range head {
					r[k] = cells[name]
				}
			}
			if err := w.Write(r); err != nil {
				t.Fatal(err)
			}
		}
		w.Flush()
		return out.String()
	}
	t.Fatalf("no form for %s", test)
	return ""
}

func mustRead(t *testing.T, file, content string) *Form {
	t.Helper()
	f, list := Read(file, []byte(content), Head{Hash: hash})
	if err := list.Err(); err != nil {
		t.Fatalf("%v\n%s", err, content[:min(400, len(content))])
	}
	return f
}

func mustEvaluate(t *testing.T, p *Plan, excluded []string, forms ...*Form) *Report {
	t.Helper()
	r, list := Evaluate(p, forms, excluded)
	if err := list.Err(); err != nil {
		t.Fatal(err)
	}
	return r
}

func finding(t *testing.T, r *Report, subject, quantity string) Finding {
	t.Helper()
	for _, f := range r.Findings {
		if f.Subject == subject && strings.HasPrefix(f.Quantity, quantity) {
			return f
		}
	}
	t.Fatalf("no finding %s of %s", quantity, subject)
	return Finding{}
}

func read(s string) float64 {
	var v float64
	fmt.Sscan(s, &v)
	return v
}

// An empty form is a form: it is read without a mistake and evaluates to nothing.
func TestEmptyFormsAreRead(t *testing.T) {
	p := plan(t)
	for _, test := range Tests {
		f := mustRead(t, "a.csv", filled(t, p, test, func(int, map[string]string) {}))
		if len(f.Rows) > 0 || f.Test != test {
			t.Errorf("%s: %d rows as %s", test, len(f.Rows), f.Test)
		}
		if r := mustEvaluate(t, p, nil, f); len(r.Findings) > 0 || len(r.Warnings) == 0 {
			t.Errorf("%s: %+v", test, r)
		}
	}
}

// positioningForm fills in a reversal of 40 um and small scatter on both axes,
// with one reading that is 0.3 mm off.
func positioningForm(t *testing.T, p *Plan) (text string, wrong int) {
	random := rand.New(rand.NewPCG(5, 6))
	text = filled(t, p, Positioning, func(row int, c map[string]string) {
		d := 0.020
		if c["direction"] == "down" {
			d = -0.020
		}
		d += 0.002 * random.Float64()
		if row == 33 {
			d += 0.3
		}
		c["actual_mm"] = fmt.Sprintf("%.4f", read(c["target_mm"])+d)
	})
	// Comment lines, the header, and rows counted from zero.
	wrong = strings.Count(text[:strings.Index(text, "\naxis,")+1], "\n") + 1 + 33 + 1
	return text, wrong
}

// A wrong reading is named with its line and still counts; left out by name,
// the values are those of the rest.
func TestOneOutlierEndToEnd(t *testing.T) {
	p := plan(t)
	text, line := positioningForm(t, p)
	where := fmt.Sprintf("x.csv:%d", line)
	r := mustEvaluate(t, p, nil, mustRead(t, "x.csv", text))
	if len(r.Flags) != 1 || r.Flags[0].Where != where {
		t.Fatalf("flags %+v, want one at %s", r.Flags, where)
	}
	with := finding(t, r, "axis x", "A,")
	if with.Measured < 300e-6 {
		t.Errorf("the wrong reading was dropped: A = %g", with.Measured)
	}
	r = mustEvaluate(t, p, []string{where}, mustRead(t, "x.csv", text))
	without, b := finding(t, r, "axis x", "A,"), finding(t, r, "axis x", "B,")
	// Both sides lie 40 um apart, with 2 um of even scatter: A is 40 um and a few.
	if without.Measured < 40e-6 || without.Measured > 46e-6 || math.Abs(float64(b.Measured)-40e-6) > 2e-6 || len(r.Flags) > 0 {
		t.Errorf("A %g, B %g, flags %v", without.Measured, b.Measured, r.Flags)
	}
	if len(r.Excluded) != 1 || !strings.Contains(without.Note, "4 runs") {
		t.Errorf("excluded %v, note %q", r.Excluded, without.Note)
	}
	if _, list := Evaluate(p, []*Form{mustRead(t, "x.csv", text)}, []string{"x.csv:1"}); len(list) == 0 {
		t.Error("a row that is not there was left out without a word")
	}
}

func TestBadFormsAreRefusedWithTheirPlace(t *testing.T) {
	p := plan(t)
	good, _ := positioningForm(t, p)
	head := strings.Index(good, "\naxis,") + 1
	line := strings.Count(good[:head], "\n") + 1
	first := strings.Index(good[head:], "\n") + head + 1
	row := good[first : first+strings.Index(good[first:], "\n")]
	cells := strings.Split(row, ",")
	with := func(k int, v string) string {
		c := append([]string(nil), cells...)
		c[k] = v
		return strings.Replace(good, row, strings.Join(c, ","), 1)
	}
	for name, c := range map[string]struct{ text, want string }{
		"an unknown column":    {strings.Replace(good, "target_mm", "targt_mm", 1), fmt.Sprintf("f.csv:%d:20: error: the test positioning has no column \"targt_mm\", did you mean \"target_mm\"? [form-column]", line)},
		"a missing column":     {strings.Replace(strings.Replace(good, ",actual_mm", "", 1), "\n"+row, "", 1), "the column actual_mm is missing"},
		"a column twice":       {strings.Replace(good, "temp_C\n", "axis\n", 2), "stands twice"},
		"a decimal comma":      {with(4, `"12,5"`), fmt.Sprintf("f.csv:%d:%d: error: actual_mm: \"12,5\" is no number, write the decimal sign as a point", line+1, len(strings.Join(cells[:4], ","))+2)},
		"a missing number":     {with(3, ""), fmt.Sprintf("f.csv:%d:%d: error: target_mm is missing in a row that is filled in", line+1, len(strings.Join(cells[:3], ","))+2)},
		"infinity":             {with(4, "Inf"), "is no number"},
		"a wrong word":         {with(2, "upp"), "direction: \"upp\" is none of up, down, did you mean \"up\"?"},
		"a cell too many":      {strings.Replace(good, row, row+",1", 1), "7 cells under 6 columns"},
		"an unknown test":      {strings.Replace(good, "# test: positioning", "# test: positoning", 1), "f.csv:1: error: \"positoning\" is no test, did you mean \"positioning\"?"},
		"no test":              {strings.Replace(good, "# test: positioning\n", "", 1), "says which test"},
		"no uncertainty":       {strings.Replace(good, "# U_um: 2\n", "# U_um:\n", 1), "f.csv:5: error: U_um is missing"},
		"a wrong uncertainty":  {strings.Replace(good, "# U_um: 2\n", "# U_um: -2\n", 1), "is no uncertainty"},
		"a head line twice":    {strings.Replace(good, "# U_um: 2\n", "# U_um: 2\n# U_um: 3\n", 1), "f.csv:6: error: U_um is stated twice"},
		"an open quotation":    {strings.Replace(good, row, `"`+row, 1), "form-syntax"},
		"nothing but the head": {good[:head], "the header row is missing"},
		"nothing":              {"", "says which test"},
	} {
		t.Run(name, func(t *testing.T) {
			_, list := Read("f.csv", []byte(c.text), Head{Hash: hash})
			if !strings.Contains(fmt.Sprint(list.Err()), c.want) {
				t.Errorf("%v\nwant %s", list.Err(), c.want)
			}
		})
	}
	t.Run("an axis that is not there", func(t *testing.T) {
		f := mustRead(t, "f.csv", with(0, "y"))
		_, list := Evaluate(p, []*Form{f}, nil)
		if want := fmt.Sprintf("f.csv:%d:1: error: axis: this machine has no \"y\"", line+1); !strings.Contains(fmt.Sprint(list.Err()), want) {
			t.Errorf("%v\nwant %s", list.Err(), want)
		}
	})
	t.Run("another design is a warning", func(t *testing.T) {
		f, list := Read("f.csv", []byte(good), Head{Hash: "fedcba9876543210"})
		if len(list) > 0 || len(f.Warnings) != 1 || !strings.Contains(f.Warnings[0], "another design") {
			t.Errorf("%v, %v", list, f.Warnings)
		}
	})
}

func FuzzRead(f *testing.F) {
	f.Add([]byte("# test: brake\n# U_um: 1\naxis,torque_Nm,duration_s,movement_mm\nz,1,1,0.1\n"))
	f.Add([]byte("# test: resonance\npose,direction,record,time_s,accel_m_s2\nP1,x,1,0,1\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		form, list := Read("f", text, Head{})
		if len(list) > 0 {
			return
		}
		for _, r := range form.Rows {
			for name, v := range r.Num {
				if math.IsInf(v, 0) {
					t.Errorf("%s is infinite", name)
				}
			}
		}
	})
}

// pullForm fills in pull tests of a machine whose joints are all at a factor.
func pullForm(t *testing.T, p *Plan, found map[string]structure.Response) string {
	steps := []float64{0, 0.25, 0.5, 0.75, 1, 0.75, 0.5, 0.25, 0}
	force := map[string][3]float64{}
	for _, x := range p.Pulls {
		force[x.Name] = x.Force
	}
	return filled(t, p, Stiffness, func(row int, c map[string]string) {
		d := int(c["axis"][0] - 'x')
		f := steps[int(read(c["step"]))-1] * force[c["pose"]][d]
		c["force_N"] = fmt.Sprintf("%.6g", f)
		c["deflection_mm"] = fmt.Sprintf("%.9f", 1e3*f/stiffness(found[c["pose"]], d))
	})
}

func tapForm(t *testing.T, p *Plan, found map[string]structure.Response) string {
	damping := []string{"0.021", "0.024", "0.027"}
	return filled(t, p, Resonance, func(row int, c map[string]string) {
		f := found[c["pose"]].Hz[0]
		if c["direction"] != "x" {
			f *= 1.3
		}
		c["frequency_hz"] = fmt.Sprintf("%.6f", f)
		c["damping"] = damping[row%3]
	})
}

func built(t *testing.T, p *Plan, factor float64) map[string]structure.Response {
	t.Helper()
	var poses [][]float64
	for _, x := range p.Pulls {
		poses = append(poses, x.Q)
	}
	all, err := respond(with(p.Machine, factor), structure.Nominal, poses)
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]structure.Response{}
	for i, x := range p.Pulls {
		out[x.Name] = all[i]
	}
	return out
}

// A machine built by the engine with other joints is found out within the
// uncertainty of the data, and the text that is written gives it back.
func TestCalibrationRecoversAKnownFactor(t *testing.T) {
	p := plan(t)
	for _, factor := range []float64{0.12, 0.35} {
		t.Run(fmt.Sprint(factor), func(t *testing.T) {
			found := built(t, p, factor)
			r := mustEvaluate(t, p, nil, mustRead(t, "pull.csv", pullForm(t, p, found)), mustRead(t, "tap.csv", tapForm(t, p, found)))
			c, err := Calibrate(p, r)
			if err != nil {
				t.Fatal(err)
			}
			if c.Joint == nil || !(c.Joint.Low <= factor && factor <= c.Joint.High) {
				t.Fatalf("%+v does not hold %g: %+v", c.Joint, factor, c.Evidence)
			}
			// The data are free of noise: what is left is the step of the search
			// (0.1 %) and the printed digits.
			if math.Abs(c.Joint.Nominal/factor-1) > 0.02 {
				t.Errorf("nominal %g, want %g", c.Joint.Nominal, factor)
			}
			if math.Abs(c.Damping.Nominal-0.024) > 1e-9 || c.Damping.Low != 0.021 || c.Damping.High != 0.027 {
				t.Errorf("damping %+v", c.Damping)
			}
			text, err := c.Apply(p.Machine.Design.File, p.Machine.Design.Meta.Note, "pull.csv, tap.csv")
			if err != nil {
				t.Fatal(err)
			}
			for _, want := range []string{"# across the aisle", "joint_stiffness: ", "damping: 0.021..0.024..0.027", "measured on the built machine (pull.csv, tap.csv)"} {
				if !strings.Contains(string(text), want) {
					t.Errorf("the text lacks %q", want)
				}
			}
		})
	}
}

// A stiff stand tells nothing about its joints: no factor is invented.
func TestCalibrationSaysWhatItCannotTell(t *testing.T) {
	p := plan(t)
	found := built(t, p, 30)
	text := strings.Replace(pullForm(t, p, found), "# U_um: 2\n", "# U_um: 60\n", 1)
	r := mustEvaluate(t, p, nil, mustRead(t, "pull.csv", text))
	c, err := Calibrate(p, r)
	if err != nil {
		t.Fatal(err)
	}
	if c.Joint != nil || c.Damping != nil || len(c.Notes) < 2 {
		t.Errorf("%+v", c)
	}
	for _, x := range c.Evidence {
		if x.Why == "" {
			t.Errorf("%s: a factor of %g out of a gauge that cannot show it", x.Subject, x.Factor)
		}
	}
	if _, err := c.Apply(p.Machine.Design.File, "", ""); err == nil {
		t.Error("a design was written though nothing was found")
	}
}
