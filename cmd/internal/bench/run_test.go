package bench

import (
	"bytes"
	"context"
	"io"
	"net"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"waxwright/geom/vec"
	"waxwright/recipes/piece"
)

// TestRun prints an address of this machine alone, answers there, and ends
// cleanly while a page listens.
func TestRun(t *testing.T) {
	file := recipeFile(t, "disc.hcl", disc)
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	said := make(firstLine, 1)
	ended := make(chan error, 1)
	go func() { ended <- Run(ctx, Options{File: file, Out: said, Talk: io.Discard, Page: fakePage}) }()
	var address string
	select {
	case address = <-said:
	case err := <-ended:
		t.Fatal(err)
	}
	at, err := url.Parse(address)
	if err != nil || at.Hostname() != "127.0.0.1" {
		t.Fatalf("address %q: %v", address, err)
	}
	client := http.Client{Transport: &http.Transport{}}
	a, err := client.Get(address + "api/events")
	if err != nil {
		t.Fatal(err)
	}
	defer a.Body.Close()
	if a.StatusCode != http.StatusOK {
		t.Errorf("events: %d", a.StatusCode)
	}
	for _, other := range addresses(t) {
		if c, err := net.DialTimeout("tcp", net.JoinHostPort(other, at.Port()), time.Second); err == nil {
			c.Close()
			t.Errorf("it answers at %s, where others can reach it", other)
		}
	}
	port, _ := strconv.Atoi(at.Port())
	if err := Run(ctx, Options{File: file, Port: port, Out: io.Discard, Talk: io.Discard, Page: fakePage}); err == nil || !strings.Contains(err.Error(), at.Port()) {
		t.Errorf("a port that is taken: %v", err)
	}
	stop()
	select {
	case err := <-ended:
		if err != nil {
			t.Errorf("ended with %v", err)
		}
	case <-time.After(20 * time.Second):
		t.Fatal("it does not end")
	}
	if _, err := client.Get(address); err == nil {
		t.Error("it answers after its end")
	}
	if err := Run(t.Context(), Options{File: file + "x", Out: io.Discard, Talk: io.Discard, Page: fakePage}); err == nil {
		t.Error("a recipe that is not there is served")
	}
}

// addresses lists the addresses of this machine that others can reach.
func addresses(t *testing.T) []string {
	t.Helper()
	all, err := net.InterfaceAddrs()
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, a := range all {
		if ip, _, err := net.ParseCIDR(a.String()); err == nil && !ip.IsLoopback() && ip.To4() != nil {
			out = append(out, ip.String())
		}
	}
	return out
}

// TestUnbuilt says what to do where the page can't be built, and takes a page
// only if it is whole.
func TestUnbuilt(t *testing.T) {
	t.Setenv("PATH", t.TempDir())
	var said bytes.Buffer
	err := buildPage(t.Context(), "page", &said)
	if err == nil || !strings.Contains(err.Error(), "install node") {
		t.Errorf("without node: %v", err)
	}
	if said.Len() > 0 {
		t.Errorf("it said %q", said.String())
	}
	if !complete(fakePage) || complete(fstest.MapFS{"index.html": fakePage["index.html"], "app.js": fakePage["app.js"]}) {
		t.Error("whole pages are told from others")
	}
	if dir := sourceTree(); dir == "" {
		t.Error("the source tree is not found from within it")
	}
}

// TestPace finds cells that a sketch has time for, on a machine whose sketches
// take as long as there are cells, and keeps within its bounds on others.
func TestPace(t *testing.T) {
	for _, perCell := range []time.Duration{time.Microsecond, 4 * time.Microsecond, time.Nanosecond, time.Second} {
		var p pace
		took := func() time.Duration { return time.Duration(1200 / (p.size() * p.size()) * float64(perCell)) }
		for range 20 {
			p.learn(took(), 0)
		}
		switch c := p.size(); {
		case c == finestCell || c == coarsestCell:
		case took() > 2*sketchTime || took() < sketchTime/2:
			t.Errorf("%v a cell: cells of %g mm take %v", perCell, c, took())
		}
		if c := p.size(); c < finestCell || c > coarsestCell {
			t.Errorf("%v a cell: cells of %g mm", perCell, c)
		}
	}
	var many pace
	for range 20 {
		many.learn(time.Millisecond, int(2500/(many.size()*many.size())))
	}
	if n := 2500 / (many.size() * many.size()); n > 1.3*sketchTriangles || n < 0.7*sketchTriangles {
		t.Errorf("a quick sketch gets %g triangles", n)
	}
	var p pace
	p.learn(0, 0)
	if c := p.size(); c < finestCell {
		t.Errorf("after no time at all: %g mm", c)
	}
}

// TestHang turns a pendant until its centre of mass hangs straight below the top
// of its bore, which stays where it is; a piece without a bail has no such turn.
func TestHang(t *testing.T) {
	m := modelled(t, disc, piece.ForCasting)
	h := hangOf(m)
	if h == nil {
		t.Fatal("it does not hang")
	}
	move := func(p vec.P) vec.P {
		k := h.Matrix
		return vec.P{
			X: k[0]*p.X + k[4]*p.Y + k[8]*p.Z + k[12],
			Y: k[1]*p.X + k[5]*p.Y + k[9]*p.Z + k[13],
			Z: k[2]*p.X + k[6]*p.Y + k[10]*p.Z + k[14],
		}
	}
	var top vec.P
	for _, o := range m.Piece.Owners {
		if o.Role == piece.BailRole {
			top = o.Place.O
			top.Y += 1.5
		}
	}
	mass := massOf(m)
	got, pivot := move(mass), move(top)
	if d := pivot.Sub(top).Len(); d > 1e-9 {
		t.Errorf("the pivot moves by %g mm", d)
	}
	if d := got.Sub(pivot); d.X*d.X+d.Z*d.Z > 1e-18 || d.Y >= 0 {
		t.Errorf("the centre of mass is at %v of the pivot", d)
	}
	if a, b := got.Sub(pivot).Len(), mass.Sub(top).Len(); a-b > 1e-9 || b-a > 1e-9 {
		t.Errorf("it is %g mm away, not %g", a, b)
	}
	without := disc[:strings.Index(disc, "bail")]
	if hangOf(modelled(t, without, piece.ForCasting)) != nil {
		t.Error("it hangs from nothing")
	}
	for _, at := range []vec.P{{}, {Y: 3}, {Y: -3}, {X: 1, Z: -2}} {
		if p := below(vec.P{}, at).Point(at); p.X*p.X+p.Z*p.Z > 1e-18 || p.Y > 0 {
			t.Errorf("%v comes to lie at %v", at, p)
		}
	}
}
