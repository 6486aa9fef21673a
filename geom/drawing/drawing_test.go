package drawing

import (
	"context"
	"math"
	"testing"

	"waxwright/geom/mesh"
	"waxwright/geom/mesh/meshtest"
	"waxwright/geom/vec"
)

func draw(t *testing.T, v View, items ...Item) []Line {
	t.Helper()
	lines, err := Lines(context.Background(), items, v)
	if err != nil {
		t.Fatal(err)
	}
	return lines
}

func length(lines []Line, kinds ...Kind) float64 {
	sum := 0.0
	for _, l := range lines {
		for _, k := range kinds {
			if l.Kind != k {
				continue
			}
			for i := 1; i < len(l.Points); i++ {
				sum += l.Points[i].Sub(l.Points[i-1]).Len()
			}
		}
	}
	return sum
}

func near(t *testing.T, what string, got, want, slack float64) {
	t.Helper()
	if math.Abs(got-want) > slack {
		t.Errorf("%s: %g, want %g", what, got, want)
	}
}

// The lines of a sphere are its great circle, of a box its outline, and what
// lies behind is not drawn.
func TestLines(t *testing.T) {
	box := meshtest.Box(vec.Box{Min: vec.P{X: -2, Y: -1, Z: -1}, Max: vec.P{X: 2, Y: 1, Z: 1}})
	ball := meshtest.Sphere(1.5, 96)
	here := func(m *mesh.Mesh) Item { return Item{m, vec.Here, true, 0} }
	at := func(m *mesh.Mesh, p vec.P) Item { return Item{m, vec.Shift(p), true, 0} }

	near(t, "box from the front", length(draw(t, Front, here(box)), Silhouette, Crease), 12, 1e-9)
	near(t, "box from the side", length(draw(t, Side, here(box)), Silhouette, Crease), 8, 1e-9)
	near(t, "ball", length(draw(t, Front, here(ball)), Silhouette), 2*math.Pi*1.5, 0.02)

	// from a corner a cube shows nine of its twelve edges, each foreshortened
	// by sqrt(2/3)
	cube := meshtest.Box(vec.Box{Min: vec.P{X: -1, Y: -1, Z: -1}, Max: vec.P{X: 1, Y: 1, Z: 1}})
	toward := vec.P{X: 1, Y: 1, Z: 1}.Unit()
	right := vec.P{X: 1, Y: -1}.Unit()
	corner := View{right, toward.Cross(right), toward}
	near(t, "cube from a corner", length(draw(t, corner, here(cube)), Silhouette, Crease), 9*2*math.Sqrt(2./3), 1e-6)

	// a ball behind the box shows two arcs only, above and below it
	lines := draw(t, Front, here(box), at(ball, vec.P{Z: -4}))
	arc := 2 * math.Acos(1/1.5) * 1.5
	near(t, "half-hidden ball", length(lines, Silhouette, Crease), 12+2*arc, 8*Slack) // each end may show a little too much
	for _, l := range lines {
		for _, p := range l.Points {
			if l.Item == 1 && math.Abs(p.Y) < 1-2*Slack {
				t.Fatalf("a hidden line at %v", p)
			}
		}
	}
	// in front of it, it shows whole, and hides the box's edges behind it
	lines = draw(t, Front, here(box), at(ball, vec.P{Z: 4}))
	hidden := 4 * math.Sqrt(1.5*1.5-1)
	near(t, "ball before box", length(lines, Silhouette, Crease), 2*math.Pi*1.5+12-hidden, 0.05)
}

func TestLinesJoin(t *testing.T) {
	torus := meshtest.Torus(3, 1, 96, 48)
	lines := draw(t, Front, Item{torus, vec.Here, true, 0})
	if len(lines) != 2 {
		t.Errorf("a torus shows %d lines, want two circles", len(lines))
	}
	near(t, "torus", length(lines, Silhouette), 2*math.Pi*(2+4), 0.05)
}

func TestOpenMesh(t *testing.T) {
	m := &mesh.Mesh{V: []vec.P{{}, {X: 1}, {Y: 1}}, T: [][3]uint32{{0, 1, 2}}}
	if _, err := Lines(context.Background(), []Item{{m, vec.Here, true, 0}}, Front); err == nil {
		t.Error("an open mesh is drawn")
	}
}

// A wall along the view is a silhouette all round, however its facets lean by
// roundings: the circle of a round post on a plate shows whole, and wide.
func TestWallEdgeOn(t *testing.T) {
	const n, r = 72, 2.0
	m := &mesh.Mesh{V: []vec.P{{Z: 3}, {}}} // the middles of top and foot
	for i := range n {
		a := 2 * math.Pi * float64(i) / n
		lean := 1e-6 * math.Sin(7*float64(i)) // roundings
		top, foot := vec.Bearing(r+lean, a).At(3), vec.Bearing(r-lean, a).At(0)
		m.V = append(m.V, top, foot)
	}
	for i := range n {
		a, b := uint32(2+2*i), uint32(2+2*((i+1)%n))
		m.T = append(m.T, [3]uint32{0, b, a}, [3]uint32{1, a + 1, b + 1}, [3]uint32{a, b, b + 1}, [3]uint32{a, b + 1, a + 1})
	}
	if m.Volume() < 0 {
		t.Fatal("the post is inside out")
	}
	plate := meshtest.Box(vec.Box{Min: vec.P{X: -5, Y: -5, Z: -1}, Max: vec.P{X: 5, Y: 5, Z: 0}})
	lines := draw(t, Front, Item{m, vec.Here, true, 0}, Item{plate, vec.Here, true, 0})
	round := 2 * n * r * math.Sin(math.Pi/n)
	sum := 0.0
	for _, l := range lines {
		if l.Item == 0 && l.Kind == Silhouette {
			sum += length([]Line{l}, Silhouette)
		}
	}
	near(t, "a post from above", sum, round, 0.05)
}
