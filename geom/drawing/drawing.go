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
}

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

// sharp is the cosine of the angle between two faces from which their edge is
// drawn: 25 degrees, well over what facets of a curved wall turn.
var sharp = math.Cos(25 * math.Pi / 180)

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
			es, err := edgesOf(m, i)
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

// edgesOf finds the edges of m that may be seen.
func edgesOf(m *mesh.Mesh, item int) ([]edge, error) {
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
		n1, n2 := normals[p.first], normals[p.second]
		e := edge{a: m.V[p.u], b: m.V[p.v], kind: Crease, item: item}
		front := p.first
		switch f1, f2 := n1.Z > 0, n2.Z > 0; {
		case f1 && f2:
			if n1.Dot(n2) > sharp {
				continue
			}
		case f1 || f2:
			e.kind = Silhouette
			if f2 {
				front = p.second
			}
		default:
			continue
		}
		e.in = inward(m, front, p)
		all = append(all, e)
	}
	return all, nil
}

// inward is the direction in the picture from an edge into the triangle t.
func inward(m *mesh.Mesh, t int, p pair) vec.P2 {
	a, b := m.V[p.u].XY(), m.V[p.v].XY()
	side := b.Sub(a).Left().Unit()
	for _, w := range m.T[t] {
		if w != p.u && w != p.v {
			if side.Dot(m.V[w].XY().Sub(a)) < 0 {
				return side.Neg()
			}
		}
	}
	return side
}
