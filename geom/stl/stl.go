// Package stl writes and reads the STL format of loose triangles.
//
// Guarantees: the same mesh gives the same bytes; coordinates are written as
// the nearest float32 and read back as exactly that number; a header never
// starts with "solid", which would make other readers take the file for text;
// a hostile file ends in an error before it is given more memory than its own
// size accounts for. Lengths are taken as millimetres: the format knows no
// unit. Tags are not kept.
//
// Binary records are written and read by github.com/hschendel/stl behind
// checks of size, count and content of our own; text is read here, since that
// library gathers an error for every line of junk.
package stl

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strings"

	"github.com/hschendel/stl"
	"waxwright/geom/mesh"
	"waxwright/geom/vec"
)

const (
	headerSize = 80
	preamble   = headerSize + 4 // with the count of triangles
	recordSize = 50
)

// Write writes m as binary STL. The header is what a reader may show: ASCII,
// at most 80 bytes (anything else becomes "?", the rest is cut off). Normals
// are those of the rounded corners, 0 where a triangle has no area. The
// attribute of every triangle is 0. A mesh that fails its Check, or has a
// coordinate beyond float32, is refused before a byte is written.
func Write(w io.Writer, m *mesh.Mesh, header string) error {
	if err := m.Check(); err != nil {
		return fmt.Errorf("stl: %w", err)
	}
	if uint64(len(m.T)) > math.MaxUint32 {
		return fmt.Errorf("stl: %d triangles are more than the format counts", len(m.T))
	}
	small := make([]stl.Vec3, len(m.V))
	for i, p := range m.V {
		small[i] = stl.Vec3{float32(p.X), float32(p.Y), float32(p.Z)}
		if !point(small[i]).Finite() {
			return fmt.Errorf("stl: vertex %d at %v is beyond float32", i, p)
		}
	}
	s := stl.Solid{BinaryHeader: headerBytes(header), Triangles: make([]stl.Triangle, len(m.T))}
	for i, t := range m.T {
		s.Triangles[i] = stl.Triangle{
			Normal:   normal(small[t[0]], small[t[1]], small[t[2]]),
			Vertices: [3]stl.Vec3{small[t[0]], small[t[1]], small[t[2]]},
		}
	}
	buf := bufio.NewWriterSize(w, 1<<16)
	if err := s.WriteAll(buf); err != nil {
		return fmt.Errorf("stl: %w", err)
	}
	if err := buf.Flush(); err != nil {
		return fmt.Errorf("stl: %w", err)
	}
	return nil
}

// headerBytes returns the 80 bytes of a header, padded with zeros.
func headerBytes(s string) []byte {
	if strings.HasPrefix(strings.ToLower(strings.TrimSpace(s)), "solid") {
		s = "STL " + s
	}
	b := make([]byte, 0, headerSize)
	for _, r := range s {
		if len(b) == headerSize {
			break
		}
		if r < ' ' || r > '~' {
			r = '?'
		}
		b = append(b, byte(r))
	}
	return b[:headerSize]
}

func point(v stl.Vec3) vec.P {
	return vec.P{X: float64(v[0]), Y: float64(v[1]), Z: float64(v[2])}
}

// normal returns the unit normal of a triangle, 0 if it has no area. The
// differences are scaled first, so that no square overflows or vanishes.
func normal(a, b, c stl.Vec3) stl.Vec3 {
	u, v := point(b).Sub(point(a)), point(c).Sub(point(a))
	n := scaled(u).Cross(scaled(v)).Unit()
	return stl.Vec3{float32(n.X), float32(n.Y), float32(n.Z)}
}

// scaled returns p with its largest coordinate at 1.
func scaled(p vec.P) vec.P {
	size := max(math.Abs(p.X), math.Abs(p.Y), math.Abs(p.Z))
	if size == 0 {
		return p
	}
	return vec.P{X: p.X / size, Y: p.Y / size, Z: p.Z / size}
}
