package stl

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"strconv"

	"github.com/hschendel/stl"
	"waxwright/geom/mesh"
)

// longestLine is what a line of text may measure: a vertex of three numbers in
// full precision takes under 100 bytes, a name may be longer.
const longestLine = 1 << 16

// startsAsText reports whether a file begins with the word "solid".
func startsAsText(head []byte) bool {
	word, _, _ := bytes.Cut(bytes.TrimLeft(head, " \t\r\n"), []byte("\n"))
	f := bytes.Fields(word)
	return len(f) > 0 && bytes.EqualFold(f[0], []byte("solid"))
}

// readText reads one or more "solid ... endsolid" of text. It stops at the
// first fault.
func readText(r io.Reader, limits Limits) (*mesh.Mesh, error) {
	p := textReader{lines: bufio.NewScanner(r)}
	p.lines.Buffer(make([]byte, 0, 4096), longestLine)
	p.sink = sink{m: &mesh.Mesh{}, weld: mesh.NewWelder(0)}
	for p.next() {
		if err := p.solid(limits); err != nil {
			return nil, err
		}
	}
	if p.err != nil {
		return nil, p.err
	}
	p.sink.m.V = p.sink.weld.V
	return p.sink.m, nil
}

type textReader struct {
	lines *bufio.Scanner
	line  int      // number of the line
	word  [][]byte // its words, never empty after next
	sink  sink
	err   error
}

// next goes to the next line that is not blank.
func (p *textReader) next() bool {
	for p.lines.Scan() {
		p.line++
		if p.word = bytes.Fields(p.lines.Bytes()); len(p.word) > 0 {
			return true
		}
	}
	p.word = nil
	switch err := p.lines.Err(); {
	case errors.Is(err, bufio.ErrTooLong):
		p.err = fmt.Errorf("%w: line %d is longer than %d bytes", ErrSyntax, p.line+1, longestLine)
	case err != nil:
		p.err = err
	}
	return false
}

// is reports whether the line starts with the words, in any case.
func (p *textReader) is(words ...string) bool {
	if len(p.word) < len(words) {
		return false
	}
	for i, w := range words {
		if !bytes.EqualFold(p.word[i], []byte(w)) {
			return false
		}
	}
	return true
}

// fault reports what stands where something else should.
func (p *textReader) fault(want string) error {
	if p.err != nil {
		return p.err
	}
	if p.word == nil {
		return fmt.Errorf("%w: line %d: %s missing", ErrTruncated, p.line, want)
	}
	got := bytes.Join(p.word, []byte(" "))
	if len(got) > 40 {
		got = append(got[:40:40], "..."...)
	}
	return fmt.Errorf("%w: line %d: %q where %s should stand", ErrSyntax, p.line, got, want)
}

func (p *textReader) solid(limits Limits) error {
	if !p.is("solid") {
		return p.fault(`"solid"`)
	}
	for p.next() {
		if p.is("endsolid") || p.is("end", "solid") {
			return nil
		}
		if len(p.sink.m.T) >= limits.Triangles {
			return fmt.Errorf("%w: more than %d triangles", ErrTooLarge, limits.Triangles)
		}
		if err := p.facet(); err != nil {
			return err
		}
	}
	return p.fault(`"facet" or "endsolid"`)
}

func (p *textReader) facet() error {
	if !p.is("facet") {
		return p.fault(`"facet" or "endsolid"`)
	}
	if !p.next() || !p.is("outer", "loop") {
		return p.fault(`"outer loop"`)
	}
	var t stl.Triangle
	for k := range t.Vertices {
		if !p.next() || !p.is("vertex") || len(p.word) != 4 {
			return p.fault(`"vertex x y z"`)
		}
		for i := range 3 {
			x, err := strconv.ParseFloat(string(p.word[i+1]), 32)
			if err != nil && !errors.Is(err, strconv.ErrRange) {
				return p.fault("a number")
			}
			t.Vertices[k][i] = float32(x) // out of range: infinite, refused below
		}
	}
	if !p.next() || !p.is("endloop") {
		return p.fault(`"endloop"`)
	}
	if !p.next() || !p.is("endfacet") {
		return p.fault(`"endfacet"`)
	}
	p.sink.AppendTriangle(t)
	if p.sink.err != nil {
		return fmt.Errorf("line %d: %w", p.line, p.sink.err)
	}
	return nil
}
