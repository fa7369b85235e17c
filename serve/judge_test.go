package serve

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"spanwright/serve/jobs"
)

// TestJudgementFollowsTheText: judged, broken with the last good one kept, and
// mended.
func TestJudgementFollowsTheText(t *testing.T) {
	b := serving(t, starterText(t))
	type answer struct {
		File        string
		Version     int
		OK          bool
		Diagnostics []struct {
			File, Severity, Code string
			Line, Column         int
			EndLine              int `json:"end_line"`
			EndColumn            int `json:"end_column"`
		}
		Summary *struct{ Verdict string }
		Checks  []struct{ ID string }
		Last    *struct {
			Version int
			Checks  []struct{ ID string }
		}
	}
	var first, broken, mended answer
	b.read("judgement?file=a.yaml&version=1", &first)
	if !first.OK || first.Version != 1 || first.Summary == nil || len(first.Checks) == 0 || first.Last != nil || first.Diagnostics == nil {
		t.Fatalf("judgement %+v", first)
	}
	text := starterText(t)
	at := strings.Index(text, "480 /h")
	bad := text[:at] + "480 kg" + text[at+len("480 /h"):]
	b.post("doc/text", object{"file": "a.yaml", "base": 1, "text": bad}, nil)
	b.read("judgement?file=a.yaml&version=2", &broken)
	if broken.OK || broken.Version != 2 || broken.Last == nil || broken.Last.Version != 1 || len(broken.Last.Checks) != len(first.Checks) || len(broken.Diagnostics) != 1 {
		t.Fatalf("judgement ok %v version %d, %d diagnostics", broken.OK, broken.Version, len(broken.Diagnostics))
	}
	d := broken.Diagnostics[0]
	line := 1 + strings.Count(text[:at], "\n")
	column := at - strings.LastIndex(text[:at], "\n")
	if d.File != "a.yaml" || d.Severity != "error" || d.Code != "unit-kind" || d.Line != line || d.Column != column || d.EndLine != line || d.EndColumn != column+len("480 kg") {
		t.Errorf("diagnostic %+v, want line %d column %d", d, line, column)
	}
	if r := b.get("scene?file=a.yaml"); r.status != 200 || !strings.Contains(string(r.body[:40]), `"version":1`) {
		t.Errorf("the picture of the last good one: %d %.100s", r.status, r.body)
	}
	b.post("doc/undo", object{"file": "a.yaml", "base": 2}, nil)
	b.read("judgement?file=a.yaml", &mended)
	if !mended.OK || mended.Version != 3 {
		t.Errorf("judgement ok %v version %d", mended.OK, mended.Version)
	}
	if r := b.get("judgement?file=a.yaml&version=9"); r.status != http.StatusBadRequest {
		t.Errorf("a version that is not there: %d", r.status)
	}
	if r := b.get("judgement?file=a.yaml&version=x"); r.status != http.StatusBadRequest {
		t.Errorf("a version that is no number: %d", r.status)
	}
}

// TestNothingToShow: of a design that never could be judged there is no picture,
// and the answer says why.
func TestNothingToShow(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "a.yaml"), []byte("spanwright: 1\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	b := servingIn(t, dir)
	r := b.get("map?file=a.yaml")
	var refused struct {
		Error       struct{ Code string }
		Diagnostics []object
	}
	if err := json.Unmarshal(r.body, &refused); err != nil || r.status != http.StatusUnprocessableEntity || refused.Error.Code != "not-judged" || len(refused.Diagnostics) == 0 {
		t.Errorf("%d %.300s", r.status, r.body)
	}
}

// TestVariantsAndTrials: kept, compared, shown, restored, taken away; and what
// is only tried changes nothing.
func TestVariantsAndTrials(t *testing.T) {
	b := serving(t, starterText(t))
	var kept struct {
		ID, Name string
		Version  int
		Headline *struct {
			Verdict string
			Mass    float64 `json:"mass_kg"`
		}
	}
	b.post("variants", object{"file": "a.yaml", "name": "as it was"}, &kept)
	if kept.ID == "" || kept.Version != 1 || kept.Headline == nil || !(kept.Headline.Mass > 0) {
		t.Fatalf("variant %+v", kept)
	}
	edits := []object{{"path": "task.payload.mass", "value": "14 kg"}}
	var tried struct {
		OK       bool
		Headline object
		Compare  struct {
			A, B     struct{ Name string }
			TextDiff string `json:"text_diff"`
		}
	}
	b.post("try", object{"file": "a.yaml", "edits": edits}, &tried)
	if !tried.OK || tried.Headline == nil || !strings.Contains(tried.Compare.TextDiff, "14 kg") || tried.Compare.A.Name != "now" {
		t.Errorf("trial %+v", tried)
	}
	if d := b.doc(); d.Version != 1 {
		t.Errorf("the trial made version %d", d.Version)
	}
	var broken struct {
		OK          bool
		Diagnostics []object
	}
	b.post("try", object{"file": "a.yaml", "edits": []object{{"path": "task.payload.mass", "value": "14 mm"}}}, &broken)
	if broken.OK || len(broken.Diagnostics) == 0 {
		t.Errorf("a trial with a mistake: %+v", broken)
	}
	b.post("doc/edit", object{"file": "a.yaml", "base": 1, "edits": edits}, nil)
	for _, a := range []string{"saved", kept.ID} {
		var compared struct {
			A, B struct {
				Name string
				OK   bool
			}
			Results  []object
			TextDiff string `json:"text_diff"`
		}
		b.read("compare?file=a.yaml&a="+a+"&b=now", &compared)
		if !compared.A.OK || !compared.B.OK || len(compared.Results) == 0 || !strings.Contains(compared.TextDiff, "+    mass: 14 kg") {
			t.Errorf("compared with %s: %+v", a, compared)
		}
	}
	if r := b.get("scene?file=a.yaml&variant=" + kept.ID); r.status != 200 || !strings.Contains(string(r.body[:40]), `"version":1`) {
		t.Errorf("the picture of the variant: %d %.100s", r.status, r.body)
	}
	var d shownDoc
	b.post("variants/restore", object{"file": "a.yaml", "id": kept.ID, "base": 2, "window": "w"}, &d)
	if d.Text != starterText(t) || d.Version != 3 || d.Undo != 2 {
		t.Errorf("restored: version %d undo %d", d.Version, d.Undo)
	}
	if r := b.send("DELETE", b.url("api/variants?file=a.yaml&id="+kept.ID), ""); r.status != 200 {
		t.Errorf("taking it away: %d %.200s", r.status, r.body)
	}
	var list struct{ Variants []object }
	b.read("variants?file=a.yaml", &list)
	if list.Variants == nil || len(list.Variants) != 0 {
		t.Errorf("variants %v", list.Variants)
	}
	for _, call := range []string{"compare?file=a.yaml&a=now&b=" + kept.ID, "scene?file=a.yaml&variant=" + kept.ID} {
		if r := b.get(call); r.status != http.StatusNotFound {
			t.Errorf("%s: %d", call, r.status)
		}
	}
}

// TestPack: the hand-over pack is made in the background and can be fetched.
func TestPack(t *testing.T) {
	b := serving(t, starterText(t))
	news := b.listen(t.Context(), "a.yaml")
	var job struct {
		ID, State string
		Result    struct{ Download, Name string }
	}
	b.post("jobs", object{"file": "a.yaml", "kind": "pack"}, &job)
	if job.State != "running" {
		t.Fatalf("job %+v", job)
	}
	if err := json.Unmarshal([]byte(hear(t, news, "job", holds(`"state":"done"`))), &job); err != nil {
		t.Fatal(err)
	}
	r := b.send("GET", b.url(job.Result.Download), "")
	if r.status != 200 || r.header.Get("Content-Disposition") != "attachment; filename=a-pack.zip" {
		t.Fatalf("download: %d %v", r.status, r.header)
	}
	archive, err := zip.NewReader(bytes.NewReader(r.body), int64(len(r.body)))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := archive.Open("a-pack/manifest.json"); err != nil || len(archive.File) < 10 {
		t.Errorf("%d files in the archive (%v)", len(archive.File), err)
	}
	for _, call := range []string{"packs/none.zip", "packs/" + job.ID, "jobs/none"} {
		if r := b.get(call); r.status != http.StatusNotFound {
			t.Errorf("%s: %d", call, r.status)
		}
	}
	if r := b.post("jobs", object{"file": "a.yaml", "kind": "other"}, nil); r.status != http.StatusBadRequest {
		t.Errorf("another kind: %d", r.status)
	}
}

// TestImproveEndsWhenCancelled: remedies are looked for until nobody wants them.
func TestImproveEndsWhenCancelled(t *testing.T) {
	b := serving(t, starterText(t))
	news := b.listen(t.Context(), "a.yaml")
	var job struct{ ID, State string }
	b.post("jobs", object{"file": "a.yaml", "kind": "improve"}, &job)
	hear(t, news, "job", func(data string) bool { return !strings.Contains(data, "waiting for its turn") })
	began := time.Now()
	if r := b.send("DELETE", b.url("api/jobs/"+job.ID), ""); r.status != 200 {
		t.Fatalf("cancelling: %d %.200s", r.status, r.body)
	}
	hear(t, news, "job", holds(`"state":"cancelled"`))
	if took := time.Since(began); took > patience/2 {
		t.Errorf("it took %v to end", took)
	}
	var list struct{ Jobs []jobs.Job }
	b.read("jobs?file=a.yaml", &list)
	if len(list.Jobs) != 1 || list.Jobs[0].State != jobs.Cancelled {
		t.Errorf("jobs %+v", list.Jobs)
	}
}

func TestImproveProposes(t *testing.T) {
	b := serving(t, starterText(t))
	news := b.listen(t.Context(), "a.yaml")
	b.post("jobs", object{"file": "a.yaml", "kind": "improve", "options": object{"over_only": true}}, nil)
	var job struct {
		Error  string
		Result struct {
			Version  int
			Remedies struct {
				Format   int
				Remedies []object
				Problems []object
			}
		}
	}
	data := hear(t, news, "job", func(data string) bool { return !strings.Contains(data, `"state":"running"`) })
	if err := json.Unmarshal([]byte(data), &job); err != nil {
		t.Fatal(err)
	}
	if job.Error != "" || job.Result.Version != 1 || job.Result.Remedies.Format != 1 || job.Result.Remedies.Problems == nil {
		t.Errorf("job %.500s", data)
	}
}

// TestKnownScene: a change that is none of the drawing is answered by the
// drawing's mark, one that is by the whole drawing.
func TestKnownScene(t *testing.T) {
	b := serving(t, starterText(t))
	var first, lighter, longer struct {
		Version int      `json:"version"`
		Mark    string   `json:"mark"`
		Solids  []object `json:"solids"`
	}
	edit := func(base int, path, value string) {
		t.Helper()
		b.post("doc/edit", object{"file": "a.yaml", "base": base, "edits": []object{{"path": path, "value": value}}}, nil)
		if r := b.get(fmt.Sprintf("judgement?file=a.yaml&version=%d", base+1)); r.status != http.StatusOK {
			t.Fatalf("%s: %s: %d %.200s", path, value, r.status, r.body)
		}
	}
	b.read("scene?file=a.yaml", &first)
	if first.Version != 1 || first.Mark == "" || len(first.Solids) == 0 {
		t.Fatalf("version %d, mark %q, %d solids", first.Version, first.Mark, len(first.Solids))
	}
	edit(1, "task.payload.mass", "0.9 kg")
	b.read("scene?file=a.yaml&known="+first.Mark, &lighter)
	if lighter.Version != 2 || lighter.Mark != first.Mark || lighter.Solids != nil {
		t.Errorf("another mass: version %d, mark %q, %d solids; want the mark alone", lighter.Version, lighter.Mark, len(lighter.Solids))
	}
	edit(2, "axes.x.travel", "1.7 m")
	b.read("scene?file=a.yaml&known="+first.Mark, &longer)
	if longer.Version != 3 || longer.Mark == first.Mark || len(longer.Solids) == 0 {
		t.Errorf("another travel: version %d, mark %q, %d solids; want a drawing", longer.Version, longer.Mark, len(longer.Solids))
	}
}
