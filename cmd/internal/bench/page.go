package bench

import (
	"bytes"
	"context"
	"embed"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"runtime/debug"
)

// built is the page as it was when the command was built; it may be missing.
//
//go:embed all:dist
var built embed.FS

// needed are the files without which there is no page.
var needed = []string{"index.html", "app.js", "app.css"}

// complete says whether a folder holds a page.
func complete(dir fs.FS) bool {
	for _, name := range needed {
		if info, err := fs.Stat(dir, name); err != nil || info.IsDir() {
			return false
		}
	}
	return true
}

// findPage returns the files of the page: those in the command itself; else, in
// a source tree, those that were built there, after building them if need be.
func findPage(ctx context.Context, talk io.Writer) (fs.FS, error) {
	if inside, err := fs.Sub(built, "dist"); err == nil && complete(inside) {
		return inside, nil
	}
	source := sourceTree()
	if source == "" {
		return nil, errors.New("this waxwright was built without its page: build it from its sources with node and npm, " +
			"by go generate ./cmd/internal/bench and then go install ./cmd/waxwright")
	}
	dist := os.DirFS(filepath.Join(source, "dist"))
	if complete(dist) {
		return dist, nil
	}
	if err := buildPage(ctx, filepath.Join(source, "page"), talk); err != nil {
		return nil, err
	}
	if !complete(dist) {
		return nil, fmt.Errorf("building the page gave no %v in %s", needed, filepath.Join(source, "dist"))
	}
	return dist, nil
}

// buildPage builds the page from its sources.
func buildPage(ctx context.Context, dir string, talk io.Writer) error {
	for _, tool := range []string{"node", "npm"} {
		if _, err := exec.LookPath(tool); err != nil {
			return fmt.Errorf("the page is not built yet, and %s is not installed: install node (with npm), or use a waxwright that has its page built in", tool)
		}
	}
	fmt.Fprintln(talk, "building the page, this once: npm fetches three and esbuild, some 20 MB ...")
	for _, call := range [][]string{
		{"npm", "install", "--omit=dev", "--no-package-lock", "--no-audit", "--no-fund"},
		{"node", "build.mjs"},
	} {
		var said bytes.Buffer
		c := exec.CommandContext(ctx, call[0], call[1:]...)
		c.Dir, c.Stdout, c.Stderr = dir, &said, &said
		if err := c.Run(); err != nil {
			if ctx.Err() != nil {
				return ctx.Err()
			}
			return fmt.Errorf("building the page: %s %s: %w\n%s", call[0], call[1], err, tail(said.Bytes(), 2000))
		}
	}
	return nil
}

// tail returns the end of what a tool said.
func tail(b []byte, most int) []byte {
	b = bytes.TrimSpace(b)
	if len(b) > most {
		b = b[len(b)-most:]
	}
	return b
}

// sourceTree returns the folder of this package's sources, if they are on this
// machine and of this module: where the compiler found them, else under the
// working folder.
func sourceTree() string {
	var candidates []string
	if _, file, _, ok := runtime.Caller(0); ok && filepath.IsAbs(file) {
		candidates = append(candidates, filepath.Dir(file))
	}
	if here, err := os.Getwd(); err == nil {
		for up := here; ; up = filepath.Dir(up) {
			candidates = append(candidates, filepath.Join(up, "cmd", "internal", "bench"))
			if filepath.Dir(up) == up {
				break
			}
		}
	}
	for _, dir := range candidates {
		if _, err := os.Stat(filepath.Join(dir, "page", "build.mjs")); err != nil {
			continue
		}
		mod, err := os.ReadFile(filepath.Join(dir, "..", "..", "..", "go.mod"))
		if err == nil && bytes.HasPrefix(mod, []byte("module "+module()+"\n")) {
			return dir
		}
	}
	return ""
}

// module is the path of the module that this is built from.
func module() string {
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Path != "" {
		return info.Main.Path
	}
	return "waxwright"
}
