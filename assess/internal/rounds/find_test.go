package rounds

import (
	"context"
	"math"
	"math/rand/v2"
	"runtime"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/internal/onset"
	"clapladder.example/assess/internal/synth"
	"clapladder.example/assess/internal/synth/acoustics"
	"clapladder.example/assess/internal/synth/people"
	"clapladder.example/assess/internal/synth/sounds"
	"clapladder.example/assess/internal/tape"
	"clapladder.example/rhythm"
)

func demoTemplates() []Template {
	var out []Template
	for _, p := range synth.DemoPhrases() {
		out = append(out, Template{p.ID, rhythm.MustParse(p.Rhythm, p.Metre, p.Tempo)})
	}
	return out
}

type warmUp struct {
	truth    synth.Truth
	analysis *onset.Analysis
}

// seamless is a short warm-up in which every call follows in the bar after the last answer, paused
// one with waits between.
var (
	seamless = sync.OnceValue(func() warmUp {
		return record(synth.Flow{
			Seamless:   true,
			TalkBefore: 1.5,
		}, 0, 1, 2, 4, 5)
	})
	paused = sync.OnceValue(func() warmUp {
		return record(synth.Flow{
			CallPause:  2.5,
			TalkBefore: 1.5,
		}, 0, 2, 3, 5)
	})
)

// record makes a warm-up of sixteen people with the given phrases of the demo.
func record(flow synth.Flow, phrases ...int) warmUp {
	return recordGroup(people.Group{People: 16, Level: 5}, flow, phrases...)
}

func recordGroup(group people.Group, flow synth.Flow, phrases ...int) warmUp {
	scene := synth.Scene{
		Seed: 4, Rate: onset.SampleRate, Group: group, Leader: synth.Leader{Sound: sounds.Clap},
		Flow: flow, Background: synth.Background{NoiseDB: -30}, Room: acoustics.Room{RT60: 0.5},
	}
	for _, id := range phrases {
		p := synth.DemoPhrases()[id]
		scene.Calls = append(scene.Calls, synth.Call{Phrase: people.FromRhythm(p.ID,
			rhythm.MustParse(p.Rhythm, p.Metre, 96)), Difficulty: float64(p.Tier)})
	}
	recording, err := synth.Generate(scene)
	if err != nil {
		panic(err)
	}
	samples := tape.Tape(recording.Samples)
	a, err := onset.Analyse(context.Background(), &samples)
	if err != nil {
		panic(err)
	}
	return warmUp{recording.Truth, a}
}

func TestTheNumberOfProcessorsDoesNotMatter(t *testing.T) {
	w, templates := seamless(), demoTemplates()
	before := runtime.GOMAXPROCS(1)
	defer runtime.GOMAXPROCS(before)
	alone, err := Find(t.Context(), w.analysis, templates, Options{})
	require.NoError(t, err)
	for _, processors := range []int{2, 3, 8} {
		runtime.GOMAXPROCS(processors)
		found, err := Find(t.Context(), w.analysis, templates, Options{})
		require.NoError(t, err)
		require.Equal(t, alone, found, "%d processors", processors)
	}
}

func TestOnePersonIsToldFromAFew(t *testing.T) {
	for size, want := range map[int]bool{1: true, 3: false, 8: false, 30: false} {
		w := recordGroup(people.Group{People: size, Level: 7, Near: 1.2, Far: 3},
			synth.Flow{CallPause: 2, TalkBefore: 1.5}, 0, 1, 2, 4)
		found, err := Find(t.Context(), w.analysis, demoTemplates(), Options{})
		require.NoError(t, err)
		answers := 0
		for _, r := range found {
			if r.Answer != nil {
				answers++
				assert.Equal(t, want, r.Answer.Solo != nil, "%d people", size)
			}
		}
		assert.GreaterOrEqual(t, answers, 3, "%d people", size)
	}
}

func TestFindHearsASeamlessWarmUp(t *testing.T) {
	w, templates := seamless(), demoTemplates()
	found, err := Find(t.Context(), w.analysis, templates, Options{})
	require.NoError(t, err)
	require.Len(t, found, len(w.truth.Rounds))
	for i, want := range w.truth.Rounds {
		got := found[i]
		require.GreaterOrEqual(t, got.Template, 0)
		assert.Equal(t, want.Phrase, templates[got.Template].ID)
		assert.InDelta(t, want.Call.Start, got.Call.Start(), 0.05)
		assert.InEpsilon(t, want.Call.Tempo, got.Call.Phrase.Tempo(), 0.02)
		require.NotNil(t, got.Answer)
		assert.InDelta(t, want.Response.Start, got.Answer.Map.Origin, 0.12)
		assert.Equal(t, 1, got.Attempt)
		assert.Greater(t, got.Confidence, 0.5)
		assert.LessOrEqual(t, got.Confidence, 1.0)
		for _, at := range got.Call.Onsets {
			near := math.Inf(1)
			for _, note := range want.Call.Notes {
				near = min(near, math.Abs(note-at))
			}
			assert.Less(t, near, 0.05)
		}
	}
	again, err := Find(t.Context(), w.analysis, templates, Options{})
	require.NoError(t, err)
	assert.Equal(t, found, again, "same sound, same rounds")
}

func TestTheOrderCalledOnlyHelps(t *testing.T) {
	w := seamless()
	var order []string
	for _, r := range w.truth.Rounds {
		order = append(order, r.Phrase)
	}
	templates := demoTemplates()
	found, err := Find(t.Context(), w.analysis, templates, Options{Order: order, Tempo: 96})
	require.NoError(t, err)
	require.Len(t, found, len(order))
	for i, r := range found {
		require.GreaterOrEqual(t, r.Template, 0)
		assert.Equal(t, order[i], templates[r.Template].ID)
	}
}

func TestMarksThatAreRightKeepTheRounds(t *testing.T) {
	w, templates := seamless(), demoTemplates()
	var marks []Mark
	for _, r := range w.truth.Rounds {
		marks = append(marks, Mark{Start: r.Call.Start, End: r.Call.End, Label: r.Phrase})
	}
	found, err := Find(t.Context(), w.analysis, templates, Options{Marks: marks})
	require.NoError(t, err)
	require.Len(t, found, len(marks))
	for i, r := range found {
		require.GreaterOrEqual(t, r.Template, 0)
		assert.Equal(t, marks[i].Label, templates[r.Template].ID)
	}
}

func TestACallThatIsNotInTheBankIsTranscribed(t *testing.T) {
	w := paused()
	var templates []Template
	for _, x := range demoTemplates() {
		if x.ID != "haul-line" {
			templates = append(templates, x)
		}
	}
	found, err := Find(t.Context(), w.analysis, templates, Options{})
	require.NoError(t, err)
	require.Len(t, found, len(w.truth.Rounds))
	got := found[2]
	assert.Equal(t, -1, got.Template)
	assert.Equal(t, "x .x x x", got.Call.Phrase.String())
	assert.InEpsilon(t, w.truth.Rounds[2].Call.Tempo, got.Call.Phrase.Tempo(), 0.02)
	require.NotNil(t, got.Answer)
}

func TestFindInSilenceAndNoise(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	hiss := make(tape.Tape, 8*onset.SampleRate)
	for i := range hiss {
		hiss[i] = float32(0.01 * r.NormFloat64())
	}
	for law, samples := range map[string]tape.Tape{
		"nothing": nil,
		"silence": make(tape.Tape, 4*onset.SampleRate), "hiss": hiss,
	} {
		t.Run(law, func(t *testing.T) {
			a, err := onset.Analyse(t.Context(), &samples)
			require.NoError(t, err)
			found, err := Find(t.Context(), a, demoTemplates(), Options{})
			require.NoError(t, err)
			for _, round := range found {
				assert.Nil(t, round.Answer)
			}
		})
	}
}

func TestFindStopsWithItsContext(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := Find(ctx, seamless().analysis, demoTemplates(), Options{})
	assert.ErrorIs(t, err, context.Canceled)
}
