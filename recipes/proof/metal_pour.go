package proof

import (
	"fmt"

	"waxwright/geom/mesh"
	"waxwright/geom/wall"
	"waxwright/solids/stock"
)

// feeds asks whether a heavy spot is fed through a neck that sets before it.
// Where the sprue stands is the caster's choice: it is taken to be at the
// heaviest place of the casting.
func (b *bench) feeds() error {
	return b.eachCasting(func(c *casting) error {
		necks, err := wall.Necks(b.ctx, c.mesh, stock.HeavySpot.Value, stock.FeedShare.Value, nil, wall.Options{Slack: c.Reached, Tree: c.tree})
		if err != nil {
			return err
		}
		for _, n := range necks {
			o := b.owner(n.Tag)
			if o == nil {
				continue
			}
			r := feed(n)
			who := of(b.piece, *o, c.back.Point(n.At))
			r.Part, r.Address, r.Casting, r.At, r.Span = who.Part, who.Address, who.Casting, who.At, who.Span
			b.add(r, Caution, Metal, "feed", "")
		}
		return nil
	})
}

// poured remarks on heavy spots and blind holes of a mesh without a recipe.
func (b *bench) poured(l Lump, tree *mesh.Tree) error {
	necks, err := wall.Necks(b.ctx, l.Mesh, stock.HeavySpot.Value, stock.FeedShare.Value, nil, wall.Options{Tree: tree})
	if err != nil {
		return err
	}
	for _, n := range necks {
		r := feed(n)
		r.Part, r.At = l.Name, r.At.Mul(l.Scale)
		b.add(r, Caution, Metal, "feed", "")
	}
	pits, err := b.pits(l.Mesh, tree)
	for _, p := range pits {
		r, grade := hole(p)
		r.Part, r.At = l.Name, r.At.Mul(l.Scale)
		b.add(r, grade, Metal, "hole", "")
	}
	return err
}

// feed is the remark about a neck, without an owner.
func feed(n wall.Neck) Remark {
	through := fmt.Sprintf("a neck of %.2f", n.Width)
	if n.Width == 0 {
		through = fmt.Sprintf("a neck far under %.2f", stock.FeedShare.Value*n.Diameter)
	}
	return Remark{
		At: n.At, Figure: n.Width, Limit: stock.FeedShare.Value * n.Diameter, Unit: "mm", Source: stock.FeedShare.Source,
		Says: fmt.Sprintf("a spot %.2f mm thick is fed through %s; half of it, %.2f, lets it fill to the end", n.Diameter, through, stock.FeedShare.Value*n.Diameter),
		Why:  "what sets last behind a thin neck draws holes: hollow it, thicken the neck, or have it sprued by itself",
	}
}

// holes asks for blind holes that are deeper than investment stands in.
func (b *bench) holes() error {
	return b.eachCasting(func(c *casting) error {
		pits, err := b.pits(c.mesh, c.tree)
		if err != nil {
			return err
		}
		for _, p := range pits {
			o := b.owner(p.Tag)
			if o == nil {
				continue
			}
			r, grade := hole(p)
			who := of(b.piece, *o, c.back.Point(p.At))
			r.Part, r.Address, r.Casting, r.At, r.Span = who.Part, who.Address, who.Casting, who.At, who.Span
			b.add(r, grade, Metal, "hole", "")
		}
		return nil
	})
}

func (b *bench) pits(m *mesh.Mesh, t *mesh.Tree) ([]wall.Pit, error) {
	return wall.Pits(b.ctx, m, stock.HoleDepth.Value, stock.HoleLeast.Value, wall.Options{Tree: t})
}

// hole is the remark about a pit, without an owner.
func hole(p wall.Pit) (Remark, Grade) {
	r := Remark{
		At: p.At, Figure: p.Depth, Limit: stock.HoleDepth.Value * p.Width, Unit: "mm", Source: stock.HoleDepth.Source,
		Says: fmt.Sprintf("a blind hole %.2f mm deep and %.2f wide", p.Depth, p.Width),
		Why:  "a pin of investment breaks off: open the hole to the back, or drill it after casting",
	}
	if most := stock.HoleDepthMost.Value * p.Width; p.Depth > most {
		r.Limit, r.Source = most, stock.HoleDepthMost.Source
		return r, Fail
	}
	return r, Caution
}
