package build

import (
	"cmp"
	"context"
	"errors"
	"fmt"

	"waxwright/geom/contour"
	"waxwright/geom/manifold"
	"waxwright/geom/mesh"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
	"waxwright/recipes/piece"
)

// The limits of what is modelled.
const (
	// DefaultTol is the tolerance for casting, mm.
	DefaultTol = contour.DefaultTol
	// FinestTol and CoarsestTol bound the tolerance, mm: a tenth of the finest
	// layers of resin printers (from memory: 5 um), and what the eye sees at
	// arm's length.
	FinestTol, CoarsestTol = 0.0005, 0.2
	// MaxSide is the longest side of a casting, mm: more than the largest
	// investment flasks hold (common practice, no source).
	MaxSide = 300.0
	// MaxParts is how many parts, instances counted, a piece may have.
	MaxParts = 20_000
)

// Options for Make. The zero Options are those of a model for casting.
type Options struct {
	Tol      float64               // largest distance between mesh and true surface, mm; 0: DefaultTol
	Workers  int                   // 0: as many as there are processors
	Progress func(done, total int) // called now and then, never at the same time twice; may be nil
	Cache    *Cache                // meshes made before; may be nil
}

// Model is a piece in metal.
type Model struct {
	Piece    *piece.Piece
	Tol      float64    // as asked for, mm; of a sketch what was reached
	Sketch   bool       // made by Sketch: for the eye alone
	Castings []Casting  // those of the piece, then, for the other ear, their mirror images
	Twin     *vec.Place // takes the piece as worn to the other ear, perhaps mirrored; nil where there is none
}

// Casting is one lump of metal in the model: one file, Quantity off.
type Casting struct {
	Name     string // "sun", "sun-mirrored"
	Of       int    // index into Piece.Castings
	Mirrored bool
	Handed   bool // the other ear needs its mirror image, not a second one
	Quantity int  // how many of it the piece needs

	Mesh   *mesh.Mesh      // as laid out flat, the way files hold it: scaled as the piece asks
	Report manifold.Report // on the mesh rounded to float32
	Worn   []vec.Place     // from the mesh (see Cast) to the piece as worn, perhaps mirrored, one for each of the Quantity
	Laid   []vec.Place     // from the mesh to the common build of the 3MF file, one for each

	Tol        float64        // of the mesh, mm: more than the model's where only that was sound
	Reached    float64        // largest deviation from the true surface, mm
	ReachedAt  vec.P          // where it was found, in the frame of the mesh
	Unresolved []contour.Spot // places finer than the mesh, in the frame of the mesh
	Grams      float64        // of one, cast: not scaled
	Known      bool           // of a sketch: its mesh was made before

	normals [][3]vec.P // of a likeness: the true normals at the corners of the mesh's triangles
}

// File returns the name of the casting's STL file.
func (m *Model) File(c *Casting) string { return m.Piece.Slug + "-" + c.Name + m.mark() + ".stl" }

// Bundle returns the name of the 3MF file with all castings.
func (m *Model) Bundle() string { return m.Piece.Slug + m.mark() + ".3mf" }

// Size returns the edge lengths of the casting's box, mm.
func (c *Casting) Size() vec.P { return c.Mesh.Bounds().Size() }

// Grams returns the weight of all castings, g.
func (m *Model) Grams() float64 {
	sum := 0.0
	for i := range m.Castings {
		sum += m.Castings[i].Grams * float64(m.Castings[i].Quantity)
	}
	return sum
}

// Pieces returns how many castings the piece is made of, quantities counted.
func (m *Model) Pieces() int {
	n := 0
	for i := range m.Castings {
		n += m.Castings[i].Quantity
	}
	return n
}

// Make models a piece: it compiles the field of every casting, meshes it, and
// judges the mesh. Faults of the meshes are no errors: see Model.Remarks. It
// fails for options and pieces beyond the limits, and when ctx ends.
func Make(ctx context.Context, p *piece.Piece, o Options) (*Model, error) {
	o, err := o.checked()
	if err != nil {
		return nil, err
	}
	if err := modest(p); err != nil {
		return nil, err
	}
	m := &Model{Piece: p, Tol: o.Tol}
	for i := range p.Castings {
		c, err := m.casting(ctx, i, o)
		if err != nil {
			if ctx.Err() != nil {
				return nil, ctx.Err()
			}
			return nil, fmt.Errorf("casting %s: %w", p.Castings[i].Name, err)
		}
		m.Castings = append(m.Castings, c)
	}
	m.pair()
	m.lay()
	return m, nil
}

// checked returns o with its defaults filled in, or what is wrong with it.
func (o Options) checked() (Options, error) {
	o.Tol = cmp.Or(o.Tol, DefaultTol)
	if !(o.Tol >= FinestTol && o.Tol <= CoarsestTol) {
		return o, fmt.Errorf("tolerance %g mm is out of range: %g to %g", o.Tol, FinestTol, CoarsestTol)
	}
	return o, nil
}

// modest refuses pieces that are too large before any work is done on them.
func modest(p *piece.Piece) error {
	if n := len(p.Owners); n > MaxParts {
		return fmt.Errorf("the piece has %d parts; %d at most are modelled", n, MaxParts)
	}
	for _, c := range p.Castings {
		box := c.Metal.Bounds()
		if box.IsEmpty() {
			return fmt.Errorf("casting %s: there is no metal in it", c.Name)
		}
		if s := box.Size(); !(max(s.X, s.Y, s.Z) <= MaxSide) {
			return fmt.Errorf("casting %s: %.4g x %.4g x %.4g mm is too large: %g mm at most are modelled", c.Name, s.X, s.Y, s.Z, MaxSide)
		}
	}
	return nil
}

// The work on one casting, as its progress shows it: judging is a small part.
const (
	meshShare  = 900
	judgeShare = 100
)

// tries is what a tolerance is multiplied by, try after try, while a mesh is not
// sound: faces that all but touch, or meet at a grazing angle, tear the mesh at
// one tolerance and are cleared at another. The finer ones keep what was asked
// for; the coarser ones, up to coarseEnough, are told in a remark.
var tries = [...]float64{1, 0.8, 0.6, 0.4, 1.5, 2.5, 4}

// coarseEnough is the largest tolerance in mm that is tried where it was not
// asked for: half the pixel of common resin printers (from memory: 0.035 to
// 0.05 mm).
const coarseEnough = 0.02

// casting models one casting of the piece: at the tolerance asked for if that
// gives a sound mesh, else at the first of the tries that does.
func (m *Model) casting(ctx context.Context, i int, o Options) (Casting, error) {
	code, err := sdf.Compile(m.Piece.Castings[i].Metal)
	if err != nil {
		return Casting{}, err
	}
	var first Casting
	for try, f := range tries {
		t := o
		t.Tol *= f
		if t.Tol < FinestTol || f > 1 && t.Tol > coarseEnough {
			continue
		}
		if try > 0 {
			t.Progress = nil
		}
		c, faced, err := m.attempt(ctx, i, code, try == 0, t)
		if err == nil && faced && !c.Report.OK() {
			t.Progress = nil
			c, _, err = m.attempt(ctx, i, code, false, t)
		}
		if err != nil {
			return Casting{}, err
		}
		if c.Report.OK() {
			return c, nil
		}
		if try == 0 {
			first = c
		}
	}
	return first, nil
}

// attempt models one casting at one tolerance: face by face if it may and can,
// which it reports, else from cells.
func (m *Model) attempt(ctx context.Context, i int, code *sdf.Code, faces bool, o Options) (c Casting, faced bool, err error) {
	report := func(done int) {
		if o.Progress != nil {
			const whole = meshShare + judgeShare
			o.Progress(i*whole+done, len(m.Piece.Castings)*whole)
		}
	}
	report(0)
	made, err := o.Cache.mesh(ctx, code, faces, contour.Options{
		Tol: o.Tol, Workers: o.Workers,
		Progress: func(done, total int) { report(meshShare * done / max(total, 1)) },
	})
	if err != nil {
		return c, false, err
	}
	c, err = m.found(i, made)
	if err != nil {
		return c, false, err
	}
	if m.Piece.Pair == piece.Mirrored {
		c.Handed = handed(code, made.mesh, o.Tol)
	}
	report(meshShare)
	c.Report, err = manifold.JudgeCtx(ctx, c.Mesh.Float32().Weld(), manifold.Options{Workers: o.Workers})
	if err != nil {
		return c, false, err
	}
	c.Grams = m.grams(&c)
	c.Tol = o.Tol
	report(meshShare + judgeShare)
	return c, made.faced, nil
}

// found makes a casting of a mesh in the casting's own frame: laid out and
// scaled, not judged, not weighed.
func (m *Model) found(i int, made made) (Casting, error) {
	if len(made.mesh.T) == 0 {
		return Casting{}, errors.New("there is no metal left in it")
	}
	from := &m.Piece.Castings[i]
	c := Casting{
		Name: from.Name, Of: i, Quantity: 1,
		Mesh: made.mesh, Worn: []vec.Place{from.Hang},
		Reached: made.report.Reached, ReachedAt: made.report.At, Unresolved: made.report.Unresolved, normals: made.report.Normals,
	}
	if from.Turn != vec.Here {
		c.turn(from.Turn)
	}
	c.scale(m.Piece.Scale)
	return c, nil
}

// grams weighs a casting: the metal shrinks back to the scale of 1.
func (m *Model) grams(c *Casting) float64 {
	k := m.Piece.Scale
	return m.Piece.Alloy.Grams(c.Report.Volume / (k * k * k))
}

// turn lays the casting out: its mesh is moved, its places in the worn piece
// stay what they are.
func (c *Casting) turn(by vec.Place) {
	c.Mesh = c.Mesh.Transform(by)
	c.normals = turned(c.normals, by)
	back := by.Inverse()
	for i := range c.Worn {
		c.Worn[i] = c.Worn[i].After(back)
	}
	c.ReachedAt = by.Point(c.ReachedAt)
	spots := make([]contour.Spot, len(c.Unresolved))
	for i, s := range c.Unresolved {
		s.At = by.Point(s.At)
		spots[i] = s
	}
	c.Unresolved = spots
}
