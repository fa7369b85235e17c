package serve

import (
	"errors"
	"fmt"
	"io/fs"
	"mime"
	"net/http"
	"path"
	"strings"
	"time"
)

// ErrNoPage is returned where the page was not built.
var ErrNoPage = errors.New("the page is not built: run \"npm ci && npm run build\" in the folder app, and build the program again")

// unbuilt stands in the file that keeps the place of a page that is not built.
const unbuilt = "The page is not built"

// page is the built page.
type page struct{ files fs.FS }

func newPage(files fs.FS) (*page, error) {
	if files == nil {
		return nil, ErrNoPage
	}
	index, err := fs.ReadFile(files, "index.html")
	if errors.Is(err, fs.ErrNotExist) || err == nil && strings.Contains(string(index), unbuilt) {
		return nil, ErrNoPage
	}
	if err != nil {
		return nil, fmt.Errorf("the page cannot be read: %w", err)
	}
	return &page{files}, nil
}

// kinds of files that a page has, independent of what the system knows.
var kinds = map[string]string{
	".html": "text/html; charset=utf-8", ".js": "text/javascript; charset=utf-8", ".css": "text/css; charset=utf-8",
	".svg": "image/svg+xml", ".json": "application/json", ".png": "image/png", ".ico": "image/x-icon", ".wasm": "application/wasm", ".map": "application/json",
	".txt": "text/plain; charset=utf-8",
}

// ServeHTTP answers with a file of the page.
func (p *page) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	name := strings.TrimPrefix(r.URL.Path, "/")
	if name == "" {
		name = "index.html"
	}
	text, err := p.read(name)
	if err != nil || r.Method != http.MethodGet && r.Method != http.MethodHead {
		refuse(w, r, notFound("the page has no such file"))
		return
	}
	kind := kinds[path.Ext(name)]
	if kind == "" {
		if kind = mime.TypeByExtension(path.Ext(name)); kind == "" {
			kind = "application/octet-stream"
		}
	}
	w.Header().Set("Content-Type", kind)
	if strings.HasPrefix(name, "assets/") { // their names hold a digest of their content
		w.Header().Set("Cache-Control", "private, max-age=31536000, immutable")
	}
	_ = http.NewResponseController(w).SetWriteDeadline(time.Now().Add(writeTimeout)) // as in send
	deliver(w, r, http.StatusOK, text)
}

func (p *page) read(name string) ([]byte, error) {
	if !fs.ValidPath(name) {
		return nil, fs.ErrNotExist
	}
	return fs.ReadFile(p.files, name)
}
