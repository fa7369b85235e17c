package serve

import (
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"spanwright/examples"
)

// told is the message and the paths of a refusal.
type told struct {
	Error       struct{ Code, Message string }
	Diagnostics []struct{ Path, Code, Message string }
}

// TestBodiesAreStrict: a key that is missing, unknown or of another kind is
// named, in no words of the program's own, and nothing is changed.
func TestBodiesAreStrict(t *testing.T) {
	b := serving(t, draftText(t))
	tests := map[string]struct{ call, body, word string }{
		"no text":               {"doc/text", `{"file":"a.yaml","base":1}`, "text is missing"},
		"a text that is null":   {"doc/text", `{"file":"a.yaml","base":1,"text":null}`, "text is missing"},
		"a misspelt key":        {"doc/text", `{"file":"a.yaml","base":1,"txt":"x"}`, `"txt"`},
		"a key of another call": {"doc/undo", `{"file":"a.yaml","base":1,"text":"x"}`, `"text"`},
		"a number in words":     {"doc/text", `{"file":"a.yaml","base":"one","text":"x"}`, "base must be a whole number"},
		"a broken number":       {"doc/undo", `{"file":"a.yaml","base":1.5}`, "base must be a whole number"},
		"a text as a number":    {"doc/text", `{"file":"a.yaml","base":1,"text":4}`, "text must be a text"},
		"a word for a switch":   {"doc/save", `{"file":"a.yaml","base":1,"mine":"yes"}`, "mine must be true or false"},
		"edits as an object":    {"doc/edit", `{"file":"a.yaml","base":1,"edits":{}}`, "edits must be a list"},
		"a value as a number":   {"try", `{"file":"a.yaml","edits":[{"path":"task.rate","value":4}]}`, "value must be a text"},
		"an unknown option":     {"jobs", `{"file":"a.yaml","kind":"improve","options":{"all":true}}`, `"all"`},
		"options as a list":     {"jobs", `{"file":"a.yaml","kind":"improve","options":[]}`, "options must be an object"},
		"a variant's note":      {"variants", `{"file":"a.yaml","name":"x","note":"y"}`, `"note"`},
		"a misspelt mass":       {"new", `{"file":"n.yaml","kind":"portal-xz","task":{"mass":"4 kg"}}`, `"mass"`},
		"no JSON":               {"doc/text", `{"file":`, "JSON"},
		"a slip in JSON":        {"doc/text", `{"file":nine}`, "JSON"},
		"nothing":               {"doc/text", ``, "JSON object"},
		"null":                  {"doc/text", `null`, "JSON object"},
		"two bodies":            {"doc/text", `{"file":"a.yaml","base":1,"text":"x"} {}`, "follows"},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			r := b.send("POST", b.url("api/"+c.call), c.body)
			if text := string(r.body); r.status != http.StatusBadRequest || r.code() != "bad-request" || !strings.Contains(strings.ReplaceAll(text, `\"`, `"`), c.word) ||
				strings.Contains(text, "json:") || strings.Contains(text, "Request") || strings.Contains(text, "Go ") {
				t.Errorf("%d %s, want %s", r.status, text, c.word)
			}
		})
	}
	if d := b.doc(); d.Version != 1 || d.Text != draftText(t) {
		t.Errorf("version %d: something was changed", d.Version)
	}
	var d shownDoc
	if b.post("doc/text", object{"file": "a.yaml", "base": 1, "text": ""}, &d); d.Version != 2 || d.Text != "" {
		t.Errorf("an empty text that was asked for: %+v", d.Error)
	}
}

// TestDetoursAreNotFound: a way with .. or a double slash is not sent on to
// another address.
func TestDetoursAreNotFound(t *testing.T) {
	b := serving(t, draftText(t))
	for _, path := range []string{
		"../x", "api/../api/files", "api/doc/../files", "api//files", "./api/files", "api/./files", "%2e%2e/x", "api/%2e%2e/files", "api/..", "api", "assets/../index.html", "..",
	} {
		for _, method := range []string{"GET", "POST"} {
			reply := b.raw(fmt.Sprintf("%s /%s/%s HTTP/1.1\r\nHost: %s\r\nX-Spanwright: 1\r\nConnection: close\r\n\r\n", method, b.token, path, b.host()), patience)
			if !strings.HasPrefix(reply, "HTTP/1.1 404 ") || strings.Contains(reply, "Location:") {
				t.Errorf("%s %s: %.200s", method, path, reply)
			}
		}
	}
}

// TestTasksAreRead: a task that does not fit is refused with the place that is
// wrong, and no design is begun.
func TestTasksAreRead(t *testing.T) {
	b := serving(t, draftText(t))
	tests := map[string]struct {
		task object
		path string
	}{
		"a mass in mm":        {object{"payload_mass": "12 mm"}, "task.payload.mass"},
		"a mass that is none": {object{"payload_mass": "NaN kg"}, "task.payload.mass"},
		"a negative mass":     {object{"payload_mass": "-3 kg"}, "task.payload.mass"},
		"a mass without unit": {object{"payload_mass": "3"}, "task.payload.mass"},
		"one size":            {object{"payload_size": []string{"1 m"}}, "task.payload.size"},
		"four sizes":          {object{"payload_size": []string{"1 m", "1 m", "1 m", "1 m"}}, "task.payload.size"},
		"a size in kg":        {object{"payload_size": []string{"1 m", "1 kg", "1 m"}}, "task.payload.size[2]"},
		"a size left out":     {object{"payload_size": []string{"1 m", "1 m", ""}}, "task.payload.size[3]"},
		"a negative size":     {object{"payload_size": []string{"1 m", "1 m", "-1 m"}}, "task.payload.size[3]"},
		"two sizes in one":    {object{"payload_size": []string{"1 m, 1 m", "1 m", "1 m"}}, "task.payload.size[1]"},
		"a rate in kg":        {object{"rate": "4 kg"}, "task.rate"},
		"a travel in kg":      {object{"travel": object{"x": "4 kg"}}, "axes.x.travel"},
		"a negative travel":   {object{"travel": object{"x": "-4 m"}}, "axes.x.travel"},
		"no such axis":        {object{"travel": object{"q": "1 m"}}, "axes.q.travel"},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			var refused told
			r := b.post("new", object{"file": "n.yaml", "kind": "portal-xz", "task": c.task}, &refused)
			if r.status != http.StatusUnprocessableEntity || refused.Error.Code != "edit" || len(refused.Diagnostics) != 1 || refused.Diagnostics[0].Path != c.path ||
				!strings.Contains(refused.Error.Message, c.path) {
				t.Errorf("%d %s, want %s", r.status, r.body, c.path)
			}
			if r := b.get("doc?file=n.yaml"); r.status != http.StatusNotFound {
				t.Errorf("a design was begun: %d", r.status)
			}
		})
	}
	for file, want := range map[string]string{"plain": "plain.yaml", "short.yml": "short.yml"} {
		var d shownDoc
		if b.post("new", object{"file": file, "kind": "portal-xz", "task": object{"payload_size": []string{"", "", ""}, "travel": object{"x": "1234.6 mm"}}}, &d); d.File != want {
			t.Errorf("%s is begun as %q: %s", file, d.File, d.Error.Message)
		}
		if _, mistakes := b.open(d.File, d.Text); len(mistakes) > 0 {
			t.Error(mistakes)
		}
	}
	if r := b.post("new", object{"file": "n.txt", "kind": "portal-xz"}, nil); r.status != http.StatusBadRequest || !strings.Contains(string(r.body), ".yaml is missing") {
		t.Errorf("another ending: %d %s", r.status, r.body)
	}
}

// TestVariantsAreJudged: what cannot be judged is no variant.
func TestVariantsAreJudged(t *testing.T) {
	b := serving(t, draftText(t))
	var refused told
	r := b.post("variants", object{"file": "a.yaml", "name": "x"}, &refused)
	if r.status != http.StatusConflict || refused.Error.Code != "not-judged" || len(refused.Diagnostics) == 0 {
		t.Errorf("%d %s", r.status, r.body)
	}
	if r := b.get("variants?file=a.yaml"); string(r.body) != `{"variants":[]}` {
		t.Errorf("variants %s", r.body)
	}
}

func TestPartsOfOneKind(t *testing.T) {
	b := serving(t, draftText(t))
	var list struct{ Parts []struct{ Kind string } }
	for _, call := range []string{"parts?kind=motor", "parts?kind=motor&file=a.yaml"} {
		b.read(call, &list)
		if len(list.Parts) == 0 {
			t.Errorf("%s: no parts", call)
		}
		for _, p := range list.Parts {
			if p.Kind != "motor" {
				t.Errorf("%s: a %s", call, p.Kind)
			}
		}
	}
	if r := b.get("parts?kind=moter"); r.status != http.StatusBadRequest || !strings.Contains(string(r.body), "motor") {
		t.Errorf("no such kind: %d %s", r.status, r.body)
	}
}

// TestLinksThatLeadOut are not found, for reading and for new designs, and
// nobody is warned of unsaved work on them.
func TestLinksThatLeadOut(t *testing.T) {
	outside, dir := t.TempDir(), t.TempDir()
	for link, to := range map[string]string{
		"link.yaml": filepath.Join(outside, "secret.yaml"), "none.yaml": filepath.Join(outside, "none.yaml"), "circle.yaml": "circle.yaml", "folder": outside,
	} {
		if err := os.Symlink(to, filepath.Join(dir, link)); err != nil {
			t.Skipf("this system makes no links: %v", err)
		}
	}
	for name, text := range map[string]string{filepath.Join(outside, "secret.yaml"): "secret: 1\n", filepath.Join(dir, "a.yaml"): draftText(t)} {
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Mkdir(filepath.Join(dir, "sub.yaml"), 0o755); err != nil {
		t.Fatal(err)
	}
	b := servingIn(t, dir)
	for _, file := range []string{"link.yaml", "none.yaml", "circle.yaml", "folder/secret.yaml", "folder/new.yaml", "a.yaml/b.yaml", "sub.yaml"} {
		if r := b.get("doc?file=" + file); r.status != http.StatusNotFound || r.code() != "not-found" {
			t.Errorf("%s: %d %s", file, r.status, r.body)
		}
		r := b.post("new", object{"file": file, "kind": "portal-xz"}, nil)
		if r.status != http.StatusNotFound && !(file == "sub.yaml" && r.code() == "exists") {
			t.Errorf("new %s: %d %s", file, r.status, r.body)
		}
	}
	b.end()
	if len(b.unsaved) > 0 || len(b.warnings) > 0 || b.err != nil {
		t.Errorf("unsaved %q, warnings %v, error %v", b.unsaved, b.warnings, b.err)
	}
}

// TestBytesInPlaceOfTheText: the window hears that the file is no text any more,
// and only its own text, on purpose, takes its place.
func TestBytesInPlaceOfTheText(t *testing.T) {
	b := serving(t, draftText(t))
	b.doc()
	news := b.listen(t.Context(), "a.yaml")
	name := filepath.Join(b.dir, "a.yaml")
	if err := os.WriteFile(name, []byte("gr\xfc\xdfe: 1\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	hear(t, news, "doc", holds(`"disk":"unreadable"`))
	if d := b.doc(); d.Saved || d.Disk != "unreadable" || d.Text != draftText(t) {
		t.Errorf("saved %v, disk %s", d.Saved, d.Disk)
	}
	var d shownDoc
	if r := b.post("doc/reload", object{"file": "a.yaml", "window": "w"}, nil); r.status != http.StatusUnprocessableEntity || r.code() != "not-text" {
		t.Errorf("reload: %d %s", r.status, r.body)
	}
	if r := b.post("doc/save", object{"file": "a.yaml", "base": 1}, &d); r.status != http.StatusConflict || d.Error.Code != "disk-changed" || d.Doc == nil || d.Doc.Disk != "unreadable" {
		t.Errorf("save: %d %s", r.status, r.body)
	}
	d = shownDoc{}
	if b.post("doc/save", object{"file": "a.yaml", "base": 1, "mine": true}, &d); !d.Saved || d.Disk != "same" {
		t.Errorf("mine: %+v", d)
	}
	if got, err := os.ReadFile(name); err != nil || string(got) != draftText(t) {
		t.Errorf("the file holds %.50q (%v)", got, err)
	}
}

// TestImproveOfThreeAxesEnds: a search on a machine of three axes comes to its
// end by itself, and the server answers afterwards.
func TestImproveOfThreeAxesEnds(t *testing.T) {
	if testing.Short() {
		t.Skip("some seconds of search")
	}
	text, err := examples.Starters[1].Text() // three axes
	if err != nil {
		t.Fatal(err)
	}
	b := serving(t, string(text))
	news := b.listen(t.Context(), "a.yaml")
	began := time.Now()
	b.post("jobs", object{"file": "a.yaml", "kind": "improve", "options": object{}}, nil)
	data := hear(t, news, "job", func(data string) bool { return !strings.Contains(data, `"state":"running"`) })
	t.Logf("ended after %v with %d bytes", time.Since(began), len(data))
	if !strings.Contains(data, `"state":"done"`) {
		t.Errorf("job %.500s", data)
	}
	if d := b.doc(); d.Version != 1 {
		t.Errorf("version %d", d.Version)
	}
}
