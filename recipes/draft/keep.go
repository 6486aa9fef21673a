package draft

import (
	"context"
	"fmt"
	"image"
	"image/color"
	"math"

	"github.com/tdewolff/canvas"

	"waxwright/geom/mesh"
	"waxwright/geom/picture"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
	"waxwright/recipes/build"
	"waxwright/recipes/piece"
)

// Surface is why a bit of the surface is to be kept free of supports, sprues
// and their marks.
type Surface uint8

// The kinds of surface; where several hold the first does.
const (
	Free  Surface = iota // supports and sprues may stand here
	Seat                 // a stone will touch it
	Hole                 // the wall of a hole, the bore of a loop
	Post                 // it goes through the ear
	Front                // it is seen from the front
)

// surfaces are what the legend says of each, and its colour: chosen to differ
// in lightness too.
var surfaces = [...]struct {
	words string
	color color.NRGBA
}{
	Free:  {"supports and sprues may stand here", color.NRGBA{R: 206, G: 206, B: 202, A: 255}},
	Seat:  {"keep free: stones sit here", color.NRGBA{R: 168, G: 40, B: 40, A: 255}},
	Hole:  {"keep free: holes and bores", color.NRGBA{R: 92, G: 66, B: 140, A: 255}},
	Post:  {"keep free: goes through the ear", color.NRGBA{R: 30, G: 120, B: 124, A: 255}},
	Front: {"keep free: seen from the front", color.NRGBA{R: 236, G: 170, B: 92, A: 255}},
}

// Surfaces sorts the triangles of a casting's mesh (Model.Cast) by what is to
// be kept free. A triangle is judged by its middle; it belongs to a seat if all of it
// does.
func Surfaces(m *build.Model, c *build.Casting) []Surface {
	s := surveyor{m: m, mesh: m.Cast(c), worn: c.Worn[0]}
	s.tree = mesh.NewTree(s.mesh)
	own := s.worn.Inverse().After(m.Worn(c)) // from the casting's own frame to the mesh's
	for _, st := range m.Piece.Castings[c.Of].Stones {
		at := own.After(st.Place)
		s.seats = append(s.seats, seat{st.Cut.Seat(0), at.Inverse(), at.Dir(vec.P{Z: 1})})
	}
	for _, o := range m.Piece.Owners {
		s.places = append(s.places, own.After(o.Place))
	}
	all := make([]Surface, len(s.mesh.T))
	for t := range all {
		all[t] = s.sort(t)
	}
	return all
}

// surveyor sorts the triangles of one casting.
type surveyor struct {
	m      *build.Model
	mesh   *mesh.Mesh
	tree   *mesh.Tree
	worn   vec.Place
	seats  []seat
	places []vec.Place // of owners, in the frame of the mesh
}

// seat is the room of one stone.
type seat struct {
	room sdf.Field
	into vec.Place // from the mesh to the stone's frame
	axis vec.P
}

func (k *seat) near(p vec.P) bool { return k.room.Dist(k.into.Point(p)) < nearStone }

// nearStone is how close to a stone metal has to lie for the stone to touch it once
// set, mm: more than the air in a seat and the growth for a finish together
// (common practice, no source).
const nearStone = 0.2

// seenFrom is how much a face may turn away from the viewer and still be what
// is seen from the front: 75 degrees, as its cosine.
const seenFrom = 0.26

func (s *surveyor) sort(t int) Surface {
	a, b, c := s.mesh.Corners(t)
	p := a.Add(b).Add(c).Mul(1.0 / 3)
	n := b.Sub(a).Cross(c.Sub(a)).Unit()
	role, owner := piece.PlateRole, -1
	if len(s.mesh.Tag) > t && s.mesh.Tag[t] > 0 && int(s.mesh.Tag[t]) <= len(s.m.Piece.Owners) {
		owner = int(s.mesh.Tag[t]) - 1
		role = s.m.Piece.Owners[owner].Role
	}
	for _, k := range s.seats {
		if n.Dot(k.axis) > -0.5 && k.near(a) && k.near(b) && k.near(c) {
			return Seat
		}
	}
	switch role {
	case piece.PostRole:
		return Post
	case piece.BailRole, piece.LinkRole:
		if owner >= 0 && s.bore(p, n, s.places[owner]) {
			return Hole
		}
	case piece.PlateRole, piece.BezelRole:
		if s.walled(p, n) {
			return Hole
		}
	}
	if s.worn.Dir(n).Z > seenFrom && s.open(p, n, s.worn.Inverse().Dir(vec.P{Z: 1})) {
		return Front
	}
	return Free
}

// open says whether nothing of the casting lies before p in a direction.
func (s *surveyor) open(p, n, way vec.P) bool {
	const off = 0.02 // mm from the surface: more than the chords of a mesh
	_, hit := s.tree.Ray(p.Add(n.Mul(off)), way, 1000)
	return !hit
}

// bore says whether a place of a ring, whose axis is the z axis of at, lies on
// its inner side: half the turn of its wire.
func (s *surveyor) bore(p, n vec.P, at vec.Place) bool {
	axis := at.Dir(vec.P{Z: 1})
	out := p.Sub(at.O)
	out = out.Sub(axis.Mul(axis.Dot(out)))
	return n.Dot(out.Unit()) < -0.3
}

// walled says whether an upright wall has metal before it on all sides in its
// plane: it is that of a hole.
func (s *surveyor) walled(p, n vec.P) bool {
	z := s.worn.Inverse().Dir(vec.P{Z: 1})
	if math.Abs(n.Dot(z)) > 0.3 {
		return false
	}
	flat := n.Sub(z.Mul(n.Dot(z))).Unit()
	side := z.Cross(flat)
	for i := -3; i <= 3; i++ { // ahead, and 75 degrees to each side
		a := float64(i) * 25 * math.Pi / 180
		if s.open(p, n, flat.Mul(math.Cos(a)).Add(side.Mul(math.Sin(a)))) {
			return false
		}
	}
	return true
}

// KeepFree draws a model for casting from the front and from behind, shaded, in
// the colours of what its caster is to keep free of supports and sprues, with
// the legend. Of a pair the first is drawn. It fails when the room is too small,
// and when ctx ends.
func KeepFree(ctx context.Context, m *build.Model, o Options) (*Drawing, error) {
	width, height, err := o.room()
	if err != nil {
		return nil, err
	}
	var scene picture.Scene
	box := vec.Empty()
	used := map[Surface]bool{}
	for _, b := range m.Bodies(false) {
		if b.Stone != nil {
			continue
		}
		for _, p := range b.Mesh.V {
			box = box.With(b.Place.Point(p))
		}
		kinds := Surfaces(m, b.Casting)
		paint := make([]color.NRGBA, len(kinds))
		for t, k := range kinds {
			paint[t] = surfaces[k].color
			used[k] = true
		}
		scene.Items = append(scene.Items, picture.Item{Mesh: b.Mesh, Place: b.Place, Look: picture.Matte{Color: surfaces[Free].color}, Paint: paint})
	}
	legend := newPlan()
	y := 0.0
	for k := len(surfaces) - 1; k >= 0; k-- {
		if used[Surface(k)] {
			legend.swatch(vec.P2{Y: y}, surfaces[k].words, surfaces[k].color)
			y += 4.2
		}
	}
	const gap = 4.0
	h := min(height-legend.box.Size().Y-2*gap-large, 80)
	w := min((width-gap)/2, h*max(0.55, 1.1*box.Size().X/box.Size().Y))
	h = min(h, 1.8*w)
	if w < 15 || h < 15 {
		return nil, fmt.Errorf("draft: %g x %g mm of paper are too small for pictures", width, height)
	}
	p := newPlan()
	for i, v := range []picture.View{picture.Front, picture.Back} {
		img, err := picture.Render(ctx, scene, picture.Options{
			Width: int(w * dotsPerMM), Height: int(h * dotsPerMM), View: v, Bare: true,
		})
		if err != nil {
			return nil, err
		}
		at := vec.P2{X: float64(i) * (w + gap)}
		p.add(raster{img: img, at: at, w: w})
		p.lie([]vec.P2{at, {X: at.X + w}, {X: at.X + w, Y: h}, {X: at.X, Y: h}}, true)
		p.text(label{text: v.String(), height: large, bold: true, ink: ink, at: vec.P2{X: at.X, Y: h + gap/2}})
	}
	p.merge(legend, vec.P2{Y: -legend.box.Max.Y - gap})
	return p.drawing(0), nil
}

// dotsPerMM of pictures on paper: 254 an inch.
const dotsPerMM = 10

// swatch writes a line of a legend with a patch of its colour.
func (p *plan) swatch(at vec.P2, words string, c color.NRGBA) {
	const w, h = 4.4, 2.6
	patch := []vec.P2{at, {X: at.X + w, Y: at.Y}, {X: at.X + w, Y: at.Y + h}, {X: at.X, Y: at.Y + h}}
	p.add(area{loops: [][]vec.P2{patch}, fill: color.RGBA{R: c.R, G: c.G, B: c.B, A: 255}})
	p.outline(patch, narrow)
	p.text(label{text: words, height: small, ink: ink, at: vec.P2{X: at.X + w + 1.6, Y: at.Y + (h-small)/2}})
}

// raster is a picture, its lower left corner at at.
type raster struct {
	img image.Image
	at  vec.P2
	w   float64 // mm on paper
}

func (r raster) draw(c *canvas.Context, p placing) {
	at := p.at(r.at)
	c.DrawImage(at.X, at.Y, r.img, canvas.DPMM(float64(r.img.Bounds().Dx())/(r.w*p.times)))
}

func (r raster) moved(d vec.P2) mark {
	r.at = r.at.Add(d)
	return r
}
