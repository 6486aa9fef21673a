package manifold

// fans reports vertices whose triangles form more than one fan.
func (j *judge) fans() {
	m := j.m
	degree := make([]uint32, len(m.V))
	first := make([]uint32, len(m.V)) // a half-edge that leaves the vertex
	for t, ix := range m.T {
		for k, v := range ix {
			if degree[v] == 0 {
				j.r.Vertices++
			}
			if j.face[t].same {
				if degree[v] == 0 {
					degree[v] = none // used, but by nothing that counts yet
				}
				continue
			}
			if degree[v] == none {
				degree[v] = 0
			}
			degree[v]++
			first[v] = uint32(3*t + k)
		}
	}
	// Where all edges are regular a walk from mate to mate comes round; it
	// has met all triangles if there is one fan.
	n := len(m.V)
	j.clear = make([]bool, n)
	lists := make([][]uint32, (n+chunk-1)/chunk)
	j.eachChunk(n, func(lo, hi int, _ *bag) {
		for v := lo; v < hi; v++ {
			d := degree[v]
			if d == 0 || d == none {
				continue
			}
			if !j.odd[v] && j.round(first[v], d) == d {
				j.clear[v] = j.star(first[v], d)
			} else {
				lists[lo/chunk] = append(lists[lo/chunk], uint32(v))
			}
		}
	})
	corner := map[uint32][]uint32{} // half-edges that leave the suspects
	for _, l := range lists {
		for _, v := range l {
			corner[v] = nil
		}
	}
	if len(corner) == 0 {
		return
	}
	for t, ix := range m.T {
		if j.face[t].same {
			continue
		}
		for k, v := range ix {
			if hs, ok := corner[v]; ok {
				corner[v] = append(hs, uint32(3*t+k))
			}
		}
	}
	b := bag{keep: j.o.Keep}
	for _, l := range lists {
		for _, v := range l {
			if fans := j.fansAt(corner[v]); len(fans) > 1 {
				b.add(Pinched, m.V[v], 0, fans[:min(len(fans), maxNamed)]...)
			}
		}
	}
	j.take(&b)
}

// round walks from triangle to triangle round the vertex that half-edge h
// leaves, and returns how many it met before it came back; 0 if it met an edge
// that is not regular.
func (j *judge) round(h, degree uint32) uint32 {
	n := uint32(0)
	for at := h; n <= degree; {
		n++
		prev := at - 1 // the half-edge that enters the vertex
		if at%3 == 0 {
			prev = at + 2
		}
		if at = j.mate[prev]; at == none {
			return 0
		}
		if at == h {
			return n
		}
	}
	return 0
}

// fansAt returns one triangle of each fan at a vertex, of which all corners are given:
// a fan is a set of triangles that hang together by edges there, however many
// triangles an edge has.
func (j *judge) fansAt(corners []uint32) []uint32 {
	up := map[uint32]uint32{} // neighbours of the vertex, joined by triangles
	for _, h := range corners {
		_, a, b := j.ends(h)
		up[a], up[b] = a, b
	}
	root := func(w uint32) uint32 {
		for up[w] != w {
			up[w] = up[up[w]]
			w = up[w]
		}
		return w
	}
	for _, h := range corners {
		_, a, b := j.ends(h)
		a, b = root(a), root(b)
		up[max(a, b)] = min(a, b)
	}
	var fans []uint32
	seen := map[uint32]bool{}
	for _, h := range corners {
		_, a, _ := j.ends(h)
		if r := root(a); !seen[r] {
			seen[r] = true
			fans = append(fans, h/3)
		}
	}
	return fans
}
