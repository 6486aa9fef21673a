package cli

import (
	_ "embed"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"strings"

	"github.com/urfave/cli/v2"
)

// starter is the recipe that new writes. Its title is TITLE.
//
//go:embed starter.hcl
var starter string

func (r *run) newVerb() *cli.Command {
	return &cli.Command{
		Name:      "new",
		Usage:     "write a starter recipe that makes at once",
		ArgsUsage: "NAME",
		UsageText: "waxwright new first-light",
		Description: `Writes NAME.hcl, a small pendant with one stone, full of remarks that teach. A
file that is there already is never overwritten.`,
		Action: r.new,
	}
}

func (r *run) new(c *cli.Context) error {
	if c.Args().Len() != 1 {
		return wrong(c, "one name is wanted")
	}
	file := strings.TrimSuffix(c.Args().First(), ".hcl") + ".hcl"
	name := strings.TrimSuffix(filepath.Base(file), ".hcl")
	if name == "" {
		return wrong(c, "%s is a folder: add a name, %s", c.Args().First(), quoted(filepath.Join(c.Args().First(), "first-light")))
	}
	if !isFileName(name) {
		return wrong(c, "%q is no name: letters, digits, blanks, - and _ make one", name)
	}
	title := strings.NewReplacer("-", " ", "_", " ").Replace(name)
	text := strings.Replace(starter, "TITLE", strings.TrimSpace(title), 1)
	f, err := r.Disk.Create(file)
	if errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("%s is there already and stays as it is: give another name", file)
	}
	if err != nil {
		return r.noPlace(filepath.Dir(file), err)
	}
	_, err = f.Write([]byte(text))
	if err == nil {
		err = f.Sync()
	}
	if closed := f.Close(); err == nil {
		err = closed
	}
	if err != nil {
		_ = r.Disk.Remove(file) // half a recipe is worse than none
		return fmt.Errorf("writing %s: %w", file, err)
	}
	return r.printf("Wrote %s. Next: waxwright make %s --out %s\n", file, quoted(file), quoted(strings.TrimSuffix(file, ".hcl")))
}

// noPlace says why no file can be made in a folder, and what to do.
func (r *run) noPlace(dir string, err error) error {
	info, gone := r.Disk.Stat(dir)
	switch {
	case errors.Is(gone, fs.ErrNotExist):
		return fmt.Errorf("there is no folder %s: make it first, or give a name without it", dir)
	case gone == nil && !info.IsDir():
		return fmt.Errorf("%s is a file, not a folder: give another name", dir)
	case errors.Is(err, fs.ErrPermission):
		return fmt.Errorf("the folder %s is closed to you: write to another", dir)
	}
	return err
}

// isFileName says whether a name is safe on every file system and in a recipe.
func isFileName(s string) bool {
	letter := false
	for _, r := range s {
		switch {
		case 'a' <= r && r <= 'z' || 'A' <= r && r <= 'Z' || '0' <= r && r <= '9':
			letter = true
		case r != '-' && r != '_' && r != ' ':
			return false
		}
	}
	return letter && len(s) <= 60
}

// quoted quotes a name for a shell if it has blanks in it.
func quoted(s string) string {
	if strings.Contains(s, " ") {
		return "'" + s + "'"
	}
	return s
}
