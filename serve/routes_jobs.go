package serve

import (
	"bytes"
	"context"
	"fmt"
	"mime"
	"net/http"
	"strings"
	"time"

	"spanwright/improve"
	"spanwright/internal/answer"
	"spanwright/internal/release"
	"spanwright/pack"
	"spanwright/serve/document"
	"spanwright/serve/judging"
)

func (s *Server) jobRoutes(mux *http.ServeMux) {
	mux.Handle("POST /api/jobs", s.change(s.startJob))
	mux.Handle("GET /api/jobs", s.api(func(r *http.Request) (any, error) {
		name, err := file(r)
		if err != nil {
			return nil, err
		}
		return map[string]any{"jobs": s.jobs.List(name)}, nil
	}))
	mux.Handle("GET /api/jobs/{id}", s.api(func(r *http.Request) (any, error) { return s.jobs.Get(r.PathValue("id")) }))
	mux.Handle("DELETE /api/jobs/{id}", s.change(func(r *http.Request) (any, error) { return s.jobs.Cancel(r.PathValue("id")) }))
	mux.HandleFunc("GET /api/packs/{name}", s.download)
}

// jobRequest asks for long work on the working copy as it is now.
type jobRequest struct {
	File    string `json:"file"`
	Kind    string `json:"kind"`
	Options struct {
		OverOnly bool `json:"over_only"` // improve: leave out what is tight and what costs too much
	} `json:"options"`
}

func (s *Server) startJob(r *http.Request) (any, error) {
	in, err := body[jobRequest](r)
	if err != nil {
		return nil, err
	}
	d, err := s.folder.Document(in.File)
	if err != nil {
		return nil, err
	}
	state := d.State()
	if in.Kind != "improve" && in.Kind != "pack" {
		return nil, badRequest(fmt.Sprintf("%q is no kind of job; there are improve and pack", in.Kind))
	}
	return s.jobs.Start(in.Kind, state.File, func(ctx context.Context, id string, progress func(string, int, int)) (any, []byte, error) {
		progress("judging the design", 0, 0)
		found, err := s.judge.Once(ctx, state.File, state.Text)
		if err != nil {
			return nil, nil, err
		}
		if !found.OK() {
			return nil, nil, unjudged(found)
		}
		found.Version = state.Version
		if in.Kind == "pack" {
			return packed(ctx, id, found, progress)
		}
		return remedies(ctx, found, improve.Options{OverOnly: in.Options.OverOnly, Progress: progress})
	})
}

// remedies proposes what would help.
func remedies(ctx context.Context, j *judging.Judgement, o improve.Options) (any, []byte, error) {
	found, err := improve.Find(ctx, j.Assessment, j.Project.Catalogue, o)
	if err != nil {
		return nil, nil, err
	}
	return struct {
		Version  int            `json:"version"`
		Remedies answer.Improve `json:"remedies"`
	}{j.Version, answer.OfImprove(found, j.File)}, nil, nil
}

// packed draws the hand-over pack as an archive.
func packed(ctx context.Context, id string, j *judging.Judgement, progress func(string, int, int)) (any, []byte, error) {
	tool := release.This()
	source := pack.NewSource(j.Assessment, tool.Name+" "+tool.Version)
	files, err := pack.Files(source)
	if err != nil {
		return nil, nil, err
	}
	name := document.Base(j.File) + "-pack"
	var archive bytes.Buffer
	m, err := pack.Archive(ctx, &archive, name, source, files, func(file string, done, total int) { progress("drawing "+file, done, total) })
	if err != nil {
		return nil, nil, err
	}
	return &packResult{Version: j.Version, Download: "api/packs/" + id + ".zip", Name: name + ".zip", Bytes: archive.Len(), Manifest: m}, archive.Bytes(), nil
}

// packResult is a pack that can be fetched.
type packResult struct {
	Version  int            `json:"version"`
	Download string         `json:"download"`
	Name     string         `json:"name"`
	Bytes    int            `json:"bytes"`
	Manifest *pack.Manifest `json:"manifest"`
}

// downloadTimeout is how long fetching a pack may take.
const downloadTimeout = 5 * time.Minute

// download sends the archive of a pack.
func (s *Server) download(w http.ResponseWriter, r *http.Request) {
	id, found := strings.CutSuffix(r.PathValue("name"), ".zip")
	job, err := s.jobs.Get(id)
	result, isPack := job.Result.(*packResult)
	if !found || err != nil || !isPack || job.Data == nil {
		refuse(w, r, notFound("this pack is not kept any more; make it again"))
		return
	}
	_ = http.NewResponseController(w).SetWriteDeadline(time.Now().Add(downloadTimeout)) // as in send
	h := w.Header()
	h.Set("Content-Type", "application/zip")
	h.Set("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": result.Name}))
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(job.Data))
}
