package cli

import (
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"waxwright/geom/picture"
	"waxwright/geom/vec"
	"waxwright/recipes/build"
	"waxwright/recipes/piece"
	"waxwright/recipes/proof"
)

// pictureTol is the tolerance of models for pictures, mm: under half a pixel of
// a usual one, some 0.03 mm, so that rims and grooves show no corners.
const pictureTol = 0.01

// pictureViews are the views that the verb offers.
var pictureViews = []string{"front", "back", "side", "top", "quarter"}

func (r *run) pictureVerb() *cli.Command {
	return &cli.Command{
		Name:  "picture",
		Usage: "picture a piece as it is worn",
		ArgsUsage: "FILE [--view front|back|side|top|quarter] [--state set|to-set] [--no-stones] [--walls] " +
			"[--cut AXIS=MM] [--remarks [--house NAME|FILE.hcl]] [--out PNG] [--size WxH] [--set DIAL=VALUE]...",
		UsageText: "waxwright picture marigold.hcl --view quarter --out marigold.png\n" +
			"  waxwright picture marigold.hcl --cut x=0\n" +
			"  waxwright picture marigold.hcl --walls --view back",
		Description: `Writes a shaded picture of the piece, its stones in their places. A piece with
faults in its meshes is pictured all the same, so that they can be looked at.

--cut takes away what lies between you and the plane where x, y or z is so many
mm, as the piece is worn: x to the right, y up, z to the viewer, the face of a
plate at 0. --walls paints the metal by its thickness, as a share of what the
house asks there. --remarks has the piece proved and pins each remark to its place,
with the number that prove gives it. With any of the three, only the first of a
pair is shown.`,
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "view", Usage: "look from `VIEW`: front, back, side, top or quarter; unless given quarter, for a cut as it is seen best"},
			&cli.StringFlag{Name: "out", Usage: "write to the file `PNG`, PIECE-VIEW.png unless given"},
			&cli.StringFlag{Name: "size", Value: "1200x900", Usage: "`WxH` pixels, 1200x900 unless given"},
			&cli.StringFlag{Name: "state", Value: "set", Usage: "show it `STATE`: set, or to-set as it is cast, set unless given"},
			&cli.BoolFlag{Name: "no-stones", Usage: "show the metal alone"},
			&cli.BoolFlag{Name: "walls", Usage: "paint the metal by its thickness"},
			&cli.StringFlag{Name: "cut", Usage: "cut it open at `AXIS=MM`, as x=0 or z=-1"},
			&cli.BoolFlag{Name: "remarks", Usage: "pin what prove remarks to its places"},
			setFlag(),
			houseFlag(),
			toleranceFlag(fmt.Sprintf("model and true surface differ by `MM` at most, %g unless given", pictureTol)),
			workersFlag(),
		},
		Action: func(c *cli.Context) error { return r.reply(c, r.picture(c)) },
	}
}

// pictured is what picture has to say.
type pictured struct {
	answer
	File string `json:"file"`
}

func (o *pictured) text() string {
	if o.File == "" {
		return ""
	}
	return fmt.Sprintf("Wrote %s.\n", o.File)
}

func (r *run) picture(c *cli.Context) *pictured {
	out := &pictured{answer: answer{Schema: "waxwright.picture.1"}}
	out.err = r.draw(c, out)
	return out
}

// shot is what a call asks to see.
type shot struct {
	picture.Options
	state          piece.For
	tol            float64
	bare           bool // no stones
	walls, remarks bool
	axis           int // of the cut; -1 for none
}

// draw pictures the piece of the call.
func (r *run) draw(c *cli.Context, out *pictured) error {
	s, err := shotOf(c)
	if err != nil {
		return err
	}
	if file := c.String("out"); file != "" {
		if !strings.EqualFold(filepath.Ext(file), ".png") {
			return wrong(c, "--out %s: pictures are written as PNG; let the name end in .png", file)
		}
		if err := build.Writable(r.Disk, filepath.Dir(file)); err != nil {
			return err
		}
	}
	m, report, err := r.sitter(c, out, s)
	if err != nil || m == nil {
		return err
	}
	scene, err := s.scene(c, m)
	if err != nil {
		return err
	}
	if s.axis >= 0 {
		if err := s.hits(c, scene); err != nil {
			return err
		}
	}
	if report != nil {
		s.pin(m, report)
	}
	img, err := picture.Render(c.Context, scene, s.Options)
	if err != nil {
		return err
	}
	out.File = c.String("out")
	if out.File == "" {
		out.File = m.Piece.Slug + s.suffix() + ".png"
	}
	batch, err := build.NewBatch(r.Disk, filepath.Dir(out.File))
	if err != nil {
		return err
	}
	defer batch.Discard()
	if err := batch.Add(filepath.Base(out.File), func(w io.Writer) error { return picture.Encode(w, img) }); err != nil {
		return err
	}
	return batch.Commit()
}

// shotOf reads the flags of a call.
func shotOf(c *cli.Context) (*shot, error) {
	s := &shot{bare: c.Bool("no-stones"), walls: c.Bool("walls"), remarks: c.Bool("remarks"), axis: -1}
	s.Workers = c.Int("workers")
	var err error
	if s.Width, s.Height, err = parseSize(c.String("size")); err != nil {
		return nil, wrong(c, "--size %s: %v", c.String("size"), err)
	}
	switch c.String("state") {
	case "set":
		s.state = piece.Finished
	case "to-set":
		s.state = piece.ForCasting
	default:
		return nil, wrong(c, "--state %s%s", c.String("state"), perhaps(c.String("state"), []string{"set", "to-set"}))
	}
	s.View = picture.Quarter
	if name := c.String("view"); name != "" {
		if s.View, err = picture.ParseView(name); err != nil {
			return nil, wrong(c, "--view %s%s", name, perhaps(name, pictureViews))
		}
	}
	if c.String("house") != "" && !s.remarks {
		return nil, wrong(c, "--house goes with --remarks")
	}
	if cut := c.String("cut"); cut != "" {
		if err := s.cut(c, cut); err != nil {
			return nil, err
		}
	}
	s.tol, err = tolerance(c, pictureTol)
	return s, err
}

// The axes of cuts, and the views that show each face on.
var (
	cutAxes  = [3]string{"x", "y", "z"}
	cutViews = [3]picture.View{picture.Side, picture.Top, picture.Front}
)

// toward is where the viewer stands: the signs of x, y and z, 0 where a cut
// across that axis is seen edge on.
var toward = map[picture.View][3]float64{
	picture.Front: {0, 0, 1}, picture.Back: {0, 0, -1}, picture.Side: {1, 0, 0}, picture.Top: {0, 1, 0},
	picture.Quarter: {-1, -1, 1},
}

// cut reads where the piece is cut open. What lies on the viewer's side of the
// plane is taken away.
func (s *shot) cut(c *cli.Context, text string) error {
	axis, at, ok := strings.Cut(text, "=")
	mm, err := strconv.ParseFloat(strings.TrimSpace(at), 64)
	if !ok || err != nil || !(mm >= -1000 && mm <= 1000) {
		return wrong(c, "--cut %s: write it as x=0 or z=-1.2, in mm", text)
	}
	for i, name := range cutAxes {
		if strings.TrimSpace(axis) == name {
			s.axis = i
		}
	}
	if s.axis < 0 {
		return wrong(c, "--cut %s: the axes are x to the right, y up, and z to the viewer", text)
	}
	if c.String("view") == "" {
		s.View = cutViews[s.axis]
	}
	sign := toward[s.View][s.axis]
	if sign == 0 {
		return wrong(c, "--cut %s is seen edge on from the %s: use --view %s or quarter", text, s.View, cutViews[s.axis])
	}
	n := [3]float64{}
	n[s.axis] = sign
	s.Cut = &picture.Plane{Normal: vec.P{X: n[0], Y: n[1], Z: n[2]}, Offset: sign * mm}
	return nil
}

// hits refuses a cut that misses the piece.
func (s *shot) hits(c *cli.Context, scene picture.Scene) error {
	box := vec.Empty()
	for _, it := range scene.Items {
		for _, p := range it.Mesh.V {
			box = box.With(it.Place.Point(p))
		}
	}
	lo, hi := [3]float64{box.Min.X, box.Min.Y, box.Min.Z}[s.axis], [3]float64{box.Max.X, box.Max.Y, box.Max.Z}[s.axis]
	if at := s.Cut.Offset * toward[s.View][s.axis]; at <= lo || at >= hi {
		return wrong(c, "--cut %s misses the piece: %s runs from %.2f to %.2f mm", c.String("cut"), cutAxes[s.axis], lo, hi)
	}
	return nil
}

// way is how what is shown is modelled: what is measured or cut is made, all else
// is for the eye alone.
func (s *shot) way() way {
	if s.walls || s.axis >= 0 {
		return build.Make
	}
	return build.Likeness
}

// sitter models what is pictured, and has it proved if asked. Without a model
// there is an error, or a fault among the remarks.
func (r *run) sitter(c *cli.Context, out *pictured, s *shot) (*build.Model, *proof.Report, error) {
	if !s.remarks {
		m, err := r.modelled(c, &out.answer, s.tol, s.state, s.way())
		return m, nil, err
	}
	house, err := r.houseOf(c, &out.answer)
	if err != nil || out.Remarks.Faulty() {
		return nil, nil, err
	}
	// the model for casting is what is proved, whatever is shown
	m, err := r.model(c, &out.answer, build.DefaultTol, piece.ForCasting)
	if err != nil || m == nil {
		return nil, nil, err
	}
	out.Remarks = nil // they are on the picture
	report, err := proof.Prove(c.Context, m, house)
	if err != nil || s.state == piece.ForCasting {
		return m, report, err
	}
	p, diags := m.Piece.As(s.state)
	if out.Remarks = append(out.Remarks, diags...); p == nil {
		return nil, nil, nil
	}
	m, err = s.way()(c.Context, p, build.Options{Tol: s.tol, Workers: s.Workers})
	return m, report, err
}

// scene is what is put before the camera.
func (s *shot) scene(c *cli.Context, m *build.Model) (picture.Scene, error) {
	both := s.View != picture.Side && s.axis < 0 && !s.remarks
	switch {
	case s.walls:
		asked, leasts := proof.Asked(m)
		scale := picture.WallScale(1)
		s.Legend = &picture.Legend{Title: "of its limit", Scale: scale}
		s.List = append(s.List, wallList(m.Piece.House.Name, leasts)...)
		cam, err := picture.Frame(m.Metal(both), s.Options)
		if err != nil {
			return picture.Scene{}, err
		}
		return m.Walls(c.Context, scale, asked, cam.Faces, s.Workers)
	case s.bare:
		return m.Metal(both), nil
	}
	return m.Scene(both), nil
}

// wallList says what the colours of walls stand for: limits in lines of five.
func wallList(house string, leasts []proof.Least) []picture.Entry {
	all := []picture.Entry{{Text: fmt.Sprintf("Metal by its thickness, as a share of what the house %q asks there at the least; red is thinner.", house)}}
	for row := range slices.Chunk(leasts, 5) {
		var says []string
		for _, l := range row {
			says = append(says, l.String())
		}
		all = append(all, picture.Entry{Text: strings.Join(says, ", ")})
	}
	all[1].Text = "Limits in mm: " + all[1].Text
	return all
}

// suffix ends the name of a file that was not given one.
func (s *shot) suffix() string {
	name := "-" + s.View.String()
	if s.axis >= 0 {
		name += "-cut"
	}
	if s.walls {
		name += "-walls"
	}
	if s.remarks {
		name += "-remarks"
	}
	return name
}

// parseSize reads a size in pixels, "1600x1200".
func parseSize(s string) (w, h int, err error) {
	a, b, ok := strings.Cut(strings.ToLower(s), "x")
	w, werr := strconv.Atoi(a)
	h, herr := strconv.Atoi(b)
	if !ok || werr != nil || herr != nil {
		return 0, 0, fmt.Errorf("write it as 1600x1200")
	}
	if w < 16 || h < 16 || w > 8192 || h > 8192 {
		return 0, 0, fmt.Errorf("sides of 16 to 8192 pixels are drawn")
	}
	return w, h, nil
}
