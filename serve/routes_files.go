package serve

import (
	"net/http"
	"path/filepath"
	"sync"

	"spanwright/design"
	"spanwright/serve/document"
)

func (s *Server) fileRoutes(mux *http.ServeMux) {
	mux.Handle("GET /api/files", s.api(func(*http.Request) (any, error) {
		return struct {
			Folder string           `json:"folder"`
			Files  []document.Entry `json:"files"`
		}{filepath.Base(s.folder.Path()), s.folder.List()}, nil
	}))
	schema := sync.OnceValues(design.Schema) // it is the same as long as the program is
	mux.Handle("GET /api/schema", s.api(func(*http.Request) (any, error) {
		text, err := schema()
		return rawJSON(text), err
	}))
	mux.Handle("GET /api/parts", s.api(s.parts))
	mux.Handle("GET /api/starters", s.api(func(*http.Request) (any, error) { return starters() }))
	mux.Handle("POST /api/new", s.change(s.newDesign))
}

// rawJSON is written as it is.
type rawJSON []byte

// MarshalJSON is the text itself.
func (t rawJSON) MarshalJSON() ([]byte, error) { return t, nil }
