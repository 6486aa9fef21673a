package wall

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"waxwright/geom/mesh"
	"waxwright/geom/vec"
)

// Pit is a blind hole: a place from which the open air is seen through a
// narrow mouth only.
type Pit struct {
	At    vec.P   // in the middle of its floor
	Out   vec.P   // unit vector through its mouth
	Depth float64 // from the floor to the mouth, mm
	Width float64 // at its narrowest in the outer half of its depth, mm
	Tag   uint32  // owner of the floor
}

const (
	// pitPairs is how many lines across a pit are measured, and half the
	// number of directions about its axis in which the air is looked for.
	pitPairs = 4
	// pitSteps is how many steps the walk out of a pit takes for its width.
	pitSteps = 10
	// pitFlare is how much wider than so far a pit may get and still be it:
	// beyond, its mouth has been passed.
	pitFlare = 3
)

// pitRings are further angles from the axis, radians, at which no air may be
// seen from the floor: 45 and 65 degrees, between that of the mouth and the
// floor itself.
var pitRings = []float64{math.Pi / 4, 65 * math.Pi / 180}

// Pits returns the blind holes that are deeper than ratio times their width,
// and deeper than least mm, the deepest for its width first, one for each
// mouth. The mesh is to be closed and to face outwards; of the options Spacing,
// Workers, Progress and Tree count. The errors are those of unfit arguments and
// of a cancelled context.
//
// From the middle of the floor, the mouth of a hole of that ratio is seen
// within arctan 1/(2 ratio) of its axis. So a place is on the floor of a pit if
// the air is seen straight out from it, not at larger angles, and from the
// middle between the walls round it not at that angle. The depth is how far out
// lines across still meet the hole's wall. Holes open at both ends have no
// floor; what is seen through several windows, and a slot longer than deep, are
// no pits: of slots ask Gaps. A hole narrower than twice the spacing may be
// missed.
func Pits(ctx context.Context, m *mesh.Mesh, ratio, least float64, o Options) ([]Pit, error) {
	if !(ratio > 0 && least >= 0) || math.IsInf(ratio, 0) || math.IsInf(least, 0) {
		return nil, fmt.Errorf("wall: holes deeper than %g times their width and %g mm are none", ratio, least)
	}
	v, err := newSurvey(ctx, m, nil, 1, o, inside) // whose tips are those of drills
	if err != nil {
		return nil, err
	}
	all, err := v.samples()
	if err != nil {
		return nil, err
	}
	w := watch{survey: v, reach: m.Bounds().Size().Len() + 1, ratio: ratio, least: least}
	w.rings = append([]float64{math.Atan(1 / (2 * ratio))}, pitRings...)
	blocks := v.blocks(all)
	found := make([][]Pit, len(blocks))
	step := v.counter(len(blocks))
	err = v.each(len(blocks), func(i int) {
		for _, s := range blocks[i] {
			if all[s].kind == onCrease {
				continue
			}
			if p, ok := w.pit(&all[s]); ok {
				found[i] = append(found[i], p)
			}
		}
		step()
	})
	if err != nil {
		return nil, err
	}
	pits := slices.Concat(found...)
	slices.SortStableFunc(pits, func(a, b Pit) int { return cmp.Compare(b.Depth/b.Width, a.Depth/a.Width) })
	var r []Pit
	for _, p := range pits {
		if !slices.ContainsFunc(r, func(q Pit) bool { return q.sharesMouth(p) }) {
			r = append(r, p)
		}
	}
	return r, nil
}

func (p Pit) mouth() vec.P { return p.At.Add(p.Out.Mul(p.Depth)) }

func (p Pit) sharesMouth(q Pit) bool {
	return p.mouth().Sub(q.mouth()).Len() < max(p.Width, q.Width)
}

// watch looks for the air.
type watch struct {
	*survey
	reach float64 // beyond which there is nothing but air
	ratio float64
	least float64
	rings []float64 // angles from the axis at which none may be seen
}

// sees says whether the air is seen from p along d.
func (w *watch) sees(p, d vec.P) bool {
	_, hit := w.tree.Ray(p, d, w.reach)
	return !hit
}

// pit returns the pit on whose floor s lies.
func (w *watch) pit(s *sample) (Pit, bool) {
	p := s.p.Add(s.n.Mul(grazing))
	e, f := across(s.n)
	round := func(p vec.P, angle float64) bool { // the air is seen at that angle
		sin, cos := math.Sincos(angle)
		for k := range 2 * pitPairs {
			y, x := math.Sincos(math.Pi / pitPairs * float64(k))
			if w.sees(p, s.n.Mul(cos).Add(e.Mul(sin*x)).Add(f.Mul(sin*y))) {
				return true
			}
		}
		return false
	}
	for _, a := range w.rings[1:] {
		if round(p, a) {
			return Pit{}, false
		}
	}
	if !w.sees(p, s.n) {
		return Pit{}, false
	}
	axis := w.centred(p.Add(s.n.Mul(w.o.Slack)), e, f)
	if round(axis, w.rings[0]) || !w.sees(axis, s.n) {
		return Pit{}, false
	}
	pit := Pit{At: s.p, Out: s.n, Width: math.Inf(1), Tag: w.tag(s.t)}
	pit.At = axis.Sub(s.n.Mul(w.o.Slack))
	type level struct{ z, width float64 }
	var levels []level
	most := math.Inf(1)
	for z := w.o.Slack; z < w.reach; {
		width, closed := w.width(axis.Add(s.n.Mul(z-w.o.Slack)), e, f, most)
		if closed < pitPairs {
			break
		}
		levels = append(levels, level{z, width})
		pit.Depth = z
		if z == w.o.Slack {
			most = 0
		}
		most = max(most, pitFlare*width)
		z += max(width/pitSteps, w.o.Slack)
	}
	for _, l := range levels {
		if l.z >= pit.Depth/2 {
			pit.Width = min(pit.Width, l.width)
		}
	}
	return pit, pit.Depth > w.ratio*pit.Width && pit.Depth > w.least
}

// centred returns the middle of the hole about p in the plane of e and f: that
// of lines across, in turn.
func (w *watch) centred(p, e, f vec.P) vec.P {
	const turns = 4
	for k := range 2 * turns {
		d := e
		if k%2 == 1 {
			d = f
		}
		a, ok := w.tree.Ray(p, d, w.reach)
		b, ok2 := w.tree.Ray(p, d.Neg(), w.reach)
		if ok && ok2 {
			p = a.P.Lerp(b.P, 0.5)
		}
	}
	return p
}

// width returns the shortest of the lines across from p in the plane of e and
// f, and how many of them end on both sides within most.
func (w *watch) width(p, e, f vec.P, most float64) (width float64, closed int) {
	width = math.Inf(1)
	for k := range pitPairs {
		y, x := math.Sincos(math.Pi / pitPairs * float64(k))
		d := e.Mul(x).Add(f.Mul(y))
		a, ok := w.tree.Ray(p, d, w.reach)
		b, ok2 := w.tree.Ray(p, d.Neg(), w.reach)
		if l := a.Dist + b.Dist; ok && ok2 && l <= most {
			closed++
			width = min(width, l)
		}
	}
	return width, closed
}

// across returns two unit vectors square to n and to each other.
func across(n vec.P) (e, f vec.P) {
	e = vec.P{X: 1}
	if math.Abs(n.X) > 0.6 {
		e = vec.P{Y: 1}
	}
	e = n.Cross(e).Unit()
	return e, n.Cross(e)
}
