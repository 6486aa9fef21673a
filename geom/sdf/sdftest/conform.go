// Package sdftest is the conformance suite of fields: every primitive,
// operation and part is run through it.
//
// It finds what a field must not do: inner points outside its bounds, a wrong
// sign, a slope over 1, a claim of exactness that does not hold, a value that
// is not finite at a finite point. It samples, so it can overlook a fault that
// shows only in a small part of space; more rounds find more.
package sdftest

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// Rounds is how many points Conform looks at.
const Rounds = 1500

// Conform runs the suite on f in a subtest. inside, where given, tells
// independently of f whether a point lies in the solid; it is not asked within
// a millionth of a millimetre of the surface.
func Conform(t *testing.T, name string, f sdf.Field, inside ...func(vec.P) bool) {
	t.Helper()
	t.Run(name, func(t *testing.T) {
		t.Helper()
		if err := Judge(f, 1, Rounds, inside...); err != nil {
			t.Fatal(err)
		}
	})
}

const (
	// slopeSlack is what roundings of values at some 100 mm may add to a
	// difference, in mm.
	slopeSlack = 1e-9
	// surfaceBand is the distance in mm from the surface within which inside
	// is not asked.
	surfaceBand = 1e-6
	// roam is how far in mm beyond the bounds points are tried, and half the
	// box that stands for unbounded solids.
	roam = 12.0
)

// Judge looks at the given number of random points, drawn from seed, and
// returns the first fault of f.
func Judge(f sdf.Field, seed uint64, rounds int, inside ...func(vec.P) bool) error {
	if f.Exact()&^sdf.Both != 0 {
		return fmt.Errorf("exact is %b: only two bits have a meaning", f.Exact())
	}
	bounds := f.Bounds()
	if b := bounds.Min.Sub(bounds.Max); math.IsNaN(b.X + b.Y + b.Z) {
		return fmt.Errorf("bounds %v are not numbers", bounds)
	}
	if err := hostile(f); err != nil {
		return err
	}
	s := sampler{rand.New(rand.NewPCG(seed, 0)), arena(bounds)}
	walked := 0
	for i := range rounds {
		p := s.point(f, i)
		d := f.Dist(p)
		if d < -slopeSlack && !bounds.Has(p) {
			return fmt.Errorf("%v is inside (%g) but outside the bounds %v", p, d, bounds)
		}
		for _, in := range inside {
			if math.Abs(d) > surfaceBand && in(p) != (d < 0) {
				return fmt.Errorf("%v: distance %g, but inside is %t", p, d, in(p))
			}
		}
		q := s.point(f, i+1)
		if i%2 == 0 { // pairs near each other see steep spots, far ones jumps
			q = p.Add(s.dir().Mul(math.Pow(10, -5*s.Float64())))
		}
		if e, l := f.Dist(q), q.Sub(p).Len(); e != d && !(math.Abs(e-d) <= l+slopeSlack) {
			return fmt.Errorf("from %v (%g) to %v (%g) the slope is %g", p, d, q, e, math.Abs(e-d)/l)
		}
		ok, err := walk(f, p, d)
		if err != nil {
			return err
		}
		if ok {
			walked++
		}
	}
	if empty := bounds.IsEmpty() || math.IsInf(f.Dist(vec.P{}), 0); f.Exact() == sdf.Both && walked < rounds/4 && !empty {
		return fmt.Errorf("only %d of %d points have a gradient of length 1", walked, rounds)
	}
	return nil
}

// arena is the box in which points are tried.
func arena(b vec.Box) vec.Box {
	if b.IsEmpty() {
		b = vec.BoxOf(vec.P{})
	}
	clamp := func(v float64) float64 { return min(max(v, -roam), roam) }
	if !b.Finite() {
		b.Min = vec.P{X: clamp(b.Min.X), Y: clamp(b.Min.Y), Z: clamp(b.Min.Z)}
		b.Max = vec.P{X: clamp(b.Max.X), Y: clamp(b.Max.Y), Z: clamp(b.Max.Z)}
	}
	return b.Grow(min(roam, 0.3*b.Size().Len()) + 1e-3)
}

type sampler struct {
	*rand.Rand
	box vec.Box
}

// dir returns a random direction.
func (s sampler) dir() vec.P {
	return vec.P{X: s.NormFloat64(), Y: s.NormFloat64(), Z: s.NormFloat64()}.Unit()
}

// point returns a random point: anywhere, on a corner grid that hits symmetry
// planes and axes, or near the surface, in turn.
func (s sampler) point(f sdf.Field, i int) vec.P {
	size := s.box.Size()
	pick := func() vec.P {
		return s.box.Min.Add(vec.P{X: size.X * s.Float64(), Y: size.Y * s.Float64(), Z: size.Z * s.Float64()})
	}
	switch i % 4 {
	case 0, 1:
		return pick()
	case 2:
		grid := func(lo, l float64) float64 { return lo + l*float64(s.IntN(9))/8 }
		return vec.P{X: grid(s.box.Min.X, size.X), Y: grid(s.box.Min.Y, size.Y), Z: grid(s.box.Min.Z, size.Z)}
	}
	// march towards the surface from two random points
	p, q := pick(), pick()
	if f.Dist(p)*f.Dist(q) < 0 {
		for range 20 {
			if m := p.Lerp(q, 0.5); f.Dist(m)*f.Dist(p) > 0 {
				p = m
			} else {
				q = m
			}
		}
	}
	return p
}

// walk checks the claim of exactness at p: going the distance d against the
// gradient ends on the surface. ok is false where nothing is claimed, or where
// the gradient is not of length 1: on ridges, where two ways are as short.
func walk(f sdf.Field, p vec.P, d float64) (ok bool, err error) {
	claim := sdf.Outside
	if d < 0 {
		claim = sdf.Inside
	}
	if f.Exact()&claim == 0 || math.IsInf(d, 0) {
		return false, nil
	}
	const h = 1e-6
	at := func(v vec.P) float64 { return f.Dist(p.Add(v)) }
	g := vec.P{
		X: at(vec.P{X: h}) - at(vec.P{X: -h}),
		Y: at(vec.P{Y: h}) - at(vec.P{Y: -h}),
		Z: at(vec.P{Z: h}) - at(vec.P{Z: -h}),
	}.Mul(1 / (2 * h))
	if math.Abs(g.Len()-1) > 1e-6 {
		return false, nil
	}
	// The gradient's direction is off by at most sqrt(2e-6), the end by
	// that share of the way, the distance there by its square.
	q := p.Sub(g.Unit().Mul(d))
	if e := f.Dist(q); math.Abs(e) > 1e-5*(1+math.Abs(d)) {
		return false, fmt.Errorf("%v: the distance %g is claimed to be exact, but the walk ends at %v, %g off the surface", p, d, q, e)
	}
	return true, nil
}

// hostile asks f at points that no mesher should ask: it must answer with a
// finite number where the point is finite, and not panic where it is not.
func hostile(f sdf.Field) error {
	inf, nan := math.Inf(1), math.NaN()
	for _, p := range []vec.P{{X: nan}, {Y: inf}, {Z: -inf}, {X: nan, Y: nan, Z: nan}, {X: inf, Y: -inf, Z: inf}} {
		f.Dist(p)
	}
	void := f.Bounds().IsEmpty()
	for _, far := range []float64{1e6, 1e9, 1e12, 1e-300, 5e-324} {
		for i := range 27 {
			p := vec.P{X: float64(i%3-1) * far, Y: float64(i/3%3-1) * far, Z: float64(i/9-1) * far}
			if d := f.Dist(p); math.IsNaN(d) || math.IsInf(d, 0) && !void {
				return fmt.Errorf("the distance at %v is %g", p, d)
			}
		}
	}
	return nil
}
