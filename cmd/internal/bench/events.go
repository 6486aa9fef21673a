package bench

import (
	"encoding/json"
	"fmt"
	"net/http"
	"sync"
	"time"
)

// hub tells pages what changes. Each listener holds the latest event of a kind
// only, so that one that listens slowly misses what is out of date anyhow, and
// holds nobody up.
type hub struct {
	mu   sync.Mutex
	all  map[*listener]bool
	last []byte // the state told last
}

// listener is one page that listens.
type listener struct {
	ready chan struct{} // something is pending

	mu       sync.Mutex
	state    []byte
	progress []byte
}

const (
	// mostListeners is how many pages may listen at one time.
	mostListeners = 16
	// beat is the time between two signs of life.
	beat = 15 * time.Second
	// sendTime is how long a page may take to accept an event.
	sendTime = 10 * time.Second
)

// tell tells everybody. It never waits for a page.
func (h *hub) tell(event string, v any) {
	data, err := json.Marshal(v)
	if err != nil {
		panic(fmt.Sprintf("bench: event %s: %v", event, err)) // plain structs of finite numbers
	}
	h.mu.Lock()
	defer h.mu.Unlock()
	if event == "state" {
		h.last = data
	}
	for l := range h.all {
		l.offer(event, data)
	}
}

// offer puts an event in the place of an older one of its kind.
func (l *listener) offer(event string, data []byte) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if event == "state" {
		l.state = data
	} else {
		l.progress = data
	}
	select {
	case l.ready <- struct{}{}:
	default:
	}
}

// take takes what is pending.
func (l *listener) take() (state, progress []byte) {
	l.mu.Lock()
	defer l.mu.Unlock()
	state, progress = l.state, l.progress
	l.state, l.progress = nil, nil
	return state, progress
}

// join adds a listener, whose first event is the present state; nil when there
// are too many.
func (h *hub) join() *listener {
	h.mu.Lock()
	defer h.mu.Unlock()
	if len(h.all) >= mostListeners {
		return nil
	}
	l := &listener{ready: make(chan struct{}, 1)}
	if h.last != nil {
		l.offer("state", h.last)
	}
	if h.all == nil {
		h.all = map[*listener]bool{}
	}
	h.all[l] = true
	return l
}

func (h *hub) leave(l *listener) {
	h.mu.Lock()
	defer h.mu.Unlock()
	delete(h.all, l)
}

// events sends what changes until the page leaves or the server ends.
func (s *server) events(w http.ResponseWriter, r *http.Request) {
	l := s.hub.join()
	if l == nil {
		s.refuse(w, http.StatusServiceUnavailable, "too many pages are open: close some")
		return
	}
	defer s.hub.leave(l)
	w.Header().Set("Content-Type", "text/event-stream")
	w.Header().Set("Cache-Control", "no-store")
	control := http.NewResponseController(w)
	_ = control.SetReadDeadline(time.Time{}) // nothing is read any more
	send := func(text string) bool {
		if err := control.SetWriteDeadline(time.Now().Add(sendTime)); err != nil {
			return false
		}
		if _, err := fmt.Fprint(w, text); err != nil {
			return false
		}
		return control.Flush() == nil
	}
	tick := time.NewTicker(beat)
	defer tick.Stop()
	if !send(": waxwright\n\n") {
		return
	}
	for {
		select {
		case <-r.Context().Done():
			return
		case <-s.ended:
			return
		case <-tick.C:
			if !send(": still here\n\n") {
				return
			}
		case <-l.ready:
			state, progress := l.take()
			if progress != nil && !send(fmt.Sprintf("event: progress\ndata: %s\n\n", progress)) {
				return
			}
			if state != nil && !send(fmt.Sprintf("event: state\ndata: %s\n\n", state)) {
				return
			}
		}
	}
}
