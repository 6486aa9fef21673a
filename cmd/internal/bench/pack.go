package bench

import (
	"encoding/binary"
	"encoding/json"
	"fmt"
	"image/color"
	"math"

	"waxwright/geom/mesh"
	"waxwright/geom/vec"
	"waxwright/recipes/build"
	"waxwright/recipes/piece"
	"waxwright/solids/stone"
)

// A container is what meshes travel in: four letters that name its form, the
// length of a header (uint32), the header (JSON, padded with blanks to a multiple
// of 4), then buffers. Each buffer starts at a multiple of 4, counted from the
// end of the header. All numbers are little endian.

// modelHead is the header of a container of meshes.
type modelHead struct {
	ID       string        `json:"id"`
	Box      [6]float64    `json:"box"` // least x, y, z, greatest x, y, z
	Castings []castingHead `json:"castings"`
	Owners   []ownerHead   `json:"owners"` // the first is nobody
	Stones   []stonesHead  `json:"stones"`
	Shapes   []shapeHead   `json:"shapes"`
	Twin     *[16]float64  `json:"twin,omitempty"` // takes all of it to the other ear, column by column; perhaps mirrored
}

type castingHead struct {
	Name      string     `json:"name"`
	Color     [3]float64 `json:"color"`
	Roughness float64    `json:"roughness"`
	Positions buffer     `json:"positions"` // 3 uint16 over the box and one of nothing, a vertex
	Indices   buffer     `json:"indices"`   // 3 a triangle
	Owners    buffer     `json:"owners"`    // uint16 a triangle
}

type ownerHead struct {
	Name   string `json:"name"`
	Line   int    `json:"line"`
	Column int    `json:"column"`
}

// stonesHead is a run of equal stones of one group.
type stonesHead struct {
	Gem      string       `json:"gem"`
	Color    [3]float64   `json:"color"`
	Clear    bool         `json:"clear"`
	Shape    int          `json:"shape"`
	Group    string       `json:"group"`
	Casting  int          `json:"casting"` // index of the one that they sit in
	Numbers  stoneNumbers `json:"numbers"`
	First    int          `json:"first"`    // the number of the first of them
	Matrices buffer       `json:"matrices"` // 16 float32 a stone, column by column
}

// stoneNumbers are the figures of one stone.
type stoneNumbers struct {
	Size   float64 `json:"size"` // mm
	Carats float64 `json:"carats"`
	Index  float64 `json:"index"` // of refraction
}

type shapeHead struct {
	Positions buffer `json:"positions"` // 3 float32 a vertex
	Indices   buffer `json:"indices"`
}

// buffer says where the numbers of a container are.
type buffer struct {
	At    int  `json:"at"`    // bytes after the header
	Count int  `json:"count"` // vertices, triangles, stones
	Wide  bool `json:"wide"`  // indices are uint32, not uint16
}

// packer gathers the buffers of a container.
type packer struct{ data []byte }

// begin starts a buffer.
func (p *packer) begin() int {
	for len(p.data)%4 != 0 {
		p.data = append(p.data, 0)
	}
	return len(p.data)
}

// indices packs triangles.
func (p *packer) indices(m *mesh.Mesh) buffer {
	b := buffer{At: p.begin(), Count: len(m.T), Wide: len(m.V) > math.MaxUint16}
	for _, t := range m.T {
		for _, v := range t {
			if b.Wide {
				p.data = binary.LittleEndian.AppendUint32(p.data, v)
			} else {
				p.data = binary.LittleEndian.AppendUint16(p.data, uint16(v))
			}
		}
	}
	return b
}

// positions packs vertices, moved to their place, over a box.
func (p *packer) positions(m *mesh.Mesh, at vec.Place, box vec.Box) buffer {
	b := buffer{At: p.begin(), Count: len(m.V)}
	size := box.Size()
	over := func(v, least, size float64) uint16 {
		if size == 0 {
			return 0
		}
		return uint16(math.Round(math.MaxUint16 * min(max((v-least)/size, 0), 1)))
	}
	for _, v := range m.V {
		v = at.Point(v)
		p.data = binary.LittleEndian.AppendUint16(p.data, over(v.X, box.Min.X, size.X))
		p.data = binary.LittleEndian.AppendUint16(p.data, over(v.Y, box.Min.Y, size.Y))
		p.data = binary.LittleEndian.AppendUint16(p.data, over(v.Z, box.Min.Z, size.Z))
		p.data = append(p.data, 0, 0)
	}
	return b
}

// floats packs numbers; count is of what they are.
func (p *packer) floats(count int, vs ...float64) buffer {
	b := buffer{At: p.begin(), Count: count}
	for _, v := range vs {
		p.data = binary.LittleEndian.AppendUint32(p.data, math.Float32bits(float32(v)))
	}
	return b
}

// container puts a header before the buffers.
func (p *packer) container(form string, head any) []byte {
	text, err := json.Marshal(head)
	if err != nil {
		panic(fmt.Sprintf("bench: header of a container: %v", err)) // plain structs of finite numbers
	}
	for len(text)%4 != 0 {
		text = append(text, ' ')
	}
	out := make([]byte, 0, 8+len(text)+len(p.data))
	out = append(out, form...)
	out = binary.LittleEndian.AppendUint32(out, uint32(len(text)))
	out = append(out, text...)
	return append(out, p.data...)
}

// shown are the castings of a model that the page shows: those of one ear.
func shown(m *build.Model) []*build.Casting {
	var all []*build.Casting
	for i := range m.Castings {
		if c := &m.Castings[i]; !c.Mirrored {
			all = append(all, c)
		}
	}
	return all
}

// boxOf returns the box of castings as worn, by their meshes.
func boxOf(castings []*build.Casting, meshes []*mesh.Mesh) vec.Box {
	box := vec.Empty()
	for i, c := range castings {
		for _, v := range meshes[i].V {
			box = box.With(c.Worn[0].Point(v))
		}
	}
	return box
}

// packModel packs a model as worn, its stones in their places; of a pair the
// first, and where the second is.
func packModel(id string, m *build.Model) []byte {
	var p packer
	head := modelHead{ID: id, Owners: []ownerHead{{}}}
	castings := shown(m)
	meshes := make([]*mesh.Mesh, len(castings))
	for i, c := range castings {
		meshes[i] = m.Cast(c)
	}
	box := boxOf(castings, meshes)
	head.Box = [6]float64{box.Min.X, box.Min.Y, box.Min.Z, box.Max.X, box.Max.Y, box.Max.Z}
	owners := map[uint32]uint16{} // by tag
	shapes := map[stone.Cut]int{}
	for i, c := range castings {
		head.Castings = append(head.Castings, castingHead{
			Name: c.Name, Color: share(m.Piece.Alloy.Color), Roughness: polished,
			Positions: p.positions(meshes[i], c.Worn[0], box),
			Indices:   p.indices(meshes[i]),
			Owners:    p.owners(meshes[i], m.Piece, owners, &head),
		})
		p.stones(i, &m.Piece.Castings[c.Of], shapes, &head)
	}
	if m.Twin != nil {
		twin := matrix(*m.Twin)
		head.Twin = &twin
	}
	return p.container("WXM1", head)
}

// polished is the roughness of finished metal: as in pictures, chosen by eye.
const polished = 0.14

// owners packs who owns each triangle, and tells the header of owners that are
// new to it.
func (p *packer) owners(m *mesh.Mesh, from *piece.Piece, known map[uint32]uint16, head *modelHead) buffer {
	b := buffer{At: p.begin(), Count: len(m.T)}
	for t := range m.T {
		n := uint16(0)
		if t < len(m.Tag) {
			tag := m.Tag[t]
			var ok bool
			if n, ok = known[tag]; !ok && tag > 0 && int(tag) <= len(from.Owners) {
				o := from.Owners[tag-1]
				n = uint16(len(head.Owners)) // build.MaxParts fits
				known[tag] = n
				head.Owners = append(head.Owners, ownerHead{numbered(o.Address, o.N), o.Span.Line, o.Span.Column})
			}
		}
		p.data = binary.LittleEndian.AppendUint16(p.data, n)
	}
	return b
}

// numbered names one of many: "prongs.inner 3".
func numbered(address string, n int) string {
	if n == 0 {
		return address
	}
	return fmt.Sprintf("%s %d", address, n)
}

// stones packs the stones of the casting of that number, one run for each group
// and cut.
func (p *packer) stones(casting int, c *piece.Casting, shapes map[stone.Cut]int, head *modelHead) {
	for i := 0; i < len(c.Stones); {
		first := c.Stones[i]
		var matrices []float64
		n := 0
		for ; i < len(c.Stones) && c.Stones[i].Group == first.Group && c.Stones[i].Cut == first.Cut; i++ {
			m := matrix(c.Hang.After(c.Stones[i].Place))
			matrices = append(matrices, m[:]...)
			n++
		}
		shape, ok := shapes[first.Cut]
		if !ok {
			shape = len(head.Shapes)
			shapes[first.Cut] = shape
			m := first.Cut.Mesh()
			head.Shapes = append(head.Shapes, shapeHead{p.points(m.V), p.indices(m)})
		}
		head.Stones = append(head.Stones, stonesHead{
			Gem: first.Gem.Name, Color: share(first.Gem.Color), Clear: !first.Gem.Opaque,
			Shape: shape, Group: first.Group, First: first.N, Casting: casting,
			Numbers:  stoneNumbers{across(first.Cut), first.Gem.Carats(first.Cut.Volume()), first.Gem.Index},
			Matrices: p.floats(n, matrices...),
		})
	}
}

// points packs vertices as they are.
func (p *packer) points(vs []vec.P) buffer {
	all := make([]float64, 0, 3*len(vs))
	for _, v := range vs {
		all = append(all, v.X, v.Y, v.Z)
	}
	return p.floats(len(vs), all...)
}

// across is the size of a stone across its girdle, mm.
func across(c stone.Cut) float64 { return c.Girdle().Bounds().Size().X }

// matrix writes a placement column by column.
func matrix(p vec.Place) [16]float64 {
	return [16]float64{
		p.X.X, p.X.Y, p.X.Z, 0,
		p.Y.X, p.Y.Y, p.Y.Z, 0,
		p.Z.X, p.Z.Y, p.Z.Z, 0,
		p.O.X, p.O.Y, p.O.Z, 1,
	}
}

// share writes a colour as shares of one.
func share(c color.RGBA) [3]float64 {
	return [3]float64{float64(c.R) / 255, float64(c.G) / 255, float64(c.B) / 255}
}
