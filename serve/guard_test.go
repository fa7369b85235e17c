package serve

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// TestOnlyThePageIsAnswered: who lacks the secret, comes under another name or
// from another page gets nothing.
func TestOnlyThePageIsAnswered(t *testing.T) {
	b := serving(t, draftText(t))
	doc := "api/doc?file=a.yaml"
	port := b.host()[strings.LastIndex(b.host(), ":"):]
	other := strings.Repeat("A", len(b.token))
	tests := map[string]struct {
		method, url string
		header      []string
		status      int
	}{
		"the page":                      {"GET", b.url(""), nil, 200},
		"the page as typed":             {"GET", b.url(""), []string{"Sec-Fetch-Site", "none"}, 200},
		"a call":                        {"GET", b.url(doc), nil, 200},
		"a call of the page":            {"GET", b.url(doc), []string{"Sec-Fetch-Site", "same-origin", "Origin", "http://" + b.host()}, 200},
		"by the name localhost":         {"GET", b.url(doc), []string{"Host", "localhost" + port}, 200},
		"by the other loopback":         {"GET", b.url(doc), []string{"Host", "[::1]" + port}, 200},
		"no secret":                     {"GET", b.root(), nil, 404},
		"no secret, a call":             {"GET", b.root() + doc, nil, 404},
		"another secret":                {"GET", b.root() + other + "/" + doc, nil, 404},
		"half of the secret":            {"GET", b.root() + b.token[:20] + "/" + doc, nil, 404},
		"more than the secret":          {"GET", b.root() + b.token + "x/" + doc, nil, 404},
		"the once key, never started":   {"GET", b.root() + b.once.key, nil, 404},
		"another host":                  {"GET", b.url(doc), []string{"Host", "gantry.example" + port}, 403},
		"another port":                  {"GET", b.url(doc), []string{"Host", "127.0.0.1:1"}, 403},
		"a host without port":           {"GET", b.url(doc), []string{"Host", "127.0.0.1"}, 403},
		"another origin":                {"GET", b.url(doc), []string{"Origin", "http://gantry.example"}, 403},
		"no origin worth the name":      {"GET", b.url(doc), []string{"Origin", "null"}, 403},
		"own host, other scheme":        {"GET", b.url(doc), []string{"Origin", "https://" + b.host()}, 403},
		"own host and more":             {"GET", b.url(doc), []string{"Origin", "http://" + b.host() + ".example"}, 403},
		"from another site":             {"GET", b.url(doc), []string{"Sec-Fetch-Site", "cross-site"}, 403},
		"from another port":             {"GET", b.url(doc), []string{"Sec-Fetch-Site", "same-site"}, 403},
		"a change without its header":   {"POST", b.url("api/doc/undo"), []string{"X-Spanwright", ""}, 403},
		"a deletion without its header": {"DELETE", b.url("api/variants?file=a.yaml&id=x"), []string{"X-Spanwright", ""}, 403},
		"a change as a form":            {"POST", b.url("api/doc/undo"), []string{"Content-Type", "text/plain"}, 415},
		"a change of no kind":           {"POST", b.url("api/doc/undo"), []string{"Content-Type", ""}, 415},
		"a change by GET":               {"GET", b.url("api/doc/undo"), nil, 404},
		"no such call":                  {"GET", b.url("api/none"), nil, 404},
		"a write to the page":           {"POST", b.url("index.html"), nil, 404},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			r := b.send(c.method, c.url, "{}", c.header...)
			if r.status != c.status {
				t.Errorf("status %d, want %d: %.200s", r.status, c.status, r.body)
			}
			for key, want := range map[string]string{
				"X-Content-Type-Options": "nosniff", "Referrer-Policy": "no-referrer", "Content-Security-Policy": contentPolicy, "Cache-Control": "no-store",
			} {
				if got := r.header.Get(key); got != want {
					t.Errorf("%s is %q, want %q", key, got, want)
				}
			}
			if r.status != 200 && strings.Contains(string(r.body), b.token) {
				t.Error("the refusal tells the secret")
			}
			if got := r.header.Get("Access-Control-Allow-Origin"); got != "" {
				t.Errorf("another page may read it: %q", got)
			}
		})
	}
}

// TestAddressesMakeNoWay: however an address is written, it leads to nothing
// outside the folder, and no part of the program's own files.
func TestAddressesMakeNoWay(t *testing.T) {
	b := serving(t, draftText(t))
	secret := filepath.Join(filepath.Dir(b.dir), "secret.yaml")
	if err := os.WriteFile(secret, []byte("secret: 1\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.Remove(secret) })
	inside := filepath.Base(b.dir)
	for _, file := range []string{
		"..%2Fsecret.yaml", "../secret.yaml", "%2e%2e/secret.yaml", "%252e%252e%2Fsecret.yaml", "..%5Csecret.yaml", "a.yaml%00", "a.yaml%00.yaml", "%00",
		secret, "%2Fetc%2Fpasswd", "a.yaml/../../secret.yaml", "./a.yaml", "a.yaml/", inside + "/../../secret.yaml", "file:///etc/passwd", ".spanwright/a.yaml", "",
		"a.yaml&file=../secret.yaml%00", strings.Repeat("a", 5000) + ".yaml", "C:%5Csecret.yaml", "%ff.yaml",
	} {
		for _, call := range []string{"doc", "judgement", "scene", "events", "parts", "variants", "jobs"} {
			r := b.get(call + "?file=" + file)
			good := r.status == 400 || r.status == 404
			if file == "a.yaml&file=../secret.yaml%00" || (call == "jobs" || call == "variants") && r.status == 200 {
				good = !strings.Contains(string(r.body), "secret: 1")
			}
			if !good || strings.Contains(string(r.body), "secret: 1") {
				t.Errorf("%s of %q: %d %.200s", call, file, r.status, r.body)
			}
			if file == "a.yaml&file=../secret.yaml%00" {
				break // the first file counts; events of it go on
			}
		}
	}
	for _, path := range []string{"..%2f..%2fetc%2fpasswd", "%2e%2e/%2e%2e/etc/passwd", "assets/..%2findex.go", "assets/%00", "assets\\index", ".", "assets/", "assets"} {
		reply := b.raw(fmt.Sprintf("GET /%s/%s HTTP/1.1\r\nHost: %s\r\nConnection: close\r\n\r\n", b.token, path, b.host()), 5*time.Second)
		status := strings.SplitN(reply, "\r\n", 2)[0]
		if strings.Contains(reply, "root:") || strings.Contains(status, " 200 ") && !strings.Contains(reply, "<title>the page</title>") {
			t.Errorf("%s: %.200s", path, reply)
		}
	}
	for _, body := range []string{`{"file":"../secret.yaml","base":1}`, `{"file":"/etc/passwd","base":1}`, `{"file":"a.yaml\u0000","base":1}`, `{"file":"","base":1}`} {
		for _, call := range []string{"doc/text", "doc/edit", "doc/undo", "doc/save", "doc/reload", "try", "jobs", "variants", "variants/restore"} {
			if r := b.send("POST", b.url("api/"+call), body); r.status != 400 && r.status != 404 {
				t.Errorf("%s of %s: %d %.200s", call, body, r.status, r.body)
			}
		}
	}
	if got, err := os.ReadFile(secret); err != nil || string(got) != "secret: 1\n" {
		t.Errorf("the file outside is now %q (%v)", got, err)
	}
}

// TestBodiesAreBounded: neither size nor time of a request is the sender's to choose.
func TestBodiesAreBounded(t *testing.T) {
	b := serving(t, draftText(t))
	large := `{"file":"a.yaml","base":1,"text":` + quote(strings.Repeat("# long\n", 200_000)) + `}`
	if r := b.send("POST", b.url("api/doc/text"), large); r.status != http.StatusRequestEntityTooLarge || r.code() != "too-large" {
		t.Errorf("a large body: %d %.200s", r.status, r.body)
	}
	for name, body := range map[string]string{"no JSON": "{", "another shape": "[]", "a text as a number": `{"file":"a.yaml","base":"one"}`, "nothing": ""} {
		if r := b.send("POST", b.url("api/doc/text"), body); r.status != http.StatusBadRequest {
			t.Errorf("%s: %d %.200s", name, r.status, r.body)
		}
	}
	if d := b.doc(); d.Version != 1 {
		t.Errorf("version %d: something was changed", d.Version)
	}
	head := fmt.Sprintf("GET / HTTP/1.1\r\nHost: %s\r\nX-Long: %s\r\n\r\n", b.host(), strings.Repeat("x", 1<<20))
	if reply := b.raw(head, 5*time.Second); strings.Contains(reply, " 200 ") {
		t.Errorf("a large header: %.100s", reply)
	}
}

// TestSlowBodyIsCutOff: a body that does not arrive does not keep its connection.
func TestSlowBodyIsCutOff(t *testing.T) {
	const limit = 300 * time.Millisecond
	b := serving(t, draftText(t), func(o *Options) { o.bodyTimeout = limit })
	request := fmt.Sprintf("POST /%s/api/doc/text HTTP/1.1\r\nHost: %s\r\nX-Spanwright: 1\r\nContent-Type: application/json\r\nContent-Length: 100\r\n\r\n{", b.token, b.host())
	began := time.Now()
	reply := b.raw(request, patience)
	if took := time.Since(began); !strings.HasPrefix(reply, "HTTP/1.1 400") || took < limit || took > patience/2 {
		t.Errorf("after %v: %.200s", time.Since(began), reply)
	}
}

func TestOnceAddressOpensOnce(t *testing.T) {
	b := serving(t, draftText(t))
	b.client.CheckRedirect = func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }
	address := b.OnceAddress()
	r := b.send("GET", address, "")
	if r.status != http.StatusSeeOther || r.header.Get("Location") != "/"+b.token+"/#file=a.yaml" {
		t.Errorf("the first time: %d to %q", r.status, r.header.Get("Location"))
	}
	if r := b.send("GET", address, ""); r.status != http.StatusNotFound {
		t.Errorf("the second time: %d", r.status)
	}
	b.OnceAddress()
	b.once.until = time.Now().Add(-time.Second)
	if r := b.send("GET", address, ""); r.status != http.StatusNotFound {
		t.Errorf("too late: %d", r.status)
	}
	if address == b.Address() || strings.Contains(address, b.token) {
		t.Error("the address for the browser holds the secret")
	}
}

// TestFaultIsAnswered: a fault in one call is said, and the server goes on.
func TestFaultIsAnswered(t *testing.T) {
	b := serving(t, draftText(t))
	w := httptest.NewRecorder()
	b.api(func(*http.Request) (any, error) { panic("out of range") }).ServeHTTP(w, httptest.NewRequest("GET", "/", nil))
	if w.Code != http.StatusInternalServerError || !strings.Contains(w.Body.String(), `"code":"fault"`) || strings.Contains(w.Body.String(), "out of range") {
		t.Errorf("%d %s", w.Code, w.Body)
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	if len(b.warnings) != 1 || !strings.Contains(b.warnings[0].Error(), "out of range") {
		t.Errorf("warnings %v", b.warnings)
	}
}

func TestListenersAreBounded(t *testing.T) {
	h := newHub()
	var last *listener
	for range mostListeners {
		last = h.join("a.yaml")
	}
	if last == nil || h.join("a.yaml") != nil {
		t.Error("the bound is not where it should be")
	}
	h.leave(last)
	if h.join("b.yaml") == nil {
		t.Error("a place that was left is not given away again")
	}
}
