package picture

import (
	"fmt"
	"math"
	"strings"

	"waxwright/geom/vec"
)

// View is a direction from which a scene is seen.
type View int

// The views. Front, Back, Side and Top are parallel projections along an axis;
// Quarter is seen through a long lens, from the front, the left and below, as
// a piece that lies on a table.
const (
	Front   View = iota // from +z: x to the right, y up
	Back                // from -z: -x to the right, y up
	Side                // from +x: -z to the right, y up
	Top                 // from +y: x to the right, -z up
	Quarter             // three-quarter
)

var viewNames = [...]string{"front", "back", "side", "top", "quarter"}

// String returns the view's name.
func (v View) String() string {
	if v < 0 || int(v) >= len(viewNames) {
		return fmt.Sprintf("view %d", int(v))
	}
	return viewNames[v]
}

// ParseView returns the view of that name.
func ParseView(name string) (View, error) {
	for i, n := range viewNames {
		if n == name {
			return View(i), nil
		}
	}
	return 0, fmt.Errorf("unknown view %q: one of %s", name, strings.Join(viewNames[:], ", "))
}

// Plane is the set of points p with Normal.p = Offset; beyond it is where
// Normal.p is greater. The normal need not have length 1.
type Plane struct {
	Normal vec.P
	Offset float64
}

// beyond returns how far p lies beyond the plane, whose normal has length 1.
func (p Plane) beyond(q vec.P) float64 { return p.Normal.Dot(q) - p.Offset }

// Camera maps the world to the picture.
type Camera struct {
	Right, Up, Back vec.P   // orthonormal; Back points to the viewer
	Center          vec.P   // the point that the camera looks at, mm
	X, Y            float64 // where Center lands, pixels from the top left corner
	Scale           float64 // pixels per mm at Center
	Dist            float64 // from Center to the eye, mm; 0 for a parallel projection
	eye             float64 // from Center to the eye that gloss is seen by, mm
}

// Project returns where p lands: x to the right, y down, in pixels from the
// top left corner (the middle of the first pixel is 0.5, 0.5), and how far p
// stands in front of the camera's Center, in mm.
func (c Camera) Project(p vec.P) (x, y, front float64) {
	q := p.Sub(c.Center)
	front = q.Dot(c.Back)
	s := c.Scale * c.near(front)
	return c.X + s*q.Dot(c.Right), c.Y - s*q.Dot(c.Up), front
}

// Faces reports whether a surface at p with the outward normal n is turned to
// the viewer: what is not is not drawn.
func (c Camera) Faces(p, n vec.P) bool { return c.sight(p).Dot(n) < 0 }

// near returns how much larger a thing appears that stands in front of Center.
func (c Camera) near(front float64) float64 {
	if c.Dist == 0 {
		return 1
	}
	return c.Dist / (c.Dist - front)
}

// ray returns the line of sight through a pixel position: a point on the plane
// through Center, and the direction away from the viewer.
func (c Camera) ray(x, y float64) (o, d vec.P) {
	o = c.Center.Add(c.Right.Mul((x - c.X) / c.Scale)).Add(c.Up.Mul((c.Y - y) / c.Scale))
	if c.Dist == 0 {
		return o, c.Back.Neg()
	}
	return o, o.Sub(c.Center.Add(c.Back.Mul(c.Dist))).Unit()
}

// sight returns the direction of the line of sight through p, away from the
// viewer.
func (c Camera) sight(p vec.P) vec.P {
	if c.Dist == 0 {
		return c.Back.Neg()
	}
	return p.Sub(c.Center.Add(c.Back.Mul(c.Dist))).Unit()
}

// toEye returns the direction from p to the eye that sees its gloss. It stands
// at the distance of the long lens in parallel projections too: seen from
// infinity flat metal would have one tone and equal stones one pattern.
func (c Camera) toEye(p vec.P) vec.P {
	return c.Center.Add(c.Back.Mul(c.eye)).Sub(p).Unit()
}

// aim returns a camera with the view's axes.
func aim(v View) Camera {
	x, y, z := vec.Here.X, vec.Here.Y, vec.Here.Z
	switch v {
	case Back:
		return Camera{Right: x.Neg(), Up: y, Back: z.Neg()}
	case Side:
		return Camera{Right: z.Neg(), Up: y, Back: x}
	case Top:
		return Camera{Right: x, Up: z.Neg(), Back: y}
	case Quarter:
		b := quarterFrom.Unit()
		r := y.Cross(b).Unit()
		return Camera{Right: r, Up: b.Cross(r), Back: b}
	default:
		return Camera{Right: x, Up: y, Back: z}
	}
}

// Composition, chosen by eye.
var quarterFrom = vec.P{X: -0.36, Y: -0.66, Z: 0.80} // from the piece to the eye

const (
	maxReachPixels = 1e6 // beyond it fixed-point positions would overflow

	lens   = 5.0  // distance of the eye over the radius of what is framed
	margin = 0.09 // free border, as a share of the picture's shorter side
)

// frame fits the camera to what is to be seen.
func frame(sp *soup, o Options) (Camera, error) {
	cam := aim(o.View)
	box := vec.BoxOf(sp.used...)
	pts := sp.used
	if o.Box != nil {
		box = *o.Box
		c := box.Corners()
		pts = c[:]
	}
	cam.Center = box.Center()
	r := 0.0
	for _, p := range pts {
		r = max(r, p.Sub(cam.Center).Len())
	}
	reach := r // of all, so that nothing stands behind the eye
	for _, p := range sp.used {
		reach = max(reach, p.Sub(cam.Center).Len())
	}
	if !(r > 0) {
		return cam, fmt.Errorf("picture of a single point at %v", cam.Center)
	}
	cam.eye = lens * reach
	if o.View == Quarter {
		cam.Dist = cam.eye
	}
	cam.Scale = 1
	lo, hi := vec.P2{X: math.Inf(1), Y: math.Inf(1)}, vec.P2{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, p := range pts {
		x, y, _ := cam.Project(p)
		lo.X, lo.Y = min(lo.X, x), min(lo.Y, y)
		hi.X, hi.Y = max(hi.X, x), max(hi.Y, y)
	}
	w, h := float64(o.Width), float64(o.Height)
	free := margin * min(w, h)
	if o.Legend != nil {
		w -= legendRoom(o)
	}
	h -= listRoom(o)
	cam.Scale = min((w-2*free)/max(hi.X-lo.X, 1e-9*r), (h-2*free)/max(hi.Y-lo.Y, 1e-9*r))
	if cam.Scale*reach > maxReachPixels {
		return cam, fmt.Errorf("the box to frame, %v, is too small for a scene of %g mm", box, reach)
	}
	cam.X = w/2 - cam.Scale*(lo.X+hi.X)/2
	cam.Y = h/2 - cam.Scale*(lo.Y+hi.Y)/2
	return cam, nil
}

// groundOf returns the plane of the paper, its normal towards the light.
func groundOf(sp *soup, cam Camera, o Options) Plane {
	if o.Ground != nil {
		g := *o.Ground
		if g.Normal.Dot(cam.Back) < 0 {
			g = Plane{g.Normal.Neg(), -g.Offset}
		}
		return g
	}
	n := cam.Back
	if o.View == Quarter {
		n = vec.Here.Z
	}
	low := math.Inf(1)
	for _, p := range sp.used {
		low = min(low, n.Dot(p))
	}
	return Plane{n, low}
}
