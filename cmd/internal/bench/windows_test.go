package bench

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp/kb"
)

// TestWindows works at one recipe in two windows at once: each shows what the
// other turned and keeps it when it turns a dial itself, and either undoes it.
func TestWindows(t *testing.T) {
	file := recipeFile(t, "disc.hcl", disc)
	a := visit(t, file)
	b := a.another()
	a.settle()
	b.settle()
	both := func(what, wide, gem string) {
		t.Helper()
		for _, v := range []*visitor{a, b} {
			v.until(what, fmt.Sprintf(`document.querySelector("#dial-wide").value === %q && document.querySelector("#dial-gem").value === %q`, wide, gem))
		}
	}
	both("as saved", "6", "citrine")
	weight := b.text("metal")

	a.focus("#dial-wide")
	a.press(kb.End)
	wide := a.value("#dial-wide")
	both("the dial turned in the first window", wide, "citrine")
	a.settle()
	b.settle()
	if got := b.text("metal"); got == weight || got != a.text("metal") {
		t.Errorf("wider, one window says %q and the other %q; before it was %q", a.text("metal"), got, weight)
	}
	if a.shown() != b.shown() {
		t.Error("the windows show two models")
	}

	b.focus("#dial-gem")
	b.press(kb.ArrowDown)
	both("another dial turned in the second window", wide, "amethyst")
	a.settle()
	if got := a.text("figures"); !strings.Contains(got, "amethyst") {
		t.Errorf("the first window's figures say %q", got)
	}

	// The first window undoes what the second turned, the second what the first did.
	a.click("#undo")
	both("the gem undone in the first window", wide, "citrine")
	b.click("#undo")
	both("the undoing undone", wide, "amethyst")
	b.click("#undo")
	b.click("#undo")
	both("all undone in the second window", "6", "citrine")
	for _, v := range []*visitor{a, b} {
		if !ask[bool](v, `document.getElementById("save").disabled`) {
			t.Error("something is left to be saved")
		}
	}

	// Both at the same moment: neither change is lost.
	turn := func(at time.Time, v *visitor, id, value string) {
		t.Helper()
		ask[bool](v, fmt.Sprintf(`(e => { setTimeout(() => { e.value = %q; e.dispatchEvent(new Event("input")); e.dispatchEvent(new Event("change")) }, %d - Date.now()); return true })(document.querySelector(%q))`, value, at.UnixMilli(), id))
	}
	soon := time.Now().Add(100 * time.Millisecond)
	turn(soon, a, "#dial-wide", wide)
	turn(soon, b, "#dial-gem", "amethyst")
	both("both turned", wide, "amethyst")
	for _, v := range []*visitor{a, b} {
		if len(v.protests) > 0 {
			t.Errorf("the console: %q", v.protests)
		}
	}
}
