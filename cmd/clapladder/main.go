// Command clapladder grades clap phrases, listens to a recorded call-and-response warm-up, and says
// which tier of a leader's repertoire the group in the room can handle.
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
