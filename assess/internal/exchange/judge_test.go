package exchange

import (
	"context"
	"io"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/internal/onset"
	"clapladder.example/assess/internal/rounds"
	"clapladder.example/assess/internal/synth"
	"clapladder.example/assess/internal/synth/people"
	"clapladder.example/assess/internal/synth/warmups"
	"clapladder.example/patterns"
	"clapladder.example/patterns/bank"
	"clapladder.example/patterns/difficulty"
)

// sound reads samples at the analysis's rate as a stream.
type sound struct{ samples []float32 }

func (s *sound) Read(out []float32) (int, error) {
	n := copy(out, s.samples)
	s.samples = s.samples[n:]
	if len(s.samples) == 0 {
		return n, io.EOF
	}
	return n, nil
}

func starterTemplates() []rounds.Template {
	var out []rounds.Template
	for _, g := range patterns.GradeBank(difficulty.DefaultModel(), bank.Starter()) {
		out = append(out, rounds.Template{ID: g.ID, Phrase: g.Phrase})
	}
	return out
}

func starterItems() []warmups.Item {
	var out []warmups.Item
	for _, g := range patterns.GradeBank(difficulty.DefaultModel(), bank.Starter()) {
		out = append(out, warmups.Item{Phrase: people.FromRhythm(g.ID, g.Phrase), Difficulty: g.Difficulty})
	}
	return out
}

// heard is a made-up warm-up of a class as it is heard.
func heard(t testing.TB, class string, seed uint64) (*onset.Analysis, []rounds.Round) {
	preset, ok := warmups.PresetNamed(class)
	require.True(t, ok)
	scene := preset.Scene(seed, starterItems())
	scene.Rate = onset.SampleRate
	recording, err := synth.Generate(scene)
	require.NoError(t, err)
	return listened(t, recording.Samples)
}

func listened(t testing.TB, samples []float32) (*onset.Analysis, []rounds.Round) {
	a, err := onset.Analyse(context.Background(), &sound{samples})
	require.NoError(t, err)
	found, err := rounds.Find(context.Background(), a, starterTemplates(), rounds.Options{})
	require.NoError(t, err)
	return a, found
}

func TestAWarmUpIsBelieved(t *testing.T) {
	for _, class := range []string{"ordinary", "hall", "one-pupil", "improvised", "missing-answers"} {
		t.Run(class, func(t *testing.T) {
			a, found := heard(t, class, 5001)
			j := Judge(a, found)
			assert.Greater(t, j.Probability, 0.9)
			require.True(t, j.Believed())
			assert.Len(t, j.Stretches, 1)
			assert.GreaterOrEqual(t, len(j.Keep(found)), len(found)-1)
		})
	}
}

// One person who claps every call twice is no exchange: the answer comes from the source of the
// call.
func TestALeadersOwnRepetitionIsNoAnswer(t *testing.T) {
	scene := synth.DemoScene()
	scene.Rate = onset.SampleRate
	var twice []synth.Call
	for _, c := range scene.Calls {
		c.Answer, c.Attempts = synth.Nothing, 1
		twice = append(twice, c, c)
	}
	scene.Calls = twice
	recording, err := synth.Generate(scene)
	require.NoError(t, err)
	a, found := listened(t, recording.Samples)
	j := Judge(a, found)
	assert.Less(t, j.Probability, 0.5)
	for _, r := range j.Keep(found) {
		assert.Nil(t, r.Answer)
	}
}

func TestWithoutRoundsNothingIsBelieved(t *testing.T) {
	a, err := onset.Analyse(context.Background(), &sound{make([]float32, 5*onset.SampleRate)})
	require.NoError(t, err)
	j := Judge(a, nil)
	assert.Zero(t, j.Probability)
	assert.False(t, j.Believed())
	assert.Empty(t, j.Keep(nil))
}

// A recording that runs on into everybody's playing together: the stretch ends where the calls end.
func TestPlayingOnIsLeftOut(t *testing.T) {
	preset, ok := warmups.PresetNamed("runs-on")
	require.True(t, ok)
	scene := preset.Scene(5002, starterItems())
	scene.Rate = onset.SampleRate
	recording, err := synth.Generate(scene)
	require.NoError(t, err)
	a, found := listened(t, recording.Samples)
	j := Judge(a, found)
	require.True(t, j.Believed())
	last := recording.Truth.Rounds[len(recording.Truth.Rounds)-1].Response.End
	assert.InDelta(t, last, j.Stretches[len(j.Stretches)-1].End, 15)
}

func TestARepetitionIsNoAnswerHoweverSoft(t *testing.T) {
	for seed := range uint64(4) {
		a, found := heard(t, "leader-repeats", 5003+seed)
		assert.Less(t, Judge(a, found).Probability, 0.5)
	}
}

// A caller who answers with other hands, as with the fingers on the palm, is still one person: the
// sound comes from the same place. A pupil's comes from another.
func TestACallerWhoAnswersWithOtherHandsIsOnePerson(t *testing.T) {
	a, found := heard(t, "one-pupil", 5001)
	pupil := digests(listener{a}, found)
	require.Greater(t, pupil[0].Apart, placeApart)
	for i := range pupil {
		pupil[i].Apart = 0.1
	}
	e, ok := evidence(pupil)
	require.True(t, ok)
	require.Greater(t, e.Others, againOdds, "hands that sound different")
	assert.Less(t, e.Odds(), believed)
}

// Plain beats are what a leader is asked to begin with: nothing but them, and the same call over and
// over, is call and response too.
func TestPlainBeatsOnlyAreBelieved(t *testing.T) {
	for _, x := range plainExamples(t, 5100, 2)[:4] {
		assert.Greater(t, x.judged().Probability, 0.5, x.name)
	}
}
