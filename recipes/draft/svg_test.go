package draft

import (
	"context"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"

	"waxwright/geom/drawing"
	"waxwright/geom/vec"
)

// shape is a path read back from an SVG file, y up.
type shape struct {
	points []vec.P2
	width  float64 // of the stroke, 0 for a filled path
}

// readSVG parses a drawing as any reader would: shapes with straight sides,
// and all texts.
func readSVG(t *testing.T, data []byte) (shapes []shape, texts []string, size vec.P2) {
	t.Helper()
	in := xml.NewDecoder(strings.NewReader(string(data)))
	for {
		tok, err := in.Token()
		if errors.Is(err, io.EOF) {
			return shapes, texts, size
		}
		if err != nil {
			t.Fatalf("the SVG does not parse: %v", err)
		}
		switch e := tok.(type) {
		case xml.StartElement:
			attr := map[string]string{}
			for _, a := range e.Attr {
				attr[a.Name.Local] = a.Value
			}
			switch e.Name.Local {
			case "svg":
				box := numbers(t, attr["viewBox"])
				size = vec.P2{X: box[2], Y: box[3]}
			case "path":
				s := shape{points: points(t, attr["d"], size.Y)}
				if _, w, ok := strings.Cut(attr["style"], "stroke-width:"); ok {
					w, _, _ = strings.Cut(w, ";")
					s.width = numbers(t, w)[0]
				}
				shapes = append(shapes, s)
			}
		case xml.CharData:
			if s := strings.TrimSpace(string(e)); s != "" && !strings.Contains(s, "@font-face") {
				texts = append(texts, s)
			}
		}
	}
}

func numbers(t *testing.T, s string) []float64 {
	t.Helper()
	var all []float64
	for _, f := range strings.FieldsFunc(s, func(r rune) bool { return r == ' ' || r == ',' }) {
		v, err := strconv.ParseFloat(f, 64)
		if err != nil {
			t.Fatalf("no number: %q in %q", f, s)
		}
		all = append(all, v)
	}
	return all
}

// points reads path data of absolute lines.
func points(t *testing.T, d string, height float64) []vec.P2 {
	t.Helper()
	var all []vec.P2
	var at vec.P2
	for len(d) > 0 {
		cmd := d[0]
		end := strings.IndexAny(d[1:], "MLHVZz") + 1
		if end == 0 {
			end = len(d)
		}
		// numbers may follow each other by sign alone
		v := numbers(t, strings.ReplaceAll(d[1:end], "-", " -"))
		d = d[end:]
		switch cmd {
		case 'M', 'L':
			at = vec.P2{X: v[0], Y: height - v[1]}
		case 'H':
			at.X = v[0]
		case 'V':
			at.Y = height - v[0]
		case 'Z', 'z':
			continue
		default:
			t.Fatalf("path data with %q", cmd)
		}
		all = append(all, at)
	}
	return all
}

// Lengths drawn are those of the model, to a hundredth of a millimetre: read
// back from the SVG, the tips of the arrows of the overall dimensions lie
// where outlines end, as far apart as the model is large.
func TestDrawnLengths(t *testing.T) {
	for name, m := range examples() {
		d, err := Views(context.Background(), m, Options{Width: 250})
		if err != nil {
			t.Fatal(err)
		}
		shapes, texts, size := readSVG(t, svgOf(t, d))
		if math.Abs(size.X-d.W) > 1e-3 || math.Abs(size.Y-d.H) > 1e-3 {
			t.Errorf("%s: the SVG is %v, the drawing %g x %g", name, size, d.W, d.H)
		}
		box := vec.Empty()
		for _, b := range m.Bodies(false) {
			for _, p := range b.Mesh.V {
				box = box.With(b.Place.Point(p))
			}
		}
		var tips, outline []vec.P2
		for _, s := range shapes {
			switch {
			case s.width == 0 && len(s.points) == 3:
				tips = append(tips, s.points[0])
			case math.Abs(s.width-wide.width) < 1e-6 || math.Abs(s.width-middle.width) < 1e-6:
				outline = append(outline, s.points...)
			}
		}
		within := 0.01 * d.Scale
		// ends says whether outlines reach a coordinate of a tip
		ends := func(tip vec.P2, of func(vec.P2) float64) bool {
			for _, p := range outline {
				if math.Abs(of(p)-of(tip)) < within {
					return true
				}
			}
			return false
		}
		x := func(p vec.P2) float64 { return p.X }
		y := func(p vec.P2) float64 { return p.Y }
		s := box.Size()
		for _, c := range []struct {
			what   string
			want   float64
			of, at func(vec.P2) float64
		}{{"width", s.X, x, y}, {"height", s.Y, y, x}, {"depth", s.Z, x, y}} {
			found := false
			for _, a := range tips {
				for _, b := range tips {
					if math.Abs(c.at(a)-c.at(b)) < 1e-3 && math.Abs(math.Abs(c.of(a)-c.of(b))/d.Scale-c.want) < 0.01 &&
						ends(a, c.of) && ends(b, c.of) {
						found = true
					}
				}
			}
			if !found {
				t.Errorf("%s: no dimension shows the %s of %g mm", name, c.what, c.want)
			}
			if !contains(texts, figure(c.want)) {
				t.Errorf("%s: the %s %s is not written: %q", name, c.what, figure(c.want), texts)
			}
		}
	}
}

func contains(texts []string, want string) bool {
	for _, s := range texts {
		if s == want {
			return true
		}
	}
	return false
}

// The section shows every cut face with its true area: hatched borders read
// back from the SVG enclose what the mesh has there.
func TestDrawnSection(t *testing.T) {
	m := examples()["stud"]
	d, err := Views(context.Background(), m, Options{})
	if err != nil {
		t.Fatal(err)
	}
	shapes, texts, _ := readSVG(t, svgOf(t, d))
	for _, want := range []string{"plate 1", "gallery 2.65", "post 10.5", "\u00d85 seed", "A\u2013A"} {
		if !contains(texts, want) {
			t.Errorf("%q is not written: %q", want, texts)
		}
	}
	// hatching of step h covers an area of h times its length
	long := 0.0
	for _, s := range shapes {
		if len(s.points) == 2 && math.Abs(s.width-narrow.width) < 1e-6 {
			if v := s.points[1].Sub(s.points[0]); math.Abs(v.X-v.Y) < 1e-3 {
				long += v.Len()
			}
		}
	}
	bodies := m.Bodies(false)
	at, _ := deepest(bodies)
	section, err := cutAt(bodies, drawing.Side, at.X, "A")
	if err != nil {
		t.Fatal(err)
	}
	area := 0.0
	for _, l := range section.metal {
		for i, p := range l {
			area += p.Cross(l[(i+1)%len(l)]) / 2
		}
	}
	got := long * hatchStep / (d.Scale * d.Scale)
	if math.Abs(got-area) > 0.03*area {
		t.Errorf("the hatching covers %g mm2, cut are %g", got, area)
	}
}

// A piece without stones is cut through its middle.
func TestSectionWithoutStones(t *testing.T) {
	d, err := Views(context.Background(), modelOf(t, washer), Options{})
	if err != nil {
		t.Fatal(err)
	}
	_, texts, _ := readSVG(t, svgOf(t, d))
	for _, want := range []string{"plate 2", "A\u2013A"} {
		if !contains(texts, want) {
			t.Errorf("%q is not written: %q", want, texts)
		}
	}
}
