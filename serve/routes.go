package serve

import (
	"context"
	"fmt"
	"net/http"
	"strconv"

	"spanwright/serve/document"
	"spanwright/serve/judging"
)

// routes lists every address below the token.
func (s *Server) routes() http.Handler {
	mux := http.NewServeMux()
	mux.Handle("/", s.page)
	none := http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		refuse(w, r, notFound("there is no such call"))
	})
	mux.Handle("/api", none) // else it would be sent on to the next, without the secret
	mux.Handle("/api/", none)
	s.fileRoutes(mux)
	s.docRoutes(mux)
	s.judgementRoutes(mux)
	s.viewRoutes(mux)
	s.variantRoutes(mux)
	s.jobRoutes(mux)
	mux.HandleFunc("GET /api/events", s.events)
	return mux
}

// file is the file that a request speaks of.
func file(r *http.Request) (string, error) {
	name := r.URL.Query().Get("file")
	if name == "" {
		return "", badRequest("the address must say which file it speaks of: ?file=")
	}
	return name, nil
}

// document is the working copy that a request speaks of.
func (s *Server) document(r *http.Request) (*document.Document, error) {
	name, err := file(r)
	if err != nil {
		return nil, err
	}
	return s.folder.Document(name)
}

// number reads a whole number of the address; without one it is def.
func number(r *http.Request, key string, def int) (int, error) {
	text := r.URL.Query().Get(key)
	if text == "" {
		return def, nil
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 0 {
		return 0, badRequest(fmt.Sprintf("%s=%s is no whole number", key, text))
	}
	return n, nil
}

// judgedNow is the judgement of a working copy from a version on.
func (s *Server) judgedNow(ctx context.Context, state document.State, version int) (*judging.Judgement, error) {
	s.judge.Submit(state.File, state.Version, state.Text) // it may have been let go since
	return s.judge.Wait(ctx, state.File, version)
}

// good is the last judgement that could be made of the file that a request
// speaks of, or the one of the variant that it names. It waits for the one that
// is under way where there is none yet.
func (s *Server) good(r *http.Request) (*judging.Judgement, error) {
	d, err := s.document(r)
	if err != nil {
		return nil, err
	}
	if id := r.URL.Query().Get("variant"); id != "" && id != now {
		return s.goodSide(r.Context(), d, id)
	}
	state := d.State()
	if found := s.judge.Good(state.File); found != nil {
		return found, nil
	}
	last, err := s.judgedNow(r.Context(), state, state.Version)
	if err != nil {
		return nil, err
	}
	if last.OK() {
		return last, nil
	}
	if found := s.judge.Good(state.File); found != nil {
		return found, nil
	}
	return nil, unjudged(last)
}

// unjudged says why there is no judgement.
func unjudged(j *judging.Judgement) error {
	if j.Fault != nil {
		return j.Fault
	}
	return &refusal{
		http.StatusUnprocessableEntity, "not-judged", fmt.Sprintf("%s has mistakes and could not be judged yet", j.File),
		map[string]any{"diagnostics": diagnostics(j)},
	}
}
