// Package drawing turns meshes into the lines of a technical drawing: the
// silhouettes and creases that a viewer sees, hidden stretches left out, and
// the borders of sections.
//
// Guarantees: lengths along the picture plane are true (parallel projection);
// every line lies on an edge of a mesh; a stretch is drawn only if nothing
// lies in front of it by more than Slack. Visibility is decided exactly on the
// geometry, stretch by stretch between crossings, not on pixels. The same
// input gives the same lines.
//
// Not guaranteed: lines shorter than Slack.
package drawing

import (
	"cmp"
	"context"
	"fmt"
	"math"

	"waxwright/geom/mesh"
	"waxwright/geom/vec"
)

// Slack is the depth in mm by which a surface has to lie in front of a line to
// hide it, and how far beside an edge the sight is tested: the facets of a
// curved wall hide each other by some microns.
const Slack = 0.01

// View is a parallel projection; its vectors are orthonormal.
type View struct {
	Right, Up, Toward vec.P // of the picture; Toward points to the viewer
}

// The views of a drawing in third-angle projection (ISO 5456-2).
var (
	Front = View{vec.P{X: 1}, vec.P{Y: 1}, vec.P{Z: 1}}
	Back  = View{vec.P{X: -1}, vec.P{Y: 1}, vec.P{Z: -1}}
	Side  = View{vec.P{Z: -1}, vec.P{Y: 1}, vec.P{X: 1}} // from the right
	Top   = View{vec.P{X: 1}, vec.P{Z: -1}, vec.P{Y: 1}}
)

// Flat projects a point: millimetres right and up.
func (v View) Flat(p vec.P) vec.P2 { return vec.P2{X: v.Right.Dot(p), Y: v.Up.Dot(p)} }

// into takes a point to the view's own coordinates.
func (v View) into(p vec.P) vec.P {
	return vec.P{X: v.Right.Dot(p), Y: v.Up.Dot(p), Z: v.Toward.Dot(p)}
}

// Item is a placed mesh. Only items with Draw give lines; all of them hide.
type Item struct {
	Mesh  *mesh.Mesh
	Place vec.Place
	Draw  bool
	// Sharp is the angle between two faces, radians, from which their edge is
	// drawn; 0 stands for DefaultSharp. For cut stones it is a small one.
	Sharp float64
}

// DefaultSharp is 35 degrees, well over what the facets of a curved wall turn,
// and under what the sides of a groove do: a mesh within 0.005 mm of a wire 0.5
// mm thick turns by 23 degrees from facet to facet (2 acos(1 - tol / radius)).
const DefaultSharp = 35 * math.Pi / 180

// Kind says what a line is.
type Kind uint8

// The kinds of line.
const (
	Silhouette Kind = iota // the surface turns away from the viewer
	Crease                 // two faces meet at an angle
)

// Line is a visible stretch of joined edges.
type Line struct {
	Points []vec.P2 // in the picture plane, mm; at least two
	Kind   Kind
	Item   int
}

// edge is an edge that may be seen, in view coordinates. in points in the
// picture plane to the side of its front face.
type edge struct {
	a, b vec.P
	in   vec.P2
	kind Kind
	item int
}

// Lines draws the items as seen in the view. It fails when a mesh is not made
// of edges with two triangles, and when ctx ends.
func Lines(ctx context.Context, items []Item, v View) ([]Line, error) {
	whole := &mesh.Mesh{}
	var edges []edge
	for i, it := range items {
		m := flat(it, v)
		if it.Draw {
			es, err := edgesOf(m, i, math.Cos(cmp.Or(it.Sharp, DefaultSharp)))
			if err != nil {
				return nil, err
			}
			edges = append(edges, es...)
		}
		whole.Append(m)
	}
	if len(edges) == 0 {
		return nil, nil
	}
	s := newSight(whole, edges)
	var seen []stretch
	for i := range edges {
		if i%256 == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
		seen = append(seen, s.visible(i)...)
	}
	return join(seen), nil
}

// flat is the item's mesh in view coordinates.
func flat(it Item, v View) *mesh.Mesh {
	m := it.Mesh.Transform(it.Place)
	for i, p := range m.V {
		m.V[i] = v.into(p)
	}
	m.Tag = nil
	if v.Right.Cross(v.Up).Dot(v.Toward) < 0 {
		return m.Flip()
	}
	return m
}

// edgeOn is how little a face may face the viewer, or turn away, as a share of
// its normal, to be taken for one that is seen edge on: a wall along the view,
// whose facets lean by the roundings of the mesh. On a round of radius r the
// silhouette moves by r edgeOn^2 / 2, a twentieth of a micron a mm.
const edgeOn = 0.01

// edgesOf finds the edges of m that may be seen; sharp is the cosine of the
// angle from which on edges between two front faces are drawn.
func edgesOf(m *mesh.Mesh, item int, sharp float64) ([]edge, error) {
	normals := make([]vec.P, len(m.T))
	for t := range m.T {
		a, b, c := m.Corners(t)
		normals[t] = b.Sub(a).Cross(c.Sub(a)).Unit()
	}
	var all []edge
	for _, p := range pairs(m) {
		if p.second < 0 {
			return nil, fmt.Errorf("drawing: the mesh is open at %v", m.V[p.u])
		}
		front, back := p.first, p.second
		if normals[front].Z < normals[back].Z {
			front, back = back, front
		}
		n1, n2 := normals[front], normals[back]
		if n1.Z <= edgeOn {
			continue
		}
		e := edge{a: m.V[p.u], b: m.V[p.v], kind: Crease, item: item}
		across := e.b.XY().Sub(e.a.XY()).Left().Unit()
		switch {
		case n2.Z > edgeOn || n2.Z > -edgeOn && hollow(m, front, n2, p):
			if n1.Dot(n2) > sharp {
				continue
			}
			e.in = towards(across, apex(m, front, p).XY().Sub(e.a.XY()))
		case hollow(m, front, n2, p):
			continue // the back face stands before it
		default: // the surface lies away from where its normals point
			e.kind = Silhouette
			e.in = towards(across, n1.Add(n2).XY()).Neg()
		}
		all = append(all, e)
	}
	return all, nil
}

// hollow says whether the face front stands on the outside of its neighbour
// across an edge, whose normal is given: the edge is an inside corner.
func hollow(m *mesh.Mesh, front int, normal vec.P, p pair) bool {
	return apex(m, front, p).Sub(m.V[p.u]).Dot(normal) > 0
}

// apex is the corner of the triangle t that is no end of the edge.
func apex(m *mesh.Mesh, t int, p pair) vec.P {
	for _, w := range m.T[t] {
		if w != p.u && w != p.v {
			return m.V[w]
		}
	}
	return m.V[p.u]
}

// towards turns a direction to the side of another.
func towards(d, side vec.P2) vec.P2 {
	if d.Dot(side) < 0 {
		return d.Neg()
	}
	return d
}
