package cli

import (
	"github.com/urfave/cli/v2"

	"waxwright/cmd/internal/bench"
)

func (r *run) benchVerb() *cli.Command {
	return &cli.Command{
		Name:      "bench",
		Usage:     "turn dials on a live page",
		ArgsUsage: "FILE [--port N] [--no-open]",
		UsageText: "waxwright bench marigold.hcl",
		Description: `Serves a page for the recipe on this machine alone, prints its address and opens
it in the browser: the piece in three dimensions, its dials, weights and
remarks. What is turned there is written to the recipe only by Save. The page
follows the file when it is changed elsewhere. Ctrl-C ends it.`,
		Flags: []cli.Flag{
			&cli.IntFlag{Name: "port", Usage: "serve on port `N`, any that is free unless given"},
			&cli.BoolFlag{Name: "no-open", Usage: "do not open the browser"},
		},
		Action: r.bench,
	}
}

func (r *run) bench(c *cli.Context) error {
	file, err := fileOf(c)
	if err != nil {
		return err
	}
	switch port := c.Int("port"); {
	case file == "" || file == "-":
		return wrong(c, "which recipe? Give a file")
	case port < 0 || port > 65535:
		return wrong(c, "--port %d: give 1 to 65535", port)
	}
	if _, err := r.source(c, file); err != nil {
		return err
	}
	return bench.Run(c.Context, bench.Options{
		File: file, Port: c.Int("port"), Open: !c.Bool("no-open"), Out: r.Out, Talk: r.Err,
	})
}
