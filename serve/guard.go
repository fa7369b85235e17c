package serve

import (
	"crypto/subtle"
	"io"
	"log"
	"net/http"
	"net/url"
	"path"
	"strings"
	"sync"
	"time"
)

// contentPolicy lets the page load from its own address alone.
const contentPolicy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; " +
	"connect-src 'self'; font-src 'self'; frame-ancestors 'none'; base-uri 'none'; form-action 'none'"

// handler guards and routes.
func (s *Server) handler() http.Handler {
	inner := http.StripPrefix("/"+s.token, s.routes())
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", contentPolicy)
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cache-Control", "no-store")
		key, rest, slash := strings.Cut(strings.TrimPrefix(r.URL.Path, "/"), "/")
		switch {
		case !s.hosts[r.Host]:
			refuse(w, r, &refusal{status: http.StatusForbidden, Code: "forbidden", Message: "this address is not served under that name"})
		case !s.own(r):
			refuse(w, r, &refusal{status: http.StatusForbidden, Code: "forbidden", Message: "only the page itself may ask"})
		case !slash && s.once.use(key):
			http.Redirect(w, r, "/"+s.token+"/"+s.hash(), http.StatusSeeOther)
		case !same(key, s.token):
			refuse(w, r, &refusal{status: http.StatusNotFound, Code: "not-found", Message: "there is nothing at this address; the program prints the right one when it starts"})
		case !slash:
			http.Redirect(w, r, "/"+s.token+"/", http.StatusSeeOther)
		case strings.Contains(rest, "\x00"):
			refuse(w, r, &refusal{status: http.StatusBadRequest, Code: "bad-request", Message: "an address holds no NUL"})
		case !straight("/" + rest), !straight(r.URL.EscapedPath()):
			refuse(w, r, notFound("there is nothing at this address"))
		default:
			inner.ServeHTTP(w, r)
		}
	})
}

// straight tells whether a path names a place without detours. The router would
// send others to the straight one, and leave the secret out.
func straight(p string) bool {
	clean := path.Clean(p)
	return p == clean || p == clean+"/"
}

// own tells whether the request comes from the page or was typed by the user,
// and not sent by somebody else's page.
func (s *Server) own(r *http.Request) bool {
	if origin := r.Header.Get("Origin"); origin != "" {
		host, found := strings.CutPrefix(origin, "http://")
		if !found || !s.hosts[host] {
			return false
		}
	}
	switch r.Header.Get("Sec-Fetch-Site") {
	case "", "none", "same-origin":
		return true
	}
	return false
}

// hash names the design that is opened first, for the page alone.
func (s *Server) hash() string {
	if s.first == "" {
		return ""
	}
	return "#file=" + url.QueryEscape(s.first)
}

// same compares in a time that does not depend on where two texts differ.
func same(a, b string) bool { return subtle.ConstantTimeCompare([]byte(a), []byte(b)) == 1 }

// once is a key that opens a single time.
type once struct {
	mu    sync.Mutex
	key   string
	until time.Time // zero: not in use
}

// onceFor is how long a browser may take to start.
const onceFor = time.Minute

func (o *once) start() {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.until = time.Now().Add(onceFor)
}

func (o *once) use(key string) bool {
	o.mu.Lock()
	defer o.mu.Unlock()
	if !same(key, o.key) || !time.Now().Before(o.until) {
		return false
	}
	o.until = time.Time{}
	return true
}

// quiet passes what the HTTP server logs to warn, except that clients went away.
func quiet(warn func(error)) *log.Logger { return log.New(warner(warn), "", 0) }

type warner func(error)

// Write passes one line on.
func (w warner) Write(line []byte) (int, error) {
	text := strings.TrimSpace(string(line))
	if !strings.Contains(text, "TLS handshake") {
		w(logged(text))
	}
	return len(line), nil
}

// logged is a line of the HTTP server's log.
type logged string

func (l logged) Error() string { return string(l) }

var _ io.Writer = warner(nil)
