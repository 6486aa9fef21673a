package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// TestReadme runs every command that the README shows, in their order, and
// makes the recipe that it prints.
func TestReadme(t *testing.T) {
	text, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	if err := os.CopyFS(filepath.Join(dir, "examples"), os.DirFS("../../examples")); err != nil {
		t.Fatal(err)
	}
	ran := 0
	for _, block := range regexp.MustCompile("(?s)```(\\w+)\n(.*?)```").FindAllStringSubmatch(string(text), -1) {
		switch block[1] {
		case "sh":
			for line := range strings.Lines(block[2]) {
				line = strings.TrimSpace(strings.Replace(line, "go run ./cmd/waxwright", "waxwright", 1))
				if line == "go test ./..." { // this is it
					continue
				}
				if err := call(dir, strings.Fields(line)...); err != nil {
					t.Errorf("%s: %v", line, err)
				}
				ran++
			}
		case "hcl":
			if err := os.WriteFile(filepath.Join(dir, "readme.hcl"), []byte(block[2]), 0o666); err != nil {
				t.Fatal(err)
			}
			if err := call(dir, "waxwright", "make", "readme.hcl", "--out", "readme"); err != nil {
				t.Errorf("the recipe: %v", err)
			}
			ran++
		}
	}
	if ran < 6 {
		t.Errorf("only %d commands were found", ran)
	}
	for _, link := range regexp.MustCompile(`\]\(([^):]+)\)`).FindAllStringSubmatch(string(text), -1) {
		if _, err := os.Stat(filepath.Join("../..", link[1])); err != nil {
			t.Errorf("README points to %s: %v", link[1], err)
		}
	}
	for _, made := range []string{"out/marigold-pendant.3mf", "models/first-light-disc.stl", "first-light.png"} {
		if _, err := os.Stat(filepath.Join(dir, made)); err != nil {
			t.Error(err)
		}
	}
}

// call runs a command in a folder; what it says is part of the error.
func call(dir string, args ...string) error {
	c := exec.Command(args[0], args[1:]...)
	c.Dir = dir
	var talk strings.Builder
	c.Stderr = &talk
	if err := c.Run(); err != nil {
		return fmt.Errorf("%w\n%s", err, talk.String())
	}
	return nil
}
