package stl

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"

	"github.com/hschendel/stl"
	"waxwright/geom/mesh"
)

// Limits bound what a file may ask for. A field left 0 has its default.
type Limits struct {
	Triangles int   // default 20 million: about 2 GB while reading
	Bytes     int64 // default 4 GB, far above the largest binary file of that many
}

const (
	defaultTriangles = 20_000_000
	defaultBytes     = 4 << 30
)

func (l Limits) withDefaults() Limits {
	if l.Triangles == 0 {
		l.Triangles = defaultTriangles
	}
	if l.Bytes == 0 {
		l.Bytes = defaultBytes
	}
	return l
}

// Errors that Read wraps, beside those of the reader it is given.
var (
	ErrTruncated = errors.New("file is cut short")
	ErrCount     = errors.New("file does not hold what its header counts")
	ErrTooLarge  = errors.New("file is larger than allowed")
	ErrNotFinite = errors.New("coordinate is not a number")
	ErrSyntax    = errors.New("not an STL file")
)

// Read reads a binary or text STL file of the given size. Corners with
// identical coordinates become one vertex, numbered in the order of the file;
// no triangle is dropped, so that a judge sees all of them. Normals and
// attributes are not looked at.
//
// A file is binary if its size is exactly that of the triangles it counts;
// else it is text if it starts with "solid"; else its header is at fault.
func Read(r io.ReaderAt, size int64, limits Limits) (*mesh.Mesh, error) {
	m, err := read(r, size, limits.withDefaults())
	if err != nil {
		return nil, fmt.Errorf("stl: %w", err)
	}
	return m, nil
}

// Parse is Read of bytes in memory.
func Parse(b []byte, limits Limits) (*mesh.Mesh, error) {
	return Read(bytes.NewReader(b), int64(len(b)), limits)
}

func read(r io.ReaderAt, size int64, limits Limits) (*mesh.Mesh, error) {
	if size > limits.Bytes {
		return nil, fmt.Errorf("%w: %d bytes of %d", ErrTooLarge, size, limits.Bytes)
	}
	var head [preamble]byte
	n, err := r.ReadAt(head[:min(size, preamble)], 0)
	if err != nil && err != io.EOF {
		return nil, err
	}
	if int64(n) < min(size, preamble) {
		return nil, fmt.Errorf("%w: %d bytes of %d", ErrTruncated, n, size)
	}
	count := int64(binary.LittleEndian.Uint32(head[headerSize:]))
	body := size - preamble
	if size >= preamble && body == count*recordSize {
		if count > int64(limits.Triangles) {
			return nil, fmt.Errorf("%w: %d triangles of %d", ErrTooLarge, count, limits.Triangles)
		}
		return readBinary(io.NewSectionReader(r, 0, size), int(count))
	}
	if startsAsText(head[:n]) {
		return readText(io.NewSectionReader(r, 0, size), limits)
	}
	switch {
	case size == 0:
		return nil, fmt.Errorf("%w: it is empty", ErrTruncated)
	case size < preamble:
		return nil, fmt.Errorf("%w: %d bytes are less than a header of %d", ErrTruncated, size, preamble)
	case body < count*recordSize:
		return nil, fmt.Errorf("%w: the header counts %d triangles, there is room for %d", errors.Join(ErrCount, ErrTruncated), count, body/recordSize)
	default:
		return nil, fmt.Errorf("%w: the header counts %d triangles, there is room for %d", ErrCount, count, body/recordSize)
	}
}

// readBinary reads a file whose size has been found to fit its count.
func readBinary(r io.ReadSeeker, count int) (*mesh.Mesh, error) {
	s := sink{m: &mesh.Mesh{T: make([][3]uint32, 0, count)}, weld: mesh.NewWelder(count / 2)}
	if err := stl.CopyAll(r, &s); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrTruncated, err)
	}
	if s.err != nil {
		return nil, s.err
	}
	s.m.V = s.weld.V
	return s.m, nil
}

// sink takes triangles and welds them. It implements stl.Writer.
type sink struct {
	m    *mesh.Mesh
	weld *mesh.Welder
	err  error
}

var _ stl.Writer = (*sink)(nil)

func (*sink) SetName(string)          {}
func (*sink) SetBinaryHeader([]byte)  {}
func (*sink) SetASCII(bool)           {}
func (*sink) SetTriangleCount(uint32) {}
func (s *sink) AppendTriangle(t stl.Triangle) {
	if s.err != nil {
		return
	}
	var ix [3]uint32
	for k, v := range t.Vertices {
		p := point(v)
		if !p.Finite() {
			s.err = fmt.Errorf("%w: triangle %d has a corner at %v", ErrNotFinite, len(s.m.T), p)
			return
		}
		ix[k] = s.weld.Add(p)
	}
	s.m.T = append(s.m.T, ix)
}
