package assess

import (
	"bytes"
	"context"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/internal/synth"
	"clapladder.example/assess/internal/synth/warmups"
	"clapladder.example/patterns/bank"
)

// presetReport is the report on a made-up warm-up of a class.
func presetReport(t *testing.T, class string, seed uint64) (*Report, synth.Truth) {
	phrases, items := suiteBank()
	preset, ok := warmups.PresetNamed(class)
	require.True(t, ok)
	scene := preset.Scene(seed, items)
	scene.Rate = low
	recording, err := synth.Generate(scene)
	require.NoError(t, err)
	file := bytes.NewReader(wav(low, recording.Samples))
	o := Options{Repertoire: bank.StarterRepertoire()}
	report, err := Recording(context.Background(), file, phrases, o)
	require.NoError(t, err)
	require.NoError(t, validate(t, report))
	return report, recording.Truth
}

// ticking is a minute of a clock that ticks and tocks in a quiet room.
func ticking() []float32 {
	rng := rand.New(rand.NewPCG(3, 4))
	sound := make([]float32, 60*low)
	for i := range sound {
		sound[i] = float32(1e-4 * rng.NormFloat64())
	}
	for k := range 119 {
		loud := []float32{0.3, 0.2}[k%2]
		for i := range 80 {
			sound[(k+1)*low/2+i] += loud * float32(rng.NormFloat64()) / float32(1+i)
		}
	}
	return sound
}

func TestAClockIsNoWarmUp(t *testing.T) {
	if underRace {
		t.Skip("nothing here is done at once")
	}
	file := bytes.NewReader(wav(low, ticking()))
	report, err := Recording(context.Background(), file, bank.Starter(), Options{})
	require.NoError(t, err)
	require.NoError(t, validate(t, report))
	assert.Less(t, *report.Recording.Exchange, 0.5)
	assert.Equal(t, "ticking", report.Recording.Heard)
	assert.Nil(t, report.Group.Tier)
	for _, r := range report.Rounds {
		assert.Nil(t, r.Response)
	}
}

func TestAWarmUpSaysHowSurelyItIsOne(t *testing.T) {
	assert.Greater(t, *plain().report.Recording.Exchange, 0.9)
	assert.Empty(t, plain().report.Recording.Heard)
	assert.Empty(t, plain().report.Recording.LeftOut)
	tally, err := Tally(nil, bank.Starter(), Options{})
	require.NoError(t, err)
	assert.Nil(t, tally.Recording.Exchange, "there was no sound to tell")
}

// Two rounds may be chance: what is said then is that they are few, not that nobody answered.
func TestTwoRoundsAreTooFewToTell(t *testing.T) {
	if underRace {
		t.Skip("nothing here is done at once")
	}
	report := listenTo(scene(low, 1, 0, 1)).report
	require.NoError(t, validate(t, report))
	assert.Less(t, *report.Recording.Exchange, 0.5)
	assert.Equal(t, "too-few", report.Recording.Heard)
	assert.Contains(t, codes(report), noExchange)
}

// A person who marks a call knows better.
func TestMarkedCallsAreCallAndResponse(t *testing.T) {
	if underRace {
		t.Skip("nothing here is done at once")
	}
	sound, truth := warmUp(scene(low, 1, 0, 1))
	var marks []Mark
	for _, r := range truth.Rounds {
		marks = append(marks, Mark{r.Call.Start, r.Call.End, r.Phrase})
	}
	file := bytes.NewReader(wav(low, sound))
	report, err := Recording(context.Background(), file, bank.Starter(), Options{Marks: marks})
	require.NoError(t, err)
	assert.GreaterOrEqual(t, *report.Recording.Exchange, 0.5)
	for _, r := range report.Rounds {
		assert.NotNil(t, r.Response)
	}
	assert.Len(t, report.Rounds, len(truth.Rounds))
}

func TestNobodyAnswersALeaderWhoPlaysAgain(t *testing.T) {
	if underRace {
		t.Skip("nothing here is done at once")
	}
	for seed := range uint64(3) {
		report, _ := presetReport(t, "leader-repeats", 60+seed)
		assert.Nil(t, report.Group.Tier)
		for _, r := range report.Rounds {
			assert.Nil(t, r.Response)
		}
	}
}

func TestNoTierIsStatedOfOnePerson(t *testing.T) {
	if underRace {
		t.Skip("nothing here is done at once")
	}
	for seed := range uint64(3) {
		report, truth := presetReport(t, "one-pupil", 70+seed)
		require.Greater(t, len(report.Rounds), len(truth.Rounds)/2)
		if !assert.Contains(t, codes(report), "one-person") {
			continue
		}
		assert.Nil(t, report.Group.Tier)
		assert.Empty(t, report.Openers)
	}
}

// What everybody plays after the last answer is left out, and the report says so.
func TestARecordingThatRunsOnIsCutWhereTheCallsEnd(t *testing.T) {
	if underRace {
		t.Skip("nothing here is done at once")
	}
	report, truth := presetReport(t, "runs-on", 80)
	end := truth.Rounds[len(truth.Rounds)-1].Response.End
	require.NotEmpty(t, report.Recording.LeftOut)
	left := report.Recording.LeftOut[len(report.Recording.LeftOut)-1]
	assert.Equal(t, NoExchange, left.Why)
	assert.InDelta(t, end, left.Start, 15)
	late := 0
	for _, r := range report.Rounds {
		if r.Response != nil && r.Response.Start > end+2 {
			late++
		}
	}
	assert.LessOrEqual(t, late, 1)
}
