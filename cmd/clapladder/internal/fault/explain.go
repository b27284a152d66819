package fault

import (
	"context"
	"errors"
	"strings"

	"clapladder.example/cmd/clapladder/internal/naming"
	"clapladder.example/patterns/bank"
	"clapladder.example/rhythm"
)

// Explain is what people read about an error, with the exit status it means. It is one line, and
// for a wrong command line a second one that says where to look.
func Explain(err error) (string, int) {
	line := naming.Program + ": " + naming.Harmless(OneLine(err.Error())) + "\n"
	if e, ok := errors.AsType[statusError](err); ok {
		return line, e.ExitStatus()
	}
	if usage, ok := errors.AsType[*UsageError](err); ok {
		command := strings.TrimRight(naming.Program+" "+usage.Command, " ")
		return line + "Try: " + command + " --help\n", ExitUsage
	}
	switch {
	case errors.Is(err, context.Canceled):
		return naming.Program + ": stopped\n", ExitFailed
	case IsInput(err):
		if file, ok := errors.AsType[*bank.FileError](err); ok && len(file.Problems) > 1 {
			path := naming.ShellWord(file.Name)
			if file.Name == naming.StandardInput {
				path = naming.Standard
			}
			line = strings.TrimSuffix(line, "\n") + "; to see them all: " + naming.Program +
				" check " + path + "\n"
		}
		return line + excerpt(err), ExitInput
	}
	return line, ExitFailed
}

// excerpt shows the place in a phrase that was given on the command line.
func excerpt(err error) string {
	notation, ok := errors.AsType[*rhythm.NotationError](err)
	if !ok {
		return ""
	}
	var b strings.Builder
	for line := range strings.Lines(notation.Excerpt()) {
		b.WriteString("    " + naming.Harmless(strings.TrimRight(line, "\n")) + "\n")
	}
	return b.String()
}

// OneLine puts a text on one line.
func OneLine(text string) string { return strings.Join(strings.Fields(text), " ") }
