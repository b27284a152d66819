package main

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/rhythm/measure"
)

func TestShowDrawsAPhraseWithItsReasons(t *testing.T) {
	got := execute(t, "", "show", "--rhythm", "x xx . x", "--tempo", "100")
	require.Zero(t, got.status, got.stderr)
	for _, part := range []string{
		"Your phrase\n4/4 at 100 beats a minute, 1 bar, 2.4 s\nTier ",
		"  x  x x  .    x\n  1  2 &  (3)  4\n", "What makes it hard", "syncopation", "lhl ",
	} {
		assert.Contains(t, got.stdout, part)
	}
	for line := range strings.Lines(got.stdout) {
		assert.LessOrEqual(t, len([]rune(line)), 81, line)
	}
}

func TestShowFindsAPhraseOfABank(t *testing.T) {
	bank := write(t, "lunch.toml", lunchBank)
	got := execute(t, "", "show", "ferry", "--bank", bank)
	require.Zero(t, got.status, got.stderr)
	assert.Contains(t, got.stdout, "Wait for the ferry (ferry)\n4/4 at 96 beats a minute")
	assert.Contains(t, got.stdout, "Tier 5, difficulty 5.0, placed by you; the program says ")
}

func TestAnotherTempoIsGradedAfresh(t *testing.T) {
	bank := write(t, "lunch.toml", lunchBank)
	got := execute(t, "", "show", "ferry", "--bank", bank, "--tempo", "170")
	require.Zero(t, got.status, got.stderr)
	assert.Contains(t, got.stdout, "4/4 at 170 beats a minute")
	assert.NotContains(t, got.stdout, "placed by you")
}

func TestShowMeasuresListsAllWithSourceAndADashWhereUndefined(t *testing.T) {
	got := execute(t, "", "show", "--rhythm", "x x x", "--meter", "7/8=2+2+3", "--measures")
	require.Zero(t, got.status, got.stderr)
	for _, m := range measure.All() {
		assert.Contains(t, got.stdout, "\n"+m.ID+" ")
	}
	assert.Regexp(t, `keith +– +undefined: `, got.stdout)

	got = execute(t, "", "show", "--rhythm", "x x x", "--meter", "7/8=2+2+3", "--json")
	var shown struct {
		Tier     int
		Bars     int
		Measures []struct {
			ID        string
			Value     *float64
			Undefined string
		}
	}
	require.NoError(t, json.Unmarshal([]byte(got.stdout), &shown))
	assert.Equal(t, 1, shown.Bars)
	require.Len(t, shown.Measures, len(measure.All()))
	for _, m := range shown.Measures {
		assert.Equal(t, m.Value == nil, m.Undefined != "", m.ID)
	}
}
