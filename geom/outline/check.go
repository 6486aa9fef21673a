package outline

import (
	"fmt"
	"math"

	"waxwright/geom/vec"
)

// farthest is the largest coordinate in mm that an outline may have: there
// roundings reach a tenth of the distance touch.
const farthest = 1e6

// New checks the loops and returns their outline. Each loop's direction is put
// right by how deep it lies in the others: the outermost run counter-clockwise
// round metal, those inside them clockwise round holes, and so on inwards. The
// loops are copied. No loops make the empty outline.
//
// It fails as Check does; an error names segment and loop, counted from 1, and
// the place.
func New(loops ...Loop) (Outline, error) {
	own := make([]Loop, len(loops))
	for i, l := range loops {
		own[i] = append(Loop(nil), l...)
	}
	if err := sound(own); err != nil {
		return Outline{}, err
	}
	o := prepared(own)
	if err := o.apart(touch); err != nil {
		return Outline{}, err
	}
	turned := false
	deep := depths(own)
	for i, l := range own {
		if want := deep[i]%2 == 0; want != (l.Area() > 0) {
			own[i] = l.Reversed()
			turned = true
		}
	}
	if turned {
		o = prepared(own)
	}
	return o, nil
}

// Check reports the first fault of an outline: a loop with fewer than two
// segments, a segment without length or with a number that is not finite or
// beyond a kilometre, two segments that cross or touch, a loop that runs the
// wrong way round. It asks for half the distance between segments that New asks
// for: what New made passes, moved and turned, whatever the roundings.
func (o Outline) Check() error {
	if err := sound(o.Loops); err != nil {
		return err
	}
	if err := o.apart(touch / 2); err != nil {
		return err
	}
	deep := depths(o.Loops)
	for i, l := range o.Loops {
		hole := deep[i]%2 == 1
		if hole == (l.Area() > 0) {
			at := l[0].At
			return fmt.Errorf("loop %d at (%g, %g) runs the wrong way: metal lies to the left of every loop", i+1, at.X, at.Y)
		}
	}
	return nil
}

// sound checks each loop's numbers by themselves.
func sound(loops []Loop) error {
	for i, l := range loops {
		if len(l) < 2 {
			return fmt.Errorf("loop %d has %d segments, the least is 2", i+1, len(l))
		}
		for j, s := range l {
			if !(math.Abs(s.At.X) <= farthest && math.Abs(s.At.Y) <= farthest) {
				return fmt.Errorf("segment %d of loop %d starts at (%g, %g), not within %g mm", j+1, i+1, s.At.X, s.At.Y, float64(farthest))
			}
			if math.IsNaN(s.Bulge) || math.IsInf(s.Bulge, 0) {
				return fmt.Errorf("segment %d of loop %d has the bulge %g", j+1, i+1, s.Bulge)
			}
		}
		for j := range l {
			s := l.Span(j)
			if s.B.Sub(s.A).Len() <= touch {
				return fmt.Errorf("segment %d of loop %d has no length at (%g, %g)", j+1, i+1, s.A.X, s.A.Y)
			}
			b := s.Bounds()
			if most := max(-b.Min.X, -b.Min.Y, b.Max.X, b.Max.Y); !(most <= farthest) {
				return fmt.Errorf("segment %d of loop %d reaches to %g, not within %g mm", j+1, i+1, most, float64(farthest))
			}
		}
	}
	return nil
}

// apart checks that no spans come within slack of each other, and that every
// loop has an inside.
func (o Outline) apart(slack float64) error {
	if err := o.ready().crossing(slack); err != nil {
		return err
	}
	for i, l := range o.Loops {
		if l.Area() == 0 {
			return fmt.Errorf("loop %d at (%g, %g) encloses nothing", i+1, l[0].At.X, l[0].At.Y)
		}
	}
	return nil
}

// depths returns for each loop how many of the others lie round it. The loops
// must not cross.
func depths(loops []Loop) []int {
	n := len(loops)
	deep := make([]int, n)
	if n == 1 {
		return deep
	}
	boxes := make([]vec.Box2, n)
	for i, l := range loops {
		boxes[i] = l.Bounds()
	}
	for j, l := range loops {
		round, left := prepared([]Loop{l}), l.Area() > 0
		for i := range loops {
			p, b := loops[i][0].At, &boxes[j]
			if i == j || p.X < b.Min.X || p.X > b.Max.X || p.Y < b.Min.Y || p.Y > b.Max.Y {
				continue
			}
			if (round.Dist(p) < 0) == left {
				deep[i]++
			}
		}
	}
	return deep
}

// Reversed returns the loop run the other way.
func (l Loop) Reversed() Loop {
	n := len(l)
	r := make(Loop, n)
	for i := range l {
		// the piece from l[i] to l[i+1] becomes the one from l[i+1] to l[i]
		r[n-1-i] = Seg{l[(i+1)%n].At, -l[i].Bulge}
	}
	return r
}
