// Package mesh holds indexed triangle meshes and what can be asked of them:
// volume, centroid, inertia, connected bodies, a bounding-volume tree.
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
