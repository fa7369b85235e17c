package serve

import (
	"fmt"
	"net/http"

	"spanwright/diag"
	"spanwright/internal/project"
	"spanwright/serve/judging"
	"spanwright/serve/view"
)

func (s *Server) judgementRoutes(mux *http.ServeMux) {
	mux.Handle("GET /api/judgement", s.api(s.judgement))
}

// open reads a text as if it stood in the file.
func (s *Server) open(file, text string) (*project.Project, diag.List) {
	return project.Open(overlay{s.folder.FS(), file, text}, "", file)
}

// judgementAnswer is the judgement of a version.
type judgementAnswer struct {
	File        string      `json:"file"`
	Version     int         `json:"version"`
	MS          int64       `json:"ms"`
	OK          bool        `json:"ok"`
	Diagnostics []shownDiag `json:"diagnostics"`
	Fault       string      `json:"fault,omitempty"`
	*view.Judgement
	Last *lastJudged `json:"last,omitempty"` // the last good one, where this one is none
}

// lastJudged is an earlier one.
type lastJudged struct {
	Version int   `json:"version"`
	MS      int64 `json:"ms"`
	*view.Judgement
}

func (s *Server) judgement(r *http.Request) (any, error) {
	d, err := s.document(r)
	if err != nil {
		return nil, err
	}
	state := d.State()
	version, err := number(r, "version", state.Version)
	if err != nil {
		return nil, err
	}
	if version > state.Version {
		return nil, badRequest(fmt.Sprintf("%s is at version %d, and there is no %d yet", state.File, state.Version, version))
	}
	found, err := s.judgedNow(r.Context(), state, version)
	if err != nil {
		return nil, err
	}
	return s.contentOf(found), nil
}

// contentOf is the answer with a judgement.
func (s *Server) contentOf(found *judging.Judgement) *judgementAnswer {
	out := &judgementAnswer{File: found.File, Version: found.Version, MS: found.Took.Milliseconds(), OK: found.OK(), Diagnostics: diagnostics(found)}
	if found.OK() {
		out.Judgement = view.OfJudgement(found.Assessment)
		return out
	}
	if found.Fault != nil {
		out.Fault = "the program failed over this text; please report it with the file"
	}
	if good := s.judge.Good(found.File); good != nil {
		out.Last = &lastJudged{good.Version, good.Took.Milliseconds(), view.OfJudgement(good.Assessment)}
	}
	return out
}
