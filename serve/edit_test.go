package serve

import (
	"encoding/json"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

type object = map[string]any

// TestEditing walks through the calls on a working copy as a window makes them.
func TestEditing(t *testing.T) {
	b := serving(t, draftText(t))
	first := b.doc()
	if first.Version != 1 || !first.Saved || first.Disk != "same" || first.Text != draftText(t) {
		t.Fatalf("the design opens as %+v", first)
	}
	var d shownDoc
	b.post("doc/edit", object{"file": "a.yaml", "base": 1, "window": "w", "edits": []object{{"path": "task.rate", "value": "400 /h"}}}, &d)
	want := strings.Replace(first.Text, "rate: 480 /h", "rate: 400 /h", 1)
	if d.Text != want || d.Version != 2 || d.Saved || d.Undo != 1 || d.EditedBy != "w" {
		t.Errorf("after the edit: %.100s version %d undo %d by %q", d.Error.Message, d.Version, d.Undo, d.EditedBy)
	}
	r := b.post("doc/edit", object{"file": "a.yaml", "base": 1, "window": "v", "edits": []object{{"path": "task.rate", "value": "1 /h"}}}, &d)
	if r.status != http.StatusConflict || d.Error.Code != "conflict" || d.Doc == nil || d.Doc.Version != 2 || d.Doc.Text != want {
		t.Errorf("an edit of an old version: %d %s %+v", r.status, d.Error.Code, d.Doc)
	}
	var refused struct {
		Error       struct{ Code, Message string }
		Diagnostics []object
	}
	r = b.post("doc/edit", object{"file": "a.yaml", "base": 2, "window": "v", "edits": []object{{"path": "task.rate.of", "value": "1 /h"}}}, &refused)
	if r.status != http.StatusUnprocessableEntity || refused.Error.Code != "edit" || !strings.Contains(refused.Error.Message, "task.rate.of") || refused.Diagnostics == nil {
		t.Errorf("an edit that cannot be made: %d %s", r.status, r.body)
	}
	b.post("doc/undo", object{"file": "a.yaml", "base": 2, "window": "w"}, &d)
	if d.Text != first.Text || d.Version != 3 || !d.Saved || d.Redo != 1 {
		t.Errorf("after undo: version %d saved %v redo %d", d.Version, d.Saved, d.Redo)
	}
	b.post("doc/redo", object{"file": "a.yaml", "base": 3, "window": "w"}, &d)
	b.post("doc/text", object{"file": "a.yaml", "base": 4, "window": "w", "text": want + "# typed\n"}, &d)
	b.post("doc/save", object{"file": "a.yaml", "base": 5}, &d)
	if got, err := os.ReadFile(filepath.Join(b.dir, "a.yaml")); err != nil || string(got) != want+"# typed\n" || !d.Saved {
		t.Errorf("the file is not as saved (%v, saved %v)", err, d.Saved)
	}
	b.post("doc/undo", object{"file": "a.yaml", "base": 5, "window": "w"}, &d)
	if err := os.WriteFile(filepath.Join(b.dir, "a.yaml"), []byte("machine: theirs\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	var disk shownDoc
	r = b.post("doc/save", object{"file": "a.yaml", "base": 6}, &disk)
	if r.status != http.StatusConflict || disk.Error.Code != "disk-changed" || disk.DiskText != "machine: theirs\n" || disk.Doc == nil || disk.Doc.Disk != "changed" {
		t.Errorf("a save over a changed file: %d %.300s", r.status, r.body)
	}
	b.post("doc/save", object{"file": "a.yaml", "base": 6, "mine": true}, &d)
	if got, _ := os.ReadFile(filepath.Join(b.dir, "a.yaml")); string(got) != want || !d.Saved {
		t.Error("mine was not saved")
	}
	if err := os.WriteFile(filepath.Join(b.dir, "a.yaml"), []byte("machine: theirs\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	r = b.post("doc/reload", object{"file": "a.yaml", "window": "w"}, &d)
	if d.Text != "machine: theirs\n" || !d.Saved || r.status != 200 {
		t.Errorf("after reload: %d %.200s", r.status, r.body)
	}
	if r = b.post("doc/redo", object{"file": "a.yaml", "base": d.Version, "window": "w"}, nil); r.status != http.StatusBadRequest {
		t.Errorf("nothing to redo: %d", r.status)
	}
}

func TestFilesAndCatalogue(t *testing.T) {
	b := serving(t, draftText(t))
	var files struct {
		Folder string
		Files  []struct {
			File, Machine, Modified string
			Designs                 bool
		}
	}
	b.read("files", &files)
	if files.Folder != filepath.Base(b.dir) || len(files.Files) != 1 || files.Files[0].Machine != "crate-loading portal" || !files.Files[0].Designs {
		t.Errorf("files %+v", files)
	}
	var schema any
	b.read("schema", &schema)
	at := schema
	for _, key := range []string{"properties", "axes", "additionalProperties", "properties", "motor", "x-part"} {
		group, _ := at.(object)
		at = group[key]
	}
	if diff := cmp.Diff(any([]any{"motor"}), at); diff != "" {
		t.Errorf("the schema says that axes.<name>.motor names (-want +got):\n%s", diff)
	}
	var catalogue struct {
		Parts []struct {
			ID, Kind, Title string
			Facts           [][2]string
			Representative  bool
		}
	}
	for _, call := range []string{"parts", "parts?file=a.yaml"} {
		b.read(call, &catalogue)
		i := slices.IndexFunc(catalogue.Parts, func(p struct {
			ID, Kind, Title string
			Facts           [][2]string
			Representative  bool
		}) bool {
			return p.Kind == "motor"
		})
		if i < 0 || len(catalogue.Parts[i].Facts) == 0 || catalogue.Parts[i].Facts[0][0] == "" || catalogue.Parts[i].Facts[0][1] == "" || !catalogue.Parts[i].Representative {
			t.Errorf("%s: no motor with facts", call)
		}
	}
}

// TestPartFilesCount: parts beside the design are offered, and a change of their
// file is judged.
func TestPartFilesCount(t *testing.T) {
	dir := t.TempDir()
	brake := "spanwright_parts: 1\nbrake:\n  hold-brake-4:\n    torque: %d N m\n    apply_time: 30 ms\n"
	for name, text := range map[string]string{"a.yaml": starterText(t) + "parts: [brakes.yaml]\n", "brakes.yaml": fmt.Sprintf(brake, 6)} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	b := servingIn(t, dir)
	news := b.listen(t.Context(), "a.yaml")
	hear(t, news, "judged", holds(`"version":1`))
	if r := b.get("parts?file=a.yaml"); !strings.Contains(string(r.body), `"6 N m"`) {
		t.Error("the supplier's brake is not offered")
	}
	if err := os.WriteFile(filepath.Join(dir, "brakes.yaml"), []byte(fmt.Sprintf(brake, -1)), 0o644); err != nil {
		t.Fatal(err)
	}
	hear(t, news, "doc", holds(`"version":2`))
	var j struct {
		OK          bool
		Diagnostics []struct{ File string }
		Last        *struct{ Version int }
	}
	b.read("judgement?file=a.yaml&version=2", &j)
	if j.OK || len(j.Diagnostics) == 0 || j.Diagnostics[0].File != "brakes.yaml" || j.Last == nil || j.Last.Version != 1 {
		t.Errorf("judgement %+v, want the mistake in the part file", j)
	}
}

// TestNewDesigns: every starter with another task is a design without mistakes,
// and its name and task are as asked.
func TestNewDesigns(t *testing.T) {
	b := serving(t, draftText(t))
	var list struct{ Starters []starter }
	b.read("starters", &list)
	if len(list.Starters) < 4 {
		t.Fatalf("%d starters", len(list.Starters))
	}
	for i, s := range list.Starters {
		t.Run(s.Kind, func(t *testing.T) {
			if s.Title == "" || s.About == "" || len(s.Axes) < 2 || s.Task.PayloadMass == "" || len(s.Task.PayloadSize) != 3 || s.Task.Rate == "" || len(s.Task.Travel) != len(s.Axes) {
				t.Fatalf("starter %+v", s)
			}
			file := fmt.Sprintf("new-%d.yaml", i)
			task := starterTask{PayloadMass: "7.5 kg", PayloadSize: []string{"300 mm", "20 cm", "0.1 m"}, Rate: "100 /h", Travel: map[string]string{"x": "900 mm"}}
			var d shownDoc
			b.post("new", object{"file": file, "kind": s.Kind, "name": "Nr. 5: \"mine\"", "task": task}, &d)
			if d.Disk != "new" || d.Saved || !strings.Contains(d.Text, "mass: 7.5 kg") {
				t.Fatalf("new design: %+v", d.Error)
			}
			p, mistakes := b.open(file, d.Text)
			if len(mistakes) > 0 { // what the machine then lacks is for the ledger to say
				t.Error(mistakes)
			}
			design := p.Design
			if design.Name != `Nr. 5: "mine"` || design.Task.Payload.Mass != 7.5 || design.Task.Payload.Size != [3]float64{0.3, 0.2, 0.1} || design.Axes[0].Travel != 0.9 {
				t.Errorf("the task is not as asked: %q %+v", design.Name, design.Task.Payload)
			}
			for _, point := range design.Task.Points {
				if at := point.At["x"]; !(at >= 0 && at <= 0.9) {
					t.Errorf("point %s lies at %g m, beyond the travel", point.ID, at)
				}
			}
			if r := b.post("new", object{"file": file, "kind": s.Kind}, nil); r.status != http.StatusConflict || r.code() != "exists" {
				t.Errorf("a second one under the same name: %d %s", r.status, r.code())
			}
		})
	}
	for name, in := range map[string]object{
		"a file that exists": {"file": "a.yaml", "kind": "portal-xz"}, "no kind": {"file": "n.yaml", "kind": "portal"}, "no name": {"file": "", "kind": "portal-xz"},
		"a travel that is none": {"file": "n.yaml", "kind": "portal-xz", "task": object{"travel": object{"x": "4 kg"}}},
		"a mass in two lines":   {"file": "n.yaml", "kind": "portal-xz", "task": object{"payload_mass": "4 kg\n  size: 1"}},
	} {
		if r := b.post("new", in, nil); r.status < 400 || r.status >= 500 {
			t.Errorf("%s: %d %.200s", name, r.status, r.body)
		}
	}
}

// TestUndoAcrossManyEdits: after random edits by text and by path, the way back
// is the way forth reversed.
func TestUndoAcrossManyEdits(t *testing.T) {
	b := serving(t, draftText(t))
	d := b.doc()
	texts := []string{d.Text}
	for i := range 20 {
		if i%2 == 0 {
			b.post("doc/edit", object{"file": "a.yaml", "base": d.Version, "window": "w", "edits": []object{{"path": "task.rate", "value": fmt.Sprintf("%d /h", 100+i)}}}, &d)
		} else {
			b.post("doc/text", object{"file": "a.yaml", "base": d.Version, "window": fmt.Sprint(i), "text": d.Text + fmt.Sprintf("# %d\n", i)}, &d)
		}
		texts = append(texts, d.Text)
	}
	if d.Undo != 20 {
		t.Fatalf("%d steps back, want 20", d.Undo)
	}
	for i := 19; i >= 0; i-- {
		b.post("doc/undo", object{"file": "a.yaml", "base": d.Version, "window": "w"}, &d)
		if d.Text != texts[i] {
			t.Fatalf("%d steps back is another text", 20-i)
		}
	}
	for i := range 20 {
		b.post("doc/redo", object{"file": "a.yaml", "base": d.Version, "window": "w"}, &d)
		if d.Text != texts[i+1] {
			t.Fatalf("%d steps forth is another text", i+1)
		}
	}
}

// TestDocHasTheKeysOfThePage: what is sent has exactly the keys that the page reads.
func TestDocHasTheKeysOfThePage(t *testing.T) {
	b := serving(t, draftText(t))
	var doc object
	b.read("doc?file=a.yaml", &doc)
	want := []string{"disk", "edited_by", "file", "recovered", "redo", "saved", "text", "undo", "version"}
	got := []string{}
	for key := range doc {
		got = append(got, key)
	}
	slices.Sort(got)
	if !slices.Equal(got, want) {
		t.Errorf("keys %q, want %q", got, want)
	}
	news := b.listen(t.Context(), "a.yaml")
	var event object
	if err := json.Unmarshal([]byte(hear(t, news, "doc", holds(`"version":1`))), &event); err != nil {
		t.Fatal(err)
	}
	if _, has := event["text"]; has || len(event) != len(want)-1 {
		t.Errorf("the event has the keys %v", event)
	}
}
