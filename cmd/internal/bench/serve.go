package bench

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/http"
	"strconv"
	"strings"
	"time"

	"waxwright/recipes/piece"
)

// server answers the page.
type server struct {
	desk  *desk
	hub   *hub
	page  fs.FS // index.html, app.js, app.css
	token string
	hosts map[string]bool
	rate  bucket
	ended chan struct{} // closed when the server ends
	heavy chan struct{} // holds a token for each download that is made
}

// The rates of requests that change something: a dial that is dragged sends
// some sixty a second.
const ratePerSecond, rateBurst = 60, 120

func newServer(d *desk, h *hub, page fs.FS, port int) *server {
	return &server{
		desk: d, hub: h, page: page, token: newToken(), hosts: hosts(port),
		rate: bucket{burst: rateBurst, rate: ratePerSecond}, ended: make(chan struct{}), heavy: make(chan struct{}, mostHeavy),
	}
}

// handler lists all that is answered; there is nothing else.
func (s *server) handler() http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /{$}", s.index)
	for name, kind := range pageFiles {
		mux.HandleFunc("GET /"+name, func(w http.ResponseWriter, _ *http.Request) { s.file(w, name, kind) })
	}
	mux.HandleFunc("GET /api/state", func(w http.ResponseWriter, _ *http.Request) { s.reply(w, http.StatusOK, s.desk.state()) })
	mux.HandleFunc("GET /api/events", s.events)
	mux.HandleFunc("GET /api/model/{id}", s.model)
	mux.HandleFunc("GET /api/walls/{id}", s.thickness)
	mux.HandleFunc("GET /download/{name}", s.download)
	mux.HandleFunc("POST /api/dials", s.dials)
	mux.HandleFunc("POST /api/view", s.view)
	mux.HandleFunc("POST /api/save", s.saves)
	mux.HandleFunc("POST /api/reload", s.reload)
	mux.HandleFunc("/", func(w http.ResponseWriter, _ *http.Request) {
		s.refuse(w, http.StatusNotFound, "there is nothing here")
	})
	return s.guarded(mux)
}

// pageFiles are the files of the page and what they are.
var pageFiles = map[string]string{
	"app.js":      "text/javascript; charset=utf-8",
	"app.css":     "text/css; charset=utf-8",
	"favicon.svg": "image/svg+xml",
}

const tokenPlace = "__TOKEN__"

// index serves the page with the token in it.
func (s *server) index(w http.ResponseWriter, _ *http.Request) {
	page, err := fs.ReadFile(s.page, "index.html")
	if err != nil {
		s.refuse(w, http.StatusInternalServerError, "the page is missing")
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	_, _ = w.Write(bytes.ReplaceAll(page, []byte(tokenPlace), []byte(s.token)))
}

func (s *server) file(w http.ResponseWriter, name, kind string) {
	data, err := fs.ReadFile(s.page, name)
	if err != nil {
		s.refuse(w, http.StatusNotFound, "the page has no "+name)
		return
	}
	w.Header().Set("Content-Type", kind)
	_, _ = w.Write(data)
}

// refusal is an answer that is none.
type refusal struct {
	Schema   string  `json:"schema"`
	Error    string  `json:"error"`
	Revision string  `json:"revision,omitempty"`
	Faults   []fault `json:"faults,omitempty"`
}

func (s *server) refuse(w http.ResponseWriter, code int, why string) {
	s.reply(w, code, refusal{Schema: schema, Error: why})
}

// reply answers with JSON.
func (s *server) reply(w http.ResponseWriter, code int, v any) {
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	w.WriteHeader(code)
	_ = json.NewEncoder(w).Encode(v)
}

// read reads the JSON of a request, and answers it if that can't be.
func (s *server) read(w http.ResponseWriter, r *http.Request, v any) bool {
	if kind, _, _ := strings.Cut(r.Header.Get("Content-Type"), ";"); kind != "application/json" {
		s.refuse(w, http.StatusUnsupportedMediaType, "the body has to be application/json")
		return false
	}
	in := json.NewDecoder(r.Body)
	in.DisallowUnknownFields()
	err := in.Decode(v)
	if err == nil {
		if _, more := in.Token(); more != io.EOF {
			err = errors.New("something follows the JSON")
		}
	}
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &large):
		s.refuse(w, http.StatusRequestEntityTooLarge, "the body is too large")
	case err != nil:
		s.refuse(w, http.StatusBadRequest, "the body does not read: "+err.Error())
	}
	return err == nil
}

// dials asks for dials to be turned.
func (s *server) dials(w http.ResponseWriter, r *http.Request) {
	var in struct {
		Seq    int            `json:"seq"`
		By     string         `json:"by"`
		Values map[string]any `json:"values"`
	}
	if !s.read(w, r, &in) {
		return
	}
	if len(in.By) > mostName {
		s.refuse(w, http.StatusBadRequest, fmt.Sprintf("a page calls itself by %d bytes at most", mostName))
		return
	}
	taken, err := s.desk.turn(in.Seq, in.By, in.Values)
	if err != nil {
		s.refuse(w, http.StatusBadRequest, err.Error())
		return
	}
	s.accepted(w, taken)
}

// mostName is how long the name of a page may be, bytes.
const mostName = 64

// accepted answers to an order, with the number of the one that is worked on now.
func (s *server) accepted(w http.ResponseWriter, taken bool) {
	s.reply(w, http.StatusAccepted, struct {
		Schema string `json:"schema"`
		Seq    int    `json:"seq"`
		Taken  bool   `json:"taken"`
	}{schema, s.desk.state().Seq, taken})
}

// view asks for the piece in one of its states.
func (s *server) view(w http.ResponseWriter, r *http.Request) {
	var in struct {
		State string `json:"state"`
	}
	if !s.read(w, r, &in) {
		return
	}
	views := map[string]piece.For{"set": piece.Finished, "to-set": piece.ForCasting}
	to, ok := views[in.State]
	if !ok {
		s.refuse(w, http.StatusBadRequest, "state is set or to-set")
		return
	}
	s.desk.ask(func(o *order) { o.view = to })
	s.accepted(w, true)
}

// reload reads the file again.
func (s *server) reload(w http.ResponseWriter, r *http.Request) {
	if _, err := s.desk.load(); err != nil {
		s.refuse(w, http.StatusInternalServerError, err.Error())
		return
	}
	s.reply(w, http.StatusOK, s.desk.state())
}

// model serves the meshes of a model.
func (s *server) model(w http.ResponseWriter, r *http.Request) {
	k := s.desk.shelf.get(r.PathValue("id"))
	if k == nil {
		s.refuse(w, http.StatusNotFound, "that model is forgotten")
		return
	}
	w.Header().Set("Cache-Control", "private, max-age=3600, immutable")
	small := k.gzipped
	if k.model.Sketch {
		small = nil // to compress it would take longer than to send it
	}
	s.container(w, r, k.plain, small)
}

// container serves a container, compressed by small, if that is given, for those
// who can read it.
func (s *server) container(w http.ResponseWriter, r *http.Request, plain []byte, small func() []byte) {
	h := w.Header()
	h.Set("Content-Type", "application/octet-stream")
	h.Set("Vary", "Accept-Encoding")
	if small != nil && strings.Contains(r.Header.Get("Accept-Encoding"), "gzip") {
		h.Set("Content-Encoding", "gzip")
		plain = small()
	}
	h.Set("Content-Length", strconv.Itoa(len(plain)))
	_, _ = w.Write(plain)
}

// The times that a connection is given.
const (
	headerTime = 3 * time.Second
	readTime   = 10 * time.Second
	writeTime  = 60 * time.Second
	idleTime   = 60 * time.Second
	mostHeader = 16 << 10
	mostDoors  = 64
)

// newHTTP wraps a handler in a server that slow clients can't hold up.
func newHTTP(h http.Handler) *http.Server {
	d := &doors{most: mostDoors}
	return &http.Server{
		Handler: h, ConnState: d.watch,
		ReadHeaderTimeout: headerTime, ReadTimeout: readTime, WriteTimeout: writeTime, IdleTimeout: idleTime,
		MaxHeaderBytes: mostHeader,
	}
}
