package console

import (
	"io"
	"os"

	"clapladder.example/cmd/clapladder/internal/atomicfile"
	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/cmd/clapladder/internal/naming"
)

// Target is a result that the command line may ask for.
type Target struct {
	Path string // a file, [standard], or empty where it is not asked for
	Fill func(io.Writer) error
}

// WriteTarget writes a result to its file or to standard output. inputs are files that must not be
// overwritten.
func (con *Console) WriteTarget(t Target, inputs ...string) error {
	switch t.Path {
	case "":
		return nil
	case naming.Standard:
		return t.Fill(con.Stdout)
	}
	return con.WriteFile(t.Path, inputs, t.Fill)
}

// WritePages writes what is asked for and opens the page where it is to be looked at.
func (con *Console) WritePages(targets []Target, open bool, page string, inputs ...string) error {
	for _, t := range targets {
		if err := con.WriteTarget(t, inputs...); err != nil {
			return err
		}
	}
	if !open {
		return nil
	}
	return con.OpenPage(page)
}

// WriteFile writes a result to a file and says so on standard error. An older result is replaced,
// an input is not.
func (con *Console) WriteFile(path string, inputs []string, fill func(io.Writer) error) error {
	if err := CheckOverwrite(path, inputs); err != nil {
		return err
	}
	if err := atomicfile.Write(path, atomicfile.Replace, fill); err != nil {
		return err
	}
	con.Note("wrote " + path)
	return nil
}

// CheckOverwrite refuses to write a file that is read.
func CheckOverwrite(path string, inputs []string) error {
	info, err := os.Stat(path)
	if err != nil {
		return nil
	}
	for _, input := range inputs {
		if other, err := os.Stat(input); err == nil && os.SameFile(info, other) {
			return fault.Usage("%s is read by this command; write to another file", path)
		}
	}
	return nil
}
