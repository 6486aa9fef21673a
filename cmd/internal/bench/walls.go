package bench

import (
	"context"
	"encoding/binary"
	"math"
	"net/http"

	"waxwright/geom/mesh"
	"waxwright/geom/picture"
	"waxwright/recipes/build"
	"waxwright/recipes/proof"
)

// wallsHead is the header of a container of wall thicknesses.
type wallsHead struct {
	ID       string      `json:"id"`
	Scale    []wallStop  `json:"scale"`  // nothing beyond its end was measured
	Limits   []string    `json:"limits"` // "bezel 0.35", mm
	Box      [6]float64  `json:"box"`    // that of the model
	Castings []wallsCast `json:"castings"`
}

// wallStop is a stop of picture.WallScale: a share of what the house asks of a
// wall, and its colour, sRGB.
type wallStop struct {
	At    float64  `json:"at"`
	Color [3]uint8 `json:"color"`
}

// wallsCast is a casting in finer triangles than the model's, so that colours told
// vertex by vertex are right between them. The model's vertices come first.
type wallsCast struct {
	Positions buffer `json:"positions"` // as of the model
	Indices   buffer `json:"indices"`
	Shares    buffer `json:"shares"` // uint16 a vertex, thousandths of what is asked; 65535: the end of the scale or more
}

// The meshes that walls are told on have no edge longer than wallStep, mm, and
// no more than wallMost triangles, give or take the last halving.
const (
	wallStep = 0.3
	wallMost = 120_000
)

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
	s.desk.measure(k) // of one that is not shown any more nothing will be told
	s.reply(w, http.StatusAccepted, struct {
		Schema  string `json:"schema"`
		Pending bool   `json:"pending"`
	}{schema, true})
}

// measure begins to measure the walls of k, if that is the model that is shown.
// Another order stops it.
func (d *desk) measure(k *kept) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.now.Model == nil || d.now.Model.ID != k.id || d.now.Busy == "coarse" {
		return
	}
	if d.walls.id == k.id {
		return
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
}

// packWalls measures how thick the metal is at every vertex of a model, by what its
// house asks there, in the
// order of its container.
func packWalls(ctx context.Context, id string, m *build.Model) ([]byte, error) {
	var p packer
	head := wallsHead{ID: id}
	asked, leasts := proof.Asked(m)
	for _, l := range leasts {
		head.Limits = append(head.Limits, l.String())
	}
	scale := picture.WallScale(1)
	for _, s := range scale {
		head.Scale = append(head.Scale, wallStop{s.At, [3]uint8{s.Color.R, s.Color.G, s.Color.B}})
	}
	thickest := scale[len(scale)-1].At
	castings := shown(m)
	fine := make([]*mesh.Mesh, len(castings))
	for i, c := range castings {
		fine[i] = m.Cast(c).Split(wallStep, wallMost)
	}
	box := boxOf(castings, fine)
	head.Box = [6]float64{box.Min.X, box.Min.Y, box.Min.Z, box.Max.X, box.Max.Y, box.Max.Z}
	for i, c := range castings {
		shares, err := m.Shares(ctx, c, fine[i], thickest, asked, 0)
		if err != nil {
			return nil, err
		}
		cast := wallsCast{Positions: p.positions(fine[i], c.Worn[0], box), Indices: p.indices(fine[i])}
		cast.Shares = buffer{At: p.begin(), Count: len(shares)}
		for _, s := range shares {
			p.data = binary.LittleEndian.AppendUint16(p.data, thousandths(s, thickest))
		}
		head.Castings = append(head.Castings, cast)
	}
	return p.container("WXW1", head), nil
}

// thousandths writes a share; 65535 stands for the most, for more, and for one
// that was not found.
func thousandths(share, most float64) uint16 {
	if !(share < most) {
		return math.MaxUint16
	}
	return uint16(math.Round(max(share, 0) * 1000))
}
