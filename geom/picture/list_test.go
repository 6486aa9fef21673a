package picture

import (
	"bytes"
	"context"
	"strings"
	"testing"

	"waxwright/geom/vec"
)

// A list stands under the piece: lines of it change nothing above them, the
// piece makes room, and long texts end before the picture does.
func TestList(t *testing.T) {
	s := scene(here(box(vec.BoxOf(vec.P{X: -1, Y: -1, Z: -1}, vec.P{X: 1, Y: 1, Z: 1})), red))
	o := Options{Width: 400, Height: 400, List: []Entry{{Label: "1", Text: "a wall"}, {Label: "2", Text: strings.Repeat("long ", 100)}}}
	cam, err := Frame(s, o)
	if err != nil {
		t.Fatal(err)
	}
	foot := 400 - listRoom(o)
	if _, low, _ := cam.Project(vec.P{Y: -1}); low > foot {
		t.Errorf("the piece reaches down to %g, the list begins at %g", low, foot)
	}
	img := render(t, s, o)
	o.List[0].Text, o.List[1].Text = "", ""
	bare := render(t, s, o)
	row := func(y int) (a, b []byte) {
		return img.Pix[y*img.Stride : (y+1)*img.Stride], bare.Pix[y*bare.Stride : (y+1)*bare.Stride]
	}
	changed := 0
	for y := range 400 {
		a, b := row(y)
		if bytes.Equal(a, b) {
			continue
		}
		changed++
		if float64(y) < foot {
			t.Fatalf("the list writes over the picture at row %d", y)
		}
		if end := 4 * 396; !bytes.Equal(a[end:], b[end:]) {
			t.Fatalf("row %d is written up to the edge", y)
		}
	}
	if changed < 10 {
		t.Errorf("%d rows are written", changed)
	}
	o.List = make([]Entry, 60)
	if _, err := Render(context.Background(), s, o); err == nil {
		t.Error("60 lines find room in 400 pixels")
	}
}
