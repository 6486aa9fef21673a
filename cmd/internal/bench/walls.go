package bench

import (
	"context"
	"encoding/binary"
	"math"
	"net/http"

	"waxwright/recipes/build"
	"waxwright/recipes/proof"
)

// wallsHead is the header of a container of wall thicknesses.
type wallsHead struct {
	ID       string      `json:"id"`
	Limit    float64     `json:"limit"` // mm: a plate of less should not be sent
	Top      float64     `json:"top"`   // mm: nothing thicker was measured
	Castings []wallsCast `json:"castings"`
}

type wallsCast struct {
	Thickness buffer `json:"thickness"` // uint16 a vertex, micrometres; 65535: Top or more
}

// thickest is how thick walls are looked at, mm: twice what any house asks of a
// plate, and quick to measure.
const thickest = 2.0

// walling is the work on the walls of one model.
type walling struct {
	id   string
	stop context.CancelFunc
}

// end stops it.
func (w *walling) end() {
	if w.stop != nil {
		w.stop()
	}
	*w = walling{}
}

// thickness serves the walls of the model that is shown, or begins to measure
// them: a state tells when they are there.
func (s *server) thickness(w http.ResponseWriter, r *http.Request) {
	k := s.desk.shelf.get(r.PathValue("id"))
	if k == nil {
		s.refuse(w, http.StatusNotFound, "that model is forgotten")
		return
	}
	if packed := k.walls.Load(); packed != nil {
		w.Header().Set("Cache-Control", "private, max-age=3600, immutable")
		s.container(w, r, *packed, func() []byte { return gzipped(*packed) })
		return
	}
	if !s.desk.measure(k) {
		s.refuse(w, http.StatusNotFound, "that model is not shown any more")
		return
	}
	s.reply(w, http.StatusAccepted, struct {
		Schema  string `json:"schema"`
		Pending bool   `json:"pending"`
	}{schema, true})
}

// measure begins to measure the walls of the model that is shown. It reports
// whether k is that model. Another order stops it.
func (d *desk) measure(k *kept) bool {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.now.Model == nil || d.now.Model.ID != k.id || d.now.Busy == "coarse" {
		return false
	}
	if d.walls.id == k.id {
		return true
	}
	d.walls.end()
	ctx, stop := context.WithCancel(d.alive)
	d.walls = walling{k.id, stop}
	go func() {
		packed, err := packWalls(ctx, k.id, k.model)
		d.mu.Lock()
		defer d.mu.Unlock()
		if ctx.Err() != nil {
			return // overtaken
		}
		d.walls.end()
		if err != nil {
			d.change(func(s *state) { s.Trouble = "walls: " + err.Error() })
			return
		}
		k.walls.Store(&packed)
		d.change(func(s *state) {
			if s.Model.ID == k.id {
				now := *s.Model
				now.Walls = true
				s.Model = &now
			}
		})
	}()
	return true
}

// packWalls measures how thick the metal is at every vertex of a model, in the
// order of its container.
func packWalls(ctx context.Context, id string, m *build.Model) ([]byte, error) {
	var p packer
	head := wallsHead{ID: id, Limit: proof.PlateLimit(m), Top: thickest}
	for _, c := range shown(m) {
		widths, err := m.Thickness(ctx, c, m.Cast(c), thickest, 0)
		if err != nil {
			return nil, err
		}
		b := buffer{At: p.begin(), Count: len(widths)}
		for _, w := range widths {
			p.data = binary.LittleEndian.AppendUint16(p.data, microns(w))
		}
		head.Castings = append(head.Castings, wallsCast{b})
	}
	return p.container("WXW1", head), nil
}

// microns writes a width; 65535 stands for one that was not found.
func microns(mm float64) uint16 {
	if !(mm < thickest) {
		return math.MaxUint16
	}
	return uint16(math.Round(max(mm, 0) * 1000))
}
