package patch

import (
	"math"

	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// What is known of pairs of surfaces by their forms alone spares the cells in
// which it would have to be found out.

// never reports whether in a cube two surfaces have no crease: parallel planes,
// round ones along one direction that lie apart or within each other, what lies
// beside a plane; what touches along a line has none, too.
func (b *builder) never(i, j int32, c vec.P, half float64) bool {
	x, y := &b.surf[i], &b.surf[j]
	if y.round() > 0 {
		x, y = y, x
	}
	r, s := x.round(), y.round()
	if r == 0 {
		level := func(s *sheet) bool {
			return s.Form == sdf.FormPlane || s.Form == sdf.FormRim && b.flat(s, c, 2*half)
		}
		return level(x) && level(y) && x.U.Cross(y.U).Len() < sameTilt
	}
	if s == 0 {
		return y.Form == sdf.FormPlane && math.Abs(x.U.Dot(y.U)) < sameTilt && math.Abs(y.U.Dot(x.O)-y.A) > r-sameAxis
	}
	if x.U.Cross(y.U).Len() > sameTilt {
		return false
	}
	far := x.O.Sub(y.O).Cross(x.U).Len()
	if far > r+s-sameAxis {
		return true
	}
	// One is within the other, which has no end; what coincides has creases
	// where one of them ends.
	within := y.Form == sdf.FormCylinder && far+r < s+sameAxis || x.Form == sdf.FormCylinder && far+s < r+sameAxis
	return within && (x.Form == y.Form || far+math.Abs(r-s) > sameAxis)
}

// round returns the radius of a surface that goes along a line, 0 of others.
func (s *sheet) round() float64 {
	switch s.Form {
	case sdf.FormCylinder:
		return s.A
	case sdf.FormCapsule:
		return s.B
	}
	return 0
}

// oneCircle reports whether two surfaces are cones about one axis, or a cone and a
// cylinder: on one side of an apex they share one circle at most.
func (b *builder) oneCircle(i, j int32) bool {
	x, y := &b.surf[i], &b.surf[j]
	if x.Form != sdf.FormCone || y.Form != sdf.FormCone && y.Form != sdf.FormCylinder {
		x, y = y, x
	}
	return x.Form == sdf.FormCone && (y.Form == sdf.FormCone || y.Form == sdf.FormCylinder) &&
		x.U.Cross(y.U).Len() < sameTilt && y.O.Sub(x.O).Cross(x.U).Len() < sameAxis
}

// apartShare is by how much of the distance of their axes the radii of two round
// surfaces may differ that cross at an angle: where circles with radii r and s about
// points d apart cross, r s |m - n|^2 = d^2 - (r - s)^2 for their normals m and n, so
// that these differ by 0.71 d / sqrt(r s) or more.
const apartShare = 0.7

// sameRound reports whether two surfaces go along one direction with nearly one
// radius, apart by more than that differs: of the curve that they share a cube that
// is small to the radius has one piece at most.
func (b *builder) sameRound(i, j int32) bool {
	x, y := &b.surf[i], &b.surf[j]
	if x.Form != y.Form || x.round() == 0 || x.U.Cross(y.U).Len() > sameTilt {
		return false
	}
	if x.Form == sdf.FormCapsule && (math.Abs(x.A-y.A) > sameAxis || math.Abs(x.O.Sub(y.O).Dot(x.U)) > sameAxis) {
		return false
	}
	return math.Abs(x.round()-y.round()) < apartShare*x.O.Sub(y.O).Cross(x.U).Len()
}

// coaxial reports whether in a cube all surfaces turn about one axis: then they
// share whole circles or nothing.
func (b *builder) coaxial(c vec.P, half float64, ids ...int32) bool {
	var axis *sheet
	for _, id := range ids {
		switch s := &b.surf[id]; s.Form {
		case sdf.FormCylinder, sdf.FormCone, sdf.FormTorus, sdf.FormTurned:
			axis = s
		}
	}
	if axis == nil {
		return false
	}
	on := func(p vec.P) bool { return p.Sub(axis.O).Cross(axis.U).Len() < sameAxis }
	for _, id := range ids {
		s := &b.surf[id]
		turned := false
		switch s.Form {
		case sdf.FormPlane:
			turned = s.U.Cross(axis.U).Len() < sameAxis
		case sdf.FormRim:
			turned = s.U.Cross(axis.U).Len() < sameAxis && b.flat(s, c, 2*half)
		case sdf.FormSphere:
			turned = on(s.O)
		case sdf.FormCylinder, sdf.FormCone, sdf.FormTorus, sdf.FormTurned:
			turned = on(s.O) && s.U.Cross(axis.U).Len() < sameAxis
		}
		if !turned {
			return false
		}
	}
	return true
}

// flat reports whether all of a rim within r of p belongs to its flat end. So far
// below the end the value is no less than what the end alone would give.
func (b *builder) flat(s *sheet, p vec.P, r float64) bool {
	return b.all.Value(s.word, s.low(p).Sub(s.U.Mul(r))) < -s.B-r/2
}
