package bench

import (
	"crypto/rand"
	"crypto/subtle"
	"encoding/hex"
	"net"
	"net/http"
	"strconv"
	"sync"
	"time"
)

// policy is what the page may load and who may show it: itself alone.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; " +
	"connect-src 'self'; font-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// tokenHeader carries the token of the run.
const tokenHeader = "X-Waxwright-Token"

// newToken makes the secret of one run, which its own page alone can read.
func newToken() string {
	b := make([]byte, 32)
	_, _ = rand.Read(b) // it never fails
	return hex.EncodeToString(b)
}

// hosts are the names under which the server may be asked: a page of another
// name that points here (rebinding) is refused.
func hosts(port int) map[string]bool {
	p := strconv.Itoa(port)
	return map[string]bool{
		net.JoinHostPort("127.0.0.1", p): true,
		net.JoinHostPort("::1", p):       true,
		net.JoinHostPort("localhost", p): true,
	}
}

// guarded lets through what the page itself asks, and puts the headers on that
// hold for every answer.
func (s *server) guarded(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("X-Frame-Options", "DENY")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Embedder-Policy", "require-corp")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Permissions-Policy", "camera=(), geolocation=(), microphone=()")
		h.Set("Cache-Control", "no-store")
		switch {
		case !s.hosts[r.Host]:
			s.refuse(w, http.StatusMisdirectedRequest, "this server is asked by its own address alone")
			return
		case foreign(r):
			s.refuse(w, http.StatusForbidden, "this server answers its own page alone")
			return
		}
		switch r.Method {
		case http.MethodGet, http.MethodHead:
		case http.MethodPost:
			if !s.trusted(w, r) {
				return
			}
		default:
			h.Set("Allow", "GET, HEAD, POST")
			s.refuse(w, http.StatusMethodNotAllowed, "only GET, HEAD and POST are answered")
			return
		}
		next.ServeHTTP(w, r)
	})
}

// foreign says whether a browser asks on behalf of another page.
func foreign(r *http.Request) bool {
	if o := r.Header.Values("Origin"); len(o) > 1 || len(o) == 1 && o[0] != "http://"+r.Host {
		return true
	}
	switch r.Header.Get("Sec-Fetch-Site") {
	case "", "none", "same-origin":
		return false
	}
	return true
}

// trusted says whether a request may change something, and answers it if not.
func (s *server) trusted(w http.ResponseWriter, r *http.Request) bool {
	if subtle.ConstantTimeCompare([]byte(r.Header.Get(tokenHeader)), []byte(s.token)) != 1 {
		s.refuse(w, http.StatusForbidden, "the token of this run is missing or wrong: reload the page")
		return false
	}
	if !s.rate.allow(time.Now()) {
		w.Header().Set("Retry-After", "1")
		s.refuse(w, http.StatusTooManyRequests, "too many requests: wait a second")
		return false
	}
	r.Body = http.MaxBytesReader(w, r.Body, mostBody)
	return true
}

// mostBody is how many bytes a request may have: a value for each of some
// hundred dials.
const mostBody = 64 << 10

// bucket bounds how often something happens: so many times at once, so many
// times a second from then on.
type bucket struct {
	burst, rate float64

	mu    sync.Mutex
	level float64 // used up
	last  time.Time
}

func (b *bucket) allow(now time.Time) bool {
	b.mu.Lock()
	defer b.mu.Unlock()
	if !b.last.IsZero() {
		b.level = max(0, b.level-b.rate*now.Sub(b.last).Seconds())
	}
	b.last = now
	if b.level+1 > b.burst {
		return false
	}
	b.level++
	return true
}

// doors bounds how many connections are open. For a new one too many the oldest
// goes that has asked nothing yet, or waits between two requests: who opens
// many and says nothing can't shut others out.
type doors struct {
	most int

	mu  sync.Mutex
	all []door // the oldest first
}

type door struct {
	conn net.Conn
	busy bool
}

// watch follows the state of a connection; it is an http.Server's ConnState.
func (d *doors) watch(c net.Conn, now http.ConnState) {
	d.mu.Lock()
	defer d.mu.Unlock()
	at := -1
	for i := range d.all {
		if d.all[i].conn == c {
			at = i
		}
	}
	switch now {
	case http.StateNew:
		if len(d.all) >= d.most && !d.evict() {
			_ = c.Close()
			return
		}
		d.all = append(d.all, door{conn: c})
	case http.StateActive, http.StateIdle:
		if at >= 0 {
			d.all[at].busy = now == http.StateActive
		}
	case http.StateClosed, http.StateHijacked:
		if at >= 0 {
			d.all = append(d.all[:at], d.all[at+1:]...)
		}
	}
}

// evict closes the oldest connection that is not busy.
func (d *doors) evict() bool {
	for i := range d.all {
		if !d.all[i].busy {
			_ = d.all[i].conn.Close()
			d.all = append(d.all[:i], d.all[i+1:]...)
			return true
		}
	}
	return false
}
