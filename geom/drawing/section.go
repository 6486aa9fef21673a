package drawing

import (
	"fmt"

	"waxwright/geom/vec"
)

// Loop is a closed border of a cut face in the picture plane, mm: the first
// point is not repeated. Counter-clockwise loops run round what is cut,
// clockwise loops round holes in it.
type Loop struct {
	Points []vec.P2
	Item   int
}

// Area returns the area within the loop in mm2, negative for a hole.
func (l Loop) Area() float64 {
	if len(l.Points) == 0 {
		return 0
	}
	sum, o := 0.0, l.Points[0]
	for i, p := range l.Points {
		q := l.Points[(i+1)%len(l.Points)]
		sum += p.Sub(o).Cross(q.Sub(o))
	}
	return sum / 2
}

// Section cuts the items by the plane across the view at the given depth (mm
// along Toward) and returns the borders of the cut faces, seen by the viewer
// once all before the plane is taken away. Every corner lies on an edge of a
// mesh and on the plane. Corners of a mesh that lie on the plane count as
// behind it, so that loops always close. It fails when a mesh is not made of
// edges with two triangles that face the same way.
func Section(items []Item, v View, depth float64) ([]Loop, error) {
	var all []Loop
	for i, it := range items {
		if !it.Draw {
			continue
		}
		m := flat(it, v)
		type step struct {
			at   vec.P2
			to   uint64
			used bool
		}
		steps := map[uint64]*step{} // by the edge that a triangle is entered through
		var order []uint64
		for _, t := range m.T {
			var from, to uint64
			var at vec.P2
			crossed := false
			for k := range 3 {
				u, w := t[k], t[(k+1)%3]
				switch above, below := m.V[u].Z > depth, m.V[w].Z > depth; {
				case above && !below:
					from, at = key(u, w), crossAt(m.V, u, w, depth)
					crossed = true
				case !above && below:
					to = key(u, w)
				}
			}
			if !crossed {
				continue
			}
			if steps[from] != nil {
				return nil, fmt.Errorf("drawing: more than two triangles meet at %v", at)
			}
			steps[from] = &step{at: at, to: to}
			order = append(order, from)
		}
		for _, first := range order {
			if steps[first].used {
				continue
			}
			l := Loop{Item: i}
			for e := first; ; {
				s := steps[e]
				if s == nil {
					return nil, fmt.Errorf("drawing: the mesh is open at %v", l.Points[len(l.Points)-1])
				}
				if s.used {
					break
				}
				s.used = true
				l.Points = append(l.Points, s.at)
				e = s.to
			}
			all = append(all, l)
		}
	}
	return all, nil
}

// key names an edge whichever way it is run.
func key(u, w uint32) uint64 {
	if u > w {
		u, w = w, u
	}
	return uint64(u)<<32 | uint64(w)
}

// crossAt is where an edge meets the plane: the same bits from both sides.
func crossAt(vs []vec.P, u, w uint32, depth float64) vec.P2 {
	if u > w {
		u, w = w, u
	}
	a, b := vs[u], vs[w]
	return a.Lerp(b, (depth-a.Z)/(b.Z-a.Z)).XY()
}
