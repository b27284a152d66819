package warmups

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/internal/synth"
	"clapladder.example/assess/internal/synth/people"
	"clapladder.example/assess/internal/synth/signal"
)

func TestSuiteHasEveryClassInBothHalvesAndSharesNoSeed(t *testing.T) {
	seeds := map[uint64]bool{}
	for _, split := range []Split{Tuning, Untouched} {
		classes := map[string]int{}
		for _, s := range Suite(1, 60, split, ladder()) {
			assert.False(t, seeds[s.Seed], "seed %d twice", s.Seed)
			seeds[s.Seed] = true
			assert.Equal(t, uint64(split), s.Seed&1)
			classes[s.Class]++
		}
		for _, p := range Presets() {
			assert.Positive(t, classes[p.Name], "%s in half %d", p.Name, split)
		}
		assert.Equal(t, 15, classes["ordinary"])
	}
	assert.Len(t, seeds, 120)
	assert.Equal(t, Suite(1, 8, Tuning, ladder()), Suite(1, 60, Tuning, ladder())[:8],
		"more scenes change nothing before")
	assert.NotEqual(t, Suite(1, 1, Tuning, ladder())[0].Seed, Suite(2, 1, Tuning, ladder())[0].Seed)
}

func TestOrdinaryWarmUpsCoverTheirRanges(t *testing.T) {
	bank := ladder()
	ordinary, _ := PresetNamed("ordinary")
	least, most := map[string]float64{}, map[string]float64{}
	see := func(name string, v float64) {
		if _, ok := least[name]; !ok {
			least[name], most[name] = v, v
		}
		least[name], most[name] = min(least[name], v), max(most[name], v)
	}
	seamless, pauses, mixes := 0, 0, map[people.Mix]int{}
	for seed := range uint64(300) {
		s := ordinary.Scene(seed, bank)
		see("people", float64(s.Group.People))
		see("rt60", s.Room.RT60)
		see("noise", s.Background.NoiseDB)
		if s.Background.Voices > 0 {
			see("talk", s.Background.TalkDB)
		}
		see("calls", float64(len(s.Calls)))
		if s.Flow.Seamless {
			seamless++
		} else {
			pauses++
		}
		mixes[s.Group.Mix]++
		fastest, slowest := 0.0, 9.0
		for _, c := range s.Calls {
			fastest, slowest = max(fastest, c.Tempo/c.Phrase.Tempo), min(slowest, c.Tempo/c.Phrase.Tempo)
		}
		see("tempo change", fastest/slowest)
		assert.Equal(t, "quay", s.Calls[0].Phrase.ID, "the easiest comes first")
	}
	within := func(name string, low, high, slack float64) {
		assert.GreaterOrEqual(t, least[name], low-1e-9, name)
		assert.LessOrEqual(t, most[name], high+1e-9, name)
		assert.InDelta(t, low, least[name], slack, name)
		assert.InDelta(t, high, most[name], slack, name)
	}
	within("people", 8, 60, 3)
	within("rt60", 0.3, 1.5, 0.1)
	within("noise", -30, -10, 1)
	within("talk", -30, -10, 1)
	within("calls", 6, 12, 0)
	assert.LessOrEqual(t, most["tempo change"], 1.15)
	assert.Greater(t, most["tempo change"], 1.10, "fastest over slowest")
	assert.Greater(t, seamless, 90)
	assert.Greater(t, pauses, 90)
	assert.Len(t, mixes, 3)
}

// Every class makes sound; warm-ups are cut to a few seconds at 8 kHz to keep this short.
func TestEveryClassCanBeMade(t *testing.T) {
	for i, p := range append(Presets(), Sessions()...) {
		s := p.Scene(uint64(i)+100, ladder())
		assert.Equal(t, p.Name, s.Class)
		assert.NotEmpty(t, p.About)
		s.Calls = s.Calls[:min(1, len(s.Calls))]
		s.Flow.TalkBefore, s.Flow.Practice = min(s.Flow.TalkBefore, 1), min(s.Flow.Practice, 1)
		s.Flow.TalkAfter, s.Flow.After, s.Flow.CallPause = 0, 0, 0.5
		for _, around := range [][]synth.Stretch{s.Flow.Early, s.Flow.Late} {
			for k := range around {
				around[k].Seconds = 2
			}
		}
		s.Rate = 8000
		r, err := synth.Generate(s)
		require.NoError(t, err, p.Name)
		assert.Greater(t, signal.Power(r.Samples), 1e-5, p.Name)
		answered := 0
		for _, round := range r.Truth.Rounds {
			if round.Response != nil {
				answered++
			}
		}
		assert.Equal(t, p.Mute, answered == 0, p.Name)
	}
}

func TestClassesAreWhatTheirNamesSay(t *testing.T) {
	scene := func(name string, seed uint64) synth.Scene {
		p, ok := PresetNamed(name)
		require.True(t, ok, name)
		return p.Scene(seed, ladder())
	}
	wrong, improvised, missing, again := 0, 0, 0, 0
	for seed := range uint64(6) {
		truth := truthOf(t, scene("wrong-phrase", seed))
		for _, r := range truth.Rounds {
			if r.Response.Answered != r.Phrase {
				wrong++
			}
		}
		for _, r := range truthOf(t, scene("improvised", seed)).Rounds {
			if r.Phrase == "" {
				improvised++
			}
		}
		for _, r := range truthOf(t, scene("missing-answers", seed)).Rounds {
			if r.Response == nil {
				missing++
			}
		}
		for _, r := range truthOf(t, scene("again", seed)).Rounds {
			if r.Attempt > 1 {
				again++
			}
		}
		for i, c := range scene("metres", seed).Calls {
			if i >= 2 {
				assert.NotEqual(t, "4/4", c.Phrase.Metre)
			}
		}
		along := truthOf(t, scene("leader-along", seed))
		playing := 0
		for _, s := range along.Strokes {
			if s.Role == synth.Along {
				playing++
				assert.Zero(t, s.Person)
			}
		}
		assert.Positive(t, playing)
		assert.Empty(t, truthOf(t, scene("talk-only", seed)).Strokes)
		assert.Equal(t, 1, scene("one-pupil", seed).Group.People)
	}
	for name, n := range map[string]int{
		"wrong": wrong, "improvised": improvised,
		"missing": missing, "again": again,
	} {
		assert.Greater(t, n, 3, name)
	}
}

func TestSeamlessWarmUpsLoseNoBeat(t *testing.T) {
	p, _ := PresetNamed("seamless")
	truth := truthOf(t, p.Scene(3, ladder()))
	for i, r := range truth.Rounds {
		assert.InDelta(t, r.Call.End, r.Response.Due, 1e-4, "the answer is due on the next bar")
		if i+1 < len(truth.Rounds) {
			assert.InDelta(t, r.Response.End, truth.Rounds[i+1].Call.Start, 0.1,
				"the next call in the bar after")
		}
	}
}

func TestEmptyBankGivesMadeUpCalls(t *testing.T) {
	p, _ := PresetNamed("ordinary")
	s := p.Scene(1, nil)
	require.Len(t, s.Calls, 6)
	for _, c := range s.Calls {
		assert.Empty(t, c.Phrase.ID)
		assert.True(t, c.Phrase.Valid())
	}
	_, ok := PresetNamed("no such class")
	assert.False(t, ok)
}

func ExampleSuite() {
	bank := []Item{
		{Phrase: people.Phrase{
			ID: "plain", Tempo: 96, Length: 4, Bar: 4,
			Notes: []people.Note{{Beat: 0}, {Beat: 1}, {Beat: 2}, {Beat: 3}},
		}, Difficulty: 1},
		{Phrase: people.Phrase{
			ID: "gap", Tempo: 96, Length: 4, Bar: 4,
			Notes: []people.Note{{Beat: 0}, {Beat: 1.5}, {Beat: 3}},
		}, Difficulty: 4},
	}
	for _, scene := range Suite(1, 4, Untouched, bank) {
		fmt.Println(scene.Class, len(scene.Calls) >= 6)
	}
	// Output:
	// ordinary true
	// easy-room true
	// hall true
	// babble true
}
