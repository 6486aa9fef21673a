package cli

import (
	"context"
	"fmt"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"waxwright/recipes/build"
	"waxwright/recipes/piece"
)

func (r *run) makeVerb() *cli.Command {
	return &cli.Command{
		Name:      "make",
		Usage:     "turn a recipe into models for the printer",
		ArgsUsage: "FILE [--out DIR] [--for casting|finished] [--set DIAL=VALUE]... [--tolerance MM] [--json]",
		UsageText: "waxwright make marigold.hcl --out models --set petals=12",
		Description: `Writes one STL file for each casting (PIECE-CASTING.stl) and one 3MF file with
all of them (PIECE.3mf), in mm, and prints what was made. Every mesh is judged
as it stands in the files; a piece with faults is not written.`,
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "out", Value: ".", Usage: "write to the folder `DIR`, made if it is missing"},
			&cli.StringFlag{Name: "for", Value: "casting", Usage: "make it for `STATE`: casting (to set, grown and scaled as the recipe asks) or finished (set), casting unless given"},
			setFlag(),
			toleranceFlag(fmt.Sprintf("model and true surface differ by `MM` at most, %g unless given", build.DefaultTol)),
			workersFlag(),
			jsonFlag(),
		},
		Action: func(c *cli.Context) error { return r.reply(c, r.make(c)) },
	}
}

func toleranceFlag(usage string) cli.Flag {
	return &cli.Float64Flag{Name: "tolerance", Usage: usage}
}

// tolerance returns the tolerance of the call, or the one that is usual.
func tolerance(c *cli.Context, usual float64) (float64, error) {
	if !c.IsSet("tolerance") {
		return usual, nil
	}
	tol := c.Float64("tolerance")
	if !(tol >= build.FinestTol && tol <= build.CoarsestTol) {
		return 0, wrong(c, "--tolerance %g: give %g to %g mm", tol, build.FinestTol, build.CoarsestTol)
	}
	return tol, nil
}

// made is what make has to say.
type made struct {
	answer
	Piece     *madePiece    `json:"piece,omitempty"`
	Tolerance float64       `json:"tolerance,omitempty"` // mm
	Castings  []madeCasting `json:"castings,omitempty"`
	Folder    string        `json:"folder,omitempty"`
	Files     []string      `json:"files,omitempty"`

	recipe string // its file
}

type madePiece struct {
	Title    string  `json:"title"`
	Designer string  `json:"designer,omitempty"`
	Alloy    string  `json:"alloy"`
	Pair     string  `json:"pair"`
	Recipe   string  `json:"recipe"` // digest
	Weight   float64 `json:"weight"` // g, of all castings, without stones
	For      string  `json:"for"`
	State    string  `json:"state"`
	Finish   string  `json:"finish"`
	Scale    float64 `json:"scale"`   // factor of the files
	Scaling  string  `json:"scaling"` // in words
}

type madeCasting struct {
	Name      string     `json:"name"`
	Mirrored  bool       `json:"mirrored"`
	Quantity  int        `json:"quantity"`
	Bodies    int        `json:"bodies"`
	Genus     int        `json:"genus"`
	Size      [3]float64 `json:"size"`      // mm
	Volume    float64    `json:"volume"`    // mm3
	Weight    float64    `json:"weight"`    // g, of one
	Triangles int        `json:"triangles"` // of one
	Deviation float64    `json:"deviation"` // mm
	Sound     bool       `json:"sound"`
	File      string     `json:"file"`
}

// make makes the models of the call.
func (r *run) make(c *cli.Context) *made {
	out := &made{answer: answer{Schema: "waxwright.make.1"}}
	tol, err := tolerance(c, build.DefaultTol)
	if err != nil {
		return out.failed(err)
	}
	state := piece.ForCasting
	switch c.String("for") {
	case "casting":
	case "finished":
		state = piece.Finished
	default:
		return out.failed(wrong(c, "--for %s%s", c.String("for"), perhaps(c.String("for"), []string{"casting", "finished"})))
	}
	if err := build.Writable(r.Disk, c.String("out")); err != nil {
		return out.failed(err)
	}
	out.recipe = c.Args().First()
	m, err := r.model(c, &out.answer, tol, state)
	if err != nil || m == nil {
		return out.failed(err)
	}
	out.tell(m)
	if out.Remarks.Faulty() {
		return out
	}
	out.Folder = c.String("out")
	out.Files, err = build.Write(c.Context, r.Disk, m, out.Folder)
	return out.failed(err)
}

// model compiles and models the recipe of a call. Without a model there is an
// error, or a fault among the remarks.
func (r *run) model(c *cli.Context, a *answer, tol float64, state piece.For) (*build.Model, error) {
	return r.modelled(c, a, tol, state, build.Make)
}

// way is a way to model a piece: build.Make, or another for the eye alone.
type way func(context.Context, *piece.Piece, build.Options) (*build.Model, error)

// modelled is model by any of the ways.
func (r *run) modelled(c *cli.Context, a *answer, tol float64, state piece.For, by way) (*build.Model, error) {
	file, err := fileOf(c)
	if err != nil {
		return nil, err
	}
	p, err := r.recipe(c, file, a, state)
	if err != nil || p == nil {
		return nil, err
	}
	return r.inMetal(c, p, a, tol, by)
}

// inMetal models a piece by one of the ways. What is said of an exact model
// goes into the answer.
func (r *run) inMetal(c *cli.Context, p *piece.Piece, a *answer, tol float64, by way) (*build.Model, error) {
	if n := c.Int("workers"); n < 0 {
		return nil, wrong(c, "--workers %d: give 1 or more", n)
	}
	meter := r.meter(p.Title)
	defer meter.end()
	m, err := by(c.Context, p, build.Options{Tol: tol, Workers: c.Int("workers"), Progress: meter.step})
	if err != nil {
		return nil, err
	}
	if !m.Sketch {
		a.Remarks = append(a.Remarks, m.Remarks()...)
	}
	return m, nil
}

// failed notes an error.
func (o *made) failed(err error) *made {
	o.err = err
	return o
}

// tell takes over what is to be told of a model.
func (o *made) tell(m *build.Model) {
	p := m.Piece
	o.Piece = &madePiece{
		Title: p.Title, Designer: p.Designer, Alloy: p.Alloy.Name, Pair: p.Pair.String(),
		Recipe: fmt.Sprintf("%x", p.Digest), Weight: m.Grams(),
		For: p.For.String(), State: p.State(), Finish: p.Finish.Name, Scale: p.Scale, Scaling: p.Scaling(),
	}
	o.Tolerance = m.Tol
	for i := range m.Castings {
		k := &m.Castings[i]
		s := k.Size()
		o.Castings = append(o.Castings, madeCasting{
			Name: k.Name, Mirrored: k.Mirrored, Quantity: k.Quantity, Bodies: len(k.Report.Bodies), Genus: k.Report.Genus(),
			Size: [3]float64{s.X, s.Y, s.Z}, Volume: k.Report.Volume, Weight: k.Grams,
			Triangles: k.Report.Triangles, Deviation: k.Reached, Sound: k.Report.OK(), File: m.File(k),
		})
	}
}

// text writes what was made as a table.
func (o *made) text() string {
	if o.Piece == nil {
		return ""
	}
	var s strings.Builder
	fmt.Fprintf(&s, "%s, %s%s: %s g of metal\n%s; %s\n\n", o.Piece.Title, o.Piece.Alloy, o.pairText(), grams(o.Piece.Weight), o.Piece.State, o.Piece.Scaling)
	t := table{right: "011011110"}
	t.row("casting", "off", "bodies", "size mm", "mm3", "g", "triangles", "deviation", "file")
	for _, c := range o.Castings {
		t.row(c.Name, strconv.Itoa(c.Quantity), strconv.Itoa(c.Bodies),
			fmt.Sprintf("%.2f x %.2f x %.2f", c.Size[0], c.Size[1], c.Size[2]),
			fmt.Sprintf("%.1f", c.Volume), grams(c.Weight),
			strconv.Itoa(c.Triangles), fmt.Sprintf("%.4f", c.Deviation), c.File)
	}
	s.WriteString(t.String())
	if len(o.Files) == 0 {
		return s.String() + "\nNothing was written: the piece has faults.\n"
	}
	s.WriteString("\nJudged as written: closed, outward, two triangles at every edge, one fan at every\n" +
		"vertex, no crossings, nothing degenerate, one body a casting.\n")
	fmt.Fprintf(&s, "Written to %s: %s.\n", o.Folder, filesText(o.Files))
	fmt.Fprintf(&s, "Not proved: before you send it, waxwright prove %s says what would not cast, hold or wear.\n", quoted(o.recipe))
	return s.String()
}

// filesText names the common file and counts the others.
func filesText(files []string) string {
	last := len(files) - 1
	if last == 1 {
		return files[0] + " and " + files[1]
	}
	return fmt.Sprintf("%d STL files and %s", last, files[last])
}

// pairText says what the other ear gets.
func (o *made) pairText() string {
	if o.Piece.Pair == "single" {
		return ""
	}
	for _, c := range o.Castings {
		if c.Mirrored {
			return ", a pair, one the mirror image of the other"
		}
	}
	if o.Piece.Pair == "mirrored" {
		return ", a pair, each casting its own mirror image"
	}
	return ", a pair"
}

// grams writes a weight with the digits that scales have.
func grams(g float64) string {
	if g < 1 {
		return fmt.Sprintf("%.3f", g)
	}
	return fmt.Sprintf("%.2f", g)
}
