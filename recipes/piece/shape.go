package piece

import (
	"fmt"
	"math"

	"waxwright/geom/outline"
	"waxwright/geom/vec"
	"waxwright/recipes/lang"
)

// curveTol is the largest distance between an ellipse or a path's curves and
// the arcs that stand for them, in mm: a fifth of the default tolerance of the
// mesh, so that it never decides the accuracy of a casting.
const curveTol = 0.001

// Shape is the outline of a plate or an opening, chosen by its form.
type Shape struct {
	Form   string
	Across float64
	Height float64
	Bulge  float64
	Corner float64
	Lobes  int
	Notch  float64
	Sides  int
	Path   string
}

// forms are the outlines that are drawn by their sizes alone.
var forms = []string{"circle", "ellipse", "cushion", "scallop", "pear", "polygon", "path"}

// describe adds the words of the outline to a block; more are the block's own
// further forms.
func (s *Shape) describe(d *lang.Desc, of string, more ...string) {
	d.Kind(&s.Form, "form", "the outline "+of, append(append([]string{}, forms...), more...)...).Called("shape")
	d.Length(&s.Across, "across", "width, from left to right").In(forms...).Range(0.3, 300).Called("diameter", "width", "size")
	d.Length(&s.Height, "height", "from bottom to top").In("ellipse", "cushion", "pear").Range(0.3, 300).
		Default("across").DefaultIn("pear", "1.5 * across").Called("length")
	d.Length(&s.Bulge, "bulge", "how far each side curves outwards").In("cushion").Range(0, 50).Default("0")
	d.Length(&s.Corner, "corner", "radius of the corners").In("cushion", "polygon", "pear", "scallop").Range(0, 150).
		Default("0").DefaultIn("cushion", "min(across, height) / 4")
	d.Count(&s.Lobes, "lobes", "round lobes along the edge, one at the top").In("scallop").Range(3, 96)
	d.Length(&s.Notch, "notch", "how deep the notches between the lobes are").In("scallop").Range(0.02, 50).Default("0.4 * across / lobes")
	d.Count(&s.Sides, "sides", "equal sides").In("polygon").Range(3, 64)
	d.Text(&s.Path, "path", "SVG path data, scaled to the width across; y points down, as SVG has it").In("path")
}

// outline draws the shape about its middle.
func (s *Shape) outline() (outline.Outline, error) {
	switch s.Form {
	case "circle":
		return outline.Circle(s.Across / 2)
	case "ellipse":
		return outline.Ellipse(s.Across, s.Height, curveTol)
	case "cushion":
		return outline.Cushion(s.Across, s.Height, s.Bulge, s.Corner)
	case "scallop":
		return outline.Scallop(s.Across, s.Lobes, s.Notch, s.Corner)
	case "pear":
		return outline.Pear(s.Across, s.Height, s.Corner)
	case "polygon":
		return outline.RegularPolygon(s.Sides, s.Across, s.Corner)
	case "path":
		return outline.FromSVG(s.Path, outline.SVG{Width: s.Across, Tol: curveTol})
	}
	return outline.Outline{}, fmt.Errorf("no outline of the form %q", s.Form)
}

// Wide is the word that says how wide the outline is along a way: "height" where that
// is rather up than across and the form has it, else "across".
func (s *Shape) Wide(way vec.P2) string {
	if s.Height > 0 && math.Abs(way.Y) > math.Abs(way.X) {
		return "height"
	}
	return "across"
}

// Spot is the placing phrase of whatever sits on or in a plate: at a bearing
// and a distance from its middle, or at given coordinates.
type Spot struct {
	At  float64
	Out float64
	XY  []float64
}

// describe adds the placing words, to some forms of the block or to all.
func (s *Spot) describe(d *lang.Desc, forms ...string) {
	at := d.Angle(&s.At, "at", "bearing from the middle: 0 at the top, clockwise from the front").Default("0")
	out := d.Length(&s.Out, "out", "distance from the middle along that bearing").Range(0, 300).Default("0")
	xy := d.Lengths(&s.XY, "xy", "right of and above the middle, instead of at and out", 2).Range(-300, 300).Optional()
	for _, w := range []*lang.Word{at, out, xy} {
		if len(forms) > 0 {
			w.In(forms...)
		}
	}
}

// check reports a place that is given twice.
func (s *Spot) check(sc *lang.Scope) {
	if len(s.XY) > 0 && (sc.Given("at") || sc.Given("out")) {
		sc.Fault("xy", "the place is given twice, by xy and by at and out", "drop one of them")
	}
}

// from returns the place, measured from the middle.
func (s *Spot) from(middle vec.P2) vec.P2 {
	if len(s.XY) == 2 {
		return middle.Add(vec.P2{X: s.XY[0], Y: s.XY[1]})
	}
	return middle.Add(vec.Bearing(s.Out, radians(s.At)))
}

// radians turns the degrees of a recipe into radians.
func radians(degrees float64) float64 { return degrees * math.Pi / 180 }
