package calls

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"clapladder.example/assess/demo"
	"clapladder.example/assess/view"
	"clapladder.example/cmd/clapladder/internal/atomicfile"
	"clapladder.example/cmd/clapladder/internal/console"
	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/cmd/clapladder/internal/helptext"
	"clapladder.example/cmd/clapladder/internal/naming"
	"clapladder.example/patterns/bank"
)

// Demo is the command that writes a made-up warm-up.
type Demo struct {
	Folder string `arg:"" optional:"" default:"clapladder-demo" help:"${demo_folder}"`
	Force  bool   `short:"f" help:"Replace files that are there already."`
}

var demoHelp = helptext.Texts{
	"demo_folder": "Folder to write to; it is made where there is none. Default: " +
		"clapladder-demo.",
}

// Help is shown below the summary.
func (*Demo) Help() string {
	return `The recording is made up: a leader, eighteen people, a shed that rings, talk, and a
phone. The group is the lunch-hour clapping group of a boatyard that does not exist.

Examples:

    clapladder demo
    clapladder demo /tmp/try`
}

// The files of the demo.
const (
	demoRecording  = "warm-up.wav"
	demoBank       = "bank.toml"
	demoRepertoire = "repertoire.toml"
)

func (c *Demo) Run(con *console.Console) error {
	if err := os.MkdirAll(c.Folder, 0o755); err != nil {
		return fmt.Errorf("making the folder %s: %w", c.Folder, fault.Plain(err))
	}
	for _, file := range []string{demoRecording, demoBank, demoRepertoire} { // all or nothing
		if _, err := os.Lstat(filepath.Join(c.Folder, file)); err == nil && !c.Force {
			return isThere(filepath.Join(c.Folder, file))
		}
	}
	if err := con.Ctx.Err(); err != nil {
		return err
	}
	recording, err := demo.WarmUp()
	if err != nil {
		return fmt.Errorf("making the recording: %w", err)
	}
	called, err := bank.Load(demoBank, []byte(demo.BankText()))
	if err != nil {
		return err
	}
	files := []struct {
		name, about string
		fill        func(io.Writer) error
	}{
		{demoRecording, fmt.Sprintf("a warm-up of %s with %d people",
			durationWords(recording.Duration), recording.People), recording.WriteWAV},
		{demoBank, view.Count(len(called.Entries), "phrase") + " that the leader calls", func(w io.Writer) error {
			_, err := io.WriteString(w, demo.BankText())
			return err
		}},
		{demoRepertoire, view.Count(len(bank.StarterRepertoire().Pieces), "piece") +
			" to play afterwards", func(w io.Writer) error {
			_, err := w.Write(bank.StarterRepertoireText())
			return err
		}},
	}
	mode := atomicfile.KeepExisting
	if c.Force {
		mode = atomicfile.Replace
	}
	for _, f := range files {
		if err := con.Ctx.Err(); err != nil {
			return err
		}
		path := filepath.Join(c.Folder, f.name)
		err := atomicfile.Write(path, mode, f.fill)
		if errors.Is(err, atomicfile.ErrExists) {
			return isThere(path)
		}
		if err != nil {
			return err
		}
		fmt.Fprintf(con.Stdout, "%s  %s\n", naming.Display(path), f.about)
	}
	fmt.Fprintf(con.Stdout, "\nNow listen to it, and then:\n\n    %s score %s --bank %s "+
		"--repertoire %s\n", naming.Program,
		naming.ShellWord(filepath.Join(c.Folder, demoRecording)),
		naming.ShellWord(filepath.Join(c.Folder, demoBank)),
		naming.ShellWord(filepath.Join(c.Folder, demoRepertoire)))
	return nil
}

func isThere(path string) error {
	return fmt.Errorf("%s is there already; choose another folder, or add --force to replace it", path)
}

func durationWords(seconds float64) string {
	return fmt.Sprintf("%d:%02d minutes", int(seconds)/60, int(seconds)%60)
}
