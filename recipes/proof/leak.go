package proof

import (
	"fmt"
	"math"

	"waxwright/geom/sdf"
	"waxwright/geom/vec"
	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
	"waxwright/solids/stock"
)

// How leaks are looked for: at so many bearings round a stone, outwards from its
// edge in steps of leakStep to leakReach, both mm.
const (
	leakRays  = 72
	leakStep  = 0.02
	leakReach = 1.0
)

// leaks looks straight down past the edge of every stone, the smallest of its
// lot: where it sees through, and neither an opening of the recipe's own nor the
// edge of the plate explains that, light leaks. Openings under stones explain
// nothing: they are meant to be hidden.
func (b *bench) leaks() error {
	for i := range b.piece.Castings {
		c := &b.piece.Castings[i]
		plate, ok := lang.Find[*piece.Plate](b.piece.Recipe, c.Root)
		if !ok {
			continue
		}
		var open []*piece.Opening
		for _, o := range lang.All[*piece.Opening](b.piece.Recipe) {
			if o.In.Address == c.Root && o.Form != "under" {
				open = append(open, o)
			}
		}
		meant := func(p vec.P2) bool {
			if plate.Outline().Dist(p) >= 0 {
				return true
			}
			for _, o := range open {
				if o.Outline().Dist(p) <= 0 {
					return true
				}
			}
			return false
		}
		for _, s := range c.Stones {
			worst, at := 0.0, vec.P2{}
			for k := range leakRays {
				u := vec.Bearing(1, 2*math.Pi*float64(k)/leakRays)
				wide := 0.0
				for d := leakStep; d < b.radius(s)+leakReach; d += leakStep {
					p := s.Place.O.XY().Add(u.Mul(d))
					if b.covered(c, p) {
						continue
					}
					if meant(p) || !through(c.Metal, p) {
						break
					}
					wide += leakStep
					if wide > worst {
						worst, at = wide, p
					}
				}
			}
			g, _ := lang.Find[*piece.Stones](b.piece.Recipe, s.Group)
			r, grade := b.graded(b.stonesAt(g, s.N), worst, stock.LightLeak)
			r.Casting, r.At, r.Unit = c.Name, at.At(s.Place.O.Z), "mm"
			r.Says = fmt.Sprintf("beside its edge one sees through, %.2f mm wide", worst)
			r.Why = "light leaks past the stone, and nothing bears it there"
			b.add(r, grade, Stones, "light leak", "")
		}
	}
	return nil
}

// covered says whether, seen from the front, a stone lies over p: the smallest
// of its lot, by its girdle.
func (b *bench) covered(c *piece.Casting, p vec.P2) bool {
	for _, s := range c.Stones {
		g, _ := lang.Find[*piece.Stones](b.piece.Recipe, s.Group)
		up := s.Place.LocalDir(vec.P{Z: 1})
		if up.Z <= 0 {
			continue
		}
		q := s.Place.Local(p.At(s.Place.O.Z))
		q = q.Add(up.Mul((s.Cut.GirdleTop()/2 - q.Z) / up.Z))
		if q.XY().Len() < g.Smallest()/2 {
			return true
		}
	}
	return false
}

// through says whether a line straight down at p meets no metal. It steps by the
// distance to the metal, at least by leakStep.
func through(metal sdf.Field, p vec.P2) bool {
	box := metal.Bounds()
	for z := box.Max.Z; z > box.Min.Z; {
		d := metal.Dist(p.At(z))
		if d <= 0 {
			return false
		}
		z -= max(d, leakStep)
	}
	return true
}
