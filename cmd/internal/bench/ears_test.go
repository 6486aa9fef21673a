package bench

import (
	"bytes"
	"fmt"
	"image/png"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// pairOf is a plate of 12 by 8 mm with a bezel on its right, and its mirror image.
const pairOf = `piece "cards" {
  finish = "as-cast"
  pair   = "mirrored"
}

dial "wide" {
  value = 12
  range = [12, 16]
}

plate "card" {
  form      = "path"
  path      = "M0 0H12V8H0Z"
  across    = dial.wide
  thickness = 1.2
}

stones "one" {
  layout = "one"
  gem    = "citrine"
  size   = 2.5
  on     = plate.card
  at     = 90
  out    = 3.5
}

bezel "rim" {
  on    = plate.card
  holds = stones.one
  wall  = 0.6
}
`

// TestBothEars looks at both ears of a pair: the other one has the same parts,
// measures and tracing, and the whole stays in view when the sheet changes.
func TestBothEars(t *testing.T) {
	file := recipeFile(t, "cards.hcl", pairOf)
	v := visit(t, file)
	v.settle()
	if !ask[bool](v, `document.getElementById("castings-line").hidden`) {
		t.Errorf("of the one casting that is drawn the page offers %q", v.text("castings"))
	}
	e := v.ears()
	if got := e.part(5.1, 0); !strings.HasPrefix(got, "bezel.rim, line ") {
		t.Errorf("on the rim of the first ear the page names %q", got)
	}
	v.click("#pair")
	e = v.ears()
	v.shot("ears")
	rim := e.part(5.1, 0)
	if other := e.part(e.there(5.1), 0); !strings.HasPrefix(rim, "bezel.rim, line ") || other != rim {
		t.Errorf("on the rims of the two ears the page names %q and %q", rim, other)
	}
	card := e.part(-3, 0)
	if other := e.part(e.there(-3), 0); !strings.HasPrefix(card, "plate.card, line ") || other != card {
		t.Errorf("on the plates of the two ears the page names %q and %q", card, other)
	}
	if got := e.part((e.there(6)+6)/2, 0); got != "" {
		t.Errorf("between the ears the page names %q", got)
	}

	v.click(`input[name="measure"][value="wall"]`)
	e.click(e.there(-3), 0)
	if got := v.text("measured"); !strings.HasPrefix(got, "1.20 mm across the wall, plate.card") {
		t.Errorf("across the plate of the other ear: %q", got)
	}
	v.click(`input[name="measure"][value="points"]`)
	e.click(-5.9, 3.9)
	e.click(e.there(-5.9), 3.9)
	v.shot("ears-measured")
	said := v.text("measured")
	found := regexp.MustCompile(`^([0-9.]+) mm straight, from a corner to a corner`).FindStringSubmatch(said)
	if found == nil {
		t.Fatalf("from ear to ear: %q", said)
	}
	if mm, _ := strconv.ParseFloat(found[1], 64); mm < e.there(-6)+6-0.011 || mm > e.there(-6)+6+0.011 {
		t.Errorf("from ear to ear the page measures %v mm, not %v", mm, e.there(-6)+6)
	}
	v.click(`input[name="measure"][value="off"]`)

	// The saved piece over the changed one, on both.
	v.focus("#dial-wide")
	v.press(kb.End)
	v.settle()
	e = v.ears()
	bare := v.picture()
	v.click("#ghost")
	v.rest()
	v.shot("ears-ghost")
	if left, right := v.changed(bare, v.picture()); left == 0 || right == 0 || left > 2*right || right > 2*left {
		t.Errorf("the saved piece over it changes %d pixels of the left ear and %d of the right", left, right)
	}
	v.click("#ghost")

	for _, shape := range [][2]int64{{1100, 500}, {620, 900}, {390, 844}} {
		v.do("another sheet", chromedp.EmulateViewport(shape[0], shape[1]))
		v.rest()
		v.shot(fmt.Sprintf("ears-%d", shape[0]))
		w, h := e.fill()
		if most := max(w, h); most > 1 || most < 0.6 {
			t.Errorf("on a sheet of %v the pair takes %.2f of the width and %.2f of the height", shape, w, h)
		}
	}
	if len(v.protests) > 0 {
		t.Errorf("the console: %q", v.protests)
	}
}

// pairSeen is where things of a pair are on the drawing, seen from the front.
type pairSeen struct {
	*visitor
	box  []float64
	twin []float64
}

// ears looks from the front.
func (v *visitor) ears() pairSeen {
	v.Helper()
	_, _, _, box := v.frontal("front")
	twin := ask[[]float64](v, `fetch("/api/model/" + document.getElementById("frame").dataset.model).then(r => r.arrayBuffer()).then(b =>
		JSON.parse(new TextDecoder().decode(new Uint8Array(b, 8, new DataView(b).getUint32(4, true)))).twin)`)
	return pairSeen{v, box, twin}
}

// there is where a place of the first ear lies on the other, mm to the right.
func (e pairSeen) there(x float64) float64 { return e.twin[0]*x + e.twin[12] }

// whole is the stretch from left to right that is in view, mm.
func (e pairSeen) whole() (low, high float64) {
	low, high = e.box[0], e.box[3]
	if ask[bool](e.visitor, `document.getElementById("pair").checked`) {
		low, high = min(low, e.there(low), e.there(high)), max(high, e.there(low), e.there(high))
	}
	return low, high
}

// at is where a place in the middle of the depth is on the canvas, CSS pixels.
func (e pairSeen) at(x, y float64) (float64, float64) {
	scale := ask[float64](e.visitor, `document.getElementById("scale-bar").getBoundingClientRect().width / parseFloat(document.getElementById("scale-text").textContent)`)
	size := ask[[]float64](e.visitor, `(c => [c.clientWidth, c.clientHeight])(document.getElementById("canvas"))`)
	low, high := e.whole()
	return size[0]/2 + (x-(low+high)/2)*scale, size[1]/2 - (y-(e.box[1]+e.box[4])/2)*scale
}

// part is what the page names there.
func (e pairSeen) part(x, y float64) string {
	px, py := e.at(x, y)
	e.pointAt(px, py, false)
	return e.text("part")
}

func (e pairSeen) click(x, y float64) {
	px, py := e.at(x, y)
	e.pointAt(px, py, true)
}

// fill is how much of the drawing's width and height the whole takes.
func (e pairSeen) fill() (w, h float64) {
	low, high := e.whole()
	left, top := e.at(low, e.box[4])
	right, bottom := e.at(high, e.box[1])
	size := ask[[]float64](e.visitor, `(c => [c.clientWidth, c.clientHeight])(document.getElementById("canvas"))`)
	return (right - left) / size[0], (bottom - top) / size[1]
}

// changed counts the pixels that differ between two pictures of the page, in the
// left half of the drawing and in the right.
func (v *visitor) changed(before, after []byte) (left, right int) {
	v.Helper()
	a, err := png.Decode(bytes.NewReader(before))
	if err != nil {
		v.Fatal(err)
	}
	b, err := png.Decode(bytes.NewReader(after))
	if err != nil {
		v.Fatal(err)
	}
	box := ask[[]int](v, `(r => [r.left, r.top, r.right, r.bottom].map(Math.round))(document.getElementById("canvas").getBoundingClientRect())`)
	for y := box[1]; y < box[3]; y++ {
		for x := box[0]; x < box[2]; x++ {
			if a.At(x, y) == b.At(x, y) {
				continue
			}
			if 2*x < box[0]+box[2] {
				left++
			} else {
				right++
			}
		}
	}
	return left, right
}
