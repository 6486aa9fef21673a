package cli

import (
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"waxwright/solids/stock"
)

// overview is the help of the whole command.
func overview(app *cli.App) string {
	var s strings.Builder
	fmt.Fprintf(&s, "%s: %s\n\n", app.Name, app.Usage)
	fmt.Fprintf(&s, "  %s VERB FILE [flags]\n\n", app.Name)
	for _, c := range app.Commands {
		fmt.Fprintf(&s, "  %-12s%s\n", c.Name, c.Usage)
	}
	fmt.Fprintf(&s, "\n%s VERB --help says more. Flags may stand before and after the file.\n", app.Name)
	s.WriteString("Exit codes: 0 all is well, 1 the recipe or piece has faults, 2 a wrong call.\n")
	return s.String()
}

// usage writes how a verb is called, broken before flags.
func usage(c *cli.Command) string {
	const indent = "      "
	parts := strings.SplitAfter(c.ArgsUsage, " ")
	line := "  waxwright " + c.Name + " "
	var s strings.Builder
	for i := 0; i < len(parts); {
		n := i + 1 // a flag and its value stay together
		for n < len(parts) && !strings.HasPrefix(parts[n], "[") && !strings.HasPrefix(parts[n], "|") {
			n++
		}
		part := strings.Join(parts[i:n], "")
		if len(line)+len(strings.TrimRight(part, " ")) > columns {
			s.WriteString(strings.TrimRight(line, " ") + "\n")
			line = indent
		}
		line, i = line+part, n
	}
	return s.String() + line + "\n"
}

// help is the help of one verb: what it does, how it is called, an example.
func help(c *cli.Command) string {
	var s strings.Builder
	fmt.Fprintf(&s, "waxwright %s: %s\n\n%s", c.Name, c.Usage, usage(c))
	if c.Description != "" {
		fmt.Fprintf(&s, "\n%s\n", strings.TrimSpace(c.Description))
	}
	if len(c.Flags) > 0 {
		s.WriteString("\n")
	}
	for _, f := range c.Flags {
		word := "--" + f.Names()[0]
		if _, ok := f.(*cli.BoolFlag); !ok {
			word += " " + placeholder(f)
		}
		about := f.(cli.DocGenerationFlag).GetUsage()
		s.WriteString(hang(fmt.Sprintf("  %-20s", word), strings.ReplaceAll(about, "`", "")))
	}
	if find(c.Flags, "house") != nil {
		s.WriteString("\nHouses:\n\n")
		for i, name := range stock.HouseNames() {
			about := stock.AboutHouse(name)
			if i == 0 {
				about += "; holds unless recipe or call name another"
			}
			s.WriteString(hang(fmt.Sprintf("  %-20s", name), about))
		}
		s.WriteString(hang(fmt.Sprintf("  %-20s", "FILE.hcl"), "your caster's own limits, in a house block"))
	}
	fmt.Fprintf(&s, "\nExample:\n\n  %s\n", c.UsageText)
	return s.String()
}
