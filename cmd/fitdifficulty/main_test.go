package main

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestThePublicDataGiveAWholeReport(t *testing.T) {
	var first, second bytes.Buffer
	require.NoError(t, run(&first, []string{"-data", "../../patterns/testdata/ratings"}))
	require.NoError(t, run(&second, []string{"-data", "../../patterns/testdata/ratings"}))
	assert.Equal(t, first.String(), second.String(), "same data, same report")
	for _, want := range []string{"syncopation", "ratings (Povel & Essens patterns)", "| **this model** |", "rising: true", "teacher-b"} {
		assert.Contains(t, first.String(), want)
	}
}

func TestMistakesAreErrors(t *testing.T) {
	for _, args := range [][]string{{"-data", t.TempDir()}, {"-nothing"}, {"-data", "../../patterns/testdata/ratings", "-results", "missing.csv"}} {
		assert.Error(t, run(&bytes.Buffer{}, args))
	}
}
