// Package version says which version of the program this is.
package version

import (
	"fmt"
	"io"
	"runtime"
	"runtime/debug"

	"clapladder.example/cmd/clapladder/internal/naming"
)

// Release is set by the linker for a release; empty otherwise.
var Release = ""

// Of is the version of a release, otherwise what the build knows about its source.
func Of() string {
	if Release != "" {
		return Release
	}
	info, ok := debug.ReadBuildInfo()
	if ok && info.Main.Version != "" && info.Main.Version != "(devel)" {
		return info.Main.Version
	}
	return "development"
}

// Tool goes into reports: results of two versions need not be comparable.
func Tool() string { return naming.Program + " " + Of() }

// Write writes the version and what it was built for on one line.
func Write(w io.Writer) error {
	_, err := fmt.Fprintf(w, "%s (%s, %s/%s)\n", Tool(), runtime.Version(), runtime.GOOS, runtime.GOARCH)
	return err
}
