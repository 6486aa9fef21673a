package cli

import (
	"fmt"
	"io"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"waxwright/geom/picture"
	"waxwright/recipes/build"
	"waxwright/recipes/piece"
)

// pictureTol is the tolerance of models for pictures, mm: a pixel of a usual
// picture is coarser.
const pictureTol = 0.02

// pictureViews are the views that the verb offers.
var pictureViews = []string{"front", "side", "back", "quarter"}

func (r *run) pictureVerb() *cli.Command {
	return &cli.Command{
		Name:      "picture",
		Usage:     "picture a piece as it is worn",
		ArgsUsage: "FILE [--view front|side|back|quarter] [--state set|to-set] [--out PNG] [--size WxH]",
		UsageText: "waxwright picture marigold.hcl --view quarter --out marigold.png",
		Description: `Writes a shaded picture of the piece, its stones in their places. A piece with
faults in its meshes is pictured all the same, so that they can be looked at.`,
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "view", Value: "quarter", Usage: "look from `VIEW`: front, side, back or quarter, quarter unless given"},
			&cli.StringFlag{Name: "out", Usage: "write to the file `PNG`, PIECE-VIEW.png unless given"},
			&cli.StringFlag{Name: "size", Value: "1200x900", Usage: "`WxH` pixels, 1200x900 unless given"},
			&cli.StringFlag{Name: "state", Value: "set", Usage: "show it `STATE`: set, or to-set as it is cast, set unless given"},
			setFlag(),
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

func (o *pictured) text() string { return fmt.Sprintf("Wrote %s.\n", o.File) }

func (r *run) picture(c *cli.Context) *pictured {
	out := &pictured{answer: answer{Schema: "waxwright.picture.1"}}
	out.err = r.draw(c, out)
	return out
}

func (r *run) draw(c *cli.Context, out *pictured) error {
	o := picture.Options{Workers: c.Int("workers")}
	view, err := picture.ParseView(c.String("view"))
	if err != nil {
		return wrong(c, "--view %s%s", c.String("view"), perhaps(c.String("view"), pictureViews))
	}
	o.View = view
	if o.Width, o.Height, err = parseSize(c.String("size")); err != nil {
		return wrong(c, "--size %s: %v", c.String("size"), err)
	}
	state := piece.Finished
	switch c.String("state") {
	case "set":
	case "to-set":
		state = piece.ForCasting
	default:
		return wrong(c, "--state %s%s", c.String("state"), perhaps(c.String("state"), []string{"set", "to-set"}))
	}
	tol, err := tolerance(c, pictureTol)
	if err != nil {
		return err
	}
	m, err := r.model(c, &out.answer, tol, state)
	if err != nil || m == nil {
		return err
	}
	img, err := picture.Render(c.Context, m.Scene(view != picture.Side), o)
	if err != nil {
		return err
	}
	out.File = c.String("out")
	if out.File == "" {
		out.File = m.Piece.Slug + "-" + view.String() + ".png"
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
