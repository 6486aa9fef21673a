package build

import (
	"context"
	"encoding/hex"
	"fmt"
	"io"

	"waxwright/geom/stl"
)

// Write writes the model to a folder: an STL file for each casting and one 3MF
// file with all of them. It returns their names, in that order. The folder is
// made if it is missing. Either all files appear, or none and an error.
func Write(ctx context.Context, disk Disk, m *Model, dir string) ([]string, error) {
	b, err := NewBatch(disk, dir)
	if err != nil {
		return nil, err
	}
	defer b.Discard()
	var names []string
	add := func(name string, write func(io.Writer) error) error {
		if err := ctx.Err(); err != nil {
			return err
		}
		names = append(names, name)
		return b.Add(name, write)
	}
	for i := range m.Castings {
		c := &m.Castings[i]
		if err := add(m.File(c), func(w io.Writer) error { return stl.Write(w, c.Mesh, m.header(c)) }); err != nil {
			return nil, err
		}
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return names, b.Commit()
}

// header is the first line of an STL file, 80 bytes at most: what it is, the
// unit, which the format does not say, and which recipe it comes from.
func (m *Model) header(c *Casting) string {
	digest := hex.EncodeToString(m.Piece.Digest[:4])
	tail := fmt.Sprintf(" | mm | recipe %s | waxwright", digest)
	what := m.Piece.Slug + " " + c.Name
	if most := 80 - len(tail); len(what) > most {
		what = what[:most]
	}
	return what + tail
}
