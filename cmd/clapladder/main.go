// Command clapladder grades clap phrases, listens to a recorded call-and-response warm-up, and says
// which tier of a leader's repertoire the group in the room can handle.
//
// This package is the command line as a whole: cli.go lists the commands, run.go reads a command line
// and turns errors into exit statuses. The commands themselves are in internal/commands, by subject;
// what they have in common is in internal/console (files, output, settings), internal/logbook (the log
// of groups), internal/fault (errors) and internal/naming (names for people). The tests here run the
// whole program.
package main

import (
	"context"
	"os"
	"os/signal"
	"runtime/debug"
	"syscall"
)

func main() {
	if os.Getenv("GOGC") == "" {
		// an hour's recording keeps tens of megabytes: twice that would crowd an old laptop
		debug.SetGCPercent(25)
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop) // a second signal ends the program at once
	os.Exit(run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr, os.Getenv))
}
