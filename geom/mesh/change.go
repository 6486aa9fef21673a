package mesh

import (
	"math"
	"math/bits"

	"waxwright/geom/vec"
)

// Transform returns a placed copy of m. A mirroring placement also turns every
// triangle over, so that the copy faces outwards where m does.
func (m *Mesh) Transform(at vec.Place) *Mesh {
	r := &Mesh{V: make([]vec.P, len(m.V)), T: make([][3]uint32, len(m.T))}
	for i, p := range m.V {
		r.V[i] = at.Point(p)
	}
	copy(r.T, m.T)
	r.Tag = append(r.Tag, m.Tag...)
	if at.Mirrored() {
		r.flip()
	}
	return r
}

// Flip returns a copy of m with every triangle turned over: outside becomes
// inside.
func (m *Mesh) Flip() *Mesh {
	r := &Mesh{
		V:   append([]vec.P(nil), m.V...),
		T:   append([][3]uint32(nil), m.T...),
		Tag: append([]uint32(nil), m.Tag...),
	}
	r.flip()
	return r
}

func (m *Mesh) flip() {
	for i, t := range m.T {
		m.T[i] = [3]uint32{t[0], t[2], t[1]}
	}
}

// Append adds the surface of n to m, sharing no vertices. Where only one of
// the two carries tags, the triangles of the other get tag 0.
func (m *Mesh) Append(n *Mesh) {
	base := uint32(len(m.V))
	had := len(m.T)
	m.V = append(m.V, n.V...)
	for _, t := range n.T {
		m.T = append(m.T, [3]uint32{t[0] + base, t[1] + base, t[2] + base})
	}
	if len(m.Tag) == 0 && len(n.Tag) == 0 {
		return
	}
	m.Tag = append(m.Tag, make([]uint32, had-len(m.Tag))...)
	m.Tag = append(m.Tag, n.Tag...)
	m.Tag = append(m.Tag, make([]uint32, len(m.T)-len(m.Tag))...)
}

// Sub returns the given triangles as a mesh of their own, in the given order,
// with only the vertices they use, in the order in which they use them.
func (m *Mesh) Sub(triangles []uint32) *Mesh {
	r := &Mesh{T: make([][3]uint32, len(triangles))}
	to := make([]uint32, len(m.V)) // new index + 1
	for i, t := range triangles {
		for k, v := range m.T[t] {
			if to[v] == 0 {
				r.V = append(r.V, m.V[v])
				to[v] = uint32(len(r.V))
			}
			r.T[i][k] = to[v] - 1
		}
		if len(m.Tag) != 0 {
			r.Tag = append(r.Tag, m.Tag[t])
		}
	}
	return r
}

// Float32 returns a copy of m with every coordinate rounded to float32, as STL
// and 3MF files of ours hold it. Vertices stay apart even where their
// coordinates have become equal: what a reader would make of the file is
// m.Float32().Weld().
func (m *Mesh) Float32() *Mesh {
	r := &Mesh{V: make([]vec.P, len(m.V)), T: append([][3]uint32(nil), m.T...)}
	for i, p := range m.V {
		r.V[i] = vec.P{X: float64(float32(p.X)), Y: float64(float32(p.Y)), Z: float64(float32(p.Z))}
	}
	r.Tag = append(r.Tag, m.Tag...)
	return r
}

// Weld returns a copy of m in which vertices of identical coordinates (-0 is
// 0) are one, in the order in which they first stand in V. No triangle is
// dropped: one that has lost an edge names the same vertex twice.
func (m *Mesh) Weld() *Mesh {
	w := NewWelder(len(m.V))
	to := make([]uint32, len(m.V))
	for i, p := range m.V {
		to[i] = w.Add(p)
	}
	r := &Mesh{V: w.V, T: make([][3]uint32, len(m.T))}
	for i, t := range m.T {
		r.T[i] = [3]uint32{to[t[0]], to[t[1]], to[t[2]]}
	}
	r.Tag = append(r.Tag, m.Tag...)
	return r
}

// Welder gathers points, giving equal points the same index. Readers use it
// to join the loose triangles of a file.
type Welder struct {
	V    []vec.P  // the different points, in the order of their first Add
	slot []uint32 // open hash table: index into V + 1, 0 is free
}

// NewWelder returns a Welder with room for about n points.
func NewWelder(n int) *Welder {
	size := 16
	if n > 8 {
		size = 1 << bits.Len(uint(2*n-1))
	}
	return &Welder{slot: make([]uint32, size)}
}

// Add returns the index of p in V, adding it if it is new. -0 counts as 0.
func (w *Welder) Add(p vec.P) uint32 {
	p = p.Add(vec.P{}) // -0 + 0 is +0
	if 2*len(w.V) >= len(w.slot) {
		w.grow()
	}
	mask := uint64(len(w.slot) - 1)
	for h := hash(p) & mask; ; h = (h + 1) & mask {
		s := w.slot[h]
		if s == 0 {
			w.V = append(w.V, p)
			w.slot[h] = uint32(len(w.V))
			return uint32(len(w.V) - 1)
		}
		if w.V[s-1] == p {
			return s - 1
		}
	}
}

func (w *Welder) grow() {
	w.slot = make([]uint32, 2*len(w.slot))
	mask := uint64(len(w.slot) - 1)
	for i, p := range w.V {
		h := hash(p) & mask
		for w.slot[h] != 0 {
			h = (h + 1) & mask
		}
		w.slot[h] = uint32(i + 1)
	}
}

// hash mixes the bits of the three coordinates (multiply and fold).
func hash(p vec.P) uint64 {
	const k = 0x9e3779b97f4a7c15 // 2^64 over the golden ratio, odd
	h := fold(math.Float64bits(p.X)^k, k)
	h = fold(math.Float64bits(p.Y)^h, k)
	return fold(math.Float64bits(p.Z)^h, k)
}

func fold(a, b uint64) uint64 {
	hi, lo := bits.Mul64(a, b)
	return hi ^ lo
}
