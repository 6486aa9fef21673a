package cli

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"waxwright/recipes/lang"
)

// permute puts the flags of a call before its file names, since the library
// stops looking for flags at the first name and drops what follows without a
// word. It refuses what the verb does not know and values that are not what a
// flag takes, and says what was probably meant.
func permute(app *cli.App, args []string) ([]string, error) {
	if len(args) == 0 {
		return nil, nil
	}
	if args[0] == "help" { // help, help VERB
		args = append(slices.Clone(args[1:]), "--help")
	}
	verb, rest := args[0], args[1:]
	if strings.HasPrefix(verb, "-") {
		if wantsHelp(args) {
			return []string{"--help"}, nil
		}
		for _, a := range args {
			if slices.Contains(verbs(app), a) {
				return nil, wrongCall{fmt.Sprintf("flags stand after the verb: waxwright %s %s ...", a, verb), ""}
			}
		}
		flags, names, err := split("", app.Flags, args)
		if err == nil && len(names) > 0 {
			err = noVerb(app, names[0])
		}
		return flags, err
	}
	c := app.Command(verb)
	if c == nil {
		return nil, noVerb(app, verb)
	}
	if wantsHelp(rest) {
		return []string{verb, "--help"}, nil
	}
	flags, names, err := split(verb, c.Flags, rest)
	if err != nil {
		return nil, err
	}
	return slices.Concat([]string{verb}, flags, []string{"--"}, names), nil
}

func noVerb(app *cli.App, name string) error {
	return wrongCall{fmt.Sprintf("there is no verb %q%s", name, perhaps(name, verbs(app))), ""}
}

// wantsHelp says whether a call asks for help: that wins over all else in it.
func wantsHelp(args []string) bool {
	for _, a := range args {
		switch a {
		case "--":
			return false
		case "--help", "-help", "-h":
			return true
		}
	}
	return false
}

// split parts flags with their values from names.
func split(verb string, known []cli.Flag, args []string) (flags, names []string, err error) {
	for i := 0; i < len(args); i++ {
		arg := args[i]
		if arg == "--" {
			return flags, append(names, args[i+1:]...), nil
		}
		if len(arg) < 2 || arg[0] != '-' {
			names = append(names, arg)
			continue
		}
		word, value, given := strings.Cut(strings.TrimLeft(arg, "-"), "=")
		f := find(known, word)
		if f == nil {
			return nil, nil, wrongCall{fmt.Sprintf("there is no flag --%s%s", word, perhaps("--"+word, flagNames(known))), verb}
		}
		if _, ok := f.(*cli.BoolFlag); ok {
			flags = append(flags, "--"+strings.TrimLeft(arg, "-"))
			continue
		}
		if !given {
			if i+1 == len(args) || isFlag(known, args[i+1]) {
				return nil, nil, wrongCall{fmt.Sprintf("--%s needs a value: --%s %s", word, word, placeholder(f)), verb}
			}
			i++
			value = args[i]
		}
		if problem := misfit(f, value); problem != "" {
			return nil, nil, wrongCall{fmt.Sprintf("--%s %s: %s", word, value, problem), verb}
		}
		flags = append(flags, "--"+word+"="+value)
	}
	return flags, names, nil
}

// misfit says why a flag can't take a value, "" if it can.
func misfit(f cli.Flag, value string) string {
	switch f.(type) {
	case *cli.Float64Flag:
		if _, err := strconv.ParseFloat(value, 64); err != nil {
			return "a plain number is wanted"
		}
	case *cli.IntFlag:
		if _, err := strconv.Atoi(value); err != nil {
			return "a whole number is wanted"
		}
	}
	return ""
}

// isFlag says whether an argument is one of the verb's flags, and no value.
func isFlag(known []cli.Flag, arg string) bool {
	word, _, _ := strings.Cut(strings.TrimLeft(arg, "-"), "=")
	return len(arg) > 2 && arg[:2] == "--" && (find(known, word) != nil || word == "help")
}

// find returns the flag of that name, or nil.
func find(known []cli.Flag, word string) cli.Flag {
	for _, f := range known {
		if slices.Contains(f.Names(), word) {
			return f
		}
	}
	return nil
}

// flagNames lists the names of flags.
func flagNames(known []cli.Flag) []string {
	var names []string
	for _, f := range known {
		names = append(names, "--"+f.Names()[0])
	}
	return append(names, "--help")
}

// verbs lists the names of all verbs.
func verbs(app *cli.App) []string {
	var names []string
	for _, c := range app.Commands {
		names = append(names, c.Name)
	}
	return names
}

// perhaps writes what a misspelt word may have meant, else what there is.
func perhaps(word string, known []string) string {
	if near := lang.Nearest(word, known); near != "" {
		return fmt.Sprintf(": did you mean %s?", near)
	}
	return ": there are " + strings.Join(known, ", ")
}

// placeholder is the word for a flag's value: what stands in back quotes in its
// usage.
func placeholder(f cli.Flag) string {
	if d, ok := f.(cli.DocGenerationFlag); ok {
		if _, after, ok := strings.Cut(d.GetUsage(), "`"); ok {
			word, _, _ := strings.Cut(after, "`")
			return word
		}
	}
	return "VALUE"
}
