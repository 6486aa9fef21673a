package patch

// What counts as one place and as one direction. Some mm from the origin double
// precision steps by 1e-15; each figure is as far above that as what is compared has
// lost on its way. They are lengths in mm unless they say otherwise.
const (
	// settledStep and settledValue end Newton's steps: what the roundings of a few
	// dozen operations leave of a step, and of a surface's value.
	settledStep  = 1e-13
	settledValue = 1e-14
	// settledTouch ends them where surfaces touch, and each step only halves what is
	// left of both.
	settledTouch = 1e-9
	// exact is how near surfaces pass to a point at which they meet: they need not be
	// moved.
	exact = 1e-10
	// sameAxis is how far two axes that are one lie apart, and the sine of the angle
	// between them: places and turns of parts come multiplied from several others.
	sameAxis = 1e-9
	// sameTilt is the sine of the angle below which two directions are one where
	// they hold for all of a piece: over 100 mm they part by exact.
	sameTilt = 1e-12
	// thinnest is how near to a surface matter is looked for: no thinner sheet or gap
	// is seen. It stands above exact, by which points of a surface may be off it.
	thinnest = 1e-8
	// snap is how near to a surface a corner lies that is on it: three surfaces that
	// touch are found to 1e-7 only (see meet).
	snap = 5e-7
	// merge is how near two corners lie that are one: twice snap, one on each side.
	merge = 2 * snap
	// onSurface is how far from the surface a vertex may lie: what merged corners may
	// differ by, on both sides.
	onSurface = 2 * merge
	// leastAngle in radians is how near to each other faces beside a curve may lie, and
	// the sine of the angle at which two surfaces cross rather than touch.
	leastAngle = 1e-4
)
