// Package manifold judges whether a mesh is the surface of a solid.
//
// A sound mesh is closed (every edge has exactly two triangles, running
// through it in opposite directions), two-manifold (the triangles at every
// vertex form one fan), faces outwards (voids inwards), and neither crosses
// nor covers itself; none of its triangles is degenerate, repeated or folded
// onto its neighbour.
//
// Guarantees: topology is judged by vertex indices alone; crossings and
// overlaps are decided exactly on the coordinates as given, never by a
// tolerance; the report is the same for any number of workers. What a file
// holds is judged by Judge(m.Float32().Weld()).
//
// Not promised: that the solid is the one that was meant (a bridged gap is
// sound: compare genus and bodies), or thick enough (package wall).
package manifold

import (
	"fmt"
	"strings"

	"waxwright/geom/mesh"
	"waxwright/geom/vec"
)

// Kind is a kind of defect.
type Kind uint8

// The kinds of defects, in the order in which they are reported.
const (
	// Open is an edge with one triangle.
	Open Kind = iota
	// Crowded is an edge with more than two triangles.
	Crowded
	// Flipped is an edge whose two triangles run through it the same way: one
	// of them faces inwards.
	Flipped
	// Pinched is a vertex whose triangles form more than one fan.
	Pinched
	// Duplicate is a triangle with the same three vertices as another.
	Duplicate
	// Degenerate is a triangle of no area, or of a height under the limit.
	Degenerate
	// Folded is an edge at which two triangles lie on top of each other.
	Folded
	// Crossing is a pair of triangles that pass through each other.
	Crossing
	// Overlap is a pair of triangles in one plane that cover each other in
	// part, and share at most one vertex.
	Overlap
	// TJunction is a vertex of an open edge that lies on another open edge.
	TJunction
	// Inward is a closed shell that faces the wrong way.
	Inward
	// Contained is a closed shell that faces outwards inside the matter of
	// another: matter counted twice.
	Contained
	// Touch is a pair of triangles, not neighbours, that meet in a point or
	// along a line without passing through each other. It is noted, but does
	// not make a mesh unsound.
	Touch
	// Kinds is the number of kinds.
	Kinds
)

var kindNames = [Kinds][2]string{
	{"open edge", "open edges"},
	{"edge with more than two triangles", "edges with more than two triangles"},
	{"flipped edge", "flipped edges"},
	{"vertex with more than one fan", "vertices with more than one fan"},
	{"repeated triangle", "repeated triangles"},
	{"degenerate triangle", "degenerate triangles"},
	{"folded edge", "folded edges"},
	{"crossing pair of triangles", "crossing pairs of triangles"},
	{"overlapping pair of triangles", "overlapping pairs of triangles"},
	{"T-junction", "T-junctions"},
	{"shell that faces inwards", "shells that face inwards"},
	{"shell inside another's matter", "shells inside another's matter"},
	{"touching pair of triangles", "touching pairs of triangles"},
}

// String returns what the kind is called, in the singular.
func (k Kind) String() string { return kindNames[k][0] }

// Defect is one fault of a mesh.
type Defect struct {
	Kind Kind
	At   vec.P    // where: a vertex, the middle of an edge or crossing, a triangle's middle
	T    []uint32 // the triangles concerned; for a shell, its first
	Tags []uint32 // their owners, ascending, each once; empty for a mesh without tags
	Size float64  // height of a degenerate triangle in mm, angle of a fold in radians; else 0
}

// Body is one lump of matter.
type Body struct {
	Volume float64 // mm3, voids deducted
	Genus  int     // handles of its outer shell and its voids; meaningless if it is not closed
	Voids  int     // trapped hollows
	Box    vec.Box
	First  uint32   // its first triangle
	Tags   []uint32 // owners of its triangles, ascending, each once
}

// Report is what the judge found.
type Report struct {
	Unfit     error // why the mesh could not be judged at all (mesh.Check), nil if it was
	Triangles int
	Vertices  int        // used by triangles
	Count     [Kinds]int // how many of each kind there are
	Defects   []Defect   // by kind, then by triangle; of each kind at most Options.Keep
	Bodies    []Body     // by first triangle
	Volume    float64    // mm3
	Area      float64    // mm2
}

// OK reports whether the mesh is sound. An empty mesh is.
func (r *Report) OK() bool {
	if r.Unfit != nil {
		return false
	}
	for k, n := range r.Count {
		if n > 0 && Kind(k) != Touch {
			return false
		}
	}
	return true
}

// Voids returns the number of trapped hollows.
func (r *Report) Voids() int {
	n := 0
	for _, b := range r.Bodies {
		n += b.Voids
	}
	return n
}

// Genus returns the sum over all bodies.
func (r *Report) Genus() int {
	g := 0
	for _, b := range r.Bodies {
		g += b.Genus
	}
	return g
}

// String returns one line on the mesh and one for each kind of defect, with
// the first places.
func (r *Report) String() string {
	var s strings.Builder
	verdict := "sound"
	if !r.OK() {
		verdict = "not sound"
	}
	fmt.Fprintf(&s, "%s: %s, %s, %s, genus %d, volume %.4f mm3, area %.4f mm2", verdict,
		many(r.Triangles, "triangle", "triangles"), many(len(r.Bodies), "body", "bodies"),
		many(r.Voids(), "void", "voids"), r.Genus(), r.Volume, r.Area)
	if r.Unfit != nil {
		fmt.Fprintf(&s, "\n  %v", r.Unfit)
	}
	const shown = 3
	for k, n := range r.Count {
		if n == 0 {
			continue
		}
		fmt.Fprintf(&s, "\n  %s", many(n, kindNames[k][0], kindNames[k][1]))
		sep := " at"
		i := 0
		for _, d := range r.Defects {
			if d.Kind != Kind(k) {
				continue
			}
			if i++; i > shown {
				s.WriteString(", ...")
				break
			}
			fmt.Fprintf(&s, "%s (%.4g, %.4g, %.4g)", sep, d.At.X, d.At.Y, d.At.Z)
			sep = ","
		}
	}
	return s.String()
}

// many returns a number with its noun.
func many(n int, one, more string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, more)
}

// middle returns the middle of triangle t.
func middle(m *mesh.Mesh, t uint32) vec.P {
	a, b, c := m.Corners(int(t))
	return a.Add(b).Add(c).Mul(1.0 / 3)
}
