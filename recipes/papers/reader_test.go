package papers

import (
	"bytes"
	"context"
	"encoding/xml"
	"fmt"
	"html"
	"image/png"
	"io"
	"math"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/tdewolff/canvas"

	"waxwright/recipes/typeface"
)

// Other programs read what was written: poppler turns the PDF into text and
// pictures, Chromium opens and prints the page. WAXWRIGHT_POPPLER=require and
// WAXWRIGHT_CHROMIUM=require make them a must.

// needs returns the path of the first of the programs that is there, or skips.
func needs(t *testing.T, variable string, names ...string) string {
	t.Helper()
	for _, n := range names {
		if path, err := exec.LookPath(n); err == nil {
			return path
		}
	}
	if os.Getenv(variable) == "require" {
		t.Fatalf("%s=require, and none of %v is on this machine", variable, names)
	}
	t.Skipf("none of %v is on this machine; %s=require makes it a must", names, variable)
	return ""
}

func TestPoppler(t *testing.T) {
	totext, topixels := needs(t, "WAXWRIGHT_POPPLER", "pdftotext"), needs(t, "WAXWRIGHT_POPPLER", "pdftoppm")
	dir := t.TempDir()
	file := filepath.Join(dir, "papers.pdf")
	if err := os.WriteFile(file, files(t, Options{Date: "2026-11-25"})["seed-pod-papers.pdf"], 0o666); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(totext, "-layout", file, "-").CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	pages := strings.Split(strings.TrimSuffix(string(out), "\f"), "\f")
	said := strings.Join(strings.Fields(string(out)), " ")
	for _, want := range []string{
		"seed & <pod>", "Job sheet", "Setting sheet", "Stone order", "Caster's order", "Findings", "Cautions", "2026-11-25",
		"seed-pod-pod-mirrored.stl", "it was read in inches", "together", "AWG 20", "silver 925", "2.95 to 3.05",
		"by the maker's own prices of 2026-11-01",
	} {
		if !strings.Contains(said, want) {
			t.Errorf("%q does not stand in the PDF", want)
		}
	}
	for i, pg := range pages { // the foot stands last, the head first
		if !strings.HasPrefix(strings.TrimSpace(pg), "seed & <pod>") || !strings.Contains(pg[max(0, len(pg)-200):], "page ") {
			t.Errorf("page %d has no head or no foot", i+1)
		}
	}
	if out, err := exec.Command(topixels, "-r", "20", "-png", file, filepath.Join(dir, "pg")).CombinedOutput(); err != nil || len(out) > 0 {
		t.Fatalf("%v\n%s", err, out)
	}
	drawn, _ := filepath.Glob(filepath.Join(dir, "pg*.png"))
	if len(drawn) != len(pages) {
		t.Errorf("%d pages are drawn, %d have text", len(drawn), len(pages))
	}
	for _, name := range drawn {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		img, err := png.Decode(bytes.NewReader(data))
		if err != nil {
			t.Fatal(err)
		}
		dark := 0
		for y := range img.Bounds().Dy() {
			for x := range img.Bounds().Dx() {
				if r, _, _, _ := img.At(x, y).RGBA(); r < 0xC000 {
					dark++
				}
			}
		}
		if dark < 100 {
			t.Errorf("%s is blank", filepath.Base(name))
		}
	}
}

// Poppler finds every line of text where it was set, within a third of a mm.
func TestWhereTextStands(t *testing.T) {
	totext := needs(t, "WAXWRIGHT_POPPLER", "pdftotext")
	p := gathered(t)
	art, err := gardenArt()
	if err != nil {
		t.Fatal(err)
	}
	var all []sheet
	for _, s := range sheets {
		all = append(all, s.build(p, art))
	}
	c := newCompositor()
	var data bytes.Buffer
	if err := writePDF(&data, p, c, all, Letter); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "papers.pdf")
	if err := os.WriteFile(file, data.Bytes(), 0o666); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(totext, "-bbox", file, "-").CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	word := regexp.MustCompile(`<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">(.*?)</word>`)
	pages := c.pages(p, all, Letter)
	parts := strings.Split(string(out), "<page ")[1:]
	if len(parts) != len(pages) {
		t.Fatalf("%d pages, want %d", len(parts), len(pages))
	}
	for i, part := range parts {
		found := word.FindAllStringSubmatch(part, -1)
		for _, m := range pages[i].marks {
			if m.kind != textMark {
				continue
			}
			first := strings.Fields(m.text)[0]
			base := (m.y + m.letter.rise) / point
			if !slices.ContainsFunc(found, func(f []string) bool {
				var box [4]float64
				for k := range box {
					box[k], _ = strconv.ParseFloat(f[k+1], 64)
				}
				return html.UnescapeString(f[5]) == first && math.Abs(box[0]-m.x/point) < 1 && box[1] < base && base < box[3]
			}) {
				t.Errorf("page %d: %q is not at %.1f, %.1f mm", i+1, m.text, m.x, m.y)
			}
		}
	}
}

// The page opens without a complaint, needs nothing from elsewhere, fits into a
// small window, and prints on as many pages as there are sheets, or more.
func TestChromium(t *testing.T) {
	path := needs(t, "WAXWRIGHT_CHROMIUM", "chromium", "google-chrome", "chromium-browser")
	file := filepath.Join(t.TempDir(), "papers.html")
	data := files(t, Options{})["seed-pod-papers.html"]
	if err := os.WriteFile(file, data, 0o666); err != nil {
		t.Fatal(err)
	}
	for _, no := range []string{"<script", "src=\"http", "url(http", "<link rel=\"stylesheet"} {
		if bytes.Contains(data, []byte(no)) {
			t.Errorf("there is %s in the page", no)
		}
	}
	e := examples()["marigold.hcl"]
	p, art := e.papers, e.art[A4.Name]
	all := rendered(t, p, art, Options{})
	ctx, cancel := context.WithTimeout(context.Background(), 2*time.Minute)
	defer cancel()
	var mu sync.Mutex
	var complaints []string
	ctx, cancel = chromedp.NewContext(ctx,
		chromedp.WithAllocatorOptions(chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.WindowSize(420, 800)),
		chromedp.WithListener(func(e any) {
			mu.Lock()
			defer mu.Unlock()
			switch e := e.(type) {
			case *runtime.EventConsoleAPICalled:
				complaints = append(complaints, fmt.Sprint(e.Type))
			case *runtime.EventExceptionThrown:
				complaints = append(complaints, e.ExceptionDetails.Text)
			}
		}))
	defer cancel()
	if err := chromedp.Do(ctx, chromedp.Navigate((&url.URL{Scheme: "file", Path: file}).String())); err != nil {
		t.Fatal(err)
	}
	count := func(what string) int {
		t.Helper()
		n, err := chromedp.Run(ctx, chromedp.Evaluate[int](what, chromedp.EvalAwaitPromise))
		if err != nil {
			t.Fatalf("%s: %v", what, err)
		}
		return n
	}
	for what, want := range map[string]int{
		`[...document.images].filter(i => !i.complete || !i.naturalWidth).length`:                       0,
		`Math.max(0, document.documentElement.scrollWidth - window.innerWidth)`:                         0,
		`document.querySelectorAll("section").length`:                                                   len(sheets),
		`document.fonts.ready.then(() => [...document.fonts].filter(f => f.status == "loaded").length)`: 3,
	} {
		if got := count(what); got != want {
			t.Errorf("%s is %d, want %d", what, got, want)
		}
	}
	printed, err := chromedp.Run(ctx, chromedp.PrintToPDF(chromedp.PDFPreferCSSPageSize()))
	if err != nil {
		t.Fatal(err)
	}
	if n := bytes.Count(printed, []byte("/Type /Page\n")); n < len(sheets) {
		t.Errorf("%d pages are printed", n)
	}
	// Full sheets are printed on as many pages as the PDF has.
	if err := os.WriteFile(file, all["marigold-pendant-papers.html"], 0o666); err != nil {
		t.Fatal(err)
	}
	if err := chromedp.Do(ctx, chromedp.Navigate((&url.URL{Scheme: "file", Path: file}).String())); err != nil {
		t.Fatal(err)
	}
	count(`document.fonts.ready.then(() => 0)`)
	if printed, err = chromedp.Run(ctx, chromedp.PrintToPDF(chromedp.PDFPreferCSSPageSize())); err != nil {
		t.Fatal(err)
	}
	var built []sheet
	for _, s := range sheets {
		built = append(built, s.build(p, art))
	}
	if n, want := bytes.Count(printed, []byte("/Type /Page\n")), len(newCompositor().pages(p, built, A4)); n != want {
		t.Errorf("the marigold is printed on %d pages, %d in PDF", n, want)
	}
	mu.Lock()
	defer mu.Unlock()
	if len(complaints) > 0 {
		t.Errorf("the browser complains: %v", complaints)
	}
}

// No date stands in a PDF that was not asked for, and never the clock's.
func TestDates(t *testing.T) {
	for date, want := range map[string]string{"": "", "1999-12-31": "/CreationDate(D:19991231000000Z)"} {
		p := gathered(t)
		p.Date = date
		all, err := Render(context.Background(), p, &Art{}, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if n := bytes.Count(all[0].Data, []byte("/CreationDate")); n != min(1, len(want)) || !bytes.Contains(all[0].Data, []byte(want)) {
			t.Errorf("date %q: %d creation dates", date, n)
		}
	}
	if _, err := redated([]byte("%PDF-1.7\nnothing"), ""); err == nil {
		t.Error("what is no PDF is dated")
	}
}

// A drawing in a page is well-formed, as large as on paper, and its letters are in
// the fonts of the page.
func TestSketchInPage(t *testing.T) {
	f := typeface.New()
	s := sketch{w: 80, h: 40, lines: func(c *canvas.Context, f typeface.Faces, x, y, times float64) {
		c.DrawPath(x, y, canvas.Rectangle(80*times, 40*times))
		c.DrawText(x+5*times, y+5*times, canvas.NewTextLine(f.Text.Face(8*times, canvas.Black), "2.50 & more", canvas.Left))
	}}
	if w, h := s.size(40); w != 40 || h != 20 {
		t.Errorf("at most 40 wide it is %v x %v", w, h)
	}
	text, err := s.html(f, `front "A"`)
	if err != nil {
		t.Fatal(err)
	}
	d := xml.NewDecoder(strings.NewReader(text))
	said := ""
	for {
		token, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		switch e := token.(type) {
		case xml.StartElement:
			if e.Name.Local == "svg" {
				for _, a := range e.Attr {
					if a.Name.Local == "width" && a.Value != "80mm" || a.Name.Local == "aria-label" && a.Value != `front "A"` {
						t.Errorf("%s is %q", a.Name.Local, a.Value)
					}
				}
			}
		case xml.CharData:
			said += string(e)
		}
	}
	if !strings.Contains(said, "2.50 & more") || !strings.Contains(text, "Go") {
		t.Errorf("%s", text)
	}
}
