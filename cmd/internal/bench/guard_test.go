package bench

import (
	"bufio"
	"fmt"
	"io"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"
)

// TestHosts refuses requests under any name but the server's own: what a page of
// another name sends that points here.
func TestHosts(t *testing.T) {
	s := serveFile(t, disc)
	for _, host := range []string{"evil.example", "evil.example:80", "127.0.0.1", "127.0.0.1:1", "localhost.evil.example", "", "[::1]"} {
		r := s.request(http.MethodGet, "/", nil)
		r.Host = host
		if host == "" {
			r.Host = "\x20"
		}
		a, err := http.DefaultClient.Do(r)
		if err != nil {
			continue // the client itself refuses
		}
		a.Body.Close()
		if a.StatusCode != http.StatusMisdirectedRequest && a.StatusCode != http.StatusBadRequest {
			t.Errorf("host %q: %d", host, a.StatusCode)
		}
	}
	if n := len(hosts(80)); n != 3 || !hosts(80)["[::1]:80"] || !hosts(80)["127.0.0.1:80"] || !hosts(80)["localhost:80"] {
		t.Errorf("hosts: %v", hosts(80))
	}
}

// TestOrigins refuses what another page asks, even with the token, and even if
// it only looks.
func TestOrigins(t *testing.T) {
	s := serveFile(t, disc)
	for _, method := range []string{http.MethodGet, http.MethodPost} {
		for _, origin := range []string{"http://evil.example", "null", "https://" + strings.TrimPrefix(s.url, "http://"), s.url + ".evil.example", s.url + "/", ""} {
			r := s.request(method, "/api/state", nil)
			r.Header["Origin"] = []string{origin}
			if code, _, _ := s.do(r); code != http.StatusForbidden {
				t.Errorf("%s from %q: %d", method, origin, code)
			}
		}
	}
	for _, site := range []string{"cross-site", "same-site"} {
		r := s.request(http.MethodGet, "/download/disc.3mf", nil)
		r.Header.Set("Sec-Fetch-Site", site)
		if code, _, _ := s.do(r); code != http.StatusForbidden {
			t.Errorf("%s: %d", site, code)
		}
	}
}

// TestToken refuses whatever would change something without the token of the run.
func TestToken(t *testing.T) {
	s := serveFile(t, disc)
	if page := string(s.get("/")); !strings.Contains(page, s.token) || strings.Contains(page, tokenPlace) {
		t.Errorf("the page has no token: %s", page)
	}
	other := serveFile(t, disc)
	if len(s.token) != 64 || s.token == other.token {
		t.Errorf("tokens %q and %q", s.token, other.token)
	}
	for _, path := range []string{"/api/dials", "/api/view", "/api/save", "/api/reload"} {
		for _, token := range []string{"", "wrong", other.token, s.token[:63], s.token + "0"} {
			r := s.request(http.MethodPost, path, map[string]any{})
			r.Header.Set(tokenHeader, token)
			if code, _, _ := s.do(r); code != http.StatusForbidden {
				t.Errorf("%s with %q: %d", path, token, code)
			}
		}
		if code, _, _ := s.do(s.request(http.MethodGet, path, nil)); code == http.StatusOK {
			t.Errorf("GET %s is answered", path)
		}
	}
	for _, method := range []string{http.MethodPut, http.MethodDelete, http.MethodPatch, http.MethodOptions, http.MethodTrace} {
		if code, _, _ := s.do(s.request(method, "/api/state", nil)); code != http.StatusMethodNotAllowed {
			t.Errorf("%s: %d", method, code)
		}
	}
}

// TestPaths serves what is listed and nothing else: no folder, no way up.
func TestPaths(t *testing.T) {
	s := serveFile(t, disc)
	for _, path := range []string{"/index.html", "/app.js/", "/api", "/api/", "/.keep", "/app.js.map", "/download/", "/favicon.svg"} {
		if code, _, _ := s.do(s.request(http.MethodGet, path, nil)); code != http.StatusNotFound {
			t.Errorf("%s: %d", path, code)
		}
	}
	for _, path := range []string{"/../disc.hcl", "/..%2f..%2fetc/passwd", "/api/model/..%2f..%2fx", "/app.js%00", "/%2e%2e/%2e%2e/disc.hcl", `/..\disc.hcl`} {
		code, body := s.raw(t, fmt.Sprintf("GET %s HTTP/1.1\r\nHost: %s\r\nConnection: close\r\n\r\n", path, strings.TrimPrefix(s.url, "http://")))
		if code == http.StatusOK || strings.Contains(body, "plate") {
			t.Errorf("%s: %d: %s", path, code, body)
		}
	}
}

// raw sends bytes as they are and returns status and body.
func (s *stand) raw(t *testing.T, text string) (int, string) {
	t.Helper()
	c, err := net.Dial("tcp", strings.TrimPrefix(s.url, "http://"))
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	_ = c.SetDeadline(time.Now().Add(20 * time.Second))
	if _, err := io.WriteString(c, text); err != nil {
		return 0, ""
	}
	a, err := http.ReadResponse(bufio.NewReader(c), nil)
	if err != nil {
		return 0, ""
	}
	defer a.Body.Close()
	body, _ := io.ReadAll(a.Body)
	return a.StatusCode, string(body)
}

// TestHeaders puts the headers on every answer, refusals among them.
func TestHeaders(t *testing.T) {
	s := serveFile(t, disc)
	foreign := s.request(http.MethodGet, "/", nil)
	foreign.Header.Set("Origin", "http://evil.example")
	for _, r := range []*http.Request{
		s.request(http.MethodGet, "/", nil), s.request(http.MethodGet, "/app.js", nil),
		s.request(http.MethodGet, "/api/state", nil), s.request(http.MethodGet, "/nothing", nil), foreign,
	} {
		_, h, _ := s.do(r)
		csp := h.Get("Content-Security-Policy")
		for _, want := range []string{"default-src 'none'", "script-src 'self'", "frame-ancestors 'none'", "base-uri 'none'", "form-action 'none'"} {
			if !strings.Contains(csp, want) {
				t.Errorf("%s: policy %q lacks %s", r.URL, csp, want)
			}
		}
		if strings.Contains(csp, "unsafe") || strings.Contains(csp, "*") {
			t.Errorf("%s: policy %q is loose", r.URL, csp)
		}
		for name, want := range map[string]string{
			"X-Content-Type-Options": "nosniff", "X-Frame-Options": "DENY", "Referrer-Policy": "no-referrer",
			"Cross-Origin-Resource-Policy": "same-origin", "Cross-Origin-Opener-Policy": "same-origin", "Cache-Control": "no-store",
		} {
			if h.Get(name) != want {
				t.Errorf("%s: %s: %q", r.URL, name, h.Get(name))
			}
		}
		if h.Get("Access-Control-Allow-Origin") != "" {
			t.Errorf("%s lets others read", r.URL)
		}
	}
}

// TestBodies refuses bodies that are too large, no JSON, or something else.
func TestBodies(t *testing.T) {
	s := serveFile(t, disc)
	post := func(kind, body string) int {
		r := s.request(http.MethodPost, "/api/dials", nil)
		r.Body = io.NopCloser(strings.NewReader(body))
		r.ContentLength = -1
		r.Header.Set("Content-Type", kind)
		code, _, _ := s.do(r)
		return code
	}
	const json = "application/json"
	for body, want := range map[string]int{
		"": 400, "{": 400, "[]": 400, "null x": 400, `{"seq":1}{"seq":2}`: 400, `{"seq":"x"}`: 400, `{"what":1}`: 400,
		`{"seq":1,"values":{"wide":[1]}}`: 400, `{"seq":1,"values":{"wide":null}}`: 400, `{"seq":1e99}`: 400,
		`{"seq":1,"values":{"wide":"` + strings.Repeat("x", mostBody) + `"}}`: 413,
		strings.Repeat("[", 60000): 400,
	} {
		if code := post(json, body); code != want {
			t.Errorf("%.40s: %d, not %d", body, code, want)
		}
	}
	for _, kind := range []string{"", "text/plain", "application/x-www-form-urlencoded"} {
		if code := post(kind, `{"seq":1}`); code != http.StatusUnsupportedMediaType {
			t.Errorf("%q: %d", kind, code)
		}
	}
	r := s.request(http.MethodGet, "/api/state", nil)
	r.Header.Set("X-Long", strings.Repeat("x", 4*mostHeader))
	if code, _, _ := s.do(r); code != http.StatusRequestHeaderFieldsTooLarge {
		t.Errorf("long headers: %d", code)
	}
}

// TestRate refuses what comes too fast, and takes it again a moment later.
func TestRate(t *testing.T) {
	b := bucket{burst: 3, rate: 2}
	now := time.Unix(0, 0)
	for i := range 5 {
		if got := b.allow(now); got != (i < 3) {
			t.Errorf("%d: %v", i, got)
		}
	}
	if now = now.Add(500 * time.Millisecond); !b.allow(now) || b.allow(now) {
		t.Error("half a second is worth one")
	}
	s := serveFile(t, disc)
	s.rate.mu.Lock()
	s.rate.level, s.rate.last, s.rate.rate = rateBurst, time.Now(), 1e-9
	s.rate.mu.Unlock()
	code, h, _ := s.do(s.request(http.MethodPost, "/api/view", map[string]any{"state": "set"}))
	if code != http.StatusTooManyRequests || h.Get("Retry-After") == "" {
		t.Errorf("%d, %v", code, h)
	}
	s.get("/api/state") // looking is free
}

// TestSlowListeners has listeners that never read: the work goes on, others hear
// of it, and there is a bound to them.
func TestSlowListeners(t *testing.T) {
	s := serveFile(t, disc)
	host := strings.TrimPrefix(s.url, "http://")
	for range mostListeners - 1 {
		c, err := net.Dial("tcp", host)
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
		fmt.Fprintf(c, "GET /api/events HTTP/1.1\r\nHost: %s\r\n\r\n", host)
	}
	for seq := 1; seq <= 40; seq++ {
		s.post("/api/dials", map[string]any{"seq": seq, "values": map[string]any{"wide": 5 + float64(seq)/20}}, http.StatusAccepted)
	}
	now := s.until("the last turn", func(now state) bool { return now.Model != nil && now.Model.Seq == 40 })
	if now.Dials[0].Value != 7.0 {
		t.Errorf("the dial is at %v", now.Dials[0].Value)
	}
	// the one that has just heard leaves when the server notices
	for began := time.Now(); s.hub.join() == nil; time.Sleep(time.Millisecond) {
		if time.Since(began) > 20*time.Second {
			t.Fatal("nobody leaves")
		}
	}
	if s.hub.join() != nil {
		t.Error("there is no bound")
	}
	if code, _, _ := s.do(s.request(http.MethodGet, "/api/events", nil)); code != http.StatusServiceUnavailable {
		t.Errorf("one listener too many: %d", code)
	}
}

// TestManyConnections opens more connections than there are doors, silent ones
// and ones that send their request letter by letter: a page still gets in.
func TestManyConnections(t *testing.T) {
	s := serveFile(t, disc)
	host := strings.TrimPrefix(s.url, "http://")
	for i := range 3 * mostDoors {
		c, err := net.Dial("tcp", host)
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
		if i%2 == 0 {
			_, _ = io.WriteString(c, "GET / HT")
		}
	}
	client := http.Client{Timeout: 20 * time.Second, Transport: &http.Transport{}}
	a, err := client.Do(s.request(http.MethodGet, "/api/state", nil))
	if err != nil {
		t.Fatal(err)
	}
	a.Body.Close()
	if a.StatusCode != http.StatusOK {
		t.Errorf("%d", a.StatusCode)
	}
}

// TestDoors closes the oldest connection that asks nothing for a new one too
// many, and the new one where all are at work.
func TestDoors(t *testing.T) {
	d := doors{most: 3}
	enter := func() net.Conn {
		c, far := net.Pipe()
		t.Cleanup(func() { c.Close(); far.Close() })
		d.watch(c, http.StateNew)
		return c
	}
	closed := func(c net.Conn) bool { return c.SetDeadline(time.Time{}) != nil }
	busy := enter()
	d.watch(busy, http.StateActive)
	silent, waiting := enter(), enter()
	d.watch(waiting, http.StateActive)
	d.watch(waiting, http.StateIdle)
	fourth := enter()
	if closed(busy) || !closed(silent) || closed(waiting) || closed(fourth) {
		t.Errorf("for the fourth went %v %v %v %v", closed(busy), closed(silent), closed(waiting), closed(fourth))
	}
	d.watch(silent, http.StateClosed)
	for _, c := range []net.Conn{waiting, fourth} {
		d.watch(c, http.StateActive)
	}
	if fifth := enter(); !closed(fifth) || closed(busy) || closed(waiting) || closed(fourth) {
		t.Error("who works was sent away")
	}
	d.watch(fourth, http.StateClosed)
	if sixth := enter(); closed(sixth) {
		t.Error("there was room")
	}
	if len(d.all) != 3 {
		t.Errorf("%d are counted", len(d.all))
	}
}
