package assess

import (
	"context"
	"errors"
	"fmt"
	"os"
	"strings"
	"testing"

	"spanwright/design"
	"spanwright/diag"
	"spanwright/frame"
	"spanwright/machine"
	"spanwright/parts"
	"spanwright/structure"
)

// TestMechanismIsARefusal: a portal whose two feet stand in a row can tip over
// without deforming; the error says where to mend it.
func TestMechanismIsARefusal(t *testing.T) {
	text, err := os.ReadFile("../examples/crate-portal/gantry.yaml")
	if err != nil {
		t.Fatal(err)
	}
	loose := strings.NewReplacer("    foot_rail: profile-90x90-heavy\n", "", "      - {plane: across, at: foot", "      # - {plane: across, at: foot").Replace(string(text))
	d, list := design.Parse("gantry.yaml", []byte(loose))
	if len(list) > 0 {
		t.Fatal(list)
	}
	m, list := machine.Build(d, parts.Embedded())
	if len(list) > 0 {
		t.Fatal(list)
	}
	_, err = Run(context.Background(), m, Options{})
	var refused *RefusedError
	var free *frame.MechanismError
	if !errors.As(err, &refused) || !errors.As(err, &free) || len(refused.Diagnostics) != 1 {
		t.Fatalf("%v, want a refusal with the mechanism as its cause", err)
	}
	got := refused.Diagnostics[0]
	if got.Code != Mechanism || got.Path != "stand" || !strings.Contains(got.Message, "can move in Y") {
		t.Errorf("%+v", got)
	}
	if line := strings.Split(loose, "\n")[got.Line-1]; line != "stand:" {
		t.Errorf("the place is %q", line)
	}
}

func TestRefusals(t *testing.T) {
	m := built(t, "seedling-gantry", "gantry.yaml")
	for name, c := range map[string]struct {
		err  error
		code diag.Code
		path string
	}{
		"a bridge that is loose":      {&frame.MechanismError{Node: "z.body.to", Moves: []frame.Move{{Node: "y.beam.from"}, {Node: "z.body.to"}}}, Mechanism, "axes.x"},
		"a mast that is loose":        {&frame.MechanismError{Node: "z.body.to", Moves: []frame.Move{{Node: "z.body.to"}}}, Mechanism, "axes.z"},
		"a stand that is loose":       {&frame.MechanismError{Node: "z.body.to", Moves: []frame.Move{{Node: "corner.front.left.top"}}}, Mechanism, "stand"},
		"the inside of a stand's bar": {&frame.MechanismError{Node: "leg.front.left.foot", Member: "leg.front.left.1"}, Mechanism, "stand"},
		"contacts that open":          {&frame.TipError{}, Tips, "stand"},
		"numbers too far apart":       {fmt.Errorf("solve: %w", frame.ErrInaccurate), IllConditioned, ""},
		"a part without stiffness":    {&structure.PartError{Path: "axes.y.join", Err: errors.New("no stiffness")}, NoStiffness, "axes.y.join"},
	} {
		var got *RefusedError
		if err := refusal(m, fmt.Errorf("structure: %w", c.err)); !errors.As(err, &got) || !errors.Is(err, c.err) {
			t.Errorf("%s: %v is no refusal", name, err)
			continue
		}
		if d := got.Diagnostics[0]; d.Code != c.code || d.Path != c.path || d.File != "gantry.yaml" || d.Message == "" {
			t.Errorf("%s: %+v", name, d)
		}
	}
	if err := refusal(m, context.Canceled); !errors.Is(err, context.Canceled) || errors.As(err, new(*RefusedError)) {
		t.Errorf("%v: a stopped run is no refusal", err)
	}
}
