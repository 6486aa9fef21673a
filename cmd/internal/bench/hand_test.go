package bench

import (
	"bytes"
	"fmt"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/accessibility"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
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
  wire       = 1
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
	at := func() string { // on the plate, to the left of the stone
		v.pointAt(x-4*scale, y+middle*scale, false)
		return v.text("part")
	}
	if got := at(); !strings.HasPrefix(got, "plate.card") {
		v.Errorf("on the plate the page names %q", got)
	}
	v.click(`input[name="casting"][value="ring"]`)
	if got := at(); got != "" {
		v.Errorf("with the link alone the page still names %q on the plate", got)
	}
	v.shot("alone")
	v.click(`input[name="casting"][value="card"]`)
	v.click(`input[name="casting"][value=""]`)
	if got := at(); !strings.HasPrefix(got, "plate.card") {
		v.Errorf("with all castings again the page names %q on the plate", got)
	}
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
	v.click("#cut")
	v.click(`input[name="measure"][value="wall"]`)
	scale, x, y, box := v.frontal("side")
	cy, cz := (box[1]+box[4])/2, (box[2]+box[5])/2
	v.do("move the cut", chromedp.SetValue(chromedp.CSS("#cut-at"), "-4"))
	ask[bool](v, `(e => { e.dispatchEvent(new Event("input", {bubbles: true})); return true })(document.getElementById("cut-at"))`)
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

// value returns what a control of the page holds.
func (v *visitor) value(selector string) string {
	v.Helper()
	return ask[string](v, fmt.Sprintf("document.querySelector(%q).value", selector))
}

// put types a number into the field of a dial.
func (v *visitor) put(dial, number string) {
	v.Helper()
	field := fmt.Sprintf(`input[aria-label="%s, as a number"]`, dial)
	v.focus(field)
	ask[bool](v, fmt.Sprintf(`(document.querySelector(%q).select(), true)`, field))
	v.press(number, kb.Enter)
}

// dials turns a dial of words, one without a range, types beyond a range, drags,
// and turns all back.
func (v *visitor) dials() {
	v.Helper()
	v.focus("#dial-gem")
	v.press(kb.ArrowDown)
	v.until("the other gem", `document.querySelector("#dial-gem").value === "amethyst"`)
	v.until("the figures of the other gem", `document.getElementById("figures").textContent.includes("amethyst")`)
	v.settle()

	weight := v.text("metal")
	v.put("hole", "4")
	v.until("the wider hole", `document.getElementById("metal").textContent !== `+strconv.Quote(weight))
	v.put("wide", "50")
	if got := v.value("#dial-wide"); got != "16" {
		v.Errorf("50 typed into a dial of 10 to 16 gives %s", got)
	}
	v.settle()

	// Dragged with the mouse from where it is to the middle of its rule.
	at := ask[[]float64](v, `(e => { e.scrollIntoView(); const r = e.getBoundingClientRect(); return [r.right - 8, r.top + r.height / 2, (r.left + r.right) / 2] })(document.getElementById("dial-wide"))`)
	model := v.shown()
	v.do("press the mouse", chromedp.MouseEvent(input.DispatchMouseEventTypeMousePressed, at[0], at[1], chromedp.ButtonLeft, chromedp.ClickCount(1)))
	for i := range 8 {
		x := at[0] + (at[2]-at[0])*float64(i+1)/8
		v.do("drag", chromedp.MouseEvent(input.DispatchMouseEventTypeMouseMoved, x, at[1], chromedp.ButtonLeft))
	}
	v.until("a coarse picture while the mouse is held", fmt.Sprintf(`document.getElementById("frame").dataset.model !== %q`, model))
	v.do("let the mouse go", chromedp.MouseEvent(input.DispatchMouseEventTypeMouseReleased, at[2], at[1], chromedp.ButtonLeft, chromedp.ClickCount(1)))
	if got := v.value("#dial-wide"); got != "13" {
		v.Errorf("in the middle of its rule a dial of 10 to 16 by 0.5 is %s", got)
	}
	v.focus("#dial-wide")
	v.press(kb.End)
	end := v.value("#dial-wide")
	v.press(kb.Home)
	if home := v.value("#dial-wide"); end != "16" || home != "10" {
		v.Errorf("End and Home turn a dial of 10 to 16 to %s and %s", end, home)
	}

	// One dial back, then all.
	v.click(`button[aria-label="wide: back to the saved 12"]`)
	if got := v.value("#dial-wide"); got != "12" {
		v.Errorf("turned back a dial is %s, not 12", got)
	}
	v.click("#reset")
	v.until("all as saved", `document.getElementById("save").disabled && document.getElementById("dial-gem").value === "citrine" && document.querySelector('[aria-label^="hole"]').value === "3"`)
	v.click("#undo")
	v.until("the reset undone", `document.getElementById("dial-gem").value === "amethyst" && document.querySelector('[aria-label^="hole"]').value === "4"`)
	v.click("#redo")
	v.until("the reset done again", `document.getElementById("save").disabled`)
	v.settle()
}

// cured presses the button of a tried cure: its dial turns, the remark goes.
func (v *visitor) cured() {
	v.Helper()
	const bezel = `[...document.querySelectorAll("#remarks .fail li")].filter(e => e.textContent.includes("bezel.rim"))`
	v.until("the fail of a thin bezel with its cure", bezel+`.some(e => e.querySelector(".cure"))`)
	v.shot("cure")
	ask[bool](v, `(`+bezel+`.find(e => e.querySelector(".cure")).querySelector(".cure").click(), true)`)
	v.until("the remark gone", bezel+`.length === 0 && document.getElementById("remarks-old").hidden`)
	if rim, _ := strconv.ParseFloat(v.value("#dial-rim"), 64); rim <= 0.2 {
		v.Errorf("cured, the rim is %v", rim)
	}
	if name := ask[string](v, `document.activeElement.id`); name != "dial-rim" {
		v.Errorf("after a cure the focus is on %q, not on its dial", name)
	}
	v.settle()
}

// refused saves what another program has changed meanwhile: the page offers to
// read the recipe again, and dials keep their turn.
func (v *visitor) refused(file string) {
	v.Helper()
	rim := v.value("#dial-rim")
	// the page believes in an older recipe, as if the change had just happened
	ask[bool](v, `(() => { const real = window.fetch; window.fetch = (at, how) => {
		if (!String(at).endsWith("/api/save")) return real(at, how);
		window.fetch = real;
		return real(at, {...how, body: JSON.stringify({...JSON.parse(how.body), revision: "0".repeat(64)})});
	}; return true })()`)
	v.click("#save")
	v.until("the notice", `document.querySelector(".notice") !== null`)
	v.shot("refused")
	if got := v.text("notices"); !strings.Contains(got, "changed on disk") || !strings.Contains(got, "Read it again") {
		v.Errorf("a refused save says %q", got)
	}
	if now, err := os.ReadFile(file); err != nil || string(now) != trial {
		v.Errorf("a refused save wrote the recipe (%v)", err)
	}
	v.click(".notice .strong")
	v.until("the notice gone", `document.querySelector(".notice") === null`)
	if got := v.value("#dial-rim"); got != rim {
		v.Errorf("after reading again the rim is %s, not %s", got, rim)
	}
	v.click("#save")
	v.until("saved", `document.getElementById("save").disabled && document.getElementById("save").textContent === "Save to recipe"`)
	want := strings.Replace(trial, "value = 0.2\n", "value = "+rim+"\n", 1)
	if now, err := os.ReadFile(file); err != nil || string(now) != want {
		v.Errorf("saved was %s (%v)", now, err)
	}
	v.settle()
}

// media has the page seen by a browser with other wishes.
func (v *visitor) media(name, value string) {
	v.Helper()
	_, err := chromedp.Call(v.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: name, Value: value}}})
	if err != nil {
		v.Fatal(err)
	}
}

// poorly lists texts whose contrast is below what WCAG 2.2, criterion 1.4.3, asks
// for at level AA: 4.5, and 3 for large ones.
const poorly = `(() => {
	const canvas = new OffscreenCanvas(1, 1).getContext("2d", {willReadFrequently: true});
	const rgba = (color) => { canvas.clearRect(0, 0, 1, 1); canvas.fillStyle = color; canvas.fillRect(0, 0, 1, 1); return [...canvas.getImageData(0, 0, 1, 1).data] };
	const over = (top, under) => top.slice(0, 3).map((c, i) => c * top[3] / 255 + under[i] * (1 - top[3] / 255));
	const light = (c) => { const [r, g, b] = c.map(x => (x /= 255) <= 0.04045 ? x / 12.92 : ((x + 0.055) / 1.055) ** 2.4); return 0.2126 * r + 0.7152 * g + 0.0722 * b };
	const ground = (e) => { const stack = []; for (let n = e; n; n = n.parentElement) stack.unshift(rgba(getComputedStyle(n).backgroundColor)); return stack.reduce((u, t) => over(t, u), rgba(getComputedStyle(document.documentElement).backgroundColor)[3] ? [255, 255, 255] : [255, 255, 255]) };
	const bad = [];
	for (const e of document.body.querySelectorAll("*")) {
		if (!e.checkVisibility() || e.closest(".unseen, :disabled, svg") || ![...e.childNodes].some(n => n.nodeType === 3 && n.textContent.trim())) continue;
		const style = getComputedStyle(e);
		const under = ground(e);
		const [a, b] = [light(over(rgba(style.color), under)), light(under)].sort((x, y) => y - x);
		const size = parseFloat(style.fontSize);
		const least = size >= 24 || size >= 18.66 && style.fontWeight >= 700 ? 3 : 4.5;
		const ratio = (a + 0.05) / (b + 0.05);
		if (ratio < least) bad.push(e.className + " " + e.textContent.trim().slice(0, 40) + " " + ratio.toFixed(2));
	}
	return bad;
})()`

// contrast looks at the contrast of all texts, by day and by night.
func (v *visitor) contrast() {
	v.Helper()
	for _, scheme := range []string{"light", "dark"} {
		v.media("prefers-color-scheme", scheme)
		v.rest()
		v.shot("trial-" + scheme)
		for _, text := range ask[[]string](v, poorly) {
			v.Errorf("%s: too little contrast: %s", scheme, text)
		}
	}
	ask[bool](v, `(document.getElementById("title").style.color = "color-mix(in srgb, CanvasText 30%, Canvas)", true)`)
	if len(ask[[]string](v, poorly)) == 0 {
		v.Error("a pale title passes")
	}
	ask[bool](v, `(document.getElementById("title").style.color = "", true)`)
}

// names walks the tree that screen readers read: controls have roles and names,
// headings come without a gap, and there is a place for what is spoken.
func (v *visitor) names() {
	v.Helper()
	tree, err := chromedp.Call(v.ctx, accessibility.GetFullAXTree, accessibility.GetFullAXTreeParams{})
	if err != nil {
		v.Fatal(err)
	}
	text := func(x *accessibility.Value) string {
		if x == nil {
			return ""
		}
		s, err := strconv.Unquote(string(x.Value))
		if err != nil {
			return string(x.Value)
		}
		return s
	}
	count := map[string]int{}
	level := 0
	for _, n := range tree.Nodes {
		role, name := text(n.Role), text(n.Name)
		if n.Ignored {
			continue
		}
		count[role]++
		switch role {
		case "button", "checkbox", "radio", "slider", "spinbutton", "combobox", "link", "application", "progressbar":
			if strings.TrimSpace(name) == "" {
				v.Errorf("a %s has no name for who listens", role)
			}
		case "heading":
			for _, p := range n.Properties {
				if string(p.Name) != "level" {
					continue
				}
				now, _ := strconv.Atoi(text(p.Value))
				if now > level+1 {
					v.Errorf("heading %q of level %d follows one of level %d", name, now, level)
				}
				level = now
			}
		}
	}
	for role, least := range map[string]int{"main": 1, "heading": 6, "slider": 3, "spinbutton": 3, "radio": 8, "checkbox": 5, "status": 1, "application": 1} {
		if count[role] < least {
			v.Errorf("who listens finds %d times %q, not %d", count[role], role, least)
		}
	}
}

// eye returns from where the piece is seen.
func (v *visitor) eye() string {
	v.Helper()
	return ask[string](v, `document.getElementById("frame").dataset.eye`)
}

// calmly changes the view for somebody who wants little motion: there is no
// flight. Without the wish there is one.
func (v *visitor) calmly() {
	v.Helper()
	flies := func(side string) bool {
		v.click(`button[data-side="` + side + `"]`)
		ask[bool](v, "new Promise(done => requestAnimationFrame(() => requestAnimationFrame(() => done(true))))")
		first := v.eye()
		v.rest()
		return first != v.eye()
	}
	v.frontal("front")
	v.media("prefers-reduced-motion", "reduce")
	if flies("back") {
		v.Error("the view flies though little motion is wanted")
	}
	v.media("prefers-reduced-motion", "no-preference")
	if !flies("top") {
		v.Error("the view does not fly: the test above shows nothing")
	}
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

// touch puts fingers on the page.
func (v *visitor) touch(kind input.DispatchTouchEventType, at ...[2]float64) {
	v.Helper()
	p := input.DispatchTouchEventParams{Type: kind, TouchPoints: []*input.TouchPoint{}}
	for i, q := range at {
		id := float64(i)
		p.TouchPoints = append(p.TouchPoints, &input.TouchPoint{X: q[0], Y: q[1], ID: &id})
	}
	if _, err := chromedp.Call(v.ctx, input.DispatchTouchEvent, p); err != nil {
		v.Fatal(err)
	}
}

// fingers turns the piece with one finger and brings it nearer with two, on a
// small screen, where a dial is turned by touch as well.
func (v *visitor) fingers() {
	v.Helper()
	v.narrow()
	ask[bool](v, `(scrollTo(0, 0), true)`)
	v.rest()
	v.shot("trial-narrow")
	box := ask[[]float64](v, `(r => [r.left + r.width / 2, r.top + r.height / 2])(document.getElementById("canvas").getBoundingClientRect())`)
	x, y := box[0], box[1]

	before := v.eye()
	v.touch(input.DispatchTouchEventTypeTouchStart, [2]float64{x, y})
	for i := range 5 {
		v.touch(input.DispatchTouchEventTypeTouchMove, [2]float64{x + 15*float64(i+1), y})
	}
	v.touch(input.DispatchTouchEventTypeTouchEnd)
	v.rest()
	if before == v.eye() {
		v.Error("one finger does not turn the piece")
	}

	scale := ask[string](v, `document.getElementById("scale-text").textContent + document.getElementById("scale-bar").getBoundingClientRect().width`)
	v.touch(input.DispatchTouchEventTypeTouchStart, [2]float64{x - 20, y}, [2]float64{x + 20, y})
	for i := range 5 {
		d := 20 + 12*float64(i+1)
		v.touch(input.DispatchTouchEventTypeTouchMove, [2]float64{x - d, y}, [2]float64{x + d, y})
	}
	v.touch(input.DispatchTouchEventTypeTouchEnd)
	v.rest()
	if now := ask[string](v, `document.getElementById("scale-text").textContent + document.getElementById("scale-bar").getBoundingClientRect().width`); now == scale {
		v.Errorf("two fingers do not bring the piece nearer: the scale stays %s", now)
	}
	v.shot("trial-fingers")

	dial := ask[[]float64](v, `(e => { e.scrollIntoView({block: "center"}); const r = e.getBoundingClientRect(); return [r.left, r.right, r.top + r.height / 2] })(document.getElementById("dial-wide"))`)
	v.touch(input.DispatchTouchEventTypeTouchStart, [2]float64{dial[1] - 10, dial[2]})
	v.touch(input.DispatchTouchEventTypeTouchEnd)
	v.until("the dial turned by touch", `Number(document.getElementById("dial-wide").value) > 14`)
	small := ask[[]string](v, `[...document.querySelectorAll("button, select, input:not([type=range]):not([type=number])")].filter(e => e.checkVisibility()).filter(e => {
		const r = (e.closest("label") ?? e).getBoundingClientRect(); return r.height < 24 || r.width < 24 }).map(e => e.outerHTML.slice(0, 80))`)
	if len(small) > 0 { // WCAG 2.2, criterion 2.5.8
		v.Errorf("too small for a finger (24 px): %s", strings.Join(small, "\n"))
	}
	v.settle()
}
