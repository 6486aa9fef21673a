// Package threemf writes and reads the 3MF format: named objects with
// materials on a build plate, in one zip archive.
//
// Guarantees: the same model gives the same bytes, without a clock or a random
// number; lengths are millimetres; coordinates are written as the nearest
// float32, in the shortest decimals that read back as exactly that number;
// what is read has passed the format's own rules; a hostile archive ends in an
// error before it has unpacked into more than its limits. Vertices keep their
// order and number; triangles, too, but where they are of parts: then those of one
// part stand together, in the order of parts. Tags are kept as parts alone.
//
// The document itself is written and parsed by github.com/hpinc/go3mf. Its
// traps, held by tests: its default of four decimals moves every vertex, its
// transforms are cut to three decimals, its archive carries the clock and lists
// content types in the order of a map, and its validation refuses metadata of a
// namespace that it has just read.
package threemf

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"fmt"
	"image/color"
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/hpinc/go3mf"
	"github.com/hpinc/go3mf/spec"
	"waxwright/geom/mesh"
	"waxwright/geom/vec"
)

// Model is what one file holds.
type Model struct {
	Title       string
	Designer    string
	Description string
	Metadata    []Meta // in this order, after the three above
	Objects     []Object
	Thumbnail   []byte // a PNG picture, or nil
}

// Meta is a named fact. The names of the standard (Copyright, LicenseTerms,
// Rating, CreationDate, ModificationDate, Application) stand as they are;
// others are put in a namespace of our own. A name is made of letters, digits,
// dots, dashes and underscores and starts with a letter.
type Meta struct{ Name, Value string }

// Object is a mesh that is to be built once.
type Object struct {
	Name       string
	PartNumber string // of the build item; may be empty
	Mesh       *mesh.Mesh
	Parts      []string // what the tags of the mesh stand for: t for Parts[t-1], 0 for nothing; nil: tags are not kept
	Material   Material
	Placed     vec.Place // where on the build plate; the zero Place is vec.Here
}

// Material is what an object is made of; the zero Material is none. An alpha
// of 0 is taken for 255, since a colour without one can't be seen.
type Material struct {
	Name  string
	Color color.RGBA
}

// Namespace is that of metadata whose names the standard does not know.
const Namespace = "urn:waxwright:piece:1"

// prefix stands for Namespace in the file.
const prefix = "waxwright"

const thumbnailPath = "/Metadata/thumbnail.png"

// standardNames are the metadata names the core specification defines without
// a namespace (3MF Core Specification 1.3, 3.4.1), beside the three of Model.
var standardNames = []string{
	"Application", "Copyright", "CreationDate", "LicenseTerms", "ModificationDate", "Rating",
}

// Write writes m as a 3MF file. Objects need at least four triangles, each
// with three different vertices, and coordinates within float32; a mirrored
// placement is worked into the vertices, since not every reader turns
// triangles over. Nothing is written before the whole file is known to be
// well-formed.
func Write(w io.Writer, m *Model) error {
	doc, err := document(m)
	if err != nil {
		return fmt.Errorf("3mf: %w", err)
	}
	var packed bytes.Buffer
	enc := go3mf.NewEncoder(&packed)
	enc.FloatPrecision = -1
	if err := enc.Encode(doc); err != nil {
		return fmt.Errorf("3mf: %w", err)
	}
	var out bytes.Buffer
	if err := withoutClock(&out, packed.Bytes()); err != nil {
		return fmt.Errorf("3mf: %w", err)
	}
	if _, err := w.Write(out.Bytes()); err != nil {
		return fmt.Errorf("3mf: %w", err)
	}
	return nil
}

// document returns m in the terms of go3mf.
func document(m *Model) (*go3mf.Model, error) {
	if len(m.Objects) == 0 {
		return nil, fmt.Errorf("model %q has no objects", m.Title)
	}
	doc := &go3mf.Model{Language: "en-US"}
	if err := metadata(doc, m); err != nil {
		return nil, err
	}
	if m.Thumbnail != nil {
		if !bytes.HasPrefix(m.Thumbnail, []byte("\x89PNG\r\n\x1a\n")) {
			return nil, fmt.Errorf("thumbnail is not a PNG picture")
		}
		doc.Thumbnail = thumbnailPath
		doc.Attachments = []go3mf.Attachment{{
			Stream: bytes.NewReader(m.Thumbnail), Path: thumbnailPath, ContentType: "image/png",
		}}
	}
	bases := &go3mf.BaseMaterials{ID: 1}
	for i := range m.Objects {
		o := &m.Objects[i]
		obj := &go3mf.Object{ID: uint32(i + 2), Name: o.Name}
		at := o.Placed
		if at == (vec.Place{}) {
			at = vec.Here
		}
		src := o.Mesh
		if src == nil {
			src = &mesh.Mesh{}
		}
		if at.Mirrored() {
			src, at = src.Transform(at), vec.Here
		}
		if len(o.Parts) > 0 && len(src.Tag) > 0 {
			src = byPart(src)
		}
		var err error
		if obj.Mesh, err = body(src); err != nil {
			return nil, fmt.Errorf("object %d %q: %w", i+1, o.Name, err)
		}
		if len(o.Parts) > 0 && len(src.Tag) > 0 {
			f, err := runs(src, o.Parts)
			if err != nil {
				return nil, fmt.Errorf("object %d %q: %w", i+1, o.Name, err)
			}
			obj.Metadata.Metadata = append(obj.Metadata.Metadata, f)
			own(doc)
		}
		if o.Material != (Material{}) {
			obj.PID = bases.ID
			obj.PIndex = material(bases, o.Material)
			if obj.PIndex == 0 { // go3mf leaves out a zero, the standard does not
				obj.AnyAttr = attribute("pindex", "0")
			}
		}
		doc.Resources.Objects = append(doc.Resources.Objects, obj)
		item := &go3mf.Item{ObjectID: obj.ID, PartNumber: o.PartNumber}
		if at != vec.Here {
			item.AnyAttr = attribute("transform", matrix(at))
		}
		doc.Build.Items = append(doc.Build.Items, item)
	}
	if len(bases.Materials) > 0 {
		doc.Resources.Assets = append(doc.Resources.Assets, bases)
	}
	return doc, nil
}

// attribute returns a plain attribute that go3mf adds as it is.
func attribute(name, value string) spec.AnyAttr {
	return spec.AnyAttr{&spec.UnknownAttrs{Attr: []xml.Attr{{Name: xml.Name{Local: name}, Value: value}}}}
}

// matrix returns a placement as the twelve numbers of a 3MF transform: the
// images of the axes, then the origin, with all digits.
func matrix(at vec.Place) string {
	var s []string
	for _, p := range [4]vec.P{at.X, at.Y, at.Z, at.O} {
		for _, x := range [3]float64{p.X, p.Y, p.Z} {
			s = append(s, strconv.FormatFloat(x, 'f', -1, 64))
		}
	}
	return strings.Join(s, " ")
}

// metadata fills in the facts of the model.
func metadata(doc *go3mf.Model, m *Model) error {
	seen := map[string]bool{}
	add := func(space, name, value string) error {
		if seen[name] {
			return fmt.Errorf("metadata %q stands twice", name)
		}
		seen[name] = true
		doc.Metadata = append(doc.Metadata, go3mf.Metadata{
			Name: xml.Name{Space: space, Local: name}, Value: value, Preserve: space != "",
		})
		return nil
	}
	for _, f := range []Meta{{"Title", m.Title}, {"Designer", m.Designer}, {"Description", m.Description}} {
		if f.Value == "" {
			continue
		}
		if err := add("", f.Name, f.Value); err != nil {
			return err
		}
	}
	for _, f := range m.Metadata {
		if !goodName(f.Name) {
			return fmt.Errorf("metadata name %q is not made of letters, digits, dots, dashes and underscores", f.Name)
		}
		space := prefix
		for _, s := range append(standardNames, "Title", "Designer", "Description") {
			if strings.EqualFold(s, f.Name) {
				space = ""
			}
		}
		if space != "" {
			own(doc)
		}
		if err := add(space, f.Name, f.Value); err != nil {
			return err
		}
	}
	return nil
}

// own declares our own namespace, once.
func own(doc *go3mf.Model) {
	if len(doc.Extensions) == 0 {
		doc.Extensions = append(doc.Extensions, go3mf.Extension{Namespace: Namespace, LocalName: prefix})
	}
}

func goodName(s string) bool {
	for i, r := range s {
		letter := r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z'
		if !letter && (i == 0 || !strings.ContainsRune("0123456789._-", r)) {
			return false
		}
	}
	return s != ""
}

// material returns the index of a material among the bases, adding it if it is
// new.
func material(bases *go3mf.BaseMaterials, m Material) uint32 {
	if m.Color.A == 0 {
		m.Color.A = 255
	}
	if m.Name == "" {
		m.Name = "unnamed"
	}
	for i, b := range bases.Materials {
		if b.Name == m.Name && b.Color == m.Color {
			return uint32(i)
		}
	}
	bases.Materials = append(bases.Materials, go3mf.Base{Name: m.Name, Color: m.Color})
	return uint32(len(bases.Materials) - 1)
}

// body returns m in float32, as the file will hold it.
func body(m *mesh.Mesh) (*go3mf.Mesh, error) {
	if err := m.Check(); err != nil {
		return nil, err
	}
	if len(m.T) < 4 {
		return nil, fmt.Errorf("a mesh of %d triangles, the format asks for 4 at least", len(m.T))
	}
	r := &go3mf.Mesh{}
	r.Vertices.Vertex = make([]go3mf.Point3D, len(m.V))
	for i, p := range m.V {
		q := go3mf.Point3D{float32(p.X), float32(p.Y), float32(p.Z)}
		if max(math.Abs(p.X), math.Abs(p.Y), math.Abs(p.Z)) > math.MaxFloat32 {
			return nil, fmt.Errorf("vertex %d at %v is beyond float32", i, p)
		}
		r.Vertices.Vertex[i] = q
	}
	r.Triangles.Triangle = make([]go3mf.Triangle, len(m.T))
	for i, t := range m.T {
		if t[0] == t[1] || t[1] == t[2] || t[2] == t[0] {
			return nil, fmt.Errorf("triangle %d names vertex %d twice", i, t[0])
		}
		r.Triangles.Triangle[i] = go3mf.Triangle{V1: t[0], V2: t[1], V3: t[2]}
	}
	return r, nil
}

// firstDay is the date of all parts, 1980-01-01: the first that a zip archive
// can hold, years counted from 1980 in the upper seven bits, month and day from 1
// below them (PKWARE APPNOTE 6.3.10, 4.4.6). A date of zeros is none, and some
// readers say so.
const firstDay = 1<<5 | 1

// withoutClock copies a zip archive as it is, but for the times and the list of
// content types, which is put in order.
func withoutClock(w io.Writer, packed []byte) error {
	r, err := zip.NewReader(bytes.NewReader(packed), int64(len(packed)))
	if err != nil {
		return err
	}
	z := zip.NewWriter(w)
	for _, f := range r.File {
		if f.Name == typesPath {
			if err := writeTypes(z); err != nil {
				return err
			}
			continue
		}
		raw, err := f.OpenRaw()
		if err != nil {
			return err
		}
		part, err := z.CreateRaw(&zip.FileHeader{
			Name:               f.Name,
			Method:             f.Method,
			CRC32:              f.CRC32,
			CompressedSize64:   f.CompressedSize64,
			UncompressedSize64: f.UncompressedSize64,
			//lint:ignore SA1019 a raw part has no other, and Modified adds a second time
			ModifiedDate: firstDay,
		})
		if err != nil {
			return err
		}
		if _, err := io.Copy(part, raw); err != nil {
			return err
		}
	}
	return z.Close()
}

const typesPath = "[Content_Types].xml"

// writeTypes adds the list of the three types of parts a file of ours can hold
// (Open Packaging Conventions, ISO/IEC 29500-2, 7.2.3).
func writeTypes(z *zip.Writer) error {
	//lint:ignore SA1019 as above
	w, err := z.CreateHeader(&zip.FileHeader{Name: typesPath, Method: zip.Deflate, ModifiedDate: firstDay})
	if err != nil {
		return err
	}
	_, err = io.WriteString(w, xml.Header+
		`<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">`+
		`<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>`+
		`<Default Extension="model" ContentType="`+go3mf.ContentType3DModel+`"/>`+
		`<Default Extension="png" ContentType="image/png"/>`+
		`</Types>`)
	return err
}
