package threemf

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"

	"github.com/hpinc/go3mf"
	specerr "github.com/hpinc/go3mf/errors"
	"waxwright/geom/mesh"
	"waxwright/geom/vec"
)

// Limits bound what a file may ask for. A field left 0 has its default.
type Limits struct {
	Bytes     int64 // of the unpacked document; default 1 GB
	Triangles int   // of all objects as built; default 20 million
	Objects   int   // as built; default 10,000
}

func (l Limits) withDefaults() Limits {
	if l.Bytes == 0 {
		l.Bytes = 1 << 30
	}
	if l.Triangles == 0 {
		l.Triangles = 20_000_000
	}
	if l.Objects == 0 {
		l.Objects = 10_000
	}
	return l
}

// A document of coordinates and indices packs into a tenth to a quarter of its
// size. One that unpacks into more than a hundred times its size, beyond the
// first few megabytes, is taken for an attack.
const (
	freeBytes = 8 << 20
	maxRatio  = 100
)

// maxOther bounds the elements that are neither vertices nor triangles, each
// of which costs some hundred bytes of memory.
const maxOther = 500_000

// Errors that Read wraps.
var (
	ErrArchive  = errors.New("not a 3MF archive")
	ErrTooLarge = errors.New("file is larger than allowed")
	ErrDocument = errors.New("the model breaks the rules of the format")
)

// Read reads a 3MF file of the given size: what stands on the build plate, in
// millimetres, one Object for each build item. Transforms and components are
// worked into the vertices, so that Placed is always vec.Here and mirrored
// items face outwards; where there is no transform the coordinates are exactly
// those of the file, as float32. Surfaces and supports, and extensions, are left out.
// The tags of meshes stand for Parts as Write was given them, those that no triangle
// is of left out; a file of any other program has none.
func Read(r io.ReaderAt, size int64, limits Limits) (*Model, error) {
	m, err := read(r, size, limits.withDefaults())
	if err != nil {
		return nil, fmt.Errorf("3mf: %w", err)
	}
	return m, nil
}

// Parse is Read of bytes in memory.
func Parse(b []byte, limits Limits) (*Model, error) {
	return Read(bytes.NewReader(b), int64(len(b)), limits)
}

func read(r io.ReaderAt, size int64, limits Limits) (*Model, error) {
	z, err := zip.NewReader(r, size)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrArchive, err)
	}
	paths, err := relations(z)
	if err != nil {
		return nil, err
	}
	data, err := unpack(z, paths[go3mf.RelType3DModel], limits.Bytes)
	if err != nil {
		return nil, err
	}
	doc, err := parse(data)
	if err != nil {
		return nil, err
	}
	m := &Model{}
	facts(m, doc)
	if p := paths[go3mf.RelTypeThumbnail]; strings.HasSuffix(strings.ToLower(p), ".png") {
		if m.Thumbnail, err = unpack(z, p, freeBytes); err != nil {
			return nil, err
		}
	}
	b := builder{doc: doc, left: limits.Triangles, scale: millimetres(doc.Units), known: map[*go3mf.Object]parted{}}
	if len(doc.Build.Items) > limits.Objects {
		return nil, fmt.Errorf("%w: %d build items of %d", ErrTooLarge, len(doc.Build.Items), limits.Objects)
	}
	for i, item := range doc.Build.Items {
		if err := b.item(m, item); err != nil {
			return nil, fmt.Errorf("build item %d: %w", i+1, err)
		}
	}
	if len(m.Objects) == 0 {
		return nil, fmt.Errorf("%w: nothing is to be built", ErrDocument)
	}
	return m, nil
}

// relations returns the first target of each type of relationship of the
// archive's root.
func relations(z *zip.Reader) (map[string]string, error) {
	data, err := unpack(z, "/_rels/.rels", 1<<20)
	if err != nil {
		return nil, err
	}
	var doc struct {
		Relationship []struct {
			Type   string `xml:"Type,attr"`
			Target string `xml:"Target,attr"`
		}
	}
	if err := xml.Unmarshal(data, &doc); err != nil {
		return nil, fmt.Errorf("%w: _rels/.rels: %w", ErrArchive, err)
	}
	paths := map[string]string{}
	for _, r := range doc.Relationship {
		if _, ok := paths[r.Type]; !ok {
			paths[r.Type] = r.Target
		}
	}
	if paths[go3mf.RelType3DModel] == "" {
		return nil, fmt.Errorf("%w: it names no 3D model", ErrArchive)
	}
	return paths, nil
}

// unpack returns the content of a part of at most limit bytes. Part names
// differ in case only by mistake (OPC, ISO/IEC 29500-2).
func unpack(z *zip.Reader, path string, limit int64) ([]byte, error) {
	name := strings.TrimPrefix(path, "/")
	for _, f := range z.File {
		if !strings.EqualFold(f.Name, name) {
			continue
		}
		if allowed := freeBytes + maxRatio*int64(min(f.CompressedSize64, math.MaxInt32)); allowed < limit {
			limit = allowed
		}
		if f.UncompressedSize64 > uint64(limit) {
			return nil, fmt.Errorf("%w: %s unpacks to %d bytes of %d", ErrTooLarge, name, f.UncompressedSize64, limit)
		}
		r, err := f.Open()
		if err != nil {
			return nil, fmt.Errorf("%w: %s: %w", ErrArchive, name, err)
		}
		defer r.Close()
		// The size in the directory may lie; the reader stops at it, and one
		// byte more tells.
		data, err := io.ReadAll(io.LimitReader(r, limit+1))
		if err != nil {
			return nil, fmt.Errorf("%w: %s: %w", ErrArchive, name, err)
		}
		if int64(len(data)) > limit {
			return nil, fmt.Errorf("%w: %s unpacks to more than %d bytes", ErrTooLarge, name, limit)
		}
		return data, nil
	}
	return nil, fmt.Errorf("%w: it has no part %q", ErrArchive, name)
}

// parse returns the document, once it keeps the rules of the format.
func parse(data []byte) (doc *go3mf.Model, err error) {
	defer func() { // the parser indexes by what it reads
		if p := recover(); p != nil {
			doc, err = nil, fmt.Errorf("%w: %v", ErrDocument, p)
		}
	}()
	other := bytes.Count(data, []byte("<")) - bytes.Count(data, []byte("vertex ")) - bytes.Count(data, []byte("triangle "))
	if other > maxOther {
		return nil, fmt.Errorf("%w: %d elements beside vertices and triangles", ErrTooLarge, other)
	}
	doc = new(go3mf.Model)
	if err := go3mf.UnmarshalModel(data, doc); err != nil {
		return nil, fmt.Errorf("%w: %s", ErrDocument, brief(err))
	}
	// Metadata is read with its prefix where validation looks for a namespace.
	space := map[string]string{}
	for _, e := range doc.Extensions {
		space[e.LocalName] = e.Namespace
	}
	named := func(ms []go3mf.Metadata) {
		for i := range ms {
			if s, ok := space[ms[i].Name.Space]; ok {
				ms[i].Name.Space = s
			}
		}
	}
	named(doc.Metadata)
	for _, o := range doc.Resources.Objects {
		named(o.Metadata.Metadata)
	}
	for _, i := range doc.Build.Items {
		named(i.Metadata.Metadata)
	}
	if err := doc.Validate(); err != nil {
		return nil, fmt.Errorf("%w: %s", ErrDocument, brief(err))
	}
	return doc, nil
}

// brief returns the first fault of an error, cut to a readable length.
func brief(err error) string {
	more := ""
	if l := (*specerr.List)(nil); errors.As(err, &l) && len(l.Errors) > 0 {
		if n := len(l.Errors); n > 1 {
			more = fmt.Sprintf(" (and %d more)", n-1)
		}
		err = l.Errors[0]
	}
	s := strings.Join(strings.Fields(err.Error()), " ")
	if len(s) > 200 {
		s = s[:200] + "..."
	}
	return s + more
}

// facts takes over the metadata.
func facts(m *Model, doc *go3mf.Model) {
	for _, f := range doc.Metadata {
		name := f.Name.Local
		switch {
		case f.Name.Space == Namespace:
		case f.Name.Space != "":
			name = f.Name.Space + ":" + name
		case strings.EqualFold(name, "Title"):
			m.Title = f.Value
			continue
		case strings.EqualFold(name, "Designer"):
			m.Designer = f.Value
			continue
		case strings.EqualFold(name, "Description"):
			m.Description = f.Value
			continue
		}
		m.Metadata = append(m.Metadata, Meta{name, f.Value})
	}
}

func millimetres(u go3mf.Units) float64 {
	switch u {
	case go3mf.UnitMicrometer:
		return 1e-3
	case go3mf.UnitCentimeter:
		return 10
	case go3mf.UnitInch:
		return 25.4
	case go3mf.UnitFoot:
		return 304.8
	case go3mf.UnitMeter:
		return 1000
	}
	return 1
}

// builder works transforms and components into meshes.
type builder struct {
	doc   *go3mf.Model
	left  int // triangles it may still make
	steps int // components it has gone through
	scale float64
	known map[*go3mf.Object]parted // of the objects that it has met
}

const (
	deepest  = 32      // levels of components within components
	maxSteps = 100_000 // components of all build items together
	maxParts = 100_000 // of a build item
)

// item adds the object of a build item to m.
func (b *builder) item(m *Model, item *go3mf.Item) error {
	obj, ok := b.doc.FindObject(item.ObjectPath(), item.ObjectID)
	if !ok {
		return fmt.Errorf("%w: there is no object %d", ErrDocument, item.ObjectID)
	}
	if obj.Type == go3mf.ObjectTypeSurface || obj.Type == go3mf.ObjectTypeSupport || obj.Type == go3mf.ObjectTypeSolidSupport {
		return nil
	}
	o := Object{Name: obj.Name, PartNumber: item.PartNumber, Mesh: &mesh.Mesh{}, Placed: vec.Here}
	if o.PartNumber == "" {
		o.PartNumber = obj.PartNumber
	}
	if a, ok := b.doc.FindAsset(item.ObjectPath(), obj.PID); ok {
		if bases, ok := a.(*go3mf.BaseMaterials); ok && int(obj.PIndex) < len(bases.Materials) {
			base := bases.Materials[obj.PIndex]
			o.Material = Material{base.Name, base.Color}
		}
	}
	if err := b.add(&o, obj, affineOf(item.Transform, item.HasTransform()).scaled(b.scale), deepest); err != nil {
		return err
	}
	m.Objects = append(m.Objects, o)
	return nil
}

// add appends an object, transformed, to the mesh and the parts of o.
func (b *builder) add(o *Object, obj *go3mf.Object, at affine, levels int) error {
	if levels == 0 {
		return fmt.Errorf("%w: components within components, %d deep", ErrTooLarge, deepest)
	}
	if b.steps++; b.steps > maxSteps {
		return fmt.Errorf("%w: more than %d components", ErrTooLarge, maxSteps)
	}
	if obj.Components != nil {
		for _, c := range obj.Components.Component {
			part, ok := b.doc.FindObject(c.ObjectPath(""), c.ObjectID)
			if !ok {
				return fmt.Errorf("%w: there is no object %d", ErrDocument, c.ObjectID)
			}
			if err := b.add(o, part, at.after(affineOf(c.Transform, c.HasTransform())), levels-1); err != nil {
				return err
			}
		}
		return nil
	}
	if obj.Mesh == nil {
		return nil
	}
	ts := obj.Mesh.Triangles.Triangle
	if b.left -= len(ts); b.left < 0 {
		return fmt.Errorf("%w: too many triangles", ErrTooLarge)
	}
	part := &mesh.Mesh{
		V: make([]vec.P, len(obj.Mesh.Vertices.Vertex)),
		T: make([][3]uint32, len(ts)),
	}
	for i, v := range obj.Mesh.Vertices.Vertex {
		p := at.point(vec.P{X: float64(v[0]), Y: float64(v[1]), Z: float64(v[2])})
		if !p.Finite() {
			return fmt.Errorf("%w: vertex %d of object %d is at %v", ErrDocument, i, obj.ID, p)
		}
		part.V[i] = p
	}
	for i, t := range ts {
		part.T[i] = [3]uint32{t.V1, t.V2, t.V3}
	}
	if err := b.parts(o, part, obj); err != nil {
		return err
	}
	if at.det() < 0 {
		part = part.Flip()
	}
	o.Mesh.Append(part)
	return nil
}

// parts gives the mesh of an object its tags, and adds what they stand for to o.
func (b *builder) parts(o *Object, m *mesh.Mesh, obj *go3mf.Object) error {
	s, ok := b.known[obj]
	if !ok {
		s = partsOf(obj)
		b.known[obj] = s
	}
	if len(s.parts) == 0 {
		return nil
	}
	if len(o.Parts)+len(s.parts) > maxParts {
		return fmt.Errorf("%w: more than %d parts of one object", ErrTooLarge, maxParts)
	}
	m.Tag = make([]uint32, len(m.T))
	for i, t := range s.tags {
		if t > 0 {
			m.Tag[i] = t + uint32(len(o.Parts))
		}
	}
	o.Parts = append(o.Parts, s.parts...)
	return nil
}

// affine takes p to the columns' sum p.X*x + p.Y*y + p.Z*z + o.
type affine struct{ x, y, z, o vec.P }

func affineOf(m go3mf.Matrix, has bool) affine {
	if !has {
		return affine{vec.P{X: 1}, vec.P{Y: 1}, vec.P{Z: 1}, vec.P{}}
	}
	row := func(i int) vec.P { return vec.P{X: float64(m[i]), Y: float64(m[i+1]), Z: float64(m[i+2])} }
	return affine{row(0), row(4), row(8), row(12)}
}

func (a affine) dir(p vec.P) vec.P {
	return a.x.Mul(p.X).Add(a.y.Mul(p.Y)).Add(a.z.Mul(p.Z))
}

func (a affine) point(p vec.P) vec.P { return a.dir(p).Add(a.o) }

// after returns the map that does b first, then a.
func (a affine) after(b affine) affine {
	return affine{a.dir(b.x), a.dir(b.y), a.dir(b.z), a.point(b.o)}
}

func (a affine) scaled(s float64) affine {
	return affine{a.x.Mul(s), a.y.Mul(s), a.z.Mul(s), a.o.Mul(s)}
}

func (a affine) det() float64 { return a.x.Cross(a.y).Dot(a.z) }
