package piece

import (
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
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
	boxes := make([]vec.Box, len(l.seats))
	for i, s := range l.seats {
		boxes[i] = s.cut.Bounds()
	}
	rooms := vec.NewBoxes(boxes)
	for _, p := range l.parts {
		cuts := p.cuts[:len(p.cuts):len(p.cuts)]
		for _, i := range rooms.Meeting(p.metal.Bounds()) {
			if s := l.seats[i]; s.of != p.holds {
				cuts = append(cuts, s.cut)
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
