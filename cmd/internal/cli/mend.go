package cli

import (
	"errors"
	"fmt"
	"path/filepath"

	"github.com/urfave/cli/v2"

	"waxwright/recipes/build"
	"waxwright/recipes/lang"
	"waxwright/recipes/proof"
	"waxwright/recipes/vary"
)

// mended is what prove --mend has to say beside the proof.
type mended struct {
	Cures    []vary.Cure   `json:"cures"`
	Diff     string        `json:"diff"`
	Grams    float64       `json:"grams"` // of metal that the cures add
	Fails    int           `json:"fails"` // that are left with them
	Cautions int           `json:"cautions"`
	Written  bool          `json:"written"`
	After    *proof.Report `json:"after"` // the proof of the recipe with them
	file     string
}

func (m *mended) text() string {
	if m.Diff == "" && len(m.Cures) == 0 {
		return "\nThere is nothing to mend.\n"
	}
	if m.Diff == "" {
		return "\nNo cure was found; there is nothing to write.\n"
	}
	end := fmt.Sprintf("Nothing was written: --write puts this into %s.", m.file)
	if m.Written {
		end = fmt.Sprintf("Written to %s.", m.file)
	}
	return fmt.Sprintf("\nMENDED\n%s\nWith this the proof has %s and %s. %s\n",
		m.Diff, proof.Counted(m.Fails, "fail"), proof.Counted(m.Cautions, "caution"), end)
}

// mend proves a recipe and looks for cures, and writes them if the call says so.
func (r *run) mend(c *cli.Context, file string, o vary.Options, out *proved) error {
	write := c.Bool("write")
	set, err := settings(c)
	switch {
	case err != nil:
		return err
	case file == "":
		return wrong(c, "which recipe? Give a file")
	case write && file == "-":
		return wrong(c, "--write: a recipe from standard input has no file to write to")
	case write && len(set) > 0:
		return wrong(c, "--write with --set: what is set is not in the recipe; write it there first")
	}
	src, err := r.source(c, file)
	if err != nil {
		return err
	}
	meter := r.meter("")
	defer meter.end()
	meter.about("proving " + file)
	o.Progress = meter.step
	o.Seeking = func(key string) { meter.about("a cure for " + key) }
	m, err := vary.Mend(c.Context, vary.Case{Src: src, Name: file, Set: set}, o)
	if faults := (lang.Diags)(nil); errors.As(err, &faults) {
		out.Remarks = faults
		return nil
	} else if err != nil {
		return err
	}
	out.Proof = m.Before
	out.Mended = &mended{
		Cures: m.Cures, Diff: vary.Diff(filepath.ToSlash(file), src, m.Src), Grams: m.Grams,
		Fails: m.After.Count(proof.Fail), Cautions: m.After.Count(proof.Caution), After: m.After, file: file,
	}
	if !write || out.Mended.Diff == "" {
		return nil
	}
	if err := build.Replace(r.Disk, file, src, m.Src); err != nil {
		return err
	}
	out.Mended.Written = true
	return nil
}
