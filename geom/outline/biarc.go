package outline

import (
	"fmt"
	"math"

	"waxwright/geom/vec"
)

// A curve that is neither line nor arc is replaced by biarcs: two arcs that
// share the curve's points and tangents at both ends and a tangent where they
// meet (K. M. Bolton, Biarc curves, Computer-Aided Design 7, 1975). Steps along
// the curve are as long as the tolerance allows.

// curve is a smooth curve over t from 0 to 1.
type curve interface {
	at(t float64) vec.P2
	tangent(t float64) vec.P2 // not zero inside a piece, of any length
}

const (
	// probes is how many inner points of a piece are measured against its
	// biarc. Between them the deviation of a cubic from a biarc has at most
	// one bump more, which probeMargin covers.
	probes      = 9
	probeMargin = 0.8
	// leastStep ends the search at cusps: this share of a curve 50 mm long is
	// below 1 um, and is drawn straight.
	leastStep = 1.0 / (1 << 16)
	// shorter and longer are the factors by which a step that failed shrinks
	// and the one after a step that went well grows.
	shorter, longer = 0.8, 1.5
)

// fit appends arcs that follow c within tol, from its start; the end point is
// left to what follows. It gives up, returning false, when there are more than
// most segments.
func fit(l Loop, c curve, tol float64, most int) (Loop, bool) {
	for t, step := 0.0, 1.0; t < 1; {
		if len(l) > most {
			return l, false
		}
		end := t + step
		if rest := 1 - t; step >= rest {
			step, end = rest, 1
		} else if 2*step > rest { // two even steps rather than a long and a short one
			step, end = rest/2, t+rest/2
		}
		segs, ok := fitOne(c, t, end, tol)
		if !ok && step > leastStep {
			step *= shorter
			continue
		}
		if !ok {
			segs = Loop{{At: c.at(t)}}
		}
		l = append(l, segs...)
		t, step = end, step*longer
	}
	return l, true
}

// fitOne returns the biarc of c from t0 to t1, if it strays by less than tol.
func fitOne(c curve, t0, t1, tol float64) (Loop, bool) {
	b := c.at(t1)
	segs, ok := biarc(c.at(t0), c.tangent(t0).Unit(), b, c.tangent(t1).Unit())
	for i := 1; ok && i <= probes; i++ {
		ok = segs.near(b, c.at(t0+(t1-t0)*float64(i)/(probes+1))) <= tol*probeMargin
	}
	return segs, ok
}

// near returns the distance from p to the open chain l that ends at end.
func (l Loop) near(end, p vec.P2) float64 {
	best := math.Inf(1)
	for i, s := range l {
		to := end
		if i+1 < len(l) {
			to = l[i+1].At
		}
		best = min(best, NewSpan(s.At, to, s.Bulge).Near(p).Dist)
	}
	return best
}

// biarc returns the two arcs from a to b with the unit tangents ta and tb
// whose arms are equal, or one line or arc where that does it. ok is false
// where the ends have no such arcs of less than half a turn.
func biarc(a, ta, b, tb vec.P2) (segs Loop, ok bool) {
	v := b.Sub(a)
	l2 := v.Dot(v)
	if l2 == 0 || ta == (vec.P2{}) || tb == (vec.P2{}) {
		return nil, false
	}
	// arms of length d: |v|^2 - 2d v.(ta+tb) + 2d^2 (ta.tb - 1) = 0
	h := v.Dot(ta.Add(tb))
	root := float64(h*h) + float64(2*l2*(1-ta.Dot(tb)))
	if h <= 0 || root < 0 {
		return nil, false
	}
	d := l2 / (h + math.Sqrt(root))
	mid := a.Add(b).Add(ta.Sub(tb).Mul(d)).Mul(0.5)
	first, second := mid.Sub(a), b.Sub(mid)
	if first.Dot(ta) <= 0 || second.Dot(tb) <= 0 {
		return nil, false
	}
	// the angle between tangent and chord is half the sweep; tan of its half
	bulge := func(from, to vec.P2, chord float64) float64 {
		return from.Cross(to) / (chord + from.Dot(to))
	}
	b1, b2 := bulge(ta, first, first.Len()), bulge(second, tb, second.Len())
	return Loop{{a, b1}, {mid, b2}}, true
}

// ellipse is an elliptic arc: centre and two half axes, from angle a0 through
// the angle sweep.
type ellipse struct {
	c, u, v   vec.P2
	a0, sweep float64
}

func (e ellipse) at(t float64) vec.P2 {
	sin, cos := math.Sincos(e.a0 + float64(e.sweep*t))
	return e.c.Add(e.u.Mul(cos)).Add(e.v.Mul(sin))
}

func (e ellipse) tangent(t float64) vec.P2 {
	sin, cos := math.Sincos(e.a0 + float64(e.sweep*t))
	return e.v.Mul(cos).Sub(e.u.Mul(sin)).Mul(e.sweep)
}

// cubic is a cubic Bézier curve.
type cubic [4]vec.P2

func (c cubic) at(t float64) vec.P2 {
	a, b, m := c[0].Lerp(c[1], t), c[2].Lerp(c[3], t), c[1].Lerp(c[2], t)
	return a.Lerp(m, t).Lerp(m.Lerp(b, t), t)
}

// tangent is the derivative; at an end whose control point lies on it, the
// direction to the next control point.
func (c cubic) tangent(t float64) vec.P2 {
	a, b, m := c[1].Sub(c[0]), c[3].Sub(c[2]), c[2].Sub(c[1])
	switch {
	case t == 0:
		return firstArm(a, m, b)
	case t == 1:
		return firstArm(b, m, a)
	}
	return a.Lerp(m, t).Lerp(m.Lerp(b, t), t)
}

func firstArm(arms ...vec.P2) vec.P2 {
	for _, a := range arms {
		if a != (vec.P2{}) {
			return a
		}
	}
	return vec.P2{}
}

// mostSegments bounds the segments of an outline that curves are fitted to.
const mostSegments = 20_000

// Ellipse returns the ellipse w wide and h high, made of arcs that stray from
// it by less than tol in mm. It is symmetric to the last bit.
func Ellipse(w, h, tol float64) (Outline, error) {
	if w == h {
		return Circle(w / 2)
	}
	for _, err := range []error{sized("ellipse width", w), sized("ellipse height", h), sized("ellipse tolerance", tol)} {
		if err != nil {
			return Outline{}, err
		}
	}
	quarter := ellipse{u: vec.P2{X: w / 2}, v: vec.P2{Y: h / 2}, sweep: math.Pi / 2}
	// equal steps of the angle, as few as will do
	var l Loop
	for n := 1; n < mostSegments/8; n += 1 + n/8 {
		l = l[:0]
		for i := range n {
			segs, ok := fitOne(quarter, float64(i)/float64(n), float64(i+1)/float64(n), tol)
			if !ok {
				break
			}
			l = append(l, segs...)
		}
		if len(l) == 2*n {
			break
		}
		l = nil
	}
	if l == nil {
		return Outline{}, fmt.Errorf("ellipse %g x %g takes too many arcs for the tolerance %g", w, h, tol)
	}
	// The chain starts on the x axis and ends on the y axis: join its first
	// and last arcs with their mirror images to one arc each.
	last := l[len(l)-1]
	return New(quartered(l[1:], doubled(last.Bulge), doubled(l[0].Bulge)))
}

// doubled returns the bulge of an arc of twice the sweep.
func doubled(bulge float64) float64 { return 2 * bulge / (1 - float64(bulge*bulge)) }
