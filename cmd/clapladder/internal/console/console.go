// Package console is what commands have in common: they read files that people name, print for people
// and programs, write results without loss, show progress, and find what is set once for all.
package console

import (
	"bufio"
	"context"
	"io"

	"github.com/alecthomas/kong"

	"clapladder.example/assess/view"
	"clapladder.example/cmd/clapladder/internal/settings"
)

// Console is what commands work with. Command clapladder fills it in; it is not safe for concurrent
// use, but for the methods that open files.
type Console struct {
	Ctx    context.Context
	Stdin  io.Reader     // a read ends with the context
	Stdout *bufio.Writer // flushed by run
	Stderr io.Writer
	Env    func(string) string // the environment
	Style  view.Style          // of stdout
	Model  *kong.Application   // the command line as it is declared
	Live   bool                // progress may be shown on stderr
	Quiet  bool                // no notes
	Large  bool                // files may be beyond the usual limits
	Asks   bool                // a person sits at stdin and stdout

	Settings     settings.Settings
	SettingsPath string // empty where that can't be known
	SettingsErr  error  // why there are none
}
