// Package stone holds the cuts: their solids, proportions and weights.
//
// A stone is given in its own frame: z = 0 is the underside of the girdle, the
// table looks along +z, the axis is z. Lengths are mm.
package stone

import (
	"fmt"
	"math"

	"waxwright/geom/mesh"
	"waxwright/geom/outline"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// Cut is a stone of a given size.
type Cut interface {
	Girdle() outline.Outline          // seen from the front
	GirdleTop() float64               // z of the girdle's upper edge
	Top() float64                     // z of the table or the top of the dome
	Deep() float64                    // from z = 0 down to the culet
	Volume() float64                  // mm3
	Seat(clearance float64) sdf.Field // the room that it needs in metal
	Mesh() *mesh.Mesh                 // for pictures
}

// New returns a stone of the named cut, size mm across; depth is the total
// depth as a share of the size, 0 for the cut's own.
func New(cut string, size, depth float64) (Cut, error) {
	if !(size > 0) {
		return nil, fmt.Errorf("stone size %g is not positive", size)
	}
	switch cut {
	case "round":
		return brilliant(size, depth)
	case "cabochon":
		return cabochon(size, depth)
	}
	return nil, fmt.Errorf("no cut is called %q", cut)
}

type round struct{ r, girdle, crown, pavilion, table float64 }

func brilliant(size, depth float64) (Cut, error) {
	b := round{size / 2, 0.025 * size, 0.145 * size, 0.43 * size, 0.57 * size / 2}
	if depth > 0 {
		k := (depth - 0.025) / (0.145 + 0.43)
		b.crown *= k
		b.pavilion *= k
	}
	return b, nil
}

func (b round) Girdle() outline.Outline { o, _ := outline.Circle(b.r); return o }
func (b round) GirdleTop() float64      { return b.girdle }
func (b round) Top() float64            { return b.girdle + b.crown }
func (b round) Deep() float64           { return b.pavilion }
func (b round) Volume() float64 {
	return math.Pi * (b.r*b.r*b.girdle + b.crown/3*(b.r*b.r+b.r*b.table+b.table*b.table) + b.pavilion/3*b.r*b.r)
}
func (b round) Seat(c float64) sdf.Field {
	return sdf.Union{
		sdf.Cone{R0: 0, Z0: -b.pavilion - c, R1: b.r + c, Z1: 0},
		sdf.Cylinder{R: b.r + c, Z0: 0, Z1: b.girdle},
	}
}
func (b round) Mesh() *mesh.Mesh {
	m := &mesh.Mesh{}
	const n = 16
	ringAt := func(r, z float64, half float64) {
		for i := range n {
			m.V = append(m.V, vec.Bearing(r, -2*math.Pi*(float64(i)+half)/n).At(z))
		}
	}
	m.V = append(m.V, vec.P{Z: -b.pavilion})
	ringAt(b.r, 0, 0)
	ringAt(b.r, b.girdle, 0)
	ringAt(b.table, b.girdle+b.crown, 0)
	m.V = append(m.V, vec.P{Z: b.girdle + b.crown})
	top := uint32(1 + 3*n)
	for i := range uint32(n) {
		j := (i + 1) % n
		m.T = append(m.T, [3]uint32{0, 1 + j, 1 + i})
		for k := range uint32(2) {
			a, c := 1+k*n, 1+(k+1)*n
			m.T = append(m.T, [3]uint32{a + i, a + j, c + j}, [3]uint32{a + i, c + j, c + i})
		}
		m.T = append(m.T, [3]uint32{1 + 2*n + i, 1 + 2*n + j, top})
	}
	return m
}

func cabochon(size, depth float64) (Cut, error) { return nil, fmt.Errorf("cabochon to come") }
