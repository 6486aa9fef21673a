package bench

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"sync"
	"sync/atomic"

	"waxwright/recipes/build"
)

// kept is a model that pages may fetch.
type kept struct {
	id    string
	model *build.Model
	plain []byte // its container
	walls atomic.Pointer[[]byte]

	once  sync.Once
	small []byte // the container, gzipped
}

// gzipped returns the container, compressed when it is first asked for.
func (k *kept) gzipped() []byte {
	k.once.Do(func() { k.small = gzipped(k.plain) })
	return k.small
}

// gzipped compresses for a short way: quickly rather than well.
func gzipped(b []byte) []byte {
	var out bytes.Buffer
	w, _ := gzip.NewWriterLevel(&out, gzip.BestSpeed) // a level that exists
	_, _ = w.Write(b)                                 // into memory: it can't fail
	_ = w.Close()
	return out.Bytes()
}

// keepModels is how many models stay fetchable, besides the ghost.
const keepModels = 4

// shelf holds the models made last. It may be used from many goroutines.
type shelf struct {
	mu    sync.Mutex
	all   []*kept // the oldest first
	ghost *kept
}

// put packs a model and keeps it. The same model has the same name.
func (s *shelf) put(m *build.Model, cell float64) *kept {
	id := modelID(m, cell)
	if k := s.get(id); k != nil {
		return s.keep(k)
	}
	return s.keep(&kept{id: id, model: m, plain: packModel(id, m)})
}

// modelID names a model by what it is made from.
func modelID(m *build.Model, cell float64) string {
	h := sha256.New()
	h.Write(m.Piece.Digest[:])
	fmt.Fprintln(h, m.Piece.For, m.Sketch, m.Tol, cell)
	for i := range m.Castings { // a sketch may have better castings from a cache
		fmt.Fprintln(h, len(m.Castings[i].Mesh.T))
	}
	return hex.EncodeToString(h.Sum(nil)[:10])
}

// keep makes k the newest.
func (s *shelf) keep(k *kept) *kept {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.all = slices.DeleteFunc(s.all, func(o *kept) bool { return o.id == k.id })
	s.all = append(s.all, k)
	if n := len(s.all) - keepModels; n > 0 {
		s.all = slices.Delete(s.all, 0, n)
	}
	return k
}

// haunt makes k the ghost, which is kept until there is another one.
func (s *shelf) haunt(k *kept) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.ghost = k
}

// get returns the model of that name, nil when it is forgotten.
func (s *shelf) get(id string) *kept {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.ghost != nil && s.ghost.id == id {
		return s.ghost
	}
	for _, k := range s.all {
		if k.id == id {
			return k
		}
	}
	return nil
}
