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
	"runtime"
	"runtime/debug"
	"syscall"
)

func main() {
	var spare []byte
	if os.Getenv("GOGC") == "" {
		// Never touched, spare takes no memory; but the collector counts it, and lets the heap grow by
		// 8 MB and a tenth of what is in use before it looks again. By a tenth alone it would look all
		// the time; by as much as is in use, hours of recording would crowd an old laptop.
		debug.SetGCPercent(10)
		spare = make([]byte, 80<<20)
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop) // a second signal ends the program at once
	status := run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr, os.Getenv)
	runtime.KeepAlive(spare)
	os.Exit(status)
}
