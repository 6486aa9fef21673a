package build

import (
	"bytes"
	"context"
	"encoding/hex"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"waxwright/geom/mesh"
	"waxwright/geom/picture"
	"waxwright/geom/stl"
	"waxwright/geom/threemf"
	"waxwright/geom/vec"
	"waxwright/recipes/piece"
)

// Write writes the model to a folder: an STL file for each casting and one 3MF
// file with all of them. It returns their names, in that order. The folder is
// made if it is missing. Either all files appear, or none and an error; a sketch
// is not written.
func Write(ctx context.Context, disk Disk, m *Model, dir string) ([]string, error) {
	if m.Sketch {
		return nil, ErrSketch
	}
	b, err := NewBatch(disk, dir)
	if err != nil {
		return nil, err
	}
	defer b.Discard()
	var names []string
	for _, o := range m.Outputs() {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if err := b.Add(o.Name, o.Write); err != nil {
			return nil, err
		}
		names = append(names, o.Name)
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	if err := b.Commit(); err != nil {
		return nil, err
	}
	return names, nil
}

// Output is one file of a model: the same bytes whenever it is written.
type Output struct {
	Name  string
	Write func(io.Writer) error
}

// Outputs are the files of the model: an STL file for each casting, then one 3MF
// file with all of them.
func (m *Model) Outputs() []Output {
	var all []Output
	for i := range m.Castings {
		c := &m.Castings[i]
		all = append(all, Output{m.File(c), func(w io.Writer) error { return stl.Write(w, c.Mesh, m.header(c)) }})
	}
	return append(all, Output{m.Bundle(), func(w io.Writer) error {
		b := m.bundle()
		var err error
		if b.Thumbnail, err = m.thumbnail(); err != nil {
			return err
		}
		return threemf.Write(w, b)
	}})
}

// castings counts castings in words.
func castings(n int) string {
	if n == 1 {
		return "1 casting"
	}
	return fmt.Sprintf("%d castings", n)
}

// bundle is what the 3MF file holds: every casting as often as the piece needs
// it, side by side, and which of its triangles are of which part.
func (m *Model) bundle() *threemf.Model {
	p := m.Piece
	out := &threemf.Model{
		Title: p.Title, Designer: p.Designer,
		Description: fmt.Sprintf("%s in %s, %s, %s", castings(m.Pieces()), p.Alloy.Name, p.State(), p.Scaling()),
		Metadata: []threemf.Meta{
			{Name: "Application", Value: "waxwright"},
			{Name: "Recipe", Value: hex.EncodeToString(p.Digest[:])},
			{Name: "Tolerance", Value: strconv.FormatFloat(m.Tol, 'g', -1, 64) + " mm"},
			{Name: "Alloy", Value: p.Alloy.Name},
			{Name: "Weight", Value: fmt.Sprintf("%.3f g", m.Grams())},
			{Name: "Pair", Value: p.Pair.String()},
			{Name: "State", Value: p.State()},
			{Name: "Finish", Value: p.Finish.Name},
			{Name: "Scale", Value: p.Scaling()},
			{Name: "ScaleFactor", Value: strconv.FormatFloat(p.Scale, 'g', -1, 64)},
		},
	}
	for i := range m.Castings {
		c := &m.Castings[i]
		parted, parts := m.parts(c)
		for j, at := range c.Laid {
			name := c.Name
			if j > 0 {
				name = fmt.Sprintf("%s %d", name, j+1)
			}
			out.Objects = append(out.Objects, threemf.Object{
				Name: name, PartNumber: m.File(c), Mesh: parted, Parts: parts, Placed: at,
				Material: threemf.Material{Name: p.Alloy.Name, Color: p.Alloy.Color},
			})
		}
	}
	return out
}

// Told returns what our own 3MF files tell of their meshes: by how much they may be off,
// mm, and how many times as large as the metal they are; 0 for what others do not tell.
func Told(m *threemf.Model) (tol, scale float64) {
	for _, d := range m.Metadata {
		number, _ := strings.CutSuffix(d.Value, " mm")
		v, err := strconv.ParseFloat(number, 64)
		if err != nil || !(v > 0) || math.IsInf(v, 1) {
			continue
		}
		switch d.Name {
		case "Tolerance":
			tol = v
		case "ScaleFactor":
			scale = v
		}
	}
	return tol, scale
}

// siteGive is how far in mm the middle of a triangle may lie off a site and count as
// on it: twice the usual chord error, and a fifth of the least clearance of a bezel,
// whose wall is no seat. Coarser chords of a seat lie inside of it.
const siteGive = 0.01

// parts returns the mesh of a casting with tags that stand for the sites of its parts,
// and their names.
func (m *Model) parts(c *Casting) (*mesh.Mesh, []string) {
	from := &m.Piece.Castings[c.Of]
	sites, back := m.Piece.SitesOf(from), from.Turn.Inverse()
	if c.Mirrored {
		back = back.After(vec.MirrorX())
	}
	cast := m.Cast(c)
	r := &mesh.Mesh{V: c.Mesh.V, T: c.Mesh.T, Tag: make([]uint32, len(c.Mesh.T))}
	var names []string
	tagOf := map[string]uint32{}
	for t := range r.T {
		if t >= len(c.Mesh.Tag) || c.Mesh.Tag[t] == 0 {
			continue
		}
		p, q, s := cast.Corners(t)
		p, q, s = back.Point(p), back.Point(q), back.Point(s)
		site, stone := sites.At(p.Add(q).Add(s).Mul(1./3), siteGive)
		for _, corner := range [3]vec.P{p, q, s} {
			if at, of := sites.At(corner, siteGive); of == stone && at == piece.Girdle && site == piece.Seat {
				site = at // it ends at the girdle, and may be met there
			}
		}
		name := m.Piece.Owners[c.Mesh.Tag[t]-1].At(site, stone)
		if tagOf[name] == 0 {
			names = append(names, name)
			tagOf[name] = uint32(len(names))
		}
		r.Tag[t] = tagOf[name]
	}
	return r, names
}

// header is the first line of an STL file, 80 bytes at most: what it is, the
// unit, which the format does not say, whether it is scaled, and which recipe
// it comes from.
func (m *Model) header(c *Casting) string {
	digest := hex.EncodeToString(m.Piece.Digest[:4])
	tail := fmt.Sprintf(" | mm, %s | %s | waxwright", m.Piece.Scaling(), digest)
	what := m.Piece.Slug + " " + c.Name
	if most := 80 - len(tail); len(what) > most {
		what = what[:most]
	}
	return what + tail
}

// thumbSide is the side of a thumbnail in pixels: what file managers show.
const thumbSide = 256

// thumbnail pictures the metal as worn, as PNG.
func (m *Model) thumbnail() ([]byte, error) {
	img, err := picture.Render(context.Background(), m.Metal(true), picture.Options{Width: thumbSide, Height: thumbSide, View: picture.Quarter})
	if err != nil {
		return nil, fmt.Errorf("thumbnail: %w", err)
	}
	var b bytes.Buffer
	if err := picture.Encode(&b, img); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
