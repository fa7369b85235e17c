package serve

import (
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"sync"
	"time"

	"spanwright/serve/document"
	"spanwright/serve/jobs"
	"spanwright/serve/judging"
)

// hub passes news to the windows that listen. Nobody waits for a slow window:
// of each kind of news it gets the latest.
type hub struct {
	mu        sync.Mutex
	listeners map[*listener]bool
}

// listener is one window's connection.
type listener struct {
	file string
	wake chan struct{} // holds one: there are news

	mu    sync.Mutex
	order []string // keys of the news that wait
	news  map[string]note
}

// note is one piece of news.
type note struct {
	kind string
	data any
}

func newHub() *hub { return &hub{listeners: map[*listener]bool{}} }

// mostListeners is how many windows may listen at once.
const mostListeners = 1000

// join begins to listen; it returns nil where too many do.
func (h *hub) join(file string) *listener {
	l := &listener{file: file, wake: make(chan struct{}, 1), news: map[string]note{}}
	h.mu.Lock()
	defer h.mu.Unlock()
	if len(h.listeners) >= mostListeners {
		return nil
	}
	h.listeners[l] = true
	return l
}

func (h *hub) leave(l *listener) {
	h.mu.Lock()
	defer h.mu.Unlock()
	delete(h.listeners, l)
}

// tell leaves news for all who listen to the file; a newer one under the same
// key takes the place of an older that still waits.
func (h *hub) tell(file, key, kind string, data any) {
	h.mu.Lock()
	defer h.mu.Unlock()
	for l := range h.listeners {
		if l.file == file {
			l.put(key, note{kind, data})
		}
	}
}

func (l *listener) put(key string, n note) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if _, waits := l.news[key]; !waits {
		l.order = append(l.order, key)
	}
	l.news[key] = n
	select {
	case l.wake <- struct{}{}:
	default:
	}
}

// take returns what waits, in the order of its coming.
func (l *listener) take() []note {
	l.mu.Lock()
	defer l.mu.Unlock()
	out := make([]note, 0, len(l.order))
	for _, key := range l.order {
		out = append(out, l.news[key])
	}
	l.order, l.news = nil, map[string]note{}
	return out
}

// docNews is a working copy without its text.
type docNews struct {
	document.State
	Text *string `json:"text,omitempty"` // hides that of the state
}

func (h *hub) doc(s document.State) {
	s.Text = ""
	h.tell(s.File, "doc", "doc", docNews{State: s})
}

func (h *hub) judging(p judging.Progress) { h.tell(p.File, "judging", "judging", p) }

func (h *hub) judged(j *judging.Judgement) { h.tell(j.File, "judged", "judged", judgedNews(j)) }

// judgement says that there is a new one.
type judgement struct {
	File    string `json:"file"`
	Version int    `json:"version"`
	MS      int64  `json:"ms"`
	OK      bool   `json:"ok"`
}

func judgedNews(j *judging.Judgement) judgement {
	return judgement{j.File, j.Version, j.Took.Milliseconds(), j.OK()}
}

func (h *hub) job(j jobs.Job) { h.tell(j.File, "job "+j.ID, "job", j) }

var errMany = &refusal{status: http.StatusServiceUnavailable, Code: "busy", Message: "too many windows listen"}

// heartbeat shows both sides that the connection lives.
const heartbeat = 15 * time.Second

// events streams news to a window (text/event-stream, HTML Living Standard,
// section "Server-sent events").
func (s *Server) events(w http.ResponseWriter, r *http.Request) {
	d, err := s.document(r)
	if err != nil {
		refuse(w, r, err)
		return
	}
	file := d.State().File
	l := s.hub.join(file)
	if l == nil {
		refuse(w, r, errMany)
		return
	}
	defer s.hub.leave(l)
	now := d.State() // a window that comes back learns what it missed
	now.Text = ""
	l.put("doc", note{"doc", docNews{State: now}})
	if j := s.judge.Last(file); j != nil {
		l.put("judged", note{"judged", judgedNews(j)})
	}
	w.Header().Set("Content-Type", "text/event-stream; charset=utf-8")
	w.Header().Set("X-Accel-Buffering", "no")
	w.WriteHeader(http.StatusOK)
	stream := stream{w, http.NewResponseController(w)}
	if !stream.send("retry: 1000\n\n") {
		return
	}
	beat := time.NewTicker(heartbeat)
	defer beat.Stop()
	for {
		select {
		case <-r.Context().Done():
			return
		case <-beat.C:
			if !stream.send(": here\n\n") {
				return
			}
		case <-l.wake:
			for _, n := range l.take() {
				text, err := json.Marshal(n.data)
				if err != nil || !stream.send(fmt.Sprintf("event: %s\ndata: %s\n\n", n.kind, text)) {
					return
				}
			}
		}
	}
}

// stream is a response that goes on.
type stream struct {
	w       http.ResponseWriter
	control *http.ResponseController
}

// send tells whether the window took it in time.
func (s stream) send(text string) bool {
	_ = s.control.SetWriteDeadline(time.Now().Add(writeTimeout)) // as in send
	if _, err := io.WriteString(s.w, text); err != nil {
		return false
	}
	return s.control.Flush() == nil
}
