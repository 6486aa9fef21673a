package cli

import (
	"bytes"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"waxwright/geom/stl"
	"waxwright/geom/threemf"
	"waxwright/recipes/build"
	"waxwright/recipes/piece"
	"waxwright/recipes/proof"
	"waxwright/recipes/vary"
	"waxwright/solids/stock"
)

func (r *run) proveVerb() *cli.Command {
	return &cli.Command{
		Name:      "prove",
		Usage:     "judge a piece before money is spent on it",
		ArgsUsage: "FILE.hcl|FILE.stl|FILE.3mf [--set DIAL=VALUE]... [--house NAME|FILE.hcl] [--only GROUP] [--mend [--write]] [--json]",
		UsageText: "waxwright prove marigold.hcl --house strict",
		Description: `Looks at a piece as a caster, a setter and a wearer would, and remarks on what
it finds: fails (do not send), cautions (decide), notes (know), and what was
not checked. Of a model file it judges the mesh and the metal: of a 3MF file of its
own each part by the limit for it, of any other all by that for a plate. Exit code 0
without fails, 1 with.

With --mend it looks for cures: for each fail and caution the least change of one
number in the recipe, or of a dial, after which it is gone and nothing else is
worse. It models the piece once for each number that it tries, which takes as
many times as long, prints what would change, and writes nothing. With --write
the numbers are put into the recipe, and nothing else of it changes; the exit
code then tells of the recipe as it was left.`,
		Flags: []cli.Flag{
			setFlag(),
			houseFlag(),
			&cli.StringSliceFlag{Name: "only", Usage: "ask only the checks of `GROUP`: mesh, metal, stones or wearing; may be repeated"},
			&cli.BoolFlag{Name: "mend", Usage: "look for the numbers that cure it"},
			&cli.BoolFlag{Name: "write", Usage: "with --mend: write them into the recipe"},
			toleranceFlag(fmt.Sprintf("model and true surface differ by `MM` at most, %g unless given", build.DefaultTol)),
			workersFlag(),
			jsonFlag(),
		},
		Action: func(c *cli.Context) error { return r.reply(c, r.prove(c)) },
	}
}

// proved is what prove has to say.
type proved struct {
	answer
	Proof  *proof.Report `json:"proof,omitempty"`
	Mended *mended       `json:"mended,omitempty"`
}

func (o *proved) text() string {
	if o.Proof == nil {
		return ""
	}
	var s strings.Builder
	_ = o.Proof.Print(&s) // into memory: it can't fail
	if o.Mended != nil {
		s.WriteString(o.Mended.text())
	}
	return s.String()
}

// fails counts those of the recipe as it is left.
func (o *proved) fails() int {
	switch {
	case o.Proof == nil:
		return 0
	case o.Mended != nil && o.Mended.Written:
		return o.Mended.Fails
	}
	return o.Proof.Count(proof.Fail)
}

func (r *run) prove(c *cli.Context) *proved {
	out := &proved{answer: answer{Schema: "waxwright.prove.2"}}
	out.err = r.judge(c, out)
	out.bad = out.err == nil && out.fails() > 0
	return out
}

// houseOf returns the options of a proof with the house of the call: a named one,
// or a file of one's own, whose faults are among the remarks.
func (r *run) houseOf(c *cli.Context, a *answer) (proof.Options, error) {
	o := proof.Options{House: c.String("house")}
	if strings.EqualFold(filepath.Ext(o.House), ".hcl") {
		src, err := r.source(c, o.House)
		if err != nil {
			return o, err
		}
		own, diags := piece.ReadHouse(src, o.House)
		a.Remarks = append(a.Remarks, diags...)
		if own == nil {
			return o, nil // the faults have said so
		}
		o.House, o.Own = "", own
	}
	if o.House != "" && !slices.Contains(stock.HouseNames(), o.House) {
		return o, wrong(c, "--house %s%s", o.House, perhaps(o.House, stock.HouseNames()))
	}
	return o, nil
}

// judge proves the file of the call.
func (r *run) judge(c *cli.Context, out *proved) error {
	o, err := r.houseOf(c, &out.answer)
	if err != nil || out.Remarks.Faulty() {
		return err
	}
	for _, g := range c.StringSlice("only") {
		if !slices.Contains(proof.Groups, proof.Group(g)) {
			names := make([]string, len(proof.Groups))
			for i, k := range proof.Groups {
				names[i] = string(k)
			}
			return wrong(c, "--only %s%s", g, perhaps(g, names))
		}
		o.Only = append(o.Only, proof.Group(g))
	}
	file, err := fileOf(c)
	if err != nil {
		return err
	}
	if c.Bool("write") && !c.Bool("mend") {
		return wrong(c, "--write goes with --mend")
	}
	switch strings.ToLower(filepath.Ext(file)) {
	case ".stl", ".3mf":
		if c.Bool("mend") {
			return wrong(c, "--mend: a model file has no numbers to change; give the recipe")
		}
		lumps, err := r.lumps(c, file)
		if err != nil {
			return err
		}
		out.Proof, err = proof.ProveFile(c.Context, lumps, o)
		return err
	}
	tol, err := tolerance(c, build.DefaultTol)
	if err != nil {
		return err
	}
	if c.Bool("mend") {
		return r.mend(c, file, vary.Options{Proof: o, Tol: tol, Workers: c.Int("workers")}, out)
	}
	m, err := r.model(c, &out.answer, tol, piece.ForCasting)
	if err != nil || m == nil {
		return err
	}
	out.Remarks = nil // the mesh group says the same, graded
	out.Proof, err = proof.Prove(c.Context, m, o)
	return err
}

// lumps reads the meshes of a model file.
func (r *run) lumps(c *cli.Context, file string) ([]proof.Lump, error) {
	f, err := r.Disk.Open(file)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	var data bytes.Buffer
	n, err := data.ReadFrom(f)
	if err != nil {
		return nil, fmt.Errorf("reading %s: %w", file, err)
	}
	in := bytes.NewReader(data.Bytes())
	if strings.EqualFold(filepath.Ext(file), ".stl") {
		m, err := stl.Read(in, n, stl.Limits{})
		if err != nil {
			return nil, fmt.Errorf("%s: %w", file, err)
		}
		return []proof.Lump{{Name: filepath.Base(file), Mesh: m}}, nil
	}
	model, err := threemf.Read(in, n, threemf.Limits{})
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	tol, scale := build.Told(model)
	var all []proof.Lump
	for _, o := range model.Objects {
		all = append(all, proof.Lump{Name: o.Name, Mesh: o.Mesh, Parts: o.Parts, Tol: tol, Scale: scale})
	}
	return all, nil
}
