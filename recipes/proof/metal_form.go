package proof

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"waxwright/geom/outline"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
	"waxwright/solids/stock"
)

// sheets asks whether a broad plate is thick enough for its span: the largest
// circle beside its openings. A gallery behind it stiffens it.
func (b *bench) sheets() error {
	const tol = 0.05 // mm: a small share of any span that counts
	file := b.piece.Recipe
	galleries := lang.All[*piece.Gallery](file)
	b.owners(piece.PlateRole, func(o piece.Owner) {
		if slices.ContainsFunc(galleries, func(g *piece.Gallery) bool { return g.Behind.Address == o.Address }) {
			return
		}
		p, _ := lang.Find[*piece.Plate](file, o.Address)
		var holes []outline.Outline
		for _, h := range lang.All[*piece.Opening](file) {
			if h.In.Address == o.Address {
				holes = append(holes, h.Outline())
			}
		}
		at, r := p.Outline().Inscribed(holes, tol)
		least := 2 * r * stock.SheetShare.Value
		if p.Thickness >= least {
			return
		}
		m := of(b.piece, o, at.At(0))
		m.Figure, m.Limit, m.Unit, m.Source = p.Thickness, least, "mm", stock.SheetShare.Source
		m.Says = fmt.Sprintf("a sheet %.1f mm wide and %.2f thick; %.2f keeps it flat", 2*r, p.Thickness, least)
		m.Why = "a broad thin sheet warps in the wax, fills badly, and bends in wear"
		b.add(m, Caution, Metal, "sheet", "thickness")
	})
	return nil
}

// corners asks for inside corners without a radius, in the outlines of plates
// and openings; and says once for each casting which of its parts meet squarely.
func (b *bench) corners() error {
	file := b.piece.Recipe
	for _, p := range lang.All[*piece.Plate](file) {
		b.sharp(p.Head, p.Form, p.Outline(), outline.Reflex)
	}
	for _, p := range lang.All[*piece.Opening](file) {
		b.sharp(p.Head, p.Form, p.Outline(), outline.Convex)
	}
	for i := range b.piece.Castings {
		b.square(i)
	}
	return nil
}

// sharp remarks on the corners of one kind in an outline: where the metal
// turns inwards.
func (b *bench) sharp(h lang.Head, form string, o outline.Outline, inwards outline.Corner) {
	n, first := 0, vec.P2{}
	for _, l := range o.Loops {
		spans := l.Spans()
		for i, s := range spans {
			if outline.CornerOf(s, spans[(i+1)%len(spans)]) == inwards {
				if n == 0 {
					first = s.B
				}
				n++
			}
		}
	}
	if n == 0 {
		return
	}
	word := "form"
	if slices.Contains(rounded, form) {
		word = "corner"
	}
	r := Remark{Part: h.Address, Address: h.Address, Span: h.Span, At: first.At(0)}
	r.Limit, r.Unit, r.Source = stock.InsideRadius.Value, "mm", stock.InsideRadius.Source
	r.Says = fmt.Sprintf("%d sharp inside corners; a radius of %.3f mm or more", n, stock.InsideRadius.Value)
	r.Why = "cracks begin in sharp inside corners, of the investment and of the metal"
	b.add(r, Note, Metal, "corner", word)
}

// rounded are the forms whose corners have a radius of their own.
var rounded = []string{"cushion", "polygon", "pear", "scallop"}

// square says which parts of a casting meet squarely, in one remark.
func (b *bench) square(casting int) {
	c := &b.piece.Castings[casting]
	var blocks []string
	for _, o := range b.piece.Owners {
		if o.Casting == casting && o.Address != c.Root && !slices.Contains(blocks, o.Address) {
			blocks = append(blocks, o.Address)
		}
	}
	if len(blocks) == 0 {
		return
	}
	r := Remark{Part: c.Root, Address: c.Root, Casting: c.Name, Span: b.piece.Recipe.Span(c.Root, "")}
	r.Figure, r.Source = float64(len(blocks)), stock.Common
	r.Says = "no fillet where it meets " + listed(blocks)
	r.Why = "a bead of wax run round a joint helps the metal in and keeps cracks out"
	b.add(r, Note, Metal, "fillet", "")
}

// listed writes names for people: "a, b and c".
func listed(names []string) string {
	n := len(names) - 1
	if n == 0 {
		return names[0]
	}
	return strings.Join(names[:n], ", ") + " and " + names[n]
}

const (
	// footRings and footSpokes are where a foot is felt for the metal that it
	// stands on.
	footRings, footSpokes = 3, 16
	// footDeep is how deep in mm metal has to go under the foot: what polishing
	// takes, and more.
	footDeep = 0.1
	// The share of a foot that should stand on metal: common practice, no
	// source.
	footFail, footCaution = 0.6, 0.95
)

// landings asks whether posts stand on metal, not over a window or a groove.
func (b *bench) landings() error {
	b.owners(piece.PostRole, func(o piece.Owner) {
		p, _ := lang.Find[*piece.Post](b.piece.Recipe, o.Address)
		c := &b.piece.Castings[o.Casting]
		rest := b.piece.Without(c, func(q piece.Owner) bool { return q == o })
		r := of(b.piece, o, o.Place.O)
		r.Figure = footing(rest, o.Place, p.Wire/2, footDeep)
		grade, limit := under(r.Figure, footFail, footCaution)
		r.Limit, r.Source = limit, stock.Common
		r.Says = fmt.Sprintf("%.0f %% of the post's foot stands on metal, the rest over an opening or a groove", 100*r.Figure)
		r.Why = "a post that stands half over a hole breaks off"
		b.add(r, grade, Metal, "landing", "")
	})
	return nil
}

// footing is the share of a disc about the origin of a frame that lies in the
// metal at the height z.
func footing(metal sdf.Field, at vec.Place, r, z float64) float64 {
	in, n := 0, 0
	for i := range footRings {
		out := r * math.Sqrt((float64(i)+0.5)/footRings) // rings of equal area
		for k := range footSpokes {
			p := vec.Bearing(out, 2*math.Pi*float64(k)/footSpokes)
			if n++; metal.Dist(at.Point(p.At(z))) < 0 {
				in++
			}
		}
	}
	return float64(in) / float64(n)
}
