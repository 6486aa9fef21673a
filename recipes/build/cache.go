package build

import (
	"context"
	"errors"
	"sync"

	"waxwright/geom/contour"
	"waxwright/geom/mend"
	"waxwright/geom/mesh"
	"waxwright/geom/patch"
	"waxwright/geom/sdf"
)

// Cache keeps the meshes of fields that were made before, by the digest of the
// field and the tolerance: a dial that is turned changes some castings and
// leaves others as they are. A nil Cache keeps nothing. It may be used from
// many goroutines. Its meshes are shared and must not be changed.
type Cache struct {
	mu   sync.Mutex
	made map[cacheKey]made
	age  []cacheKey // the oldest first
	held int        // triangles
}

type cacheKey struct {
	digest    [32]byte
	faces     bool    // package patch was asked first
	normals   bool    // the mesh has its normals
	tol, cell float64 // tol is negative for a sketch of that tolerance, and 0 for one of cells of one size
}

// made is a mesh with its report.
type made struct {
	mesh   *mesh.Mesh
	report contour.Report
	faced  bool // meshed face by face
}

// cacheMost is how many triangles a cache holds at most: some 300 MB.
const cacheMost = 4_000_000

// mesh meshes the field, or returns the mesh of the same field made before: face
// by face where faces allows it and package patch accepts the field, else from
// cells.
func (k *Cache) mesh(ctx context.Context, code *sdf.Code, faces bool, o contour.Options) (made, error) {
	key := cacheKey{digest: code.Digest(), faces: faces, normals: o.Normals, tol: o.Tol}
	if old, ok := k.find(key); ok {
		return old, nil
	}
	if faces {
		if result, ok, err := k.face(ctx, code, o); ok || err != nil {
			return result, err
		}
	}
	m, r, err := contour.Mesh(ctx, code, o)
	if err != nil {
		return made{}, err
	}
	stray, err := mend.Mend(ctx, m, code.Distance, o.Tol, o.Workers)
	if err != nil {
		return made{}, err
	}
	far := mesh.Stray{By: r.Reached, At: r.At}.Farther(stray)
	r.Reached, r.At = far.By, far.At
	result := made{mesh: m, report: r}
	result.dropCrumbs()
	k.keep(key, result)
	return result, nil
}

// finer is the share of the tolerance at which a field is meshed face by face
// that is refused at the tolerance itself: chords of neighbours that cross at
// the one may not at the other, and to refuse takes little time.
const finer = 0.4

// face returns the mesh of the field by its faces, where package patch accepts it.
func (k *Cache) face(ctx context.Context, code *sdf.Code, o contour.Options) (result made, ok bool, err error) {
	for _, tol := range [2]float64{o.Tol, finer * o.Tol} {
		m, r, err := patch.Mesh(ctx, code, patch.Options{Tol: tol, Workers: o.Workers, Normals: o.Normals})
		var refused *patch.Refused
		switch {
		case ctx.Err() != nil:
			return made{}, false, ctx.Err()
		case errors.As(err, &refused):
			continue
		case err != nil:
			return made{}, false, err
		}
		result = made{mesh: m, report: contour.Report{Reached: r.Reached, At: r.At, Cells: r.Cells, Normals: r.Normals}, faced: true}
		for _, t := range r.Parted {
			result.report.Unresolved = append(result.report.Unresolved, contour.Spot(t))
		}
		result.dropCrumbs()
		k.keep(cacheKey{digest: code.Digest(), faces: true, normals: o.Normals, tol: o.Tol}, result)
		return result, true, nil
	}
	return made{}, false, nil
}

// find returns a mesh made before.
func (k *Cache) find(key cacheKey) (made, bool) {
	if k == nil {
		return made{}, false
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	old, ok := k.made[key]
	return old, ok
}

// keep adds a mesh and drops the oldest where there are too many.
func (k *Cache) keep(key cacheKey, m made) {
	if k == nil || len(m.mesh.T) > cacheMost {
		return
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	if _, ok := k.made[key]; ok {
		return
	}
	if k.made == nil {
		k.made = map[cacheKey]made{}
	}
	k.made[key] = m
	k.age = append(k.age, key)
	k.held += len(m.mesh.T)
	for k.held > cacheMost {
		old := k.age[0]
		k.age = k.age[1:]
		k.held -= len(k.made[old].mesh.T)
		delete(k.made, old)
	}
}
