package picture

import (
	"fmt"
	"image/color"

	"golang.org/x/image/font"
)

// Entry is a line of the list under a picture: what a pin's label stands for.
type Entry struct {
	Label string
	Color color.NRGBA // of its badge; zero for ink
	Text  string      // cut off where the picture ends
}

// linePitch is the height of a line of the list, in heights of its letters.
const linePitch = 2.1

// LineHeight returns what one line of a list takes of a picture's height, in
// pixels; the list has a margin of one more.
func LineHeight(o Options) float64 { return linePitch * labelSize(o) }

// listRoom is what the list takes of the picture's height, in pixels.
func listRoom(o Options) float64 {
	if len(o.List) == 0 {
		return 0
	}
	return (float64(len(o.List)) + 1) * LineHeight(o)
}

// drawList writes the list at the foot of the picture.
func drawList(p pen, o Options, small, bold font.Face) {
	s := labelSize(o)
	wide := 0.92 * s
	for _, e := range o.List {
		wide = max(wide, width(bold, e.Label)/2+0.55*s)
	}
	y := float64(o.Height) - listRoom(o) + 0.5*linePitch*s
	for _, e := range o.List {
		x := 1.5*s + wide
		if e.Label != "" {
			p.badge(x, y, wide, 0.92*s, Pin{Color: e.Color}.ink())
			p.write(bold, e.Label, x, y+0.36*s, 0.5, sheet)
		}
		x += wide + 0.8*s
		p.write(small, clipped(small, e.Text, float64(o.Width)-x-s), x, y+0.36*s, 0, ink)
		y += linePitch * s
	}
}

// checkList reports a list that leaves no room for the picture.
func (o Options) checkList() error {
	if listRoom(o) > 0.6*float64(o.Height) {
		return fmt.Errorf("a picture %d pixels high has no room for a list of %d lines", o.Height, len(o.List))
	}
	return nil
}
