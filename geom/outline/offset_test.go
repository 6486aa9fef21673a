package outline

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"waxwright/geom/vec"
)

// anyOutline draws valid outlines of all kinds, some with holes.
func anyOutline() *rapid.Generator[Outline] {
	return rapid.Custom(func(t *rapid.T) Outline {
		size := rapid.Float64Range(1, 20).Draw(t, "size")
		share := func(name string) float64 { return rapid.Float64Range(0.05, 0.9).Draw(t, name) }
		n := rapid.IntRange(3, 12).Draw(t, "n")
		var o Outline
		var err error
		switch kind := rapid.IntRange(0, 10).Draw(t, "kind"); kind {
		case 0:
			o, err = Circle(size / 2)
		case 1:
			o, err = Ring(size/2, size/2*share("inner"))
		case 2:
			h := size * share("h")
			o, err = RoundedRect(size, h, h/2*share("r"))
		case 3:
			o, err = RoundedRect(size, size*share("h"), 0)
		case 4:
			o, err = RegularPolygon(n, size, 0)
		case 5:
			o, err = Scallop(size, n, DeepestNotch(size, n)*share("depth"), 0)
		case 6:
			o, err = Scallop(size, n, DeepestNotch(size, n)*share("depth"), size/10*share("round"))
		case 7:
			o, err = Pear(size*share("across"), size, 0)
		case 8:
			o, err = star(t, n, size), nil
		case 9:
			r := size / 2 * math.Sin(math.Pi/float64(n)) / (1 + math.Sin(math.Pi/float64(n)))
			holes := make([]Outline, n)
			for i := range holes {
				holes[i] = must(Circle(r * 0.9)).Moved(vec.Bearing(size/2-r, 2*math.Pi*float64(i)/float64(n)))
			}
			o, err = HoleIn(must(Circle(size/2)), holes...)
		case 10:
			o, err = New(dumbbell(size, size/4*share("neck")))
		}
		if err != nil {
			t.Fatalf("no outline: %v", err)
		}
		return o.Turned(rapid.Float64Range(0, 6).Draw(t, "turn")).Moved(anyPoint(5).Draw(t, "move"))
	})
}

// dumbbell is two squares of half the size, joined by a neck.
func dumbbell(size, neck float64) Loop {
	a, b, n := size/2, size/4, neck/2
	return poly(-a-b, -b, -b, -b, -b, -n, b, -n, b, -b, a+b, -b, a+b, b, b, b, b, n, -b, n, -b, b, -a-b, b)
}

// star is a random star-shaped loop of lines and shallow arcs, always valid.
func star(t *rapid.T, n int, size float64) Outline {
	var l Loop
	for i := range n {
		r := size / 2 * rapid.Float64Range(0.3, 1).Draw(t, "r")
		l = append(l, Seg{vec.Bearing(r, -2*math.Pi*float64(i)/float64(n)), rapid.Float64Range(-0.15, 0.15).Draw(t, "b")})
	}
	o, err := New(l)
	if err != nil {
		for i := range l {
			l[i].Bulge = 0
		}
		if o, err = New(l); err != nil {
			t.Fatalf("star: %v", err)
		}
	}
	return o
}

func TestOffsetLiesAtItsDistance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := anyOutline().Draw(t, "o")
		d := rapid.OneOf(
			rapid.Map(rapid.IntRange(-400, 400), func(i int) float64 { return float64(i) / 100 }),
			rapid.Float64Range(-4, 4),
		).Filter(func(d float64) bool { return d == 0 || math.Abs(d) >= atom }).Draw(t, "d")
		r, err := o.Offset(d)
		if err != nil {
			t.Fatal(err)
		}
		if err := r.Check(); err != nil {
			t.Fatal(err)
		}
		for _, l := range r.Loops {
			for i := range l {
				s := l.Span(i)
				for _, u := range []float64{0, 0.1, 0.4, 0.7, 0.97} {
					near(t, "distance of a point of the offset", o.Dist(s.Point(u)), d, 1e-9)
				}
			}
		}
		// and it is all of it: its distance is the outline's, less d, where no
		// corner or bottleneck comes between
		for range 30 {
			p := anyPoint(12).Draw(t, "p")
			want := o.Dist(p) - d
			got := math.Inf(1)
			if !r.Empty() {
				got = r.Dist(p)
			}
			if (want < -1e-9) != (got < 0) && math.Abs(want) > 1e-9 {
				t.Fatalf("at %v: %g from the outline, %g from its offset by %g", p, want+d, got, d)
			}
		}
		// mitres go farther than arcs
		sharp, err := o.OffsetSharp(d)
		if err != nil {
			t.Fatal(err)
		}
		if more := sharp.Area() - r.Area(); d > 0 && more < -1e-9 || d < 0 && more > 1e-9 {
			t.Fatalf("offset by %g, mitres change the area by %g", d, more)
		}
		if a, b := o.Area(), r.Area(); (b < a) != (d < 0) || (b > a) != (d > 0) {
			t.Fatalf("offset by %g takes the area from %g to %g", d, a, b)
		}
	})
}

func TestOffsetOfKnownShapes(t *testing.T) {
	square := must(RoundedRect(4, 4, 0))
	grown := must(square.Offset(1))
	near(t, "grown square", grown.Area(), 16+4*4+math.Pi, 1e-12) // Steiner
	sharp := must(square.OffsetSharp(1))
	near(t, "sharp square", sharp.Area(), 36, 1e-12)
	near(t, "shrunk square", must(square.Offset(-1)).Area(), 4, 1e-12)
	if o := must(square.Offset(-2)); !o.Empty() {
		t.Fatalf("a square of 4 shrunk by 2 leaves %v", o.Loops)
	}
	if o := must(must(RoundedRect(10, 4, 0)).Offset(-2)); !o.Empty() {
		t.Fatalf("a bar of 4 shrunk by 2 leaves %v", o.Loops)
	}
	if o := must(must(Circle(3)).Offset(-3)); !o.Empty() {
		t.Fatalf("a circle shrunk by its radius leaves %v", o.Loops)
	}
	near(t, "ring that closes", must(must(Ring(3, 1)).Offset(1)).Area(), 16*math.Pi, 1e-12)
	if o := must(must(Ring(3, 1)).Offset(-1)); !o.Empty() {
		t.Fatalf("a ring of wall 2 shrunk by 1 leaves %v", o.Loops)
	}
	// a dumb-bell whose neck of 1 closes: two squares
	bell := must(New(dumbbell(4, 1)))
	for _, d := range []float64{-0.5, -0.6} {
		o := must(bell.Offset(d))
		if len(o.Loops) != 2 {
			t.Fatalf("a dumb-bell with a neck of 1 shrunk by %g has %d loops", -d, len(o.Loops))
		}
	}
	// an L keeps its corners sharp both ways
	ell := must(New(poly(0, 0, 4, 0, 4, 2, 2, 2, 2, 4, 0, 4)))
	near(t, "sharp L, shrunk", must(ell.OffsetSharp(-0.5)).Area(), 5, 1e-12)
	near(t, "sharp L, grown", must(ell.OffsetSharp(0.5)).Area(), 21, 1e-12)
	// and grows by its length, its corners and its notch
	near(t, "L, grown", must(ell.Offset(0.5)).Area(), 12+0.5*16+math.Pi/4*1.25-0.25, 1e-12)
	// a joint that is all but straight: the shifted sides cross a hair before
	// their ends
	for _, bend := range []float64{1e-9, 1e-7, 5e-7, 1e-5} {
		bent := must(New(poly(0, 0, 5, -bend, 10, 0, 10, 10, 0, 10)))
		near(t, "bent square, shrunk", must(bent.Offset(-2)).Area(), 36, 10*bend+1e-9)
		near(t, "bent square, grown", must(bent.Offset(2)).Area(), 180+4*math.Pi, 20*bend+1e-9)
		dent := must(New(poly(0, 0, 5, bend, 10, 0, 10, 10, 0, 10)))
		near(t, "dented square, shrunk", must(dent.Offset(-2)).Area(), 36, 10*bend+1e-9)
		near(t, "dented square, grown", must(dent.Offset(2)).Area(), 180+4*math.Pi, 20*bend+1e-9)
	}
	// a notch that fills up
	o := must(bell.Offset(1))
	if len(o.Loops) != 1 {
		t.Fatalf("%d loops", len(o.Loops))
	}
	// a triangle with a mitre that reaches too far keeps its sharpest corner round
	needle := must(Polygon(vec.P2{}, vec.P2{X: 10}, vec.P2{X: 10, Y: 2}))
	arcs := 0
	for _, s := range must(needle.OffsetSharp(1)).Loops[0] {
		if s.Bulge != 0 {
			arcs++
		}
	}
	if arcs != 1 {
		t.Fatalf("%d round corners, want 1", arcs)
	}
	for _, d := range []float64{math.NaN(), math.Inf(1), -math.Inf(1), 1e300} {
		if _, err := square.Offset(d); err == nil || !strings.Contains(err.Error(), "offset by") {
			t.Fatalf("offset by %g: %v", d, err)
		}
	}
}

// must is for outlines that the tests know to be valid.
func must(o Outline, err error) Outline {
	if err != nil {
		panic(err)
	}
	return o
}

func TestSmoothConvexOffsetReturns(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := rapid.Float64Range(4, 20).Draw(t, "w")
		o := must(Cushion(w, w*0.8, w/20, w/8))
		d := rapid.Float64Range(0.01, 5).Draw(t, "d")
		back := must(must(o.Offset(d)).Offset(-d))
		near(t, "area", back.Area(), o.Area(), 1e-9)
		near(t, "length", back.Length(), o.Length(), 1e-9)
		near(t, "grown by Steiner", must(o.Offset(d)).Area(), o.Area()+d*o.Length()+math.Pi*d*d, 1e-9)
	})
}

// freeform is a random closed curve of n smoothly joined Béziers round the
// origin, as path data.
func freeform(t *rapid.T, n int) string {
	p := make([]vec.P2, n)
	for i := range p {
		p[i] = vec.Bearing(rapid.Float64Range(5, 10).Draw(t, "r"), 2*math.Pi*float64(i)/float64(n))
	}
	d := fmt.Sprintf("M%g %g", p[0].X, p[0].Y)
	for i := range p {
		before, a, b, after := p[(i+n-1)%n], p[i], p[(i+1)%n], p[(i+2)%n]
		ca, cb := a.Add(b.Sub(before).Mul(1./6)), b.Sub(after.Sub(a).Mul(1./6))
		d += fmt.Sprintf("C%g %g %g %g %g %g", ca.X, ca.Y, cb.X, cb.Y, b.X, b.Y)
	}
	return d
}

// Shrinking and growing back never adds, growing and shrinking back never
// takes away (opening and closing of mathematical morphology), and a free
// curve of many arcs never fails.
func TestOffsetThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o, err := FromSVG(freeform(t, rapid.IntRange(3, 12).Draw(t, "n")), SVG{Width: 20, Tol: 0.01})
		if err != nil {
			t.Fatal(err)
		}
		d := rapid.Float64Range(0.01, 4).Draw(t, "d")
		opened := must(must(o.Offset(-d)).Offset(d))
		closed := must(must(o.Offset(d)).Offset(-d))
		if a := o.Area(); opened.Area() > a+1e-7 || closed.Area() < a-1e-7 {
			t.Fatalf("area %g, opened %g, closed %g by %g", a, opened.Area(), closed.Area(), d)
		}
		for range 20 {
			p := anyPoint(12).Draw(t, "p")
			if opened.Dist(p) < o.Dist(p)-1e-7 || closed.Dist(p) > o.Dist(p)+1e-7 {
				t.Fatalf("%v: distance %g, opened %g, closed %g by %g", p, o.Dist(p), opened.Dist(p), closed.Dist(p), d)
			}
		}
	})
}
