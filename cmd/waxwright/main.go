// Command waxwright turns recipes for stone-set metalwork into castable models.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"

	"golang.org/x/term"

	"waxwright/cmd/internal/cli"
	"waxwright/recipes/build"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop) // a second Ctrl-C ends the process at once
	screen := int(os.Stderr.Fd())
	width, _, _ := term.GetSize(screen)
	os.Exit(cli.Main(ctx, os.Args[1:], cli.World{
		In: os.Stdin, Out: os.Stdout, Err: os.Stderr,
		Disk:     build.OS{},
		Getenv:   os.Getenv,
		Terminal: term.IsTerminal(screen),
		Width:    width,
	}))
}
