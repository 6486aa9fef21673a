package proof

import (
	"context"
	"fmt"

	"waxwright/geom/manifold"
	"waxwright/geom/mesh"
	"waxwright/geom/vec"
	"waxwright/geom/wall"
	"waxwright/recipes/build"
	"waxwright/solids/stock"
)

// Lump is a mesh read from a model file.
type Lump struct {
	Name string
	Mesh *mesh.Mesh // its own vertices, welded
}

// ProveFile judges meshes that come without a recipe: the mesh and metal
// groups, every wall by the limits of a plate, for nothing is known of roles.
// The other groups are said to be unchecked. It fails for a house that is not
// known, and when ctx ends.
func ProveFile(ctx context.Context, lumps []Lump, o Options) (*Report, error) {
	usual, _ := stock.HouseNamed(stock.HouseNames()[0])
	house, err := o.house(usual)
	if err != nil {
		return nil, err
	}
	b := &bench{ctx: ctx, house: house}
	for _, l := range lumps {
		if err := b.lump(l, o.Only); err != nil {
			return nil, err
		}
	}
	for _, g := range []Group{Stones, Wearing} {
		if wanted(g, o.Only) {
			b.add(Remark{Says: fmt.Sprintf("the %s group: a model file says nothing of it", g)}, Unchecked, g, string(g), "")
		}
	}
	r := &Report{House: house.Name, Remarks: merge(b.remarks)}
	if len(o.Only) == 0 {
		r.number()
		r.Warnings = FileWarnings()
	}
	return r, nil
}

func (b *bench) lump(l Lump, only []Group) error {
	if len(l.Mesh.T) == 0 {
		b.empty(l, only)
		return nil
	}
	r, err := manifold.JudgeCtx(b.ctx, l.Mesh, manifold.Options{})
	if err != nil {
		return err
	}
	if wanted(Mesh, only) {
		b.judged(l, &r)
	}
	if !wanted(Metal, only) {
		return nil
	}
	if !r.OK() {
		b.add(Remark{Part: l.Name, Says: "walls and gaps: a mesh that is not sound has none"}, Unchecked, Metal, "wall", "")
		return nil
	}
	size := l.Mesh.Bounds().Size()
	limit, _ := b.house.Limit(stock.PlateOf(max(size.X, size.Y, size.Z)))
	options := wall.Options{MinArea: placeArea, MinExtent: placeExtent}
	spots, err := wall.Thin(b.ctx, l.Mesh, nil, limit.Caution.Value-give, options)
	if err != nil {
		return err
	}
	b.thin(l, spots, limit, "wall", "a wall")
	limit, _ = b.house.Limit(stock.Gap)
	if spots, err = wall.Gaps(b.ctx, l.Mesh, nil, limit.Caution.Value-give, options); err != nil {
		return err
	}
	b.thin(l, spots, limit, "gap", "a gap")
	return b.poured(l)
}

// empty remarks on a mesh in which there is nothing to judge.
func (b *bench) empty(l Lump, only []Group) {
	const says = "the mesh has no triangles"
	if wanted(Mesh, only) {
		b.add(Remark{Part: l.Name, Says: says, Why: "there is nothing to print: export the model again"}, Fail, Mesh, "mesh", "")
	}
	if wanted(Metal, only) {
		b.add(Remark{Part: l.Name, Says: "walls and gaps: " + says}, Unchecked, Metal, "wall", "")
	}
}

// thin remarks on what is too thin in a mesh without a recipe.
func (b *bench) thin(l Lump, spots []wall.Spot, limit stock.Limit, check, what string) {
	for _, s := range spots {
		if s.Edge {
			continue
		}
		grade, least := underBy(s.Width, limit, give)
		b.add(Remark{
			Part: l.Name, At: s.At, Figure: s.Width, Limit: least, Unit: "mm", Source: sourceOf(limit, grade),
			Says: fmt.Sprintf("%s of %.2f mm at %s; %s", what, s.Width, build.Place(s.At), b.asks(grade, s.Width, least)),
		}, grade, Metal, check, "")
	}
}

// judged remarks on the defects of a mesh, one remark a kind.
func (b *bench) judged(l Lump, r *manifold.Report) {
	if r.Unfit != nil {
		b.add(Remark{Part: l.Name, Says: r.Unfit.Error()}, Fail, Mesh, "mesh", "")
		return
	}
	for k, n := range r.Count {
		if n == 0 {
			continue
		}
		kind := manifold.Kind(k)
		first := vec.P{}
		for _, d := range r.Defects {
			if d.Kind == kind {
				first = d.At
				break
			}
		}
		grade := Fail
		if kind == manifold.Touch {
			grade = Note
		}
		b.add(Remark{
			Part: l.Name, At: first, Figure: float64(n),
			Says: fmt.Sprintf("%s: %d, the first at %s", kind, n, build.Place(first)),
			Why:  "slicers guess at what such a mesh means",
		}, grade, Mesh, "mesh: "+kind.String(), "")
	}
	if n := len(r.Bodies); n > 1 {
		b.add(Remark{Part: l.Name, Figure: float64(n), Says: fmt.Sprintf("%d bodies", n)}, Note, Mesh, "bodies", "")
	}
	for _, body := range r.Bodies {
		if body.Voids > 0 {
			b.add(Remark{Part: l.Name, At: body.Box.Center(), Figure: float64(body.Voids), Says: fmt.Sprintf("%d trapped hollow", body.Voids)}, Caution, Mesh, "hollow", "")
		}
	}
	b.add(Remark{Part: l.Name, Says: fmt.Sprintf("%d triangles, %.1f mm3, genus %d", r.Triangles, r.Volume, r.Genus())}, Note, Mesh, "measures", "")
}
