package picture

import (
	"fmt"
	"image"
	"image/color"
	"math"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gomedium"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
)

// What is drawn upon a picture: lines, round badges, and text in the Go fonts,
// which come with the program.

var (
	ink   = color.NRGBA{0x3a, 0x33, 0x2c, 0xff} // warm black
	sheet = color.NRGBA{0xfb, 0xf8, 0xf1, 0xff} // lighter than the paper
)

// pen draws on a picture.
type pen struct{ img *image.NRGBA }

// fill lays a colour over the pixels of a box by the cover that shape tells
// for the middle of each.
func (p pen) fill(x0, y0, x1, y1 float64, c color.NRGBA, shape func(x, y float64) float64) {
	r := image.Rect(int(math.Floor(x0)), int(math.Floor(y0)), int(math.Ceil(x1)), int(math.Ceil(y1))).Intersect(p.img.Rect)
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			if a := shape(float64(x)+0.5, float64(y)+0.5); a > 0 {
				over(p.img.Pix[p.img.PixOffset(x, y):], c, min(a, 1)*float64(c.A)/255)
			}
		}
	}
}

// over lays a colour over a pixel, with alpha not multiplied in.
func over(pix []uint8, c color.NRGBA, a float64) {
	below := float64(pix[3]) / 255 * (1 - a)
	all := a + below
	for k, v := range [3]uint8{c.R, c.G, c.B} {
		pix[k] = level((float64(v)*a + float64(pix[k])*below) / all)
	}
	pix[3] = level(255 * all)
}

// line draws a straight line of a width in pixels, with round ends.
func (p pen) line(ax, ay, bx, by, width float64, c color.NRGBA) {
	dx, dy := bx-ax, by-ay
	long := dx*dx + dy*dy
	w := width/2 + 1
	p.fill(min(ax, bx)-w, min(ay, by)-w, max(ax, bx)+w, max(ay, by)+w, c, func(x, y float64) float64 {
		t := 0.0
		if long > 0 {
			t = max(0, min(((x-ax)*dx+(y-ay)*dy)/long, 1))
		}
		return width/2 + 0.5 - math.Hypot(x-ax-t*dx, y-ay-t*dy)
	})
}

// badge draws a round or long badge about a middle: half its width and height
// in pixels, the ends round.
func (p pen) badge(x, y, hw, hh float64, c color.NRGBA) {
	p.line(x-(hw-hh), y, x+(hw-hh), y, 2*hh, c)
}

// box draws an upright rectangle.
func (p pen) box(x0, y0, x1, y1 float64, c color.NRGBA) {
	p.fill(x0, y0, x1, y1, c, func(x, y float64) float64 {
		return min(1, x1-x+0.5, x-x0+0.5) * min(1, y1-y+0.5, y-y0+0.5)
	})
}

// face is a font at a size.
func fontFace(bold bool, size float64) (font.Face, error) {
	fonts, err := parsed()
	if err != nil {
		return nil, err
	}
	f := fonts[0]
	if bold {
		f = fonts[1]
	}
	face, err := opentype.NewFace(f, &opentype.FaceOptions{Size: size, DPI: 72, Hinting: font.HintingNone})
	if err != nil {
		return nil, fmt.Errorf("font at %g pixels: %w", size, err)
	}
	return face, nil
}

var parsed = sync.OnceValues(func() (fonts [2]*opentype.Font, err error) {
	for i, ttf := range [][]byte{goregular.TTF, gomedium.TTF} {
		if fonts[i], err = opentype.Parse(ttf); err != nil {
			return fonts, fmt.Errorf("the font that comes with the program: %w", err)
		}
	}
	return fonts, nil
})

// write draws text; align 0 puts its left end, 0.5 its middle, 1 its right end
// at x. y is the base line.
func (p pen) write(f font.Face, text string, x, y, align float64, c color.NRGBA) {
	x -= align * width(f, text)
	d := font.Drawer{Dst: p.img, Src: image.NewUniform(c), Face: f,
		Dot: fixed.Point26_6{X: fixed.Int26_6(math.Round(x * 64)), Y: fixed.Int26_6(math.Round(y * 64))}}
	d.DrawString(text)
}

// width is the length of text in pixels.
func width(f font.Face, text string) float64 { return float64(font.MeasureString(f, text)) / 64 }

// clipped shortens text with dots until it is at most w pixels long.
func clipped(f font.Face, text string, w float64) string {
	if width(f, text) <= w {
		return text
	}
	r := []rune(text)
	for len(r) > 0 && width(f, string(r)+"…") > w {
		r = r[:len(r)-1]
	}
	return string(r) + "…"
}
