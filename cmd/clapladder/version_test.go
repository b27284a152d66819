package main

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"clapladder.example/cmd/clapladder/internal/fault"
)

func TestVersionPrintsLicences(t *testing.T) {
	got := execute(t, "", "version", "--licences")
	assert.Zero(t, got.status, got.stderr)
	for _, module := range []string{"go", "github.com/alecthomas/kong", "gonum.org/v1/gonum"} {
		assert.Contains(t, got.stdout, "==== "+module+" ====\n")
	}
	assert.Equal(t, fault.ExitUsage, execute(t, "", "version", "--licences", "--json").status)
}
