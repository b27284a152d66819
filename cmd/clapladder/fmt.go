package main

import (
	"bytes"
	"fmt"
	"io"

	"clapladder.example/cmd/clapladder/internal/atomicfile"
	"clapladder.example/cmd/clapladder/internal/diff"
	"clapladder.example/patterns/bank"
)

type fmtCommand struct {
	Files []string `arg:"" help:"Banks or repertoires in TOML; - for standard input."`
	Write bool     `short:"w" help:"Write the files instead of standard output."`
	Diff  bool     `short:"d" help:"Show what would change instead."`
}

// Help is shown below the summary.
func (*fmtCommand) Help() string {
	return `Puts spacing in order: one space between beats and around bar lines, comments lined up, an empty line before each phrase. Comments, order and values stay.

Examples:

    clapladder fmt my-bank.toml
    clapladder fmt -d my-bank.toml my-pieces.toml
    clapladder fmt -w my-bank.toml`
}

func (c *fmtCommand) Run(a *app) error {
	if c.Write && c.Diff {
		return wrongUsage("give --write or --diff, not both")
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

func (c *fmtCommand) put(a *app, path string, old, text []byte) error {
	switch {
	case c.Diff:
		a.out(diff.Unified(displayName(path), string(old), string(text)))
		return nil
	case !c.Write || path == standard:
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
	a.note(fmt.Sprintf("formatted %s", path))
	return nil
}
