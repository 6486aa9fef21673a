package outline

import (
	"fmt"

	"waxwright/geom/vec"
)

// changed returns o with every point taken through f, every bulge kept.
func (o Outline) changed(f func(vec.P2) vec.P2) Outline {
	loops := make([]Loop, len(o.Loops))
	for i, l := range o.Loops {
		loops[i] = make(Loop, len(l))
		for j, s := range l {
			loops[i][j] = Seg{f(s.At), s.Bulge}
		}
	}
	return prepared(loops)
}

// Moved returns o shifted by d.
func (o Outline) Moved(d vec.P2) Outline {
	return o.changed(d.Add)
}

// Turned returns o turned about the origin by the angle in radians,
// counter-clockwise. Whole quarter turns are exact. A bearing b is Turned(-b).
func (o Outline) Turned(angle float64) Outline {
	turn := vec.TurnZ(angle)
	return o.changed(func(p vec.P2) vec.P2 { return turn.Point(p.At(0)).XY() })
}

// Mirrored returns the mirror image of o in the line x = 0.
func (o Outline) Mirrored() Outline {
	m := o.changed(func(p vec.P2) vec.P2 { return vec.P2{X: -p.X, Y: p.Y} })
	for i, l := range m.Loops {
		// mirroring turns each loop and each bulge round; so does reversing
		r := l.Reversed()
		for j := range r {
			r[j].Bulge = -r[j].Bulge
		}
		m.Loops[i] = r
	}
	return prepared(m.Loops)
}

// Scaled returns o scaled about the origin by the factor k. It fails unless k
// is positive and the result is a valid outline.
func (o Outline) Scaled(k float64) (Outline, error) {
	if !(k > 0) {
		return Outline{}, fmt.Errorf("outline scaled by %g", k)
	}
	s, err := New(o.changed(func(p vec.P2) vec.P2 { return p.Mul(k) }).Loops...)
	if err != nil {
		return Outline{}, fmt.Errorf("outline scaled by %g: %w", k, err)
	}
	return s, nil
}

// HoleIn returns outer with the other outlines taken out of it. Each has to
// lie fully inside the metal of outer and apart from the others; the error
// names the hole, counted from 1, and the place.
func HoleIn(outer Outline, holes ...Outline) (Outline, error) {
	loops := append([]Loop(nil), outer.Loops...)
	owner := make([]int, len(loops)) // 0: outer, else the number of the hole
	for i, h := range holes {
		for _, l := range h.Loops {
			loops = append(loops, l.Reversed())
			owner = append(owner, i+1)
		}
	}
	o := prepared(loops)
	if err := o.ready().crossing(touch); err != nil {
		c, ok := err.(*clash)
		if !ok {
			return Outline{}, err
		}
		a, b := owner[c.a.loop], owner[c.b.loop]
		name := func(i int) string {
			if i == 0 {
				return "the outline"
			}
			return fmt.Sprintf("hole %d", i)
		}
		return Outline{}, fmt.Errorf("%s %s %s at (%.6g, %.6g)", name(max(a, b)), c.what, name(min(a, b)), c.at.X, c.at.Y)
	}
	deep := depths(loops)
	for i, l := range loops {
		if at := l[0].At; owner[i] > 0 && outer.Dist(at) > 0 {
			return Outline{}, fmt.Errorf("hole %d lies outside the outline at (%.6g, %.6g)", owner[i], at.X, at.Y)
		}
		if (deep[i]%2 == 0) != (l.Area() > 0) {
			return Outline{}, fmt.Errorf("hole %d and another lie inside each other at (%.6g, %.6g)", max(owner[i], 1), l[0].At.X, l[0].At.Y)
		}
	}
	return o, nil
}
