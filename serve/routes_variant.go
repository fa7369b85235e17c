package serve

import (
	"context"
	"encoding/json"
	"net/http"

	"spanwright/serve/document"
	"spanwright/serve/judging"
	"spanwright/serve/view"
)

func (s *Server) variantRoutes(mux *http.ServeMux) {
	mux.Handle("GET /api/variants", s.api(func(r *http.Request) (any, error) {
		name, err := file(r)
		if err != nil {
			return nil, err
		}
		list, err := s.variants.List(name)
		return map[string]any{"variants": list}, err
	}))
	mux.Handle("POST /api/variants", s.change(s.keepVariant))
	mux.Handle("DELETE /api/variants", s.change(func(r *http.Request) (any, error) {
		name, err := file(r)
		if err != nil {
			return nil, err
		}
		return struct{}{}, s.variants.Remove(name, r.URL.Query().Get("id"))
	}))
	mux.Handle("POST /api/variants/restore", s.change(s.restoreVariant))
	mux.Handle("GET /api/compare", s.api(s.compare))
	mux.Handle("POST /api/try", s.change(s.try))
}

// variantRequest names a variant or makes one.
type variantRequest struct {
	File   string `json:"file"`
	ID     string `json:"id"`
	Name   string `json:"name"`
	Base   int    `json:"base"`
	Window string `json:"window"`
}

// keepVariant keeps the working copy under a name, with its headline. What cannot
// be judged is not kept.
func (s *Server) keepVariant(r *http.Request) (any, error) {
	in, err := body[variantRequest](r)
	if err != nil {
		return nil, err
	}
	d, err := s.folder.Document(in.File)
	if err != nil {
		return nil, err
	}
	state := d.State()
	found, err := s.judge.Once(r.Context(), state.File, state.Text)
	if err != nil {
		return nil, err
	}
	if !found.OK() {
		if found.Fault != nil {
			return nil, found.Fault
		}
		return nil, &refusal{
			http.StatusConflict, "not-judged", "only a design that can be judged is kept as a variant; mend its mistakes first",
			map[string]any{"diagnostics": diagnostics(found)},
		}
	}
	headline, err := json.Marshal(view.OfHeadline(found.Assessment))
	if err != nil {
		return nil, err
	}
	return s.variants.Add(state.File, in.Name, state.Text, state.Version, headline)
}

// restoreVariant makes a variant the working copy, as one step.
func (s *Server) restoreVariant(r *http.Request) (any, error) {
	in, err := body[variantRequest](r)
	if err != nil {
		return nil, err
	}
	d, err := s.folder.Document(in.File)
	if err != nil {
		return nil, err
	}
	_, text, err := s.variants.Text(in.File, in.ID)
	if err != nil {
		return nil, err
	}
	return d.Edit(in.Base, in.Window, func(string) (string, error) { return text, nil })
}

// Names of two texts of a design that are no variants.
const (
	now   = "now"   // the working copy
	saved = "saved" // the file on disk
)

// side is one text of a design.
type side struct {
	name, text string
	version    int
}

// side finds a text by the id that a request gives.
func (s *Server) side(d *document.Document, id string) (side, error) {
	state := d.State()
	switch id {
	case "":
		return side{}, badRequest("the address must say what to compare: a= and b=")
	case now:
		return side{"now", state.Text, state.Version}, nil
	case saved:
		text, exists := d.OnDisk()
		if !exists {
			return side{}, notFound(state.File + " is not there as a text that can be read; save it first")
		}
		return side{"as saved", text, 0}, nil
	}
	v, text, err := s.variants.Text(state.File, id)
	return side{v.Name, text, v.Version}, err
}

// goodSide is the judgement of one text of a design.
func (s *Server) goodSide(ctx context.Context, d *document.Document, id string) (*judging.Judgement, error) {
	of, err := s.side(d, id)
	if err != nil {
		return nil, err
	}
	found, err := s.judge.Once(ctx, d.Name(), of.text)
	if err != nil {
		return nil, err
	}
	if !found.OK() {
		return nil, unjudged(found)
	}
	found.Version = of.version
	return found, nil
}

// judgedSide makes a text ready to be compared.
func (s *Server) judgedSide(ctx context.Context, d *document.Document, of side) (view.Side, *judging.Judgement, error) {
	found, err := s.judge.Once(ctx, d.Name(), of.text)
	if err != nil {
		return view.Side{}, nil, err
	}
	return view.Side{Name: of.name, Assessment: found.Assessment, Text: []byte(of.text)}, found, nil
}

// compare puts two texts of a design side by side.
func (s *Server) compare(r *http.Request) (any, error) {
	d, err := s.document(r)
	if err != nil {
		return nil, err
	}
	var sides [2]view.Side
	for i, key := range []string{"a", "b"} {
		of, err := s.side(d, r.URL.Query().Get(key))
		if err != nil {
			return nil, err
		}
		if sides[i], _, err = s.judgedSide(r.Context(), d, of); err != nil {
			return nil, err
		}
	}
	return view.Compare(sides[0], sides[1]), nil
}

// trial is what edits would do.
type trial struct {
	OK          bool             `json:"ok"`
	Diagnostics []shownDiag      `json:"diagnostics"`
	Headline    *view.Headline   `json:"headline,omitempty"`
	Compare     *view.Comparison `json:"compare"` // a: now, b: with the edits
}

// try judges edits that are not made.
func (s *Server) try(r *http.Request) (any, error) {
	in, err := body[editRequest](r)
	if err != nil {
		return nil, err
	}
	d, err := s.folder.Document(in.File)
	if err != nil {
		return nil, err
	}
	before, err := s.side(d, now)
	if err != nil {
		return nil, err
	}
	text, err := edited(in.File, before.text, in.Edits)
	if err != nil {
		return nil, err
	}
	a, _, err := s.judgedSide(r.Context(), d, before)
	if err != nil {
		return nil, err
	}
	b, found, err := s.judgedSide(r.Context(), d, side{name: "with the change", text: text})
	if err != nil {
		return nil, err
	}
	out := trial{OK: found.OK(), Diagnostics: diagnostics(found), Compare: view.Compare(a, b)}
	if found.OK() {
		headline := view.OfHeadline(found.Assessment)
		out.Headline = &headline
	}
	return out, nil
}
