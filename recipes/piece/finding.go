package piece

import (
	"fmt"
	"math"

	"waxwright/geom/outline"
	"waxwright/geom/vec"
	"waxwright/recipes/lang"
	"waxwright/solids/finding"
	"waxwright/solids/stock"
)

// Link is a closed ring that hangs from a plate or another link: a casting of
// its own.
type Link struct {
	lang.Head
	HangsFrom lang.Ref
	At        float64
	Wire      float64
	Bore      float64
	Turn      float64
	Eye       float64
	Margin    float64
}

// Describe says what a link block may hold.
func (b *Link) Describe(d *lang.Desc) {
	d.About("a closed ring of round wire that hangs from a plate or another link; a casting of its own",
		"Where it meets a plate, the plate gets an eye: a hole near its edge.")
	d.Ref(&b.HangsFrom, "hangs_from", "what carries it", "plate", "link").Pose()
	d.Angle(&b.At, "at", "bearing of the eye in the plate that carries it, as worn").Default("180")
	d.Length(&b.Wire, "wire", "thickness").Range(0.3, 6).Called("thickness", "gauge")
	d.Length(&b.Bore, "bore", "inside diameter").Range(0.5, 60)
	d.Angle(&b.Turn, "turn", "against what carries it, about the vertical").Default("90")
	d.Length(&b.Eye, "eye", "diameter of the eyes that it hangs in").Range(0.3, 20).Default("wire + 0.4")
	d.Length(&b.Margin, "margin", "metal between an eye and the edge of the plate; without it, what the house asks of a plate of that span, but at least wire, and the rounding of its edge on top").Range(0.2, 20).Optional()
	d.Later("weight", "g", "weight of one link")
}

// Derive checks that another link can pass.
func (b *Link) Derive(s *lang.Scope) {
	if b.Bore < b.Wire {
		s.Fault("bore", "its own wire does not pass through the ring", fmt.Sprintf("make bore at least wire, %.4g mm, better twice that", b.Wire))
	}
	if b.Eye <= b.Wire {
		s.Fault("eye", "the wire does not pass through the eye", fmt.Sprintf("make eye more than wire, %.4g mm", b.Wire))
	}
}

// ring is the link about its own middle.
func (b *Link) ring() finding.Ring { return finding.Ring{Wire: b.Wire, Bore: b.Bore} }

// grown is a ring whose wire has grown all round, about the same circle.
func grown(r finding.Ring, by float64) finding.Ring {
	return finding.Ring{Wire: r.Wire + 2*by, Bore: r.Bore - 2*by}
}

// Taken returns what a word that is not written and has no default comes to, mm; ok is
// false for any other word. It is the margin of a link, the largest of its eyes.
func (p *Piece) Taken(address, word string) (v float64, ok bool) {
	if word != "margin" {
		return 0, false
	}
	p.Eyes(func(l *Link, in *Plate, _ vec.P2, _ float64) {
		if l.Address == address && l.Margin == 0 {
			v, ok = max(v, l.MarginIn(in, p.House)), true
		}
	})
	return v, ok
}

// MarginIn returns how much metal stays between the edge of the plate p and the
// eye in it, mm, where h is whose limits the piece has to keep. What a rounded edge
// takes off the face comes on top: the limit holds where the metal is narrowest.
func (b *Link) MarginIn(p *Plate, h stock.House) float64 {
	if b.Margin > 0 {
		return b.Margin
	}
	l, _ := h.Limit(stock.PlateOf(p.Span()))
	return max(l.Fail.Value, l.Caution.Value, b.Wire) + p.Edge
}

// eyeIn returns the eye that the link makes in the plate p at a bearing as worn, so
// much inside the edge.
func (b *Link) eyeIn(p *Plate, worn, margin float64) eye {
	at := radians(worn - p.Turn)
	out := edgeAt(p.edge, p.middle, at) - margin - b.Eye/2
	c := p.middle.Add(vec.Bearing(out, at))
	return eye{At: c.At(-p.Thickness / 2), R: b.Eye / 2}
}

// edgeAt returns how far from the point the edge lies at a bearing: the
// farthest crossing of the ray, by walking inwards along it by the distance to
// the outline.
func edgeAt(o outline.Outline, from vec.P2, bearing float64) float64 {
	t := o.Reach(from) + 1
	for range 200 {
		d := o.Dist(from.Add(vec.Bearing(t, bearing)))
		if d < 1e-9 { // a millionth of a micron: the walk ends on the edge
			break
		}
		t -= d
	}
	return t
}

// Bail is a fixed loop on the edge of a plate, for a chain.
type Bail struct {
	lang.Head
	On   lang.Ref
	At   float64
	Wire float64
	Bore float64
	Turn float64
	Sink float64
}

// Describe says what a bail block may hold.
func (b *Bail) Describe(d *lang.Desc) {
	d.About("a fixed loop on the edge of a plate, for a chain or a cord", "")
	d.Ref(&b.On, "on", "the plate", "plate")
	d.Angle(&b.At, "at", "bearing on the edge of the plate").Default("0")
	d.Length(&b.Wire, "wire", "thickness").Range(0.3, 8).Default("1.2").Called("thickness", "gauge")
	d.Length(&b.Bore, "bore", "inside diameter").Range(0.5, 40)
	d.Angle(&b.Turn, "turn", "0: the chain passes from side to side; 90: from front to back").Default("0")
	d.Length(&b.Sink, "sink", "how far its wire reaches into the edge").Range(0.05, 8).Default("0.5 * wire")
}

// Derive checks that enough of the loop stays open.
func (b *Bail) Derive(s *lang.Scope) {
	if b.Sink >= b.Wire {
		s.Fault("sink", "the edge of the plate would stand in the bore", fmt.Sprintf("make sink less than wire, %.4g mm", b.Wire))
	}
}

// ring is the loop about its own middle.
func (b *Bail) ring() finding.Ring { return finding.Ring{Wire: b.Wire, Bore: b.Bore} }

// place puts the loop on the edge of p.
func (b *Bail) place(p *Plate) vec.Place {
	at := radians(b.At)
	out := edgeAt(p.edge, p.middle, at) - b.Sink + b.Wire/2 + b.ring().Middle()
	m := p.middle.Add(vec.Bearing(out, at))
	// the ring's own axis is z: stand it up, so that the bore looks sideways
	stand := vec.Turn(vec.P{Y: 1}, math.Pi/2-radians(b.Turn))
	return vec.Shift(m.At(-p.Thickness / 2)).After(vec.TurnZ(-at).After(stand))
}

// neckSteps is in how many steps the metal under a foot is looked at, over the thickness
// of the wire: in a plate that narrows evenly the foot itself is the narrowest.
const neckSteps = 32

// Neck returns how wide the plate is, mm, where the loop's foot ends and as far inwards
// as its wire is thick: the narrowest of it, across the bearing. What the wire itself
// fills is not counted, nor are openings. It is +Inf where the foot ends beyond the
// plate: what carries it then is the rim.
func (b *Bail) Neck(p *Plate) float64 {
	at := radians(b.At)
	edge, in, side := edgeAt(p.edge, p.middle, at), vec.Bearing(1, at), vec.Bearing(1, at+quarter)
	least := math.Inf(1)
	for k := range neckSteps + 1 {
		from := p.middle.Add(in.Mul(edge - b.Sink - b.Wire*float64(k)/neckSteps))
		if p.edge.Dist(from) >= 0 {
			break // beyond the other side
		}
		least = min(least, inside(p.edge, from, side)+inside(p.edge, from, side.Mul(-1)))
	}
	return least
}

// inside returns how far one may walk from a point inside an outline.
func inside(o outline.Outline, from, way vec.P2) float64 {
	t := 0.0
	for range 200 {
		d := -o.Dist(from.Add(way.Mul(t)))
		if d < 1e-9 { // a millionth of a micron: the walk ends on the edge
			break
		}
		t += d
	}
	return t
}

// underSkin is how far inside the edge the walk across a rim begins, mm: on the edge
// itself it would end at once, and no rim that carries anything is as thin.
const underSkin = 0.05

// Rim returns how wide the metal under the loop is, mm: from the edge of the plate, where
// the loop stands on it, to the nearest of the plate's holes, or inwards to where the plate
// itself ends: then ok is false.
func (b *Bail) Rim(p *Plate, holes []Hole) (width float64, to Hole, ok bool) {
	at := radians(b.At)
	foot := p.middle.Add(vec.Bearing(edgeAt(p.edge, p.middle, at), at))
	in := vec.Bearing(-1, at)
	width = underSkin + inside(p.edge, foot.Add(in.Mul(underSkin)), in)
	for _, h := range holes {
		if d := h.Edge.Dist(foot); d < width {
			width, to, ok = d, h, true
		}
	}
	return width, to, ok
}
