package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"waxwright/recipes/build"
	"waxwright/recipes/papers"
	"waxwright/recipes/piece"
	"waxwright/recipes/proof"
)

func (r *run) papersVerb() *cli.Command {
	return &cli.Command{
		Name:      "papers",
		Usage:     "write what bench, caster and customer need",
		ArgsUsage: "FILE [--out DIR] [--paper A4|letter] [--only SHEET] [--date YYYY-MM-DD] [--set DIAL=VALUE]... | --check FILE.json DIR",
		UsageText: "waxwright papers marigold.hcl --out papers --date 2026-11-25",
		Description: `Writes the job sheet, the setting sheet, the stone order, the caster's order, the
findings, the cautions and, where the recipe has prices, the cost, as one PDF
(PIECE-papers.pdf) and one HTML page, the lists as CSV, and all of it as JSON with
the fingerprints of recipe and models. For handing out, --only writes one sheet
without the prices.
With --check it says whether the files in a folder are those that papers were
written for: exit code 0 if all are, 1 if one differs or is missing. Without the
recipe it checks the others, and says so.`,
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "out", Value: ".", Usage: "write to the folder `DIR`, made if it is missing"},
			&cli.StringFlag{Name: "paper", Value: papers.A4.Name, Usage: "set it on `PAPER`: " + strings.Join(papers.PaperNames(), " or ") + ", A4 unless given"},
			&cli.StringFlag{Name: "only", Usage: "write only `SHEET`: " + strings.Join(papers.SheetNames(), ", ")},
			&cli.StringFlag{Name: "date", Usage: "print the day `YYYY-MM-DD`; no date unless given"},
			&cli.StringFlag{Name: "check", Usage: "check files against the papers in `FILE.json`"},
			houseFlag(),
			setFlag(),
			toleranceFlag(fmt.Sprintf("model and true surface differ by `MM` at most, %g unless given; as for make", build.DefaultTol)),
			workersFlag(),
			jsonFlag(),
		},
		Action: func(c *cli.Context) error {
			if c.IsSet("check") {
				return r.reply(c, r.checkPapers(c))
			}
			return r.reply(c, r.papers(c))
		},
	}
}

// papered is what papers has to say.
type papered struct {
	answer
	Folder string   `json:"folder,omitempty"`
	Files  []string `json:"files,omitempty"`
	Fails  int      `json:"fails"` // of the proof

	remarks string
}

func (o *papered) text() string {
	if len(o.Files) == 0 {
		return "Nothing was written: the piece has faults.\n"
	}
	return fmt.Sprintf("%sWritten to %s:\n  %s\n", o.remarks, o.Folder, strings.Join(o.Files, "\n  "))
}

func (r *run) papers(c *cli.Context) *papered {
	out := &papered{answer: answer{Schema: "waxwright.papers-written.1"}}
	out.err = r.writePapers(c, out)
	return out
}

// sheetOptions reads the options of the call.
func sheetOptions(c *cli.Context) (papers.Options, error) {
	o := papers.Options{Only: c.String("only"), Date: c.String("date"), Workers: c.Int("workers")}
	var err error
	if o.Paper, err = papers.PaperNamed(c.String("paper")); err != nil {
		return o, wrong(c, "--paper %s%s", c.String("paper"), perhaps(c.String("paper"), papers.PaperNames()))
	}
	if o.Only != "" && !slices.Contains(papers.SheetNames(), o.Only) {
		return o, wrong(c, "--only %s%s", o.Only, perhaps(o.Only, papers.SheetNames()))
	}
	if o.Date != "" {
		if _, err := time.Parse(time.DateOnly, o.Date); err != nil {
			return o, wrong(c, "--date %s: write it as 2026-11-25", o.Date)
		}
	}
	return o, nil
}

func (r *run) writePapers(c *cli.Context, out *papered) error {
	o, err := sheetOptions(c)
	if err != nil {
		return err
	}
	tol, err := tolerance(c, build.DefaultTol)
	if err != nil {
		return err
	}
	file, err := fileOf(c)
	if err != nil {
		return err
	}
	house, err := r.houseOf(c, &out.answer)
	if err != nil || out.Remarks.Faulty() {
		return err
	}
	s := papers.Source{Name: filepath.Base(file)}
	if file == "-" {
		return wrong(c, "papers name the recipe's file: give one")
	}
	if s.Recipe, err = r.source(c, file); err != nil {
		return err
	}
	p, err := compiled(c, s.Recipe, file, &out.answer, piece.ForCasting)
	if err != nil || p == nil {
		return err
	}
	if err := build.Writable(r.Disk, c.String("out")); err != nil {
		return err
	}
	finished, diags := p.As(piece.Finished)
	if finished == nil {
		out.Remarks = diags
		return nil
	}
	if s.Cast, err = r.inMetal(c, p, &out.answer, tol, build.Make); err != nil || out.Remarks.Faulty() {
		return err
	}
	var again answer // of the same castings; a coarse mesh shows its facets in the drawing
	if s.Finished, err = r.inMetal(c, finished, &again, build.DefaultTol, build.Make); err != nil {
		return err
	}
	if s.Proof, err = proof.Prove(c.Context, s.Cast, house); err != nil {
		return err
	}
	sheets, err := papers.Gather(c.Context, s, o)
	if err != nil {
		return err
	}
	boxes, err := papers.Unprinted(sheets, s.Cast.Piece.Recipe)
	if err != nil {
		return err
	}
	out.Remarks = append(out.Remarks, boxes...)
	art, err := papers.Draw(c.Context, s, o)
	if err != nil {
		return err
	}
	out.Folder = c.String("out")
	out.Files, err = papers.Write(c.Context, r.Disk, sheets, art, o, out.Folder)
	out.Fails = sheets.Proof.Fails
	out.remarks = failsText(s.Proof, file)
	return err
}

// mostFails is how many fails are told in a line each.
const mostFails = 3

// failsText says what fails in the proof of a recipe, "" if nothing does.
func failsText(p *proof.Report, file string) string {
	n := p.Count(proof.Fail)
	if n == 0 {
		return ""
	}
	var s strings.Builder
	fmt.Fprintf(&s, "Do not send it like this, the proof has %s:\n", proof.Counted(n, "fail"))
	for _, m := range p.Remarks[:min(n, mostFails)] { // fails come first
		s.WriteString(hang("  "+m.Part+": ", m.Says))
	}
	if n > mostFails {
		fmt.Fprintf(&s, "  and %d more\n", n-mostFails)
	}
	fmt.Fprintf(&s, "The papers say so. waxwright prove %s tells all.\n\n", quoted(file))
	return s.String()
}

// checked is what --check has to say.
type checked struct {
	answer
	Files []papers.Found `json:"files"`
}

func (o *checked) text() string {
	t := table{}
	for _, f := range o.Files {
		t.row(f.What, f.Name, f.Is)
	}
	end := "All belong together.\n"
	if i := slices.IndexFunc(o.Files, func(f papers.Found) bool { return f.Is == papers.Missing }); i >= 0 {
		end = fmt.Sprintf("Models and papers belong together. The recipe, %s, is not in the folder: whether it\nis the one they were made from was not checked.\n", o.Files[i].Name)
	}
	if o.bad {
		end = "These files do not belong together: see what is different or missing.\n"
	}
	return t.String() + end
}

func (r *run) checkPapers(c *cli.Context) *checked {
	out := &checked{answer: answer{Schema: "waxwright.papers-check.1"}}
	dir := c.Args().First()
	switch c.Args().Len() {
	case 0:
		dir = filepath.Dir(c.String("check"))
	case 1:
	default:
		out.err = wrong(c, "--check FILE.json DIR: one folder at a time")
		return out
	}
	if info, err := r.Disk.Stat(dir); err != nil || !info.IsDir() {
		out.err = wrong(c, "there is no folder %s", dir)
		return out
	}
	out.Files, out.err = papers.Check(r.Disk, c.String("check"), dir)
	if errors.Is(out.err, fs.ErrNotExist) {
		out.err = wrong(c, "there is no file %s", c.String("check"))
	}
	for _, f := range out.Files {
		if f.Is == papers.Different || f.Is == papers.Missing && f.What != "recipe" {
			out.bad = true
		}
	}
	return out
}
