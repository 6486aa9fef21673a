package bench

import (
	"math"
	"time"
)

// pace learns how fine a sketch may be to be done in time: the work goes with
// the number of cells that the surface passes, and so with the inverse square
// of their size.
type pace struct {
	cell float64 // mm; 0: nothing is known yet
}

const (
	// sketchTime is how long a sketch may take, so that it is seen a tenth of a
	// second after the dial was turned.
	sketchTime = 55 * time.Millisecond
	// sketchTriangles is how many triangles a sketch may have, so that the page
	// has shaded them in the rest of that tenth (an estimate: a microsecond each
	// to find its creases and to send it to the screen).
	sketchTriangles = 25_000
	// firstCell, finestCell and coarsestCell are the cells of a first sketch and
	// their bounds, mm: at 0.36 mm prongs and rays still look like themselves, and
	// what 0.18 mm adds is not seen in motion (both chosen by eye).
	firstCell, finestCell, coarsestCell = 0.36, 0.18, 0.36
)

// size is the cell size for the next sketch, mm.
func (p *pace) size() float64 {
	if p.cell == 0 {
		return firstCell
	}
	return p.cell
}

// learn notes how long a sketch took and how many triangles it has. It goes half
// the way to what would have fitted, in steps that can be seen: cells of nearly
// the same size are the same, so that meshes made before are found again.
func (p *pace) learn(took time.Duration, triangles int) {
	load := max(float64(took)/float64(sketchTime), float64(triangles)/sketchTriangles)
	fit := p.size() * math.Sqrt(load)
	next := math.Sqrt(p.size() * fit)
	const steps = 12 // to the double
	next = math.Exp2(math.Round(math.Log2(next)*steps) / steps)
	p.cell = min(max(next, finestCell), coarsestCell)
}
