package parts

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"spanwright/diag"
	"spanwright/quantity"
)

// beltHead is a header with everything that a belt needs.
const beltHead = "id,title,pitch [mm],width [mm],stretch_stiffness [kN],mass_per_m [g/m],tooth_speeds [rpm],tooth_forces [N],counted_teeth,cord_force [N]\n"

func TestTable(t *testing.T) {
	text := "# from the sheet of March\n# kind: belt\n" + beltHead +
		"b-30,\"pitch 8, 30 \"\"wide\"\"\",8,30,840,156,0 1000,150 112,12,2850\n\n# later\nb-50,, 8 ,50,1400,260,0,250,12,4750\n"
	got, list := Read(Source{Name: "mine.csv", Text: []byte(text)})
	if len(list) > 0 {
		t.Fatal(list.Error())
	}
	want := []Part{
		&Belt{
			Common: Common{ID: "b-30", Title: `pitch 8, 30 "wide"`, File: "mine.csv", Line: 4},
			Pitch:  0.008, Width: 0.03, EA: 840e3, MassPerM: 0.156,
			ToothAt: []float64{0, rpm(t, 1000)}, Tooth: []float64{150, 112}, ToothCap: 12, Cord: 2850,
		},
		&Belt{
			Common: Common{ID: "b-50", File: "mine.csv", Line: 7},
			Pitch:  0.008, Width: 0.05, EA: 1400e3, MassPerM: 0.26, ToothAt: []float64{0}, Tooth: []float64{250}, ToothCap: 12, Cord: 4750,
		},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

func rpm(t *testing.T, n float64) float64 {
	t.Helper()
	v, err := quantity.Parse(fmt.Sprint(n)+" rpm", quantity.AngularSpeed)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// TestTableForms reads the same rack from tables as different programs write them.
func TestTableForms(t *testing.T) {
	const head = "id;module [mm];pinion_teeth;width [in];rated_force [lbf];mass_per_m [kg/m]"
	const row = "r-2;2;20;1;250;3.1"
	forms := map[string]Source{
		"semicolons, Windows line ends, byte order mark": {Name: "rack.csv", Text: []byte("\uFEFF" + head + "\r\n" + row + "\r\n")},
		"tabs":                     {Name: "x.tsv", Text: []byte("# kind: rack\n" + strings.ReplaceAll(head+"\n"+row, ";", "\t"))},
		"commas, kind by caller":   {Name: "x.csv", Kind: "rack", Text: []byte(strings.ReplaceAll(head+"\n"+row, ";", ","))},
		"a row of empty cells":     {Name: "a/rack.csv", Text: []byte(head + "\n;;;;;\n" + row + "\n;;;;;")},
		"columns in another order": {Name: "rack.csv", Text: []byte("rated_force [lbf];id;mass_per_m [kg/m];module [mm];width [in];pinion_teeth\n250;r-2;3.1;2;1;20")},
	}
	want := []Part{&Rack{Common: Common{ID: "r-2"}, Module: 0.002, Teeth: 20, Width: 0.0254, Force: 250 * 4.4482216152605, MassPerM: 3.1}}
	near := cmp.Comparer(func(a, b float64) bool { return a == b || (a-b)/b < 1e-12 && (b-a)/b < 1e-12 })
	place := cmp.FilterPath(func(p cmp.Path) bool { return p.Last().String() == ".File" || p.Last().String() == ".Line" }, cmp.Ignore())
	for name, src := range forms {
		t.Run(name, func(t *testing.T) {
			got, list := Read(src)
			if len(list) > 0 {
				t.Fatal(list.Error())
			}
			if diff := cmp.Diff(want, got, near, place); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func TestTableMistakes(t *testing.T) {
	row := "b,,8,30,840,156,0,150,12,2850\n"
	tests := map[string]struct {
		name, text string
		want       []string // place, code and the beginning of the message
	}{
		"unknown column":                  {"belt.csv", strings.Replace(beltHead, "pitch", "pich", 1) + row, []string{`1:10 unknown-column "pich" is no column of the kind belt`}},
		"unit missing":                    {"belt.csv", strings.Replace(beltHead, "width [mm]", "width", 1) + row, []string{`1:21 unit-missing the column width needs the unit of its numbers: a length is needed`}},
		"wrong kind of unit":              {"belt.csv", strings.Replace(beltHead, "[kN]", "[mm]", 1) + row, []string{`1:32 unit-kind the column stretch_stiffness has the unit "mm"; a force is needed`}},
		"unit that is none":               {"belt.csv", strings.Replace(beltHead, "[kN]", "[kilo]", 1) + row, []string{`1:32 unit-unknown the column stretch_stiffness has the unit "kilo"; a force is needed`}},
		"unit where there is none":        {"belt.csv", strings.Replace(beltHead, "counted_teeth", "counted_teeth [mm]", 1) + row, []string{`1:108 unit-surplus the column counted_teeth has no unit`}},
		"bracket not closed":              {"belt.csv", strings.Replace(beltHead, "[kN]", "[kN", 1) + row, []string{`1:32 table the unit does not end with ]`}},
		"column twice":                    {"belt.csv", strings.Replace(beltHead, "title", "id", 1) + row, []string{`1:4 duplicate-key the column id stands here twice`}},
		"column missing, said once":       {"belt.csv", strings.Replace(beltHead, ",cord_force [N]", "", 1) + "b,,8,30,840,156,0,150,12\nc,,8,30,840,156,0,150,12\n", []string{`1:1 missing-key the column cord_force [N] is missing: allowed tension of one run`}},
		"no id":                           {"belt.csv", strings.Replace(beltHead, "id,", "", 1) + row[2:], []string{`1:1 missing-key the column id is missing`}},
		"cell missing":                    {"belt.csv", beltHead + "b,,8,,840,156,0,150,12,2850\n", []string{`2:6 missing-key is missing: width`}},
		"row too short":                   {"belt.csv", beltHead + "b,,8,30,840,156,0,150,12\n", []string{`2:1 missing-key is missing: allowed tension`}},
		"row too long":                    {"belt.csv", beltHead + "b,,8,30,840,156,0,150,12,2,850\n", []string{`2:28 table the row has 11 cells, the header 10`}},
		"out of range":                    {"belt.csv", beltHead + "b,,8,30,840,156,0,150,12,2850000\n", []string{`2:26 range 2850000 N is above what is allowed: 1 N to 1 MN`}},
		"decimal comma":                   {"belt.csv", "id;title;pitch [mm];width [mm];stretch_stiffness [kN];mass_per_m [g/m];tooth_speeds [rpm];tooth_forces [N];counted_teeth;cord_force [N]\nb;é;8,5;30;840;156;0;150;12;2850\n", []string{`2:5 decimal-comma 8,5 mm has a comma in its number`}},
		"unit in the cell":                {"belt.csv", beltHead + "b,,8 mm,30,840,156,0,150,12,2850\n", []string{`2:4 unit-unknown is not a plain number; the unit of the column stands in its header: pitch [mm]`}},
		"not a number":                    {"belt.csv", beltHead + "b,,eight,30,840,156,0,150,12,2850\n", []string{`2:4 number eight mm does not begin with a number`}},
		"not a whole number":              {"belt.csv", beltHead + "b,,8,30,840,156,0,150,12.5,2850\n", []string{`2:23 whole-number 12.5 is not a whole number`}},
		"id twice":                        {"belt.csv", beltHead + row + row, []string{`3:1 part-duplicate is listed twice; the first is on line 2`}},
		"id that is none":                 {"belt.csv", beltHead + strings.Replace(row, "b,", "b 1,", 1), []string{`2:1 name "b 1" cannot be an id`}},
		"lists of different length":       {"belt.csv", beltHead + "b,,8,30,840,156,0 500,150,12,2850\n", []string{`2:23 part-contradicts has 1 values, tooth_speeds has 2`}},
		"list that does not rise":         {"belt.csv", beltHead + "b,,8,30,840,156,0 500 400,150 140 130,12,2850\n", []string{`2:17 part-contradicts does not rise`}},
		"one cause, one message":          {"belt.csv", beltHead + "b,,8,30,840,156,0 fast,150,12,2850\n", []string{`2:19 number fast rpm does not begin with a number`}},
		"choice":                          {"motor.csv", "id,kind,inertia [kg cm2],stall_torque [N m],max_speed [rpm],mass [kg]\nm,sevo,1,1,3000,1\n", []string{`2:3 choice "sevo" is not among the choices: servo, stepper`}},
		"needed for the kind":             {"motor.csv", "id,kind,inertia [kg cm2],stall_torque [N m],max_speed [rpm],mass [kg]\nm,stepper,1,1,3000,1\n", []string{`2:1 part-incomplete is missing: the motor is a stepper`, `2:1 part-incomplete is missing: the motor is a stepper`}},
		"group":                           {"profile.csv", "id,shape,material,t_slot.module [mm],t_slot.modules_wide\np,t-slot,6060-t66,40,1\n", []string{`2:1 missing-key is missing: wall of hollow cells`, `2:1 missing-key is missing: slot depth`, `2:1 missing-key is missing: inner slot width`, `2:1 missing-key is missing: lip thickness`, `2:1 missing-key is missing: modules along the height`, `2:1 missing-key is missing: slot opening`, `2:1 missing-key is missing: diagonal web`}},
		"kind not said":                   {"sheet.csv", beltHead + row, []string{`1:1 unknown-kind the table does not say which kind of part it lists`}},
		"kind that is none":               {"sheet.csv", "# kind: blet\n" + beltHead + row, []string{`1:1 unknown-kind "blet" is no kind of part`}},
		"quote inside a cell":             {"belt.csv", beltHead + "b,5\" wide,8,30,840,156,0,150,12,2850\n", []string{`2:4 table the table cannot be read`}},
		"empty":                           {"belt.csv", "\n# only a comment\n", []string{`0:0 file-empty the file is empty`}},
		"not UTF-8":                       {"belt.csv", beltHead + "b,\xff,8\n", []string{`0:0 file-encoding the text is not UTF-8`}},
		"steering characters in a cell":   {"belt.csv", beltHead + "b,\"a\x1b[2J\",8,30,840,156,0,150,12,2850\n", []string{`2:3 text holds the control character U+001B`}},
		"moment in the wrong unit":        {"block.csv", "id,kind,C [kN],basis,C0 [kN],M0x [N m],M0y [N m],M0z [N m],kz [N/um],ky [N/um],mass [kg],rail_mass_per_m [kg/m],length [mm]\nb,ball,8,100 km,14,104000,76,76,120,90,0.2,1.4,57\n", []string{`2:20 part-implausible is C0 times 7.43 m; no block is of that size`}},
		"rating without basis is refused": {"block.csv", "id,kind,C [kN],C0 [kN],M0x [N m],M0y [N m],M0z [N m],kz [N/um],ky [N/um],mass [kg],rail_mass_per_m [kg/m],length [mm]\nb,ball,8,14,104,76,76,120,90,0.2,1.4,57\n", []string{`1:1 missing-key the column basis is missing: travel to which C belongs`}},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			_, list := Read(Source{Name: c.name, Text: []byte(c.text)})
			expect(t, list, c.want)
		})
	}
}

// expect compares diagnostics with "line:column code message" where the message
// may be cut short.
func expect(t *testing.T, list diag.List, want []string) {
	t.Helper()
	sorted := list.Sorted()
	for i, d := range sorted {
		got := fmt.Sprintf("%d:%d %s %s", d.Line, d.Column, d.Code, d.Message)
		if i >= len(want) {
			t.Errorf("one more than expected: %s", got)
		} else if !strings.HasPrefix(got, want[i]) {
			t.Errorf("got  %s\nwant %s", got, want[i])
		}
	}
	for _, w := range want[min(len(sorted), len(want)):] {
		t.Errorf("not reported: %s", w)
	}
}
