package synth

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/internal/synth/people"
	"clapladder.example/assess/internal/synth/signal"
	"clapladder.example/assess/internal/synth/sounds"
)

// evenBeats is a long phrase of plain beats at the tempo of the tapping study, 600 ms.
func evenBeats(notes int) people.Phrase {
	p := people.Phrase{ID: "even", Tempo: 100, Length: float64(notes), Bar: 4}
	for i := range notes {
		p.Notes = append(p.Notes, people.Note{Beat: float64(i)})
	}
	return p
}

// asynchronies returns, by person, clap times minus the group's pulse, with the air taken out
// again.
func asynchronies(p *plan) [][]float64 {
	out := make([][]float64, len(p.people))
	for _, s := range p.truth.Strokes {
		if s.Role != InAnswer {
			continue
		}
		i := s.Person - 1
		a := p.answers[s.Round]
		meant := a.clock + a.attempts[i].Strokes[len(out[i])%len(a.called.Notes)].Beat*a.perBeat
		out[i] = append(out[i], s.Time-p.people[i].Delay()-meant)
	}
	return out
}

// Figures of Bååth & Madison 2012 (ICMPC 12, pp. 82–85), open data of 30 adults tapping to a beat
// of 600 ms, re-analysed: mean −40 ms, people's means −103 to −4 ms with SD 21 ms; SD within a
// person median 32 ms, 20 to 68; half of all taps within 40 ms and 95 % within 108 ms of the tone.
func TestTimingMatchesTappingStudy(t *testing.T) {
	scene := Scene{
		Seed: 3, Group: people.Group{People: 200, Level: 3, Mix: people.Alike, Rush: 1},
		Calls: []Call{{Phrase: evenBeats(16), Difficulty: -20, Rush: 1, Attempts: 5}},
	}
	scene, err := scene.withDefaults()
	require.NoError(t, err)
	p := makePlan(scene)

	var means, sds, all []float64
	for _, x := range asynchronies(p) {
		require.Len(t, x, 16*5)
		m, sd := meanSD(x)
		means, sds, all = append(means, m), append(sds, sd), append(all, x...)
	}
	mean, between := meanSD(means)
	assert.InDelta(t, -0.040, mean, 0.006, "mean asynchrony")
	assert.InDelta(t, 0.021, between, 0.004, "SD between people, their jitter over five answers included")
	slices.Sort(sds)
	assert.InDelta(t, 0.032, sds[len(sds)/2], 0.004, "median SD within a person")
	assert.Greater(t, sds[0], 0.012)
	assert.Less(t, sds[len(sds)-1], 0.068)

	within := func(limit float64) float64 {
		n := 0
		for _, x := range all {
			if math.Abs(x) <= limit {
				n++
			}
		}
		return float64(n) / float64(len(all))
	}
	assert.InDelta(t, 0.50, within(0.040), 0.06, "half within 40 ms")
	assert.InDelta(t, 0.95, within(0.108), 0.03, "95 % within 108 ms")
}

// SD of a group at one note = √(mean σ² + var μ): 38 ms for the same figures.
func TestGroupSpreadIsJitterAndHabits(t *testing.T) {
	scene := Scene{
		Seed: 5, Group: people.Group{People: 200, Level: 3, Near: 3, Far: 3.01},
		Calls: []Call{{Phrase: evenBeats(8), Difficulty: -20, Rush: 1}},
	}
	r := planned(t, scene)
	assert.InDelta(t, 0.038, r.truth.Rounds[0].Response.Spread, 0.004)
}

func TestSkilledPeopleAreSteadier(t *testing.T) {
	jitter := func(level float64) float64 {
		var x []float64
		for _, p := range people.Draw(people.Group{
			People: 200, Level: level, Looseness: 1, Near: 2,
			Far: 3,
		}, signal.Stream(1, "t")) {
			assert.GreaterOrEqual(t, p.Jitter, 0.015)
			assert.LessOrEqual(t, p.Jitter, 0.050)
			x = append(x, p.Jitter)
		}
		m, _ := meanSD(x)
		return m
	}
	assert.Greater(t, jitter(1), jitter(4)*1.2)
	assert.Greater(t, jitter(4), jitter(8)*1.2)
}

func TestLoudnessOfPeopleHasTheAskedSpread(t *testing.T) {
	var db []float64
	for _, p := range people.Draw(people.Group{People: 200, LoudnessSD: 4, Looseness: 1, Near: 2, Far: 3},
		signal.Stream(2, "t")) {
		db = append(db, 20*math.Log10(p.Gain))
	}
	_, sd := meanSD(db)
	assert.InDelta(t, 4, sd, 0.5)
}

func TestMixesHaveTheirSpread(t *testing.T) {
	for mix, want := range map[people.Mix]float64{
		people.Alike: 0.5, people.Varied: 1.2, people.Thirds: math.Sqrt(4*2.0/3 + 0.25),
	} {
		p := planned(t, Scene{Seed: 9, Group: people.Group{People: 200, Mix: mix}})
		assert.InDelta(t, want, p.truth.LevelSD, 0.12*want, mix.String())
		assert.InDelta(t, 3, p.truth.Level, 0.25, mix.String())
	}
}

// The share of a group that gets a phrase must follow the Rasch model: Σ logistic(level −
// difficulty) / N.
func TestShareFollowsLevels(t *testing.T) {
	scene := Scene{Seed: 4, Group: people.Group{People: 200, Level: 4, Mix: people.Varied}}
	for d := 0.0; d <= 8; d++ {
		phrase := evenBeats(4)
		phrase.ID = string(rune('a' + int(d)))
		scene.Calls = append(scene.Calls, Call{Phrase: phrase, Difficulty: d})
	}
	p := planned(t, scene)
	for _, r := range p.truth.Rounds {
		want := 0.0
		for _, level := range p.truth.Levels {
			want += 1 / (1 + math.Exp(r.Difficulty-level)) / 200
		}
		assert.InDelta(t, want, r.Response.Share, 0.10, "difficulty %g", r.Difficulty)
	}
}

func TestComfortTierIsTheHighestWithEnoughShare(t *testing.T) {
	truth := Truth{Levels: []float64{4, 4, 4, 4}}
	assert.Equal(t, 3, truth.ComfortTier(0.7, 9), "logistic(1) = 0.73")
	assert.Equal(t, 4, truth.ComfortTier(0.5, 9))
	assert.Equal(t, 2, truth.ComfortTier(0.8, 9), "logistic(2) = 0.88")
	assert.Equal(t, 2, truth.ComfortTier(0.7, 2), "not above the highest tier asked about")
	assert.Equal(t, 0, (&Truth{Levels: []float64{-3}}).ComfortTier(0.7, 9))
}

// planned lays a scene out without making sound; everybody counts for as loud as the others.
func planned(t testing.TB, s Scene) *plan {
	t.Helper()
	s, err := s.withDefaults()
	require.NoError(t, err)
	p := makePlan(s)
	even := make([]float64, len(p.people))
	for i := range even {
		even[i] = 1 / float64(len(even))
	}
	for i := range p.truth.Rounds {
		p.measure(i, func(sounds.Kind) []float64 { return even })
	}
	return p
}
