package view

import (
	"context"
	"errors"
	"fmt"
	"os"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"spanwright/assess"
	"spanwright/internal/project"
)

// writtenOut is a stand of nodes and members for the crate portal.
const writtenOut = `stand:
  nodes:
    left_foot: {at: [-1.2 m, 0 m, 100 mm]}
    left_front: {at: [-1.2 m, -600 mm, 100 mm]}
    left_rear: {at: [-1.2 m, 600 mm, 100 mm]}
    left_top: {at: [-1.2 m, 0 m, 2 m]}
    right_foot: {at: [1.2 m, 0 m, 100 mm]}
    right_front: {at: [1.2 m, -600 mm, 100 mm]}
    right_rear: {at: [1.2 m, 600 mm, 100 mm]}
    right_top: {at: [1.2 m, 0 m, 2 m]}
  members:
    post_left: {from: left_foot, to: left_top, profile: profile-90x90-heavy, role: leg}
    post_right: {from: right_foot, to: right_top, profile: profile-90x90-heavy, role: leg, joint: corner-plate-45}
    rail: {from: left_top, to: right_top, profile: profile-45x90-heavy, role: rail, roll: 90 deg}
    left_a: {from: left_front, to: left_foot, profile: profile-90x90-heavy}
    left_b: {from: left_foot, to: left_rear, profile: profile-90x90-heavy}
    right_a: {from: right_front, to: right_foot, profile: profile-90x90-heavy}
    right_b: {from: right_foot, to: right_rear, profile: profile-90x90-heavy}
    tie: {from: left_foot, to: right_top, profile: profile-45x45-heavy, role: brace, joint: hinged}
  supports: [left_front, left_rear, right_front, right_rear]
  foot: foot-m16
  carries: [rail]
`

// between replaces what stands between two lines of a text.
func between(text, begin, end, by string) string {
	head, rest, _ := strings.Cut(text, begin)
	_, tail, _ := strings.Cut(rest, end)
	return head + by + end + tail
}

// TestOddMachinesAreShownToo: machines that lack what the examples have.
func TestOddMachinesAreShownToo(t *testing.T) {
	tests := map[string]struct {
		example string
		change  func(text string) string
	}{
		"a stand of nodes and members": {"crate-portal", func(text string) string { return between(text, "\nstand:\n", "\nequipment:\n", "\n"+writtenOut) }},
		"nothing carried, no targets, no equipment": {"sample-gantry", func(text string) string {
			head, _, _ := strings.Cut(strings.Replace(text, "mass: 0.15 kg", "mass: 0 kg", 1), "\nequipment:\n")
			return between(head, "  targets:\n", "  duty:", "") + "\n"
		}},
		"gussets, an input shaper, a band that is never reached": {"sample-gantry", strings.NewReplacer(
			"settle_band: 0.1 mm", "settle_band: 1 um", "brace_joint: bracket-30-double", "brace_joint: gusset-40-double", "    motor: servo-200\n", "    motor: servo-200\n    shaper: zvd\n",
		).Replace},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			text, err := os.ReadFile("../../examples/" + c.example + "/gantry.yaml")
			if err != nil {
				t.Fatal(err)
			}
			after := c.change(string(text))
			if after == string(text) {
				t.Fatal("nothing is changed")
			}
			p, list := project.Open(fstest.MapFS{"gantry.yaml": {Data: []byte(after)}}, "", "gantry.yaml")
			if err := list.Err(); err != nil {
				t.Fatal(err)
			}
			a, err := assess.Run(context.Background(), p.Machine, assess.Options{})
			if err != nil {
				t.Fatal(err)
			}
			for what, v := range answers(t, a) {
				if text := string(written(t, v)); strings.Contains(text, "%!") {
					t.Errorf("%s is printed wrongly", what)
				}
			}
			s := scene(t, a)
			for i, m := range s.Meshes {
				checkMesh(t, fmt.Sprintf("mesh %d", i), m)
			}
			for _, o := range s.Solids {
				if err := described(o.Path); err != "" {
					t.Errorf("%s: %s", o.ID, err)
				}
			}
			split, err := OfSplit(a, "sag", nil)
			if err != nil {
				t.Fatal(err)
			}
			for _, c := range split.Shares {
				if len(c.Solids) == 0 || described(c.Path) != "" {
					t.Errorf("%s is %v at %q", c.ID, c.Solids, c.Path)
				}
			}
		})
	}
}

// TestManyMayLookAtOnce: windows ask at the same time, and all get the same answer.
func TestManyMayLookAtOnce(t *testing.T) {
	a := judged(t, "sample-gantry")
	want := answers(t, a)
	var wait sync.WaitGroup
	failed := make(chan error, 64)
	for range 4 {
		wait.Go(func() {
			p, err := OfPose(a, a.SoftPose(), true)
			if err == nil && string(written(t, p)) != string(written(t, want["pose"])) {
				err = errors.New("another pose")
			}
			failed <- err
			m, err := OfModes(a, a.SoftPose(), true, 4)
			if err == nil && string(written(t, m)) != string(written(t, want["modes"])) {
				err = errors.New("other modes")
			}
			failed <- err
			s, err := OfSplit(a, "sag_variation", nil)
			if err == nil && string(written(t, s)) != string(written(t, want["split sag_variation"])) {
				err = errors.New("another split")
			}
			failed <- err
			if string(written(t, OfCycle(a))) != string(written(t, want["cycle"])) || string(written(t, OfJudgement(a))) != string(written(t, want["judgement"])) {
				failed <- errors.New("another cycle or judgement")
			}
		})
	}
	wait.Wait()
	close(failed)
	for err := range failed {
		if err != nil {
			t.Error(err)
		}
	}
}
