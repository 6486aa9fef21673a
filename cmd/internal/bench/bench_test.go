package bench

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"
	"time"
)

// recipeFile writes a recipe into a folder of its own and returns its path.
func recipeFile(t testing.TB, name, src string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(file, []byte(src), 0o640); err != nil {
		t.Fatal(err)
	}
	return file
}

// disc is a small piece with two dials, a number and a word.
const disc = `# the whole of it
piece "disc" {
  alloy = "silver-925"
}

dial "wide" {
  value = 6     # across, mm
  range = [4, 12]
  step  = 0.5
  note  = "across"
}

dial "gem" {
  value   = "citrine"
  choices = ["citrine", "amethyst"]
}

plate "round" {
  form      = "circle"
  across    = dial.wide
  thickness = 1.2
}

stones "one" {
  layout = "one"
  gem    = dial.gem
  size   = 2.5
  on     = plate.round
}

bezel "rim" {
  on    = plate.round
  holds = stones.one
}

bail "loop" {
  on   = plate.round
  at   = 0
  wire = 1.2
  bore = 3
}
`

// fakePage stands for the built page.
var fakePage = fstest.MapFS{
	"index.html": {Data: []byte(`<meta name="waxwright-token" content="__TOKEN__">`)},
	"app.js":     {Data: []byte("// nothing")},
	"app.css":    {Data: []byte("")},
}

// stand is a server under test.
type stand struct {
	*testing.T
	*server
	file string
	url  string
}

// serveFile serves a recipe until the test ends.
func serveFile(t *testing.T, src string) *stand {
	t.Helper()
	file := recipeFile(t, "disc.hcl", src)
	h := &hub{}
	ctx, stop := context.WithCancel(t.Context())
	d := newDesk(ctx, file, h.tell)
	if _, err := d.load(); err != nil {
		t.Fatal(err)
	}
	s := newServer(d, h, fakePage, 0)
	web := httptest.NewUnstartedServer(nil)
	web.Config = newHTTP(s.handler())
	web.Start()
	s.hosts[web.Listener.Addr().String()] = true
	worked := make(chan struct{})
	go func() { defer close(worked); d.run(ctx) }()
	t.Cleanup(func() {
		stop()
		close(s.ended)
		web.CloseClientConnections()
		web.Close()
		<-worked
	})
	return &stand{t, s, file, web.URL}
}

// request makes a request as the page does.
func (s *stand) request(method, path string, body any) *http.Request {
	s.Helper()
	var in io.Reader
	if body != nil {
		data, err := json.Marshal(body)
		if err != nil {
			s.Fatal(err)
		}
		in = bytes.NewReader(data)
	}
	r, err := http.NewRequestWithContext(s.Context(), method, s.url+path, in)
	if err != nil {
		s.Fatal(err)
	}
	if method == http.MethodPost {
		r.Header.Set("Content-Type", "application/json")
		r.Header.Set(tokenHeader, s.token)
		r.Header.Set("Origin", s.url)
	}
	return r
}

// do makes a request and returns status, headers and body.
func (s *stand) do(r *http.Request) (int, http.Header, []byte) {
	s.Helper()
	a, err := http.DefaultClient.Do(r)
	if err != nil {
		s.Fatal(err)
	}
	defer a.Body.Close()
	body, err := io.ReadAll(a.Body)
	if err != nil {
		s.Fatal(err)
	}
	return a.StatusCode, a.Header, body
}

// post posts JSON and wants a status.
func (s *stand) post(path string, body any, want int) []byte {
	s.Helper()
	code, _, answer := s.do(s.request(http.MethodPost, path, body))
	if code != want {
		s.Fatalf("%s: %d, not %d: %s", path, code, want, answer)
	}
	return answer
}

// get gets a path and wants it to be there.
func (s *stand) get(path string) []byte {
	s.Helper()
	code, _, answer := s.do(s.request(http.MethodGet, path, nil))
	if code != http.StatusOK {
		s.Fatalf("%s: %d: %s", path, code, answer)
	}
	return answer
}

// until listens to events until a state is as wanted.
func (s *stand) until(what string, ok func(state) bool) state {
	s.Helper()
	ctx, stop := context.WithTimeout(s.Context(), time.Minute)
	defer stop()
	a, err := http.DefaultClient.Do(s.request(http.MethodGet, "/api/events", nil).WithContext(ctx))
	if err != nil {
		s.Fatal(err)
	}
	defer a.Body.Close()
	in := bufio.NewScanner(a.Body)
	in.Buffer(nil, 1<<20)
	event := ""
	for in.Scan() {
		if name, ok := strings.CutPrefix(in.Text(), "event: "); ok {
			event = name
		}
		if data, found := strings.CutPrefix(in.Text(), "data: "); found && event == "state" {
			var now state
			if err := json.Unmarshal([]byte(data), &now); err != nil {
				s.Fatal(err)
			}
			if ok(now) {
				return now
			}
		}
	}
	s.Fatalf("waited in vain for %s: %v", what, in.Err())
	return state{}
}

// idle waits until all work on the dials of that number is done.
func (s *stand) idle(seq int) state {
	s.Helper()
	return s.until("the proof", func(now state) bool { return now.Busy == "" && now.Seq == seq && now.Proved == seq })
}

// value finds a figure by the start of its label.
func value(t *testing.T, all []figure, label string) float64 {
	t.Helper()
	for _, f := range all {
		if strings.HasPrefix(f.Label, label) {
			return f.Value
		}
	}
	t.Fatalf("no figure %q in %v", label, all)
	return 0
}

// TestTurn turns a dial and sees model, figures and stones follow.
func TestTurn(t *testing.T) {
	s := serveFile(t, disc)
	before := s.idle(0)
	if before.Title != "disc" || len(before.Faults) != 0 || before.Model == nil || before.Model.Quality != "exact" {
		t.Fatalf("first state: %+v", before)
	}
	if w := before.Dials[0]; w.Name != "wide" || w.Value != 6.0 || w.Saved != 6.0 || *w.Min != 4 || *w.Max != 12 || w.Step != 0.5 || w.Line != 7 || w.Whole {
		t.Errorf("dial: %+v", w)
	}
	s.post("/api/dials", map[string]any{"seq": 1, "values": map[string]any{"wide": 9, "gem": "amethyst"}}, http.StatusAccepted)
	coarse := s.until("a coarse model", func(now state) bool { return now.Model.Seq == 1 })
	if len(coarse.Figures.Weight) == 0 {
		t.Error("the coarse model has no weight")
	}
	after := s.idle(1)
	if after.Dials[0].Value != 9.0 || after.Dials[0].Saved != 6.0 || after.Dials[1].Value != "amethyst" || after.Dials[1].Saved != "citrine" {
		t.Errorf("dials: %+v", after.Dials)
	}
	if got := value(t, after.Figures.Sizes, "wide"); got < 9 || got > 9.2 {
		t.Errorf("a disc of 9 mm is %g mm wide", got)
	}
	if a, b := value(t, before.Figures.Weight, "metal"), value(t, after.Figures.Weight, "metal"); !(b > 1.5*a) {
		t.Errorf("6 mm weigh %g g, 9 mm %g g", a, b)
	}
	if g := after.Figures.Stones[0]; g.Gem != "amethyst" || g.Count != 1 || g.Size != 2.5 {
		t.Errorf("stones: %+v", g)
	}
	if after.Ghost == "" || after.Ghost == after.Model.ID {
		t.Errorf("the ghost is %q, the model %q", after.Ghost, after.Model.ID)
	}
	s.get("/api/model/" + after.Ghost)
}

// TestSeqs does not take an order that comes late.
func TestSeqs(t *testing.T) {
	s := serveFile(t, disc)
	s.until("the dials", func(now state) bool { return len(now.Dials) > 0 })
	for _, turn := range []struct {
		seq, now int
		wide     float64
		taken    bool
	}{{7, 7, 8, true}, {3, 7, 5, false}, {7, 7, 5, false}} {
		var answer struct {
			Seq   int
			Taken bool
		}
		said := s.post("/api/dials", map[string]any{"seq": turn.seq, "by": "me", "values": map[string]any{"wide": turn.wide}}, http.StatusAccepted)
		if err := json.Unmarshal(said, &answer); err != nil || answer.Seq != turn.now || answer.Taken != turn.taken {
			t.Errorf("order %d: %s, %v", turn.seq, said, err)
		}
	}
	if now := s.until("what was ordered", func(now state) bool { return now.Seq == 7 }); now.Dials[0].Value != 8.0 || now.By != "me" {
		t.Errorf("while it is made, the dial is at %v, turned by %q", now.Dials[0].Value, now.By)
	}
	now := s.until("8 mm", func(now state) bool { return now.Model != nil && now.Model.Seq == 7 })
	if now.Dials[0].Value != 8.0 {
		t.Errorf("the dial is at %v", now.Dials[0].Value)
	}
}

// TestOvertaken hears nothing of work that goes on after another order came.
func TestOvertaken(t *testing.T) {
	told := 0
	d := newDesk(t.Context(), "disc.hcl", func(string, any) { told++ })
	ctx, stop := context.WithCancel(t.Context())
	d.told(ctx, func(s *state) { s.Title = "first" })
	stop()
	d.told(ctx, func(s *state) { s.Title = "late" })
	if d.state().Title != "first" || told != 1 {
		t.Errorf("%q, told %d times", d.state().Title, told)
	}
}

// TestFaults keeps the last good piece while the recipe has faults.
func TestFaults(t *testing.T) {
	s := serveFile(t, disc)
	good := s.idle(0)
	s.post("/api/dials", map[string]any{"seq": 1, "values": map[string]any{"wide": 99}}, http.StatusAccepted)
	bad := s.until("a fault", func(now state) bool { return len(now.Faults) > 0 })
	if f := bad.Faults[0]; f.Line != 7 || f.File != "disc.hcl" || f.Message == "" || f.Fix == "" {
		t.Errorf("fault: %+v", f)
	}
	if bad.Model == nil || bad.Model.ID != good.Model.ID || len(bad.Remarks) != len(good.Remarks) {
		t.Error("the good piece is gone")
	}
	s.post("/api/dials", map[string]any{"seq": 2, "values": map[string]any{}}, http.StatusAccepted)
	if now := s.idle(2); len(now.Faults) != 0 {
		t.Errorf("faults stay: %+v", now.Faults)
	}
}

// TestFaultyStart begins with a recipe that can't be made, and goes on from there.
func TestFaultyStart(t *testing.T) {
	s := serveFile(t, strings.Replace(disc, "across    =", "accross   =", 1))
	now := s.until("the fault", func(now state) bool { return len(now.Faults) > 0 && now.Busy == "" })
	if now.Model != nil || now.Faults[0].Line != 20 || now.Faults[0].Source == "" {
		t.Errorf("%+v", now)
	}
	if code, _, _ := s.do(s.request(http.MethodGet, "/download/disc.3mf", nil)); code != http.StatusConflict {
		t.Errorf("download: %d", code)
	}
	if err := os.WriteFile(s.file, []byte(disc), 0o640); err != nil {
		t.Fatal(err)
	}
	s.post("/api/reload", map[string]any{}, http.StatusOK)
	if now := s.idle(0); len(now.Faults) > 0 || now.Model == nil {
		t.Errorf("%+v", now)
	}
}

// TestOutsideEdit follows an editor that puts a new file in place of the old.
func TestOutsideEdit(t *testing.T) {
	s := serveFile(t, disc)
	if err := watch(t.Context(), s.file, s.desk.reread); err != nil {
		t.Fatal(err)
	}
	old := s.idle(0)
	next := s.file + "~"
	if err := os.WriteFile(next, []byte(strings.Replace(disc, "value = 6 ", "value = 7 ", 1)), 0o640); err != nil {
		t.Fatal(err)
	}
	if err := os.Rename(next, s.file); err != nil {
		t.Fatal(err)
	}
	now := s.until("the edit", func(now state) bool { return now.Dials[0].Saved == 7.0 })
	if now.Revision == old.Revision || now.Dials[0].Value != 7.0 {
		t.Errorf("after the edit: %+v", now.Dials[0])
	}
	if err := os.WriteFile(s.file, []byte(strings.Replace(disc, "across    =", "accross   =", 1)), 0o640); err != nil {
		t.Fatal(err)
	}
	bad := s.until("the fault", func(now state) bool { return len(now.Faults) > 0 })
	if bad.Faults[0].Line != 20 {
		t.Errorf("fault: %+v", bad.Faults[0])
	}
	if err := os.Remove(s.file); err != nil {
		t.Fatal(err)
	}
	s.until("the loss", func(now state) bool { return len(now.Faults) > 0 && now.Faults[0].Line == 0 })
	if err := os.WriteFile(s.file, []byte(disc), 0o640); err != nil {
		t.Fatal(err)
	}
	s.until("the file's return", func(now state) bool { return len(now.Faults) == 0 && now.Dials[0].Saved == 6.0 })
}

// TestGhost keeps the turned dial that an edit does not speak of, follows the
// edit in the one that it does, and shows the edited recipe as the ghost.
func TestGhost(t *testing.T) {
	s := serveFile(t, disc)
	s.post("/api/dials", map[string]any{"seq": 1, "values": map[string]any{"wide": 9, "gem": "amethyst"}}, http.StatusAccepted)
	old := s.idle(1)
	edited := strings.Replace(disc, "value = 6 ", "value = 7 ", 1)
	if err := os.WriteFile(s.file, []byte(edited), 0o640); err != nil {
		t.Fatal(err)
	}
	s.post("/api/reload", map[string]any{}, http.StatusOK)
	now := s.until("the ghost", func(now state) bool { return now.Dials[0].Saved == 7.0 && now.Ghost != old.Ghost && now.Busy == "" })
	if now.Dials[0].Value != 7.0 || now.Dials[1].Value != "amethyst" || now.Dials[1].Saved != "citrine" {
		t.Errorf("dials: %+v", now.Dials)
	}
	o := openModel(t, s.get("/api/model/"+now.Ghost))
	if wide := o.head.Box[3] - o.head.Box[0]; wide < 6.9 || wide > 7.2 || o.head.Stones[0].Gem != "citrine" {
		t.Errorf("the ghost is %g mm wide, of %s", wide, o.head.Stones[0].Gem)
	}
}
