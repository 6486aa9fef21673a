package patch

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"waxwright/geom/contour"
	"waxwright/geom/manifold"
	"waxwright/geom/outline"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// must returns an outline whose numbers are known to be good.
func must(o outline.Outline, err error) outline.Outline {
	if err != nil {
		panic(err)
	}
	return o
}

// drawn draws an outline with or without corners.
func drawn(t *rapid.T, num func(lo, hi float64, label string) float64) outline.Outline {
	switch rapid.IntRange(0, 4).Draw(t, "outline") {
	case 0:
		return must(outline.RoundedRect(num(0.8, 1.6, "w"), num(0.8, 1.6, "h"), 0.3*num(0, 1, "corner")))
	case 1:
		return must(outline.Pear(num(0.8, 1.2, "across"), num(1.4, 2, "height"), 0.3*num(0, 1, "tip")))
	case 2:
		return must(outline.Scallop(num(1.4, 2, "across"), rapid.IntRange(3, 7).Draw(t, "lobes"), num(0.05, 0.1, "depth"), 0))
	case 3:
		return must(outline.RegularPolygon(rapid.IntRange(3, 7).Draw(t, "n"), num(1.2, 2, "across"), 0.2*num(0, 1, "corner")))
	}
	return must(outline.Ring(num(0.7, 1, "outer"), num(0.2, 0.4, "inner")))
}

// profile draws the outline of a turned solid: from the axis, or off it.
func profile(num func(lo, hi float64, label string) float64) outline.Outline {
	in, out := num(-0.4, 0.4, "in"), num(0.6, 1, "out")
	if in < 0.05 { // a finer hole is not seen by the other mesher
		in = 0
	}
	low, high, lip := -num(0.2, 0.5, "low"), num(0.2, 0.5, "high"), num(0.1, 0.2, "lip")
	return must(outline.New(outline.Loop{
		{At: vec.P2{X: in, Y: low}},
		{At: vec.P2{X: out - lip, Y: low}, Bulge: math.Tan(math.Pi / 8)}, // a rounded edge
		{At: vec.P2{X: out, Y: low + lip}},
		{At: vec.P2{X: out - lip/2, Y: high}},
		{At: vec.P2{X: in, Y: high - lip}},
	}))
}

// solids draws sets of solids whose surfaces all have charts. Half of the
// numbers are round, so that faces coincide and touch.
func solids(t *rapid.T) sdf.Field {
	num := func(lo, hi float64, label string) float64 {
		if rapid.Bool().Draw(t, "round") {
			return lo + (hi-lo)*float64(rapid.IntRange(0, 4).Draw(t, label))/4
		}
		return rapid.Float64Range(lo, hi).Draw(t, label)
	}
	one := func() sdf.Field {
		var f sdf.Field
		switch rapid.IntRange(0, 8).Draw(t, "kind") {
		case 0:
			f = sdf.Box{Half: vec.P{X: num(0.2, 1, "a"), Y: num(0.2, 1, "b"), Z: num(0.2, 1, "c")}}
		case 1:
			f = sdf.Sphere{R: num(0.3, 1, "r")}
		case 2:
			f = sdf.Cylinder{R: num(0.2, 0.8, "r"), Z0: -num(0.2, 1, "low"), Z1: num(0.2, 1, "high")}
		case 3:
			f = sdf.Cone{R0: num(0, 0.8, "r0"), Z0: -num(0.2, 1, "low"), R1: num(0.1, 0.8, "r1"), Z1: num(0.2, 1, "high")}
		case 4:
			f = sdf.Torus{Major: num(0.5, 1, "major"), Minor: num(0.1, 0.4, "minor")}
		case 5:
			f = sdf.Capsule{A: vec.P{X: -num(0.1, 1, "a")}, B: vec.P{X: num(0.1, 1, "b")}, R: num(0.1, 0.5, "r")}
		case 6:
			f = sdf.Revolve{Outline: profile(num)}
		default:
			p := sdf.Prism{Outline: drawn(t, num), Z0: -num(0.4, 1, "low"), Z1: num(0.2, 1, "high")}
			if rapid.Bool().Draw(t, "rounded") {
				p.RoundTop = num(0.05, 0.2, "edge")
			}
			f = p
		}
		by := vec.Here
		if rapid.Bool().Draw(t, "turned") {
			by = vec.Turn(vec.P{X: num(-1, 1, "ax"), Y: num(-1, 1, "ay"), Z: 1.1}, num(0, math.Pi, "turn"))
		}
		by.O = vec.P{X: num(-1, 1, "x"), Y: num(-1, 1, "y"), Z: num(-1, 1, "z")}
		return sdf.At(f, by)
	}
	var kids []sdf.Field
	for range rapid.IntRange(2, 6).Draw(t, "kids") {
		kids = append(kids, one())
	}
	if rapid.Bool().Draw(t, "cut") {
		return sdf.Difference{From: sdf.Union(kids[1:]), Cut: kids[:1]}
	}
	return sdf.Union(kids)
}

// wrong says what is wrong with an accepted mesh, by another mesher's: its
// volume may differ by what both tolerances allow, its topology where the other
// left nothing unresolved.
func wrong(c *sdf.Code, tol float64) (refused bool, what string) {
	ctx := context.Background()
	m, _, err := Mesh(ctx, c, Options{Tol: tol})
	if err != nil {
		var r *Refused
		if errors.As(err, &r) {
			return true, r.Reason
		}
		return true, ""
	}
	j := manifold.Judge(m)
	if !j.OK() {
		return false, j.String()
	}
	// Parts as thin as the tolerance are left out by the contour: then it is asked
	// again with a finer one. (Of solid 5540 it never sees a tunnel that is half
	// a micrometre high.)
	for _, fine := range []float64{tol, tol / 5, tol / 20} {
		o, r, err := contour.Mesh(ctx, c, contour.Options{Tol: fine})
		if err != nil {
			return false, ""
		}
		k := manifold.Judge(o)
		what = ""
		if off := math.Abs(j.Volume - k.Volume); off > 1.5*tol*j.Area {
			what = fmt.Sprintf("volume %g, contoured %g", j.Volume, k.Volume)
		} else if len(r.Unresolved) == 0 && k.OK() && (j.Genus() != k.Genus() || len(j.Bodies) != len(k.Bodies)) {
			what = fmt.Sprintf("genus %d in %d bodies, contoured %d in %d", j.Genus(), len(j.Bodies), k.Genus(), len(k.Bodies))
		}
		if what == "" {
			break
		}
	}
	return false, what
}

// Random solids are refused, or meshed as the contour meshes them.
// WAXWRIGHT_SOLIDS says how many are tried,
// WAXWRIGHT_SOLID the first.
func TestRandom(t *testing.T) {
	first, n := fromEnv(t, "WAXWRIGHT_SOLID", 0), fromEnv(t, "WAXWRIGHT_SOLIDS", 40)
	draw := rapid.Custom(solids)
	count := map[string]int{}
	for i := first; i < first+n; i++ {
		c, err := sdf.Compile(draw.Example(i))
		if err != nil {
			continue
		}
		refused, what := wrong(c, 0.02)
		switch {
		case refused:
			count[what]++
		case what != "":
			t.Errorf("solid %d: %s", i, what)
		default:
			count["accepted"]++
		}
	}
	t.Log(count)
	if count["accepted"] < n/4 {
		t.Errorf("of %d solids only %d are accepted", n, count["accepted"])
	}
}

// fromEnv returns the number that a variable of the environment holds.
func fromEnv(t *testing.T, name string, otherwise int) int {
	s := os.Getenv(name)
	if s == "" {
		return otherwise
	}
	n, err := strconv.Atoi(s)
	if err != nil {
		t.Fatalf("%s=%q: %v", name, s, err)
	}
	return n
}
