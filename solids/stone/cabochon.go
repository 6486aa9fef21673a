package stone

import (
	"fmt"
	"math"

	"waxwright/geom/mesh"
	"waxwright/geom/outline"
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// CabochonDepth is the usual height of a cabochon as a share of its size, and
// CabochonLand the share of its size that its straight edge is high: common
// practice, no source.
const (
	CabochonDepth = 0.45
	CabochonLand  = 0.05
)

// Cabochon is a round cabochon: a flat base, a straight edge (the land), and a
// dome that is a cap of a ball.
type Cabochon struct {
	Size   float64 // across, mm
	Height float64 // of the whole stone, mm
	Land   float64 // height of the straight edge, mm
}

// NewCabochon returns the round cabochon of that size and height in mm. Its
// land is CabochonLand of the size, but of a low stone at most a quarter of
// the height, and of a stone higher than half a ball all that the half ball
// leaves. It fails for a size or a height that no stone has.
func NewCabochon(size, height float64) (Cabochon, error) {
	if err := sized(size); err != nil {
		return Cabochon{}, err
	}
	if !(height >= flattest*size && height <= deepest*size) {
		return Cabochon{}, fmt.Errorf("cabochon of %.4g mm across is %.4g mm high", size, height)
	}
	land := max(min(CabochonLand*size, height/4), height-size/2)
	return Cabochon{size, height, land}, nil
}

// flattest is the least height of a cabochon, as a share of its size.
const flattest = 0.01

// Girdle returns the circle round the stone.
func (c Cabochon) Girdle() outline.Outline { return circle(c.Size / 2) }

// GirdleTop returns the height of the straight edge, mm.
func (c Cabochon) GirdleTop() float64 { return c.Land }

// Top returns the height of the dome, mm.
func (c Cabochon) Top() float64 { return c.Height }

// Deep is 0: the base is flat.
func (c Cabochon) Deep() float64 { return 0 }

// cap returns the height of the dome above the land and the radius of its
// ball, mm.
func (c Cabochon) cap() (h, ball float64) {
	h = c.Height - c.Land
	r := c.Size / 2
	return h, (float64(r*r) + float64(h*h)) / (2 * h)
}

// Volume returns the volume of land and cap, mm3: pi r^2 land +
// pi h^2 (3 ball - h) / 3 (constructionwork.com volume formulas).
func (c Cabochon) Volume() float64 {
	r := c.Size / 2
	h, ball := c.cap()
	return math.Pi * (float64(r*r*c.Land) + h*h*(3*ball-h)/3)
}

// Solid returns the stone. It is exact on both sides.
func (c Cabochon) Solid() sdf.Field { return c.Seat(0) }

// Seat returns the stone, larger by the clearance all round and above; its
// base stays at z = 0, where it rests.
func (c Cabochon) Seat(clearance float64) sdf.Field {
	if !(clearance >= 0) {
		panic(fmt.Sprintf("seat with a clearance of %g", clearance))
	}
	h, ball := c.cap()
	r, top := c.Size/2+clearance, c.Height+clearance
	ball += clearance
	rise := min(h+clearance, ball) // of the dome above where it meets the edge
	if clearance > 0 {
		rise = ball - math.Sqrt(max(0, float64((ball-r)*(ball+r))))
	}
	o, err := outline.New(outline.Loop{
		{At: vec.P2{}},
		{At: vec.P2{X: r}},
		// an arc whose half angle has the tangent rise / r
		{At: vec.P2{X: r, Y: top - rise}, Bulge: math.Tan(math.Atan2(rise, r) / 2)},
		{At: vec.P2{Y: top}},
	})
	if err != nil {
		panic(fmt.Sprintf("profile of a cabochon: %v", err)) // a checked stone has a sound profile
	}
	return sdf.Revolve{Outline: o}
}

// How finely the mesh of a dome is drawn: round it, and from edge to top.
const domeRound, domeUp = 96, 16

// Mesh returns the stone in flat bits, its corners on the true surface, for
// pictures: nowhere more than 0.2 % of the size inside it.
func (c Cabochon) Mesh() *mesh.Mesh {
	m := &mesh.Mesh{V: []vec.P{{}, {Z: c.Height}}}
	h, ball := c.cap()
	half := 2 * math.Atan2(h, c.Size/2) // of the cap, seen from the ball's middle
	row := func(r, z float64) {
		for i := range domeRound {
			m.V = append(m.V, vec.Bearing(r, -2*math.Pi*float64(i)/domeRound).At(z))
		}
	}
	row(c.Size/2, 0)
	row(c.Size/2, c.Land)
	for k := 1; k < domeUp; k++ {
		s, cos := math.Sincos(half * (1 - float64(k)/domeUp))
		row(ball*s, c.Height-ball*(1-cos))
	}
	const rows = domeUp + 1
	at := func(row, i int) uint32 { return uint32(2 + row*domeRound + i%domeRound) }
	for i := range domeRound {
		m.T = append(m.T, [3]uint32{0, at(0, i+1), at(0, i)}, [3]uint32{1, at(rows-1, i), at(rows-1, i+1)})
		for k := range rows - 1 {
			m.T = append(m.T,
				[3]uint32{at(k, i), at(k, i+1), at(k+1, i+1)},
				[3]uint32{at(k, i), at(k+1, i+1), at(k+1, i)})
		}
	}
	return m
}

var _ Cut = Cabochon{}
