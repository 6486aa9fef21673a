// Package wall measures how thick metal is and how wide the gaps in it are, on
// meshes.
//
// The width at a place of the surface is the lesser of two measures. The ball:
// the diameter of the largest ball that lies inside the metal and is tangent
// to the surface there, if it also touches the surface at a point that its
// centre sees more than Options.Angle away from the first. The ray: the
// distance straight through the metal, if the surface on the far side faces
// the other way, to within the same angle. Neither takes a square edge for a
// wall, and both take a wedge for one if its sides meet at less than 180
// degrees minus the angle. Gaps are measured by the same means on the outside.
//
// Promised: distances are taken to the mesh, never to a field's inner value,
// which is no thickness (in two overlapping plates it sees both skins). The
// surface is sampled at Options.Spacing at the most, on long triangles too, and
// along every edge and at every tip that points into the matter, so that the
// floor under a groove is met at its thinnest. The answer is the same for any
// number of workers.
//
// Not promised: a thin place smaller than the spacing and away from all edges
// may be missed; and no width is better than the mesh: with normals from the
// mesh alone or a coarse mesh it is off by up to twice the mesh's chord error.
//
// How it works, in order (the file in brackets):
//
//  1. A tree over the mesh, and the triangles round each vertex (survey, fan).
//  2. Samples on triangles, creases and tips, thinned out by a grid (sample).
//  3. Block by block, at each sample a ball as large as the limit is tried; most
//     are clear of the surface, often by the field's word alone. The others
//     shrink until they are (shrinking ball: J. Ma, S. W. Bae, S. Choi, "3D
//     medial axis point approximation using nearest neighbors and the normal
//     field", The Visual Computer 28, 2012), and rays are shot (probe, touch).
//  4. Samples that are too thin are joined to places (place), and each is
//     followed to its narrowest point (settle).
//
// Heavy spots behind thin necks are found by another way: the metal is filled
// with balls (balls), which gather to lumps (necks).
package wall

import (
	"context"
	"fmt"
	"math"

	"waxwright/geom/crew"
	"waxwright/geom/mesh"
	"waxwright/geom/vec"
)

// Spot is a place where a wall, or a gap, is thinner than asked.
type Spot struct {
	At     vec.P     // on the surface where it is thinnest
	Other  vec.P     // on the far side
	Width  float64   // there, mm
	Area   float64   // of the surface that is too thin, both sides together, mm2
	Extent float64   // the largest distance within that surface, mm
	Box    vec.Box   // around that surface
	Tags   [2]uint32 // owners of the two sides, the lower first
	Zone   int       // what Options.Zone says of it
	Edge   bool      // a knife edge or a tip, not a wall: its two sides meet close by
}

// Defaults of Options.
const (
	// DefaultAngle is 120 degrees, in radians: a square edge shows 90, a wedge
	// of 14 degrees 166 (measured on plates, cubes, wedges, rods and grooves).
	DefaultAngle = 2 * math.Pi / 3
	// DefaultSlack is 0.005 mm, the chord error that a casting's mesh may have
	// (contour.DefaultTol).
	DefaultSlack = 0.005
	// DefaultSpacing is the largest distance of samples, mm: two and more fall
	// on the smallest place that counts, 0.25 mm2 or 0.5 mm long (common
	// practice, no source).
	DefaultSpacing = 0.15
)

// Options say how to measure. The zero Options are the defaults.
type Options struct {
	Workers  int                   // goroutines; 0 is as many as there are processors
	Progress func(done, total int) // called now and then, never at the same time twice; may be nil

	Angle   float64 // that two sides of a wall are seen apart, radians; 0 is DefaultAngle
	Slack   float64 // chord error of the mesh, mm; 0 is DefaultSlack
	Spacing float64 // of samples, mm; 0 is a third of the limit, from 0.1 to DefaultSpacing

	// Limit, if not nil, gives the limit in mm for a wall between two owners;
	// the limit of the call is then only the most that is measured.
	Limit func(a, b uint32) float64
	// Most, if not nil, gives for an owner what no Limit of it and any other
	// exceeds: samples are tried up to there, and skipped if it is not positive.
	Most func(owner uint32) float64
	// Zone, if not nil, says of a place by its two sides p and q, whose owners are
	// tags, where it belongs: what is in different zones is no one spot. It is called
	// from several goroutines at once.
	Zone func(p, q vec.P, tags [2]uint32) int
	// ZoneLimit, if not nil, gives a limit in mm for a zone, of which no more counts
	// than the other limits allow.
	ZoneLimit func(zone int) float64
	// A spot counts from MinArea (mm2) or MinExtent (mm) on; if both are 0 all do.
	MinArea, MinExtent float64

	// Where, if not nil, says where Thickness measures: on the sides that face
	// along normal, at their corners p. It is called from one goroutine.
	Where func(p, normal vec.P) bool

	// Asked, if not nil, says how thick the wall between two sides p and q, whose
	// owners are tags, should be: Thickness then tells shares of that. It is called
	// from one goroutine.
	Asked func(p, q vec.P, tags [2]uint32) Asked

	Tree *mesh.Tree // of the mesh, if the caller has it already
}

// Asked is how thick a wall should be, mm; 0 where nothing is asked. Edges says
// whether what is an edge by that measure, and no wall, counts as well.
type Asked struct {
	Width float64
	Edges bool
}

func (o Options) withDefaults(limit float64) (Options, error) {
	if !(limit > 0) || math.IsInf(limit, 0) {
		return o, fmt.Errorf("wall: limit %g mm is not positive", limit)
	}
	if o.Angle == 0 {
		o.Angle = DefaultAngle
	}
	if !(o.Angle > math.Pi/2 && o.Angle < math.Pi) {
		return o, fmt.Errorf("wall: angle %g rad is not between a right and a straight one", o.Angle)
	}
	if o.Slack == 0 {
		o.Slack = DefaultSlack
	}
	if o.Spacing == 0 {
		o.Spacing = min(max(limit/3, 0.1), DefaultSpacing)
	}
	if !(o.Slack > 0 && o.Spacing > 0) {
		return o, fmt.Errorf("wall: slack %g mm or spacing %g mm is not positive", o.Slack, o.Spacing)
	}
	o.Workers = crew.Size(o.Workers)
	return o, nil
}

// Thin returns the places where the metal is thinner than limit mm, the
// thinnest first. Places of different pairs of owners or zones, and walls and
// edges, are kept apart. nil normals stand for Smooth(m). The errors are those of
// unfit arguments and of a cancelled context.
func Thin(ctx context.Context, m *mesh.Mesh, normals Normals, limit float64, o Options) ([]Spot, error) {
	return spots(ctx, m, normals, limit, o, inside)
}

// Gaps returns the places where two surfaces face each other across less than
// limit mm of air, the narrowest first; else it is as Thin.
func Gaps(ctx context.Context, m *mesh.Mesh, normals Normals, limit float64, o Options) ([]Spot, error) {
	return spots(ctx, m, normals, limit, o, outside)
}

func spots(ctx context.Context, m *mesh.Mesh, normals Normals, limit float64, o Options, s side) ([]Spot, error) {
	v, err := newSurvey(ctx, m, normals, limit, o, s)
	if err != nil {
		return nil, err
	}
	all, err := v.samples()
	if err != nil {
		return nil, err
	}
	found, err := v.probeAll(all)
	if err != nil {
		return nil, err
	}
	return v.places(found)
}

// Thickness returns the width of the metal at every vertex in mm, +Inf where it
// is upTo or more, and at vertices that no triangle uses: the values of a
// colour map. At a vertex on an edge it is the least that the sides there show,
// of those that Options.Where picks out; +Inf if it picks none. With Options.Asked
// the values are shares of what is asked.
func Thickness(ctx context.Context, m *mesh.Mesh, normals Normals, upTo float64, o Options) ([]float64, error) {
	o.Limit, o.Most = nil, nil
	v, err := newSurvey(ctx, m, normals, upTo, o, inside)
	if err != nil {
		return nil, err
	}
	found, err := v.probeAll(v.corners())
	if err != nil {
		return nil, err
	}
	w := make([]float64, len(m.V))
	for i := range w {
		w[i] = math.Inf(1)
	}
	for _, f := range found {
		value := f.width
		if o.Asked != nil {
			asked := o.Asked(f.p, f.q, f.tags)
			if !(asked.Width > 0) || !asked.Edges && f.edged(asked.Width) {
				continue
			}
			value /= asked.Width
		}
		w[f.vertex] = min(w[f.vertex], value)
	}
	return w, nil
}
