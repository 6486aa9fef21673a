package proof

import (
	"fmt"
	"math"
	"slices"

	"waxwright/geom/vec"
	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
	"waxwright/solids/finding"
	"waxwright/solids/stock"
)

// weight asks what one ear carries: castings with their stones, posts, links
// and loops, but not the back.
func (b *bench) weight() error {
	if len(lang.All[*piece.Post](b.piece.Recipe)) == 0 {
		return nil
	}
	role := stock.StudWeight
	if len(b.piece.Castings) > 1 {
		role = stock.DropWeight
	}
	g, _ := b.massOf(everything)
	r, grade := b.graded(Remark{Part: "piece", Address: "piece", Span: b.piece.Recipe.Span("piece", ""), Unit: "g"}, g, role)
	r.Says = fmt.Sprintf("one ear carries %.1f g with its stones and findings; %s", g, b.asksOf(grade, g, r.Limit, "%g g"))
	r.Why = "heavy earrings pull the lobe"
	if grade == Fail {
		r.Why = "so much tears the hole of a pierced ear"
	}
	b.add(r, grade, Wearing, "weight", "")
	return nil
}

// posts asks for the thickness, length and notch of ear posts, and whether they
// sit above the centre of mass of what they carry.
func (b *bench) posts() error {
	b.owners(piece.PostRole, func(o piece.Owner) {
		p, _ := lang.Find[*piece.Post](b.piece.Recipe, o.Address)
		r := of(b.piece, o, o.Place.O)
		r.Unit = "mm"

		r, grade := b.graded(r, p.Wire, stock.EarPost)
		r.Says, r.Why = fmt.Sprintf("the post is %.2f mm thick; %s", p.Wire, b.asks(grade, p.Wire, r.Limit)), "a thin post bends, a thick one hurts"
		b.add(r, grade, Wearing, "post", "wire")

		r, grade = b.graded(r, p.Length, stock.PostLength)
		r.Says, r.Why = fmt.Sprintf("the post is %.1f mm long", p.Length), "short posts do not hold a back, long ones poke"
		b.add(r, grade, Wearing, "post length", "length")

		if p.Notch == 0 {
			r.Figure, r.Limit, r.Source = 0, 2, `Hoover & Strong, "Stud earrings - setting yourself apart"`
			r.Says, r.Why = "the post has no notch", "a friction back has nothing to snap into"
			b.add(r, Note, Wearing, "notch", "notch")
		}

		mass, at := b.carried(o.Casting)
		foot := b.piece.Castings[o.Casting].Hang.Point(o.Place.O)
		if mass == 0 {
			return
		}
		aside, above := math.Abs(foot.X-at.X), foot.Y-at.Y
		// it turns until its centre of mass hangs below the post
		r, grade = b.graded(r, aside, stock.PostAside)
		r.Says, r.Why = fmt.Sprintf("the post stands %.2f mm beside the centre of mass", aside), "the earring hangs askew"
		b.add(r, grade, Wearing, "balance", "at")
		r, grade = b.graded(r, above, stock.PostAbove)
		r.Says, r.Why = fmt.Sprintf("the post stands %.2f mm below the centre of mass", -above), "the earring turns upside down, or its front drops forward"
		b.add(r, grade, Wearing, "balance", "at")
	})
	return nil
}

// links asks whether rings are thick enough, and whether what passes through
// their bores has room: two wires of neighbours side by side need a bore of
// twice their wire (the smallest circle round two), a plate the diagonal of
// what is left between its eye and its edge.
func (b *bench) links() error {
	file := b.piece.Recipe
	plates := func(k *piece.Link) (all []*piece.Plate, wires []float64) {
		if p, ok := lang.Find[*piece.Plate](file, k.HangsFrom.Address); ok {
			all = append(all, p)
		} else if o, ok := lang.Find[*piece.Link](file, k.HangsFrom.Address); ok {
			wires = append(wires, o.Wire)
		}
		for _, p := range lang.All[*piece.Plate](file) {
			if p.HangsFrom.Address == k.Address {
				all = append(all, p)
			}
		}
		for _, o := range lang.All[*piece.Link](file) {
			if o.HangsFrom.Address == k.Address {
				wires = append(wires, o.Wire)
			}
		}
		return all, wires
	}
	b.owners(piece.LinkRole, func(o piece.Owner) {
		k, _ := lang.Find[*piece.Link](file, o.Address)
		r := of(b.piece, o, vec.P{Y: (k.Bore + k.Wire) / 2}) // where it hangs
		r.Unit = "mm"
		r, grade := b.graded(r, k.Wire, stock.JumpRing)
		r.Says, r.Why = fmt.Sprintf("the link's wire is %.2f mm; %s", k.Wire, b.asks(grade, k.Wire, r.Limit)), "a thin link opens under a pull"
		b.add(r, grade, Wearing, "link", "wire")

		ps, ws := plates(k)
		need := 0.0
		if len(ws) > 0 {
			for _, w := range ws {
				need += w
			}
			need = min(need, slices.Max(ws)*finding.Bundle(len(ws))) // a row of them, or a bundle
		}
		for _, p := range ps {
			need += math.Hypot(k.MarginIn(p, b.piece.House), p.Thickness)
		}
		r, grade = b.graded(r, k.Bore-need, stock.LinkPlay)
		r.Figure, r.Limit = k.Bore, need+r.Limit
		r.Says, r.Why = fmt.Sprintf("a bore of %.2f mm has to pass %.2f mm side by side", k.Bore, need), "links that jam do not swing, and wear"
		b.add(r, grade, Wearing, "link bore", "bore")
	})
	return nil
}

// facing asks whether every plate that hangs faces forward.
func (b *bench) facing() error {
	b.owners(piece.PlateRole, func(o piece.Owner) {
		front := b.piece.Castings[o.Casting].Hang.Dir(vec.P{Z: 1})
		off := math.Acos(min(max(front.Z, -1), 1)) * 180 / math.Pi
		r, grade := b.graded(of(b.piece, o, vec.P{}), off, stock.Facing)
		r.Unit = "degrees"
		r.Says, r.Why = fmt.Sprintf("it faces %.0f degrees away from the viewer", off), "an odd number of links brings a drop to the front again"
		b.add(r, grade, Wearing, "facing", "hangs_from")
	})
	return nil
}

// bails asks for thickness and bore of fixed loops.
func (b *bench) bails() error {
	b.owners(piece.BailRole, func(o piece.Owner) {
		p, _ := lang.Find[*piece.Bail](b.piece.Recipe, o.Address)
		r := of(b.piece, o, o.Place.O)
		r.Unit = "mm"
		r, grade := b.graded(r, p.Wire, stock.Bail)
		r.Says, r.Why = fmt.Sprintf("the loop's wire is %.2f mm; %s", p.Wire, b.asks(grade, p.Wire, r.Limit)), "a chain saws through a thin loop"
		b.add(r, grade, Wearing, "bail", "wire")
		r, grade = b.graded(r, b.shrunk(p.Bore), stock.ChainEnd)
		r.Says, r.Why = fmt.Sprintf("a bore of %.2f mm, %.2f %s, lets few chain ends through", p.Bore, r.Figure, b.shrinks()), "the chain has to pass, end and all"
		b.add(r, grade, Wearing, "bail bore", "bore")
		r, grade = b.graded(r, p.Sink, stock.Joint)
		r.Says, r.Why = fmt.Sprintf("the loop overlaps the plate by %.2f mm", p.Sink), "a joint by a hair breaks"
		b.add(r, grade, Wearing, "joint", "sink")
		b.neck(r, p)
	})
	return nil
}

// neck asks whether the metal that carries a loop is as strong as the loop has to be:
// the plate at its foot, and the rim between the edge and the next hole.
func (b *bench) neck(r Remark, p *piece.Bail) {
	plate, _ := lang.Find[*piece.Plate](b.piece.Recipe, p.On.Address)
	r, grade := b.graded(r, p.Neck(plate), stock.Bail)
	r.Says = fmt.Sprintf("%s is %.2f mm wide where the loop's foot ends; %s", plate.Address, r.Figure, b.asks(grade, r.Figure, r.Limit))
	r.Why = "all hangs on the neck under the loop: let it reach deeper, or round the tip"
	b.add(r, grade, Wearing, "bail neck", "sink")

	width, to, ok := p.Rim(plate, b.piece.Holes(plate))
	r, grade = b.graded(r, width, stock.Bail)
	r.Says = fmt.Sprintf("%s is %.2f mm wide under the loop, from edge to edge; %s", plate.Address, width, b.asks(grade, width, r.Limit))
	r.Why = "all hangs on this rim: make it wider, or set the loop elsewhere"
	if ok {
		r.Says = fmt.Sprintf("the rim under the loop is %.2f mm wide, from the edge to %s; %s", width, to, b.asks(grade, width, r.Limit))
		r.Why, r.Other = "all hangs on this rim: move the hole, or make it smaller", to.Of
	}
	b.add(r, grade, Wearing, "bail rim", "at")
}
