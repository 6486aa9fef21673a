package papers

import (
	"bytes"
	"context"
	"encoding/base64"
	"image"
	"image/color"
	"image/draw"
	"slices"
	"strings"

	"github.com/tdewolff/canvas"
	"github.com/tdewolff/canvas/renderers/svg"

	"waxwright/geom/picture"
	"waxwright/recipes/build"
	"waxwright/recipes/draft"
	"waxwright/recipes/piece"
	"waxwright/recipes/typeface"
)

// Art is what the sheets show. What is nil is left out.
type Art struct {
	Quarter, Front, Side, Back art
	Drawing, Map, Keep         art
}

// art is a picture or a drawing.
type art interface {
	// size is how large it is set where it may be that wide, mm.
	size(width float64) (w, h float64)
	// draw draws it that wide, its lower left corner at x, y.
	draw(c *canvas.Context, f typeface.Faces, x, y, width float64)
	// html is the same for a page that has the fonts; alt says what it shows.
	html(f typeface.Faces, alt string) (string, error)
}

// photo is a picture without a ground: on white for print, on the page's own
// ground for the screen.
type photo struct {
	bare       *image.NRGBA
	most, tall float64 // widest and highest, mm
}

func (p photo) size(width float64) (w, h float64) {
	b := p.bare.Bounds().Size()
	ratio := float64(b.Y) / float64(b.X)
	w = min(width, p.most, p.tall/ratio)
	return w, w * ratio
}

// smaller is the photo with less room.
func (p photo) smaller(by float64) photo {
	p.most, p.tall = by*p.most, by*p.tall
	return p
}

func (p photo) draw(c *canvas.Context, _ typeface.Faces, x, y, width float64) {
	size := p.bare.Bounds().Size()
	on := image.NewRGBA(image.Rect(0, 0, size.X, size.Y))
	draw.Draw(on, on.Bounds(), image.NewUniform(color.White), image.Point{}, draw.Src)
	draw.Draw(on, on.Bounds(), p.bare, p.bare.Bounds().Min, draw.Over)
	c.DrawImage(x, y, &stencil{on, p.bare}, canvas.DPMM(float64(size.X)/width))
}

// stencil is a picture on white whose ground is left to the paper: packed as JPEG
// white comes out a shade too dark. Its colours are those on white everywhere, for
// else the packing would draw a dark edge round the piece.
type stencil struct {
	*image.RGBA
	bare *image.NRGBA
}

func (s *stencil) At(x, y int) color.Color {
	c := s.RGBAAt(x, y)
	at := s.bare.Bounds().Min.Add(image.Pt(x, y))
	return inked{c, s.bare.NRGBAAt(at.X, at.Y).A > 0}
}

// inked is a colour that is printed or not.
type inked struct {
	ink color.RGBA
	on  bool
}

func (c inked) RGBA() (r, g, b, a uint32) {
	r, g, b, _ = c.ink.RGBA()
	if c.on {
		a = 0xffff
	}
	return r, g, b, a
}

func (p photo) html(_ typeface.Faces, alt string) (string, error) {
	var b bytes.Buffer
	if err := picture.Encode(&b, p.bare); err != nil {
		return "", err
	}
	return `<img alt="` + escape(alt) + `" src="data:image/png;base64,` + base64.StdEncoding.EncodeToString(b.Bytes()) + `">`, nil
}

// sketch is a drawing of lines at its natural size.
type sketch struct {
	w, h  float64 // mm
	lines func(c *canvas.Context, f typeface.Faces, x, y, times float64)
}

func (s sketch) size(width float64) (w, h float64) {
	w = min(width, s.w)
	return w, s.h * w / s.w
}

func (s sketch) draw(c *canvas.Context, f typeface.Faces, x, y, width float64) {
	s.lines(c, f, x, y, width/s.w)
}

func (s sketch) html(f typeface.Faces, alt string) (string, error) {
	var b bytes.Buffer
	out := svg.New(&b, s.w, s.h, &svg.Options{SizeUnits: "mm"}) // the page brings the fonts
	s.lines(canvas.NewContext(out), f, 0, 0, 1)
	if err := out.Close(); err != nil {
		return "", err
	}
	text := b.String()
	if i := strings.Index(text, "<svg"); i > 0 { // a page has no head of XML inside
		text = text[i:]
	}
	return strings.Replace(text, "<svg", `<svg role="img" aria-label="`+escape(alt)+`"`, 1), nil
}

// widest is the width in pixels of the largest picture unless asked otherwise:
// 300 points an inch where it is set.
const widest = 1300

// Draw makes the pictures and drawings that the sheets asked for show.
func Draw(ctx context.Context, s Source, o Options) (*Art, error) {
	px := o.Pixels
	if px == 0 {
		px = widest
	}
	out := &Art{}
	if o.wants("job") || o.wants("customer") {
		if err := out.pictures(ctx, s, px, o.Workers); err != nil {
			return nil, err
		}
	}
	return out, out.drawings(ctx, s, o)
}

// wants says whether a sheet is asked for.
func (o Options) wants(sheet string) bool { return o.Only == "" || o.Only == sheet }

// drawings makes those of lines.
func (out *Art) drawings(ctx context.Context, s Source, o Options) (err error) {
	if o.wants("job") {
		if out.Drawing, err = drawn(ctx, draft.Views, s.Finished, o.Paper.width(), o.Paper.left()); err != nil {
			return err
		}
	}
	if o.wants("setting") && stoned(s.Finished.Piece) {
		if out.Map, err = drawn(ctx, draft.StoneMap, s.Finished, o.Paper.width(), mapHeight); err != nil {
			return err
		}
	}
	if o.wants("caster") {
		out.Keep, err = drawn(ctx, draft.KeepFree, s.Cast, keepShare*o.Paper.width(), keepHeight)
	}
	return err
}

// pictures makes those of the finished piece: a large one, and a row of three.
func (out *Art) pictures(ctx context.Context, s Source, px, workers int) error {
	shot := func(view picture.View, px int) (*image.NRGBA, error) {
		img, err := picture.Render(ctx, s.Finished.Scene(view != picture.Side), picture.Options{
			Width: px, Height: px * 4 / 5, View: view, Workers: workers, Bare: true,
		})
		if err != nil {
			return nil, err
		}
		return clean(img), nil
	}
	large, err := shot(picture.Quarter, px)
	if err != nil {
		return err
	}
	out.Quarter = photo{crop(large, content(large)), 110, 72}
	var row []*image.NRGBA
	var seen image.Rectangle
	for _, v := range []picture.View{picture.Front, picture.Side, picture.Back} {
		img, err := shot(v, px/2)
		if err != nil {
			return err
		}
		row = append(row, img)
		seen = seen.Union(content(img))
	}
	for i, to := range []*art{&out.Front, &out.Side, &out.Back} {
		*to = photo{crop(row[i], seen), 60, 38}
	}
	return nil
}

// content is the smallest rectangle that holds all that a picture shows.
func content(img *image.NRGBA) image.Rectangle {
	var r image.Rectangle
	b := img.Bounds()
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			if img.NRGBAAt(x, y).A > 0 {
				r = r.Union(image.Rect(x, y, x+1, y+1))
			}
		}
	}
	return r
}

// crop cuts a picture down; of nothing it leaves all.
func crop(img *image.NRGBA, to image.Rectangle) *image.NRGBA {
	if to.Empty() {
		return img
	}
	return img.SubImage(to).(*image.NRGBA)
}

// keepShare is the share of a sheet's width that the picture of what to keep free
// has beside its words.
const keepShare = 0.56

// Heights of drawings on a sheet, mm: of the map of stones and the picture of
// what to keep free as a rule, and of what needs a page for itself.
const (
	mapHeight  = 86.0
	keepHeight = 60.0
	pageHeight = 205.0
)

// drawn draws in the room given, mm; what does not fit there gets a page for
// itself.
func drawn(ctx context.Context, draw func(context.Context, *build.Model, draft.Options) (*draft.Drawing, error), m *build.Model, w, h float64) (art, error) {
	d, err := draw(ctx, m, draft.Options{Width: w, Height: h})
	if err != nil {
		if d, err = draw(ctx, m, draft.Options{Width: w, Height: pageHeight}); err != nil {
			return nil, err
		}
	}
	return sketch{d.W, d.H, d.Draw}, nil
}

// stoned says whether a piece has stones that something holds.
func stoned(p *piece.Piece) bool {
	return slices.ContainsFunc(p.Castings, func(c piece.Casting) bool { return len(c.Stones) > 0 })
}

// faint is an alpha that the eye does not see, of 255, but that leaves an edge on
// paper: the far tail of a shadow.
const faint = 3

// clean makes what is faint wholly transparent.
func clean(img *image.NRGBA) *image.NRGBA {
	for i := 3; i < len(img.Pix); i += 4 {
		if img.Pix[i] <= faint {
			clear(img.Pix[i-3 : i+1])
		}
	}
	return img
}
