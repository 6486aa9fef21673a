// Package patch meshes compiled fields whose surfaces all can be laid out in
// the plane: it solves their corners, follows their creases and triangulates
// each face between them in its chart. Where that works it takes a fraction of
// the time and triangles of package contour; where anything is doubtful it
// refuses, and the caller contours.
//
// Guaranteed of a mesh that is returned: package manifold finds it sound; its
// vertices lie on the surface; edges' middles and centroids of triangles are no
// farther than the tolerance from the surface of their face; every cell of an
// octree in which a point of the surface was found has the mesh there. Where
// package mend took out a few needles, all this holds to the tolerance. The same
// field and options give the same bytes.
//
// Not promised: that a field is accepted. Refused are surfaces without a chart
// (blends, wires, leaning walls, opaque fields; rounded ends with edges that meet),
// and bodies that cross along an edge.
//
// Surfaces that nearly coincide, touch, or pass through one point are moved by a
// part of the tolerance so that they do: steps much lower than the tolerance are
// not in the mesh. What is made is compared with the field as it was given, whose
// sheets and gaps stay, however thin. See Report.Moved. Where matter touches itself
// along a line or in a point, and no mesh of it would be sound, it draws back a
// little from there: see Touch.
//
// How it works, in order (the file in brackets):
//
//  0. Like surfaces become one, corners of next to no radius sharp; where the field
//     is refused, others are moved to where they meet, or apart where matter touches
//     itself, and all is done again (snap, meeting, touch, lost).
//  1. An octree drops surfaces that can't pass, down to cells with a few
//     surfaces that cross each other at an angle (cells).
//  2. Triples of surfaces give corners; what of the program is left in the
//     cell, asked for all sides of two surfaces at once, says which creases
//     leave a corner, and where matter lies beside them (corners, tip); where more
//     than two surfaces share a curve, the fan round it says so (sheaf).
//     Balls and rings that can't be opened are cut by a plane first; a seam parts
//     the rounded end of a prism from its wall, and a wall with a single corner
//     into three (cut); where the end has edges, they slit it (mitre).
//  3. Creases are followed from corner to corner, or round (trace), and get points
//     as close together as their curvature asks (chords).
//  4. Each face is laid out (chart) and triangulated between its creases (face).
//     Where it is bent both ways it gets points in rows (sow); diagonals are
//     chosen that fit it (flip), and points added (fill) until no triangle leaves
//     the tolerance (gauge).
//  5. Faces share the points of creases (assemble); the whole is judged, and where
//     a needle or two are left, mended (accept). What is checked is asked of the field
//     itself, not of the cells' programs (find).
//
// Where surfaces meet is found by Newton's steps (meet); what counts as one place or
// one direction has one home (near).
package patch

import (
	"context"
	"errors"
	"fmt"
	"math"

	"waxwright/geom/mesh"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// DefaultTol is the largest distance in mm between mesh and surface where none
// is asked for: that of package contour.
const DefaultTol = 0.005

// Options say how to mesh.
type Options struct {
	Tol     float64 // largest deviation, mm; 0 is DefaultTol
	Workers int     // goroutines; 0 is as many as there are processors
	Normals bool    // report them
}

// Report says what a mesh consists of.
type Report struct {
	Cells, Corners, Creases, Faces int
	Reached                        float64 // largest distance found from the surfaces that faces lie on, mm
	At                             vec.P   // where
	Moved                          float64 // how far surfaces were moved so that those that nearly coincide do, mm
	Parted                         []Touch // where matter touched itself along a line or in a point
	// Normals are those of the surface at the corners of each triangle, if asked
	// for: of the face on which the triangle lies.
	Normals [][3]vec.P
}

// Refused is the error of a field that this package does not mesh.
type Refused struct {
	Reason string
	At     vec.P // where, as far as there is a place
}

func (r *Refused) Error() string {
	return fmt.Sprintf("patch: %s near (%.4g, %.4g, %.4g)", r.Reason, r.At.X, r.At.Y, r.At.Z)
}

func refuse(reason string, at vec.P) error { return &Refused{reason, at} }

// builder is one mesh on its way.
type builder struct {
	ctx   context.Context
	code  *sdf.Code
	faced *sdf.Code // the same, its faces known one by one
	all   *sdf.Local
	tol   float64
	root  struct {
		at   vec.P
		half float64
	}
	workers int
	surf    []sheet
	cuts    map[int32]int32   // planes by the surfaces that they cut
	slits   map[int32][]int32 // slits by the surfaces that they slit
	beyond  map[pair]facing   // faces beyond a seam, by those on its inner side and the seam
	seams   map[pair]bool     // faces on the outer side of a seam, and that
	twin    map[pair]bool     // two faces that run into each other at a seam

	cells   []cell  // in the order of an octree
	places  []place // of the cells' lowest corners
	views   *views
	given   *views    // of the field that was given: other ones where that was snapped
	moved   float64   // how far surfaces were moved from it at most
	snapped *snapping // how; nil where the field is as it was given
	corners []corner
	ends    map[pair][]int32 // corners by the creases that end there
	arcs    []arc
	pts     []vec.P // corners, then points of creases, then of faces

	owner []int32 // surfaces of the mesh's triangles
}

// facing is a face that another runs into, and whether its inside is the other's
// outside.
type facing struct {
	id     int32
	turned bool
}

// sheet is one surface of the code.
type sheet struct {
	word sdf.Word // the right way round
	sdf.Chart
	tag  uint32
	tags bool // several owners
	// Of a cut: the surface that it cuts, and what it is if it is a slit.
	of   int32
	slit *sdf.Mitre
}

func (b *builder) value(id int32, p vec.P) float64 {
	if !b.real(id) {
		v, _ := b.slope(id, p)
		return v
	}
	return b.all.Value(b.surf[id].word, p)
}

func (b *builder) slope(id int32, p vec.P) (float64, vec.P) {
	if s := &b.surf[id]; s.slit != nil {
		return s.slit.Slope(p)
	} else if !b.real(id) {
		return s.U.Dot(p) - s.A, s.U
	}
	return b.all.Slope(b.surf[id].word, p)
}

func (b *builder) bend(id int32, p vec.P, r float64) float64 {
	if s := &b.surf[id]; s.slit != nil {
		return s.slit.Bend
	} else if !b.real(id) {
		return math.Inf(1)
	}
	if s := &b.surf[id]; s.Form == sdf.FormRim && b.flat(s, p, r) {
		return math.Inf(1)
	}
	return b.all.Bend(b.surf[id].word, p, r)
}

// Mesh meshes the field. Its error is a Refused where the caller should try
// another mesher; else the field has no bounds or ctx has ended.
func Mesh(ctx context.Context, c *sdf.Code, o Options) (*mesh.Mesh, Report, error) {
	if o.Tol == 0 {
		o.Tol = DefaultTol
	}
	if !(o.Tol > 0) || math.IsInf(o.Tol, 0) {
		return nil, Report{}, fmt.Errorf("patch: tolerance %g is not positive", o.Tol)
	}
	box := c.Bounds()
	if box.IsEmpty() || !box.Finite() {
		return nil, Report{}, errors.New("patch: the field has no bounds")
	}
	n := newSnapping(c, o.Tol)
	var first error
	for {
		b := n.builder(ctx, o)
		m, r, err := b.mesh(o.Normals)
		var refused *Refused
		if !errors.As(err, &refused) {
			r.Parted = n.parted
			return m, r, err
		}
		if first == nil {
			first = err
		}
		if !n.next(b) {
			return nil, Report{}, first
		}
	}
}

// mesh goes through all steps.
func (b *builder) mesh(normals bool) (*mesh.Mesh, Report, error) {
	if err := b.charts(); err != nil {
		return nil, Report{}, err
	}
	box := b.code.Bounds()
	size := box.Size()
	// Odd figures, so that the cells' faces lie on none of the field's.
	b.root.half = max(size.X, size.Y, size.Z)*0.5137 + 0.0193
	b.root.at = box.Center().Add(vec.P{X: 0.00713, Y: 0.00331, Z: 0.00519}.Mul(b.root.half))
	b.cuts, b.slits = map[int32]int32{}, map[int32][]int32{}
	b.slitMitres()
	var m *mesh.Mesh
	var faces int
	for {
		b.cells, b.corners, b.arcs, b.pts, b.owner = nil, nil, nil, nil, nil
		for _, step := range []func() error{
			b.divideAll,
			b.findCorners,
			b.traceAll,
		} {
			if err := step(); err != nil {
				return nil, Report{}, err
			}
		}
		var err error
		m, faces, err = b.faces()
		var u *uncut
		if errors.As(err, &u) {
			for _, id := range u.ids { // each is cut once, so this ends
				b.addCut(id)
			}
			continue
		}
		if err != nil {
			return nil, Report{}, err
		}
		break
	}
	r := Report{Cells: len(b.cells), Corners: len(b.corners), Creases: len(b.arcs), Faces: faces, Moved: b.moved}
	far, err := b.accept(m)
	if err != nil {
		return nil, Report{}, err
	}
	r.Reached, r.At = far.By+b.moved, far.At
	if normals {
		if r.Normals, err = b.normals(m); err != nil {
			return nil, Report{}, err
		}
	}
	return m, r, nil
}

// charts gathers the faces; all must have charts.
func (b *builder) charts() error {
	words := b.faced.Faced()
	b.surf = make([]sheet, len(words))
	for i, w := range words {
		if w < 0 {
			continue
		}
		s := &b.surf[i]
		s.Chart, s.word, s.tag = b.all.Chart(w), w, b.all.Tag(w)
		if s.Form == sdf.NoForm {
			return refuse("a surface without a chart", s.O)
		}
	}
	for _, w := range b.faced.Uses() {
		s := &b.surf[b.all.Surface(w)]
		s.tags = s.tags || s.tag != b.all.Tag(w)
	}
	b.beyond, b.twin, b.seams = map[pair]facing{}, map[pair]bool{}, map[pair]bool{}
	var err error
	b.faced.Seams(func(at int, over sdf.Word, under []sdf.Word) {
		seam, outer := int32(at), int32(b.all.Surface(over))
		b.seams[pair{outer, seam}] = true
		for _, w := range under {
			u := int32(b.all.Surface(w))
			to, from := facing{outer, w&1 != over&1}, pair{u, seam}
			if had, ok := b.beyond[from]; ok && had != to {
				err = refuse("an outline with both sides of a face", b.surf[u].O)
			}
			b.beyond[from] = to
			b.twin[pair{min(u, outer), max(u, outer)}] = true
		}
	})
	return err
}
