package assess

import (
	"bytes"
	"context"
	"encoding/json"
	"math"
	"os"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/ability"
	"clapladder.example/assess/audio"
	"clapladder.example/assess/internal/synth"
	"clapladder.example/assess/internal/synth/signal"
	"clapladder.example/assess/internal/synth/warmups"
	"clapladder.example/patterns/bank"
)

var demoWAV = sync.OnceValue(func() []byte {
	data, err := os.ReadFile("../testdata/boatyard-lunch.wav")
	if err != nil {
		panic(err)
	}
	return data
})

// demoReport listens to the demo once for all tests, with openers.
var demoReport = sync.OnceValues(func() (*Report, error) {
	return Recording(context.Background(), bytes.NewReader(demoWAV()), bank.Starter(),
		Options{Repertoire: bank.StarterRepertoire(), Tool: "test"})
})

func demoTruth(t *testing.T) synth.Truth {
	data, err := os.ReadFile("../testdata/boatyard-lunch.truth.json")
	require.NoError(t, err)
	var fields map[string]json.RawMessage
	require.NoError(t, json.Unmarshal(data, &fields))
	delete(fields, "mix") // a name that is written but not read
	data, err = json.Marshal(fields)
	require.NoError(t, err)
	var truth synth.Truth
	require.NoError(t, json.Unmarshal(data, &truth))
	return truth
}

func TestTheDemoIsHeardAsItHappened(t *testing.T) {
	report, err := demoReport()
	require.NoError(t, err)
	truth := demoTruth(t)
	require.Len(t, report.Rounds, len(truth.Rounds))
	var misses []float64
	for i, want := range truth.Rounds {
		got := report.Rounds[i]
		require.NotNil(t, got.Phrase, "round %d", i+1)
		assert.Equal(t, want.Phrase, *got.Phrase)
		assert.Equal(t, want.Metre, got.Meter)
		assert.Equal(t, want.Attempt, got.Attempt)
		assert.InEpsilon(t, want.Call.Tempo, got.Call.Tempo, 0.02)
		assert.InDelta(t, want.Call.Start, got.Call.Start, 0.05)
		require.NotNil(t, got.Response)
		assert.InEpsilon(t, want.Response.Tempo, got.Response.Tempo, 0.02,
			"tempo of the answer to %s", want.Phrase)
		assert.InDelta(t, want.Response.Notes[0].Time, got.Response.Start, 0.06)
		require.Len(t, got.Notes, len(want.Response.Notes))
		for k, n := range got.Notes {
			misses = append(misses, math.Abs(n.Participation-want.Response.Notes[k].Participation))
		}
	}
	assert.LessOrEqual(t, mean(misses), 0.15, "participation")
	require.NotNil(t, report.Group.Tier)
	highest := newScale(bank.Starter(), Options{}).highest
	raised := scaleShift(report, &truth)
	truth.Level += raised
	for i := range truth.Levels {
		truth.Levels[i] += raised
	}
	assert.Equal(t, truth.ComfortTier(ability.DefaultComfort, highest), *report.Group.Tier)
	assert.InDelta(t, truth.Level, *report.Group.Ability, 2**report.Group.AbilitySD)
	assert.Len(t, report.Group.TierProbabilities, highest)
	assert.NotEmpty(t, report.Openers)
	assert.Equal(t, "wav", report.Recording.Format)
	assert.InDelta(t, truth.Duration, report.Recording.Duration, 0.01)
}

// scaleShift is how far today's difficulties lie above those with which the demo was made: what its
// people can do stands on the scale of the model of that day. Plain beats are 1 on both and say
// nothing.
func scaleShift(report *Report, truth *synth.Truth) float64 {
	var shifts []float64
	for i, r := range truth.Rounds {
		if r.Difficulty > 1.5 {
			shifts = append(shifts, report.Rounds[i].Difficulty-r.Difficulty)
		}
	}
	return mean(shifts)
}

func TestSameRecordingSameReport(t *testing.T) {
	first, err := demoReport()
	require.NoError(t, err)
	second, err := Recording(t.Context(), bytes.NewReader(demoWAV()), bank.Starter(),
		Options{Repertoire: bank.StarterRepertoire(), Tool: "test"})
	require.NoError(t, err)
	assert.Equal(t, encoded(t, first), encoded(t, second))
}

func encoded(t testing.TB, r *Report) string {
	data, err := json.MarshalIndent(r, "", " ")
	require.NoError(t, err)
	return string(data)
}

func TestAnEndedContextEndsTheWork(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := Recording(ctx, bytes.NewReader(demoWAV()), bank.Starter(), Options{})
	assert.ErrorIs(t, err, context.Canceled)
	_, err = Taps(ctx, strings.NewReader(twoRounds), nil, Options{})
	assert.ErrorIs(t, err, context.Canceled)
}

func TestWhatIsNoRecordingIsAnAudioError(t *testing.T) {
	for _, input := range []string{"", "round,role,time_s\n1,call,0.5\n", "RIFF\x04\x00\x00\x00WAVE"} {
		report, err := Recording(t.Context(), strings.NewReader(input), bank.Starter(), Options{})
		var bad *audio.Error
		assert.ErrorAs(t, err, &bad, "%q", input)
		assert.Nil(t, report)
	}
}

func TestWithoutAnswersNothingIsSaidOfTheGroup(t *testing.T) {
	phrases, items := suiteBank()
	for _, test := range []struct{ preset, warning string }{
		{"talk-only", "no-rounds"},
		{"no-response", "no-answers"},
	} {
		t.Run(test.preset, func(t *testing.T) {
			preset, ok := warmups.PresetNamed(test.preset)
			require.True(t, ok)
			scene := preset.Scene(1, items)
			scene.Rate = audio.Rate
			recording, err := synth.Generate(scene)
			require.NoError(t, err)
			var file bytes.Buffer
			require.NoError(t, signal.WriteWAV(&file, recording.Samples, recording.Rate))
			report, err := Recording(t.Context(), &file, phrases,
				Options{Repertoire: bank.StarterRepertoire()})
			require.NoError(t, err)
			for _, r := range report.Rounds {
				assert.Nil(t, r.Response, "an answer to %s", name(r))
				assert.False(t, r.Usable)
			}
			assert.Nil(t, report.Group.Tier)
			assert.Nil(t, report.Group.Ability)
			assert.Empty(t, report.Openers)
			assert.Contains(t, codes(report), test.warning)
			assert.NoError(t, validate(t, report))
		})
	}
}

func codes(r *Report) []string {
	var out []string
	for _, w := range r.Warnings {
		out = append(out, w.Code)
	}
	return out
}

func TestWithoutABankCallsAreTranscribed(t *testing.T) {
	report, err := Recording(t.Context(), bytes.NewReader(demoWAV()), nil, Options{})
	require.NoError(t, err)
	assert.GreaterOrEqual(t, len(report.Rounds), 5, "of nine; nothing but the answers says what is a call")
	called := map[string]bool{}
	for _, p := range synth.DemoPhrases() {
		called[p.Rhythm] = true
	}
	right := 0
	for _, r := range report.Rounds {
		assert.Nil(t, r.Phrase)
		assert.Equal(t, "4/4", r.Meter)
		if called[r.Notation] {
			right++
		}
	}
	assert.GreaterOrEqual(t, right, len(report.Rounds)-1)
	assert.NoError(t, validate(t, report))
}

// demoThrough is the demo recorded by a phone that does something to every sample.
func demoThrough(t *testing.T, phone func(x float64) float64) []byte {
	t.Helper()
	stream, err := audio.Open(context.Background(), bytes.NewReader(demoWAV()), audio.Options{})
	require.NoError(t, err)
	defer stream.Close()
	samples := make([]float32, 0, 120*audio.Rate)
	for buffer := make([]float32, 4096); err == nil; {
		var n int
		n, err = stream.Read(buffer)
		for _, x := range buffer[:n] {
			samples = append(samples, float32(phone(float64(x))))
		}
	}
	var out bytes.Buffer
	require.NoError(t, signal.WriteWAV(&out, samples, audio.Rate))
	return out.Bytes()
}

func TestWhatIsTooLoudForThePhoneGetsNoTierAndNoBlame(t *testing.T) {
	if underRace {
		t.Skip("nothing here is done at once")
	}
	for name, test := range map[string]struct {
		phone func(x float64) float64
		code  string
	}{
		"clipped":    {func(x float64) float64 { return max(-0.98, min(0.98, 30*x)) }, "clipped"},
		"overdriven": {func(x float64) float64 { return 0.8 * math.Tanh(30*x) }, "overdriven"},
	} {
		t.Run(name, func(t *testing.T) {
			file := bytes.NewReader(demoThrough(t, test.phone))
			o := Options{Repertoire: bank.StarterRepertoire()}
			r, err := Recording(t.Context(), file, bank.Starter(), o)
			require.NoError(t, err)
			require.NotNil(t, r.Recording.Flattened)
			assert.Equal(t, test.code, r.Recording.Flattened.Kind)
			assert.True(t, r.Recording.Flattened.Severe)
			assert.Equal(t, []string{test.code}, codes(r), "one cause, one warning")
			assert.Nil(t, r.Group.Tier)
			assert.Empty(t, r.Openers)
			for _, round := range r.Rounds {
				assert.Nil(t, round.Share)
				assert.False(t, round.Usable)
			}
			require.NoError(t, validate(t, r))
		})
	}
}

func TestTheDemoIsNotFlattened(t *testing.T) {
	r, err := demoReport()
	require.NoError(t, err)
	assert.Nil(t, r.Recording.Flattened)
}

func TestSharesAreLessCertainWhereSomeDifferencesAreLost(t *testing.T) {
	r := &Report{Rounds: []Round{{ShareSD: new(0.2)}, {}}}
	r.widen()
	assert.InDelta(t, 0.2*flattenedFactor, *r.Rounds[0].ShareSD, 1e-9)
	assert.Nil(t, r.Rounds[1].ShareSD)
}
