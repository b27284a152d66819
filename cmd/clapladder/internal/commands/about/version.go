package about

import (
	"runtime"

	"clapladder.example/assess/view"
	"clapladder.example/cmd/clapladder/internal/console"
	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/cmd/clapladder/internal/licences"
	"clapladder.example/cmd/clapladder/internal/naming"
	"clapladder.example/cmd/clapladder/internal/version"
)

// Version is the command that shows the version.
type Version struct {
	Licences bool `help:"Show the licence texts of everything that is linked in."`
	JSON     bool `help:"Write JSON."`
}

// Help is shown below the summary.
func (*Version) Help() string {
	return `Results of two versions need not be comparable, so reports carry the version too.

Examples:

    clapladder version
    clapladder version --json
    clapladder version --licences`
}

func (c *Version) Run(con *console.Console) error {
	if c.Licences && c.JSON {
		return fault.Usage("give either --licences or --json, not both")
	}
	if c.Licences {
		return licences.Write(con.Stdout)
	}
	if c.JSON {
		return view.JSON(con.Stdout, map[string]string{
			"name": naming.Program, "version": version.Of(), "go": runtime.Version(),
			"platform": runtime.GOOS + "/" + runtime.GOARCH,
		})
	}
	return version.Write(con.Stdout)
}
