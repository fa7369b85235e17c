package serve

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"testing/fstest"
	"time"

	"spanwright/examples"
)

// patience is how long a test waits, many times what it takes on a busy machine.
const patience = 60 * time.Second

// built stands in for the page, which has tests of its own.
var built = fstest.MapFS{
	"index.html":            {Data: []byte("<!doctype html><title>the page</title>")},
	"assets/index-1a2b.js":  {Data: []byte("// " + strings.Repeat("long enough to be compressed ", 100))},
	"assets/index-1a2b.css": {Data: []byte("p{}")},
}

// bench is a server for one test.
type bench struct {
	*Server
	t      *testing.T
	dir    string
	client *http.Client
	stop   context.CancelFunc
	done   chan struct{}

	unsaved  []string
	err      error
	mu       sync.Mutex
	warnings []error
}

// starterText is the design of the first starter.
func starterText(t testing.TB) string {
	t.Helper()
	text, err := examples.Starters[0].Text()
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// draftText is the same with one mistake, so that it is read and not judged.
func draftText(t testing.TB) string { return starterText(t) + "unknown: 1\n" }

// serving starts a server on a folder with one design.
func serving(t *testing.T, text string, with ...func(*Options)) *bench {
	t.Helper()
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "a.yaml"), []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return servingIn(t, dir, with...)
}

func servingIn(t *testing.T, dir string, with ...func(*Options)) *bench {
	t.Helper()
	b := &bench{t: t, dir: dir, done: make(chan struct{}), client: &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: 100}}}
	o := Options{Folder: dir, First: "a.yaml", Page: built, Warn: func(err error) {
		b.mu.Lock()
		defer b.mu.Unlock()
		b.warnings = append(b.warnings, err)
	}}
	for _, change := range with {
		change(&o)
	}
	s, err := New(o)
	if err != nil {
		t.Fatal(err)
	}
	b.Server = s
	ctx, stop := context.WithCancel(context.Background())
	b.stop = stop
	go func() {
		defer close(b.done)
		b.unsaved, b.err = s.Serve(ctx)
	}()
	t.Cleanup(b.end)
	return b
}

// end stops the server and waits for it.
func (b *bench) end() {
	b.stop()
	b.client.CloseIdleConnections()
	select {
	case <-b.done:
	case <-time.After(patience):
		b.t.Error("the server does not end")
	}
}

func (b *bench) url(call string) string { return b.root() + b.token + "/" + call }

// reply is an answer with its body read.
type reply struct {
	status int
	header http.Header
	body   []byte
}

// code is the word of a refusal.
func (r reply) code() string {
	var body struct {
		Error struct{ Code, Message string }
	}
	_ = json.Unmarshal(r.body, &body) // what is no refusal has no code
	return body.Error.Code
}

// try sends a request.
func (b *bench) try(method, url, body string, header ...string) (reply, error) {
	request, err := http.NewRequest(method, url, strings.NewReader(body))
	if err != nil {
		return reply{}, err
	}
	if method != http.MethodGet && method != http.MethodHead {
		request.Header.Set("X-Spanwright", "1")
		request.Header.Set("Content-Type", "application/json")
	}
	for i := 0; i < len(header); i += 2 {
		request.Header.Set(header[i], header[i+1])
		if header[i] == "Host" {
			request.Host = header[i+1]
		}
	}
	response, err := b.client.Do(request)
	if err != nil {
		return reply{}, err
	}
	defer response.Body.Close()
	text, err := io.ReadAll(response.Body)
	return reply{response.StatusCode, response.Header, text}, err
}

func (b *bench) send(method, url, body string, header ...string) reply {
	b.t.Helper()
	r, err := b.try(method, url, body, header...)
	if err != nil {
		b.t.Fatal(err)
	}
	return r
}

func (b *bench) get(call string) reply { b.t.Helper(); return b.send("GET", b.url("api/"+call), "") }

// post sends a value and reads the answer into out, which may be nil.
func (b *bench) post(call string, in, out any) reply {
	b.t.Helper()
	text, err := json.Marshal(in)
	if err != nil {
		b.t.Fatal(err)
	}
	r := b.send("POST", b.url("api/"+call), string(text))
	if out != nil {
		if err := json.Unmarshal(r.body, out); err != nil {
			b.t.Fatalf("%s: %v in %.200s", call, err, r.body)
		}
	}
	return r
}

// read gets a value.
func (b *bench) read(call string, out any) {
	b.t.Helper()
	r := b.get(call)
	if r.status != http.StatusOK {
		b.t.Fatalf("%s: %d %.300s", call, r.status, r.body)
	}
	if err := json.Unmarshal(r.body, out); err != nil {
		b.t.Fatalf("%s: %v in %.200s", call, err, r.body)
	}
}

// shownDoc is what a client sees of a working copy.
type shownDoc struct {
	File      string
	Text      string
	Version   int
	Saved     bool
	Disk      string
	Undo      int
	Redo      int
	EditedBy  string `json:"edited_by"`
	Recovered bool
	Error     struct{ Code, Message string }
	Doc       *shownDoc
	DiskText  string `json:"disk_text"`
}

func (b *bench) doc() (d shownDoc) { b.t.Helper(); b.read("doc?file=a.yaml", &d); return d }

// streamed reads the events of a file until the test ends.
type streamed struct {
	kind string
	data string
}

// listen passes the events of a file on; the channel is closed with the connection.
func (b *bench) listen(ctx context.Context, file string) <-chan streamed {
	b.t.Helper()
	request, err := http.NewRequestWithContext(ctx, "GET", b.url("api/events?file="+file+"&window=w"), nil)
	if err != nil {
		b.t.Fatal(err)
	}
	response, err := b.client.Do(request)
	if err != nil {
		b.t.Fatal(err)
	}
	if kind := response.Header.Get("Content-Type"); response.StatusCode != http.StatusOK || !strings.HasPrefix(kind, "text/event-stream") {
		b.t.Fatalf("events: %d %s", response.StatusCode, kind)
	}
	out := make(chan streamed, 1000)
	go func() {
		defer close(out)
		defer response.Body.Close()
		var whole bytes.Buffer
		chunk := make([]byte, 4096)
		for {
			n, err := response.Body.Read(chunk)
			whole.Write(chunk[:n])
			for {
				text, rest, found := strings.Cut(whole.String(), "\n\n")
				if !found {
					break
				}
				var e streamed
				for line := range strings.SplitSeq(text, "\n") {
					if v, ok := strings.CutPrefix(line, "event: "); ok {
						e.kind = v
					}
					if v, ok := strings.CutPrefix(line, "data: "); ok {
						e.data = v
					}
				}
				if e.kind != "" {
					out <- e
				}
				whole.Reset()
				whole.WriteString(rest)
			}
			if err != nil {
				return
			}
		}
	}()
	return out
}

// hear waits for an event of a kind that is as wanted.
func hear(t *testing.T, from <-chan streamed, kind string, is func(data string) bool) string {
	t.Helper()
	end := time.After(patience)
	for {
		select {
		case e, open := <-from:
			if !open {
				t.Fatalf("the stream ended before %q", kind)
			}
			if e.kind == kind && is(e.data) {
				return e.data
			}
		case <-end:
			t.Fatalf("no event %q", kind)
		}
	}
}

func holds(part string) func(string) bool {
	return func(data string) bool { return strings.Contains(data, part) }
}

// raw sends bytes as they are and returns what comes back until the connection
// ends or time is out.
func (b *bench) raw(text string, wait time.Duration) string {
	b.t.Helper()
	c, err := net.Dial("tcp4", b.listener.Addr().String())
	if err != nil {
		b.t.Fatal(err)
	}
	defer c.Close()
	if err := c.SetDeadline(time.Now().Add(wait)); err != nil {
		b.t.Fatal(err)
	}
	if _, err := io.WriteString(c, text); err != nil {
		b.t.Fatal(err)
	}
	out, _ := io.ReadAll(c) // the deadline ends what the server keeps open
	return string(out)
}

func (b *bench) host() string { return b.listener.Addr().String() }

func quote(s string) string { return fmt.Sprintf("%q", s) }
