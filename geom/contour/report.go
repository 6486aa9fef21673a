package contour

import (
	"slices"
	"sync"

	"waxwright/geom/vec"
)

// Report says what a mesh is worth.
type Report struct {
	Reached    float64 // largest deviation found, mm
	At         vec.P   // where it was found
	Unresolved []Spot  // places too thin for the finest cells
	Cells      int     // cells that the surface passes
	Fallbacks  int     // vertices that no face, crease or corner explains
	// Normals are those of the surface at the corners of each triangle, if asked
	// for: of the face on which the triangle lies, zero where that is not known.
	Normals [][3]vec.P
}

// Spot is a place that the mesh does not resolve: a gap, a wall or a strip of
// a face thinner than the finest cells.
type Spot struct {
	At    vec.P
	Width float64   // mm, as far as the cell shows it
	Tags  [2]uint32 // the owners of its two sides, the lesser first
}

// spotReach is how near in mm faults of the same two owners count as one place.
const spotReach = 0.5

// mostSpots bounds the list of places.
const mostSpots = 1000

// report counts the cells and gathers the faults that are left.
func (m *mesher) report() Report {
	var r Report
	for _, b := range m.blocks {
		r.Cells += len(b.cells)
		r.Fallbacks += len(b.faults)
		for _, f := range b.faults {
			if f.tip {
				continue
			}
			r.Unresolved = gathered(r.Unresolved, Spot{f.at, f.width, [2]uint32{min(f.tags[0], f.tags[1]), max(f.tags[0], f.tags[1])}})
		}
	}
	return r
}

// gathered adds a spot to the list, or makes one of it with a spot near.
func gathered(list []Spot, s Spot) []Spot {
	i := slices.IndexFunc(list, func(t Spot) bool {
		return t.Tags == s.Tags && t.At.Sub(s.At).Len() <= spotReach
	})
	if i < 0 {
		if len(list) >= mostSpots {
			return list
		}
		return append(list, s)
	}
	list[i].Width = max(list[i].Width, s.Width)
	return list
}

// progress tells a caller how far the work is.
type progress struct {
	mu   sync.Mutex
	tell func(done, total int)
	base float64 // share of the work before the stage in hand
	part float64 // share of the stage
	done int     // tasks of the stage
	last int
}

// progressTotal is the number that progress counts up to.
const progressTotal = 1000

// stage begins a stage that is the given share of the work.
func (p *progress) stage(part float64) {
	if p.tell == nil {
		return
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	p.base += p.part
	p.part, p.done = part, 0
	p.say(p.base)
}

// step notes that one more of a stage's total tasks is done.
func (p *progress) step(total int) {
	if p.tell == nil {
		return
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	p.done++
	p.say(p.base + p.part*float64(p.done)/float64(total))
}

// at notes that done of a stage's total tasks are done.
func (p *progress) at(done, total int) {
	if p.tell == nil {
		return
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	p.say(p.base + p.part*float64(done)/float64(total))
}

func (p *progress) say(share float64) {
	if now := min(int(share*progressTotal), progressTotal); now > p.last {
		p.last = now
		p.tell(now, progressTotal)
	}
}
