package build

import (
	"slices"

	"waxwright/geom/contour"
	"waxwright/geom/mesh"
	"waxwright/geom/vec"
)

// crumb is the size in mm up to which a loose bit of metal, or a hollow, is left out of
// a model and told as a place finer than the mesh: no printer draws it (pixels of common
// resin printers, from memory: 0.035 to 0.05). They come where grooves and other cuts
// graze what stands beside them.
const crumb = 0.05

// dropCrumbs takes what is no larger than a crumb out of a mesh that has more than that,
// and adds its places to what is unresolved.
func (m *made) dropCrumbs() {
	if m.mesh.Whole() {
		return
	}
	shells := m.mesh.Shells()
	small := func(s mesh.Shell) bool {
		size := s.Box.Size()
		return max(size.X, size.Y, size.Z) <= crumb
	}
	if !slices.ContainsFunc(shells, small) || !slices.ContainsFunc(shells, func(s mesh.Shell) bool { return !small(s) }) {
		return
	}
	var kept []uint32
	unresolved := slices.Clone(m.report.Unresolved)
	for _, s := range shells {
		if !small(s) {
			kept = append(kept, s.T...)
			continue
		}
		size, tag := s.Box.Size(), m.mesh.Tag[s.T[0]]
		unresolved = append(unresolved, contour.Spot{At: s.Box.Center(), Width: min(size.X, size.Y, size.Z), Tags: [2]uint32{tag, tag}})
	}
	slices.Sort(kept)
	if from := m.report.Normals; from != nil {
		normals := make([][3]vec.P, len(kept))
		for i, t := range kept {
			normals[i] = from[t]
		}
		m.report.Normals = normals
	}
	m.mesh, m.report.Unresolved = m.mesh.Sub(kept), unresolved
}
