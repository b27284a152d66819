package phrases

import (
	"bytes"
	"fmt"

	"github.com/aymanbagabas/go-udiff"

	"clapladder.example/cmd/clapladder/internal/atomicfile"
	"clapladder.example/cmd/clapladder/internal/console"
	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/cmd/clapladder/internal/naming"
	"clapladder.example/patterns/bank"
)

// Respace is the command that puts spacing in order.
type Respace struct {
	Files   []string `arg:"" help:"Banks or repertoires in TOML; - for standard input."`
	InPlace bool     `help:"Write the result back into the files instead of to standard output."`
	Changes bool     `help:"Show what would change, and write nothing."`
}

// Help is shown below the summary.
func (*Respace) Help() string {
	return `Puts spacing in order: one space between beats and around bar lines, comments lined
up, an empty line before each phrase. Comments, order and values stay.

Examples:

    clapladder respace my-bank.toml
    clapladder respace --changes my-bank.toml my-pieces.toml
    clapladder respace --in-place my-bank.toml`
}

func (c *Respace) Run(con *console.Console) error {
	if c.InPlace && c.Changes {
		return fault.Usage("give --in-place or --changes, not both")
	}
	for _, path := range c.Files {
		old, err := con.ReadAll(path)
		if err != nil {
			return err
		}
		text, err := bank.FormatTOML(naming.Display(path), old)
		if err != nil {
			return err
		}
		if err := c.put(con, path, old, text); err != nil {
			return err
		}
	}
	return nil
}

func (c *Respace) put(con *console.Console, path string, old, text []byte) error {
	switch {
	case c.Changes:
		con.Out(udiff.Unified(naming.Display(path), naming.Display(path), string(old), string(text)))
		return nil
	case !c.InPlace || path == naming.Standard:
		_, err := con.Stdout.Write(text)
		return err
	case bytes.Equal(old, text):
		return nil
	}
	if err := atomicfile.WriteText(path, text); err != nil {
		return err
	}
	con.Note(fmt.Sprintf("respaced %s", path))
	return nil
}
