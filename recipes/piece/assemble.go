package piece

import (
	"waxwright/geom/sdf"
)

// lump is a casting while it is put together. What cuts what: openings, eyes
// and rays cut the plate that they name; a stone's seat cuts all metal of its
// casting but what holds that stone, for the setter cuts those.
type lump struct {
	name, root string
	parts      []part
	seats      []seat
	stones     []Stone
	hung       hung
}

// part is one instance of metal in the casting's frame.
type part struct {
	metal sdf.Field
	cuts  []sdf.Field // of its own: openings, rays, eyes
	holds string      // address of the stones whose seats spare it
	tag   uint32
}

// seat is the room that one stone needs.
type seat struct {
	of  string // address of its group
	cut sdf.Field
}

// metal joins the parts. Each part is cut by what reaches it and tagged as a
// whole, so that the walls of its cuts are its own.
func (l *lump) metal() sdf.Field {
	all := make(sdf.Union, 0, len(l.parts))
	for _, p := range l.parts {
		cuts := p.cuts
		box := p.metal.Bounds()
		for _, s := range l.seats {
			if s.of != p.holds && !box.Intersect(s.cut.Bounds()).IsEmpty() {
				cuts = append(cuts[:len(cuts):len(cuts)], s.cut)
			}
		}
		f := p.metal
		if len(cuts) > 0 {
			f = sdf.Difference{From: f, Cut: cuts}
		}
		all = append(all, sdf.Tag(f, p.tag))
	}
	return all
}
