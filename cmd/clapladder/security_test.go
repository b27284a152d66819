package main

import (
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// packagesOf lists what is linked into the program for a system, each package with its direct
// imports.
func packagesOf(t *testing.T, system string) map[string][]string {
	t.Helper()
	tool, err := exec.LookPath("go")
	if err != nil {
		t.Skip("there is no go command")
	}
	list := exec.CommandContext(t.Context(), tool, "list", "-deps", "-f", `{{.ImportPath}} {{join .Imports " "}}`, ".")
	list.Env = append(os.Environ(), "GOOS="+system, "GOARCH=amd64", "CGO_ENABLED=0") // as releases are built
	out, err := list.Output()
	require.NoError(t, err)
	packages := map[string][]string{}
	for line := range strings.Lines(string(out)) {
		words := strings.Fields(line)
		packages[words[0]] = words[1:]
	}
	require.Contains(t, packages, "clapladder.example/assess/audio")
	return packages
}

// Nothing in the program can open a connection: package net, which everything of the standard
// library that does so needs, is not linked in. Of what is named after it there are only two
// parsers of addresses, which text/template and the command line's parser bring along. On Windows
// the system's own calls (golang.org/x/sys/windows, for terminal and locks) name types of package
// net. Only the decoder starts another program.
func TestTheProgramHasNoNetworkCode(t *testing.T) {
	for _, system := range []string{"linux", "darwin", "windows"} {
		var net, names, starts []string
		for path, imports := range packagesOf(t, system) {
			if path == "net" || strings.HasPrefix(path, "net/") ||
				strings.HasPrefix(path, "golang.org/x/net") || path == "crypto/tls" ||
				path == "plugin" || path == "runtime/cgo" {
				net = append(net, path)
			}
			if slices.Contains(imports, "net") {
				names = append(names, path)
			}
			if slices.Contains(imports, "os/exec") {
				starts = append(starts, path)
			}
		}
		slices.Sort(net)
		if system == "windows" {
			assert.Equal(t, []string{"net", "net/netip", "net/url"}, net, system)
			assert.Equal(t, []string{"golang.org/x/sys/windows"}, names, system)
		} else {
			assert.Equal(t, []string{"net/netip", "net/url"}, net, system)
		}
		// ffmpeg for formats that are not built in, and whatever shows a page where --open asks for
		// it.
		assert.ElementsMatch(t, []string{
			"clapladder.example/assess/audio/ffmpeg",
			"clapladder.example/cmd/clapladder/internal/console",
		}, starts, system)
	}
}

func TestOtherProgramsAreStartedInFewPlacesAndWithoutAShell(t *testing.T) {
	starting := regexp.MustCompile(`exec\.Command(Context)?\(|os\.StartProcess\(|syscall\.(Exec|ForkExec|StartProcess|Socket)\(|unix\.(Exec|Socket)\(`)
	var places []string
	err := filepath.WalkDir("../..", func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && d.Name() != ".." && strings.HasPrefix(d.Name(), ".") {
			return fs.SkipDir
		}
		if filepath.Ext(path) != ".go" || strings.HasSuffix(path, "_test.go") {
			return nil
		}
		source, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		for _, match := range starting.FindAllString(string(source), -1) {
			places = append(places, filepath.ToSlash(path)+": "+match)
		}
		assert.NotRegexp(t, `"(/bin/)?(ba)?sh"\s*,\s*"-c"|"cmd(\.exe)?"\s*,\s*"/c"`, string(source), path)
		return nil
	})
	require.NoError(t, err)
	assert.Equal(t, []string{
		"../../assess/audio/ffmpeg/process.go: exec.CommandContext(",
		"../../assess/internal/realsound/library.go: exec.Command(", // for benches; not part of what is released
		"../../cmd/clapladder/internal/console/openpage.go: exec.CommandContext(",
		"../../cmd/phonepage/main.go: exec.CommandContext(", // builds; not part of what is released
	}, places)
}

func TestWhatIsWrittenAboutGroupsIsItsOwnersAlone(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("permissions are those of the user's folder")
	}
	log := filepath.Join(t.TempDir(), "data", "history.jsonl")
	require.Zero(t, execute(t, "", "tally", "row=got", "--save", "lunch hour", "--history", log).status)
	for path, want := range map[string]fs.FileMode{log: 0o600, filepath.Dir(log): 0o700} {
		info, err := os.Stat(path)
		require.NoError(t, err)
		assert.Equal(t, want, info.Mode().Perm(), path)
	}
}
