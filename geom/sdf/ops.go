package sdf

import (
	"math"

	"waxwright/geom/vec"
)

// Union is the solid of all points that lie in any of its parts. The empty
// Union is empty space. Outside it is exact where its parts are.
type Union []Field

// Intersection is the solid of all points that lie in all of its parts. The
// empty Intersection is all of space. Inside it is exact where its parts are.
type Intersection []Field

// Difference is the solid of all points of From that lie in none of Cut.
type Difference struct {
	From Field
	Cut  []Field
}

// Placed is a solid moved rigidly, perhaps mirrored.
type Placed struct {
	Of Field
	By vec.Place
}

// Tagged gives an owner to a solid: every face below it that has no nearer
// Tagged carries Tag to the triangles of the mesh. 0 means no owner.
type Tagged struct {
	Of  Field
	Tag uint32
}

// Tag names the owner of f.
func Tag(f Field, tag uint32) Field { return Tagged{f, tag} }

// At places f.
func At(f Field, by vec.Place) Field { return Placed{f, by} }

// Dist is the least of the parts' distances.
func (u Union) Dist(p vec.P) float64 {
	d := math.Inf(1)
	for _, f := range u {
		if e := f.Dist(p); e < d {
			d = e
		}
	}
	return d
}

// Bounds is the box around all parts.
func (u Union) Bounds() vec.Box {
	b := vec.Empty()
	for _, f := range u {
		b = b.Union(f.Bounds())
	}
	return b
}

// Exact keeps Outside where all parts have it; a single part keeps all.
func (u Union) Exact() Exact {
	if len(u) == 1 {
		return u[0].Exact()
	}
	e := Outside
	for _, f := range u {
		e &= f.Exact()
	}
	return e
}

// Dist is the greatest of the parts' distances.
func (s Intersection) Dist(p vec.P) float64 {
	d := math.Inf(-1)
	for _, f := range s {
		if e := f.Dist(p); e > d {
			d = e
		}
	}
	return d
}

// Bounds is the common part of the parts' boxes.
func (s Intersection) Bounds() vec.Box {
	b := vec.Everywhere()
	for _, f := range s {
		b = b.Intersect(f.Bounds())
	}
	return b
}

// Exact keeps Inside where all parts have it; a single part keeps all.
func (s Intersection) Exact() Exact {
	if len(s) == 1 {
		return s[0].Exact()
	}
	e := Inside
	for _, f := range s {
		e &= f.Exact()
	}
	return e
}

// Dist is the distance to From, or to the nearest cut where that is greater.
func (d Difference) Dist(p vec.P) float64 {
	v := d.From.Dist(p)
	for _, f := range d.Cut {
		if e := -f.Dist(p); e > v {
			v = e
		}
	}
	return v
}

// Bounds is From's box.
func (d Difference) Bounds() vec.Box { return d.From.Bounds() }

// Exact is Inside where From is exact inside and every cut outside.
func (d Difference) Exact() Exact {
	if len(d.Cut) == 0 {
		return d.From.Exact()
	}
	e := d.From.Exact() & Inside
	for _, f := range d.Cut {
		if f.Exact()&Outside == 0 {
			e = 0
		}
	}
	return e
}

// Dist asks Of in its own coordinates.
func (p Placed) Dist(q vec.P) float64 { return p.Of.Dist(p.By.Local(q)) }

// Bounds is the box around Of's placed box.
func (p Placed) Bounds() vec.Box { return p.By.Box(p.Of.Bounds()) }

// Exact is Of's: a rigid placement keeps distances.
func (p Placed) Exact() Exact { return p.Of.Exact() }

// Dist is Of's.
func (t Tagged) Dist(p vec.P) float64 { return t.Of.Dist(p) }

// Bounds is Of's.
func (t Tagged) Bounds() vec.Box { return t.Of.Bounds() }

// Exact is Of's.
func (t Tagged) Exact() Exact { return t.Of.Exact() }

var _ = []Field{Union{}, Intersection{}, Difference{}, Placed{}, Tagged{}}
