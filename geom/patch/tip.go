package patch

import "waxwright/geom/vec"

// Where a surface comes to a point, as a cone does, it has no slope: creases that
// pass there end, whatever they do beyond.

// tipAt reports whether a surface comes to a point at p.
func (b *builder) tipAt(id int32, p vec.P) bool {
	if !b.real(id) {
		return false
	}
	for _, tip := range b.all.Tips(b.surf[id].word) {
		if tip.Sub(p).Len() < merge {
			return true
		}
	}
	return false
}

// tipsIn returns the points to which a cell's faces come where others pass.
func (b *builder) tipsIn(c *cell) (found []vec.P) {
	for _, id := range c.ids {
		if !b.face(id) {
			continue
		}
		for _, tip := range b.all.Tips(b.surf[id].word) {
			if !c.holds(tip, wallGrow) || !b.passes(id, tip) {
				continue
			}
			for _, other := range c.ids {
				if other != id && b.face(other) && b.passes(other, tip) {
					found = append(found, tip)
					break
				}
			}
		}
	}
	return found
}

// passes reports whether a surface passes a point.
func (b *builder) passes(id int32, p vec.P) bool {
	v := b.value(id, p)
	return v < snap && v > -snap
}
