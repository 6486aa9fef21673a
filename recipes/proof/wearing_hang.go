package proof

import (
	"fmt"
	"math"

	"waxwright/geom/vec"
	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
	"waxwright/solids/stock"
)

// hang is the name of the checks that ask how what hangs comes to rest.
const hang = "hang"

// hangs finds how a pendant hangs from its loop: it turns until its centre of
// mass is straight below the top of the bore (statics of a rigid body on a
// pivot).
func (b *bench) hangs() error {
	b.owners(piece.BailRole, func(o piece.Owner) {
		p, _ := lang.Find[*piece.Bail](b.piece.Recipe, o.Address)
		mass, at := b.carried(o.Casting)
		if mass == 0 {
			return
		}
		top := b.piece.Castings[o.Casting].Hang.Point(o.Place.O)
		top.Y += p.Bore / 2
		forward, aside := tilt(top, at)
		r := of(b.piece, o, o.Place.O)
		r.Unit = "degrees"
		r, grade := b.graded(r, math.Abs(forward), stock.TiltForward)
		r.Says = fmt.Sprintf("it hangs tilted by %.0f degrees, its top %s", math.Abs(forward), comes(forward))
		r.Why = "a tilted pendant shows its edge, or digs in"
		b.add(r, grade, Wearing, hang, "at")
		r, grade = b.graded(r, math.Abs(aside), stock.TiltAside)
		r.Says = fmt.Sprintf("it hangs turned by %.0f degrees in its own plane", math.Abs(aside))
		r.Why = "a pendant that hangs askew looks wrong"
		b.add(r, grade, Wearing, hang, "at")
	})
	return nil
}

// swings finds how each plate hangs from its link: it turns about it until its centre of
// mass, with the pull of all that hangs in it, lies straight below (statics, without
// friction). A round eye on a wire bears it as if it were hung from the eye's middle,
// and tips forward on the round of the link as if from the link's middle.
func (b *bench) swings() error {
	b.owners(piece.PlateRole, func(o piece.Owner) {
		c := b.piece.Castings[o.Casting]
		mass, at := b.carried(o.Casting)
		if c.From < 0 || mass == 0 {
			return
		}
		front := c.Hang.Dir(vec.P{Z: 1})
		faced := func(p vec.P) vec.P { // as its viewer sees it, who may stand to the side
			return vec.P{X: p.Dot(vec.P{Y: 1}.Cross(front)), Y: p.Y, Z: p.Dot(front)}
		}
		link := b.piece.Castings[c.From]
		eye, mid := faced(c.Hang.Point(c.By)), faced(at)
		_, aside := tilt(eye, mid)
		mid.X, mid.Y = eye.X, eye.Y-mid.XY().Sub(eye.XY()).Len() // turned so
		forward, _ := tilt(faced(link.Hang.O), mid)

		r := of(b.piece, o, c.By)
		r.Unit = "degrees"
		r, grade := b.graded(r, math.Abs(aside), stock.TiltAside)
		r.Says = fmt.Sprintf("it turns by %.0f degrees in its own plane, until its centre of mass lies below its eye on %s", math.Abs(aside), link.Root)
		r.Why = "a drop that hangs askew looks wrong: hang it by an eye above its centre of mass (hangs_at)"
		if p, _ := lang.Find[*piece.Plate](b.piece.Recipe, o.Address); p.Form == "path" {
			r.Why += ", or draw its path so that its bulk lies below the middle, (0, 0)"
		}
		b.add(r, grade, Wearing, hang, "hangs_at")
		r, grade = b.graded(r, math.Abs(forward), stock.TiltForward)
		r.Says = fmt.Sprintf("it hangs tilted by %.0f degrees on %s, its top %s", math.Abs(forward), link.Root, comes(forward))
		r.Why = "a tilted drop shows its edge: bring its stones nearer to the middle of its thickness, or hang it by a larger link (bore)"
		b.add(r, grade, Wearing, hang, "")
	})
	return nil
}

// comes says which way the top of what tilts by so many degrees comes.
func comes(forward float64) string {
	if forward > 0 {
		return "forward"
	}
	return "back"
}

// tilt returns by how many degrees a body whose centre of mass lies at c turns
// when it is hung from p: forward about x (positive: its top comes forward),
// and in its own plane.
func tilt(p, c vec.P) (forward, aside float64) {
	d := p.Y - c.Y
	return math.Atan2(c.Z-p.Z, d) * 180 / math.Pi, math.Atan2(c.X-p.X, d) * 180 / math.Pi
}
