package manifold

import (
	"slices"

	"waxwright/geom/mesh"
)

// shells reports bodies, and closed shells that face the wrong way.
func (j *judge) shells(ss []mesh.Shell) {
	b := bag{keep: j.o.Keep}
	for i := range ss {
		s := &ss[i]
		if s.Volume == 0 || !j.closed(s.T) {
			continue
		}
		around := 0 // how often the space just outside the shell is matter
		for p := s.Parent; p >= 0; p = ss[p].Parent {
			if ss[p].Volume > 0 {
				around++
			} else {
				around--
			}
		}
		at := s.Box.Center()
		switch {
		case s.Volume > 0 && around > 0:
			b.add(Contained, at, 0, s.T[0])
		case s.Volume < 0 && around <= 0:
			b.add(Inward, at, 0, s.T[0])
		}
	}
	j.take(&b)
	for _, body := range mesh.Bodies(ss) {
		outer := &ss[body.Outer]
		r := Body{Volume: outer.Volume, Genus: outer.Genus(), Voids: len(body.Voids), Box: outer.Box, First: outer.T[0]}
		tags := j.tags(outer.T)
		for _, v := range body.Voids {
			r.Volume += ss[v].Volume
			r.Genus += ss[v].Genus()
			tags = append(tags, j.tags(ss[v].T)...)
		}
		slices.Sort(tags)
		r.Tags = slices.Compact(tags)
		j.r.Bodies = append(j.r.Bodies, r)
	}
	for i := range ss {
		j.r.Volume += ss[i].Volume
	}
}

// closed reports whether every edge of the triangles is regular.
func (j *judge) closed(ts []uint32) bool {
	for _, t := range ts {
		if j.face[t].same {
			continue
		}
		for k := range uint32(3) {
			if j.mate[3*t+k] == none {
				return false
			}
		}
	}
	return true
}
