package serve

import (
	"compress/gzip"
	"net/http"
	"strconv"
	"strings"
	"sync"
)

// leastZipped is the size from which an answer is worth compressing, bytes.
const leastZipped = 1400

var zippers = sync.Pool{New: func() any {
	z, _ := gzip.NewWriterLevel(nil, gzip.BestSpeed) // the level is one that exists
	return z
}}

// deliver writes a body, compressed where the client asks for it.
func deliver(w http.ResponseWriter, r *http.Request, status int, text []byte) {
	h := w.Header()
	h.Add("Vary", "Accept-Encoding")
	if len(text) < leastZipped || !acceptsGzip(r) {
		h.Set("Content-Length", strconv.Itoa(len(text)))
		w.WriteHeader(status)
		if r.Method != http.MethodHead {
			_, _ = w.Write(text) // a client that is gone needs no answer
		}
		return
	}
	h.Set("Content-Encoding", "gzip")
	w.WriteHeader(status)
	if r.Method == http.MethodHead {
		return
	}
	z := zippers.Get().(*gzip.Writer)
	defer zippers.Put(z)
	z.Reset(w)
	_, _ = z.Write(text) // as above
	_ = z.Close()
}

// acceptsGzip reads Accept-Encoding (RFC 9110, section 12.5.3) as far as it
// speaks of gzip.
func acceptsGzip(r *http.Request) bool {
	for entry := range strings.SplitSeq(strings.Join(r.Header.Values("Accept-Encoding"), ","), ",") {
		name, weight, weighed := strings.Cut(strings.TrimSpace(entry), ";")
		if strings.TrimSpace(name) != "gzip" {
			continue
		}
		if !weighed {
			return true
		}
		q, err := strconv.ParseFloat(strings.TrimPrefix(strings.TrimSpace(weight), "q="), 64)
		return err == nil && q > 0
	}
	return false
}
