package serve

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"mime"
	"net/http"
	"runtime/debug"
	"time"

	"spanwright/decode"
	"spanwright/serve/document"
	"spanwright/serve/jobs"
	"spanwright/serve/judging"
	"spanwright/serve/variant"
	"spanwright/serve/view"
)

// refusal is an answer that refuses.
type refusal struct {
	status  int
	Code    string         `json:"code"`
	Message string         `json:"message"`
	more    map[string]any // beside the error
}

// Error is the message.
func (e *refusal) Error() string { return e.Message }

func badRequest(message string) error {
	return &refusal{status: http.StatusBadRequest, Code: "bad-request", Message: message}
}

func notFound(message string) error {
	return &refusal{status: http.StatusNotFound, Code: "not-found", Message: message}
}

// refusalOf finds the answer to an error.
func refusalOf(err error) *refusal {
	var (
		refused  *refusal
		conflict *document.ConflictError
		disk     *document.DiskError
		beyond   *view.Beyond
	)
	is := func(targets ...error) bool {
		for _, t := range targets {
			if errors.Is(err, t) {
				return true
			}
		}
		return false
	}
	switch {
	case errors.As(err, &refused):
		return refused
	case errors.As(err, &conflict):
		return &refusal{http.StatusConflict, "conflict", err.Error(), map[string]any{"doc": conflict.State}}
	case errors.As(err, &disk):
		return &refusal{http.StatusConflict, "disk-changed", err.Error(), map[string]any{"doc": disk.State, "disk_text": disk.Text}}
	case errors.As(err, &beyond), is(document.ErrName, document.ErrNothing, variant.ErrName):
		return &refusal{http.StatusBadRequest, "bad-request", err.Error(), nil}
	case is(document.ErrGone, document.ErrOutside, document.ErrNoFile, fs.ErrNotExist, variant.ErrNone, jobs.ErrNone):
		return &refusal{http.StatusNotFound, "not-found", err.Error(), nil}
	case is(document.ErrExists):
		return &refusal{http.StatusConflict, "exists", err.Error(), nil}
	case is(document.ErrTooLarge):
		return &refusal{http.StatusRequestEntityTooLarge, "too-large", err.Error(), nil}
	case is(document.ErrNotText):
		return &refusal{http.StatusUnprocessableEntity, "not-text", err.Error(), nil}
	case is(document.ErrMany, variant.ErrMany, jobs.ErrMany, judging.ErrClosed, context.Canceled):
		return &refusal{http.StatusServiceUnavailable, "busy", err.Error(), nil}
	}
	return &refusal{http.StatusInternalServerError, "fault", err.Error(), nil}
}

// refuse answers with an error.
func refuse(w http.ResponseWriter, r *http.Request, err error) {
	e := refusalOf(err)
	body := map[string]any{"error": e}
	for key, value := range e.more {
		body[key] = value
	}
	send(w, r, e.status, body)
}

// writeTimeout is how long a client may take to accept an answer.
const writeTimeout = 30 * time.Second

// send answers with JSON.
func send(w http.ResponseWriter, r *http.Request, status int, body any) {
	text, err := json.Marshal(body)
	if err != nil {
		status, text = http.StatusInternalServerError, []byte(`{"error":{"code":"fault","message":"the answer cannot be written"}}`)
	}
	_ = http.NewResponseController(w).SetWriteDeadline(time.Now().Add(writeTimeout)) // without deadlines nothing is lost
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	deliver(w, r, status, text)
}

// call answers one request; its result is sent as JSON.
type call func(r *http.Request) (any, error)

// api wraps a call that only reads.
func (s *Server) api(c call) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		result, err := s.guarded(c, r)
		switch {
		case errors.Is(err, context.Canceled) && s.end.Err() == nil:
			return // nobody is listening any more
		case err != nil:
			refuse(w, r, err)
		default:
			send(w, r, http.StatusOK, result)
		}
	})
}

// guarded turns a fault of the program into a refusal.
func (s *Server) guarded(c call, r *http.Request) (result any, err error) {
	defer func() {
		if fault := recover(); fault != nil {
			s.warn(fmt.Errorf("fault: %v\n%s", fault, debug.Stack()))
			err = &refusal{status: http.StatusInternalServerError, Code: "fault", Message: "the program failed over it; please report this with the design"}
		}
	}()
	return c(r)
}

// change wraps a call that changes something: only the page can send its header.
func (s *Server) change(c call) http.Handler {
	answer := s.api(c)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.Header.Get("X-Spanwright") != "1" {
			refuse(w, r, &refusal{status: http.StatusForbidden, Code: "forbidden", Message: "changes need the header X-Spanwright"})
			return
		}
		s.limitBody(w, r)
		answer.ServeHTTP(w, r)
	})
}

// Bounds of what a request may send: a text in JSON may take a little more room
// than the text.
const (
	mostBody    = decode.MaxSize + decode.MaxSize/4
	bodyTimeout = 20 * time.Second // for the whole body
)

// limitBody bounds size and time of the body.
func (s *Server) limitBody(w http.ResponseWriter, r *http.Request) {
	_ = http.NewResponseController(w).SetReadDeadline(time.Now().Add(s.patience)) // a server without deadlines has none to bound
	r.Body = &timedBody{http.MaxBytesReader(w, r.Body, mostBody), w}
}

// timedBody takes the deadline back where the body ends, so that it does not end
// what the request waits for. After a failure it stays: what is still to come is
// not waited for.
type timedBody struct {
	io.ReadCloser
	w http.ResponseWriter
}

// Read reads on.
func (b *timedBody) Read(p []byte) (int, error) {
	n, err := b.ReadCloser.Read(p)
	if err == io.EOF {
		_ = http.NewResponseController(b.w).SetReadDeadline(time.Time{}) // as in limitBody
	}
	return n, err
}

// body reads the JSON object of a request.
func body[T any](r *http.Request) (*T, error) {
	kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
	if err != nil || kind != "application/json" {
		return nil, &refusal{status: http.StatusUnsupportedMediaType, Code: "bad-request", Message: "the body must be application/json"}
	}
	raw, err := io.ReadAll(r.Body)
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &large):
		return nil, document.ErrTooLarge
	case err != nil:
		return nil, badRequest("the body did not arrive")
	}
	out := new(T)
	if err := strictly(raw, out); err != nil {
		return nil, badRequest(err.Error())
	}
	return out, nil
}
