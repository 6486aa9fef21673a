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
}

// ProveFile judges meshes that come without a recipe: the mesh and metal groups.
// Where a file says what is of which part, as our own do, every wall is judged by the
// limit of its part, prongs by that for the smallest stones; all else by the limit of
// a plate. The other groups are said to be unchecked. It fails for a house that is not
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
	sides := b.sides(l)
	of := func(s, t uint32) stock.Limit { return b.betweenSides(sides[s], sides[t]) }
	most := 0.0
	for _, k := range sides {
		most = max(most, k.limit.Caution.Value)
	}
	options := wall.Options{MinArea: placeArea, MinExtent: placeExtent}
	options.Limit = func(s, t uint32) float64 { return of(s, t).Caution.Value - give }
	spots, err := wall.Thin(b.ctx, l.Mesh, nil, most-give, options)
	if err != nil {
		return err
	}
	b.thin(l, spots, of, "wall", "a wall")
	limit, _ := b.house.Limit(stock.Gap)
	options.Limit = nil
	if spots, err = wall.Gaps(b.ctx, l.Mesh, nil, limit.Caution.Value-give, options); err != nil {
		return err
	}
	b.thin(l, spots, func(s, t uint32) stock.Limit { return limit }, "gap", "a gap")
	return b.poured(l)
}

// side is what a lump's file says of one side of a wall.
type side struct {
	limit stock.Limit // of its part
	site  piece.Site
}

// sides returns what the tags of a lump stand for; 0, and what has no role, is of a
// plate of the lump's span, any other plate of its own.
func (b *bench) sides(l Lump) []side {
	boxes := map[string]vec.Box{} // by address
	address := func(tag uint32) string {
		a, _, _, _ := piece.ParseSite(l.called(tag))
		return a
	}
	for t, tag := range l.Mesh.Tag {
		a := address(tag)
		box, ok := boxes[a]
		if !ok {
			box = vec.Empty()
		}
		p, q, r := l.Mesh.Corners(t)
		boxes[a] = box.With(p).With(q).With(r)
	}
	boxes[""] = l.Mesh.Bounds()
	all := make([]side, len(l.Parts)+1)
	for i := range all {
		_, role, site, _ := piece.ParseSite(l.called(uint32(i))) // a plate, if it is no name
		size := boxes[address(uint32(i))].Size()
		all[i] = side{b.roleLimit(role, max(size.X, size.Y, size.Z), 0), site}
	}
	return all
}

// betweenSides returns the limit of a wall by its sides, as walls are judged with a
// recipe: that of a bearing at the seat of a stone, none of a web between two, that
// of what is left under grooves at a ray, else that of the part which asks for less.
func (b *bench) betweenSides(s, t side) stock.Limit {
	l := s.limit
	if t.limit.Caution.Value < l.Caution.Value {
		l = t.limit
	}
	switch seats := [2]bool{s.site == piece.Seat, t.site == piece.Seat}; {
	case seats[0] && seats[1]:
		return stock.Limit{}
	case seats[0] || seats[1]:
		l, _ = b.house.Limit(stock.Bearing)
	case s.site == piece.Ray || t.site == piece.Ray:
		l, _ = b.house.Limit(stock.Grooved)
	}
	return l
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
	_, r, _, ok := piece.ParseSite(l.called(s.Tags[1]))
	return ok && r == piece.PostRole && s.Tags[0] == s.Tags[1] && (check == "gap" || s.Extent < notchLong*s.Width)
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

// thin remarks on what is too thin in a mesh without a recipe; of gives the limit by
// the tags of the two sides.
func (b *bench) thin(l Lump, spots []wall.Spot, of func(s, t uint32) stock.Limit, check, what string) {
	for _, s := range spots {
		if s.Edge || l.notch(s, check) {
			continue
		}
		limit := of(s.Tags[0], s.Tags[1])
		grade, least := underBy(s.Width, limit, give)
		part, address := l.Name, l.Name
		if p := l.called(s.Tags[1]); p != "" {
			block, _, _, _ := piece.ParseSite(p)
			part, address = l.Name+", "+p, l.Name+", "+block
		}
		b.add(Remark{
			Part: part, Address: address, At: s.At, Figure: s.Width, Limit: least, Unit: "mm", Source: sourceOf(limit, grade),
			Says: fmt.Sprintf("%s of %.2f mm at %s; %s (%s)", what, s.Width, build.Place(s.At), b.asks(grade, s.Width, least), limit.Role),
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
