package threemf

import (
	"encoding/xml"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/hpinc/go3mf"
	"waxwright/geom/mesh"
)

// partsName is the name of the fact, in our own namespace, that an object of several
// parts has (metadata of objects: 3MF Core Specification 1.2, 4.2): how many
// triangles its mesh has, then for each run of them the first, the last and the part,
// "1250; 0 799 plate.sun; 812 1249 bezel.heart". Sets of triangles, an extension, say
// the same, but not every reader opens a file in which they are written as runs.
//
// It is not to be preserved: a program that changes the mesh is to drop it. Where it
// stays all the same, the number of triangles tells.
const partsName = "Parts"

// apart stands between runs, and so in no name.
const apart = "; "

// byPart returns the mesh with its triangles in the order of their tags, so that
// every part is one run.
func byPart(m *mesh.Mesh) *mesh.Mesh {
	order := make([]int, len(m.T))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return int(m.Tag[a]) - int(m.Tag[b]) })
	r := &mesh.Mesh{V: m.V, T: make([][3]uint32, len(m.T)), Tag: make([]uint32, len(m.T))}
	for i, k := range order {
		r.T[i], r.Tag[i] = m.T[k], m.Tag[k]
	}
	return r
}

// runs writes which triangles of a mesh that is in the order of its tags are of
// which part. It fails for a tag that stands for no part, and for a name that can't
// be read back.
func runs(m *mesh.Mesh, parts []string) (go3mf.Metadata, error) {
	for _, p := range parts {
		if strings.TrimSpace(p) != p || p == "" || strings.Contains(p, strings.TrimSpace(apart)) {
			return go3mf.Metadata{}, fmt.Errorf("part %q is no name", p)
		}
	}
	all := []string{strconv.Itoa(len(m.T))}
	for from := 0; from < len(m.T); {
		tag, to := m.Tag[from], from
		for to+1 < len(m.T) && m.Tag[to+1] == tag {
			to++
		}
		if int(tag) > len(parts) {
			return go3mf.Metadata{}, fmt.Errorf("tag %d of triangle %d stands for none of %d parts", tag, from, len(parts))
		}
		if tag > 0 {
			all = append(all, fmt.Sprintf("%d %d %s", from, to, parts[tag-1]))
		}
		from = to + 1
	}
	return go3mf.Metadata{Name: xml.Name{Space: prefix, Local: partsName}, Type: "xs:string", Value: strings.Join(all, apart)}, nil
}

// parted is what a file says of the parts of an object: which each triangle is of,
// counted from 1, and their names.
type parted struct {
	tags  []uint32
	parts []string
}

// partsOf reads the parts of an object; what was not written for its mesh is left
// out.
func partsOf(obj *go3mf.Object) parted {
	at := slices.IndexFunc(obj.Metadata.Metadata, func(f go3mf.Metadata) bool {
		return f.Name == xml.Name{Space: Namespace, Local: partsName}
	})
	if at < 0 {
		return parted{}
	}
	n := len(obj.Mesh.Triangles.Triangle)
	all := strings.Split(obj.Metadata.Metadata[at].Value, apart)
	if all[0] != strconv.Itoa(n) {
		return parted{}
	}
	p := parted{tags: make([]uint32, n)}
	next := 0 // runs follow each other
	for _, run := range all[1:] {
		first, rest, _ := strings.Cut(run, " ")
		last, name, _ := strings.Cut(rest, " ")
		from, errFrom := strconv.Atoi(first)
		to, errTo := strconv.Atoi(last)
		if errFrom != nil || errTo != nil || from < next || to < from || to >= n || name == "" {
			return parted{}
		}
		p.parts = append(p.parts, name)
		for i := from; i <= to; i++ {
			p.tags[i] = uint32(len(p.parts))
		}
		next = to + 1
	}
	return p
}
