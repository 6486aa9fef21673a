package layout

import (
	"cmp"
	"fmt"
	"math"

	"waxwright/geom/vec"
)

// Circle is a circle in the plane: a round stone or prong seen from the front.
type Circle struct {
	At vec.P2
	R  float64
}

// Grown returns the circle with a radius larger by d, to ask for a gap.
func (c Circle) Grown(d float64) Circle { return Circle{c.At, c.R + d} }

// Gap returns the air between two circles, negative where they overlap.
func (c Circle) Gap(d Circle) float64 { return d.At.Sub(c.At).Len() - c.R - d.R }

// Soddy returns the radii of the two circles that touch three circles which
// touch each other: the inner one in the pocket between them, and the outer
// one. The outer radius is negative where that circle holds the three, and
// infinite where it is a line (Descartes: k4 = k1 + k2 + k3 +- 2 sqrt(k1 k2 +
// k2 k3 + k3 k1) for curvatures k = 1/r).
func Soddy(a, b, c float64) (inner, outer float64, err error) {
	if err := cmp.Or(positive("radius", a), positive("radius", b), positive("radius", c)); err != nil {
		return 0, 0, err
	}
	k1, k2, k3 := 1/a, 1/b, 1/c
	sum := k1 + k2 + k3
	root := 2 * math.Sqrt(float64(k1*k2)+float64(k2*k3)+float64(k3*k1))
	return 1 / (sum + root), 1 / (sum - root), nil
}

// Pocket returns the circle in the pocket between three circles that touches
// all three from outside (Apollonius; Soddy's inner circle where the three
// touch each other). They may stand apart; grow them first to keep a gap. It
// fails where the three overlap so far, or stand so in line, that there is no
// such circle.
func Pocket(a, b, c Circle) (Circle, error) {
	// |p - ci| = r + ri. Less the first squared equation the other two are
	// linear: p = u - r v; that in the first leaves A r^2 - 2 B r + C = 0.
	d1, d2 := b.At.Sub(a.At), c.At.Sub(a.At)
	det := d1.Cross(d2)
	if flat := inLine * d1.Len() * d2.Len(); !(math.Abs(det) > flat) {
		return Circle{}, fmt.Errorf("the middles (%.4g, %.4g), (%.4g, %.4g), (%.4g, %.4g) stand in one line: no pocket lies between them",
			a.At.X, a.At.Y, b.At.X, b.At.Y, c.At.X, c.At.Y)
	}
	solve := func(e1, e2 float64) vec.P2 { // the p with p.d1 = e1, p.d2 = e2
		return vec.P2{X: float64(e1*d2.Y) - float64(e2*d1.Y), Y: float64(e2*d1.X) - float64(e1*d2.X)}.Mul(1 / det)
	}
	u := solve((d1.Dot(d1)-float64((b.R-a.R)*(b.R+a.R)))/2, (d2.Dot(d2)-float64((c.R-a.R)*(c.R+a.R)))/2)
	v := solve(b.R-a.R, c.R-a.R)
	A, B, C := v.Dot(v)-1, u.Dot(v)+a.R, u.Dot(u)-float64(a.R*a.R)
	disc := float64(B*B) - float64(A*C)
	if !(disc >= 0) {
		return Circle{}, noPocket(a, b, c)
	}
	q := B + math.Copysign(math.Sqrt(disc), B) // without cancellation
	r := math.Inf(1)
	for _, x := range []float64{C / q, q / A} {
		if x > 0 && x < r {
			r = x
		}
	}
	if math.IsInf(r, 1) {
		return Circle{}, noPocket(a, b, c)
	}
	return Circle{a.At.Add(u.Sub(v.Mul(r))), r}, nil
}

// inLine is the sine of the angle between two sides of a triangle under which
// its corners count as in one line: a pocket between circles so nearly in line
// would be over a million times as large as they.
const inLine = 1e-9

func noPocket(a, b, c Circle) error {
	return fmt.Errorf("circles of radius %.4g, %.4g and %.4g mm leave no pocket: gaps %.4g, %.4g, %.4g mm",
		a.R, b.R, c.R, a.Gap(b), b.Gap(c), c.Gap(a))
}

// Away returns how far from the middle of a round stone of radius r a prong of
// that wire stands so that it covers the stone's edge by cover: r + wire/2 -
// cover.
func Away(r, wire, cover float64) float64 { return r + wire/2 - cover }

// Cover returns by how much a prong of that wire, away from the middle of a
// round stone of radius r, covers the stone's edge; negative where there is
// air between them.
func Cover(r, wire, away float64) float64 { return r + wire/2 - away }

// Wire returns how thick a prong that stands away from the middle of a round
// stone of radius r has to be to cover the stone's edge by cover. It is not
// positive where the prong stands wholly over the stone.
func Wire(r, away, cover float64) float64 { return 2 * (away - r + cover) }

// Between returns the two places where a prong of that wire covers the edges
// of both stones by cover, on the left and on the right of the way from a to
// b. It fails where the prong can't reach both or stands wholly over one.
func Between(a, b Circle, wire, cover float64) (left, right vec.P2, err error) {
	if err := cmp.Or(positive("prong wire", wire), positive("stone radius", a.R), positive("stone radius", b.R), finite("cover", cover)); err != nil {
		return left, right, err
	}
	if !(cover < wire) {
		return left, right, fmt.Errorf("a prong of %.4g mm wire that covers %.4g mm stands wholly over its stones", wire, cover)
	}
	ra, rb := Away(a.R, wire, cover), Away(b.R, wire, cover)
	way := b.At.Sub(a.At)
	d := way.Len()
	along := (d + float64((ra-rb)*(ra+rb)/d)) / 2
	rise2 := float64((ra - along) * (ra + along))
	if !(rise2 >= 0) || !(d > 0) {
		return left, right, fmt.Errorf("a prong of %.4g mm wire does not reach %.4g mm over both stones of radius %.4g and %.4g mm: they stand %.4g mm apart",
			wire, cover, a.R, b.R, a.Gap(b))
	}
	dir := way.Mul(1 / d)
	foot, rise := a.At.Add(dir.Mul(along)), dir.Left().Mul(math.Sqrt(rise2))
	return foot.Add(rise), foot.Sub(rise), nil
}

// Around returns n places at the same distance from the origin, evenly spread,
// clockwise, the first at the bearing phase. It fails for fewer than 3.
func Around(n int, away, phase float64) ([]vec.P2, error) {
	if n < 3 || n > Most {
		return nil, fmt.Errorf("%d prongs hold no stone: it takes 3 to %d", n, Most)
	}
	if err := cmp.Or(positive("distance of prongs", away), finite("phase of prongs", phase)); err != nil {
		return nil, err
	}
	all := make([]vec.P2, n)
	for i := range all {
		all[i] = vec.Bearing(away, phase+float64(2*math.Pi*float64(i)/float64(n)))
	}
	return all, nil
}
