package main

import (
	"fmt"
	"io"
	"runtime"
	"runtime/debug"

	"clapladder.example/assess/view"
	"clapladder.example/cmd/clapladder/internal/licences"
)

// version is set by the linker for a release.
var version = ""

// programVersion is the version of a release, otherwise what the build knows about its source.
func programVersion() string {
	if version != "" {
		return version
	}
	info, ok := debug.ReadBuildInfo()
	if ok && info.Main.Version != "" && info.Main.Version != "(devel)" {
		return info.Main.Version
	}
	return "development"
}

// tool goes into reports: results of two versions need not be comparable.
func tool() string { return name + " " + programVersion() }

type versionCommand struct {
	Licences bool `help:"Show the licence texts of everything that is linked in."`
	JSON     bool `help:"Write JSON."`
}

// Help is shown below the summary.
func (*versionCommand) Help() string {
	return `Results of two versions need not be comparable, so reports carry the version too.

Examples:

    clapladder version
    clapladder version --json
    clapladder version --licences`
}

func (c *versionCommand) Run(a *app) error {
	if c.Licences && c.JSON {
		return wrongUsage("give either --licences or --json, not both")
	}
	if c.Licences {
		return licences.Write(a.stdout)
	}
	if c.JSON {
		return view.JSON(a.stdout, map[string]string{
			"name": name, "version": programVersion(), "go": runtime.Version(),
			"platform": runtime.GOOS + "/" + runtime.GOARCH,
		})
	}
	return writeVersion(a.stdout)
}

func writeVersion(w io.Writer) error {
	_, err := fmt.Fprintf(w, "%s (%s, %s/%s)\n", tool(), runtime.Version(), runtime.GOOS, runtime.GOARCH)
	return err
}
