package warmups

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"

	"clapladder.example/assess/internal/synth"
	"clapladder.example/assess/internal/synth/people"
)

// session draws a warm-up of a class, cut to some calls at 16 kHz without talk, and the same
// undisturbed where there is such.
func session(t *testing.T, name string, seed uint64, calls int) (with, without synth.Scene) {
	t.Helper()
	p, ok := PresetNamed(name)
	require.True(t, ok, name)
	with = p.Scene(seed, ladder())
	without, _ = p.Without(seed, ladder())
	for _, s := range []*synth.Scene{&with, &without} {
		s.Rate = 16000
		s.Calls = s.Calls[:min(calls, len(s.Calls))]
		s.Flow.TalkBefore, s.Flow.TalkAfter, s.Flow.Practice, s.Flow.After = 0, 0, 0, 0
	}
	return with, without
}

func TestSessionsKeepThePeopleAndWhatTheyDo(t *testing.T) {
	paired := 0
	for _, class := range Sessions() {
		assert.NotEmpty(t, class.About)
		for seed := range uint64(3) {
			without, ok := class.Without(seed, ladder())
			if !ok {
				continue
			}
			paired++
			with := truthOf(t, class.Scene(seed, ladder()))
			plain := truthOf(t, without)
			assert.Equal(t, plain.Levels, with.Levels, class.Name)
			require.Len(t, with.Rounds, len(plain.Rounds), class.Name)
			if class.Name == "miscalled" {
				continue // another phrase is another answer
			}
			for i, r := range with.Rounds {
				p := plain.Rounds[i]
				assert.InDelta(t, p.Response.Share, r.Response.Share, 1e-9, class.Name)
				assert.InDelta(t, p.Response.Start-p.Call.Start, r.Response.Start-r.Call.Start, 2e-4, class.Name)
			}
		}
	}
	assert.Greater(t, paired, 50)
}

func TestSessionsShareTheirPeopleAndNoSeedWithTheOtherHalf(t *testing.T) {
	plain := Sessions()[0].Scene(SessionSeed(1, 4, Untouched), ladder())
	plain.Class = "kept-pulse"
	pulse, _ := PresetNamed("kept-pulse")
	same, ok := pulse.Without(SessionSeed(1, 4, Untouched), ladder())
	require.True(t, ok)
	assert.Equal(t, plain, same)
	seeds := map[uint64]bool{}
	for _, s := range append(Suite(1, 60, Tuning, ladder()), Suite(1, 60, Untouched, ladder())...) {
		seeds[s.Seed] = true
	}
	for i := range 60 {
		for _, half := range []Split{Tuning, Untouched} {
			seed := SessionSeed(1, i, half)
			assert.False(t, seeds[seed])
			assert.Equal(t, uint64(half), seed&1)
			seeds[seed] = true
		}
	}
}

func TestPhrasesOutsideTheBankHaveNoName(t *testing.T) {
	for name, most := range map[string]int{"outside-bank": 99, "all-outside": 0} {
		with, without := session(t, name, 5, 99)
		require.NotEmpty(t, with.Outside)
		named := 0
		for i, r := range truthOf(t, with).Rounds {
			id := without.Calls[i].Phrase.ID
			assert.Equal(t, slices.Contains(with.Outside, id), r.Phrase == "", name)
			assert.Equal(t, r.Phrase, r.Response.Answered)
			if r.Phrase != "" {
				named++
			}
		}
		assert.LessOrEqual(t, named, most)
	}
}

func TestLeaderWhoMiscallsIsOneStrokeOff(t *testing.T) {
	wrong := 0
	for seed := range uint64(6) {
		with, without := session(t, "miscalled", seed, 99)
		for i, r := range truthOf(t, with).Rounds {
			called, meant := with.Calls[i].Phrase, without.Calls[i].Phrase
			if r.Meant == "" {
				assert.Equal(t, meant, called)
				continue
			}
			wrong++
			assert.Equal(t, meant.ID, r.Meant)
			assert.Empty(t, r.Phrase)
			same := 0
			for _, n := range called.Notes {
				if slices.ContainsFunc(meant.Notes, func(m people.Note) bool { return m.Beat == n.Beat }) {
					same++
				}
			}
			assert.LessOrEqual(t, len(called.Notes)-same, 1)
			assert.LessOrEqual(t, len(meant.Notes)-same, 1)
			assert.False(t, sameRhythm(called, meant))
			assert.False(t, slices.ContainsFunc(ladder(),
				func(i Item) bool { return sameRhythm(i.Phrase, called) }))
		}
	}
	assert.Greater(t, wrong, 10)
}

func TestApplauseComesBetweenRounds(t *testing.T) {
	s, _ := session(t, "applause", 4, 99)
	truth := truthOf(t, s)
	require.NotEmpty(t, truth.Applause)
	for _, span := range truth.Applause {
		for _, round := range truth.Rounds {
			assert.True(t, span.End <= round.Call.Start || span.Start >= round.Response.End-0.2)
		}
		claps := 0
		for _, stroke := range truth.Strokes {
			if stroke.Role == synth.Applause && stroke.Time >= span.Start && stroke.Time <= span.End {
				claps++
			}
		}
		rate := float64(claps) / float64(truth.People) / (span.End - span.Start)
		assert.True(t, rate > 1.5 && rate < 5, "%g claps a second and person", rate)
	}
}

func TestOneAloneIsOne(t *testing.T) {
	for _, class := range aloneSessions {
		for seed := range uint64(3) {
			truth := truthOf(t, class.Scene(seed, ladder()))
			require.GreaterOrEqual(t, len(truth.Rounds), 6)
			assert.True(t, class.Tierless)
			for _, s := range truth.Strokes {
				assert.LessOrEqual(t, s.Person, map[bool]int{true: 0, false: 1}[class.Mute], class.Name)
			}
		}
	}
	again, s := 0, truthOf(t, mustScene(t, "practising-alone", 2))
	for i, r := range s.Rounds[1:] {
		if r.Phrase == s.Rounds[i].Phrase || r.Meant != "" {
			again++
		}
	}
	assert.Greater(t, again, len(s.Rounds)/2, "the same over and over")
}

// truthOf is the truth of a scene, unheard.
func truthOf(t *testing.T, s synth.Scene) *synth.Truth {
	t.Helper()
	truth, err := synth.SilentTruth(s)
	require.NoError(t, err)
	return &truth
}

func mustScene(t *testing.T, name string, seed uint64) synth.Scene {
	t.Helper()
	p, ok := PresetNamed(name)
	require.True(t, ok, name)
	return p.Scene(seed, ladder())
}

func TestPeopleOfSessionsAreAsTheirNamesSay(t *testing.T) {
	assert.Len(t, mustScene(t, "short", 1).Calls, 8)
	bank := ladder()
	for i := range 10 { // two bars of each phrase
		p := bank[i].Phrase
		p.ID += " twice"
		for _, n := range bank[i].Phrase.Notes {
			p.Notes = append(slices.Clone(p.Notes), people.Note{Beat: n.Beat + p.Length, Sound: n.Sound})
		}
		p.Length *= 2
		bank = append(bank, Item{p, bank[i].Difficulty + 1})
	}
	class, _ := PresetNamed("long-phrases")
	for _, c := range class.Scene(1, bank).Calls[1:] {
		assert.GreaterOrEqual(t, len(c.Phrase.Notes), 10)
	}
	var spreads []float64
	for seed := range uint64(8) {
		for _, r := range truthOf(t, mustScene(t, "loose-right", seed)).Rounds {
			if r.Response.Share > 0.8 {
				spreads = append(spreads, r.Response.Spread)
			}
		}
	}
	mean, _ := stat.MeanStdDev(spreads, nil)
	assert.InDelta(t, 0.048, mean, 0.008, "seconds, of people who are right")
	assert.Less(t, slices.Max(spreads), 0.070)
	late := truthOf(t, mustScene(t, "a-beat-late", 1))
	for _, r := range late.Rounds {
		assert.InDelta(t, 60/late.Rounds[0].Call.Tempo, r.Response.Lag, 0.15)
	}
	alone := 0
	for _, s := range truthOf(t, mustScene(t, "straggler", 1)).Strokes {
		if s.Role == synth.Alone {
			alone++
		}
	}
	assert.Greater(t, alone, 5)
}
