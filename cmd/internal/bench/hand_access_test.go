package bench

import (
	"strconv"
	"strings"

	"github.com/chromedp/cdproto/accessibility"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
)

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
