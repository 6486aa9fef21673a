package sdf

import (
	"math"

	"waxwright/geom/vec"
)

// Lattice is the points (X[i], Y[j], Z[k]). Values on it are kept x first,
// then y, then z.
type Lattice struct{ X, Y, Z []float64 }

// Size returns the number of points.
func (g *Lattice) Size() int { return len(g.X) * len(g.Y) * len(g.Z) }

// Bench is the memory that Grid works in; the zero value is ready.
type Bench struct{ rows [][]float64 }

// row returns buffer i with n numbers.
func (b *Bench) row(i, n int) []float64 {
	for len(b.rows) <= i {
		b.rows = append(b.rows, nil)
	}
	if cap(b.rows[i]) < n {
		b.rows[i] = make([]float64, n)
	}
	return b.rows[i][:n]
}

// Grid writes the value at every point of the lattice to out. A point's value
// comes from its coordinates by one formula for each surface, whatever the
// lattice, so that the sign of a point is the same to the last bit in every
// Local that is true there.
func (l *Local) Grid(g *Lattice, out []float64, b *Bench) {
	l.gridAt(0, g, out, b, 0)
}

func (l *Local) gridAt(i int32, g *Lattice, out []float64, b *Bench, depth int) int32 {
	op := l.prog[i]
	if op >= 0 {
		l.gridLeaf(op, g, out)
		return i + 1
	}
	n := l.prog[i+1]
	next := l.gridAt(i+headLen, g, out, b, depth)
	for ; n > 1; n-- {
		other := b.row(depth, len(out))
		next = l.gridAt(next, g, other, b, depth+1)
		if op == opMin {
			for j, v := range other {
				if v < out[j] {
					out[j] = v
				}
			}
		} else {
			for j, v := range other {
				if v > out[j] {
					out[j] = v
				}
			}
		}
	}
	return next
}

func (l *Local) gridLeaf(w int32, g *Lattice, out []float64) {
	lf := l.leafOf(w)
	s := &l.code.surf[lf.surf]
	switch {
	case s.kind == plane:
		s.gridPlane(g, out)
	case s.kind == cylinder && s.u.X == 0 && s.u.Y == 0:
		s.gridColumn(g, out)
	case s.kind == wall && s.u.X == 0 && s.u.Y == 0:
		layer := out[:len(g.X)*len(g.Y)]
		s.gridEach(lf, &Lattice{g.X, g.Y, g.Z[:1]}, layer)
		repeat(layer, out)
	default:
		s.gridEach(lf, g, out)
	}
	if w&1 != 0 {
		for j, v := range out {
			out[j] = -v
		}
	}
}

// repeat copies the first layer to all others.
func repeat(layer, out []float64) {
	for i := len(layer); i < len(out); i += len(layer) {
		copy(out[i:], layer)
	}
}

func (s *surface) gridPlane(g *Lattice, out []float64) {
	n := len(g.X)
	i := 0
	for _, z := range g.Z {
		for _, y := range g.Y {
			c := float64(s.u.Y*y) + float64(s.u.Z*z) - s.a
			row := out[i : i+n]
			for k, x := range g.X {
				row[k] = float64(s.u.X*x) + c
			}
			i += n
		}
	}
}

// gridColumn is for cylinders about z: all layers are the same.
func (s *surface) gridColumn(g *Lattice, out []float64) {
	i := 0
	for _, y := range g.Y {
		dy := y - s.o.Y
		for _, x := range g.X {
			dx := x - s.o.X
			out[i] = math.Sqrt(float64(dx*dx)+float64(dy*dy)) - s.a
			i++
		}
	}
	repeat(out[:i], out)
}

func (s *surface) gridEach(lf *leaf, g *Lattice, out []float64) {
	i := 0
	for _, z := range g.Z {
		for _, y := range g.Y {
			for _, x := range g.X {
				out[i] = s.value(vec.P{X: x, Y: y, Z: z}, lf)
				i++
			}
		}
	}
}
