package fitting

import (
	"bytes"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/patterns/difficulty"
	"clapladder.example/patterns/internal/features"
)

func TestThePublicDataGiveAWholeReport(t *testing.T) {
	var first, second bytes.Buffer
	require.NoError(t, Report(&first, []string{"-data", "../testdata/ratings"}))
	require.NoError(t, Report(&second, []string{"-data", "../testdata/ratings"}))
	assert.Equal(t, first.String(), second.String(), "same data, same report")
	for _, want := range []string{
		"syncopation", "ratings (Povel & Essens patterns), unseen",
		"| **this model** |", "rising: true", "teacher-b",
	} {
		assert.Contains(t, first.String(), want)
	}
}

// The kept figures were printed with results that are not public. What does not depend on those
// must be what the command prints today.
func TestTheKeptFiguresAreOfThisModel(t *testing.T) {
	kept, err := os.ReadFile("../../cmd/fitdifficulty/figures.txt")
	require.NoError(t, err)
	var now bytes.Buffer
	require.NoError(t, Report(&now, []string{"-data", "../testdata/ratings"}))
	_, order, found := strings.Cut(now.String(), "The starter bank")
	require.True(t, found)
	assert.Contains(t, string(kept), order)
	for f, w := range difficulty.DefaultModel().Weights() {
		assert.Contains(t, string(kept), fmt.Sprintf("  %-14s %6.3f ", features.Feature(f), w))
	}
}

func TestMistakesAreErrors(t *testing.T) {
	for _, args := range [][]string{{"-data", t.TempDir()}, {"-nothing"}, {
		"-data",
		"../testdata/ratings", "-results", "missing.csv",
	}} {
		assert.Error(t, Report(&bytes.Buffer{}, args))
	}
}
