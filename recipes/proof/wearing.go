package proof

import (
	"fmt"
	"math"

	"waxwright/geom/vec"
	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
	"waxwright/solids/stock"
)

// heavy is from when an earring of one ear is worth a word, and a decision, in
// g: agujayclavojewelry.com earring weights (studs 1-2.5, medium 3.5-6, limit
// 10), weofthewild.com (4-8 comfortable all day).
var heavy = map[bool][2]float64{
	false: {3.5, 6}, // a stud
	true:  {6, 10},  // a drop
}

// weight asks what one ear carries.
func (b *bench) weight() error {
	posts := lang.All[*piece.Post](b.piece.Recipe)
	g, _ := b.massOf(everything)
	if len(posts) == 0 {
		return nil
	}
	drop := len(b.piece.Castings) > 1
	limits := heavy[drop]
	grade, limit := none, 0.0
	if g > limits[1] {
		grade, limit = Caution, limits[1]
	} else if g > limits[0] {
		grade, limit = Note, limits[0]
	}
	r := Remark{Part: "piece", Address: "piece", Span: b.piece.Recipe.Span("piece", ""), Figure: g, Limit: limit, Unit: "g",
		Source: "agujayclavojewelry.com and weofthewild.com, earring weights",
		Says:   fmt.Sprintf("one ear carries %.1f g with its stones", g),
		Why:    "heavy earrings pull the lobe"}
	b.add(r, grade, Wearing, "weight", "")
	return nil
}

// posts asks for the thickness, length and notch of ear posts, and whether they
// sit above the centre of mass of what they carry.
func (b *bench) posts() error {
	l, _ := b.house.Limit(stock.EarPost)
	b.owners(piece.PostRole, func(o piece.Owner) {
		p, _ := lang.Find[*piece.Post](b.piece.Recipe, o.Address)
		r := of(b.piece, o, o.Place.O)
		r.Unit = "mm"

		grade, limit := under(p.Wire, l.Fail.Value, l.Caution.Value)
		r.Source = l.Caution.Source
		if over := l.Over.Value; over > 0 && p.Wire > over {
			grade, limit, r.Source = Caution, over, l.Over.Source
		}
		r.Figure, r.Limit = p.Wire, limit
		r.Says, r.Why = fmt.Sprintf("the post is %.2f mm thick; %s asks for %.2f", p.Wire, b.house.Name, limit), "a thin post bends, a thick one hurts"
		b.add(r, grade, Wearing, "post", "wire")

		grade, r.Limit = none, 0
		if p.Length < 9.5 {
			grade, r.Limit = Caution, 9.5
		} else if p.Length > 12 {
			grade, r.Limit = Caution, 12
		}
		r.Figure, r.Source = p.Length, "commercial range 9.5-12 mm: common practice, no source"
		r.Says, r.Why = fmt.Sprintf("the post is %.1f mm long", p.Length), "short posts do not hold a back, long ones poke"
		b.add(r, grade, Wearing, "post length", "length")

		if p.Notch == 0 {
			r.Figure, r.Limit, r.Source = 0, 2, `Hoover & Strong, "Stud earrings - setting yourself apart"`
			r.Says, r.Why = "the post has no notch", "a friction back has nothing to snap into"
			b.add(r, Note, Wearing, "notch", "notch")
		}

		mass, at := b.massOf(everything)
		foot := b.piece.Castings[o.Casting].Hang.Point(o.Place.O)
		if mass == 0 {
			return
		}
		aside, above := math.Abs(foot.X-at.X), foot.Y-at.Y
		r.Source = "statics: it turns until its centre of mass hangs below the post; how far off is worth a word is common practice, no source"
		r.Figure, r.Limit = aside, 0.5
		r.Says, r.Why = fmt.Sprintf("the post stands %.2f mm beside the centre of mass", aside), "the earring hangs askew"
		b.add(r, over(aside, 0.5, 1.5), Wearing, "balance", "at")
		r.Figure, r.Limit = above, 0
		r.Says, r.Why = fmt.Sprintf("the post stands %.2f mm below the centre of mass", -above), "the earring turns upside down, or its front drops forward"
		grade = none
		if above < -0.5 {
			grade = Fail
		} else if above < -0.05 {
			grade = Caution
		}
		b.add(r, grade, Wearing, "balance", "at")
	})
	return nil
}

// over grades a figure that should not exceed the limits.
func over(figure, note, caution float64) Grade {
	switch {
	case figure > caution:
		return Caution
	case figure > note:
		return Note
	}
	return none
}

// play is the air in mm that links need beyond what has to pass: common
// practice, no source.
const play = 0.2

// links asks whether rings are thick enough, and whether what passes through
// their bores has room: two wires of neighbours side by side need a bore of
// twice their wire (the smallest circle round two), a plate the diagonal of
// what is left between its eye and its edge.
func (b *bench) links() error {
	l, _ := b.house.Limit(stock.JumpRing)
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
	for _, k := range lang.All[*piece.Link](file) {
		r := Remark{Part: k.Address, Address: k.Address, Span: k.Span, Unit: "mm"}
		grade, limit := under(k.Wire, l.Fail.Value, l.Caution.Value)
		r.Figure, r.Limit, r.Source = k.Wire, limit, l.Caution.Source
		r.Says, r.Why = fmt.Sprintf("the link's wire is %.2f mm; %s asks for %.2f", k.Wire, b.house.Name, limit), "a thin link opens under a pull"
		b.add(r, grade, Wearing, "link", "wire")

		ps, ws := plates(k)
		need := 0.0
		for _, w := range ws {
			need += w
		}
		for _, p := range ps {
			need += math.Hypot(k.Margin, p.Thickness)
		}
		grade, r.Limit = none, need
		if k.Bore < need {
			grade = Fail
		} else if k.Bore < need+play {
			grade, r.Limit = Caution, need+play
		}
		r.Figure, r.Source = k.Bore, "geometry: what passes through the bore, side by side"
		r.Says, r.Why = fmt.Sprintf("a bore of %.2f mm has to pass %.2f mm", k.Bore, need), "links that jam do not swing, and wear"
		b.add(r, grade, Wearing, "link bore", "bore")
	}
	return nil
}

// facing asks whether every plate that hangs faces forward.
func (b *bench) facing() error {
	b.owners(piece.PlateRole, func(o piece.Owner) {
		front := b.piece.Castings[o.Casting].Hang.Dir(vec.P{Z: 1})
		off := math.Acos(min(max(front.Z, -1), 1)) * 180 / math.Pi
		if off < 30 {
			return
		}
		r := of(b.piece, o, vec.P{})
		r.Figure, r.Limit, r.Unit, r.Source = off, 30, "degrees", "geometry: each link turns what hangs from it by a quarter"
		r.Says, r.Why = fmt.Sprintf("it faces %.0f degrees away from the viewer", off), "an odd number of links brings a drop to the front again"
		b.add(r, Caution, Wearing, "facing", "hangs_from")
	})
	return nil
}

// bails asks for thickness and bore of fixed loops.
func (b *bench) bails() error {
	l, _ := b.house.Limit(stock.Bail)
	b.owners(piece.BailRole, func(o piece.Owner) {
		p, _ := lang.Find[*piece.Bail](b.piece.Recipe, o.Address)
		r := of(b.piece, o, o.Place.O)
		r.Unit = "mm"
		grade, limit := under(p.Wire, l.Fail.Value, l.Caution.Value)
		r.Figure, r.Limit, r.Source = p.Wire, limit, l.Caution.Source
		r.Says, r.Why = fmt.Sprintf("the loop's wire is %.2f mm; %s asks for %.2f", p.Wire, b.house.Name, limit), "a chain saws through a thin loop"
		b.add(r, grade, Wearing, "bail", "wire")
		grade, limit = under(p.Bore, 2, 3)
		r.Figure, r.Limit, r.Source = p.Bore, limit, "common practice, no source: the end ring of a fine chain measures 2 to 3 mm"
		r.Says, r.Why = fmt.Sprintf("a bore of %.2f mm lets few chain ends through", p.Bore), "the chain has to pass, end and all"
		b.add(r, grade, Wearing, "bail bore", "bore")
		joint, _ := b.house.Limit(stock.Joint)
		grade, limit = under(p.Sink, joint.Fail.Value, joint.Caution.Value)
		r.Figure, r.Limit, r.Source = p.Sink, limit, joint.Fail.Source
		r.Says, r.Why = fmt.Sprintf("the loop overlaps the plate by %.2f mm", p.Sink), "a joint by a hair breaks"
		b.add(r, grade, Wearing, "joint", "sink")
	})
	return nil
}

// hangs finds how a pendant hangs from its loop: it turns until its centre of
// mass is straight below the top of the bore (statics of a rigid body on a
// pivot).
func (b *bench) hangs() error {
	b.owners(piece.BailRole, func(o piece.Owner) {
		p, _ := lang.Find[*piece.Bail](b.piece.Recipe, o.Address)
		mass, at := b.massOf(everything)
		if mass == 0 {
			return
		}
		top := b.piece.Castings[o.Casting].Hang.Point(o.Place.O)
		top.Y += p.Bore / 2
		forward, aside := tilt(top, at)
		r := of(b.piece, o, o.Place.O)
		r.Unit, r.Source = "degrees", "statics of a rigid body on a pivot; how much is worth a word is common practice, no source"
		r.Figure, r.Limit = math.Abs(forward), 5
		r.Says = fmt.Sprintf("it hangs tilted by %.0f degrees, its top %s", math.Abs(forward), map[bool]string{true: "forward", false: "back"}[forward > 0])
		r.Why = "a tilted pendant shows its edge, or digs in"
		b.add(r, over(math.Abs(forward), 5, 12), Wearing, "hang", "at")
		r.Figure = math.Abs(aside)
		r.Says = fmt.Sprintf("it hangs turned by %.0f degrees in its own plane", math.Abs(aside))
		r.Why = "a pendant that hangs askew looks wrong"
		b.add(r, over(math.Abs(aside), 2, 6), Wearing, "hang", "at")
	})
	return nil
}

// tilt returns by how many degrees a body whose centre of mass lies at c turns
// when it is hung from p: forward about x (positive: its top comes forward),
// and in its own plane.
func tilt(p, c vec.P) (forward, aside float64) {
	d := p.Y - c.Y
	return math.Atan2(c.Z-p.Z, d) * 180 / math.Pi, math.Atan2(c.X-p.X, d) * 180 / math.Pi
}
