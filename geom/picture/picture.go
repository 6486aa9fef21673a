// Package picture makes shaded raster pictures of meshes: metal, faceted and
// smooth stones, and matte or painted bodies, lying on warm paper under a soft
// light tent. It needs no screen and no graphics card.
//
// Guarantees: the same scene and options give the same pixels for any number
// of workers on one kind of CPU; places land on the pixels that Frame says;
// what lies nearer hides what lies behind it; hostile sizes and meshes end in
// an error. Not guaranteed: physical correctness. Light is a likeness made to
// please, and reflections of bodies in bodies stop after one bounce.
//
// Meshes are taken to be closed and outward (see manifold): triangles that
// face away from the viewer are not drawn. Lengths are millimetres. The
// package knows colours and roughness; names of alloys and gems live above.
package picture

import (
	"context"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"

	"waxwright/geom/crew"
	"waxwright/geom/mesh"
	"waxwright/geom/vec"
)

// Item is one body of a scene.
type Item struct {
	Mesh  *mesh.Mesh
	Place vec.Place // from the mesh's coordinates to the world's, perhaps mirrored
	Look  Look
	// Normals are the surface's true normals at the corners of every triangle,
	// in the mesh's coordinates, where the maker of the mesh knows them; a zero
	// normal, or none at all, is made from the faces round the vertex.
	Normals [][3]vec.P
	// Paint overrides the look by a colour a vertex (len(Mesh.V)) or a
	// triangle (len(Mesh.T)): maps of thickness, tags. Painted bodies are matte.
	Paint []color.NRGBA
}

// Look says what a body is made of: Metal, Gem or Matte.
type Look interface{ look() }

// Metal is polished or satin metal.
type Metal struct {
	Color     color.NRGBA // of light reflected straight back
	Roughness float64     // 0 mirror ... 1 blasted; polished jewellery is about 0.12 (no source: chosen by eye)
}

// Gem is a stone that light passes through, or nearly.
type Gem struct {
	Color color.NRGBA // as seen from the front, white for a colourless stone
	// Index is the refractive index; 0 stands for 1.54 (quartz).
	Index float64
	// Fire is the spread of the index between red and violet, 0.044 for diamond.
	Fire float64
	// Cloud is 0 for a clear stone, 1 for one that lets no light through.
	Cloud float64
	// Faceted stones are drawn by following light through their flat faces;
	// the mesh must then be convex. Others have smooth faces, as cabochons.
	Faceted bool
}

// Matte is clay, wax or paper: one colour, soft light, no reflections.
type Matte struct{ Color color.NRGBA }

func (Metal) look() {}
func (Gem) look()   {}
func (Matte) look() {}

// Scene is what is pictured.
type Scene struct{ Items []Item }

// Options say how a scene is pictured. The zero Options are a front view of
// 1200 x 900 pixels.
type Options struct {
	Width, Height int // pixels; both 0 for 1200 x 900
	View          View
	Workers       int // 0 for as many as there are CPUs
	// Cut takes away all that lies beyond it; the cut faces are filled and hatched.
	Cut *Plane
	// Ground is where the paper lies; nil puts it behind the piece (under it in
	// the quarter view). What reaches through the paper is hidden.
	Ground *Plane
	// Bare leaves the paper away: pixels that show nothing are transparent.
	Bare bool
	// Box is what is framed; nil frames all items. A shared box gives a family
	// of pictures one scale.
	Box *vec.Box
	// Pins are numbers pinned to places.
	Pins []Pin
	// Legend explains the colours of painted items.
	Legend *Legend
	// List says what the pins stand for, under the picture.
	List []Entry
}

const (
	defaultWidth, defaultHeight = 1200, 900
	minSide, maxSide            = 16, 8192   // pixels
	maxPixels                   = 40_000_000 // a picture of 160 MB
	maxTriangles                = 4_000_000  // a gigabyte of working memory
	maxReach                    = 100_000.0  // mm: coordinates beyond it are a mistake
)

// ErrEmpty is returned for a scene without a triangle.
var ErrEmpty = errors.New("picture of nothing: the scene has no triangles")

// Render pictures the scene. It fails for an empty scene, for meshes with
// coordinates that are not finite or indices out of range, for sizes out of
// 16 to 8192 pixels, and when ctx ends.
func Render(ctx context.Context, s Scene, o Options) (*image.NRGBA, error) {
	o, err := o.checked()
	if err != nil {
		return nil, err
	}
	sp, err := gather(s, o, true)
	if err != nil {
		return nil, err
	}
	cam, err := frame(sp, o)
	if err != nil {
		return nil, err
	}
	st := newStage(sp, cam, o)
	if err := st.prepare(ctx); err != nil {
		return nil, err
	}
	img := image.NewNRGBA(image.Rect(0, 0, o.Width, o.Height))
	if err := st.paint(ctx, img); err != nil {
		return nil, err
	}
	if err := annotate(img, st, o); err != nil {
		return nil, err
	}
	return img, nil
}

// Frame returns the camera that Render uses for the scene and options, so that
// callers can place labels.
func Frame(s Scene, o Options) (Camera, error) {
	o, err := o.checked()
	if err != nil {
		return Camera{}, err
	}
	sp, err := gather(s, o, false)
	if err != nil {
		return Camera{}, err
	}
	return frame(sp, o)
}

// Encode writes the picture as PNG, always with the same settings: quickly, for
// the last quarter of the size would take as long as the picture itself.
func Encode(w io.Writer, img image.Image) error {
	e := png.Encoder{CompressionLevel: png.BestSpeed}
	if err := e.Encode(w, img); err != nil {
		return fmt.Errorf("writing the picture: %w", err)
	}
	return nil
}

// checked returns o with its defaults filled in, or what is wrong with it.
func (o Options) checked() (Options, error) {
	if o.Width == 0 && o.Height == 0 {
		o.Width, o.Height = defaultWidth, defaultHeight
	}
	if min(o.Width, o.Height) < minSide || max(o.Width, o.Height) > maxSide || o.Width*o.Height > maxPixels {
		return o, fmt.Errorf("picture size %d x %d is out of range: sides of %d to %d pixels, %d pixels in all",
			o.Width, o.Height, minSide, maxSide, maxPixels)
	}
	if o.View < Front || o.View > Quarter {
		return o, fmt.Errorf("unknown view %d", int(o.View))
	}
	for _, p := range []struct {
		name  string
		plane *Plane
	}{{"cut", o.Cut}, {"ground", o.Ground}} {
		if p.plane == nil {
			continue
		}
		l := p.plane.Normal.Len()
		if !(l > 0) || math.IsInf(l, 0) || math.IsNaN(p.plane.Offset) || math.IsInf(p.plane.Offset, 0) {
			return o, fmt.Errorf("%s plane %+v has no direction", p.name, *p.plane)
		}
		u := Plane{p.plane.Normal.Unit(), p.plane.Offset / l}
		if p.name == "cut" {
			o.Cut = &u
		} else {
			o.Ground = &u
		}
	}
	if o.Box != nil && (o.Box.IsEmpty() || !o.Box.Finite()) {
		return o, fmt.Errorf("box to frame %v is empty or not finite", *o.Box)
	}
	if err := o.checkLabels(); err != nil {
		return o, err
	}
	o.Workers = crew.Size(o.Workers)
	return o, nil
}
