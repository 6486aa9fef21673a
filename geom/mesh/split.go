package mesh

// Split returns m with every edge that is longer than longest (mm, more than 0)
// halved, again and again, until none is or the mesh has more than most
// triangles: the same surface in finer triangles. Both triangles at an edge
// halve it, so that what was closed stays closed. Vertices keep their indices,
// new ones follow; triangles keep their tags.
func (m *Mesh) Split(longest float64, most int) *Mesh {
	out := &Mesh{V: m.V[:len(m.V):len(m.V)], T: m.T, Tag: m.Tag}
	limit := longest * longest
	for len(out.T) <= most {
		next := &Mesh{V: out.V}
		middle := map[[2]uint32]uint32{}
		// half returns the vertex in the middle of a long edge.
		half := func(u, v uint32) (uint32, bool) {
			if u > v {
				u, v = v, u
			}
			k := [2]uint32{u, v}
			if w, ok := middle[k]; ok {
				return w, true
			}
			a, b := out.V[u], out.V[v]
			if b.Sub(a).Len2() <= limit {
				return 0, false
			}
			w := uint32(len(next.V))
			next.V = append(next.V, a.Add(b).Mul(0.5))
			middle[k] = w
			return w, true
		}
		for t, c := range out.T {
			parts := halved(c, half)
			next.T = append(next.T, parts...)
			if len(out.Tag) > 0 {
				for range parts {
					next.Tag = append(next.Tag, out.Tag[t])
				}
			}
		}
		if len(middle) == 0 {
			return out
		}
		out = next
	}
	return out
}

// halved cuts a triangle at the middles of its long edges.
func halved(c [3]uint32, half func(u, v uint32) (uint32, bool)) [][3]uint32 {
	var w [3]uint32 // the middle of the edge from c[k] to c[k+1]
	var cut [3]bool
	n := 0
	for k := range 3 {
		if w[k], cut[k] = half(c[k], c[(k+1)%3]); cut[k] {
			n++
		}
	}
	switch n {
	case 0:
		return [][3]uint32{c}
	case 3:
		return [][3]uint32{{c[0], w[0], w[2]}, {w[0], c[1], w[1]}, {w[2], w[1], c[2]}, {w[0], w[1], w[2]}}
	}
	for k := range 3 { // turned so that the odd one out is the first edge
		a, b, d := c[k], c[(k+1)%3], c[(k+2)%3]
		i, j, l := k, (k+1)%3, (k+2)%3
		switch {
		case n == 1 && cut[i]:
			return [][3]uint32{{a, w[i], d}, {w[i], b, d}}
		case n == 2 && !cut[i]: // the tip at d, then the rest as two
			return [][3]uint32{{d, w[l], w[j]}, {a, b, w[j]}, {a, w[j], w[l]}}
		}
	}
	return [][3]uint32{c}
}
