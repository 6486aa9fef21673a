package bench

import (
	"bytes"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// trial is a plate with square corners, lopsided, so that it hangs aslant, with
// a link as a second casting, dials of every kind, and a remark that a dial
// cures.
const trial = `piece "trial" {
  finish = "as-cast"
}

dial "wide" {
  value = 12
  range = [10, 16]
  step  = 0.5
  note  = "across"
}

dial "gem" {
  value   = "citrine"
  choices = ["citrine", "amethyst"]
}

dial "hole" {
  value = 3 # no range
}

dial "rim" {
  value = 0.2
  range = [0.2, 1]
}

plate "card" {
  form      = "path"
  path      = "M0 0H12V8H0Z"
  across    = dial.wide
  thickness = 1.2
}

opening "eye" {
  in     = plate.card
  form   = "circle"
  across = dial.hole
  at     = 90
  out    = 3.5
}

stones "one" {
  layout = "one"
  gem    = dial.gem
  size   = 2.5
  on     = plate.card
}

bezel "rim" {
  on    = plate.card
  holds = stones.one
  wall  = dial.rim
}

bail "loop" {
  on   = plate.card
  at   = 0
  bore = 3
}

link "ring" {
  hangs_from = plate.card
  wire       = 0.8
  bore       = 3
}
`

// TestByHand does with mouse, fingers and keys what a session at the bench may
// need besides what TestPage does.
func TestByHand(t *testing.T) {
	file := recipeFile(t, "trial.hcl", trial)
	v := visit(t, file)
	v.settle()
	v.shot("trial")

	v.castings()
	v.points()
	v.sawn()
	v.hangs()
	v.dials()
	v.cured()
	v.refused(file)
	v.contrast()
	v.names()
	v.calmly()
	v.restarted()
	v.fingers()

	for _, p := range v.protests {
		if !strings.Contains(p, "409") && !strings.Contains(p, "/api/events") { // the browser tells of refusals and of a server that is gone, too
			t.Errorf("the console: %s", p)
		}
	}
}

// frontal looks from a side and returns how many pixels a millimetre has and
// where on the drawing the middle of the piece's box is, and the box.
func (v *visitor) frontal(side string) (scale, x, y float64, box []float64) {
	v.Helper()
	v.click(`button[data-side="` + side + `"]`)
	v.rest()
	scale = v.scale()
	size := ask[[]float64](v, `(c => [c.clientWidth, c.clientHeight])(document.getElementById("canvas"))`)
	box = ask[[]float64](v, `fetch("/api/model/" + document.getElementById("frame").dataset.model).then(r => r.arrayBuffer()).then(b =>
		JSON.parse(new TextDecoder().decode(new Uint8Array(b, 8, new DataView(b).getUint32(4, true)))).box)`)
	return scale, size[0] / 2, size[1] / 2, box
}

// rest waits until the drawing no longer changes.
func (v *visitor) rest() {
	v.Helper()
	last := []byte(nil)
	for range 40 {
		v.still()
		now := v.picture()
		if bytes.Equal(now, last) {
			return
		}
		last = now
	}
	v.Fatal("the drawing does not come to rest")
}

// picture returns what the drawing shows.
func (v *visitor) picture() []byte {
	v.Helper()
	png, err := chromedp.Run(v.ctx, chromedp.CaptureScreenshot())
	if err != nil {
		v.Fatal(err)
	}
	return png
}

// castings shows one casting alone, then all again.
func (v *visitor) castings() {
	v.Helper()
	scale, x, y, box := v.frontal("front")
	middle := (box[1] + box[4]) / 2
	at := func(when, want string) { // on the plate, to the left of the stone
		v.Helper()
		v.pointAt(x-4*scale, y+middle*scale, false)
		v.until(when+" the page names "+strconv.Quote(want)+" on the plate",
			`((t, want) => want ? t.startsWith(want) : t === "")(document.getElementById("part").textContent.trim(), `+strconv.Quote(want)+`)`)
	}
	at("with all castings", "plate.card")
	v.alone("ring")
	at("with the link alone", "")
	v.shot("alone")
	v.alone("card")
	v.alone("")
	at("with all castings again", "plate.card")
}

// alone chooses which casting is shown, "" for all.
func (v *visitor) alone(casting string) {
	v.Helper()
	v.tick(`input[name="casting"][value="` + casting + `"]`)
}

// points measures from corner to corner of the plate, aimed at a little beside
// them: corners draw the points to them.
func (v *visitor) points() {
	v.Helper()
	scale, x, y, box := v.frontal("front")
	cx, cy := (box[0]+box[3])/2, (box[1]+box[4])/2
	v.click(`input[name="measure"][value="points"]`)
	v.pointAt(x+(-6-cx)*scale+3, y-(4-cy)*scale+3, true)
	if got := v.text("measured"); !strings.Contains(got, "in a corner") {
		v.Errorf("the first point lies elsewhere: %q", got)
	}
	v.pointAt(x+(6-cx)*scale-3, y-(-4-cy)*scale-3, true)
	v.shot("points")
	said := v.text("measured")
	found := regexp.MustCompile(`^([0-9.]+) mm straight, from a corner to a corner \(([0-9.]+) across, ([0-9.]+) up, ([0-9.]+) deep\)`).FindStringSubmatch(said)
	if found == nil {
		v.Fatalf("from corner to corner: %q", said)
	}
	for i, want := range []float64{14.422, 12, 8, 0} { // Pythagoras
		if got, _ := strconv.ParseFloat(found[i+1], 64); got < want-0.011 || got > want+0.011 {
			v.Errorf("figure %d from corner to corner is %v, want %v", i, got, want)
		}
	}
	v.click(`input[name="measure"][value="off"]`)
}

// sawn measures the plate on the face of a cut through it.
func (v *visitor) sawn() {
	v.Helper()
	v.tick("#cut")
	v.click(`input[name="measure"][value="wall"]`)
	scale, x, y, box := v.frontal("side")
	cy, cz := (box[1]+box[4])/2, (box[2]+box[5])/2
	// to within a step, from where the model begins
	ask[bool](v, `(e => { e.value = "-4"; e.dispatchEvent(new Event("input", {bubbles: true})); return true })(document.getElementById("cut-at"))`)
	v.rest()
	v.pointAt(x-(-0.6-cz)*scale, y-(3-cy)*scale, true)
	v.shot("sawn")
	said := v.text("measured")
	found := regexp.MustCompile(`^([0-9.]+) mm across the wall where it is cut, plate\.card`).FindStringSubmatch(said)
	if found == nil {
		v.Fatalf("across the plate where it is cut: %q", said)
	}
	if mm, _ := strconv.ParseFloat(found[1], 64); mm < 1.19 || mm > 1.21 {
		v.Errorf("the plate is %v mm thick where it is cut, not 1.2", mm)
	}
	v.click("#cut")
	v.click(`input[name="measure"][value="off"]`)
}

// hangs shows the piece as it hangs: lopsided, it is turned about the bail.
func (v *visitor) hangs() {
	v.Helper()
	v.frontal("front")
	straight := v.picture()
	v.click("#hang")
	v.rest()
	v.shot("hangs")
	if bytes.Equal(straight, v.picture()) {
		v.Error("a lopsided piece hangs straight")
	}
	v.click("#hang")
}

// restarted ends the server and starts another: the page says so, and goes on
// with the other; with dials turned it asks first.
func (v *visitor) restarted() {
	v.Helper()
	port, err := strconv.Atoi(v.base[strings.LastIndex(v.base, ":")+1:])
	if err != nil {
		v.Fatal(err)
	}
	v.stop()
	v.until("that the server is gone", `document.getElementById("work").textContent === "the server is gone"`)
	ask[bool](v, `(window.old = true)`)
	v.start(port)
	v.until("the page loaded again", `window.old === undefined`)
	v.settle()
	v.focus("#dial-wide")
	v.press(kb.ArrowRight)
	v.until("a dial turned at the new server", `document.getElementById("work").textContent.startsWith("exact") && document.getElementById("figures").textContent.includes("12.50")`)

	v.stop()
	v.until("that the server is gone again", `document.getElementById("work").textContent === "the server is gone"`)
	v.start(port)
	v.until("the question", `document.getElementById("notices").textContent.includes("started anew")`)
	v.shot("restarted")
	ask[bool](v, `(window.old = true)`)
	v.click(".notice .strong")
	v.until("the page loaded on demand", `window.old === undefined`)
	v.settle()
}
