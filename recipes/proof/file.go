package proof

import (
	"context"
	"fmt"

	"waxwright/geom/manifold"
	"waxwright/geom/mesh"
	"waxwright/geom/vec"
	"waxwright/geom/wall"
	"waxwright/recipes/build"
	"waxwright/recipes/piece"
	"waxwright/solids/stock"
)

// Lump is a mesh read from a model file.
type Lump struct {
	Name  string
	Mesh  *mesh.Mesh // its own vertices, welded
	Parts []string   // what its tags stand for, as piece.Owner names them: t for Parts[t-1]; nil where the file does not say
	Tol   float64    // by how much it may be off, mm; 0 where the file does not say: the usual
	Scale float64    // how many times as large as the metal should be it is; 0 where the file does not say: as large
}

// ProveFile judges meshes that come without a recipe: the mesh and metal groups.
// Where a file says what is of which part, as our own do, every wall is judged by the
// limit of its part, prongs by that for the smallest stones; all else by the limit of
// a plate. The other groups are said to be unchecked, and what else a recipe would have
// told of the metal. It fails for a house that is not known, and when ctx ends.
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
	if wanted(Metal, o.Only) {
		b.untold(lumps)
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

// untold says what of the metal is judged with a recipe alone.
func (b *bench) untold(lumps []Lump) {
	b.add(Remark{Says: "walls once they are polished and set: a model file has them as they are cast"}, Unchecked, Metal, "wall", "")
	for _, l := range lumps {
		stones := map[string]bool{}
		for _, p := range l.Parts {
			if n, _ := piece.ParseSite(p); n.Stone != "" {
				stones[n.Stone] = true
			}
		}
		if len(stones) > 1 {
			b.add(Remark{
				Part: l.Name, Address: l.Name,
				Says: "webs at the girdles of its stones: how near these stand is asked with the recipe, under their girdles webs are judged",
			}, Unchecked, Metal, "spacing", "")
		}
	}
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
	if l.Scale == 0 {
		l.Scale = 1
	}
	l.Mesh = build.Scaled(l.Mesh, 1/l.Scale)
	return b.metalOf(l)
}

// metalOf judges walls, gaps, heavy spots and holes of a lump whose mesh is as large as
// the metal; its places are told as they are in the file.
func (b *bench) metalOf(l Lump) error {
	tree := mesh.NewTree(l.Mesh)
	sides := b.sides(l)
	thickest := 0.0
	for _, k := range sides {
		thickest = max(thickest, most(k.limit))
	}
	options := wall.Options{Slack: max(l.Tol, wall.DefaultSlack), MinArea: placeArea, MinExtent: placeExtent, Tree: tree}
	thin := options
	thin.Limit = func(s, t uint32) float64 { return most(b.betweenSides(sides[s], sides[t])) - give }
	thin.Zone = func(p, q vec.P, _ [2]uint32) int { return sides.joint(l.Mesh, tree, p, q) }
	thin.ZoneLimit = func(joint int) float64 {
		if joint > 0 {
			return most(sides[joint].limit) - give
		}
		return thickest
	}
	spots, err := wall.Thin(b.ctx, l.Mesh, nil, thickest-give, thin)
	if err != nil {
		return err
	}
	for _, s := range spots {
		limit := b.betweenSides(sides[s.Tags[0]], sides[s.Tags[1]])
		if own := sides[s.Zone].limit; s.Zone > 0 && most(own) < most(limit) {
			limit = own
		}
		b.thin(l, s, limit, "wall", "a wall")
	}
	limit, _ := b.house.Limit(stock.Gap)
	if spots, err = wall.Gaps(b.ctx, l.Mesh, nil, limit.Caution.Value-give, options); err != nil {
		return err
	}
	for _, s := range spots {
		b.thin(l, s, limit, "gap", "a gap")
	}
	return b.poured(l, tree)
}

// called names the part of a lump that a tag stands for, "" for none.
func (l Lump) called(tag uint32) string {
	if tag == 0 || int(tag) > len(l.Parts) {
		return ""
	}
	return l.Parts[tag-1]
}

// notch says whether a wall or a gap is the notch of a post, which is meant to be thin
// and narrow. A wall that goes on along the post is its wire.
func (l Lump) notch(s wall.Spot, check string) bool {
	n, ok := piece.ParseSite(l.called(s.Tags[1]))
	return ok && n.Role == piece.PostRole && s.Tags[0] == s.Tags[1] && (check == "gap" || s.Extent < notchLong*s.Width)
}

// notchLong is how many times as long as it is thick what a notch leaves of a wire is at
// most: grooves are shallower than half of the wire's radius r (solids/finding), and then
// r or more is left, and the groove lies within 2 r across and r along.
const notchLong = 2.5

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

// thin remarks on a place that is too thin in a mesh without a recipe. What may be so
// by the mesh alone, which is off by its tolerance, does not fail.
func (b *bench) thin(l Lump, s wall.Spot, limit stock.Limit, check, what string) {
	if s.Edge || l.notch(s, check) {
		return
	}
	grade, least := underBy(s.Width, limit, give)
	asks, source, doubt := b.asks(grade, s.Width, least), sourceOf(limit, grade), ""
	if off := unsure * max(l.Tol, wall.DefaultSlack); grade == Fail && s.Width+off >= limit.Fail.Value {
		grade, doubt = Caution, fmt.Sprintf(", but on this mesh a width may be %.2f off", off)
	}
	at := s.At.Mul(l.Scale)
	part, address := l.Name, l.Name
	if p := l.called(s.Tags[1]); p != "" {
		n, _ := piece.ParseSite(p)
		part, address = l.Name+", "+p, l.Name+", "+n.Address
	}
	b.add(Remark{
		Part: part, Address: address, At: at, Figure: s.Width, Limit: least, Unit: "mm", Source: source,
		Says: fmt.Sprintf("%s of %.2f mm at %s; %s (%s)%s", what, s.Width, build.Place(at), asks, limit.Role, doubt),
	}, grade, Metal, check, "")
}

// unsure is by how many times the tolerance of a mesh a width that is measured on it
// alone may be off: by twice the chord error on either side (package wall).
const unsure = 4

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
