package contour

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"waxwright/geom/manifold"
	"waxwright/geom/mend"
	"waxwright/geom/mesh"
	"waxwright/geom/sdf"
	"waxwright/geom/sdf/sdftest"
)

// The kinds of random field; a field's number picks its kind, its tolerance and
// its numbers, so that a failure is named by one figure.
var fieldKinds = []*rapid.Generator[sdf.Field]{
	rapid.Custom(func(t *rapid.T) sdf.Field { return roundTree(t, rapid.IntRange(0, 2).Draw(t, "depth")) }),
	sdftest.Tree(2),
}

var fieldTols = []float64{0.1, 0.05, 0.02}

// fieldLimit ends a field that takes too long; it counts as left out.
const fieldLimit = 2 * time.Minute

const tooLong = "takes too long"

// numbered returns field i and its tolerance.
func numbered(i int) (sdf.Field, float64) {
	return fieldKinds[i%len(fieldKinds)].Example(i), fieldTols[i/len(fieldKinds)%len(fieldTols)]
}

// verdict is what becomes of a random field.
type verdict struct {
	out   string  // why the field has no mesh
	torn  string  // defects of topology before mending, which no field may have
	raw   string  // flaws before mending
	left  string  // and after it
	off   float64 // how far the mended mesh strays at most, in tolerances
	spots int     // places listed as unresolved
	said  string  // what the report says wrongly of how far the mesh strays
}

// tryField meshes, mends and judges field i as a file would hold it.
func tryField(i int) (v verdict) {
	f, tol := numbered(i)
	c, err := sdf.Compile(f)
	if err != nil {
		v.out = err.Error()
		return v
	}
	ctx, cancel := context.WithTimeout(context.Background(), fieldLimit)
	defer cancel()
	m, r, err := Mesh(ctx, c, Options{Tol: tol})
	if err != nil {
		v.out = err.Error()
		if errors.Is(err, context.DeadlineExceeded) {
			v.out = tooLong
		}
		return v
	}
	v.spots = len(r.Unresolved)
	if d := c.Distance(r.At); math.Abs(d-r.Reached) > 1e-3*tol {
		v.said = fmt.Sprintf("%g off at %v, it says, and is %g", r.Reached, r.At, d)
	}
	j := manifold.Judge(m)
	for _, k := range topology {
		if j.Count[k] > 0 {
			v.torn += fmt.Sprintf("%d %v ", j.Count[k], k)
		}
	}
	v.raw = flaws(m)
	if v.raw != "" {
		strayed, err := mend.Mend(ctx, m, c.Distance, tol, 0)
		if err != nil { // its only error is that of ctx
			v.out = tooLong
			return v
		}
		v.left = flaws(m)
		r.Reached = max(r.Reached, strayed.By)
	}
	v.off = r.Reached / tol
	return v
}

// flaws names what the judge finds in m as a file holds it.
func flaws(m *mesh.Mesh) string {
	r := manifold.Judge(m.Float32().Weld())
	if r.OK() {
		return ""
	}
	var s strings.Builder
	for k, n := range r.Count {
		if n > 0 && manifold.Kind(k) != manifold.Touch {
			fmt.Fprintf(&s, "%d %v ", n, manifold.Kind(k))
		}
	}
	return s.String()
}

// knots are the fields in which triangles once crossed for good: faces that meet
// at a grazing angle, walls and gaps thinner than the tolerance. The numbers
// hold for the generators as they are.
const knots = "71,112,113,198,244,260,308,325,338,352,354,371,394,484,610,664,903,1591,7426"

// Random fields, meshed and mended, are sound in a file, and within their
// tolerance, or the report says where not. WAXWRIGHT_FIELDS says
// how many are tried ("10000") or which ("2000-2999", "17,64").
func TestFields(t *testing.T) {
	list := fieldList(t, os.Getenv("WAXWRIGHT_FIELDS"))
	count := map[string]int{}
	for _, i := range list {
		v := tryField(i)
		switch {
		case v.out == tooLong:
			count[v.out]++
			t.Logf("field %d %s", i, v.out)
		case v.out != "":
			count["without a mesh"]++
		case v.torn != "" || v.left != "":
			count["unsound"]++
			t.Errorf("field %d: %s; mended: %s; %d spots", i, v.torn+v.raw, v.left, v.spots)
		case v.raw != "":
			count["mended"]++
			t.Logf("field %d: %s mended", i, v.raw)
		default:
			count["sound"]++
		}
		if v.said != "" {
			t.Errorf("field %d: %s", i, v.said)
		}
		if v.off > 1 {
			count["off"]++
			t.Logf("field %d: off by %.2f tolerances; %d spots", i, v.off, v.spots)
		}
	}
	t.Logf("%d fields from %d: %v", len(list), list[0], count)
}

// fieldList reads a list of numbers of fields.
func fieldList(t *testing.T, s string) (list []int) {
	if s == "" {
		s = "0-39," + knots
	}
	if n, err := strconv.Atoi(s); err == nil {
		s = fmt.Sprintf("0-%d", n-1)
	}
	for _, part := range strings.Split(s, ",") {
		lo, hi, ok := strings.Cut(part, "-")
		a, err := strconv.Atoi(lo)
		b := a
		if ok && err == nil {
			b, err = strconv.Atoi(hi)
		}
		if err != nil {
			t.Fatalf("WAXWRIGHT_FIELDS=%q: %v", s, err)
		}
		for ; a <= b; a++ {
			list = append(list, a)
		}
	}
	return list
}
