package bench

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
)

// lateness makes the page believe that the card is so many milliseconds late with
// each frame (window.late), whatever it really is.
const lateness = `window.late = -1;
(p => {
	const made = new WeakMap(), fence = p.fenceSync;
	p.fenceSync = function(...args) {
		const sync = fence.apply(this, args);
		if (sync) made.set(sync, performance.now());
		return sync;
	};
	p.getSyncParameter = function(sync) {
		return performance.now() - (made.get(sync) ?? 0) > window.late ? this.SIGNALED : this.UNSIGNALED;
	};
})(WebGL2RenderingContext.prototype); true`

// drawing is what the page tells of the last frame.
type drawing struct {
	Manner    string
	Triangles int
	Share     float64 // pixels a side for one of the canvas
	Drawn     int     // frames so far
}

func (v *visitor) drawing() drawing {
	v.Helper()
	return ask[drawing](v, `(d => ({Manner: d.manner, Triangles: +d.triangles, Share: +d.share, Drawn: +d.drawn}))(document.getElementById("frame").dataset)`)
}

// manner waits until frames are drawn in a manner.
func (v *visitor) manner(name string) drawing {
	v.Helper()
	v.until(name+" frames", fmt.Sprintf(`document.getElementById("frame").dataset.manner === %q`, name))
	return v.drawing()
}

// TestMotion turns a piece of many triangles on a card that is quick, then slow,
// then quick again. The server is ended as soon as there is a picture.
func TestMotion(t *testing.T) {
	v := visit(t, recipeFile(t, "field.hcl", field(17, 16)))
	v.until("a picture", `document.getElementById("blank").hidden`)
	v.leave()
	ask[bool](v, lateness)
	v.focus("#canvas")
	exact := v.turn("exact")

	ask[int](v, "window.late = 150")
	slow := v.turn("fine") // a second look at a slow frame, and what is drawn at rest from now on
	if slow.Triangles != exact.Triangles || slow.Share < 1 {
		t.Errorf("at rest %d triangles are drawn with %.2f pixels a side for one of the canvas, want %d with 1 or more", slow.Triangles, slow.Share, exact.Triangles)
	}

	var part string
	v.grasp(func() {
		v.manner("light")
		v.until("stand-ins", fmt.Sprintf(`document.getElementById("frame").dataset.triangles < %d`, exact.Triangles*3/4))
		light := v.drawing()
		if light.Triangles < 1000 || light.Share > 1 {
			t.Errorf("in motion %d triangles are drawn with %.2f pixels a side for one of the canvas", light.Triangles, light.Share)
		}
		v.press("p")
		if part = v.text("part"); !strings.Contains(part, ", line ") {
			t.Errorf("while it moves the cross names %q", part)
		}
		v.shot("motion")
	})
	if fine := v.manner("fine"); fine.Triangles != exact.Triangles {
		t.Errorf("at rest after motion %d triangles are drawn, want %d", fine.Triangles, exact.Triangles)
	}
	v.rest()
	v.shot("motion-rest")
	v.press("p")
	if got := v.text("part"); got != part {
		t.Errorf("the cross names %q while the piece moves and %q when it rests there", part, got)
	}

	ask[int](v, "window.late = -1")
	v.turn("exact")
	for _, p := range v.protests {
		if !strings.Contains(p, "/api/") { // the server is gone
			t.Errorf("the console: %s", p)
		}
	}
}

// turn turns the piece by keys until frames are drawn in a manner.
func (v *visitor) turn(manner string) drawing {
	v.Helper()
	v.until(manner+" frames", fmt.Sprintf(`new Promise(done => {
		const {dataset} = document.getElementById("frame");
		document.getElementById("canvas").dispatchEvent(new KeyboardEvent("keydown", {key: "ArrowLeft", bubbles: true}));
		const start = performance.now(), first = dataset.drawn;
		const look = () => {
			const there = dataset.manner === %q && dataset.drawn !== first;
			if (there || performance.now() - start > 3000) done(there);
			else setTimeout(look, 20);
		};
		look();
	})`, manner))
	return v.drawing()
}

// grasp does something while the mouse holds the piece and has moved it a little.
func (v *visitor) grasp(work func()) {
	v.Helper()
	at := ask[[]float64](v, `(r => [r.left + r.width / 2, r.top + r.height / 2])(document.getElementById("canvas").getBoundingClientRect())`)
	mouse := func(kind input.DispatchMouseEventType, dx float64) {
		v.do(string(kind), chromedp.MouseEvent(kind, at[0]+dx, at[1], chromedp.ButtonLeft, chromedp.ClickCount(1)))
	}
	mouse(chromedp.MousePressed, 0)
	for dx := range 4 {
		mouse(chromedp.MouseMoved, float64(4*dx))
	}
	work()
	mouse(chromedp.MouseReleased, 12)
}
