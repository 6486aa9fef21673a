package cli

import (
	"fmt"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"waxwright/recipes/papers"
	"waxwright/recipes/piece"
	"waxwright/recipes/proof"
	"waxwright/solids/stock"
)

var shells = []string{"bash", "zsh", "fish"}

func (r *run) completionVerb() *cli.Command {
	return &cli.Command{
		Name:      "completion",
		Usage:     "print what a shell needs to complete calls",
		ArgsUsage: "bash|zsh|fish",
		UsageText: `source <(waxwright completion bash)      for bash, zsh the same way
  waxwright completion fish | source       for fish`,
		Action: func(c *cli.Context) error {
			shell := c.Args().First()
			if c.Args().Len() != 1 || !slices.Contains(shells, shell) {
				return wrong(c, "for which shell? %s", strings.Join(shells, ", "))
			}
			if shell == "fish" {
				return r.printf("%s", fish(c.App))
			}
			return r.printf("%s", bash(c.App, shell == "zsh"))
		},
	}
}

// choices are the words that a value may be, by verb and flag; the rest is files.
func choices(verb, flag string) []string {
	switch flag {
	case "view":
		return pictureViews
	case "for":
		return []string{"casting", "finished"}
	case "state":
		return []string{"set", "to-set"}
	case "house":
		return stock.HouseNames()
	case "paper":
		return papers.PaperNames()
	case "words":
		return piece.Kinds().Names()
	case "only":
		if verb == "papers" {
			return papers.SheetNames()
		}
		var names []string
		for _, g := range proof.Groups {
			names = append(names, string(g))
		}
		return names
	}
	return nil
}

// endings are those of the files that a verb reads.
func endings(verb string) []string {
	switch verb {
	case "prove":
		return []string{"hcl", "stl", "3mf"}
	case "papers":
		return []string{"hcl", "json"}
	}
	return []string{"hcl"}
}

// bash writes a completion function for bash, and for zsh by its bridge.
func bash(app *cli.App, zsh bool) string {
	var s strings.Builder
	if zsh {
		s.WriteString("autoload -U +X compinit && compinit\nautoload -U +X bashcompinit && bashcompinit\n")
	}
	s.WriteString(`_waxwright() {
  local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]} verb=${COMP_WORDS[1]}
  COMPREPLY=()
  if [ "$COMP_CWORD" -eq 1 ]; then
`)
	fmt.Fprintf(&s, "    COMPREPLY=($(compgen -W %q -- \"$word\"))\n    return\n  fi\n", strings.Join(verbs(app), " "))
	s.WriteString("  case \"$verb $before\" in\n")
	for _, c := range app.Commands {
		for _, f := range c.Flags {
			if words := choices(c.Name, f.Names()[0]); words != nil {
				fmt.Fprintf(&s, "    %q) COMPREPLY=($(compgen -W %q -- \"$word\")); return ;;\n",
					c.Name+" --"+f.Names()[0], strings.Join(words, " "))
			}
		}
	}
	s.WriteString("  esac\n  local flags=--help endings=hcl ending\n  case \"$verb\" in\n")
	for _, c := range app.Commands {
		var names []string
		for _, f := range c.Flags {
			names = append(names, "--"+f.Names()[0])
		}
		fmt.Fprintf(&s, "    %s) flags=%q endings=%q ;;\n", c.Name, strings.Join(append(names, "--help"), " "), strings.Join(endings(c.Name), " "))
	}
	fmt.Fprintf(&s, `  esac
  case "$verb" in completion) COMPREPLY=($(compgen -W %q -- "$word")); return ;; esac
  case "$word" in -*) COMPREPLY=($(compgen -W "$flags" -- "$word")); return ;; esac
  local files=$(for ending in $endings; do compgen -f -X "!*.$ending" -- "$word"; done; compgen -d -- "$word")
  local IFS=$'\n' # names may have blanks
  COMPREPLY=($files)
}
complete -o filenames -F _waxwright waxwright
`, strings.Join(shells, " "))
	return s.String()
}

// fish writes completions for fish.
func fish(app *cli.App) string {
	var s strings.Builder
	for _, c := range app.Commands {
		fmt.Fprintf(&s, "complete -c waxwright -n __fish_use_subcommand -f -a %s -d '%s'\n", c.Name, c.Usage)
	}
	for _, c := range app.Commands {
		seen := "'__fish_seen_subcommand_from " + c.Name + "'"
		for _, f := range c.Flags {
			rest := " -r"
			if _, ok := f.(*cli.BoolFlag); ok {
				rest = ""
			}
			if words := choices(c.Name, f.Names()[0]); words != nil {
				rest = " -x -a '" + strings.Join(words, " ") + "'"
			}
			usage := strings.ReplaceAll(f.(cli.DocGenerationFlag).GetUsage(), "`", "")
			fmt.Fprintf(&s, "complete -c waxwright -n %s -l %s%s -d '%s'\n", seen, f.Names()[0], rest, usage)
		}
	}
	fmt.Fprintf(&s, "complete -c waxwright -n '__fish_seen_subcommand_from completion' -f -a '%s'\n", strings.Join(shells, " "))
	return s.String()
}
