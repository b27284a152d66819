package licences

import (
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// standard stands for the standard library and the runtime of Go.
const standard = "go"

// linked are the modules of a program, but for our own.
func linked(t *testing.T, program string) []string {
	t.Helper()
	const form = `{{if .Module}}{{if not .Module.Main}}{{.Module.Path}}{{end}}{{end}}`
	out, err := exec.CommandContext(t.Context(), "go", "list", "-deps", "-f", form, program).Output()
	require.NoError(t, err)
	return append(strings.Fields(string(out)), standard)
}

func TestEveryLinkedModuleHasItsText(t *testing.T) {
	for _, program := range []string{
		"clapladder.example/cmd/clapladder", "clapladder.example/cmd/clapladderlib",
	} {
		modules := linked(t, program)
		require.Greater(t, len(modules), 5)
		for _, module := range modules {
			text, _ := files.ReadFile(strings.ReplaceAll(module, "/", "_") + ".txt")
			assert.NotEmpty(t, text, "%s: put its licence text into this folder", module)
		}
	}
}

func TestNoTextIsOfAModuleThatIsGone(t *testing.T) {
	names := map[string]bool{}
	for _, module := range linked(t, "clapladder.example/cmd/clapladder") {
		names[strings.ReplaceAll(module, "/", "_")+".txt"] = true
	}
	list, err := files.ReadDir(".")
	require.NoError(t, err)
	for _, file := range list {
		assert.True(t, names[file.Name()], "%s is linked no more", file.Name())
	}
}
