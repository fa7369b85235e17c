package parts

import (
	"bytes"
	"encoding/json"
	"errors"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestShowPrint(t *testing.T) {
	s, err := Embedded().Show(Ref{"brake", "hold-brake-4"})
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := s.Print(&b); err != nil {
		t.Fatal(err)
	}
	want := `brake hold-brake-4
representative data: invented and consistent, not a product; replace by supplier data before ordering

title            power-off hold brake 4 N m  what it is, in a few words
cost             100                         price of one piece, or of the fixed share where cost_per_m is given
torque           4 N m                       least static torque, run in and warm
inertia          0.12 kg cm²                 hub and disc
apply_time       40 ms                       power off to half torque
release_time     60 ms                       power on to free
energy_per_stop  90 J                        allowed for one emergency stop
wear_energy      260 kJ                      until the air gap must be reset
mass             0.6 kg                      added to the motor
`
	if diff := cmp.Diff(want, b.String()); diff != "" {
		t.Error(diff)
	}
}

func TestShowOfAProfileHasItsSection(t *testing.T) {
	s, err := Embedded().Show(Ref{"profile", "profile-40x80-light"})
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := s.Print(&b); err != nil {
		t.Fatal(err)
	}
	for _, line := range []string{
		"t_slot.module          40 mm                          side of one module",
		"section, computed",
		"mass                   3.361 kg/m                     mass per length", // 3.36 in an independent finite-element computation
	} {
		if !strings.Contains(b.String(), "\n"+line+"\n") {
			t.Errorf("no line %q in\n%s", line, b.String())
		}
	}
}

func TestShowJSON(t *testing.T) {
	c, list := Embedded().With(Source{Name: "supplier.yaml", Text: []byte(motorText)})
	if len(list) > 0 {
		t.Fatal(list.Error())
	}
	s, err := c.Show(Ref{"motor", "servo-400"})
	if err != nil {
		t.Fatal(err)
	}
	text, err := s.JSON()
	if err != nil {
		t.Fatal(err)
	}
	var got struct {
		Format         int
		Kind, ID, File string
		Line           int
		Representative bool
		Caution        string
		Values         []struct {
			Key, Unit string
			Value     any
		}
	}
	if err := json.Unmarshal(text, &got); err != nil {
		t.Fatal(err)
	}
	if got.Format != 1 || got.Kind != "motor" || got.ID != "servo-400" || got.File != "supplier.yaml" || got.Line != 3 || got.Representative || got.Caution != "" {
		t.Errorf("got %+v", got)
	}
	found := false
	for _, v := range got.Values {
		if v.Key == "stall_torque" {
			found = true
			if v.Value != 1.5 || v.Unit != "N m" {
				t.Errorf("stall torque %v %q", v.Value, v.Unit)
			}
		}
	}
	if !found {
		t.Errorf("no stall torque in %s", text)
	}
}

func TestUnknownPartIsAnsweredWithNearOnes(t *testing.T) {
	c := Embedded()
	tests := map[string]struct {
		kind, id string
		near     []string
	}{
		"a slip of the pen":         {"motor", "serv-400", []string{"servo-400"}},
		"a space for a hyphen":      {"motor", "servo 750", []string{"servo-750"}},
		"a size that does not come": {"motor", "servo-450", []string{"servo-50", "servo-400"}},
		"the size left out":         {"gear", "planetary-5", []string{"planetary-60-5", "planetary-90-5", "planetary-120-5", "planetary-60-4"}},
		"the weight left out":       {"profile", "profile-40x40", []string{"profile-40x40-light", "profile-40x40-heavy"}},
		"no kind said":              {"", "rack-m2-hart", []string{"rack-m2-hard", "rack-m2", "rack-m2-helical"}},
		"nothing like it":           {"belt", "chain", nil},
	}
	for name, x := range tests {
		t.Run(name, func(t *testing.T) {
			_, err := c.Show(Ref{x.kind, x.id})
			var unknown *UnknownPartError
			if !errors.As(err, &unknown) {
				t.Fatal(err)
			}
			if diff := cmp.Diff(x.near, unknown.Near); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func TestListing(t *testing.T) {
	l, err := Embedded().Listing("shaft")
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := l.Print(&b); err != nil {
		t.Fatal(err)
	}
	want := `shaft              outer  inner  coupling_stiffness  mass_per_m
shaft-20 *         20 mm  -      2200 N m/rad        2.47 kg/m
shaft-25 *         25 mm  -      4500 N m/rad        3.85 kg/m
shaft-30 *         30 mm  -      8000 N m/rad        5.55 kg/m
shaft-tube-40x4 *  40 mm  32 mm  14 kN m/rad         3.55 kg/m
shaft-tube-60x5 *  60 mm  50 mm  32 kN m/rad         6.78 kg/m
shaft-tube-80x6 *  80 mm  68 mm  75 kN m/rad         10.9 kg/m

* representative data: invented and consistent, not a product; replace by supplier data before ordering
`
	if diff := cmp.Diff(want, b.String()); diff != "" {
		t.Error(diff)
	}
	whole, err := Embedded().Listing("")
	if err != nil || whole.Parts[0].Kind != "material" || len(whole.Parts) < 250 {
		t.Errorf("%d parts, %v", len(whole.Parts), err)
	}
	if _, err := Embedded().Listing("moter"); err == nil || !strings.Contains(err.Error(), `did you mean "motor"?`) {
		t.Errorf("unknown kind: %v", err)
	}
}

func TestRefsFindAPartByItsIDAlone(t *testing.T) {
	if diff := cmp.Diff([]Ref{{"rack", "rack-m2"}}, Embedded().Refs("rack-m2")); diff != "" {
		t.Error(diff)
	}
	if got := Embedded().Refs("none"); got != nil {
		t.Errorf("got %v", got)
	}
}
