package serve

import (
	"errors"
	"fmt"
	"net/http"

	"spanwright/decode"
	"spanwright/design"
	"spanwright/diag"
	"spanwright/serve/document"
)

func (s *Server) docRoutes(mux *http.ServeMux) {
	mux.Handle("GET /api/doc", s.api(func(r *http.Request) (any, error) {
		d, err := s.document(r)
		if err != nil {
			return nil, err
		}
		return d.State(), nil
	}))
	mux.Handle("POST /api/doc/text", s.change(with(s, func(d *document.Document, in *textRequest) (document.State, error) {
		if in.Text == nil {
			return document.State{}, badRequest("text is missing: the whole text of the design")
		}
		return d.Write(in.Base, *in.Text, in.Window)
	})))
	mux.Handle("POST /api/doc/edit", s.change(with(s, editDoc)))
	mux.Handle("POST /api/doc/undo", s.change(with(s, func(d *document.Document, in *docRequest) (document.State, error) {
		return d.Undo(in.Base, in.Window)
	})))
	mux.Handle("POST /api/doc/redo", s.change(with(s, func(d *document.Document, in *docRequest) (document.State, error) {
		return d.Redo(in.Base, in.Window)
	})))
	mux.Handle("POST /api/doc/save", s.change(with(s, func(d *document.Document, in *saveRequest) (document.State, error) {
		return d.Save(in.Base, in.Mine)
	})))
	mux.Handle("POST /api/doc/reload", s.change(with(s, func(d *document.Document, in *docRequest) (document.State, error) {
		return d.Reload(in.Window)
	})))
}

// docRequest asks for a step of a working copy.
type docRequest struct {
	File   string `json:"file"`
	Base   int    `json:"base"`
	Window string `json:"window"`
}

// textRequest brings a whole text.
type textRequest struct {
	File   string  `json:"file"`
	Base   int     `json:"base"`
	Window string  `json:"window"`
	Text   *string `json:"text"` // needed: an empty text is one
}

// editRequest changes values.
type editRequest struct {
	File   string       `json:"file"`
	Base   int          `json:"base"`
	Window string       `json:"window"`
	Edits  []editOfPath `json:"edits"`
}

// saveRequest asks for the working copy to be written.
type saveRequest struct {
	File   string `json:"file"`
	Base   int    `json:"base"`
	Window string `json:"window"`
	Mine   bool   `json:"mine"`
}

func (r *docRequest) of() string  { return r.File }
func (r *textRequest) of() string { return r.File }
func (r *editRequest) of() string { return r.File }
func (r *saveRequest) of() string { return r.File }

// request is a body of type T that names a file.
type request[T any] interface {
	*T
	of() string
}

// editOfPath changes one value.
type editOfPath struct {
	Path   string `json:"path"`
	Value  string `json:"value"`
	Remove bool   `json:"remove"`
}

// with opens the working copy that a request names and answers with what became of it.
func with[T any, R request[T]](s *Server, change func(*document.Document, R) (document.State, error)) call {
	return func(r *http.Request) (any, error) {
		in, err := body[T](r)
		if err != nil {
			return nil, err
		}
		d, err := s.folder.Document(R(in).of())
		if err != nil {
			return nil, err
		}
		return change(d, in)
	}
}

// editDoc changes values and leaves the rest of the text as it is.
func editDoc(d *document.Document, in *editRequest) (document.State, error) {
	return d.Edit(in.Base, in.Window, func(text string) (string, error) {
		return edited(in.File, text, in.Edits)
	})
}

// mostEdits is how many values one request may change.
const mostEdits = 1000

// edited is the text with the edits made. The error is a refusal that says
// which edit cannot be made.
func edited(file, text string, edits []editOfPath) (string, error) {
	if len(edits) > mostEdits {
		return "", badRequest(fmt.Sprintf("more than %d edits at once", mostEdits))
	}
	list := make([]design.Edit, len(edits))
	for i, e := range edits {
		list[i] = design.Edit{Path: e.Path, Value: e.Value, Remove: e.Remove}
	}
	out, err := (&design.File{Name: file, Text: []byte(text)}).Apply(list...)
	if err == nil {
		return string(out), nil
	}
	var found diag.List
	if !errors.As(err, &found) {
		_, found = decode.Tree(file, []byte(text))
	}
	return "", &refusal{http.StatusUnprocessableEntity, "edit", err.Error(), map[string]any{"diagnostics": located(found, []byte(text))}}
}
