package main

import (
	"os"

	"clapladder.example/cmd/clapladder/internal/version"
)

// asProgram in the environment turns the test program into the command, so that signals, pipes and
// limits meet a real process. Its value is the largest file in bytes that the process may write, or
// 0.
const asProgram = "CLAPLADDER_TEST_AS_PROGRAM"

func becomeProgram() {
	limitFiles(os.Getenv(asProgram))
	version.Release = "test"
	main()
}
