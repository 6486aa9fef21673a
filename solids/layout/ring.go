package layout

import (
	"cmp"
	"fmt"
	"math"

	"waxwright/geom/vec"
)

// Ring is equal stones on a circle about the origin.
type Ring struct {
	Count  int     // at least 3
	Radius float64 // mm, to the stones' middles
	Phase  float64 // bearing of one of them, radians
	Lean   float64 // how far each table is tilted outwards, radians
	Point  Point   // which way each stone's top looks
}

// Most is the largest number of stones in a ring: far above any piece, so that
// a slip of the pen can't ask for a billion.
const Most = 100_000

// check reports what is wrong with the ring.
func (r Ring) check() error {
	return cmp.Or(counted(r.Count), positive("ring radius", r.Radius), finite("phase of a ring", r.Phase), finite("lean of a ring", r.Lean))
}

func counted(n int) error {
	if n < 3 || n > Most {
		return fmt.Errorf("%d stones make no ring: it takes 3 to %d", n, Most)
	}
	return nil
}

// sameTurn is the share of a step between stones within which a bearing counts
// as a multiple of it: the roundings of degrees turned to radians a
// thousandfold, for bearings up to thousands of turns.
const sameTurn = 1e-9

// Bearing returns the bearing of stone n, in radians; n from 1. Stone 1 is the
// first at or after the top.
func (r Ring) Bearing(n int) float64 {
	step := 2 * math.Pi / float64(r.Count)
	start := r.Phase - float64(step*math.Floor(r.Phase/step+sameTurn))
	return start + float64(step*float64(n-1))
}

// Spots returns the places of the stones, numbered clockwise from the top
// whatever the phase. It fails for fewer than 3 stones or a radius that is not
// positive.
func (r Ring) Spots() ([]Spot, error) {
	if err := r.check(); err != nil {
		return nil, err
	}
	// local y points out at first; tilting about x takes the table outwards
	local := vec.Shift(vec.P{Y: r.Radius}).After(vec.Turn(vec.P{X: 1}, -r.Lean)).After(vec.TurnZ(-r.Point.turn()))
	all := make([]Spot, r.Count)
	for i := range all {
		all[i] = Spot{i + 1, vec.TurnZ(-r.Bearing(i + 1)).After(local)}
	}
	return all, nil
}

// Pockets returns the places that lie the distance away from the middles of
// two neighbours, on the inner or the outer side of the ring: place i between
// stones i+1 and i+2. It fails where away is too short to reach both, and where
// the inner places would lie beyond the middle of the ring.
func (r Ring) Pockets(away float64, outer bool) ([]vec.P2, error) {
	if err := r.check(); err != nil {
		return nil, err
	}
	half := math.Pi / float64(r.Count)
	side := r.Radius * math.Sin(half)
	if !(away > side) {
		return nil, fmt.Errorf("a prong %.4g mm from the middles of two stones does not reach between them: the middles are %.4g mm apart", away, 2*side)
	}
	rise := math.Sqrt(float64((away - side) * (away + side)))
	if !outer {
		rise = -rise
	}
	out := float64(r.Radius*math.Cos(half)) + rise
	if !(out > 0) {
		return nil, fmt.Errorf("a prong %.4g mm from the middles of two stones stands beyond the middle of their ring of radius %.4g mm", away, r.Radius)
	}
	all := make([]vec.P2, r.Count)
	for i := range all {
		all[i] = vec.Bearing(out, r.Bearing(i+1)+half)
	}
	return all, nil
}

// RingRadius returns the radius to the middles of n stones of that size with
// that gap between neighbours: (size + gap) / (2 sin(pi / n)).
func RingRadius(n int, size, gap float64) (float64, error) {
	if err := cmp.Or(counted(n), positive("stone size", size), finite("gap", gap), positive("size and gap together", size+gap)); err != nil {
		return 0, err
	}
	return (size + gap) / (2 * math.Sin(math.Pi/float64(n))), nil
}

// RingGap returns the gap between neighbours of n stones of that size. It
// fails where the stones would overlap, and says by how much.
func RingGap(n int, radius, size float64) (float64, error) {
	if err := cmp.Or(counted(n), positive("ring radius", radius), positive("stone size", size)); err != nil {
		return 0, err
	}
	gap := chord(n, radius) - size
	if gap < -roundings*size {
		return 0, fmt.Errorf("%d stones of %.4g mm on a ring of radius %.4g mm overlap by %.4g mm", n, size, radius, -gap)
	}
	return max(0, gap), nil
}

// SizeInRing returns the size of n stones that leave that gap between
// neighbours. It fails where nothing is left for the stones.
func SizeInRing(n int, radius, gap float64) (float64, error) {
	if err := cmp.Or(counted(n), positive("ring radius", radius), finite("gap", gap)); err != nil {
		return 0, err
	}
	size := chord(n, radius) - gap
	if !(size > 0) {
		return 0, fmt.Errorf("%d gaps of %.4g mm leave no room for stones on a ring of radius %.4g mm", n, gap, radius)
	}
	return size, nil
}

// RingCount returns the most stones of that size that leave at least the gap
// between neighbours. It fails where fewer than 3 have room.
func RingCount(radius, size, gap float64) (int, error) {
	if err := cmp.Or(positive("ring radius", radius), positive("stone size", size), finite("gap", gap), positive("size and gap together", size+gap)); err != nil {
		return 0, err
	}
	n := 0.0
	if c := (size + gap) / (2 * radius); c < 1 {
		n = math.Floor(math.Pi/math.Asin(c) + roundings) // a count that fits exactly stays
	}
	if n < 3 {
		return 0, fmt.Errorf("a ring of radius %.4g mm has no room for 3 stones of %.4g mm with gaps of %.4g mm", radius, size, gap)
	}
	return int(min(n, Most)), nil
}

// roundings is how much of a length or a count the roundings of the formulas
// above may take, generously: a thousand times what float64 leaves at counts
// up to Most.
const roundings = 1e-8

// chord is how far apart the middles of neighbours are.
func chord(n int, radius float64) float64 { return 2 * radius * math.Sin(math.Pi/float64(n)) }

// SizeInside returns the largest round stone in the middle of a ring of stones
// of that size that leaves at least the gap to each: 2 (radius - gap) - size.
// It fails where the ring leaves no room.
func SizeInside(radius, size, gap float64) (float64, error) {
	if err := cmp.Or(positive("ring radius", radius), positive("stone size", size), finite("gap", gap)); err != nil {
		return 0, err
	}
	in := 2*(radius-gap) - size
	if !(in > 0) {
		return 0, fmt.Errorf("a ring of stones of %.4g mm at radius %.4g mm with a gap of %.4g mm leaves no room inside", size, radius, gap)
	}
	return in, nil
}

// SizeAround returns the size of n round stones, gap apart, that lie round a
// stone of the given size in the middle, clear of it by air: the ring that
// fits outside. It fails where nothing is left for the stones.
func SizeAround(n int, middle, air, gap float64) (float64, error) {
	if err := cmp.Or(counted(n), positive("size of the middle stone", middle), finite("clearance", air), finite("gap", gap)); err != nil {
		return 0, err
	}
	// (size + gap) / (2 s) = radius = middle / 2 + air + size / 2
	s := math.Sin(math.Pi / float64(n))
	size := (float64((middle+2*air)*s) - gap) / (1 - s)
	if !(size > 0) {
		return 0, fmt.Errorf("%d gaps of %.4g mm leave no room for stones round one of %.4g mm", n, gap, middle)
	}
	return size, nil
}

// RowPitch returns the distance between rows of round stones of that size,
// gap apart, laid like a honeycomb: (size + gap) sqrt(3) / 2.
func RowPitch(size, gap float64) float64 { return (size + gap) * (math.Sqrt(3) / 2) }
