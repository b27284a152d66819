package main

import (
	"bytes"
	"fmt"
	"io"

	"github.com/aymanbagabas/go-udiff"

	"clapladder.example/cmd/clapladder/internal/atomicfile"
	"clapladder.example/patterns/bank"
)

type respaceCommand struct {
	Files   []string `arg:"" help:"Banks or repertoires in TOML; - for standard input."`
	InPlace bool     `help:"Write the result back into the files instead of to standard output."`
	Changes bool     `help:"Show what would change, and write nothing."`
}

// Help is shown below the summary.
func (*respaceCommand) Help() string {
	return `Puts spacing in order: one space between beats and around bar lines, comments lined
up, an empty line before each phrase. Comments, order and values stay.

Examples:

    clapladder respace my-bank.toml
    clapladder respace --changes my-bank.toml my-pieces.toml
    clapladder respace --in-place my-bank.toml`
}

func (c *respaceCommand) Run(a *app) error {
	if c.InPlace && c.Changes {
		return wrongUsage("give --in-place or --changes, not both")
	}
	for _, path := range c.Files {
		old, err := a.readAll(path)
		if err != nil {
			return err
		}
		text, err := bank.FormatTOML(displayName(path), old)
		if err != nil {
			return err
		}
		if err := c.put(a, path, old, text); err != nil {
			return err
		}
	}
	return nil
}

func (c *respaceCommand) put(a *app, path string, old, text []byte) error {
	switch {
	case c.Changes:
		a.out(udiff.Unified(displayName(path), displayName(path), string(old), string(text)))
		return nil
	case !c.InPlace || path == standard:
		_, err := a.stdout.Write(text)
		return err
	case bytes.Equal(old, text):
		return nil
	}
	if err := atomicfile.Write(path, atomicfile.Replace, func(w io.Writer) error {
		_, err := w.Write(text)
		return err
	}); err != nil {
		return err
	}
	a.note(fmt.Sprintf("respaced %s", path))
	return nil
}
