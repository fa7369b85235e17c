package serve

import (
	"cmp"
	"context"
	"crypto/rand"
	"encoding/base64"
	"errors"
	"fmt"
	"io/fs"
	"net"
	"net/http"
	"runtime"
	"sync"
	"time"

	"spanwright/decode"
	"spanwright/serve/document"
	"spanwright/serve/jobs"
	"spanwright/serve/judging"
	"spanwright/serve/variant"
	"spanwright/structure"
)

// Options of a server. Folder and Page are needed.
type Options struct {
	Folder string // with the designs
	First  string // the design that the page opens first, below the folder; may be ""
	Port   int    // 0: any that is free
	Page   fs.FS  // the built page: index.html and assets

	Parallel int         // most designs judged at once; 0: by the processors
	Warn     func(error) // what went wrong in the background; may be nil

	bodyTimeout time.Duration // 0: usual
}

// Server serves one folder.
type Server struct {
	first    string
	page     *page
	warn     func(error)
	token    string
	patience time.Duration // for the body of a request
	once     once          // lets the browser in without telling the token
	hosts    map[string]bool
	listener net.Listener
	http     *http.Server

	folder   *document.Folder
	judge    *judging.Judge
	variants *variant.Store
	jobs     *jobs.Jobs
	hub      *hub

	end    context.Context // ends with the server, before its connections do
	ending context.CancelFunc
}

// Limits of connections.
const (
	headerTimeout = 10 * time.Second // for a request's header
	idleTimeout   = 2 * time.Minute
	farewell      = 3 * time.Second // for requests and for judgements under way when the server ends
	headerBytes   = 16 << 10
)

// New opens the folder and a port; Serve answers on it.
func New(o Options) (*Server, error) {
	s := &Server{first: o.First, warn: o.Warn, hub: newHub(), patience: cmp.Or(o.bodyTimeout, bodyTimeout)}
	if s.warn == nil {
		s.warn = func(error) {}
	}
	var err error
	if s.page, err = newPage(o.Page); err != nil {
		return nil, err
	}
	s.token, s.once.key = secret(), secret()
	if s.listener, err = net.Listen("tcp4", fmt.Sprintf("127.0.0.1:%d", o.Port)); err != nil {
		return nil, err
	}
	port := s.listener.Addr().(*net.TCPAddr).Port
	s.hosts = map[string]bool{}
	for _, host := range []string{"127.0.0.1", "localhost", "[::1]"} {
		s.hosts[fmt.Sprintf("%s:%d", host, port)] = true
	}
	s.end, s.ending = context.WithCancel(context.Background())
	s.judge = judging.New(judging.Settings{Open: s.open, Parallel: parallel(o.Parallel), Studies: structure.NewCache(roomForStudies), Progress: s.hub.judging, Unsaid: unsaid, Judged: s.judged})
	s.folder, err = document.Open(o.Folder, document.Settings{Most: decode.MaxSize, Changed: s.changed, Warn: s.warn})
	if err != nil {
		s.judge.Close()
		s.listener.Close()
		return nil, err
	}
	s.variants = variant.NewStore(s.folder, time.Now)
	s.jobs = jobs.New(jobs.Settings{Parallel: parallelJobs, Changed: s.hub.job, Fault: s.warn, Now: time.Now})
	s.http = &http.Server{
		Handler: s.handler(), ReadHeaderTimeout: headerTimeout, IdleTimeout: idleTimeout, MaxHeaderBytes: headerBytes,
		BaseContext: func(net.Listener) context.Context { return s.end },
		ErrorLog:    quiet(s.warn),
	}
	return s, nil
}

// unsaid is how long a judgement takes before windows are told how far it is:
// each of these news makes them draw, beside the run that it tells of.
const unsaid = time.Second

// roomForStudies is the memory for solved structures, bytes.
const roomForStudies = 512 << 20

// parallelJobs is how many jobs run at once: each uses all processors.
const parallelJobs = 2

// parallel is how many designs are judged at once: one run uses several
// processors for its longest part only.
func parallel(asked int) int {
	if asked > 0 {
		return asked
	}
	return max(2, runtime.NumCPU()/2)
}

// secret is an address part that nobody guesses: 256 bits.
func secret() string {
	raw := make([]byte, 32)
	rand.Read(raw) // never fails: package crypto/rand
	return base64.RawURLEncoding.EncodeToString(raw)
}

// Address is where the page is; whoever has it may do everything.
func (s *Server) Address() string { return s.root() + s.token + "/" + s.hash() }

// OnceAddress leads to Address a single time, and not for long, so that it may
// be passed where others can see it, e.g. as the argument of a command.
func (s *Server) OnceAddress() string {
	s.once.start()
	return s.root() + s.once.key
}

func (s *Server) root() string { return "http://" + s.listener.Addr().String() + "/" }

// Serve answers until the context ends. It returns the files with unsaved work,
// which has then been kept beside them.
func (s *Server) Serve(ctx context.Context) (unsaved []string, err error) {
	s.foresee()
	var stopping sync.WaitGroup
	stopping.Add(1)
	quit := make(chan struct{})
	go func() {
		defer stopping.Done()
		select {
		case <-ctx.Done():
		case <-quit:
		}
		s.ending()
		last, cancel := context.WithTimeout(context.Background(), farewell)
		defer cancel()
		if s.http.Shutdown(last) != nil {
			s.http.Close()
		}
	}()
	err = s.http.Serve(s.listener)
	close(quit)
	stopping.Wait()
	if errors.Is(err, http.ErrServerClosed) {
		err = nil
	}
	unsaved, closing := s.folder.Close() // first, because the rest may take a moment
	ended := make(chan struct{})
	go func() {
		defer close(ended)
		s.jobs.Close()
		s.judge.Close()
	}()
	select {
	case <-ended:
	case <-time.After(farewell): // a long step does not hold the end up
	}
	return unsaved, errors.Join(err, closing)
}

// foresee has the design judged that the page will open first, while the browser
// is still starting.
func (s *Server) foresee() {
	if s.first == "" {
		return
	}
	if d, err := s.folder.Document(s.first); err == nil { // what is wrong with it is told when it is asked for
		state := d.State()
		s.judge.Submit(state.File, state.Version, state.Text)
	}
}

// changed tells windows and judge of a change of a working copy.
func (s *Server) changed(state document.State, text bool) {
	s.hub.doc(state)
	if text {
		s.judge.Submit(state.File, state.Version, state.Text)
	}
}

// judged tells windows of a judgement.
func (s *Server) judged(j *judging.Judgement) {
	s.hub.judged(j)
	if j.Fault != nil {
		s.warn(j.Fault)
	}
	if s.end.Err() == nil && j.Project != nil && j.Project.Design != nil {
		if d, err := s.folder.Document(j.File); err == nil {
			d.Follow(j.Project.Design.Parts)
		}
	}
}

// CheckName refuses what cannot be the name of a design.
func CheckName(name string) error { return document.CheckName(name) }
