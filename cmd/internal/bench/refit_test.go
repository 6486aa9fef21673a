package bench

import (
	"testing"

	"github.com/chromedp/chromedp/kb"
)

// scale is how large a mm is drawn, pixels.
func (v *visitor) scale() float64 {
	v.Helper()
	return ask[float64](v, `document.getElementById("scale-bar").getBoundingClientRect().width / parseFloat(document.getElementById("scale-text").textContent)`)
}

// TestRefit turns a dial until the piece no longer fits: the whole comes into view
// again, but not where a hand has changed the view.
func TestRefit(t *testing.T) {
	v := visit(t, recipeFile(t, "disc.hcl", disc))
	v.settle()
	v.put("wide", "6.5")
	v.settle()
	v.rest()
	before := v.scale()
	v.put("wide", "7")
	v.settle()
	v.rest()
	if now := v.scale(); now != before {
		t.Errorf("a little wider, the view changes: from %g to %g pixels a mm", before, now)
	}
	v.put("wide", "12")
	v.settle()
	v.rest()
	large := v.scale()
	if large > 0.8*before {
		t.Errorf("twice as wide, the piece is drawn at %g pixels a mm, before at %g", large, before)
	}

	v.put("wide", "4")
	v.settle()
	v.click(`button[data-side="front"]`)
	v.focus("#canvas")
	v.press(kb.ArrowLeft)
	v.rest()
	before = v.scale()
	v.put("wide", "12")
	v.settle()
	v.rest()
	if now := v.scale(); now != before {
		t.Errorf("turned by hand, the view changes with the piece: from %g to %g pixels a mm", before, now)
	}
}
