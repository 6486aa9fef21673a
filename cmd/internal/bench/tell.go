package bench

import (
	"fmt"
	"math"
	"strings"
	"time"

	"waxwright/geom/vec"
	"waxwright/recipes/build"
	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
	"waxwright/recipes/proof"
	"waxwright/solids/stock"
)

// tellRecipe takes over what a recipe says: title and dials. It has no faults.
func (d *desk) tellRecipe(s *state, p *piece.Piece, o order) {
	s.Title = p.Title
	s.Faults = []fault{}
	s.Dials = dialsOf(p.Recipe, o.src)
}

// tellModel takes over a model that is to be shown.
func (d *desk) tellModel(s *state, k *kept, o order) {
	quality := "exact"
	if k.model.Sketch {
		quality = "coarse"
	}
	s.Model = &model{
		ID: k.id, Quality: quality, State: viewName(o.view), Seq: o.seq,
		Tolerance: k.model.Tol, Triangles: trianglesOf(k.model), Millis: int(time.Since(o.asked).Milliseconds()),
		Walls: k.walls.Load() != nil,
	}
	if len(o.set) == 0 {
		d.haunt(s, k, o)
	}
}

// haunt makes a model of the saved recipe the ghost.
func (d *desk) haunt(s *state, k *kept, o order) {
	d.shelf.haunt(k)
	d.ghost = o
	s.Ghost = k.id
}

// trianglesOf counts the triangles that the page shows of a model.
func trianglesOf(m *build.Model) int {
	n := 0
	for _, c := range shown(m) {
		n += len(c.Mesh.T)
	}
	return n
}

// dialsOf lists the dials of a recipe, as they stand and as they are written.
func dialsOf(f *lang.File, src []byte) []dial {
	all := []dial{}
	for _, b := range f.Dials() {
		e := dial{Name: b.Name, Step: b.Step, Note: b.Note, Line: b.At.Line, Choices: b.Choices}
		written := strings.TrimSpace(string(src[b.At.Byte:b.At.EndByte]))
		if v, err := b.Value.Number(); err == nil {
			e.Value, e.Saved = v, v
			var saved float64
			if _, err := fmt.Sscan(written, &saved); err == nil {
				e.Saved = saved
			}
			if len(b.Range) == 2 {
				e.Min, e.Max = &b.Range[0], &b.Range[1]
			}
			e.Whole = b.Step >= 1 && whole(b.Step) && whole(v) && (e.Min == nil || whole(*e.Min))
		} else {
			e.Value, _ = b.Value.Text()
			e.Saved = strings.Trim(written, `"`)
		}
		all = append(all, e)
	}
	return all
}

func whole(v float64) bool { return v == math.Trunc(v) }

// figuresOf weighs and measures a model.
func figuresOf(m *build.Model) figures {
	f := figures{Rough: m.Sketch, Stones: stonesOf(m)}
	carats := 0.0
	for _, s := range f.Stones {
		carats += s.Carats
	}
	metal := m.Grams()
	f.Weight = []figure{
		{"metal, " + m.Piece.Alloy.Name, metal, "g"},
		{"stones", carats, "ct"},
		{"metal and stones", metal + carats*stock.Carat, "g"},
	}
	box := vec.Empty()
	for _, c := range shown(m) {
		for _, v := range m.Cast(c).V {
			box = box.With(c.Worn[0].Point(v))
		}
	}
	size := box.Size()
	f.Sizes = []figure{{"wide", size.X, "mm"}, {"high", size.Y, "mm"}, {"deep", size.Z, "mm"}}
	return f
}

// stonesOf lists the groups of stones of the whole piece: of a pair, of both.
func stonesOf(m *build.Model) []stones {
	all := []stones{}
	times := 1
	if m.Piece.Pair != piece.Single {
		times = 2
	}
	for i := range m.Piece.Castings {
		for _, s := range m.Piece.Castings[i].Stones {
			last := len(all) - 1
			if last < 0 || all[last].Group != s.Group {
				cut := ""
				if g, ok := lang.Find[*piece.Stones](m.Piece.Recipe, s.Group); ok {
					cut = g.Cut
				}
				all = append(all, stones{Group: s.Group, Cut: cut, Gem: s.Gem.Name, Size: across(s.Cut)})
				last++
			}
			all[last].Count += times
			all[last].Carats += float64(times) * s.Gem.Carats(s.Cut.Volume())
		}
	}
	return all
}

// castingsOf lists the castings of a model.
func castingsOf(m *build.Model) []casting {
	all := []casting{}
	for i := range m.Castings {
		c := &m.Castings[i]
		all = append(all, casting{c.Name, c.Quantity, c.Grams, c.Report.Volume})
	}
	return all
}

// remarksOf writes the remarks of a proof for the page.
func remarksOf(r *proof.Report, m *build.Model) []remark {
	all := []remark{}
	for _, k := range r.Remarks {
		limit := ""
		if k.Limit != 0 {
			limit = strings.TrimSpace(fmt.Sprintf("%.4g %s", k.Limit, k.Unit))
			if k.Source != "" {
				limit += " (" + k.Source + ")"
			}
		}
		places := [][3]float64{}
		if at := frameOf(m.Piece, k).Point(k.At); at.Finite() {
			places = append(places, [3]float64{at.X, at.Y, at.Z})
		}
		all = append(all, remark{
			ID: idOf(k), Grade: k.Grade.String(), Check: k.Check,
			Who: k.Part, Text: k.Says, Limit: limit, Why: k.Why,
			Line: k.Span.Line, Column: k.Span.Column, Count: k.Count,
			Places: places, Cures: []cure{}, Advice: []advice{},
		})
	}
	return all
}

// idOf names a remark: a proof joins remarks of one name.
func idOf(r proof.Remark) string { return r.Key() + "/" + r.Grade.String() }

// frameOf takes the frame in which a remark has its place to that of the worn
// piece.
func frameOf(p *piece.Piece, r proof.Remark) vec.Place {
	for i := range p.Castings {
		c := &p.Castings[i]
		if c.Name == r.Casting && r.Casting != "" {
			return c.Hang
		}
		for _, s := range c.Stones {
			if r.Casting == "" && s.Group == r.Address {
				return c.Hang
			}
		}
	}
	return vec.Here
}
