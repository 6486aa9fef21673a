// Package mesh holds indexed triangle meshes and what can be asked of them:
// volume, centroid, inertia, connected bodies, a bounding-volume tree.
//
// Guarantees: measures are exact for the polyhedron but for rounding, have the
// same bits on every CPU, and are the same to the last bit for a mirror image;
// nothing depends on the number of processors; which shell lies in which is
// decided exactly. Meshes are plain values that functions leave unchanged,
// except where they say otherwise (Append).
//
// Not promised: that a mesh is closed or sound. Check tells whether it can be
// measured at all, package manifold whether it bounds a solid.
package mesh

import "waxwright/geom/vec"

// Mesh is an indexed triangle mesh. V are the vertices in millimetres, T the
// triangles as three indices into V, counter-clockwise seen from outside, Tag
// the owner of each triangle (empty, or one a triangle; see sdf.Tag). The zero
// Mesh is the empty mesh.
type Mesh struct {
	V   []vec.P
	T   [][3]uint32
	Tag []uint32
}
