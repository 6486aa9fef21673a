package drawing

import "waxwright/geom/vec"

// end is an end of a stretch: points join where they are bit-equal, as the
// ends of edges of one mesh are.
type end struct {
	at   vec.P2
	kind Kind
	item int
}

// join chains stretches that share an end and a kind into lines, and drops
// points that lie on a straight way.
func join(ss []stretch) []Line {
	at := make(map[end][]int, 2*len(ss))
	for i, s := range ss {
		for _, p := range []vec.P2{s.a, s.b} {
			k := end{p, s.kind, s.item}
			at[k] = append(at[k], i)
		}
	}
	used := make([]bool, len(ss))
	// next returns the unused stretch at an end, if there is no fork.
	next := func(p vec.P2, s stretch) int {
		found := at[end{p, s.kind, s.item}]
		if len(found) > 2 {
			return -1
		}
		for _, i := range found {
			if !used[i] {
				return i
			}
		}
		return -1
	}
	follow := func(p vec.P2, s stretch) []vec.P2 {
		var ps []vec.P2
		for {
			i := next(p, s)
			if i < 0 {
				return ps
			}
			used[i] = true
			if ss[i].a == p {
				p = ss[i].b
			} else {
				p = ss[i].a
			}
			ps = append(ps, p)
		}
	}
	var lines []Line
	for i, s := range ss {
		if used[i] {
			continue
		}
		used[i] = true
		after := follow(s.b, s)
		before := follow(s.a, s)
		ps := make([]vec.P2, 0, len(before)+2+len(after))
		for k := len(before) - 1; k >= 0; k-- {
			ps = append(ps, before[k])
		}
		ps = append(append(ps, s.a, s.b), after...)
		lines = append(lines, Line{Points: straighten(ps), Kind: s.kind, Item: s.item})
	}
	return lines
}

// straight is how far in mm a point may lie off the way between its
// neighbours and still be dropped: a third of the thinnest pen at twice the
// size (ISO 128-20: 0.13 mm) would be 0.02; the line keeps a tenth of that.
const straight = 0.002

// straighten drops points that a line does not need (D. Douglas, T. Peucker,
// 1973).
func straighten(ps []vec.P2) []vec.P2 {
	keep := make([]bool, len(ps))
	keep[0], keep[len(ps)-1] = true, true
	type span struct{ lo, hi int }
	for stack := []span{{0, len(ps) - 1}}; len(stack) > 0; {
		s := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		a, b := ps[s.lo], ps[s.hi]
		far, at := straight, -1
		for i := s.lo + 1; i < s.hi; i++ {
			if d := offWay(ps[i], a, b); d > far {
				far, at = d, i
			}
		}
		if at >= 0 {
			keep[at] = true
			stack = append(stack, span{s.lo, at}, span{at, s.hi})
		}
	}
	out := ps[:0:0]
	for i, k := range keep {
		if k {
			out = append(out, ps[i])
		}
	}
	return out
}

// offWay is the distance of p from the segment a-b.
func offWay(p, a, b vec.P2) float64 {
	d := b.Sub(a)
	l2 := d.Dot(d)
	if l2 == 0 {
		return p.Sub(a).Len()
	}
	t := min(max(p.Sub(a).Dot(d)/l2, 0), 1)
	return p.Sub(a.Lerp(b, t)).Len()
}
