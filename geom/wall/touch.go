package wall

import (
	"math"

	"waxwright/geom/mesh"
	"waxwright/geom/vec"
)

// facing returns the unit vector that leads out of a ball where it touches triangle t,
// as the mesh has it.
func (b *probe) facing(t uint32) vec.P { return b.into(b.fan.normal[t]).Neg() }

// border is where on the border of its triangle a hit lies.
type border struct {
	corner int // at this corner, -1 for none
	edge   int // on the edge opposite to this corner, -1 for none
}

func (b *probe) border(h *mesh.Hit) border {
	x, y, z := b.m.Corners(int(h.T))
	w := shares(h.P, x, y, z)
	for k := range 3 {
		if w[k] > 1-borders {
			return border{k, -1}
		}
	}
	for k := range 3 {
		if w[k] < borders {
			return border{-1, k}
		}
	}
	return border{-1, -1}
}

// touch returns the direction, seen from its middle, in which a ball touches the
// surface at a hit in the direction u, if facing says which way triangles turn at it.
// Where the surface is smooth that is its own direction, for u may come of the chords:
// it counts only as far as the surface turns from side to side of a crease, or round a
// tip.
func (b *probe) touch(h *mesh.Hit, on border, u vec.P, facing func(t uint32) vec.P) vec.P {
	n := facing(h.T)
	if n.Dot(u) > math.Cos(aslant) {
		return n
	}
	i := b.m.T[h.T]
	if on.corner >= 0 {
		return b.touchTip(i[on.corner], u, facing)
	}
	if on.edge >= 0 {
		if t, ok := b.fan.across(b.m, h.T, i[(on.edge+1)%3], i[(on.edge+2)%3]); ok {
			return nearestOf(u, n, facing(t))
		}
	}
	return n
}

// touchTip is touch at vertex v: u itself if the surface falls away from it on all
// sides, else the nearest direction round the vertex.
func (b *probe) touchTip(v uint32, u vec.P, facing func(t uint32) vec.P) vec.P {
	best, most, falls := u, math.Inf(-1), true
	for _, t := range b.fan.of(v) {
		i := b.m.T[t]
		for i[0] != v {
			i = [3]uint32{i[1], i[2], i[0]}
		}
		falls = falls && b.m.V[i[1]].Sub(b.m.V[v]).Dot(u) >= 0
		n := facing(t)
		if s, ok := b.fan.across(b.m, t, v, i[1]); ok {
			n = nearestOf(u, n, facing(s))
		}
		if c := n.Dot(u); c > most {
			best, most = n, c
		}
	}
	if falls {
		return u
	}
	return best
}

// nearestOf returns the direction nearest to u of all on the shortest turn from p to
// q; all are unit vectors.
func nearestOf(u, p, q vec.P) vec.P {
	axis := p.Cross(q)
	turn := math.Atan2(axis.Len(), p.Dot(q))
	if axis = axis.Unit(); axis == (vec.P{}) {
		return p
	}
	at := math.Atan2(p.Cross(u).Dot(axis), p.Dot(u))
	return slerp(p, q, turn, max(0, min(1, at/turn)))
}
