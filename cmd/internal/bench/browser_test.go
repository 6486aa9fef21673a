package bench

import (
	"context"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// The page in a real browser, on a real server. Chromium, node and npm are asked
// for; WAXWRIGHT_CHROMIUM=require makes them a must. WAXWRIGHT_SHOTS names a
// folder that gets pictures of what the browser saw.

// needTools returns the path of the browser, or skips.
func needTools(t testing.TB) string {
	t.Helper()
	lacking := func(what string) {
		if os.Getenv("WAXWRIGHT_CHROMIUM") == "require" {
			t.Fatalf("WAXWRIGHT_CHROMIUM=require, and %s is not on this machine", what)
		}
		t.Skipf("%s is not on this machine; WAXWRIGHT_CHROMIUM=require makes it a must", what)
	}
	for _, tool := range []string{"node", "npm"} {
		if _, err := exec.LookPath(tool); err != nil {
			lacking(tool)
		}
	}
	for _, name := range []string{"chromium", "google-chrome", "chromium-browser"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	lacking("chromium")
	return ""
}

// builtPage builds the page as its sources are now and returns its folder.
func builtPage(t testing.TB) string {
	t.Helper()
	if _, err := os.Stat(filepath.Join("page", "node_modules", "three")); err == nil {
		build := exec.Command("node", "build.mjs")
		build.Dir = "page"
		if out, err := build.CombinedOutput(); err != nil {
			t.Fatalf("%v\n%s", err, out)
		}
	} else if err := buildPage(t.Context(), "page", os.Stderr); err != nil {
		t.Fatal(err)
	}
	return "dist"
}

// visitor is a browser that looks at a page of a server.
type visitor struct {
	testing.TB
	ctx  context.Context
	file string // the recipe
	page fs.FS
	base string // address of the server, without the last slash
	stop func() // ends the server

	mu       sync.Mutex
	foreign  []string // requests that would have left the machine
	protests []string // errors and warnings of the console
}

// firstLine hands on the first line that is written to it.
type firstLine chan string

func (f firstLine) Write(b []byte) (int, error) {
	line, _, _ := strings.Cut(string(b), "\n")
	select {
	case f <- strings.TrimSpace(line):
	default:
	}
	return len(b), nil
}

// visit serves a recipe and opens its page in a browser until the test ends.
func visit(t testing.TB, file string) *visitor {
	t.Helper()
	path := needTools(t)
	ctx, stop := context.WithCancel(t.Context())
	v := &visitor{TB: t, file: file, page: os.DirFS(builtPage(t))}
	v.start(0)

	width, height := 900, 640 // small, for every pixel is drawn by the processor here
	if os.Getenv("WAXWRIGHT_SHOTS") != "" {
		width, height = 1280, 940 // the window, with some 140 of it round the page
	}
	var closeTab context.CancelFunc
	v.ctx, closeTab = chromedp.NewContext(ctx,
		chromedp.WithAllocatorOptions(chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.WindowSize(width, height),
			chromedp.Flag("use-angle", "swiftshader"), chromedp.Flag("enable-unsafe-swiftshader", true)),
		chromedp.WithListener(v.hear))
	t.Cleanup(func() {
		closeTab()
		stop()
		v.stop()
	})
	if _, err := chromedp.Call(v.ctx, network.Enable, network.EnableParams{}); err != nil { // opens the browser
		t.Fatal(err)
	}
	v.do("open the page", chromedp.Navigate(v.base+"/"))
	return v
}

// another opens the page once more, in a second tab of the same browser.
func (v *visitor) another() *visitor {
	v.Helper()
	w := &visitor{TB: v.TB, file: v.file, page: v.page, base: v.base, stop: v.stop}
	var closeTab context.CancelFunc
	w.ctx, closeTab = chromedp.NewContext(v.ctx, chromedp.WithListener(w.hear))
	v.Cleanup(closeTab)
	if _, err := chromedp.Call(w.ctx, network.Enable, network.EnableParams{}); err != nil { // opens the tab
		v.Fatal(err)
	}
	w.do("open the page again", chromedp.Navigate(v.base+"/"))
	return w
}

// start starts a server for the visitor's recipe, stop ends it.
func (v *visitor) start(port int) {
	v.Helper()
	ctx, stop := context.WithCancel(v.Context())
	address := make(firstLine, 1)
	served := make(chan error, 1)
	go func() {
		served <- Run(ctx, Options{File: v.file, Port: port, Out: address, Talk: io.Discard, Page: v.page})
	}()
	select {
	case at := <-address:
		v.base = strings.TrimSuffix(at, "/")
	case err := <-served:
		v.Fatal(err)
	}
	v.stop = func() {
		stop()
		if err := <-served; err != nil {
			v.Error(err)
		}
	}
}

// hear gathers what must not be.
func (v *visitor) hear(event any) {
	v.mu.Lock()
	defer v.mu.Unlock()
	switch e := event.(type) {
	case *network.EventRequestWillBeSent:
		at := e.Request.URL
		if !strings.HasPrefix(at, v.base+"/") && !strings.HasPrefix(at, "blob:"+v.base) && !strings.HasPrefix(at, "data:") {
			v.foreign = append(v.foreign, at)
		}
	case *runtime.EventExceptionThrown:
		v.protests = append(v.protests, exceptionText(e.ExceptionDetails))
	case *runtime.EventConsoleAPICalled:
		if e.Type == runtime.ConsoleAPICalledTypeError || e.Type == runtime.ConsoleAPICalledTypeWarning {
			for _, arg := range e.Args {
				v.protests = append(v.protests, string(arg.Value)+arg.Description)
			}
		}
	case *log.EventEntryAdded:
		if e.Entry.Level == log.EntryLevelError {
			v.protests = append(v.protests, e.Entry.Text+" "+e.Entry.URL)
		}
	}
}

// endurance is how long a step may take on a slow machine.
const endurance = 90 * time.Second

func (v *visitor) do(what string, steps ...chromedp.Action[chromedp.Void]) {
	v.Helper()
	ctx, done := context.WithTimeout(v.ctx, endurance)
	defer done()
	if err := chromedp.Do(ctx, steps...); err != nil {
		v.Fatalf("%s: %v", what, err)
	}
}

// ask evaluates an expression in the page, and waits for what it promises.
func ask[T any](v *visitor, expression string) T {
	v.Helper()
	ctx, done := context.WithTimeout(v.ctx, endurance)
	defer done()
	value, err := chromedp.Run(ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		v.Fatalf("%s: %v", expression, err)
	}
	return value
}

// click clicks the element that a CSS selector finds; focus puts the focus there.
func (v *visitor) click(selector string) {
	v.Helper()
	v.do("click "+selector, chromedp.Click(chromedp.CSS(selector)))
}

// tick ticks a box, or chooses one of several, if it is not ticked yet. No pointer does
// it: one that comes from the drawing has been seen to miss.
func (v *visitor) tick(selector string) {
	v.Helper()
	v.until(selector+" ticked", fmt.Sprintf(`(e => (e?.checked || e?.click(), e?.checked))(document.querySelector(%q))`, selector))
}

func (v *visitor) focus(selector string) {
	v.Helper()
	v.do("focus "+selector, chromedp.Focus(chromedp.CSS(selector)))
}

// until waits until an expression holds in the page. While the page is being
// loaded again, there is nothing in it yet that an expression could speak of.
func (v *visitor) until(what, expression string) {
	v.Helper()
	expression = `document.readyState === "complete" && document.getElementById("work") !== null && (` + expression + `)`
	for deadline := time.Now().Add(endurance); ; {
		ctx, done := context.WithTimeout(v.ctx, endurance)
		yes, err := chromedp.Run(ctx, chromedp.Evaluate[bool](expression, chromedp.EvalAwaitPromise))
		done()
		if yes {
			return
		}
		// a page that goes while it is asked has no answer either
		if err != nil && !strings.Contains(err.Error(), "navigated") && !strings.Contains(err.Error(), "context was destroyed") {
			v.Fatalf("%s: %v", expression, err)
		}
		if time.Now().After(deadline) {
			v.shot("stuck")
			v.Fatalf("%s: not within %v\n%s", what, endurance, ask[string](v, "document.body.innerText"))
		}
		time.Sleep(50 * time.Millisecond)
	}
}

// text returns what stands in an element.
func (v *visitor) text(id string) string {
	v.Helper()
	return ask[string](v, fmt.Sprintf("document.getElementById(%q).textContent", id))
}

// settle waits until the exact model is shown and judged.
func (v *visitor) settle() {
	v.Helper()
	v.until("the exact model", `document.getElementById("work").textContent.startsWith("exact") &&
		document.getElementById("frame").dataset.model !== undefined && document.getElementById("frame").dataset.triangles > 0 && document.getElementById("remarks-old").hidden`)
}

// press sends keys to what has the focus.
func (v *visitor) press(keys ...string) {
	v.Helper()
	for _, k := range keys {
		v.do("press "+k, chromedp.KeyEvent(k))
	}
}

// shot keeps a picture of the page, if pictures are asked for.
func (v *visitor) shot(name string) {
	dir := os.Getenv("WAXWRIGHT_SHOTS")
	if dir == "" {
		return
	}
	png, err := chromedp.Run(v.ctx, chromedp.CaptureScreenshot())
	if err != nil {
		v.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, name+".png"), png, 0o644); err != nil {
		v.Fatal(err)
	}
}

// download clicks a link and returns the file that comes.
func (v *visitor) download(selector string) []byte {
	v.Helper()
	dir, yes := v.TempDir(), true
	ctx, done := context.WithTimeout(v.ctx, endurance)
	defer done()
	ended := make(chan *browser.EventDownloadProgress, 1)
	err := chromedp.ListenBrowser(ctx, func(event any) {
		if e, ok := event.(*browser.EventDownloadProgress); ok && e.State != browser.DownloadProgressStateInProgress {
			select {
			case ended <- e:
			default:
			}
		}
	})
	if err != nil {
		v.Fatal(err)
	}
	_, err = chromedp.CallBrowser(ctx, browser.SetDownloadBehavior, browser.SetDownloadBehaviorParams{
		Behavior: browser.SetDownloadBehaviorBehaviorAllowAndName, DownloadPath: dir, EventsEnabled: &yes,
	})
	if err != nil {
		v.Fatal(err)
	}
	v.click(selector)
	select {
	case e := <-ended:
		b, err := os.ReadFile(filepath.Join(dir, e.GUID))
		if err != nil || e.State != browser.DownloadProgressStateCompleted {
			v.Fatalf("the download of %s ended as %s: %v", selector, e.State, err)
		}
		return b
	case <-ctx.Done():
		v.Fatalf("no download of %s within %v", selector, endurance)
		return nil
	}
}

// exceptionText says what was thrown.
func exceptionText(e *runtime.ExceptionDetails) string {
	if e.Exception != nil {
		return e.Text + " " + e.Exception.Description
	}
	return e.Text
}

// pointAt moves the pointer to a place of the drawing, in CSS pixels from its
// upper left corner, and clicks there if asked to.
func (v *visitor) pointAt(x, y float64, click bool) {
	v.Helper()
	at := ask[[]float64](v, `(r => [r.left, r.top])(document.getElementById("canvas").getBoundingClientRect())`)
	x, y = x+at[0], y+at[1]
	// from a little aside: a pointer that is there already would not move
	v.do("move", chromedp.MouseEvent(input.DispatchMouseEventTypeMouseMoved, x+2, y+2))
	v.do("move", chromedp.MouseEvent(input.DispatchMouseEventTypeMouseMoved, x, y))
	if click {
		v.do("click", chromedp.MouseClickXY(x, y))
	}
	ask[bool](v, "new Promise(done => requestAnimationFrame(() => requestAnimationFrame(() => done(true))))")
}

// narrow makes the page as small as a telephone, touched by fingers.
func (v *visitor) narrow() {
	v.Helper()
	v.do("narrow", chromedp.EmulateViewport(390, 844, chromedp.EmulateMobile, chromedp.EmulateTouch))
}
