// Package bench serves the live page: a recipe in three dimensions whose dials
// turn, for one maker at one machine.
//
// Promised: it listens on the loopback interface alone, answers under its own
// address alone, and changes nothing without the token that its own page
// carries; what is served is what handler lists. A page that is slow, or
// hostile, holds nobody up: events are dropped rather than queued, bodies,
// rates and connections are bounded. A recipe that has faults leaves the last
// good piece where it is. The recipe is written only by Save, only the literals
// of dials, in one step, and never over somebody else's change.
//
// Not promised: that a coarse model shows what is finer than its cells.
//
// How it works: desk takes orders (turn, view, load, save) and works on one at a
// time (work): a sketch at once, as fine as fits a tenth of a second (pace), then
// the exact model, the one for casting, the proof, the cures. Each step changes
// the state, which the hub tells to all pages; meshes are packed into containers
// (pack) and fetched by name (shelf). guard says who is answered at all.
//
// The page itself is in page/: TypeScript, built by esbuild into dist/, which is
// not committed. A command that was built without it builds it when it runs in
// its source tree.
package bench

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net"
	"net/http"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"syscall"
	"time"
)

//go:generate npm --prefix page install --omit=dev --no-package-lock --no-audit --no-fund
//go:generate node page/build.mjs

// Options for Run.
type Options struct {
	File string
	Port int       // 0: any that is free
	Open bool      // open a browser
	Out  io.Writer // the address
	Talk io.Writer // all else that is said
	Page fs.FS     // the built page; nil: what findPage finds
}

// Run serves the page of a recipe until ctx ends. The recipe has to be there,
// and may have faults.
func Run(ctx context.Context, o Options) error {
	path, err := filepath.Abs(o.File)
	if err != nil {
		return err
	}
	if path, err = filepath.EvalSymlinks(path); err != nil {
		return err
	}
	page := o.Page
	if page == nil {
		if page, err = findPage(ctx, o.Talk); err != nil {
			return err
		}
	}
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	h := &hub{}
	d := newDesk(ctx, path, h.tell)
	if _, err := d.load(); err != nil {
		return err
	}
	doors, err := listen(o.Port)
	if err != nil {
		return err
	}
	port := doors[0].Addr().(*net.TCPAddr).Port
	s := newServer(d, h, page, port)
	if err := watch(ctx, path, d.reread); err != nil {
		fmt.Fprintf(o.Talk, "%s is not watched: %v\n", o.File, err)
	}
	worked := make(chan struct{})
	go func() { defer close(worked); d.run(ctx) }()
	defer func() { <-worked }()
	defer stop()

	address := "http://" + net.JoinHostPort("127.0.0.1", strconv.Itoa(port)) + "/"
	fmt.Fprintln(o.Out, address)
	fmt.Fprintln(o.Talk, "Ctrl-C ends it")
	if o.Open {
		openBrowser(address)
	}
	return s.serve(ctx, doors)
}

// serve answers on all listeners until ctx ends.
func (s *server) serve(ctx context.Context, doors []net.Listener) error {
	web := newHTTP(s.handler())
	failed := make(chan error, len(doors))
	for _, l := range doors {
		go func() { failed <- web.Serve(l) }()
	}
	var err error
	select {
	case <-ctx.Done():
	case err = <-failed:
	}
	close(s.ended)
	last, cancel := context.WithTimeout(context.WithoutCancel(ctx), time.Second)
	defer cancel()
	if web.Shutdown(last) != nil {
		_ = web.Close()
	}
	if errors.Is(err, http.ErrServerClosed) {
		return nil
	}
	return err
}

// listen listens on the loopback addresses of both kinds, on one port; a machine
// without IPv6 does with one.
func listen(port int) ([]net.Listener, error) {
	four, err := net.Listen("tcp4", net.JoinHostPort("127.0.0.1", strconv.Itoa(port)))
	if errors.Is(err, syscall.EADDRINUSE) {
		return nil, fmt.Errorf("port %d is taken by another program: give another one, or none for any that is free", port)
	}
	if err != nil {
		return nil, fmt.Errorf("port %d: %w", port, err)
	}
	all := []net.Listener{four}
	port = four.Addr().(*net.TCPAddr).Port
	if six, err := net.Listen("tcp6", net.JoinHostPort("::1", strconv.Itoa(port))); err == nil {
		all = append(all, six)
	}
	return all, nil
}

// openBrowser opens the address in the maker's browser, if there is one: the
// address was printed, so that failing is no fault.
func openBrowser(address string) {
	call := []string{"xdg-open", address}
	switch runtime.GOOS {
	case "darwin":
		call[0] = "open"
	case "windows":
		call = []string{"rundll32", "url.dll,FileProtocolHandler", address}
	}
	c := exec.Command(call[0], call[1:]...)
	if c.Start() == nil {
		go func() { _ = c.Wait() }()
	}
}
