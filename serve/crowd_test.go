package serve

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

// TestCrowd: fifty windows change, read and listen at once. Every change is
// made once, none is lost, versions only grow, and in the end all see the same.
func TestCrowd(t *testing.T) {
	const windows, changes = 50, 4
	b := serving(t, draftText(t))
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	var wait sync.WaitGroup
	faults := make(chan error, 10*windows)
	var final atomic.Int64 // the last version, once it is known
	for w := range windows {
		switch w % 5 {
		case 0: // listens
			news := b.listen(ctx, "a.yaml")
			wait.Go(func() {
				last := 0
				for e := range news {
					if e.kind != "doc" {
						continue
					}
					var d shownDoc
					if err := json.Unmarshal([]byte(e.data), &d); err != nil || d.Version < last {
						faults <- fmt.Errorf("version %d came after %d (%v)", d.Version, last, err)
					}
					last = d.Version
					if int64(last) == final.Load() {
						return
					}
				}
			})
		case 1: // reads
			wait.Go(func() {
				for range 10 {
					for _, call := range []string{"doc?file=a.yaml", "files", "variants?file=a.yaml"} {
						if r, err := b.try("GET", b.url("api/"+call), ""); err != nil || r.status != 200 {
							faults <- fmt.Errorf("%s: %d %v", call, r.status, err)
						}
					}
				}
			})
		default: // changes
			wait.Go(func() {
				if err := b.typeLines(w, changes); err != nil {
					faults <- err
				}
			})
		}
	}
	ended := make(chan struct{})
	go func() { wait.Wait(); close(ended) }()
	for b.doc().Version < 1+30*changes {
		select {
		case err := <-faults:
			t.Fatal(err)
		case <-time.After(20 * time.Millisecond):
		}
	}
	last := b.doc()
	final.Store(int64(last.Version) + 1)
	var d shownDoc
	mended := strings.Replace(last.Text, draftText(t), starterText(t), 1)
	b.post("doc/text", object{"file": "a.yaml", "base": last.Version, "window": "last", "text": mended}, &d)
	select {
	case <-ended:
	case <-time.After(patience):
		t.Fatal("not all windows end")
	}
	close(faults)
	for err := range faults {
		t.Error(err)
	}
	for w := range windows {
		for i := range changes {
			want := 1
			if w%5 < 2 {
				want = 0
			}
			if got := strings.Count(d.Text, fmt.Sprintf("# window %d change %d\n", w, i)); got != want {
				t.Errorf("the text holds change %d of window %d %d times", i, w, got)
			}
		}
	}
	var j struct {
		OK      bool
		Version int
	}
	b.read(fmt.Sprintf("judgement?file=a.yaml&version=%d", d.Version), &j)
	if !j.OK || j.Version != d.Version {
		t.Errorf("judgement %+v, want version %d", j, d.Version)
	}
}

// typeLines adds lines as a window does: on a conflict it begins again with what
// the others have made.
func (b *bench) typeLines(window, n int) error {
	r, err := b.try("GET", b.url("api/doc?file=a.yaml"), "")
	if err != nil {
		return err
	}
	var d shownDoc
	if err := json.Unmarshal(r.body, &d); err != nil {
		return err
	}
	for i := 0; i < n; {
		line := fmt.Sprintf("# window %d change %d\n", window, i)
		in, err := json.Marshal(object{"file": "a.yaml", "base": d.Version, "window": fmt.Sprint(window), "text": d.Text + line})
		if err != nil {
			return err
		}
		if r, err = b.try("POST", b.url("api/doc/text"), string(in)); err != nil {
			return err
		}
		var after shownDoc
		if err := json.Unmarshal(r.body, &after); err != nil {
			return err
		}
		switch {
		case r.status == http.StatusOK:
			d = after
			i++
		case r.status == http.StatusConflict && after.Doc != nil && after.Doc.Version > d.Version:
			d = *after.Doc
		default:
			return fmt.Errorf("%d %.200s", r.status, r.body)
		}
	}
	return nil
}

// TestManyFilesAreAllJudged: designs that are opened at once take turns.
func TestManyFilesAreAllJudged(t *testing.T) {
	const files = 6
	dir := t.TempDir()
	for f := range files {
		if err := os.WriteFile(filepath.Join(dir, fmt.Sprintf("%d.yaml", f)), []byte(starterText(t)), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	b := servingIn(t, dir)
	var wait sync.WaitGroup
	for f := range files {
		wait.Go(func() {
			r, err := b.try("GET", b.url(fmt.Sprintf("api/judgement?file=%d.yaml", f)), "")
			if err != nil || r.status != 200 || !strings.Contains(string(r.body[:100]), `"ok":true`) {
				t.Errorf("%d.yaml: %d %v", f, r.status, err)
			}
		})
	}
	wait.Wait()
}

// TestSlowListenerHoldsNobodyUp: a window that reads nothing costs the others nothing.
func TestSlowListenerHoldsNobodyUp(t *testing.T) {
	b := serving(t, draftText(t))
	c, err := net.Dial("tcp4", b.host())
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	if err := c.(*net.TCPConn).SetReadBuffer(1 << 10); err != nil {
		t.Fatal(err)
	}
	fmt.Fprintf(c, "GET /%s/api/events?file=a.yaml HTTP/1.1\r\nHost: %s\r\n\r\n", b.token, b.host())
	if _, err := bufio.NewReaderSize(c, 16).ReadByte(); err != nil {
		t.Fatal(err)
	}
	news := b.listen(t.Context(), "a.yaml")
	d := b.doc()
	for i := range 400 {
		b.post("doc/text", object{"file": "a.yaml", "base": d.Version, "window": strings.Repeat("w", 500), "text": draftText(t) + fmt.Sprint("# ", i)}, &d)
	}
	hear(t, news, "doc", holds(fmt.Sprintf(`"version":%d,`, d.Version)))
	b.hub.mu.Lock()
	defer b.hub.mu.Unlock()
	for l := range b.hub.listeners {
		l.mu.Lock()
		if len(l.order) > 4 {
			t.Errorf("%d news wait for a window: %q", len(l.order), l.order)
		}
		l.mu.Unlock()
	}
}

// TestEndWithOpenStreams: the server ends at once with windows that listen and
// calls that wait; unsaved work is kept and named, and nothing goes on.
func TestEndWithOpenStreams(t *testing.T) {
	before := goroutines()
	b := serving(t, draftText(t))
	if err := os.WriteFile(filepath.Join(b.dir, "b.yaml"), []byte(starterText(t)), 0o644); err != nil {
		t.Fatal(err)
	}
	var streams []<-chan streamed
	for range 20 {
		streams = append(streams, b.listen(context.Background(), "a.yaml"))
	}
	b.post("doc/text", object{"file": "a.yaml", "base": 1, "window": "w", "text": draftText(t) + "# mine\n"}, nil)
	b.post("jobs", object{"file": "b.yaml", "kind": "improve"}, nil)
	var wait sync.WaitGroup
	for range 5 {
		wait.Go(func() { b.try("GET", b.url("api/judgement?file=b.yaml"), "") }) // however it ends
	}
	began := time.Now()
	b.end()
	if took := time.Since(began); took > 2*farewell+5*time.Second {
		t.Errorf("it took %v to end", took)
	}
	for _, s := range streams {
		for range s {
		}
	}
	wait.Wait()
	if b.err != nil || len(b.unsaved) != 1 || b.unsaved[0] != "a.yaml" {
		t.Errorf("unsaved %q, error %v", b.unsaved, b.err)
	}
	again := servingIn(t, b.dir)
	if d := again.doc(); !d.Recovered || d.Text != draftText(t)+"# mine\n" || d.Saved {
		t.Errorf("the work did not come back: recovered %v", d.Recovered)
	}
	again.end()
	for end := time.Now().Add(patience); goroutines() > before; time.Sleep(10 * time.Millisecond) {
		if time.Now().After(end) {
			stacks := make([]byte, 1<<16)
			t.Fatalf("%d goroutines before, %d after:\n%s", before, goroutines(), stacks[:runtime.Stack(stacks, true)])
		}
	}
}

// goroutines counts those of the program.
func goroutines() int { return runtime.NumGoroutine() }

// TestFilesOnDisk: what happens to the file is told to the windows.
func TestFilesOnDisk(t *testing.T) {
	b := serving(t, draftText(t))
	news := b.listen(t.Context(), "a.yaml")
	name := filepath.Join(b.dir, "a.yaml")
	text := strings.Replace(draftText(t), "rate: 480 /h", "rate: 410 /h", 1)
	if err := os.WriteFile(name+".new", []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.Rename(name+".new", name); err != nil {
		t.Fatal(err)
	}
	hear(t, news, "doc", func(data string) bool {
		return strings.Contains(data, `"version":2,`) && strings.Contains(data, `"edited_by":"disk"`) && strings.Contains(data, `"saved":true`)
	})
	hear(t, news, "judged", holds(`"version":2,`))
	if d := b.doc(); d.Text != text || d.Undo != 1 {
		t.Errorf("version %d, undo %d", d.Version, d.Undo)
	}
	if err := os.Rename(name, filepath.Join(b.dir, "b.yaml")); err != nil {
		t.Fatal(err)
	}
	hear(t, news, "doc", holds(`"disk":"gone"`))
	var d shownDoc
	if b.post("doc/save", object{"file": "a.yaml", "base": 2}, &d); !d.Saved {
		t.Errorf("the working copy was not saved again: %+v", d.Error)
	}
	hear(t, news, "doc", holds(`"saved":true`))
}

// TestPageIsServed: with the right kinds, long kept only under names that hold a
// digest, and compressed where the browser takes it.
func TestPageIsServed(t *testing.T) {
	b := serving(t, draftText(t))
	tests := map[string]struct {
		name, kind, cache string
	}{
		"the page itself": {"", "text/html; charset=utf-8", "no-store"},
		"by its name":     {"index.html", "text/html; charset=utf-8", "no-store"},
		"a script":        {"assets/index-1a2b.js", "text/javascript; charset=utf-8", "private, max-age=31536000, immutable"},
		"a style sheet":   {"assets/index-1a2b.css", "text/css; charset=utf-8", "private, max-age=31536000, immutable"},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			r := b.send("GET", b.url(c.name), "")
			if r.status != 200 || r.header.Get("Content-Type") != c.kind || r.header.Get("Cache-Control") != c.cache {
				t.Errorf("%d %v", r.status, r.header)
			}
			if head := b.send("HEAD", b.url(c.name), ""); head.status != 200 || len(head.body) > 0 {
				t.Errorf("HEAD: %d, %d bytes", head.status, len(head.body))
			}
		})
	}
	plain := b.send("GET", b.url("assets/index-1a2b.js"), "", "Accept-Encoding", "identity")
	zipped := b.send("GET", b.url("assets/index-1a2b.js"), "", "Accept-Encoding", "br, gzip;q=0.5")
	refused := b.send("GET", b.url("assets/index-1a2b.js"), "", "Accept-Encoding", "gzip;q=0")
	if plain.header.Get("Content-Encoding") != "" || zipped.header.Get("Content-Encoding") != "gzip" || refused.header.Get("Content-Encoding") != "" || len(zipped.body)*5 > len(plain.body) {
		t.Errorf("plain %d bytes, compressed %d bytes as %q", len(plain.body), len(zipped.body), zipped.header.Get("Content-Encoding"))
	}
}

// TestPageThatIsNotBuilt: the server says so instead of showing nothing.
func TestPageThatIsNotBuilt(t *testing.T) {
	for name, page := range map[string]string{"nothing": "", "the place keeper": "<p>The page is not built: run</p>"} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			if page != "" {
				if err := os.WriteFile(filepath.Join(dir, "index.html"), []byte(page), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			if s, err := New(Options{Folder: dir, Page: os.DirFS(dir)}); err == nil || !strings.Contains(err.Error(), "npm run build") {
				t.Errorf("server %v, error %v", s != nil, err)
			}
		})
	}
}

func TestPortThatIsTaken(t *testing.T) {
	b := serving(t, draftText(t))
	var port int
	if _, err := fmt.Sscanf(b.host(), "127.0.0.1:%d", &port); err != nil {
		t.Fatal(err)
	}
	if _, err := New(Options{Folder: b.dir, Page: built, Port: port}); err == nil {
		t.Error("a second server took the port")
	}
}
