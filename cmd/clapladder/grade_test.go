package main

import (
	"encoding/json"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const lunchBank = `[[phrase]]
id = "ferry"
name = "Wait for the ferry"
meter = "4/4"
rhythm = ".x x .x x"
tier = 5

[[phrase]]
id = "oars"
meter = "4/4"
tempo = 96
rhythm = "x x x x"

[[phrase]]
id = "swell"
name = "Up with the swell"
meter = "6/8"
tempo = 60
rhythm = "x.x x"
tags = ["opener"]
`

func TestGradeRanksEasiestFirst(t *testing.T) {
	bank := write(t, "lunch.toml", lunchBank)
	got := execute(t, "", "grade", bank)
	require.Zero(t, got.status, got.stderr)
	assert.Empty(t, got.stderr)
	expectFile(t, "grade.txt", masked(got.stdout))
	piped := execute(t, lunchBank, "grade", "-")
	assert.Equal(t, got.stdout, piped.stdout)
}

// masked hides the decimals that move whenever the difficulty model is fitted again.
func masked(text string) string {
	return regexp.MustCompile(`\d+\.\d`).ReplaceAllString(text, "#.#")
}

func TestGradeAsJSONIsAListOfObjects(t *testing.T) {
	got := execute(t, lunchBank, "grade", "-", "--json")
	require.Zero(t, got.status, got.stderr)
	var list []struct {
		ID         string
		Tier       int
		Difficulty float64
		Predicted  float64
		Pinned     bool
		Meter      string
		Rhythm     string
		Plain      float64
		Why        []struct{ Tiers float64 }
	}
	require.NoError(t, json.Unmarshal([]byte(got.stdout), &list))
	require.Len(t, list, 3)
	assert.Equal(t, "oars", list[0].ID)
	assert.Equal(t, 1, list[0].Tier)
	assert.InDelta(t, 1, list[0].Difficulty, 1e-9, "plain beats are the fixed point of the scale")
	assert.Equal(t, "6/8", list[1].Meter)
	assert.Equal(t, "ferry", list[2].ID)
	assert.Equal(t, 5, list[2].Tier)
	assert.Equal(t, ".x x .x x", list[2].Rhythm)
	for i := range list {
		sum := list[i].Plain
		for _, reason := range list[i].Why {
			sum += reason.Tiers
		}
		assert.InDelta(t, list[i].Predicted, sum, 1e-3, "what is listed adds up, in four decimals each")
	}
	for i := 1; i < len(list); i++ {
		assert.LessOrEqual(t, list[i-1].Difficulty, list[i].Difficulty)
	}
}

func TestGradeOfTheStarterBankNamesEveryPhrase(t *testing.T) {
	got := execute(t, "", "grade")
	require.Zero(t, got.status, got.stderr)
	list := execute(t, "", "grade", "--json")
	var phrases []struct{ ID, Rhythm string }
	require.NoError(t, json.Unmarshal([]byte(list.stdout), &phrases))
	assert.GreaterOrEqual(t, len(phrases), 72)
	for _, p := range phrases {
		assert.Contains(t, got.stdout, "  "+p.ID+" ")
		assert.Contains(t, got.stdout, p.Rhythm)
	}
}

func TestGradeOfARepertoireGoesPartByPart(t *testing.T) {
	got := execute(t, "", "grade", "--repertoire", "starter", "--json")
	require.Zero(t, got.status, got.stderr)
	var list []struct {
		ID         string
		Tier       int
		Difficulty float64
		Parts      []struct {
			Role       string
			Difficulty float64
		}
	}
	require.NoError(t, json.Unmarshal([]byte(got.stdout), &list))
	require.GreaterOrEqual(t, len(list), 12)
	for i, piece := range list {
		core := 0.0
		for _, part := range piece.Parts {
			if part.Role == "core" {
				core = max(core, part.Difficulty)
			}
		}
		assert.InDelta(t, core, piece.Difficulty, 1e-9, "%s is as hard as its core part", piece.ID)
		if i > 0 {
			assert.LessOrEqual(t, list[i-1].Difficulty, piece.Difficulty)
		}
	}
	text := execute(t, "", "grade", "--repertoire", "starter").stdout
	assert.True(t, strings.HasPrefix(text, "TIER  EXACT  PIECE"), text)
}

func TestRemarksGoToStandardErrorUnlessQuiet(t *testing.T) {
	bank := write(t, "duple.toml", "[[phrase]]\nid = \"oars\"\nmeter = \"2/4\"\nrhythm = \"xx\"\n")
	got := execute(t, "", "grade", bank)
	assert.Zero(t, got.status)
	assert.Equal(t, "clapladder: "+bank+": 1 place that may not be meant as written: clapladder "+
		"check "+bank+"\n", got.stderr)
	got = execute(t, "", "--quiet", "grade", bank)
	assert.Empty(t, got.stderr)
}
