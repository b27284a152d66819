package assess

import (
	"bytes"
	"encoding/json"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/ability"
	"clapladder.example/patterns/bank"
)

// called are verdicts on phrases that are easy and hard in turn.
var called = []Verdict{
	{"row", ability.Got},
	{"spring-tide", ability.Got},
	{"throw", ability.Partly},
	{"clave", ability.Lost},
	{"throw", ability.Got},
	{"load", ability.Partly},
}

func TestEveryRoundSaysWhatIsKnownAfterIt(t *testing.T) {
	bank := bank.Starter()
	whole, err := Tally(called, bank, Options{})
	require.NoError(t, err)
	for i := range called {
		part, err := Tally(called[:i+1], bank, Options{})
		require.NoError(t, err)
		assert.Equal(t, part.Rounds[i], whole.Rounds[i], "later rounds change nothing of round %d", i+1)
		if part.Group.Ability != nil {
			assert.Equal(t, *part.Group.Ability, *whole.Rounds[i].Level)
			assert.Equal(t, *part.Group.AbilitySD, *whole.Rounds[i].LevelSD)
			assert.Equal(t, *part.Group.AbilityInterval, *whole.Rounds[i].LevelInterval)
		}
	}
	assert.Greater(t, *whole.Rounds[1].Level, *whole.Rounds[0].Level, "up after a harder one that was got")
	assert.Less(t, *whole.Rounds[3].Level, *whole.Rounds[2].Level, "down after a lost one")
	assert.Less(t, *whole.Rounds[5].LevelSD, *whole.Rounds[0].LevelSD, "and surer")
}

func TestRoundsThatDoNotCountLeaveTheLevelAsItWas(t *testing.T) {
	const unanswered = "9,call,30\n9,call,30.5\n9,call,31\n9,call,31.5\n"
	report, err := Taps(t.Context(),
		strings.NewReader("round,role,time_s\n8,call,1\n8,call,1.5\n8,call,2\n8,call,2.5\n"+twoRounds[strings.Index(twoRounds, "\n")+1:]+unanswered), bank.Starter(), Options{})
	require.NoError(t, err)
	first, last := report.Rounds[0], report.Rounds[len(report.Rounds)-1]
	require.False(t, first.Usable)
	assert.Nil(t, first.Level, "nothing is known before the first answer")
	assert.Nil(t, first.LevelInterval)
	require.False(t, last.Usable)
	require.NotNil(t, last.Level)
	before := report.Rounds[len(report.Rounds)-2]
	assert.Equal(t, *before.Level, *last.Level)
	assert.Equal(t, *before.LevelSD, *last.LevelSD)
	assert.NoError(t, validate(t, report))
}

func TestTheMixIsTheLikeliestOfThree(t *testing.T) {
	report, err := demoReport()
	require.NoError(t, err)
	g := report.Group
	require.Len(t, g.MixProbabilities, 3)
	assert.InDelta(t, 1, g.MixProbabilities[0]+g.MixProbabilities[1]+g.MixProbabilities[2], 0.002)
	stated := slices.Index([]string{"alike", "some spread", "mixed"}, *g.Mix)
	assert.Equal(t, slices.Max(g.MixProbabilities), g.MixProbabilities[stated])
}

func TestRecordingsHaveAnOutlineAndTapsHaveNone(t *testing.T) {
	report, err := demoReport()
	require.NoError(t, err)
	outline := report.Recording.Envelope
	require.NotNil(t, outline)
	assert.LessOrEqual(t, len(outline.Power), mostOutline)
	assert.InDelta(t, report.Recording.Duration, outline.Step*float64(len(outline.Power)), 2*outline.Step)
	text, err := json.Marshal(outline)
	require.NoError(t, err)
	assert.Less(t, len(text), 10_000)
	// Claps stand out of what is between rounds.
	call := report.Rounds[0].Call
	assert.Greater(t, outline.Power[int(call.Onsets[0]/outline.Step)],
		outline.Power[int((call.Start-0.5)/outline.Step)]+10)

	tapped, err := Taps(t.Context(), strings.NewReader(twoRounds), nil, Options{})
	require.NoError(t, err)
	assert.Nil(t, tapped.Recording.Envelope)
	assert.NotContains(t, encoded(t, tapped), "envelope")
}

func TestTheSchemaHasTheVersionOfItsReports(t *testing.T) {
	data, err := os.ReadFile("report.schema.json")
	require.NoError(t, err)
	var head struct {
		ID string `json:"$id"`
	}
	require.NoError(t, json.NewDecoder(bytes.NewReader(data)).Decode(&head))
	assert.Equal(t, "https://clapladder.example/schema/report/"+SchemaVersion, head.ID)
	major, _, _ := strings.Cut(SchemaVersion, ".")
	assert.True(t, strings.HasSuffix(Schema, "/"+major), Schema)
}

func TestReportsOfTheFirstVersionStillFit(t *testing.T) {
	report, err := demoReport()
	require.NoError(t, err)
	var old map[string]any
	require.NoError(t, json.Unmarshal([]byte(encoded(t, report)), &old))
	delete(old["recording"].(map[string]any), "envelope")
	delete(old["group"].(map[string]any), "mix_probabilities")
	for _, round := range old["rounds"].([]any) {
		for _, added := range []string{"level", "level_sd", "level_interval"} {
			delete(round.(map[string]any), added)
		}
	}
	text, err := json.Marshal(old)
	require.NoError(t, err)
	assert.NoError(t, validateText(t, string(text)))
}

// The rounds of a report so far are those of the next one too.
func TestWideningAReportLeavesTheRoundsItWasMadeOf(t *testing.T) {
	share, sd, level := 0.5, 0.1, 3.0
	settled := []Round{{
		Share: &share, ShareSD: &sd, ShareInterval: &[2]float64{0.4, 0.6}, Level: &level,
		Reading: &ability.Reading{Variance: [3]float64{0.01, 0.02, 0.03}},
	}}
	first, second := Report{Rounds: slices.Clone(settled)}, Report{Rounds: slices.Clone(settled)}
	first.widen()
	assert.Equal(t, [3]float64{0.01, 0.02, 0.03}, settled[0].Reading.Variance)
	assert.Equal(t, 3.0, *settled[0].Level)
	assert.Nil(t, first.Rounds[0].Level, "what is known is worked out anew")
	assert.Greater(t, first.Rounds[0].Reading.Variance[0], 0.02)
	second.widen()
	assert.Equal(t, first, second)
}
