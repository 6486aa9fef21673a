package bench

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"waxwright/geom/mesh"
	"waxwright/geom/stl"
	"waxwright/geom/threemf"

	"github.com/chromedp/chromedp/kb"
)

// TestPage goes through a session at the bench, one step after the other.
func TestPage(t *testing.T) {
	original, err := os.ReadFile(filepath.Join("..", "..", "..", "examples", "marigold", "marigold.hcl"))
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "marigold.hcl")
	write := func(text string) {
		t.Helper()
		if err := os.WriteFile(file, []byte(text), 0o640); err != nil {
			t.Fatal(err)
		}
	}
	write(string(original))
	v := visit(t, file)

	v.settle()
	v.shot("wide")
	weight, carats, model, remarks := v.text("metal"), v.text("carats"), v.shown(), v.text("remarks")
	if title := v.text("title"); title != "marigold pendant" {
		t.Errorf("the title is %q", title)
	}

	// A dial turned by its keys.
	v.focus("#dial-petals")
	v.press(kb.ArrowRight, kb.ArrowRight)
	v.until("another model", fmt.Sprintf(`document.getElementById("frame").dataset.model !== %q`, model))
	v.settle()
	for name, pair := range map[string][2]string{
		"weight": {weight, v.text("metal")}, "stones": {carats, v.text("carats")},
		"model": {model, v.shown()}, "remarks": {remarks, v.text("remarks")},
	} {
		if pair[0] == pair[1] {
			t.Errorf("%s stayed %q when a dial was turned", name, pair[0])
		}
	}
	if got := v.text("carats"); !strings.HasPrefix(got, "13,") {
		t.Errorf("with twelve petals and a heart the ticket says %q stones", got)
	}
	t.Logf("from the dial to the picture: %s", ask[[]string](v,
		`performance.getEntriesByType("measure").map(e => e.name + ", " + e.duration.toFixed() + " ms")`))

	// Undo, redo.
	v.click("#undo")
	v.until("undone", `document.getElementById("dial-petals").value === "11"`)
	v.click("#redo")
	v.until("redone", `document.getElementById("dial-petals").value === "12"`)

	// Saved: the literal changes and nothing else.
	v.click("#save")
	v.until("saved", `document.getElementById("save").disabled && document.getElementById("save").textContent === "Save to recipe"`)
	saved, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if want := strings.Replace(string(original), "value = 10\n", "value = 12\n", 1); string(saved) != want {
		t.Errorf("saved was\n%s\nand not\n%s", saved, want)
	}

	// Edited outside.
	edited := strings.Replace(string(saved), "value = 2.5 ", "value = 2.6 ", 1)
	write(edited)
	v.until("the outside edit", `document.getElementById("dial-petal_size").value === "2.6"`)
	v.settle()

	// A fault, while the last good piece stays.
	model = v.shown()
	write(strings.Replace(string(saved), "across    =", "accross   =", 1))
	v.until("the fault", `!document.getElementById("faults-section").hidden`)
	line := 1 + strings.Count(string(saved)[:strings.Index(string(saved), "across    =")], "\n")
	if got := v.text("faults"); !strings.Contains(got, "accross") || !strings.Contains(got, fmt.Sprintf("marigold.hcl:%d:", line)) {
		t.Errorf("the fault in line %d is told as %q", line, got)
	}
	if v.shown() != model {
		t.Error("the last good piece went away")
	}
	v.shot("fault")
	write(edited)
	v.until("the mended recipe", `document.getElementById("faults-section").hidden`)
	v.settle()

	v.measure()
	v.remark()
	v.look()

	v.takeAway()
	v.tab()
	v.narrow()
	v.tab()
	v.shot("narrow")
	if wide := ask[int](v, "document.documentElement.scrollWidth"); wide > 390 {
		t.Errorf("at 390 px the page is %d px wide", wide)
	}

	v.mu.Lock()
	defer v.mu.Unlock()
	if len(v.foreign) > 0 {
		t.Errorf("requests that leave the machine: %q", v.foreign)
	}
	if len(v.protests) > 0 {
		t.Errorf("the console: %q", v.protests)
	}
}

// takeAway clicks all files that the page offers, and reads what comes. What is
// for the caster is one body, in whichever format.
func (v *visitor) takeAway() {
	v.Helper()
	names := ask[[]string](v, `[...document.querySelectorAll("#downloads a")].map(a => a.getAttribute("download"))`)
	volumes := map[string]float64{}
	kinds := map[string]bool{}
	for _, name := range names {
		data := v.download(fmt.Sprintf(`#downloads a[download=%q]`, name))
		kinds[filepath.Ext(name)] = true
		var err error
		switch filepath.Ext(name) {
		case ".3mf":
			var read *threemf.Model
			if read, err = threemf.Parse(data, threemf.Limits{}); err == nil {
				for _, o := range read.Objects {
					volumes[".3mf"] += o.Mesh.Volume()
				}
			}
		case ".stl":
			var read *mesh.Mesh
			if read, err = stl.Parse(data, stl.Limits{}); err == nil {
				volumes[".stl"] += read.Volume()
			}
		case ".png":
			var img image.Image
			if img, err = png.Decode(bytes.NewReader(data)); err == nil && plain(img) {
				err = errors.New("it shows nothing")
			}
		case ".pdf":
			if !bytes.HasPrefix(data, []byte("%PDF-1.")) || !bytes.HasSuffix(bytes.TrimSpace(data), []byte("%%EOF")) {
				err = errors.New("it is no PDF, or not all of one")
			}
		}
		if err != nil {
			v.Errorf("%s, %d bytes, as it was downloaded: %v", name, len(data), err)
		}
	}
	for _, kind := range []string{".3mf", ".stl", ".png", ".pdf"} {
		if !kinds[kind] {
			v.Errorf("no %s among what can be taken away: %q", kind, names)
		}
	}
	if a, b := volumes[".3mf"], volumes[".stl"]; a <= 0 || math.Abs(a-b) > 1e-4*a {
		v.Errorf("as 3MF the castings have %v mm3, as STL %v", a, b)
	}
}

// plain says whether a picture has one colour only.
func plain(img image.Image) bool {
	box := img.Bounds()
	first := img.At(box.Min.X, box.Min.Y)
	for y := box.Min.Y; y < box.Max.Y; y++ {
		for x := box.Min.X; x < box.Max.X; x++ {
			if img.At(x, y) != first {
				return false
			}
		}
	}
	return true
}

// shown returns the name of the model that is drawn.
func (v *visitor) shown() string {
	v.Helper()
	return ask[string](v, `document.getElementById("frame").dataset.model ?? ""`)
}

// measure measures the wire of the bail: a ring of round wire, through which the
// way straight in leads through the middle of the wire, wherever one begins.
func (v *visitor) measure() {
	v.Helper()
	const wire, tolerance = 1.2, 0.03 // mm; facets of a mesh that is exact to 0.01 lean a little
	v.click(`button[data-side="front"]`)
	v.click(`input[name="measure"][value="wall"]`)
	v.until("the flight", `document.getElementById("measured").textContent !== ""`)
	middle := ask[float64](v, `document.getElementById("canvas").clientWidth / 2`)
	height := ask[float64](v, `document.getElementById("canvas").clientHeight`)
	for y := 10.0; ; y += 12 {
		if y > height {
			v.Fatal("no bail above the middle of the drawing")
		}
		v.pointAt(middle, y, false)
		if strings.HasPrefix(v.text("part"), "bail.loop, line ") {
			v.pointAt(middle, y+24, true)
			break
		}
	}
	said := v.text("measured")
	v.shot("measured")
	found := regexp.MustCompile(`^([0-9.]+) mm across the wall, bail`).FindStringSubmatch(said)
	if found == nil {
		v.Fatalf("across the wire of the bail: %q", said)
	}
	if mm, _ := strconv.ParseFloat(found[1], 64); mm < wire-tolerance || mm > wire+tolerance {
		v.Errorf("the wire of the bail measures %v mm, not %v", mm, wire)
	}
	v.click(`input[name="measure"][value="off"]`)
}

// remark chooses a remark, which marks its place.
func (v *visitor) remark() {
	v.Helper()
	v.click(".remark")
	v.until("the mark", `document.querySelector("#marks .pin.strong") !== null`)
	v.shot("remark")
}

// look tries all ways of looking; what is wrong shows as an error on the console.
func (v *visitor) look() {
	v.Helper()
	v.click("#walls")
	v.until("the legend of walls", `document.querySelectorAll("#legend .patch").length > 0`)
	v.focus("#canvas")
	v.press("1", "c", "]", "x", "g", "+", kb.ArrowLeft, "p", "t")
	v.until("the other state", `document.querySelector("#cut-axis").value === "y"`)
	v.settle()
	v.shot("cut")
	v.press("w", "c", "g", "5", "s", "s", "h", "h", kb.Escape)
}

// controls lists what can be reached by Tab: of a group of radio buttons one.
const controls = `[...document.querySelectorAll("a[href], button, input, select, summary, [tabindex='0']")].filter(e =>
	!e.disabled && e.checkVisibility() && !(e.type === "radio" && !e.checked))`

// tab goes through the page by keyboard alone: every control is reached, has a
// name, and shows that it has the focus. It begins anew when remarks are told
// anew meanwhile: cures come late.
func (v *visitor) tab() {
	v.Helper()
	var missed []string
	for range 3 {
		if missed = v.missed(); len(missed) == 0 {
			return
		}
	}
	v.Errorf("Tab does not reach %s", missed)
}

// missed goes through the page by Tab and returns what it did not reach.
func (v *visitor) missed() []string {
	v.Helper()
	ask[int](v, `document.body.tabIndex = -1; document.body.focus(); document.body.removeAttribute("tabindex");
		`+controls+`.forEach((e, i) => e.dataset.stop = i); 0`)
	count := ask[int](v, controls+".length")
	var reached []string
	for range count + 2 {
		v.press(kb.Tab)
		at := ask[[]string](v, `(e => [e.dataset.stop ?? "", e.labels?.[0]?.textContent || e.ariaLabel || e.textContent, getComputedStyle(e).outlineStyle, e.outerHTML.slice(0, 90)])(document.activeElement)`)
		if at[0] == "" {
			break // past the last
		}
		if slices.Contains(reached, at[0]) {
			break
		}
		reached = append(reached, at[0])
		if strings.TrimSpace(at[1]) == "" {
			v.Errorf("a control without a name: %s", at[3])
		}
		if at[2] == "none" {
			v.Errorf("a control that does not show its focus: %s", at[3])
		}
	}
	return ask[[]string](v, fmt.Sprintf(`%s.filter(e => !%s.includes(e.dataset.stop)).map(e => e.outerHTML.slice(0, 90))`, controls, quoted(reached)))
}

func quoted(all []string) string { return "[" + `"` + strings.Join(all, `","`) + `"]` }
