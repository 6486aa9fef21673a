package bench

import (
	"fmt"
	"os"
	"strconv"
	"strings"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

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
