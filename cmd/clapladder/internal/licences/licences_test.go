package licences

import (
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestEveryLinkedModuleHasItsText(t *testing.T) {
	const form = `{{if .Module}}{{if not .Module.Main}}{{.Module.Path}}{{end}}{{end}}`
	out, err := exec.CommandContext(t.Context(), "go", "list", "-deps", "-f", form,
		"clapladder.example/cmd/clapladder").Output()
	require.NoError(t, err)
	modules := append(strings.Fields(string(out)), Standard)
	require.Greater(t, len(modules), 5)
	for _, module := range modules {
		_, ok := Text(module)
		assert.True(t, ok, "%s: put its licence text into this folder", module)
	}
	_, ok := Text("nowhere.example/none")
	assert.False(t, ok)
}
